//! What a rehearsal gives: plain data, for the terminal, the page and the book. `docs/REHEARSAL.md` describes its JSON.

use serde::{Deserialize, Serialize};

/// The name of the format.
pub const FORMAT: &str = "lampwright-rehearsal";
/// Its version.
pub const VERSION: u32 = 2;

/// A whole rehearsal.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rehearsal {
    /// Always [`FORMAT`].
    pub format: String,
    /// Grows when the shape changes.
    pub version: u32,
    /// The seed it was played with: the same seed gives the same rehearsal.
    pub seed: u64,
    /// How many parties of each sort came.
    pub games: u64,
    /// The names of what counts as score, in the order in which scores are listed; the first one is spoken of.
    pub scores: Vec<String>,
    /// Whether the rules say what a bout is. If not, a minute of play counts as one.
    pub bouts: bool,
    /// What came of each sort of party.
    pub parties: Vec<Party>,
    /// What each constant with limits does.
    pub constants: Vec<Constant>,
    /// The verdict, sentence by sentence.
    pub verdict: Vec<Sentence>,
    /// What the people stand on: where their values come from.
    pub grounds: Vec<String>,
}

/// One sentence of the verdict.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sentence {
    /// What it is about.
    pub about: About,
    /// Whether it is something to change.
    pub wants_change: bool,
    /// In plain words.
    pub words: String,
}

/// What a sentence is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum About {
    /// What is reached, first and with practice.
    Score,
    /// The same, where half of them reach all there is.
    NothingLeft,
    /// How long a newcomer waits for a first success.
    FirstSuccess,
    /// Presses that come to nothing.
    EmptyPresses,
    /// How long a bout lasts, and who waits meanwhile.
    Waiting,
    /// Two presses in one tick.
    Ties,
    /// What happens when people walk away.
    WalkingAway,
    /// What a constant would do.
    Constant,
}

/// What came of one sort of party.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Party {
    /// As on the command line: `five`, `five+adult`.
    pub key: String,
    /// In words.
    pub who: String,
    /// Their first bout ever.
    pub first: Bouts,
    /// Their fifth bout; none where nobody came so far.
    pub fifth: Option<Bouts>,
    /// Seconds from arrival to each person's first success, of those who had one.
    pub first_success_s: Spread,
    /// People who had a first success within seven seconds of arriving.
    pub within_seven: Share,
    /// People who left without any success.
    pub without_success: Share,
    /// Seconds until the display was free again, where people walked away in the middle of a bout.
    pub free_again_s: Option<Spread>,
    /// First bouts in an hour, one party after the other.
    pub games_an_hour: Estimate,
}

/// Bouts of one order, such as all first ones.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bouts {
    /// How many.
    pub count: u64,
    /// One for each score: the greatest value in a bout.
    pub scores: Vec<Spread>,
    /// Part of the times to press that were met, in a bout.
    pub hit: Estimate,
    /// Part of the presses that came to nothing, in a bout.
    pub empty: Estimate,
    /// How long a bout lasts, in seconds.
    pub length_s: Estimate,
    /// Presses of two people in the same tick, both of them when it was time, in a bout.
    pub together: Estimate,
    /// Bouts that were broken off after ten minutes.
    pub broken_off: Share,
}

/// How a value is spread.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Spread {
    /// How many values.
    pub count: u64,
    /// Their mean.
    pub mean: Estimate,
    /// The value in the middle.
    pub median: Estimate,
    /// One in ten is no greater than this.
    pub tenth: f64,
    /// Nine in ten are no greater than this.
    pub ninetieth: f64,
    /// For a chart: values (for times whole seconds, rounded down) and how often each came.
    pub counts: Vec<(i64, u64)>,
}

/// A value with the interval in which it lies with 95 in 100 certainty, were the people as they are taken to be.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// Lower end (bootstrap, percentiles).
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// A part of a whole, with its interval of 95 in 100.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Share {
    /// How many.
    pub count: u64,
    /// Of how many.
    pub of: u64,
    /// The part; 0 of nothing.
    pub value: f64,
    /// Lower end (Wilson).
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// What a constant does, all others as written.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Constant {
    /// Its name.
    pub name: String,
    /// `ms`, or nothing.
    pub unit: String,
    /// As written.
    pub value: i64,
    /// From the least value to the greatest, the written one among them.
    pub points: Vec<Point>,
}

/// One value of a constant, and what comes of it in first bouts; the same people at every value.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Point {
    /// The value.
    pub value: i64,
    /// For each sort of party that was tried.
    pub parties: Vec<Tried>,
}

/// First bouts of one sort of party at one value of a constant.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tried {
    /// Which party.
    pub key: String,
    /// The middle of the first score.
    pub score: Estimate,
    /// Mean of the first score.
    pub mean_score: Estimate,
    /// Part of the times to press that were met.
    pub hit: Estimate,
    /// Part of the presses that came to nothing.
    pub empty: Estimate,
    /// First bouts in an hour.
    pub games_an_hour: Estimate,
    /// Seconds to a first success, the middle.
    pub first_success_s: Estimate,
}
