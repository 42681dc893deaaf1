//! Home-made digits: seven segments each, lettered a to g clockwise from the top with g in the middle.

use super::Place;
use serde::Serialize;

/// Share of the time that digits are lit, in percent, switched too fast to be seen. Night needs less than half of the
/// rated current (from memory; a light meter at the board decides). At exactly a half, a dimmer connected the wrong way round
/// would look right.
pub const DIGITS_PERCENT: u32 = 40;

/// Digits side by side.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DigitsUse {
    /// Their name.
    pub name: String,
    /// Their place in the machine form.
    pub digits: usize,
    /// How many.
    pub count: u32,
    /// Height of a digit.
    pub height_mm: f64,
    /// Width of a digit.
    pub width_mm: f64,
    /// From the left edge of one to the left edge of the next.
    pub pitch_mm: f64,
    /// The lower left corner of the leftmost.
    pub place: Place,
    /// Middles and directions of the seven segments within a digit, from its lower left corner: `[x1, y1, x2, y2]`.
    pub segments_mm: Vec<[f64; 4]>,
    /// The letters of the segments, in their order.
    pub letters: String,
    /// The segments of the numerals 0 to 9, the first letter as the lowest bit.
    pub numerals: [u8; 10],
    /// The LED.
    pub led: String,
    /// Colour of its light, as a CSS colour.
    pub colour: String,
    /// LEDs of a segment in one row, and how many rows stand side by side electrically.
    pub leds_in_series: u32,
    /// Rows in parallel, each with a resistor of its own.
    pub rows: u32,
    /// The resistor of each row.
    pub resistor_ohm: f64,
    /// Power in that resistor while lit.
    pub resistor_w: f64,
    /// Current of one segment.
    pub segment_a: f64,
    /// For each digit from the LEFT the channels of its segments a to g, by position in [`crate::Plan::channels`].
    pub channels: Vec<Vec<usize>>,
}
