//! The watch on the heartbeat, as the plan has it: when the boards are held on, from what is seen at the controller's pins.
//!
//! A rising edge of the beat holds for one pulse, whatever comes after; the gates let nothing through without it. How long
//! the pulse is depends on the parts: the test takes the longest where something must be dark, the shortest where it must
//! be lit.

use crate::pins::CYCLES_A_MS;
use emulated::PinChange;

const BEAT: (char, u8) = ('B', 0);

/// The monostable with a pulse of so many cycles.
#[derive(Clone, Copy, Debug)]
pub struct Monostable {
    pulse: u64,
    until: Option<u64>,
}

impl Monostable {
    /// At rest: nothing is held.
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a pulse is well under a minute"
    )]
    pub fn new(pulse_ms: f64) -> Self {
        Self { pulse: (pulse_ms.clamp(0.0, 60_000.0) * CYCLES_A_MS as f64) as u64, until: None }
    }

    /// Takes what happened at the pins, in order; gives the cycles at which the pulse had ended before the next beat.
    pub fn take(&mut self, pins: &[PinChange]) -> Vec<u64> {
        let mut let_go = Vec::new();
        for beat in pins.iter().filter(|pin| (pin.port, pin.bit) == BEAT && pin.level) {
            let_go.extend(self.until.filter(|until| *until < beat.cycle));
            self.until = Some(beat.cycle + self.pulse);
        }
        let_go
    }

    /// Whether the boards are held on at this cycle.
    pub fn holds(&self, cycle: u64) -> bool {
        self.until.is_some_and(|until| cycle < until)
    }
}
