//! The whole project: every file of the firmware.

use crate::core_c::rules_c;
use crate::fit::Unfit;
use crate::names::Names;
use crate::pins::{Pins, button_pin};
use crate::writer::{Writer, harmless};
use crate::{limits_c, service_c, store_c, wiring_c};
use finding::Sheet;
use plan::Plan;
use rules::form::Form;
use std::collections::BTreeMap;

/// Clock of the controllers this firmware is written for.
const CLOCK_HZ: u32 = 16_000_000;

/// Every file of the firmware by its name, or why there is none.
///
/// Where a danger withholds the firmware there is none either.
pub fn project(plan: &Plan, form: &Form) -> Result<BTreeMap<String, String>, Unfit> {
    if plan.withholds(Sheet::Firmware) {
        return Err(Unfit(
            "a danger withholds the firmware; the findings say what would clear it".to_owned(),
        ));
    }
    let pins = Pins::of(plan)?;
    if plan.controller.clock_hz != CLOCK_HZ {
        return Err(Unfit(format!(
            "the controller runs at {} Hz; this firmware needs 16 MHz",
            plan.controller.clock_hz
        )));
    }
    if !plan.buttons.iter().map(|button| &button.name).eq(&form.buttons) {
        return Err(Unfit("the plan does not give every button of the rules a pin".to_owned()));
    }
    let (header, source) = rules_c(form)?;
    let names = Names::of(form);
    let wiring = wiring_c::wiring(plan, form, &names)?;
    let files = [
        ("rules.h", header),
        ("rules.c", source),
        ("wiring.h", wiring_c::header(plan, form)),
        ("wiring.c", wiring),
        ("limits.h", include_str!("templates/limits.h").to_owned()),
        ("limits.c", limits_c::limits(plan, form)?),
        ("memory.h", include_str!("templates/memory.h").to_owned()),
        ("guard.h", include_str!("templates/guard.h").to_owned()),
        ("guard.c", include_str!("templates/guard.c").to_owned()),
        ("store.h", include_str!("templates/store.h").to_owned()),
        ("store.c", store_c::store(form)?),
        ("service.h", include_str!("templates/service.h").to_owned()),
        ("service.c", service_c::service(plan, form)?),
        ("table.h", include_str!("templates/table.h").to_owned()),
        ("buttons.h", include_str!("templates/buttons.h").to_owned()),
        ("buttons.c", buttons_c(form.tick_ms)),
        ("main.c", main_c(plan, form, &names, &pins)?),
        ("Makefile", include_str!("templates/Makefile").to_owned()),
        ("README.txt", readme(plan)),
    ];
    Ok(files.into_iter().map(|(path, text)| (path.to_owned(), text)).collect())
}

/// `buttons.c` for a tick length.
pub fn buttons_c(tick_ms: u32) -> String {
    let lockout = rules::conditioner::LOCKOUT_MS;
    include_str!("templates/buttons.c")
        .replace("@LOCKOUT_MS@", &lockout.to_string())
        .replace("@LOCKOUT@", &lockout.div_ceil(tick_ms.max(1)).to_string())
}

/// The least prescaler of timer 1 with which a tick is a whole number of counts that the timer holds.
fn timer(tick_ms: u32) -> Option<(u32, &'static str, u32)> {
    let cycles = CLOCK_HZ / 1000 * tick_ms;
    [(8, "_BV(CS11)"), (64, "(_BV(CS11) | _BV(CS10))"), (256, "_BV(CS12)"), (1024, "(_BV(CS12) | _BV(CS10))")]
        .into_iter()
        .find(|(prescale, _)| cycles.is_multiple_of(*prescale) && cycles / prescale <= 65_536)
        .map(|(prescale, bits)| (prescale, bits, cycles / prescale))
}

fn main_c(plan: &Plan, form: &Form, names: &Names, pins: &Pins) -> Result<String, Unfit> {
    let (prescale, bits, counts) =
        timer(form.tick_ms).ok_or_else(|| Unfit(format!("timer 1 cannot count {} ms", form.tick_ms)))?;
    let mut pull_ups = Writer::default();
    let mut read = Writer::default();
    pull_ups.open("");
    read.open("");
    for (button, name) in plan.buttons.iter().zip(&names.buttons) {
        let (port, bit) = button_pin(button, pins)?;
        pull_ups.line(&format!("PORT{port} |= _BV({bit}); {}", crate::writer::comment(&button.name)));
        read.open(&format!("if ((PIN{port} & _BV({bit})) == 0) {{"));
        read.line(&format!("down |= {name};"));
        read.close("}");
    }
    let (jumper_port, jumper_bit) = pins.jumper;
    pull_ups.line(&format!("PORT{jumper_port} |= _BV({jumper_bit}); /* the service jumper */"));
    let lines = |writer: Writer| writer.finish().strip_prefix('\n').map(str::to_owned).unwrap_or_default();
    // SPI stays master only while its select pin is an output.
    let select = if pins.uses(2) { "" } else { " | _BV(2)" };
    let [dim_define, dim_dark, dim_light] = if pins.dims { dimming() } else { Default::default() };
    Ok(include_str!("templates/main.c")
        .replace("@TITLE@", &harmless(&plan.title))
        .replace("@LATCH@", &pins.latch.to_string())
        .replace("@DARK@", &pins.dark.to_string())
        .replace("@DATA@", &pins.data.to_string())
        .replace("@CLOCK@", &pins.clock.to_string())
        .replace("@PRESCALE@", &prescale.to_string())
        .replace("@PRESCALE_BITS@", bits)
        .replace("@COUNTS@", &counts.to_string())
        .replace("@MINUTE@", &(60_000 / form.tick_ms).to_string())
        .replace("@BEAT@", &pins.beat.to_string())
        .replace("@JUMPER_PORT@", &jumper_port.to_string())
        .replace("@JUMPER_BIT@", &jumper_bit.to_string())
        .replace("@DIM_DEFINE@", &dim_define)
        .replace("@DIM_DARK@", &dim_dark)
        .replace("@DIM_LIGHT@", &dim_light)
        .replace("@SELECT@", select)
        .replace("@PULL_UPS@", &lines(pull_ups))
        .replace("@READ@", &lines(read)))
}

/// What dims the digits: timer 0 in fast mode through 64 is 977 Hz, too fast to be seen; its pin is low, and the digits
/// lit, for `counts` of 256.
fn dimming() -> [String; 3] {
    let counts = (plan::DIGITS_PERCENT.clamp(1, 100) * 256).div_ceil(100);
    let level = counts - 1;
    let define = format!(
        "/* The digits' own enable, low is on: {} % of the time, by timer 0. */\n#define DIM 6\n#define DIM_LEVEL {level}U\n",
        plan::DIGITS_PERCENT
    );
    let dark = "    PORTD |= _BV(DIM);\n    DDRD |= _BV(DIM);\n".to_owned();
    let light = "    OCR0A = DIM_LEVEL;\n    TCCR0A = _BV(COM0A1) | _BV(COM0A0) | _BV(WGM01) | _BV(WGM00);\n    TCCR0B = _BV(CS01) | _BV(CS00);\n".to_owned();
    [define, dark, light]
}

fn readme(plan: &Plan) -> String {
    let mut pins = String::new();
    for pin in &plan.controller.pins {
        pins.push_str(&format!("  {:4} ({})  {}\n", pin.pin, pin.port, pin.does));
    }
    include_str!("templates/README.txt")
        .replace("@TITLE@", &plan.title)
        .replace("@PINS@", &pins)
        .replace("@WATCH@", &watch(plan))
}

/// What the watch does with the beat, in lines of the readme.
fn watch(plan: &Plan) -> String {
    plan.watch.as_ref().map_or(String::new(), |watch| {
        format!(
            "  The boards need the watch {} of the book's wiring pages: it holds the outputs on for {:.0} to {:.0} ms after the pin\n  \
             rises, which it does every {} ms. Without it nothing puts them dark when the controller stops.\n",
            watch.label, watch.shortest_ms, watch.longest_ms, watch.beat_ms
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Data sheet, "Timer/Counter1": at 16 MHz a count is 0.5 us with prescaler 8, 4 us with 64.
    #[test]
    fn the_timer_counts_whole_ticks() {
        assert_eq!(timer(10), Some((8, "_BV(CS11)", 20_000)));
        assert_eq!(timer(100), Some((64, "(_BV(CS11) | _BV(CS10))", 25_000)));
        for tick_ms in 1..=100 {
            let (prescale, _, counts) = timer(tick_ms).unwrap();
            assert_eq!(prescale * counts, 16_000 * tick_ms, "{tick_ms} ms");
        }
    }
}
