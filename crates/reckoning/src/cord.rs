//! Extension cords: what they carry, and the size for a current and a length.

use crate::of::amperes;
use crate::{Example, Formula, Input, load::whole};
use uom::si::electric_current::ampere;
use uom::si::electric_potential::volt;
use uom::si::f64::{ElectricCurrent, ElectricPotential, Length};
use uom::si::length::{foot, meter};

/// Cord sizes, thinnest first.
pub const SIZES_AWG: [u32; 6] = [18, 16, 14, 12, 10, 8];

/// Lengths of the columns of [`TABLE`].
const LENGTHS_FT: [f64; 4] = [25.0, 50.0, 100.0, 150.0];

/// Least gauge by current (below the first number) and length.
const TABLE: [(f64, [u32; 4]); 12] = [
    (2.0, [18, 18, 18, 16]),
    (3.0, [18, 18, 16, 14]),
    (4.0, [18, 18, 16, 14]),
    (5.0, [18, 18, 14, 12]),
    (6.0, [18, 16, 14, 12]),
    (8.0, [18, 16, 12, 10]),
    (10.0, [18, 14, 12, 10]),
    (12.0, [16, 14, 10, 8]),
    (14.0, [16, 12, 10, 8]),
    (16.0, [16, 12, 10, 8]),
    (18.0, [14, 12, 8, 8]),
    (20.0, [14, 12, 8, 6]),
];

/// The size of an extension cord for a current and a length; none beyond the table.
///
/// ```
/// use uom::si::{f64::Length, length::foot};
/// let gauge = reckoning::cord::size(reckoning::of::amperes(9.0), Length::new::<foot>(100.0));
/// assert_eq!(gauge, Some(12));
/// ```
pub fn size(current: ElectricCurrent, length: Length) -> Option<u32> {
    let column = LENGTHS_FT.iter().position(|&longest| length.get::<foot>() <= longest + 1e-9)?;
    let (_, row) = TABLE.iter().find(|(below, _)| current.value < *below)?;
    row.get(column).copied()
}

/// What a flexible cord of a size carries with three conductors in use or in the sheath; none for a size not listed.
pub fn ampacity(gauge: u32) -> Option<ElectricCurrent> {
    let carried = match gauge {
        18 => 7.0,
        16 => 10.0,
        14 => 15.0,
        12 => 20.0,
        _ => return None,
    };
    Some(amperes(carried))
}

/// Voltage lost by the tabulated millivolts per ampere and metre, out and back.
pub fn tabled_drop(mv_per_a_m: f64, current: ElectricCurrent, length: Length) -> ElectricPotential {
    crate::of::volts(mv_per_a_m / 1000.0 * current.value * length.get::<meter>())
}

/// What a branch may lose on the way, as a share of the mains voltage.
pub const DROP_SHARE: f64 = 0.03;

/// What a cord may lose by [`DROP_SHARE`].
pub fn drop_limit(mains: ElectricPotential) -> ElectricPotential {
    mains * DROP_SHARE
}

const CHART: &str = "minimum cord gauge table of a battery charger's instructions (the usual UL wording)";
const CORDS: &str = "NEC table 400.5(A)(1), column A";

const fn row(given: &'static [f64], result: f64, source: &'static str) -> Example {
    Example { given, result, within: 0.0, source }
}

pub(crate) const FORMULAS: &[Formula] = &[
    Formula {
        name: "cord-size",
        written: "cord size by current and length, from a table",
        inputs: &[Input { name: "current", unit: "A" }, Input { name: "length", unit: "ft" }],
        unit: "AWG",
        source: CHART,
        examples: &[
            row(&[9.0, 100.0], 12.0, CHART),
            row(&[1.0, 150.0], 16.0, CHART),
            row(&[12.5, 50.0], 12.0, CHART),
            row(&[4.5, 100.0], 14.0, CHART),
        ],
        work: |v| size(amperes(v[0]), Length::new::<foot>(v[1])).map_or(0.0, f64::from),
    },
    Formula {
        name: "cord-ampacity",
        written: "what a flexible cord carries, from a table",
        inputs: &[Input { name: "gauge", unit: "AWG" }],
        unit: "A",
        source: CORDS,
        examples: &[row(&[16.0], 10.0, CORDS), row(&[14.0], 15.0, CORDS), row(&[12.0], 20.0, CORDS)],
        work: |v| ampacity(whole(v[0])).map_or(0.0, |carried| carried.get::<ampere>()),
    },
    Formula {
        name: "tabled-drop",
        written: "voltage lost = tabulated mV/A/m x current x length",
        inputs: &[
            Input { name: "table value", unit: "mV/A/m" },
            Input { name: "current", unit: "A" },
            Input { name: "length one way", unit: "m" },
        ],
        unit: "V",
        source: "BS 7671 appendix 4",
        examples: &[Example {
            given: &[18.0, 16.0, 18.0],
            result: 5.184,
            within: 1e-9,
            source: "City and Guilds 2391 lesson: 18 mV/A/m, 16 A, 18 m",
        }],
        work: |v| tabled_drop(v[0], amperes(v[1]), crate::of::metres(v[2])).get::<volt>(),
    },
    Formula {
        name: "drop-limit",
        written: "loss allowed = 0.03 x mains voltage",
        inputs: &[Input { name: "mains voltage", unit: "V" }],
        unit: "V",
        source: "NEC 210.19(A), informational note; BS 7671 table 4Ab for lighting",
        examples: &[Example {
            given: &[230.0],
            result: 6.9,
            within: 1e-9,
            source: "BS 7671 appendix 4 table 4Ab: 3 % of 230 V is 6.9 V for lighting",
        }],
        work: |v| drop_limit(crate::of::volts(v[0])).get::<volt>(),
    },
];
