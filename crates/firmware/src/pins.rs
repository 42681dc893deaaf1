//! Which pins of the chip the plan uses for what.

use crate::fit::Unfit;
use plan::{Button, Plan};

/// The pins that are not buttons': all on port B by bit, but for the jumper and the timer's pin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Pins {
    pub(crate) data: u8,
    pub(crate) clock: u8,
    pub(crate) latch: u8,
    pub(crate) dark: u8,
    pub(crate) beat: u8,
    pub(crate) jumper: (char, u8),
    /// Whether digits are dimmed, by the output of timer 0 on PD6.
    pub(crate) dims: bool,
}

/// Where timer 0 puts its first compare output (data sheet, "Alternate Functions of Port D").
const TIMER_PIN: (char, u8) = ('D', 6);

/// Port and bit of a name such as `PB3`.
fn port(name: &str) -> Option<(char, u8)> {
    let mut letters = name.strip_prefix('P')?.chars();
    let port = letters.next().filter(|port| "BCD".contains(*port))?;
    let bit = letters.as_str().parse().ok().filter(|bit| *bit < 8)?;
    Some((port, bit))
}

impl Pins {
    /// The pins of a plan. Data and clock have to be those of the chip's SPI.
    pub(crate) fn of(plan: &Plan) -> Result<Self, Unfit> {
        let pin = |word: &str| plan.controller.pins.iter().find(|pin| pin.does.starts_with(word));
        let any = |word: &str| {
            let pin = pin(word).ok_or_else(|| Unfit(format!("the plan has no pin for `{word}`")))?;
            port(&pin.port)
                .ok_or_else(|| Unfit(format!("{} is on {}, no pin of the chip", pin.does, pin.port)))
        };
        let find = |word: &str| match any(word)? {
            ('B', bit) => Ok(bit),
            (port, bit) => Err(Unfit(format!("`{word}` is on P{port}{bit}; it needs port B"))),
        };
        let segments = |channel: &plan::Channel| matches!(channel.lit_by, plan::LitBy::Segment { .. });
        let dims = plan.channels.iter().any(segments);
        if dims && any("digits enable")? != TIMER_PIN {
            return Err(Unfit("the digits' enable must be on PD6, where a timer can dim them".to_owned()));
        }
        let pins = Self {
            data: find("register data")?,
            clock: find("register clock")?,
            latch: find("register latch")?,
            dark: find("output enable")?,
            beat: find("heartbeat")?,
            jumper: any("service jumper")?,
            dims,
        };
        if (pins.data, pins.clock) != (3, 5) {
            return Err(Unfit("the registers' data and clock must be on PB3 and PB5".to_owned()));
        }
        Ok(pins)
    }

    /// Whether a bit of port B is taken.
    pub(crate) fn uses(self, bit: u8) -> bool {
        self.takes(('B', bit))
    }

    fn takes(self, pin: (char, u8)) -> bool {
        let on_b = [self.data, self.clock, self.latch, self.dark, self.beat];
        pin == self.jumper || self.dims && pin == TIMER_PIN || pin.0 == 'B' && on_b.contains(&pin.1)
    }
}

/// Port and bit of a button.
pub(crate) fn button_pin(button: &Button, pins: &Pins) -> Result<(char, u8), Unfit> {
    match port(&button.port) {
        Some(pin) if pins.takes(pin) => {
            Err(Unfit(format!("button {} shares a pin with something else", button.name)))
        }
        Some(pin) => Ok(pin),
        None => Err(Unfit(format!("button {} has no pin of the chip: {}", button.name, button.port))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pins_are_read_by_port_and_bit() {
        assert_eq!(port("PB3"), Some(('B', 3)));
        assert_eq!([port("PA1"), port("PB8"), port("B3"), port("PD")], [None; 4]);
    }
}
