//! People who play: how fast they react, how they anticipate, ties, waiting, what they see in passing.

use crate::Formula;
use crate::shorthand::{example, input};
use uom::si::f64::{Length, Time, Velocity};
use uom::si::length::meter;
use uom::si::time::{millisecond, second};
use uom::si::velocity::meter_per_second;

/// A movement sooner than this after a signal was no answer to it (World Athletics, false starts).
pub const GUESS_BELOW_MS: f64 = 100.0;
/// Nineteen of twenty lie below this many standard deviations above the mean (standard normal table).
pub const NINETEEN_OF_TWENTY: f64 = 1.645;

/// Mean time to answer a signal by age.
///
/// Adults 231 ms and 0.55 ms for each year (simple reaction, n = 1469, 2015; counted here from 18, to be careful); children
/// 465 ms at 5 falling to 190 ms at 15 (sound, ages 4 to 14, 1984); whichever is slower.
pub fn reaction_mean(age_years: f64) -> Time {
    let adult = 231.0 + 0.55 * (age_years - 18.0).max(0.0);
    let child = 465.0 - 27.5 * (age_years - 5.0);
    Time::new::<millisecond>(adult.max(child))
}

/// The shortest window after a signal that nineteen of twenty of a group make:
/// `mean + 1.645 x deviation + reading the light + margin`.
pub fn response_window(mean: Time, deviation: Time, reading: Time, margin: Time) -> Time {
    mean + NINETEEN_OF_TWENTY * deviation + reading + margin
}

/// Time that choosing adds to a reaction: `b log2(choices)` (Hick).
pub fn choice_time(for_two: Time, choices: f64) -> Time {
    for_two * libm::log2(choices.max(1.0))
}

/// Share of the presses of something seen coming that fall in a window about its arrival: `2 Phi(w / (2 sd)) - 1`. Here
/// early presses are as good as late ones: it is anticipated, not reacted to.
pub fn caught(window: Time, deviation: Time) -> f64 {
    within_deviations((window / (2.0 * deviation)).value)
}

/// How often two players press within `apart` of each other, both with one deviation: `2 Phi(apart / (sd sqrt 2)) - 1`.
pub fn tie(apart: Time, deviation: Time) -> f64 {
    within_deviations((apart / deviation).value / core::f64::consts::SQRT_2)
}

/// Share of a normal spread within so many deviations of its middle.
fn within_deviations(deviations: f64) -> f64 {
    libm::erf(deviations / core::f64::consts::SQRT_2)
}

/// What is left to decide and move when something flies at you: flight less reaction.
pub fn left_to_move(distance: Length, speed: Velocity, reaction: Time) -> Time {
    distance / speed - reaction
}

/// Games an hour: `3600 / (play + finish + swap)`.
pub fn games_an_hour(play: Time, finish: Time, swap: Time) -> f64 {
    3600.0 / (play + finish + swap).get::<second>()
}

/// Highest number a rally can reach: whole cycles in the time there is.
pub fn most_counts(play: Time, cycle: Time) -> f64 {
    libm::floor((play / cycle).value + 1e-9)
}

/// How long a walker has the front of the yard beside them: frontage / speed.
pub fn passing_time(frontage: Length, speed: Velocity) -> Time {
    frontage / speed
}

/// How far past the first thing that reacts the button should stand: `speed x (noticing + deciding)`.
pub fn button_downstream(speed: Velocity, noticing: Time, deciding: Time) -> Length {
    speed * (noticing + deciding)
}

fn ms(value: f64) -> Time {
    Time::new::<millisecond>(value)
}

fn seconds(value: f64) -> Time {
    Time::new::<second>(value)
}

pub(crate) static FORMULAS: &[Formula] = &[
    Formula {
        name: "reaction-mean",
        written: "mean = the slower of 231 ms + 0.55 ms x (age - 18) and 465 ms - 27.5 ms x (age - 5)",
        inputs: &[input("age", "years")],
        unit: "ms",
        source: "simple reaction time by age, n = 1469 (2015); acoustic reaction time, ages 4 to 14 (1984)",
        examples: &[
            example(&[5.0], 465.0, 1.0, "acoustic reaction time, ages 4 to 14 (1984): about 465 ms at 5"),
            example(&[20.0], 220.0, 15.0, "Laming 1968, simple reaction of students: 220 ms"),
        ],
        work: |v| reaction_mean(v[0]).get::<millisecond>(),
    },
    Formula {
        name: "response-window",
        written: "window = mean + 1.645 x deviation + reading the light + margin",
        inputs: &[
            input("mean", "ms"),
            input("deviation", "ms"),
            input("reading the light", "ms"),
            input("margin", "ms"),
        ],
        unit: "ms",
        source: "standard normal table: 95 % lie below 1.645 deviations",
        examples: &[example(
            &[121.0, 14.0, 0.0, 0.0],
            144.0,
            0.1,
            "sprint starts, 8 runners: 121 ms, deviation 14 ms, at the 1.645 of a standard normal table",
        )],
        work: |v| response_window(ms(v[0]), ms(v[1]), ms(v[2]), ms(v[3])).get::<millisecond>(),
    },
    Formula {
        name: "choice-time",
        written: "added = time for two x log2(choices)",
        inputs: &[input("time for two", "s"), input("choices", "")],
        unit: "s",
        source: "Hick's law in its log2(n) form",
        examples: &[
            example(&[0.155, 1.0], 0.0, 1e-9, "Hick's law, b 0.155 s"),
            example(&[0.155, 4.0], 0.310, 1e-9, "Hick's law, b 0.155 s"),
            example(&[0.155, 8.0], 0.465, 1e-9, "Hick's law, b 0.155 s"),
        ],
        work: |v| choice_time(seconds(v[0]), v[1]).get::<second>(),
    },
    Formula {
        name: "caught",
        written: "share caught = 2 Phi(window / (2 x deviation)) - 1",
        inputs: &[input("window", "ms"), input("deviation", "ms")],
        unit: "",
        source: "normal spread of presses about an arrival that is seen coming",
        examples: &[
            example(&[160.0, 80.0], 0.6827, 0.0001, "standard normal table: within one deviation"),
            example(&[313.6, 80.0], 0.95, 0.0001, "standard normal table: within 1.96 deviations"),
        ],
        work: |v| caught(ms(v[0]), ms(v[1])),
    },
    Formula {
        name: "tie",
        written: "share of ties = 2 Phi(apart / (deviation x sqrt 2)) - 1",
        inputs: &[input("apart", "ms"), input("deviation", "ms")],
        unit: "",
        source: "the difference of two normal spreads is normal, sqrt 2 as wide",
        examples: &[
            example(&[113.137, 80.0], 0.6827, 0.0001, "standard normal table: within one deviation"),
            example(
                &[10.0, 80.0],
                0.0704,
                0.0015,
                "standard normal table: Phi(0.09) = 0.5359, Phi(0.088) between",
            ),
        ],
        work: |v| tie(ms(v[0]), ms(v[1])),
    },
    Formula {
        name: "left-to-move",
        written: "left = distance / speed - reaction",
        inputs: &[input("distance", "m"), input("speed", "m/s"), input("reaction", "s")],
        unit: "s",
        source: "level flight against reaction time",
        examples: &[example(
            &[6.0, 12.0, 0.220],
            0.28,
            1e-9,
            "6 m at 12 m/s against the 220 ms of Laming 1968",
        )],
        work: |v| {
            let speed = Velocity::new::<meter_per_second>(v[1]);
            left_to_move(Length::new::<meter>(v[0]), speed, seconds(v[2])).get::<second>()
        },
    },
    Formula {
        name: "games-an-hour",
        written: "games an hour = 3600 / (play + finish + swap)",
        inputs: &[input("play", "s"), input("finish", "s"), input("swap", "s")],
        unit: "games",
        source: "arithmetic",
        examples: &[example(
            &[120.0, 15.0, 15.0],
            24.0,
            1e-9,
            "common practice: two minutes, 15 s and 15 s make 24 an hour",
        )],
        work: |v| games_an_hour(seconds(v[0]), seconds(v[1]), seconds(v[2])),
    },
    Formula {
        name: "most-counts",
        written: "highest number = play / shortest cycle, rounded down",
        inputs: &[input("play", "s"), input("shortest cycle", "s")],
        unit: "",
        source: "arithmetic",
        examples: &[example(
            &[120.0, 1.3],
            92.0,
            0.0,
            "common practice: 120 s of 1.3 s make 92, so two digits do",
        )],
        work: |v| most_counts(seconds(v[0]), seconds(v[1])),
    },
    Formula {
        name: "passing-time",
        written: "time = frontage / walking speed",
        inputs: &[input("frontage", "m"), input("speed", "m/s")],
        unit: "s",
        source: "arithmetic; 1.3 m/s is a usual walking speed",
        examples: &[example(&[10.0, 1.3], 7.7, 0.05, "common practice: 10 m are passed in 7.7 s")],
        work: |v| {
            passing_time(Length::new::<meter>(v[0]), Velocity::new::<meter_per_second>(v[1])).get::<second>()
        },
    },
    Formula {
        name: "button-downstream",
        written: "button past the first thing that reacts by = speed x (noticing + deciding)",
        inputs: &[input("speed", "m/s"), input("noticing", "s"), input("deciding", "s")],
        unit: "m",
        source: "street-display study, 2012: about 1.2 s to notice; else passers-by overshoot and turn back",
        examples: &[example(&[1.3, 1.2, 1.1], 3.0, 1.0, "street-display study: 2 to 4 m")],
        work: |v| {
            button_downstream(Velocity::new::<meter_per_second>(v[0]), seconds(v[1]), seconds(v[2]))
                .get::<meter>()
        },
    },
];
