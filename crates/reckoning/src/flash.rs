//! Flashing.

use crate::{Example, Formula, Input};
use uom::si::f64::{Frequency, Time};
use uom::si::frequency::hertz;
use uom::si::time::millisecond;

/// The shortest step between two pictures that we plan for: our threshold, under three flashes a second with room for the
/// unevenness of players' presses.
pub const SHORTEST_STEP_MS: f64 = 200.0;

/// Flashes in a second that may not be passed, in any second: WCAG 2.3.1 (written for screens, used here for want of
/// better).
pub const MOST_FLASHES: f64 = 3.0;

/// Opposing changes in a second of which no four pairs can be made: a flash is a pair (WCAG 2.x glossary), so that a fourth
/// would need eight.
pub const CHANGES_ALLOWED: u32 = 7;

/// Flashes a second of two pictures that alternate, each shown for `step`: a flash is a pair of opposing changes.
///
/// ```
/// use uom::si::{f64::Time, frequency::hertz, time::millisecond};
/// let rate = reckoning::flash::alternation(Time::new::<millisecond>(250.0));
/// assert_eq!(rate.get::<hertz>(), 2.0);
/// ```
pub fn alternation(step: Time) -> Frequency {
    1.0 / (2.0 * step)
}

/// The field of view in which flashing is looked at (WCAG 2.x glossary).
pub const FIELD_DEGREES: f64 = 10.0;

/// Flashing light counts from here on: a quarter of a field of ten degrees (WCAG 2.x glossary).
pub const MOST_SR: f64 = 0.006;

/// The solid angle of an area seen straight on; both in the same unit of length.
pub fn solid_angle(area: f64, distance: f64) -> f64 {
    area / (distance * distance)
}

pub(crate) const FORMULAS: &[Formula] = &[
    Formula {
        name: "flashing-area",
        written: "solid angle = area / distance squared",
        inputs: &[Input { name: "area", unit: "m2" }, Input { name: "distance", unit: "m" }],
        unit: "sr",
        source: "definition of the steradian; WCAG 2.x glossary: 0.006 sr, a quarter of any field of ten degrees",
        examples: &[Example {
            given: &[0.0060, 1.0],
            result: 0.006,
            within: 1e-6,
            source: "WCAG 2.x glossary: a quarter of a field of ten degrees, pi x tan(5 degrees) squared / 4 at 1 m, is 0.006 sr",
        }],
        work: |v| solid_angle(v[0], v[1]),
    },
    Formula {
        name: "alternation",
        written: "flashes a second = 1 / (2 x step)",
        inputs: &[Input { name: "step", unit: "ms" }],
        unit: "flashes/s",
        source: "WCAG 2.x glossary: a flash is a pair of opposing changes",
        examples: &[
            Example {
                given: &[250.0],
                result: 2.0,
                within: 1e-9,
                source: "a 2 Hz square wave changes every 250 ms",
            },
            Example {
                given: &[125.0],
                result: 4.0,
                within: 1e-9,
                source: "a 4 Hz square wave changes every 125 ms",
            },
        ],
        work: |v| alternation(Time::new::<millisecond>(v[0])).get::<hertz>(),
    },
];
