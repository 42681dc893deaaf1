//! Which pins of the chip the plan uses for what.

use crate::fit::Unfit;
use plan::{Button, Plan};

/// The pins of the registers, all on port B, by bit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Pins {
    pub(crate) data: u8,
    pub(crate) clock: u8,
    pub(crate) latch: u8,
    pub(crate) dark: u8,
}

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
        let find = |word: &str| {
            let pin = plan.controller.pins.iter().find(|pin| pin.does.starts_with(word));
            let pin = pin.ok_or_else(|| Unfit(format!("the plan has no pin for `{word}`")))?;
            match port(&pin.port) {
                Some(('B', bit)) => Ok(bit),
                _ => Err(Unfit(format!("{} is on {}; the registers need port B", pin.does, pin.port))),
            }
        };
        let pins = Self {
            data: find("register data")?,
            clock: find("register clock")?,
            latch: find("register latch")?,
            dark: find("output enable")?,
        };
        if (pins.data, pins.clock) != (3, 5) {
            return Err(Unfit("the registers' data and clock must be on PB3 and PB5".to_owned()));
        }
        Ok(pins)
    }

    /// Whether a bit of port B is taken.
    pub(crate) fn uses(self, bit: u8) -> bool {
        [self.data, self.clock, self.latch, self.dark].contains(&bit)
    }
}

/// Port and bit of a button.
pub(crate) fn button_pin(button: &Button, pins: &Pins) -> Result<(char, u8), Unfit> {
    match port(&button.port) {
        Some(('B', bit)) if pins.uses(bit) => {
            Err(Unfit(format!("button {} shares a pin with the registers", button.name)))
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
