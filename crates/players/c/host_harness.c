/* Plays ticks read from standard input: pressed, held, count of given picks, then each place and value. */
#include "rules.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

static uint8_t bytes[RULES_FRAME_BYTES + 1];
#if RULES_KEPT + RULES_SETTINGS > 0
static struct rules_start from;
#endif

static int give(unsigned count)
{
#if RULES_PICK_SITES > 0
    memset(&rules_trial, 0, sizeof rules_trial);
#endif
    for (; count > 0; count--) {
        unsigned site;
        int32_t value;
        if (scanf("%u %" SCNd32, &site, &value) != 2) {
            return 0;
        }
#if RULES_PICK_SITES > 0
        if (!rules_trial.given[site]) {
            rules_trial.given[site] = true;
            rules_trial.value[site] = value;
        }
#endif
    }
    return 1;
}

/* The first line: count of kept values and settings, then for each whether it is given and its value. */
static int start(void)
{
    unsigned count;
    if (scanf("%u", &count) != 1) {
        return 0;
    }
#if RULES_KEPT + RULES_SETTINGS > 0
    rules_usual(&from);
    int32_t *values = (int32_t *)&from;
#endif
    for (unsigned k = 0; k < count; k++) {
        unsigned is_given;
        int32_t value;
        if (scanf("%u %" SCNd32, &is_given, &value) != 2) {
            return 0;
        }
#if RULES_KEPT + RULES_SETTINGS > 0
        if (is_given) {
            values[k] = value;
        }
#endif
    }
    return 1;
}

static void begin(void)
{
#if RULES_KEPT + RULES_SETTINGS > 0
    rules_begin_from(&from);
#else
    rules_begin();
#endif
}

static void print(void)
{
    struct rules_frame frame;
    rules_show(&frame);
    const uint16_t count = rules_frame_bytes(&frame, bytes);
    putchar('f');
    for (uint16_t k = 0; k < count; k++) {
        printf("%02x", (unsigned)bytes[k]);
    }
    printf(" %" PRIu32, rules_fingerprint());
#if RULES_PICK_SITES > 0
    for (uint16_t k = 0; k < rules_trial.picked; k++) {
        printf(" %u %" PRId32, (unsigned)rules_trial.picked_site[k], rules_trial.picked_value[k]);
    }
#endif
    putchar('\n');
}

int main(void)
{
    uint32_t pressed;
    uint32_t held;
    unsigned count;
    bool begun = false;
    if (!start()) {
        return 1;
    }
    while (scanf("%" SCNu32 " %" SCNu32 " %u", &pressed, &held, &count) == 3) {
        if (!give(count)) {
            return 1;
        }
        if (begun) {
            rules_step((rules_buttons)pressed, (rules_buttons)held);
        } else {
            begin();
            begun = true;
        }
        print();
    }
    return 0;
}
