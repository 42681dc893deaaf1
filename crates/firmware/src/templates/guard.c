/*
 * Resets are counted where a loss of power does not reach, so that a failing supply cannot make the display flash. The
 * wiring's identity is kept there too: the first program that runs on a controller leaves its own, and a program with
 * another one stays dark until somebody has closed the service jumper.
 */
#include "guard.h"
#include "memory.h"
#include "wiring.h"

/* In memory: the count with its complement, the identity with its complement. */
#define COUNT_AT 0U
#define IDENTITY_AT 2U
#define IDENTITY_BYTES 4U

/* Starts since the last quiet minute: the first is no reset where power came up. */
#define RESTED 0U
#define MOST_STARTS 3U
/* What stands in memory is never that of a blank one. */
#define CODE(starts) ((uint8_t)((starts) ^ 0x5AU))

static uint8_t resting; /* bytes still to write */

static uint8_t complement(uint8_t byte)
{
    return (uint8_t)(byte ^ 0xFFU);
}

static void write_count(uint8_t starts)
{
    memory_write(COUNT_AT, CODE(starts));
    memory_write(COUNT_AT + 1U, complement(CODE(starts)));
}

/* Starts counted so far. A count cut short while it was written counts as two, so that one more start is lit. */
static uint8_t read_count(void)
{
    const uint8_t code = memory_read(COUNT_AT);
    const uint8_t check = memory_read(COUNT_AT + 1U);
    if (code == 0xFFU && check == 0xFFU) {
        return RESTED;
    }
    if (code != complement(check)) {
        return MOST_STARTS - 1U;
    }
    return CODE(code);
}

static uint8_t identity_byte(uint8_t k)
{
    return (uint8_t)((uint32_t)WIRING_IDENTITY >> (8U * k));
}

static void write_identity(void)
{
    for (uint8_t k = 0; k < IDENTITY_BYTES; k++) {
        memory_write((uint16_t)(IDENTITY_AT + k), identity_byte(k));
        memory_write((uint16_t)(IDENTITY_AT + IDENTITY_BYTES + k), complement(identity_byte(k)));
    }
}

/* A blank memory takes this program's identity. */
static bool is_own_wiring(void)
{
    bool blank = true;
    bool same = true;
    for (uint8_t k = 0; k < IDENTITY_BYTES; k++) {
        const uint8_t kept = memory_read((uint16_t)(IDENTITY_AT + k));
        const uint8_t check = memory_read((uint16_t)(IDENTITY_AT + IDENTITY_BYTES + k));
        blank = blank && kept == 0xFFU && check == 0xFFU;
        same = same && kept == identity_byte(k) && check == complement(kept);
    }
    if (blank) {
        write_identity();
    }
    return blank || same;
}

enum guard guard_begin(bool power_came_up)
{
    uint8_t starts = read_count();
    resting = 0;
    if (starts <= MOST_STARTS) {
        starts = (uint8_t)(starts + (starts == RESTED && !power_came_up ? 2U : 1U));
        write_count(starts);
    }
    if (starts > MOST_STARTS) {
        return GUARD_RESETS;
    }
    return is_own_wiring() ? GUARD_LIT : GUARD_WIRING;
}

void guard_minute(void)
{
    resting = 2;
}

void guard_tick(void)
{
    if (resting > 0 && memory_ready()) {
        memory_write(resting == 2 ? COUNT_AT : COUNT_AT + 1U, resting == 2 ? CODE(RESTED) : complement(CODE(RESTED)));
        resting--;
    }
}

void guard_somebody_came(void)
{
    write_count(1);
    write_identity();
}
