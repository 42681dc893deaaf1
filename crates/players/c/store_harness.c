/*
 * Plays guard.c and store.c over a memory that fails. Commands on standard input, one a line:
 *   start P        power comes up (P 1) or a reset (P 0); prints why it is dark, and the values that tick 0 starts from
 *   run T V        T ticks in which the kept value is V; the memory is ready in every second tick
 *   minute         a minute has passed
 *   came           somebody closed the jumper
 *   step           steps the first setting
 *   cut N          power is cut after N more bytes are written: the next one is spoilt, all others are lost
 *   whole          power is back
 *   count          prints the bytes written so far, and the most written to one place
 */
#include "guard.h"
#include "memory.h"
#include "store.h"

#include <stdio.h>
#include <string.h>

static uint8_t memory[MEMORY_BYTES];
static unsigned wear[MEMORY_BYTES];
static unsigned total;
static long left = -1;
static bool ready = true;
static bool late;
static int32_t best;

bool memory_ready(void)
{
    return ready;
}

uint8_t memory_read(uint16_t at)
{
    return memory[at];
}

void memory_write(uint16_t at, uint8_t byte)
{
    if (!ready) {
        late = true;
    }
    if (left == 0) {
        memory[at] = (uint8_t)(byte | 0x81U);
        left = -2;
        return;
    }
    if (left == -2) {
        return;
    }
    left = left > 0 ? left - 1 : left;
    memory[at] = byte;
    wear[at]++;
    total++;
}

void rules_usual(struct rules_start *start)
{
    start->kept[0] = 7;
    start->setting[0] = 3;
}

void rules_kept(int32_t kept[RULES_KEPT])
{
    kept[0] = best;
}

static void begin(int power)
{
    struct rules_start start;
    const int why = (int)guard_begin(power != 0);
    store_begin(&start);
    best = start.kept[0];
    printf("%d %ld %ld\n", why, (long)start.kept[0], (long)start.setting[0]);
}

static void run(long ticks, long value)
{
    best = (int32_t)value;
    for (long k = 0; k < ticks; k++) {
        ready = k % 2 == 0;
        const unsigned before = total;
        guard_tick();
        if (total != before) {
            ready = false;
        }
        store_tick();
        if (late || total > before + 1) {
            printf("written while not ready\n");
            late = false;
        }
    }
    ready = true;
}

int main(void)
{
    char word[16];
    memset(memory, 0xFF, sizeof memory);
    while (scanf("%15s", word) == 1) {
        long one = 0;
        long two = 0;
        if (strcmp(word, "start") == 0 && scanf("%ld", &one) == 1) {
            begin((int)one);
        } else if (strcmp(word, "run") == 0 && scanf("%ld %ld", &one, &two) == 2) {
            run(one, two);
        } else if (strcmp(word, "minute") == 0) {
            guard_minute();
        } else if (strcmp(word, "came") == 0) {
            guard_somebody_came();
        } else if (strcmp(word, "step") == 0) {
            store_step(0);
        } else if (strcmp(word, "cut") == 0 && scanf("%ld", &one) == 1) {
            left = one;
        } else if (strcmp(word, "whole") == 0) {
            left = -1;
        } else if (strcmp(word, "count") == 0) {
            unsigned most = 0;
            for (unsigned k = MEMORY_STORE; k < MEMORY_BYTES; k++) {
                most = wear[k] > most ? wear[k] : most;
            }
            printf("%u %u\n", total, most);
        }
    }
    return 0;
}
