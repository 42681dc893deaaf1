/*
 * The service jumper, seen open for a second and then closed for one, arms it: one that was forgotten does nothing. Settings
 * come first, where there are any, while the game goes on. Then the roll call: the game stops and all goes dark. Each press
 * goes on to the next output in the order of the test sheet, which is lit, alone, for as long as a button is held; after
 * the last one all of them together. A button other than the first goes back. Opening the jumper ends it: all goes dark,
 * and the game begins from its beginning.
 */
#include "service.h"
#include "store.h"
#include "table.h"

#include <string.h>

#define SECOND @SECOND@U /* ticks */

/* The outputs in the order of the test sheet: output k is bit k % 8 of byte k / 8. */
#define CALLED @CALLED@
TABLE uint8_t order[CALLED + 1] = { @ORDER@ };

static uint16_t open_for;
static uint16_t closed_for;
static bool armed;
static bool calling;
static bool begun; /* whether anything has been called */
static uint8_t at; /* in the order; one more is all together */
#if RULES_SETTINGS > 0
static uint8_t setting;
static uint16_t held_for;
#endif

void service_begin(void)
{
    open_for = 0;
    closed_for = 0;
    armed = false;
    calling = false;
}

bool service_is_armed(bool is_closed)
{
    if (!is_closed) {
        open_for = (uint16_t)(open_for < SECOND ? open_for + 1U : open_for);
        closed_for = 0;
        armed = false;
    } else if (armed) {
        open_for = 0;
    } else if (open_for >= SECOND) {
        closed_for++;
        armed = closed_for >= SECOND;
    } else {
        open_for = 0;
    }
    return armed;
}

static bool is_dark(const uint8_t bits[WIRING_BYTES])
{
    uint8_t any = 0;
    for (uint8_t k = 0; k < WIRING_BYTES; k++) {
        any |= bits[k];
    }
    return any == 0;
}

#if RULES_SETTINGS > 0
#if RULES_BUTTONS == 1
/*
 * With one button: held for a second and let go of, it steps the setting; held for two, it goes on to the next one. Gives
 * true once the last one has been passed.
 */
static bool is_done_with_settings(rules_buttons held)
{
    if (held != 0) {
        held_for = (uint16_t)(held_for < 2U * SECOND ? held_for + 1U : held_for);
        if (held_for == 2U * SECOND) {
            setting++;
            held_for++; /* once for each time it is held */
        }
        return setting >= RULES_SETTINGS;
    }
    if (held_for >= SECOND && held_for < 2U * SECOND) {
        store_step(setting);
    }
    held_for = 0;
    return false;
}
#else
/*
 * Holding the first button for a second steps the setting, and goes on doing so; holding another one goes to the next
 * setting. Gives true once the last one has been passed.
 */
static bool is_done_with_settings(rules_buttons held)
{
    held_for = (uint16_t)(held != 0 ? held_for + 1U : 0U);
    if (held_for >= SECOND) {
        held_for = 0;
        if ((held & 1U) != 0) {
            store_step(setting);
        } else {
            setting++;
        }
    }
    return setting >= RULES_SETTINGS;
}
#endif

void service_show(struct rules_frame *frame)
{
#if RULES_DIGITS > 0
    if (armed && !calling) {
        frame->number[0] = store_setting(setting);
        frame->zeros[0] = false;
    }
#else
    (void)frame;
#endif
}
#endif

/* A press while no other button is down. */
static void call(rules_buttons pressed, rules_buttons held)
{
    if (pressed == 0 || held != pressed) {
        return;
    }
    if ((pressed & 1U) != 0) {
        at = (uint8_t)(begun && at != CALLED ? at + 1U : 0U);
    } else {
        at = (uint8_t)(begun && at != 0U ? at - 1U : CALLED);
    }
    begun = true;
}

enum service service_tick(bool is_closed, rules_buttons pressed, rules_buttons held, const uint8_t shown[WIRING_BYTES])
{
    const bool was_armed = armed;
    (void)service_is_armed(is_closed);
    if (calling) {
        if (!armed && is_dark(shown)) {
            calling = false;
            return SERVICE_BEGINS;
        }
        call(pressed, held);
        return SERVICE_ROLL_CALL;
    }
    if (!armed) {
        return SERVICE_GAME;
    }
#if RULES_SETTINGS > 0
    if (!was_armed) {
        setting = 0;
        held_for = 0;
    }
    if (!is_done_with_settings(held)) {
        return SERVICE_GAME;
    }
#endif
    (void)was_armed;
    calling = true;
    begun = false; /* what is held by now counts for nothing */
    return SERVICE_ROLL_CALL;
}

void service_outputs(rules_buttons held, const uint8_t shown[WIRING_BYTES], uint8_t wanted[WIRING_BYTES])
{
    uint8_t others = 0;
    memset(wanted, 0, WIRING_BYTES);
    if (!armed || !begun || held == 0) {
        return;
    }
    for (uint8_t k = 0; k < CALLED; k++) {
        const uint8_t output = BYTE(order[k]);
        if (at == k || at == CALLED) {
            wanted[output / 8U] |= (uint8_t)(1U << output % 8U);
        }
    }
    /* What a limit still keeps lit goes dark first. */
    for (uint8_t k = 0; k < WIRING_BYTES; k++) {
        others |= (uint8_t)(shown[k] & (uint8_t)~wanted[k]);
    }
    if (others != 0) {
        memset(wanted, 0, WIRING_BYTES);
    }
}
