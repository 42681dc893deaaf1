/*
 * The controller's main program: @TITLE@.
 *
 * Every tick it reads the buttons, plays one tick of the rules, holds the outputs within their limits and sends them all to
 * the registers. Outputs are dark until the first whole frame, and stay dark after three resets within a minute, with a
 * wrong clock, and with boards wired for other rules. A beat after every frame holds the boards on. While somebody calls the
 * roll behind the service jumper, the game stops.
 */
#include "buttons.h"
#include "guard.h"
#include "limits.h"
#include "memory.h"
#include "rules.h"
#include "service.h"
#include "store.h"
#include "wiring.h"

#include <avr/eeprom.h>
#include <avr/io.h>
#include <avr/wdt.h>

/* Pins of port B. The registers' data and clock are where the chip's SPI has them. */
#define LATCH @LATCH@ /* a rising edge shows what was shifted */
#define DARK @DARK@ /* high is dark; the board pulls it up while the controller is not in charge */
#define DATA @DATA@
#define CLOCK @CLOCK@
#define BEAT @BEAT@ /* a change after every frame; boards are dark soon after the last one */
@DIM_DEFINE@
/* Timer 1: 16 MHz through @PRESCALE@, @COUNTS@ counts a tick. */
#define TICK_PRESCALE @PRESCALE_BITS@
#define TICK_COUNTS @COUNTS@U
#define TICKS_A_MINUTE @MINUTE@U

/* Kept from before the program's memory is cleared. */
static uint8_t reset_cause __attribute__((section(".noinit")));

/* Before anything else: the watchdog still runs after a reset of its own. */
void first_of_all(void) __attribute__((naked, used, section(".init3")));
void first_of_all(void)
{
    reset_cause = MCUSR;
    MCUSR = 0;
    wdt_disable();
}

bool memory_ready(void)
{
    return eeprom_is_ready();
}

uint8_t memory_read(uint16_t at)
{
    return eeprom_read_byte((const uint8_t *)at);
}

void memory_write(uint16_t at, uint8_t byte)
{
    eeprom_write_byte((uint8_t *)at, byte);
}

/* Shifts a whole frame, last byte first, and shows it. */
static void send(const uint8_t bits[WIRING_BYTES])
{
    for (uint8_t k = WIRING_BYTES; k > 0; k--) {
        SPDR = bits[k - 1];
        while ((SPSR & _BV(SPIF)) == 0) {
        }
    }
    PORTB |= _BV(LATCH);
    PORTB &= (uint8_t)~_BV(LATCH);
}

static void pins_begin(void)
{
    static const uint8_t nothing[WIRING_BYTES];
    PORTB = _BV(DARK);
    DDRB = _BV(DARK) | _BV(LATCH) | _BV(DATA) | _BV(CLOCK) | _BV(BEAT)@SELECT@;
@DIM_DARK@@PULL_UPS@    SPCR = _BV(SPE) | _BV(MSTR) | _BV(SPR0); /* 1 MHz, highest bit first */
    send(nothing);
}

/* A button connects its pin to ground. */
static rules_buttons read_buttons(void)
{
    rules_buttons down = 0;
@READ@    return down;
}

/* The jumper inside the lid connects its pin to ground. */
static bool is_jumper_closed(void)
{
    return (PIN@JUMPER_PORT@ & _BV(@JUMPER_BIT@)) == 0;
}

static void ticks_begin(void)
{
    TCCR1A = 0;
    TCCR1B = _BV(WGM12) | TICK_PRESCALE;
    OCR1A = TICK_COUNTS - 1U;
    TCNT1 = 0;
    TIFR1 = _BV(OCF1A);
}

static void wait_for_tick(void)
{
    while ((TIFR1 & _BV(OCF1A)) == 0) {
    }
    TIFR1 = _BV(OCF1A);
}

/* From here on the registers show what they hold. */
static void light(void)
{
    PORTB &= (uint8_t)~_BV(DARK);
@DIM_LIGHT@}

/* A fuse that divides the clock would make every tick eight times as long. */
static bool is_clock_right(void)
{
    return CLKPR == 0;
}

/* Until the service jumper has been open for a second and then closed for one: somebody is there and has looked. */
static void wait_for_somebody(void)
{
    while (!service_is_armed(is_jumper_closed())) {
        wait_for_tick();
        wdt_reset();
    }
}

static void stay_dark_if_need_be(void)
{
    while (!is_clock_right()) {
        wdt_reset();
    }
    if (guard_begin((reset_cause & _BV(PORF)) != 0) != GUARD_LIT) {
        wait_for_somebody();
        guard_somebody_came();
    }
}

static uint8_t bits[WIRING_BYTES]; /* what the registers hold */

/* Outputs as they are wanted, within their limits. */
static void put_out(const uint8_t wanted[WIRING_BYTES])
{
    limits_apply(wanted, bits);
    send(bits);
    PORTB ^= _BV(BEAT);
}

static void show(void)
{
    static struct rules_frame frame;
    static uint8_t wanted[WIRING_BYTES];
    rules_show(&frame);
#if RULES_SETTINGS > 0
    service_show(&frame);
#endif
    wiring_bits(&frame, wanted);
    put_out(wanted);
}

static void call(rules_buttons held)
{
    static uint8_t wanted[WIRING_BYTES];
    service_outputs(held, bits, wanted);
    put_out(wanted);
}

static void begin(void)
{
#if STORE_VALUES > 0
    struct rules_start start;
    store_begin(&start);
    rules_begin_from(&start);
#else
    rules_begin();
#endif
}

static void begin_again(void)
{
#if STORE_VALUES > 0
    struct rules_start start;
    store_again(&start);
    rules_begin_from(&start);
#else
    rules_begin();
#endif
    buttons_begin();
}

/* What outlasts power, in the ticks in which its memory is ready. */
static void remember(void)
{
    static uint16_t ticks;
    if (ticks < TICKS_A_MINUTE) {
        ticks++;
        if (ticks == TICKS_A_MINUTE) {
            guard_minute();
        }
    }
    guard_tick();
#if STORE_VALUES > 0
    store_tick();
#endif
}

#ifdef LAMPWRIGHT_TRIAL
#define WORKING(now) (GPIOR0 = (now))
#else
#define WORKING(now) ((void)0)
#endif

/* A tick of the game, or of whoever is at the service jumper. */
static void tick(void)
{
    rules_buttons pressed;
    rules_buttons held;
    buttons_tick(read_buttons(), &pressed, &held);
    switch (service_tick(is_jumper_closed(), pressed, held, bits)) {
    case SERVICE_GAME:
        rules_step(pressed, held);
        show();
        break;
    case SERVICE_ROLL_CALL:
        call(held);
        break;
    case SERVICE_BEGINS:
        begin_again();
        buttons_tick(read_buttons(), &pressed, &held);
        show();
        break;
    }
}

int main(void)
{
    rules_buttons pressed;
    rules_buttons held;

    pins_begin();
    wdt_enable(WDTO_250MS);
    ticks_begin();
    stay_dark_if_need_be();
    service_begin();
    limits_begin();
    buttons_begin();
    begin();
    ticks_begin();
    wdt_reset();
    buttons_tick(read_buttons(), &pressed, &held);
    show();
    light();
    for (;;) {
        wait_for_tick();
        WORKING(1);
        wdt_reset();
        tick();
        remember();
        WORKING(0);
    }
}
