/* Rules may ask what is always so ("number 0 to 9 at least 0"); that is no mistake of the program. */
#pragma GCC diagnostic ignored "-Wpragmas"
#pragma GCC diagnostic ignored "-Wtype-limits"
#pragma GCC diagnostic ignored "-Wtautological-compare"
#pragma GCC diagnostic ignored "-Wbool-compare"
#pragma GCC diagnostic ignored "-Wstrict-overflow" /* the rules' reader has shown that nothing overflows */
#pragma GCC diagnostic ignored "-Wsign-compare" /* -1 - byte, which the compiler takes for a complement */

/* A timer is off, due, or runs: then it holds its ticks and one more. */
#define TIMER_OFF 0
#define TIMER_DUE 1
#define RUNNING(ticks) ((ticks) + 1)
#define COUNT(timer) do { if ((timer) > TIMER_DUE) { (timer)--; } } while (0)

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
