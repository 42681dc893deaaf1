//! Situations packed into few bits, so that millions of them fit in memory.

use crate::model::Model;
use rules::step::{Being, Clock, Situation};
use std::hash::{BuildHasherDefault, Hash, Hasher};

/// A situation with held buttons and the observer's state and clock.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Whole {
    pub(crate) situation: Situation,
    pub(crate) held: Vec<bool>,
    pub(crate) mode: u8,
    pub(crate) clock: Clock,
}

/// A packed situation: 16 bytes where that is enough.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(crate) enum Packed {
    Small(u64, u64),
    Large(Box<[u64]>),
}

impl Packed {
    /// Bytes it takes beyond itself.
    pub(crate) fn extra(&self) -> u64 {
        match self {
            Self::Small(..) => 0,
            Self::Large(words) => 8 * words.len() as u64 + 16,
        }
    }
}

/// Running timers are told apart by their ticks (plain search) or not at all (sets).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Timers {
    Exact,
    /// Every running timer stands for this many ticks.
    Alike(u32),
}

/// Widths of all fields, worked out once from the form.
pub(crate) struct Packer {
    timers: Timers,
    machines: Vec<MachineBits>,
    sent: usize,
    buttons: usize,
    sounds: usize,
    settings: Vec<(i32, i32)>,
    clock: u32,
    bits: u32,
}

struct MachineBits {
    state: u32,
    numbers: Vec<(i32, i32)>,
    timers: Vec<u32>,
}

fn width(values: u64) -> u32 {
    64 - values.saturating_sub(1).leading_zeros()
}

struct Bits {
    words: Vec<u64>,
    at: u32,
}

impl Bits {
    fn put(&mut self, value: u64, width: u32) {
        if width == 0 {
            return;
        }
        let (word, shift) = ((self.at / 64) as usize, self.at % 64);
        if self.words.len() < word + 2 {
            self.words.resize(word + 2, 0);
        }
        self.words[word] |= value << shift;
        if shift + width > 64 {
            self.words[word + 1] |= value >> (64 - shift);
        }
        self.at += width;
    }

    fn take(&mut self, width: u32) -> u64 {
        if width == 0 {
            return 0;
        }
        let (word, shift) = ((self.at / 64) as usize, self.at % 64);
        let word_at = |at: usize| self.words.get(at).copied().unwrap_or(0);
        let mut value = word_at(word) >> shift;
        if shift + width > 64 {
            value |= word_at(word + 1) << (64 - shift);
        }
        self.at += width;
        if width >= 64 { value } else { value & ((1 << width) - 1) }
    }
}

impl Packer {
    pub(crate) fn new(model: &Model, timers: Timers, clock_max: u32) -> Self {
        let ticks = |max: u32| match timers {
            Timers::Exact => width(u64::from(max) + 2),
            Timers::Alike(_) => 2,
        };
        let of = |machine: &rules::form::Machine| MachineBits {
            state: width(machine.states.len() as u64),
            numbers: machine.numbers.iter().map(|number| (number.min, number.max)).collect(),
            timers: machine
                .timers
                .iter()
                .enumerate()
                .map(|(i, timer)| {
                    let remembered =
                        machine.remembers.iter().filter(|one| one.timer == i).map(|one| one.ticks);
                    ticks(remembered.fold(timer.max, u32::max))
                })
                .collect(),
        };
        let settings = model.form.settings.iter().map(|setting| (setting.min, setting.max)).collect();
        let mut packer = Self {
            timers,
            machines: model.form.machines.iter().map(of).collect(),
            sent: model.form.messages.len(),
            buttons: model.form.buttons.len(),
            sounds: model.form.sounds.len(),
            settings,
            clock: ticks(clock_max),
            bits: 0,
        };
        packer.bits = packer.count();
        packer
    }

    fn count(&self) -> u32 {
        let number = |range: &(i32, i32)| width(u64::from(range.0.abs_diff(range.1)) + 1);
        let machine = |bits: &MachineBits| {
            bits.state + bits.numbers.iter().map(number).sum::<u32>() + bits.timers.iter().sum::<u32>()
        };
        let flags = u32::try_from(self.sent + 2 * self.buttons).unwrap_or(u32::MAX);
        self.machines.iter().map(machine).sum::<u32>()
            + flags
            + self.settings.iter().map(number).sum::<u32>()
            + 8
            + self.clock
    }

    fn clock_value(&self, clock: Clock) -> u64 {
        match clock {
            Clock::Off => 0,
            Clock::Due => 1,
            Clock::Running(left) if self.timers == Timers::Exact => u64::from(left) + 1,
            Clock::Running(_) => 2,
        }
    }

    fn clock_of(&self, value: u64) -> Clock {
        match (value, self.timers) {
            (0, _) => Clock::Off,
            (1, _) => Clock::Due,
            (_, Timers::Alike(ticks)) => Clock::Running(ticks),
            (value, Timers::Exact) => Clock::Running(u32::try_from(value - 1).unwrap_or(u32::MAX)),
        }
    }

    pub(crate) fn pack(&self, whole: &Whole) -> Packed {
        let mut bits = Bits { words: Vec::with_capacity(self.bits as usize / 64 + 2), at: 0 };
        let number = |bits: &mut Bits, value: i32, range: &(i32, i32)| {
            bits.put(u64::from(value.abs_diff(range.0)), width(u64::from(range.0.abs_diff(range.1)) + 1));
        };
        for (being, of) in whole.situation.machines.iter().zip(&self.machines) {
            bits.put(being.state as u64, of.state);
            being.numbers.iter().zip(&of.numbers).for_each(|(value, range)| number(&mut bits, *value, range));
            for (clock, width) in being.timers.iter().zip(&of.timers) {
                bits.put(self.clock_value(*clock), *width);
            }
        }
        let flags = whole.situation.sent.iter().chain(&whole.situation.simulated).chain(&whole.held);
        flags.for_each(|flag| bits.put(u64::from(*flag), 1));
        let settings = whole.situation.settings.iter().zip(&self.settings);
        settings.for_each(|(value, range)| number(&mut bits, *value, range));
        bits.put(u64::from(whole.mode), 8);
        bits.put(self.clock_value(whole.clock), self.clock);
        let word = |at: usize| bits.words.get(at).copied().unwrap_or(0);
        if self.bits <= 128 {
            Packed::Small(word(0), word(1))
        } else {
            Packed::Large((0..self.bits.div_ceil(64) as usize).map(word).collect())
        }
    }

    pub(crate) fn unpack(&self, packed: &Packed) -> Whole {
        let words = match packed {
            Packed::Small(a, b) => vec![*a, *b],
            Packed::Large(words) => words.to_vec(),
        };
        let mut bits = Bits { words, at: 0 };
        let number = |bits: &mut Bits, range: &(i32, i32)| {
            let offset = bits.take(width(u64::from(range.0.abs_diff(range.1)) + 1));
            i32::try_from(i64::from(range.0) + i64::try_from(offset).unwrap_or(0)).unwrap_or(range.0)
        };
        let machines = self
            .machines
            .iter()
            .map(|of| Being {
                state: usize::try_from(bits.take(of.state)).unwrap_or(0),
                numbers: of.numbers.iter().map(|range| number(&mut bits, range)).collect(),
                timers: of.timers.iter().map(|width| self.clock_of(bits.take(*width))).collect(),
                stream: 0,
            })
            .collect();
        let mut flags = |count: usize| (0..count).map(|_| bits.take(1) == 1).collect::<Vec<bool>>();
        let (sent, simulated, held) = (flags(self.sent), flags(self.buttons), flags(self.buttons));
        let settings = self.settings.iter().map(|range| number(&mut bits, range)).collect();
        let mode = u8::try_from(bits.take(8)).unwrap_or(0);
        let clock = self.clock_of(bits.take(self.clock));
        let situation = Situation { machines, sent, simulated, playing: vec![false; self.sounds], settings };
        Whole { situation, held, mode, clock }
    }
}

/// A quick hash for packed situations: multiply and fold. Nothing that is written depends on it.
#[derive(Clone, Copy, Default)]
pub(crate) struct Quick(u64);

impl Hasher for Quick {
    fn finish(&self) -> u64 {
        self.0
    }

    fn write(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.write_u64(u64::from(*byte));
        }
    }

    fn write_u64(&mut self, word: u64) {
        // The odd constant is the golden ratio's fraction in 64 bits (Knuth's multiplicative hashing).
        let wide = u128::from(self.0 ^ word ^ 0x5851_f42d_4c95_7f2d) * 0x9e37_79b9_7f4a_7c15_u128;
        #[allow(
            clippy::cast_possible_truncation,
            reason = "both halves of a product are folded into one word"
        )]
        let folded = (wide >> 64) as u64 ^ wide as u64;
        self.0 = folded.rotate_left(17);
    }

    fn write_usize(&mut self, word: usize) {
        self.write_u64(word as u64);
    }

    fn write_isize(&mut self, word: isize) {
        self.write_u64(word.unsigned_abs() as u64);
    }
}

pub(crate) type QuickMap<K, V> = std::collections::HashMap<K, V, BuildHasherDefault<Quick>>;
