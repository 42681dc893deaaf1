/* Plays one tick for every request that is put into the general purpose register 0: 1 begins, 2 steps; 0 when done. */
#include "rules.h"

#include <avr/io.h>

struct mailbox {
    uint32_t pressed;
    uint32_t held;
    uint32_t fingerprint;
    uint16_t trial;
    uint16_t start;
    uint8_t bytes[RULES_FRAME_BYTES + 1];
};

static volatile struct mailbox mailbox;
static struct rules_frame frame;
#if RULES_KEPT + RULES_SETTINGS > 0
static struct rules_start start;
#endif

int main(void)
{
#if RULES_PICK_SITES > 0
    mailbox.trial = (uint16_t)(uintptr_t)&rules_trial;
#endif
#if RULES_KEPT + RULES_SETTINGS > 0
    mailbox.start = (uint16_t)(uintptr_t)&start;
    rules_usual(&start);
#endif
    GPIOR1 = (uint8_t)((uintptr_t)&mailbox & 0xFFU);
    GPIOR2 = (uint8_t)((uintptr_t)&mailbox >> 8);
    for (;;) {
        GPIOR0 = 0;
        while (GPIOR0 == 0) {
        }
        if (GPIOR0 == 1) {
#if RULES_KEPT + RULES_SETTINGS > 0
            rules_begin_from(&start);
#else
            rules_begin();
#endif
        } else {
            rules_step((rules_buttons)mailbox.pressed, (rules_buttons)mailbox.held);
        }
        rules_show(&frame);
        (void)rules_frame_bytes(&frame, (uint8_t *)mailbox.bytes);
        mailbox.fingerprint = rules_fingerprint();
    }
}
