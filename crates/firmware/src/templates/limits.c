/*
 * What belongs together (a figure, a spot, digits) changes together or not at all:
 * - no more than three flashes in any second; a flash is a pair of opposing changes, so six changes;
 * - no more in any field of view, all of it together, each change weighed by how much of what counts it can fill; whoever
 *   would make it more keeps its picture until there is room;
 * - outlets with contacts rest between two changes;
 * - what is lit takes no more than its source gives;
 * - what has been lit for longer than the longest night goes dark until the rules themselves let go of it.
 */
#include "limits.h"
#include "table.h"

#include <string.h>

#define SECOND @SECOND@U /* ticks */
#define CHANGES 6U /* in a second */
#define FIELDS @FIELDS@U
#define FULL 448U /* seven whole changes of 64 parts: fewer are six */
#define LONGEST @LONGEST@UL /* ticks: @LONGEST_WORDS@ */
#define GROUPS @GROUPS@U
#define OUTPUTS (8U * WIRING_BYTES)
#define SOURCES @SOURCES@U
#define NO_SOURCE 255U

/* Ticks since a change; more than the longest of interest are not counted. */
typedef @AGE@ age;
#define OLD @OLD@U

@TABLES@
static uint8_t shown[WIRING_BYTES];
static age ages[GROUPS][CHANGES]; /* since the last changes, the newest first */
static uint8_t recent[GROUPS]; /* changes in the last second */
static uint32_t lit[GROUPS]; /* ticks without a break */
static bool spent[GROUPS]; /* lit for too long */

void limits_begin(void)
{
    memset(shown, 0, sizeof shown);
    memset(lit, 0, sizeof lit);
    memset(spent, 0, sizeof spent);
    for (uint8_t g = 0; g < GROUPS; g++) {
        for (uint8_t k = 0; k < CHANGES; k++) {
            ages[g][k] = OLD;
        }
    }
}

static bool is_lit(uint8_t g, const uint8_t *bits)
{
    uint8_t any = 0;
    for (uint8_t k = 0; k < WIRING_BYTES; k++) {
        any |= (uint8_t)(bits[k] & BYTE(members[g][k]));
    }
    return any != 0;
}

static bool differs(uint8_t g, const uint8_t *one, const uint8_t *other)
{
    uint8_t any = 0;
    for (uint8_t k = 0; k < WIRING_BYTES; k++) {
        any |= (uint8_t)((one[k] ^ other[k]) & BYTE(members[g][k]));
    }
    return any != 0;
}

static void take(uint8_t g, const uint8_t *from, uint8_t *to)
{
    for (uint8_t k = 0; k < WIRING_BYTES; k++) {
        const uint8_t own = BYTE(members[g][k]);
        to[k] = (uint8_t)((to[k] & (uint8_t)~own) | (from[k] & own));
    }
}

/* Whether every field of view in which a group is seen has room for one change of it more. */
static bool has_room(uint8_t g)
{
#if FIELDS > 0
    for (uint8_t f = 0; f < FIELDS; f++) {
        uint32_t sum = BYTE(shares[f][g]);
        if (sum == 0U) {
            continue;
        }
        for (uint8_t other = 0; other < GROUPS; other++) {
            sum += (uint32_t)BYTE(shares[f][other]) * recent[other];
        }
        if (sum >= FULL) {
            return false;
        }
    }
#else
    (void)g;
#endif
    return true;
}

static bool may_change(uint8_t g)
{
    return ages[g][CHANGES - 1U] >= SECOND && ages[g][0] >= BYTE(rests[g]) && has_room(g);
}

static void add_up(const uint8_t *bits, uint32_t sums[SOURCES])
{
    memset(sums, 0, SOURCES * sizeof sums[0]);
    for (uint8_t k = 0; k < WIRING_BYTES; k++) {
        for (uint8_t bit = 0; bit < 8; bit++) {
            const uint8_t output = (uint8_t)(8U * k + bit);
            if ((bits[k] >> bit & 1U) != 0U && BYTE(source[output]) != NO_SOURCE) {
                sums[BYTE(source[output])] += WORD(milliamperes[output]);
            }
        }
    }
}

static bool is_within(const uint32_t sums[SOURCES])
{
    for (uint8_t s = 0; s < SOURCES; s++) {
        if (sums[s] > WORD(most[s])) {
            return false;
        }
    }
    return true;
}

static bool is_no_more(const uint32_t sums[SOURCES], const uint32_t than[SOURCES])
{
    for (uint8_t s = 0; s < SOURCES; s++) {
        if (sums[s] > than[s]) {
            return false;
        }
    }
    return true;
}

/* More is wanted than a source gives: first what takes no more than before, then what still fits, in order. */
static void one_by_one(const uint8_t *wanted, uint8_t *next)
{
    uint32_t before[SOURCES];
    uint32_t sums[SOURCES];
    uint8_t tried[WIRING_BYTES];
    memcpy(next, shown, WIRING_BYTES);
    for (uint8_t round = 0; round < 2; round++) {
        for (uint8_t g = 0; g < GROUPS; g++) {
            if (!differs(g, next, wanted)) {
                continue;
            }
            memcpy(tried, next, WIRING_BYTES);
            take(g, wanted, tried);
            add_up(next, before);
            add_up(tried, sums);
            if (is_no_more(sums, before) || (round == 1 && is_within(sums))) {
                memcpy(next, tried, WIRING_BYTES);
            }
        }
    }
}

/* Counts what changes and how long it has been lit. */
static void note(const uint8_t *next)
{
    for (uint8_t g = 0; g < GROUPS; g++) {
        if (differs(g, shown, next)) {
            memmove(&ages[g][1], &ages[g][0], (CHANGES - 1U) * sizeof ages[g][0]);
            ages[g][0] = 0;
        }
        lit[g] = is_lit(g, next) ? lit[g] + 1U : 0U;
    }
}

/* What is wanted where it may be had now, and what is shown where not; what has been lit for too long comes first. */
static void choose(const uint8_t *wanted, uint8_t *next)
{
    static const uint8_t dark[WIRING_BYTES];
    memcpy(next, shown, WIRING_BYTES);
    for (uint8_t g = 0; g < GROUPS; g++) {
        spent[g] = is_lit(g, wanted) && (spent[g] || lit[g] >= LONGEST);
    }
    for (uint8_t round = 0; round < 2; round++) {
        for (uint8_t g = 0; g < GROUPS; g++) {
            const uint8_t *to = spent[g] ? dark : wanted;
            if (spent[g] == (round == 0) && differs(g, shown, to) && may_change(g)) {
                take(g, to, next);
                recent[g]++;
            }
        }
    }
}

void limits_apply(const uint8_t wanted[WIRING_BYTES], uint8_t allowed[WIRING_BYTES])
{
    uint8_t next[WIRING_BYTES];
    for (uint8_t g = 0; g < GROUPS; g++) {
        recent[g] = 0;
        for (uint8_t k = 0; k < CHANGES; k++) {
            ages[g][k] = (age)(ages[g][k] < OLD ? ages[g][k] + 1U : OLD);
            recent[g] = (uint8_t)(recent[g] + (ages[g][k] < SECOND ? 1U : 0U));
        }
    }
    choose(wanted, next);
    if (memcmp(next, shown, WIRING_BYTES) != 0) {
        uint32_t sums[SOURCES];
        add_up(next, sums);
        if (!is_within(sums)) {
            uint8_t chosen[WIRING_BYTES];
            memcpy(chosen, next, WIRING_BYTES);
            one_by_one(chosen, next);
        }
        note(next);
        memcpy(shown, next, WIRING_BYTES);
    } else {
        note(next);
    }
    memcpy(allowed, shown, WIRING_BYTES);
}
