//! What is asked for and what is answered.

use rules::form::Form;
use rules::step::Start;
use rules::vectors::{Moment, TickIn, Vector, record};
use serde::{Deserialize, Serialize};

/// Where the searches stop: counts of work, never a clock, so that the same question has the same answer everywhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Limits {
    /// Most situations that plain search remembers for one claim.
    pub situations: u64,
    /// Most sets of timer values for one claim.
    pub sets: u64,
    /// Most ticks worked out for one claim.
    pub steps: u64,
    /// Most bytes remembered at once, reckoned from what is stored; what the allocator adds is not in it.
    pub bytes: u64,
}

impl Default for Limits {
    fn default() -> Self {
        Self { situations: 2_000_000, sets: 500_000, steps: 20_000_000, bytes: 1 << 30 }
    }
}

/// How far the proof is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Progress {
    /// The claim that is looked at.
    pub claim: String,
    /// Its place among all claims, from 0.
    pub at: usize,
    /// How many claims there are.
    pub of: usize,
    /// Situations or sets met so far for this claim.
    pub covered: u64,
}

/// How much was looked at.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Covered {
    /// Situations, one by one, by plain search.
    pub situations: u64,
    /// Sets of timer values.
    pub sets: u64,
    /// Ticks worked out.
    pub steps: u64,
}

/// A play that goes against a claim. It was played through the referee before it was reported.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Trace {
    /// Values kept from before, in the order of [`rules::form::Form::kept`].
    pub kept: Vec<Option<i32>>,
    /// The settings.
    pub settings: Vec<Option<i32>>,
    /// Inputs of every tick from tick 0 to the one after which it goes wrong.
    pub ticks: Vec<TickIn>,
    /// Where the end leads back to an earlier situation: the tick after which it was met first. None is a plain end.
    pub again_from: Option<usize>,
}

impl Trace {
    /// The play as a vector, which every player can run: with what the referee shows in every tick. A play that goes on for
    /// ever is given once round.
    pub fn vector(&self, name: impl Into<String>, form: &Form) -> Vector {
        let start = Start { kept: self.kept.clone(), settings: self.settings.clone() };
        record(name, form, &start, &self.ticks)
    }
}

/// What came of a claim.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "is", rename_all = "lowercase", deny_unknown_fields)]
pub enum Verdict {
    /// It holds in every play; everything was looked at.
    Proved {
        /// How much that was.
        covered: Covered,
    },
    /// It does not hold.
    Refuted {
        /// A play that shows it.
        trace: Trace,
    },
    /// Not known.
    Undecided {
        /// How much was looked at; in all of that, nothing went against the claim.
        covered: Covered,
        /// Why the search stopped.
        why: String,
    },
}

/// A claim with its answer.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Answer {
    /// The claim's name; claims made without being asked begin with a dot.
    pub claim: String,
    /// What came of it.
    pub verdict: Verdict,
    /// A bound that was found, in ticks: for coming home, the longest way there; for a lone player, the longest wait. Found by sets,
    /// it may be longer than in any play.
    pub bound_ticks: Option<u64>,
    /// The answer in one plain sentence.
    pub words: String,
    /// The play against it, told; the last sentence says how the claim is broken.
    pub told: Vec<Moment>,
}

impl Answer {
    /// Whether the claim holds.
    pub fn proved(&self) -> bool {
        matches!(self.verdict, Verdict::Proved { .. })
    }

    /// The play that goes against the claim.
    pub fn trace(&self) -> Option<&Trace> {
        match &self.verdict {
            Verdict::Refuted { trace } => Some(trace),
            _ => None,
        }
    }
}
