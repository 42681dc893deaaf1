/*
 * A press counts on its first edge; then the contact may chatter for the lockout without being heard; and a button that is
 * down when play begins counts for nothing until it has been let go.
 */
#include "buttons.h"

/* The lockout in ticks: @LOCKOUT_MS@ ms. */
#define LOCKOUT @LOCKOUT@

struct button {
    bool unheard; /* down since before the start */
    bool down;
    uint8_t wait; /* ticks of lockout left */
};

static struct button buttons[RULES_BUTTONS + 1];

void buttons_begin(void)
{
    for (uint8_t k = 0; k < RULES_BUTTONS; k++) {
        buttons[k].unheard = true;
        buttons[k].down = false;
        buttons[k].wait = 0;
    }
}

/* One tick of one button; gives true for a press. */
static bool tick(struct button *button, bool raw)
{
    if (button->unheard) {
        button->unheard = raw;
        return false;
    }
    if (button->wait > 0) {
        button->wait--;
        return false;
    }
    if (raw == button->down) {
        return false;
    }
    button->down = raw;
    button->wait = LOCKOUT;
    return raw;
}

void buttons_tick(rules_buttons down, rules_buttons *pressed, rules_buttons *held)
{
    *pressed = 0;
    *held = 0;
    for (uint8_t k = 0; k < RULES_BUTTONS; k++) {
        const rules_buttons bit = (rules_buttons)((rules_buttons)1U << k);
        if (tick(&buttons[k], (down & bit) != 0U)) {
            *pressed |= bit;
        }
        if (buttons[k].down) {
            *held |= bit;
        }
    }
}
