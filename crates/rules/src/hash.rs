//! A fingerprint of the whole situation and the bytes of a frame, for comparing players tick by tick.
//!
//! Both are defined here byte by byte, because three other languages write the same bytes.

use crate::form::Form;
use crate::step::{Clock, Frame, Situation};

/// FNV-1a with 32 bits (G. Fowler, L. C. Noll, K.-P. Vo; now RFC 9923): offset basis 2166136261, prime 16777619.
#[derive(Clone, Copy, Debug)]
pub struct Fnv(u32);

impl Default for Fnv {
    fn default() -> Self {
        Self(0x811c_9dc5)
    }
}

impl Fnv {
    /// Takes bytes in.
    pub fn bytes(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.0 = (self.0 ^ u32::from(*byte)).wrapping_mul(0x0100_0193);
        }
    }

    /// The hash of what was taken in.
    pub fn value(self) -> u32 {
        self.0
    }
}

/// The fingerprint: for each machine its state (2 bytes), its numbers (4 bytes each), its timers (ticks left in 4 bytes,
/// then one byte: 0 off, 1 running, 2 due) and its stream (4 bytes); then one byte for each message sent, then one for each
/// button the rules pressed and for each sound that begins; then the settings (4 bytes each). Least byte first throughout.
pub fn fingerprint(situation: &Situation) -> u32 {
    let mut hash = Fnv::default();
    for machine in &situation.machines {
        hash.bytes(&u16::try_from(machine.state).unwrap_or(u16::MAX).to_le_bytes());
        for number in &machine.numbers {
            hash.bytes(&number.to_le_bytes());
        }
        for timer in &machine.timers {
            let (left, flag) = match timer {
                Clock::Off => (0, 0),
                Clock::Running(left) => (*left, 1),
                Clock::Due => (0, 2),
            };
            hash.bytes(&left.to_le_bytes());
            hash.bytes(&[flag]);
        }
        hash.bytes(&machine.stream.to_le_bytes());
    }
    for flag in situation.sent.iter().chain(&situation.simulated).chain(&situation.playing) {
        hash.bytes(&[u8::from(*flag)]);
    }
    for setting in &situation.settings {
        hash.bytes(&setting.to_le_bytes());
    }
    hash.value()
}

/// A frame as bytes: for each figure its pose plus one (0 is dark), for each spot its level, for each digits the number
/// shown in 4 bytes, least first (-1 is blank), then for each digits a byte that says whether its leading zeros are lit,
/// then for each sound one that says whether it begins.
pub fn frame_bytes(form: &Form, frame: &Frame) -> Vec<u8> {
    let mut bytes =
        Vec::with_capacity(form.figures.len() + form.spots.len() + 5 * form.digits.len() + form.sounds.len());
    bytes.extend(
        frame.poses.iter().map(|pose| pose.map_or(0, |pose| u8::try_from(pose + 1).unwrap_or(u8::MAX))),
    );
    bytes.extend(&frame.spots);
    for digits in &frame.digits {
        bytes.extend(digits.unwrap_or(-1).to_le_bytes());
    }
    bytes.extend(frame.zeros.iter().chain(&frame.sounds).map(|flag| u8::from(*flag)));
    bytes
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Published test values of FNV-1a 32 (RFC 9923, appendix): empty, "a", "foobar".
    #[test]
    fn fnv_gives_the_published_values() {
        let of = |text: &str| {
            let mut hash = Fnv::default();
            hash.bytes(text.as_bytes());
            hash.value()
        };
        assert_eq!([of(""), of("a"), of("foobar")], [0x811c_9dc5, 0xe40c_292c, 0xbf9c_f968]);
    }
}
