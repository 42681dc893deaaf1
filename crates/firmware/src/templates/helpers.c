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
