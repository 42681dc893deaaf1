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

pub(crate) const FORMULAS: &[Formula] = &[Formula {
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
}];
