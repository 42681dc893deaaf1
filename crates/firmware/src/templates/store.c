/*
 * Records go round in a ring, so that no byte wears out before the others, and the one before the newest is always whole:
 * a record is its sequence, the values and a sum over both. A record that power has cut short has a wrong sum, and the one
 * before it counts. So does a record of other rules, whose sum begins with another number.
 */
#include "store.h"

#if STORE_VALUES > 0

#include "memory.h"

#include <string.h>

#define RECORD (4U * STORE_VALUES + 4U)
#define SLOTS ((MEMORY_BYTES - MEMORY_STORE) / RECORD)
#define SUM_AT (RECORD - 2U)
/* Where the sums of these rules begin. */
#define LAYOUT @LAYOUT@U
/* Ticks that a value must stay before it is written: @STAY_MS@ ms. */
#define STAY @STAY@U

static int32_t stored[STORE_VALUES]; /* in the newest record */
static int32_t waiting[STORE_VALUES]; /* to be written when they stay */
static uint16_t stayed;
static uint16_t sequence;
static uint16_t slot;
static uint8_t record[RECORD];
static uint16_t written; /* bytes of the record; all of them while nothing is to be written */
#if RULES_SETTINGS > 0
static int32_t settings[RULES_SETTINGS];
static const int32_t least[RULES_SETTINGS] = { @LEAST@ };
static const int32_t greatest[RULES_SETTINGS] = { @GREATEST@ };
#endif

/* CRC-16 with the polynomial 0x1021, highest bit first. */
static uint16_t sum_of(void)
{
    uint16_t sum = LAYOUT;
    for (uint16_t k = 0; k < SUM_AT; k++) {
        sum = (uint16_t)(sum ^ ((uint16_t)record[k] << 8));
        for (uint8_t bit = 0; bit < 8; bit++) {
            sum = (uint16_t)((sum & 0x8000U) != 0U ? ((unsigned)sum << 1) ^ 0x1021U : (unsigned)sum << 1);
        }
    }
    return sum;
}

static void put(uint16_t at, uint32_t value, uint8_t count)
{
    for (uint8_t k = 0; k < count; k++) {
        record[at + k] = (uint8_t)(value >> (8U * k));
    }
}

static uint32_t get(uint16_t at, uint8_t count)
{
    uint32_t value = 0;
    for (uint8_t k = count; k > 0; k--) {
        value = value << 8 | record[at + k - 1U];
    }
    return value;
}

/* Reads a record; false where it is blank, cut short or of other rules. */
static bool read_record(uint16_t from)
{
    for (uint16_t k = 0; k < RECORD; k++) {
        record[k] = memory_read((uint16_t)(MEMORY_STORE + from * RECORD + k));
    }
    return get(0, 2) != 0xFFFFU && get(SUM_AT, 2) == sum_of();
}

void store_begin(struct rules_start *start)
{
    bool found = false;
    rules_usual(start);
    for (uint16_t k = 0; k < SLOTS; k++) {
        if (!read_record(k)) {
            continue;
        }
        const uint16_t number = (uint16_t)get(0, 2);
        if (found && (int16_t)(uint16_t)(number - sequence) <= 0) {
            continue;
        }
        found = true;
        sequence = number;
        slot = k;
        for (uint8_t v = 0; v < STORE_VALUES; v++) {
            const int32_t value = (int32_t)get((uint16_t)(2U + 4U * v), 4);
@TAKE@
        }
    }
#if RULES_KEPT > 0
    memcpy(stored, start->kept, sizeof start->kept);
#endif
#if RULES_SETTINGS > 0
    memcpy(settings, start->setting, sizeof settings);
    memcpy(&stored[RULES_KEPT], settings, sizeof settings);
#endif
    memcpy(waiting, stored, sizeof waiting);
    stayed = 0;
    written = RECORD;
}

void store_again(struct rules_start *start)
{
#if RULES_KEPT > 0
    rules_kept(start->kept);
#endif
#if RULES_SETTINGS > 0
    memcpy(start->setting, settings, sizeof settings);
#endif
}

static void begin_record(void)
{
    slot = (uint16_t)((slot + 1U) % SLOTS);
    sequence = (uint16_t)(sequence == 0xFFFEU ? 0U : sequence + 1U);
    put(0, sequence, 2);
    for (uint8_t v = 0; v < STORE_VALUES; v++) {
        put((uint16_t)(2U + 4U * v), (uint32_t)waiting[v], 4);
    }
    put(SUM_AT, sum_of(), 2);
    memcpy(stored, waiting, sizeof stored);
    written = 0;
}

void store_tick(void)
{
    int32_t now[STORE_VALUES];
    if (written < RECORD) {
        if (memory_ready()) {
            memory_write((uint16_t)(MEMORY_STORE + slot * RECORD + written), record[written]);
            written++;
        }
        return;
    }
#if RULES_KEPT > 0
    rules_kept(now);
#endif
#if RULES_SETTINGS > 0
    memcpy(&now[RULES_KEPT], settings, sizeof settings);
#endif
    if (memcmp(now, waiting, sizeof now) != 0) {
        memcpy(waiting, now, sizeof waiting);
        stayed = 0;
        return;
    }
    if (memcmp(now, stored, sizeof now) == 0) {
        return;
    }
    stayed++;
    if (stayed >= STAY) {
        begin_record();
    }
}

#if RULES_SETTINGS > 0
void store_step(uint8_t setting)
{
    settings[setting] = settings[setting] >= greatest[setting] ? least[setting] : settings[setting] + 1;
}

int32_t store_setting(uint8_t setting)
{
    return settings[setting];
}
#endif

#else
typedef int nothing_is_stored;
#endif
