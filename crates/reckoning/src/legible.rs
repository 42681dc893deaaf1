//! What can be made out from how far.

use crate::{Example, Formula, Input};
use uom::si::angle::minute;
use uom::si::f64::{Angle, Length};
use uom::si::length::foot;
use uom::si::length::inch;

/// The gap between lamps, in minutes of arc, below which a row of them reads as a line (5 to 10 by common practice; the
/// finer one is wished for at the farthest viewer).
pub const LINE_MINUTES: f64 = 5.0;

/// The size that is seen under an angle from a distance: `2 x distance x tan(angle / 2)`.
///
/// ```
/// use uom::si::{angle::minute, f64::*, length::foot, length::inch};
/// let size = reckoning::legible::size_seen(Length::new::<foot>(100.0), Angle::new::<minute>(20.0));
/// assert!((size.get::<inch>() - 6.98).abs() < 0.01);
/// ```
pub fn size_seen(distance: Length, angle: Angle) -> Length {
    2.0 * distance * libm::tan(angle.value / 2.0)
}

pub(crate) const FORMULAS: &[Formula] = &[Formula {
    name: "size-seen",
    written: "size = 2 x distance x tan(angle / 2)",
    inputs: &[Input { name: "distance", unit: "ft" }, Input { name: "angle", unit: "minutes of arc" }],
    unit: "in",
    source: "geometry",
    examples: &[
        Example {
            given: &[100.0, 20.0],
            result: 6.98,
            within: 0.01,
            source: "ISO 9241-3 (20 minutes of arc preferred), evaluated at 100 ft",
        },
        Example {
            given: &[20.0, 5.0],
            result: 0.349,
            within: 0.004,
            source: "Snellen: a 20/20 letter is 5 minutes of arc, 8.87 mm at 6.096 m (20 ft)",
        },
    ],
    work: |v| size_seen(Length::new::<foot>(v[0]), Angle::new::<minute>(v[1])).get::<inch>(),
}];
