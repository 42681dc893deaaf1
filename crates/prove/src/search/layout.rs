//! A situation as one word: the groups' numbers side by side, and what they share.

use super::joint::Joint;
use super::table::Word;
use crate::model::Model;

/// Where the fields of a word are.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Layout {
    pub(super) shifts: Vec<u32>,
    pub(super) masks: Vec<u32>,
    /// Simulated presses, held buttons, settings: place and width.
    pub(super) simulated: (u32, u32),
    held: (u32, u32),
    settings: (u32, u32),
    pub(super) bits: u32,
}

/// Bits that tell so many values apart.
pub(super) fn bits(values: usize) -> u32 {
    usize::BITS - values.saturating_sub(1).leading_zeros()
}

impl Layout {
    pub(super) fn new(model: &Model, widths: &[u32], settings: usize) -> Self {
        let buttons = u32::try_from(model.form.buttons.len()).unwrap_or(64);
        let mut at = 0;
        let mut field = |width: u32| {
            at += width;
            at - width
        };
        let shifts = widths.iter().map(|width| field(*width)).collect();
        let masks = widths.iter().map(|width| (1 << width) - 1).collect();
        let simulated = if model.simulates() { buttons } else { 0 };
        let held = if model.tracked.contains(&true) { buttons } else { 0 };
        let settings = bits(settings);
        Self {
            simulated: (field(simulated), simulated),
            held: (field(held), held),
            settings: (field(settings), settings),
            shifts,
            masks,
            bits: at,
        }
    }

    pub(super) fn word<W: Word>(&self, joint: &Joint) -> W {
        let mut word = W::default();
        for (local, shift) in joint.locals.iter().zip(&self.shifts) {
            word = word.with(*local, *shift);
        }
        self.shared(word, joint.simulated, joint.held, joint.settings)
    }

    #[inline(always)]
    pub(super) fn shared<W: Word>(&self, word: W, simulated: u64, held: u64, settings: u32) -> W {
        let put = |word: W, value: u64, (shift, width): (u32, u32)| {
            if width == 0 { word } else { word.with(u32::try_from(value).unwrap_or(0), shift) }
        };
        let word = put(word, simulated, self.simulated);
        let word = put(word, held, self.held);
        put(word, u64::from(settings), self.settings)
    }

    #[inline(always)]
    pub(super) fn joint<W: Word>(&self, word: W, joint: &mut Joint) {
        joint.locals.clear();
        joint.locals.extend((0..self.shifts.len()).map(|g| self.local(word, g)));
        (joint.simulated, joint.held) = self.buttons(word);
        joint.settings = self.settings(word);
    }

    /// A group's number.
    #[inline(always)]
    pub(super) fn local<W: Word>(&self, word: W, g: usize) -> u32 {
        word.field(self.shifts[g], self.masks[g])
    }

    /// The simulated presses and the held buttons.
    #[inline(always)]
    pub(super) fn buttons<W: Word>(&self, word: W) -> (u64, u64) {
        (u64::from(take(word, self.simulated)), u64::from(take(word, self.held)))
    }

    #[inline(always)]
    pub(super) fn settings<W: Word>(&self, word: W) -> u32 {
        take(word, self.settings)
    }
}

#[inline(always)]
fn take<W: Word>(word: W, (shift, width): (u32, u32)) -> u32 {
    if width == 0 { 0 } else { word.field(shift, (1 << width) - 1) }
}
