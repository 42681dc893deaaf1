//! Strands and holes.

use crate::{Example, Formula, Input};
use uom::si::f64::Length;
use uom::si::length::millimeter;

/// The share of the wire between two lamps that a hop may use: wire is not straight behind a panel. Common practice.
pub const USABLE_SHARE: f64 = 0.9;

/// The longest hop a strand can make from hole to hole.
///
/// ```
/// use uom::si::{f64::Length, length::inch};
/// assert!((reckoning::strand::reach(Length::new::<inch>(4.0)).get::<inch>() - 3.6).abs() < 1e-9);
/// ```
pub fn reach(pitch: Length) -> Length {
    pitch * USABLE_SHARE
}

/// Lamps that must be parked behind the panel on a hop, so that the wire reaches.
///
/// ```
/// use uom::si::{f64::Length, length::inch};
/// let inches = Length::new::<inch>;
/// assert_eq!(reckoning::strand::parked(inches(7.0), inches(3.6)), 1);
/// assert_eq!(reckoning::strand::parked(inches(3.0), inches(3.6)), 0);
/// ```
pub fn parked(hop: Length, reach: Length) -> u32 {
    let leads = libm::ceil((hop / reach).value - 1e-9);
    crate::load::whole(leads - 1.0)
}

/// Distance along a line from the first hole to the last of `holes` evenly spaced ones.
pub fn row_length(spacing: Length, holes: u32) -> Length {
    spacing * f64::from(holes.saturating_sub(1))
}

pub(crate) const FORMULAS: &[Formula] = &[
    Formula {
        name: "usable-lead",
        written: "usable lead = 0.9 x wire",
        inputs: &[Input { name: "wire", unit: "mm" }],
        unit: "mm",
        source: "common practice",
        examples: &[Example {
            given: &[101.6],
            result: 91.44,
            within: 0.001,
            source: "common practice: 3.6 in of a 4 in lead",
        }],
        work: |v| reach(Length::new::<millimeter>(v[0])).get::<millimeter>(),
    },
    Formula {
        name: "parked-lamps",
        written: "parked lamps = hop / usable lead, rounded up, less one",
        inputs: &[Input { name: "hop", unit: "mm" }, Input { name: "usable lead", unit: "mm" }],
        unit: "lamps",
        source: "two leads with a lamp parked between reach twice as far; common practice",
        examples: &[
            Example {
                given: &[91.0, 91.44],
                result: 0.0,
                within: 0.0,
                source: "by definition: one lead reaches",
            },
            Example {
                given: &[182.8, 91.44],
                result: 1.0,
                within: 0.0,
                source: "by definition: two leads of 3.6 in reach 7.2 in",
            },
            Example {
                given: &[226.0, 91.44],
                result: 2.0,
                within: 0.0,
                source: "by definition: 8.9 in is more than two leads of 3.6 in and less than three",
            },
        ],
        work: |v| f64::from(parked(Length::new::<millimeter>(v[0]), Length::new::<millimeter>(v[1]))),
    },
    Formula {
        name: "row-length",
        written: "length = spacing x (holes - 1)",
        inputs: &[Input { name: "spacing", unit: "mm" }, Input { name: "holes", unit: "" }],
        unit: "mm",
        source: "an open row of n holes has n - 1 spaces",
        examples: &[Example {
            given: &[25.4, 13.0],
            result: 304.8,
            within: 1e-9,
            source: "thirteen holes an inch apart span a foot",
        }],
        work: |v| row_length(Length::new::<millimeter>(v[0]), crate::load::whole(v[1])).get::<millimeter>(),
    },
];
