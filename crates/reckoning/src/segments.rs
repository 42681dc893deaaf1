//! Home-made digits: which segments make which digit, and what a segment is built of.

use crate::of::amperes;
use crate::{Example, Formula, Input, load::whole};
use uom::si::electric_current::milliampere;
use uom::si::f64::{ElectricCurrent, Length};
use uom::si::length::millimeter;

/// The segments of the digits 0 to 9, `a` (top) as the lowest bit, then clockwise to `f`, `g` in the middle. 6 and 9 with
/// their tails, 7 without a hook.
pub const DIGITS: [u8; 10] = [0x3F, 0x06, 0x5B, 0x4F, 0x66, 0x6D, 0x7D, 0x07, 0x7F, 0x6F];

/// Names of the segments in the order of their bits.
pub const LETTERS: [char; 7] = ['a', 'b', 'c', 'd', 'e', 'f', 'g'];

/// Width of a digit as a share of its height. Common practice: 0.5 to 0.6.
pub const WIDTH_SHARE: f64 = 0.55;

/// Breadth of a stroke as a share of the digit's height. Common practice: 0.10 to 0.14.
pub const STROKE_SHARE: f64 = 0.12;

/// The segments of a digit; none for anything that is not one.
pub fn code(digit: u32) -> u8 {
    usize::try_from(digit).ok().and_then(|digit| DIGITS.get(digit)).copied().unwrap_or(0)
}

/// How many segments a digit lights.
pub fn lit(digit: u32) -> u32 {
    code(digit).count_ones()
}

/// Length of one segment between the middles of its two ends: half of the height less one stroke for the upright ones,
/// the width less one stroke for the level ones; the shorter of the two decides.
pub fn segment_length(height: Length) -> Length {
    let upright = height * (1.0 - STROKE_SHARE) / 2.0;
    let level = height * (WIDTH_SHARE - STROKE_SHARE);
    if upright < level { upright } else { level }
}

/// LEDs on a segment: as many as the wished pitch asks for, in whole groups, three or more.
pub fn leds(segment: Length, pitch: Length, group: u32) -> u32 {
    let group = group.max(1);
    let wished = whole(libm::round((segment / pitch).value) + 1.0).clamp(3, 200);
    wished.div_ceil(group) * group
}

/// Current of so many segments.
pub fn segments_current(segments: u32, each: ElectricCurrent) -> ElectricCurrent {
    each * f64::from(segments)
}

const TRUTH: &str = "seven-segment truth table printed by two reference pages, a as the lowest bit";
const LIT: &str = "seven-segment truth table printed by two reference pages, ones counted";
const BELL: &str = "Bell, Electronic Instrumentation and Measurements, example 5-3";

pub(crate) const FORMULAS: &[Formula] = &[
    Formula {
        name: "segment-code",
        written: "segments of a digit: a top, b upper right, c lower right, d bottom, e lower left, f upper left, g middle; a counts 1, b 2, c 4, ...",
        inputs: &[Input { name: "digit", unit: "" }],
        unit: "",
        source: TRUTH,
        examples: &[
            Example { given: &[7.0], result: 7.0, within: 0.0, source: TRUTH },
            Example { given: &[8.0], result: 127.0, within: 0.0, source: TRUTH },
            Example { given: &[9.0], result: 111.0, within: 0.0, source: TRUTH },
        ],
        work: |v| f64::from(code(whole(v[0]))),
    },
    Formula {
        name: "segments-lit",
        written: "segments lit in a digit",
        inputs: &[Input { name: "digit", unit: "" }],
        unit: "",
        source: TRUTH,
        examples: &[
            Example { given: &[1.0], result: 2.0, within: 0.0, source: LIT },
            Example { given: &[8.0], result: 7.0, within: 0.0, source: LIT },
        ],
        work: |v| f64::from(lit(whole(v[0]))),
    },
    Formula {
        name: "segments-current",
        written: "current = segments x current of one",
        inputs: &[Input { name: "segments", unit: "" }, Input { name: "current of one", unit: "mA" }],
        unit: "mA",
        source: "currents side by side add",
        examples: &[
            Example { given: &[7.0, 20.0], result: 140.0, within: 1e-9, source: BELL },
            Example { given: &[2.0, 20.0], result: 40.0, within: 1e-9, source: BELL },
            Example { given: &[23.0, 20.0], result: 460.0, within: 1e-9, source: BELL },
        ],
        work: |v| segments_current(whole(v[0]), amperes(v[1] / 1e3)).get::<milliampere>(),
    },
    Formula {
        name: "segment-leds",
        written: "LEDs = segment length / pitch + 1, three or more, in whole groups",
        inputs: &[
            Input { name: "segment length", unit: "mm" },
            Input { name: "pitch", unit: "mm" },
            Input { name: "LEDs in a group", unit: "" },
        ],
        unit: "LEDs",
        source: "n LEDs have n - 1 gaps; every segment gets as many as its length asks for",
        examples: &[Example {
            given: &[60.0, 30.0, 3.0],
            result: 3.0,
            within: 0.0,
            source: "common practice: three small LEDs behind a segment of a hand-high digit",
        }],
        work: |v| {
            let mm = Length::new::<millimeter>;
            f64::from(leds(mm(v[0]), mm(v[1]), whole(v[2])))
        },
    },
];
