//! Short ways to write the register's entries.

use crate::{Example, Input};

/// One value a formula takes.
pub(crate) const fn input(name: &'static str, unit: &'static str) -> Input {
    Input { name, unit }
}

/// A worked example from outside.
pub(crate) const fn example(
    given: &'static [f64],
    result: f64,
    within: f64,
    source: &'static str,
) -> Example {
    Example { given, result, within, source }
}

/// Standard gravity, m/s2 (ISO 80000-3).
pub const GRAVITY: f64 = 9.806_65;

/// An angle of the register, given in degrees.
pub(crate) fn degrees(value: f64) -> uom::si::f64::Angle {
    uom::si::f64::Angle::new::<uom::si::angle::degree>(value)
}
