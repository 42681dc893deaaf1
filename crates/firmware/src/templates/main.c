/*
 * The controller's main program: @TITLE@.
 *
 * Every tick it reads the buttons, plays one tick of the rules and sends the whole frame to the registers. Outputs are dark
 * until the first whole frame. The watchdog resets a controller that hangs; three resets within a minute leave it dark
 * until its power is cycled, so that a failing controller cannot flash.
 */
#include "buttons.h"
#include "rules.h"
#include "wiring.h"

#include <avr/io.h>
#include <avr/wdt.h>

/* Pins of port B. The registers' data and clock are where the chip's SPI has them. */
#define LATCH @LATCH@ /* a rising edge shows what was shifted */
#define DARK @DARK@ /* high is dark; the board pulls it up while the controller is not in charge */
#define DATA @DATA@
#define CLOCK @CLOCK@

/* Timer 1: 16 MHz through @PRESCALE@, @COUNTS@ counts a tick. */
#define TICK_PRESCALE @PRESCALE_BITS@
#define TICK_COUNTS @COUNTS@U
#define TICKS_A_MINUTE @MINUTE@U

/* Kept over a reset: memory that nothing clears. */
#define KEPT __attribute__((section(".noinit")))
#define KEPT_IS_GOOD 0x4C57U
static uint16_t kept_is_good KEPT;
static uint16_t ticks_since_last KEPT; /* ticks since the last reset, up to a minute */
static uint16_t ticks_since_one_before KEPT; /* and since the one before that */
static uint8_t stays_dark KEPT;

static uint8_t reset_cause KEPT;

/* Before anything else: the watchdog still runs after a reset of its own. */
void first_of_all(void) __attribute__((naked, used, section(".init3")));
void first_of_all(void)
{
    reset_cause = MCUSR;
    MCUSR = 0;
    wdt_disable();
}

/* Counts resets; power coming up starts anew. */
static void count_resets(void)
{
    if ((reset_cause & _BV(PORF)) != 0 || kept_is_good != KEPT_IS_GOOD) {
        kept_is_good = KEPT_IS_GOOD;
        ticks_since_last = TICKS_A_MINUTE;
        ticks_since_one_before = TICKS_A_MINUTE;
        stays_dark = 0;
        return;
    }
    if (ticks_since_one_before < TICKS_A_MINUTE) {
        stays_dark = 1;
    }
    ticks_since_one_before = ticks_since_last;
    ticks_since_last = 0;
}

static void count_tick_since_resets(void)
{
    if (ticks_since_last < TICKS_A_MINUTE) {
        ticks_since_last++;
    }
    if (ticks_since_one_before < TICKS_A_MINUTE) {
        ticks_since_one_before++;
    }
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
    DDRB = _BV(DARK) | _BV(LATCH) | _BV(DATA) | _BV(CLOCK)@SELECT@;
@PULL_UPS@    SPCR = _BV(SPE) | _BV(MSTR) | _BV(SPR0); /* 1 MHz, highest bit first */
    send(nothing);
}

/* A button connects its pin to ground. */
static rules_buttons read_buttons(void)
{
    rules_buttons down = 0;
@READ@    return down;
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

static void show(void)
{
    static struct rules_frame frame;
    static uint8_t bits[WIRING_BYTES];
    rules_show(&frame);
    wiring_bits(&frame, bits);
    send(bits);
}

int main(void)
{
    rules_buttons pressed;
    rules_buttons held;

    pins_begin();
    count_resets();
    wdt_enable(WDTO_250MS);
    while (stays_dark != 0) {
        wdt_reset();
    }
    buttons_begin();
    ticks_begin();
    buttons_tick(read_buttons(), &pressed, &held);
    rules_begin();
    show();
    PORTB &= (uint8_t)~_BV(DARK);
    for (;;) {
        wait_for_tick();
        wdt_reset();
        count_tick_since_resets();
        buttons_tick(read_buttons(), &pressed, &held);
        rules_step(pressed, held);
        show();
    }
}
