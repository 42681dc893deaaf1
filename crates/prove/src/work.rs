//! Counting the work, so that every search ends.

use crate::answer::{Covered, Limits};
use crate::known::Known;

/// Why a search stopped before everything was looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Enough {
    /// What was looked for has been found.
    Found,
    Situations,
    Sets,
    Steps,
    Bytes,
    /// More kept values and settings than can be started from one by one.
    Starts,
    /// More buttons than the 64 that fit a word.
    Buttons,
    /// More than so many timers running at once in a set.
    Timers,
}

impl Enough {
    pub(crate) fn why(self) -> &'static str {
        match self {
            Self::Found => "what was looked for has been found",
            Self::Situations => "the limit of situations is reached",
            Self::Sets => "the limit of sets is reached",
            Self::Steps => "the limit of ticks worked out is reached",
            Self::Bytes => "the limit of memory is reached",
            Self::Starts => "there are too many kept values and settings to start from each",
            Self::Buttons => "there are more buttons than this search can tell apart",
            Self::Timers => "a timer is longer than this search can count",
        }
    }
}

/// What one claim may cost, and what it has cost.
pub(crate) struct Work<'a> {
    pub(crate) limits: Limits,
    pub(crate) covered: Covered,
    pub(crate) bytes: u64,
    pub(crate) report: &'a mut dyn FnMut(u64),
    /// What other claims have found.
    pub(crate) known: Known,
}

impl<'a> Work<'a> {
    pub(crate) fn new(limits: Limits, report: &'a mut dyn FnMut(u64)) -> Self {
        Self { limits, covered: Covered::default(), bytes: 0, report, known: Known::default() }
    }

    pub(crate) fn step(&mut self) -> Result<(), Enough> {
        self.covered.steps += 1;
        if self.covered.steps > self.limits.steps { Err(Enough::Steps) } else { Ok(()) }
    }

    /// So many ticks at once.
    pub(crate) fn steps(&mut self, ticks: u64) -> Result<(), Enough> {
        self.covered.steps += ticks;
        if self.covered.steps > self.limits.steps { Err(Enough::Steps) } else { Ok(()) }
    }

    pub(crate) fn situation(&mut self, bytes: u64) -> Result<(), Enough> {
        self.covered.situations += 1;
        if self.covered.situations.is_multiple_of(4096) {
            (self.report)(self.covered.situations + self.covered.sets);
        }
        if self.covered.situations > self.limits.situations {
            return Err(Enough::Situations);
        }
        self.take(bytes)
    }

    pub(crate) fn set(&mut self, bytes: u64) -> Result<(), Enough> {
        self.covered.sets += 1;
        if self.covered.sets.is_multiple_of(1024) {
            (self.report)(self.covered.situations + self.covered.sets);
        }
        if self.covered.sets > self.limits.sets {
            return Err(Enough::Sets);
        }
        self.take(bytes)
    }

    fn take(&mut self, bytes: u64) -> Result<(), Enough> {
        self.bytes += bytes;
        if self.bytes > self.limits.bytes { Err(Enough::Bytes) } else { Ok(()) }
    }
}

/// What a search has cost.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Cost {
    covered: Covered,
    bytes: u64,
}

impl Work<'_> {
    /// What all has cost so far.
    pub(crate) fn so_far(&self) -> Cost {
        Cost { covered: self.covered, bytes: self.bytes }
    }

    /// What has been added since.
    pub(crate) fn since(&self, before: Cost) -> Cost {
        let sets = self.covered.sets - before.covered.sets;
        let steps = self.covered.steps - before.covered.steps;
        Cost { covered: Covered { sets, steps, ..Covered::default() }, bytes: self.bytes - before.bytes }
    }

    /// Counts what is known already as if it had been found anew, so that the answer is the same. Nothing is counted, and false
    /// said, where a limit would have been met: then it is looked for anew, up to the same place as by whoever knows nothing.
    pub(crate) fn charge(&mut self, cost: Cost) -> bool {
        let covered = Covered {
            sets: self.covered.sets + cost.covered.sets,
            steps: self.covered.steps + cost.covered.steps,
            ..self.covered
        };
        let bytes = self.bytes + cost.bytes;
        let limits = &self.limits;
        let fits = covered.sets <= limits.sets && covered.steps <= limits.steps && bytes <= limits.bytes;
        if fits {
            (self.covered, self.bytes) = (covered, bytes);
        }
        fits
    }
}
