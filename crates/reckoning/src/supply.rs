//! Current-limited supplies: what a listed Class 2 supply may be rated for.

use crate::of::volts;
use crate::{Example, Formula, Input};
use uom::si::electric_current::ampere;
use uom::si::f64::{ElectricCurrent, ElectricPotential};

/// From this voltage on a strand is planned as mains, never over people and only behind a listed box. Alternating current of
/// 50 V is where both schemes end extra-low voltage (IEC 61140; NEC 110.27 guards live parts from there on; from memory).
pub const MAINS_FROM_V: f64 = 50.0;

/// Greatest current on the nameplate of a direct-current Class 2 supply: 5 A up to 20 V, then 100 VA, up to 60 V. None
/// above, where there is no such class.
pub fn class_2_current(voltage: ElectricPotential) -> Option<ElectricCurrent> {
    let (five, voltage) = (crate::of::amperes(5.0), voltage.value);
    if voltage <= 20.0 {
        Some(five)
    } else if voltage <= 60.0 {
        Some(crate::of::amperes(100.0 / voltage))
    } else {
        None
    }
}

pub(crate) const FORMULAS: &[Formula] = &[Formula {
    name: "class-2-current",
    written: "nameplate current = 5 A up to 20 V, 100 VA / voltage above, up to 60 V",
    inputs: &[Input { name: "voltage", unit: "V" }],
    unit: "A",
    source: "NEC chapter 9 table 11(B) (from memory)",
    examples: &[
        Example {
            given: &[12.0],
            result: 5.0,
            within: 1e-9,
            source: "articles on class-limited circuits: about 60 W at 12 V",
        },
        Example {
            given: &[50.0],
            result: 2.0,
            within: 1e-9,
            source: "an electrical magazine on chapter 9: 100/Vmax at 50 V is 2",
        },
    ],
    work: |v| class_2_current(volts(v[0])).map_or(0.0, |current| current.get::<ampere>()),
}];
