//! Whether rules fit the controller, and in how many bytes.

use rules::form::{Action, Form, Machine, Node};
use std::fmt;

/// Memory of an ATmega328P in bytes (data sheet, section "Memories").
const RAM_BYTES: usize = 2048;
/// Kept free for the stack: calls are at most about ten deep, with few locals each.
const STACK_BYTES: usize = 512;
/// Buttons in a set of bits.
const MOST_BUTTONS: usize = 32;
/// Sides in a set of bits, where ties are settled.
const MOST_SIDES: usize = 8;
/// Poses a byte can tell apart, one value being dark.
const MOST_POSES: usize = 254;

/// Why no firmware is written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unfit(pub String);

impl fmt::Display for Unfit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for Unfit {}

/// The least type that holds a range; signed where both would do, because an unsigned one as wide as `int` would make its
/// neighbours in an operation unsigned too. What is left for `uint16_t` is worked out in 32 bits.
pub(crate) fn number_type(min: i32, max: i32) -> &'static str {
    match (min, max) {
        (0.., ..=255) => "uint8_t",
        (-128.., ..=127) => "int8_t",
        (-32_768.., ..=32_767) => "int16_t",
        (0.., ..=65_535) => "uint16_t",
        _ => "int32_t",
    }
}

/// The type of a machine's number: a bag holds a bit for each of its values.
pub(crate) fn field_type(machine: &Machine, number: usize) -> &'static str {
    let draws = |action: &Action| {
        stored(action).is_some_and(|value| matches!(value.node, Node::Draw { bag, .. } if bag == number))
    };
    let is_bag = actions(machine).any(draws);
    let range = &machine.numbers[number];
    if is_bag { "uint32_t" } else { number_type(range.min, range.max) }
}

/// The least type for a timer: its longest ticks and one more.
pub(crate) fn timer_type(machine: &Machine, timer: usize) -> &'static str {
    match longest(machine, timer) {
        ..=254 => "uint8_t",
        255..=65_534 => "uint16_t",
        _ => "uint32_t",
    }
}

/// The longest a timer is ever started for.
fn longest(machine: &Machine, timer: usize) -> u32 {
    let dwells = machine.states.iter().flat_map(|state| &state.dwells);
    let started = dwells.filter(|dwell| dwell.timer == timer).map(|dwell| dwell.ticks).max();
    machine.timers[timer].max.max(started.unwrap_or(0))
}

/// The least type with a bit for every button.
pub(crate) fn buttons_type(form: &Form) -> &'static str {
    match form.buttons.len() {
        ..=8 => "uint8_t",
        9..=16 => "uint16_t",
        _ => "uint32_t",
    }
}

fn bytes(kind: &str) -> usize {
    match kind {
        "uint8_t" | "int8_t" => 1,
        "uint16_t" | "int16_t" => 2,
        _ => 4,
    }
}

/// Bytes of memory that the rules, the frame and the buttons take, the stack left out.
pub fn memory(form: &Form) -> usize {
    let mut situation = form.messages.len().div_ceil(8) + bytes(buttons_type(form)) + form.sounds.len();
    for machine in &form.machines {
        situation += if machine.states.len() > 256 { 2 } else { 1 };
        situation += (0..machine.numbers.len()).map(|i| bytes(field_type(machine, i))).sum::<usize>();
        situation += (0..machine.timers.len()).map(|timer| bytes(timer_type(machine, timer))).sum::<usize>();
        situation += if crate::core_c::picks(machine) { 4 } else { 0 };
    }
    let frame = form.figures.len() + form.spots.len() + 5 * form.digits.len() + form.sounds.len();
    // What tick 0 starts from, which its caller holds, and the settings.
    let start = 4 * form.kept().len() + 8 * form.settings.len();
    // Two situations; the frame; buttons of the tick and two bytes of conditioning each; the output bits and counters.
    2 * situation + start + frame + 2 * bytes(buttons_type(form)) + 2 * form.buttons.len() + 32
}

/// Whether the rules can run on the controller.
pub(crate) fn check(form: &Form) -> Result<(), Unfit> {
    let refuse = |words: String| Err(Unfit(words));
    if form.buttons.len() > MOST_BUTTONS {
        return refuse(format!(
            "{} buttons are more than the controller's {MOST_BUTTONS}",
            form.buttons.len()
        ));
    }
    if let Some(figure) = form.figures.iter().find(|figure| figure.poses.len() > MOST_POSES) {
        return refuse(format!("{} has {} poses; {MOST_POSES} fit", figure.name, figure.poses.len()));
    }
    if !(1..=100).contains(&form.tick_ms) {
        return refuse(format!("a tick of {} ms: the watchdog allows 1 to 100", form.tick_ms));
    }
    for machine in &form.machines {
        if (0..machine.timers.len()).any(|timer| longest(machine, timer) >= u32::from(u16::MAX) * 32_767) {
            return refuse(format!("{} has a timer longer than the controller can count", machine.name));
        }
        if machine.states.len() > usize::from(u16::MAX) {
            return refuse(format!("{} has too many states", machine.name));
        }
        if machine.ties.is_some() && form.sides.len() > MOST_SIDES {
            return refuse(format!("{} settles ties of more than {MOST_SIDES} sides", machine.name));
        }
        for action in actions(machine) {
            check_pick(machine, action)?;
        }
    }
    let needed = memory(form) + STACK_BYTES;
    if needed > RAM_BYTES {
        return refuse(format!(
            "the rules need about {needed} bytes of memory; the controller has {RAM_BYTES}"
        ));
    }
    Ok(())
}

/// The value that an action stores.
pub(crate) fn stored(action: &Action) -> Option<&rules::form::Expr> {
    match action {
        Action::Set { to: value, .. } | Action::Start { ticks: value, .. } => Some(value),
        _ => None,
    }
}

/// Everything a machine can do.
pub(crate) fn actions(machine: &Machine) -> impl Iterator<Item = &Action> {
    machine.states.iter().flat_map(|state| {
        let ways = state.transitions.iter().flat_map(|way| &way.actions);
        state.entry.iter().chain(&state.exit).chain(ways)
    })
}

fn check_pick(machine: &Machine, action: &Action) -> Result<(), Unfit> {
    let Some(value) = stored(action) else { return Ok(()) };
    match value.node {
        Node::Pick { lo, hi, .. } if lo.abs_diff(hi.max(lo)) > 65_535 => {
            Err(Unfit(format!("{} picks from more than 65536 values", machine.name)))
        }
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_least_type_holds_both_ends() {
        let cases = [
            ((0, 255), "uint8_t"),
            ((0, 256), "int16_t"),
            ((0, 32_768), "uint16_t"),
            ((-1, 127), "int8_t"),
            ((-1, 128), "int16_t"),
            ((-128, 0), "int8_t"),
            ((-129, 0), "int16_t"),
            ((0, 65_535), "uint16_t"),
            ((-1, 40_000), "int32_t"),
        ];
        for ((min, max), kind) in cases {
            assert_eq!(number_type(min, max), kind, "{min}..{max}");
        }
    }
}
