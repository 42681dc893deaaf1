/* The rules of this display, worked out in ticks. Every name is the builder's own. */
#include "rules.h"

#include <string.h>

/* Rules may ask what is always so ("number 0 to 9 at least 0"); that is no mistake of the program. */
#pragma GCC diagnostic ignored "-Wpragmas"
#pragma GCC diagnostic ignored "-Wtype-limits"
#pragma GCC diagnostic ignored "-Wtautological-compare"
#pragma GCC diagnostic ignored "-Wbool-compare"
#pragma GCC diagnostic ignored "-Wstrict-overflow" /* the rules' reader has shown that nothing overflows */
#pragma GCC diagnostic ignored "-Woverflow" /* where long has 64 bits: of what folds to a constant that fits */
#pragma GCC diagnostic ignored "-Wsign-compare" /* -1 - byte, which the compiler takes for a complement */

/* A timer is off, due, or runs: then it holds its ticks and one more. */
#define TIMER_OFF 0
#define TIMER_DUE 1
#define RUNNING(ticks) ((ticks) + 1)
#define COUNT(timer) do { if ((timer) > TIMER_DUE) { (timer)--; } } while (0)
/* A timer that starts anew where another one would be due. */
#define COUNT_AGAIN(timer, ticks) \
    do { if ((timer) > TIMER_DUE && --(timer) == TIMER_DUE) { (timer) = RUNNING(ticks); } } while (0)
/* A press not used in this tick is remembered from now on; an old one fades. */
#define REMEMBER(timer, is_pressed, ticks) \
    do { if (is_pressed) { (timer) = RUNNING(ticks); } else if (is_due(timer)) { (timer) = TIMER_OFF; } } while (0)

/* Ties: a set of sides has a bit for each. */
#define NO_TIE 255

/*
 * Questions as functions: rules may ask for two things at once that exclude each other, and compilers refuse that where they
 * see it on one line.
 */
static inline bool is_due(uint32_t timer)
{
    return timer == TIMER_DUE;
}

static inline bool is_running(uint32_t timer)
{
    return timer > TIMER_DUE;
}

static inline bool is_on(uint32_t timer)
{
    return timer != TIMER_OFF;
}

static inline int32_t ticks_left(uint32_t timer)
{
    return timer > TIMER_DUE ? (int32_t)(timer - 1U) : 0;
}

static inline bool is_tie(uint8_t sides)
{
    return (sides & (sides - 1U)) != 0;
}

/* The first side of a tie from a side on, in turn. */
static inline uint8_t first_tied(uint8_t sides, uint8_t from, uint8_t count)
{
    while ((sides >> from & 1U) == 0) {
        from = (uint8_t)((from + 1U) % count);
    }
    return from;
}

static inline bool may_go(uint8_t favoured, uint8_t side)
{
    return favoured == NO_TIE || favoured == side;
}

static inline bool is_same(int16_t a, int16_t b)
{
    return a == b;
}

static inline bool is_same_wide(int32_t a, int32_t b)
{
    return a == b;
}

static inline bool is_in(rules_buttons set, rules_buttons button)
{
    return (set & button) != 0;
}

static inline int16_t hold(int16_t value, int16_t least, int16_t most)
{
    return value < least ? least : value > most ? most : value;
}

static inline int32_t hold_wide(int32_t value, int32_t least, int32_t most)
{
    return value < least ? least : value > most ? most : value;
}

static inline int16_t lesser(int16_t a, int16_t b)
{
    return a < b ? a : b;
}

static inline int32_t lesser_wide(int32_t a, int32_t b)
{
    return a < b ? a : b;
}

static inline int16_t greater(int16_t a, int16_t b)
{
    return a > b ? a : b;
}

static inline int32_t greater_wide(int32_t a, int32_t b)
{
    return a > b ? a : b;
}

/* Where several light a spot, the brightest wins. */
static inline void light(uint8_t *spot, uint8_t level)
{
    if (level > *spot) {
        *spot = level;
    }
}

/* A number on digits, or dark. */
static inline void write_digits(int32_t *number, bool *zeros, int32_t value, bool with_zeros, bool lit)
{
    *number = lit ? value : -1;
    *zeros = lit && with_zeros;
}

/* States of juggler.west. */
enum {
    JUGGLER_WEST_READY,
    JUGGLER_WEST_THROWING,
};

/* Machine juggler.west. */
struct juggler_west {
    uint8_t state;
    uint8_t thrown; /* number 0 to 99 */
    uint8_t throwing_2; /* timer throwing+2 */
};

/* States of juggler.east. */
enum {
    JUGGLER_EAST_READY,
    JUGGLER_EAST_THROWING,
};

/* Machine juggler.east. */
struct juggler_east {
    uint8_t state;
    uint8_t thrown; /* number 0 to 99 */
    uint8_t throwing_2; /* timer throwing+2 */
};

/* States of counts_west. */
enum {
    COUNTS_WEST_ONLY,
};

/* Machine counts_west. */
struct counts_west {
    uint8_t state;
    uint8_t n; /* number 0 to 99 */
};

/* States of counts_east. */
enum {
    COUNTS_EAST_ONLY,
};

/* Machine counts_east. */
struct counts_east {
    uint8_t state;
    uint8_t n; /* number 0 to 99 */
};

/* States of either. */
enum {
    EITHER_NO,
    EITHER_YES,
};

/* Machine either. */
struct either {
    uint8_t state;
    uint8_t yes_1; /* timer yes+1 */
};

/* States of west_only. */
enum {
    WEST_ONLY_NO,
    WEST_ONLY_YES,
};

/* Machine west_only. */
struct west_only {
    uint8_t state;
    uint8_t yes_1; /* timer yes+1 */
};

/* Messages sent in a tick; they are heard in the next. */
struct sent {
    bool hop_from_juggler_west : 1;
    bool hop_from_juggler_east : 1;
};

/* Everything the next tick depends on. */
struct situation {
    struct juggler_west juggler_west;
    struct juggler_east juggler_east;
    struct counts_west counts_west;
    struct counts_east counts_east;
    struct either either;
    struct west_only west_only;
    struct sent sent;
    rules_buttons simulated; /* pressed by the rules themselves */
};

/* As written in this tick, and as it was frozen at the start of the tick: each machine writes only its own part */
/* of `now`, and looks at the others in `then`. */
static struct situation now;
static struct situation then;

/* The buttons of this tick. */
static rules_buttons pressed;
static rules_buttons held;

#ifdef LAMPWRIGHT_TRIAL
/* FNV-1a over the bytes of a value, least first. */
static uint32_t mix(uint32_t hash, uint32_t value, uint8_t count)
{
    while (count-- > 0) {
        hash = (hash ^ (value & 0xFFU)) * 16777619UL;
        value >>= 8;
    }
    return hash;
}

/* A timer: its ticks left, then 0 off, 1 running, 2 due. */
static uint32_t mix_timer(uint32_t hash, uint32_t timer)
{
    hash = mix(hash, timer > TIMER_DUE ? timer - 1U : 0U, 4);
    return mix(hash, timer > TIMER_DUE ? 1U : timer == TIMER_DUE ? 2U : 0U, 1);
}

uint32_t rules_fingerprint(void)
{
    uint32_t hash = 2166136261UL;
    hash = mix(hash, now.juggler_west.state, 2);
    hash = mix(hash, (uint32_t)(int32_t)now.juggler_west.thrown, 4);
    hash = mix_timer(hash, now.juggler_west.throwing_2);
    hash = mix(hash, 0x0ED0A20FUL, 4);
    hash = mix(hash, now.juggler_east.state, 2);
    hash = mix(hash, (uint32_t)(int32_t)now.juggler_east.thrown, 4);
    hash = mix_timer(hash, now.juggler_east.throwing_2);
    hash = mix(hash, 0xA2C1EF45UL, 4);
    hash = mix(hash, now.counts_west.state, 2);
    hash = mix(hash, (uint32_t)(int32_t)now.counts_west.n, 4);
    hash = mix(hash, 0xAE27A28EUL, 4);
    hash = mix(hash, now.counts_east.state, 2);
    hash = mix(hash, (uint32_t)(int32_t)now.counts_east.n, 4);
    hash = mix(hash, 0xC117621CUL, 4);
    hash = mix(hash, now.either.state, 2);
    hash = mix_timer(hash, now.either.yes_1);
    hash = mix(hash, 0x14119405UL, 4);
    hash = mix(hash, now.west_only.state, 2);
    hash = mix_timer(hash, now.west_only.yes_1);
    hash = mix(hash, 0xDF9E157EUL, 4);
    hash = mix(hash, now.sent.hop_from_juggler_west, 1);
    hash = mix(hash, now.sent.hop_from_juggler_east, 1);
    hash = mix(hash, (now.simulated & BUTTON_WEST) != 0U, 1);
    hash = mix(hash, (now.simulated & BUTTON_EAST) != 0U, 1);
    return hash;
}

uint16_t rules_frame_bytes(const struct rules_frame *frame, uint8_t *bytes)
{
    uint8_t *end = bytes;
    for (uint16_t k = 0; k < 2; k++) {
        *end++ = frame->pose[k];
    }
    for (uint16_t k = 0; k < 4; k++) {
        *end++ = frame->level[k];
    }
    for (uint16_t k = 0; k < RULES_DIGITS; k++) {
        for (uint8_t shift = 0; shift < 32; shift += 8) {
            *end++ = (uint8_t)((uint32_t)frame->number[k] >> shift);
        }
    }
    for (uint16_t k = 0; k < 2; k++) {
        *end++ = frame->zeros[k] ? 1 : 0;
    }
    (void)frame;
    return (uint16_t)(end - bytes);
}

#endif

static void leave_juggler_west_throwing(void)
{
    now.juggler_west.throwing_2 = TIMER_OFF;
}

static void enter_juggler_west_ready(void)
{
    now.juggler_west.state = JUGGLER_WEST_READY;
}

static void enter_juggler_west_throwing(void)
{
    now.juggler_west.state = JUGGLER_WEST_THROWING;
    now.juggler_west.throwing_2 = RUNNING(2);
}

static void step_juggler_west(void)
{
    switch (then.juggler_west.state) {
    case JUGGLER_WEST_READY: {
        /* On press west: go throwing. */
        if (is_in(pressed, BUTTON_WEST)) {
            now.juggler_west.thrown = hold(now.juggler_west.thrown + 1, 0, 99);
            now.sent.hop_from_juggler_west = true;
            enter_juggler_west_throwing();
            return;
        }
        break;
    }
    case JUGGLER_WEST_THROWING: {
        /* When throwing+2 is due: go ready. */
        if (is_due(then.juggler_west.throwing_2)) {
            now.juggler_west.throwing_2 = TIMER_OFF;
            leave_juggler_west_throwing();
            enter_juggler_west_ready();
            return;
        }
        break;
    }
    default:
        break;
    }
}

static void show_juggler_west(struct rules_frame *frame)
{
    switch (now.juggler_west.state) {
    case JUGGLER_WEST_READY:
        frame->pose[FIGURE_WEST] = POSE_WEST_READY;
        if (is_same(now.juggler_east.state, JUGGLER_EAST_THROWING)) {
            light(&frame->level[SPOT_WEST], (uint8_t)255);
        }
        break;

    case JUGGLER_WEST_THROWING:
        frame->pose[FIGURE_WEST] = POSE_WEST_THROWING;
        if ((!is_same(now.juggler_east.state, JUGGLER_EAST_THROWING)) && is_same(now.juggler_west.state, JUGGLER_WEST_THROWING)) {
            light(&frame->level[SPOT_EAST], (uint8_t)255);
        }
        break;

    default:
        break;
    }
}

static void leave_juggler_east_throwing(void)
{
    now.juggler_east.throwing_2 = TIMER_OFF;
}

static void enter_juggler_east_ready(void)
{
    now.juggler_east.state = JUGGLER_EAST_READY;
}

static void enter_juggler_east_throwing(void)
{
    now.juggler_east.state = JUGGLER_EAST_THROWING;
    now.juggler_east.throwing_2 = RUNNING(2);
}

static void step_juggler_east(void)
{
    switch (then.juggler_east.state) {
    case JUGGLER_EAST_READY: {
        /* On press east: go throwing. */
        if (is_in(pressed, BUTTON_EAST)) {
            now.juggler_east.thrown = hold(now.juggler_east.thrown + 1, 0, 99);
            now.sent.hop_from_juggler_east = true;
            enter_juggler_east_throwing();
            return;
        }
        break;
    }
    case JUGGLER_EAST_THROWING: {
        /* When throwing+2 is due: go ready. */
        if (is_due(then.juggler_east.throwing_2)) {
            now.juggler_east.throwing_2 = TIMER_OFF;
            leave_juggler_east_throwing();
            enter_juggler_east_ready();
            return;
        }
        break;
    }
    default:
        break;
    }
}

static void show_juggler_east(struct rules_frame *frame)
{
    switch (now.juggler_east.state) {
    case JUGGLER_EAST_READY:
        frame->pose[FIGURE_EAST] = POSE_EAST_READY;
        if (is_same(now.juggler_west.state, JUGGLER_WEST_THROWING)) {
            light(&frame->level[SPOT_EAST], (uint8_t)255);
        }
        break;

    case JUGGLER_EAST_THROWING:
        frame->pose[FIGURE_EAST] = POSE_EAST_THROWING;
        if ((!is_same(now.juggler_west.state, JUGGLER_WEST_THROWING)) && is_same(now.juggler_east.state, JUGGLER_EAST_THROWING)) {
            light(&frame->level[SPOT_WEST], (uint8_t)255);
        }
        break;

    default:
        break;
    }
}

static void enter_counts_west_only(void)
{
    now.counts_west.state = COUNTS_WEST_ONLY;
}

static void step_counts_west(void)
{
    switch (then.counts_west.state) {
    case COUNTS_WEST_ONLY: {
        /* Always, if so: stay. */
        if (then.juggler_west.thrown > now.counts_west.n) {
            now.counts_west.n = hold(now.counts_west.n + 1, 0, 99);
            return;
        }
        break;
    }
    default:
        break;
    }
}

static void enter_counts_east_only(void)
{
    now.counts_east.state = COUNTS_EAST_ONLY;
}

static void step_counts_east(void)
{
    switch (then.counts_east.state) {
    case COUNTS_EAST_ONLY: {
        /* Always, if so: stay. */
        if (then.juggler_east.thrown > now.counts_east.n) {
            now.counts_east.n = hold(now.counts_east.n + 1, 0, 99);
            return;
        }
        break;
    }
    default:
        break;
    }
}

static void leave_either_yes(void)
{
    now.either.yes_1 = TIMER_OFF;
}

static void enter_either_no(void)
{
    now.either.state = EITHER_NO;
}

static void enter_either_yes(void)
{
    now.either.state = EITHER_YES;
    now.either.yes_1 = RUNNING(1);
}

static void step_either(void)
{
    switch (then.either.state) {
    case EITHER_NO: {
        /* On message hop: go yes. */
        if (then.sent.hop_from_juggler_west || then.sent.hop_from_juggler_east) {
            enter_either_yes();
            return;
        }
        break;
    }
    case EITHER_YES: {
        /* When yes+1 is due: go no. */
        if (is_due(then.either.yes_1)) {
            now.either.yes_1 = TIMER_OFF;
            leave_either_yes();
            enter_either_no();
            return;
        }
        break;
    }
    default:
        break;
    }
}

static void show_either(struct rules_frame *frame)
{
    switch (now.either.state) {
    case EITHER_YES:
        light(&frame->level[SPOT_CLUB_1], (uint8_t)255);
        break;

    default:
        break;
    }
}

static void leave_west_only_yes(void)
{
    now.west_only.yes_1 = TIMER_OFF;
}

static void enter_west_only_no(void)
{
    now.west_only.state = WEST_ONLY_NO;
}

static void enter_west_only_yes(void)
{
    now.west_only.state = WEST_ONLY_YES;
    now.west_only.yes_1 = RUNNING(1);
}

static void step_west_only(void)
{
    switch (then.west_only.state) {
    case WEST_ONLY_NO: {
        /* On message hop: go yes. */
        if (then.sent.hop_from_juggler_west) {
            enter_west_only_yes();
            return;
        }
        break;
    }
    case WEST_ONLY_YES: {
        /* When yes+1 is due: go no. */
        if (is_due(then.west_only.yes_1)) {
            now.west_only.yes_1 = TIMER_OFF;
            leave_west_only_yes();
            enter_west_only_no();
            return;
        }
        break;
    }
    default:
        break;
    }
}

static void show_west_only(struct rules_frame *frame)
{
    switch (now.west_only.state) {
    case WEST_ONLY_YES:
        light(&frame->level[SPOT_CLUB_2], (uint8_t)255);
        break;

    default:
        break;
    }
}

void rules_begin(void)
{
    memset(&now, 0, sizeof now);
    pressed = 0;
    held = 0;
    then = now;
    enter_juggler_west_ready();
    enter_juggler_east_ready();
    enter_counts_west_only();
    enter_counts_east_only();
    enter_either_no();
    enter_west_only_no();
}

/* Running timers lose one tick. */
static void count_timers(void)
{
    COUNT(now.juggler_west.throwing_2);
    COUNT(now.juggler_east.throwing_2);
    COUNT(now.either.yes_1);
    COUNT(now.west_only.yes_1);
}

void rules_step(rules_buttons pressed_now, rules_buttons held_now)
{
    pressed = pressed_now | now.simulated;
    held = held_now;
    count_timers();
    then = now;
    memset(&now.sent, 0, sizeof now.sent);
    now.simulated = 0;
    step_juggler_west();
    step_juggler_east();
    step_counts_west();
    step_counts_east();
    step_either();
    step_west_only();
}

void rules_show(struct rules_frame *frame)
{
    memset(frame, 0, sizeof *frame);
    frame->number[DIGITS_WEST_COUNT] = -1;
    frame->number[DIGITS_EAST_COUNT] = -1;
    frame->number[DIGITS_WEST_COUNT] = now.counts_west.n;
    frame->number[DIGITS_EAST_COUNT] = now.counts_east.n;
    show_juggler_west(frame);
    show_juggler_east(frame);
    show_either(frame);
    show_west_only(frame);
}
