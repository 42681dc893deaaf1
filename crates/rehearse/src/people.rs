//! The people: how fast they answer, how well they aim, what else they do. Each value says where it comes from.
//!
//! *Read* means seen in the named source; *memory* means from memory of the literature; *assumed* means our own judgement,
//! for want of a study. A rehearsal repeats these grounds beside what it says.
//!
//! - Mean reactions: [`reckoning::people::reaction_mean`]: adults 231 ms and 0.55 ms a year (Woods et al. 2015, n = 1469,
//!   read); children 465 ms at 5, falling to 190 ms at 15 (acoustic, ages 4 to 14, Developmental Medicine and Child Neurology
//!   26, 1984, read; it says that the mean falls along a line of logarithms, which would be 264 ms at 10: the straight line between
//!   the two ages is slower, to be careful).
//! - Shape: normal plus exponential, the usual description of reaction times (Luce 1986; memory). Deviations: a fifth of the
//!   mean in adults, more in children and older people. That inconsistency falls through childhood and rises through
//!   adulthood is read (Williams et al. 2005, ages 6 to 81; Dykiert et al. 2012); the amounts are from memory.
//! - Aiming at what is seen coming: constant and variable error of pressing at an arrival. Read: it improves mainly between 7 and 10
//!   (Benguigui and Ripoll 1998; Benguigui, Broderick and Ripoll 2004); of 7 to 75 only the youngest were clearly worse, and people
//!   over 64 varied more with little bias (Haywood 1980); reaching in time with a beat varies more from 5 to 8 than at 9 and 10. The
//!   amounts are from memory of such studies and of common practice: 40 to 80 ms in adults, two to three times that in the
//!   youngest. Adults allow almost perfectly for their own error when they aim (Hudson, Maloney and Landy 2008; memory),
//!   children less so (Dekker and Nardini 2016; memory).
//! - Newcomers must first make out what a light means: recognising takes 384 ms where reacting takes 220 ms (Laming 1968,
//!   read in a review). The difference wears off with practice, by its square root (power law of practice, Newell and
//!   Rosenbloom 1981; memory of exponents between a fifth and a half and above).
//! - A press that is under way can no longer be held back: about 200 ms (stop signals, Logan and Cowan 1984; memory). That children
//!   are slower at it, and older people little, is read (van de Laar et al. 2011, ages 8, 12, 21, 76); here all are alike.
//! - Fastest tapping is about 5 a second from 19 to 75 (Turgeon, Taylor and Wing, read); that it quickens from 5 to 12 is read
//!   (Njiokiktjien et al., 233 children); 3 a second at five is from memory.
//! - Passers-by need about 1.2 s to notice that something reacts (street-display study, 2012, read).
//! - Reaching and pushing outdoors, idle and curious presses, holding, mashing, walking away, patience: assumed.

use uom::si::time::millisecond;

/// Longer than a simple reaction by recognising what is seen (Laming 1968: 384 ms against 220 ms).
pub const RECOGNISING_MS: f64 = 164.0;
/// Later than this, a press that is no longer wanted can still be held back (Logan and Cowan 1984; memory).
pub const STOPPING_MS: f64 = 200.0;
/// How long passers-by need to notice that something reacts (street-display study, 2012).
pub const NOTICING_MS: f64 = 1200.0;
/// How much a choice between two adds (Hick's law, b = 155 ms).
pub const CHOOSING_MS: f64 = 155.0;
/// From letting a button go to the soonest next press; longer than any contact chatters (assumed).
pub const BETWEEN_PRESSES_MS: f64 = 80.0;
/// Whoever has had no success for so long walks away (assumed).
pub const PATIENCE_MS: f64 = 45_000.0;
/// How long attention is elsewhere once it has strayed (assumed).
pub const STRAYING_MS: f64 = 1500.0;

/// One sort of people. Times in milliseconds.
#[derive(Clone, Debug, PartialEq)]
pub struct People {
    /// The word for them on the command line.
    pub key: &'static str,
    /// One of them.
    pub one: &'static str,
    /// Several.
    pub many: &'static str,
    /// Years.
    pub age: f64,
    /// Normal part of a reaction's spread within one person (deviation).
    pub sigma_ms: f64,
    /// Exponential part of a reaction's spread (mean, and deviation).
    pub tau_ms: f64,
    /// Spread of speed from person to person, as a part of the mean.
    pub between: f64,
    /// Constant error of aiming; negative is early.
    pub bias_ms: f64,
    /// Variable error of aiming: deviation of one person's presses about what they aim at.
    pub aiming_ms: f64,
    /// At first people aim so many of these deviations behind the moment itself, to be safe from coming too early.
    pub caution: f64,
    /// How much of an error is made up for at the next try.
    pub adjusts: f64,
    /// Reaching for a big button outdoors and pushing it, beyond the finger that waits on a key in a laboratory.
    pub reach_ms: f64,
    /// Probability that attention is elsewhere when it is time.
    pub strays: f64,
    /// Mean time between presses for no reason.
    pub idle_ms: f64,
    /// Mean time between presses out of curiosity, before the first success.
    pub curious_ms: f64,
    /// Share of newcomers who hammer the button; half of them stop after each bout.
    pub mashes: f64,
    /// Time between two presses when hammering.
    pub tap_ms: f64,
    /// How long a press holds the button down.
    pub hold_ms: f64,
    /// Share of people who lean on the button, for a second and a half.
    pub leans: f64,
    /// Probability of walking away in the middle, whatever happens.
    pub leaves: f64,
}

impl People {
    /// Mean of a simple reaction as published.
    pub fn reaction_ms(&self) -> f64 {
        reckoning::people::reaction_mean(self.age).get::<millisecond>()
    }
}

/// A child of five.
pub const FIVE: People = People {
    key: "five",
    one: "a five-year-old",
    many: "five-year-olds",
    age: 5.0,
    sigma_ms: 80.0,
    tau_ms: 110.0,
    between: 0.20,
    bias_ms: -30.0,
    aiming_ms: 120.0,
    caution: 1.0,
    adjusts: 0.25,
    reach_ms: 80.0,
    strays: 0.08,
    idle_ms: 15_000.0,
    curious_ms: 3000.0,
    mashes: 0.20,
    tap_ms: 330.0,
    hold_ms: 250.0,
    leans: 0.10,
    leaves: 0.15,
};

/// A child of ten.
pub const TEN: People = People {
    key: "ten",
    one: "a ten-year-old",
    many: "ten-year-olds",
    age: 10.0,
    sigma_ms: 40.0,
    tau_ms: 60.0,
    between: 0.15,
    bias_ms: 0.0,
    aiming_ms: 80.0,
    caution: 1.5,
    adjusts: 0.4,
    reach_ms: 60.0,
    strays: 0.03,
    idle_ms: 30_000.0,
    curious_ms: 3000.0,
    mashes: 0.10,
    tap_ms: 220.0,
    hold_ms: 180.0,
    leans: 0.05,
    leaves: 0.05,
};

/// An adult.
pub const ADULT: People = People {
    key: "adult",
    one: "an adult",
    many: "adults",
    age: 30.0,
    sigma_ms: 25.0,
    tau_ms: 40.0,
    between: 0.12,
    bias_ms: 0.0,
    aiming_ms: 60.0,
    caution: 2.0,
    adjusts: 0.5,
    reach_ms: 60.0,
    strays: 0.01,
    idle_ms: 120_000.0,
    curious_ms: 5000.0,
    mashes: 0.02,
    tap_ms: 200.0,
    hold_ms: 150.0,
    leans: 0.03,
    leaves: 0.03,
};

/// An older adult.
pub const OLDER: People = People {
    key: "older",
    one: "an older adult",
    many: "older adults",
    age: 70.0,
    sigma_ms: 35.0,
    tau_ms: 60.0,
    between: 0.18,
    bias_ms: 10.0,
    aiming_ms: 75.0,
    caution: 2.0,
    adjusts: 0.4,
    reach_ms: 100.0,
    strays: 0.02,
    idle_ms: 120_000.0,
    curious_ms: 6000.0,
    mashes: 0.01,
    tap_ms: 230.0,
    hold_ms: 200.0,
    leans: 0.03,
    leaves: 0.03,
};

/// Everybody there is.
pub const EVERYBODY: [&People; 4] = [&FIVE, &TEN, &ADULT, &OLDER];

/// Where the values come from, in the words that a rehearsal repeats.
pub const GROUNDS: [&str; 5] = [
    "mean reactions: adults 231 ms and 0.55 ms a year (n = 1469, 2015); children 465 ms at 5 falling to 190 ms at 15 (1984)",
    "spread of reactions: studies read say that children and older people vary more; the amounts are from memory",
    "aiming at what is seen coming: studies read say that it improves mainly between 7 and 10; the amounts are from memory",
    "newcomers: recognising takes 164 ms longer than reacting (1968), less with practice; 1.2 s to notice a display (2012)",
    "idle and curious presses, mashing, leaning on the button, walking away and patience are assumed",
];
