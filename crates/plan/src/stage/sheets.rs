//! Drill: the sheets a panel is made of. A figure larger than its sheet is made of several, joined over a strip; the joints
//! go where they cross the fewest lines.

use crate::Piece;
use crate::stage::bunches::Bunches;
use geometry::Band;
use kurbo::Point;
use serde::Serialize;

/// Joints are looked for in steps of this.
const STEP_MM: f64 = 5.0;

/// A panel in more pieces than this along one side is too large for its sheet: nobody lifts it in one.
const MOST_ALONG: usize = 4;

/// What the stage takes.
#[derive(Serialize)]
pub(crate) struct Input<'a> {
    pub(crate) bunches: &'a Bunches,
    /// Width and height of the sheet as sold; none where it is not known yet.
    pub(crate) sheet_mm: Option<[f64; 2]>,
    /// Holes stay this far from a joint.
    pub(crate) keep_mm: f64,
}

/// What the stage gives.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Sheets {
    pub(crate) pieces: Vec<Piece>,
    /// Where no hole may be.
    pub(crate) joints: Vec<Band>,
    /// Whether the panel can be made of such sheets at all.
    pub(crate) fits: bool,
}

pub(crate) fn work(input: &Input<'_>) -> Sheets {
    let (width, height) = (input.bunches.width_mm, input.bunches.height_mm);
    let whole = Sheets {
        pieces: vec![Piece { x_mm: 0.0, y_mm: 0.0, width_mm: width, height_mm: height }],
        joints: Vec::new(),
        fits: true,
    };
    let Some([wide, high]) = input.sheet_mm else { return whole };
    let across = |sheet: [f64; 2]| [along(width, sheet[0]), along(height, sheet[1])];
    let laid = [[wide, high], [high, wide]].into_iter().min_by_key(|sheet| {
        let [columns, rows] = across(*sheet);
        columns * rows
    });
    let Some(sheet) = laid else { return whole };
    let [columns, rows] = across(sheet);
    if columns > MOST_ALONG || rows > MOST_ALONG {
        return Sheets { fits: false, ..whole };
    }
    let lines: Vec<&[Point]> =
        input.bunches.bunches.iter().flat_map(|bunch| &bunch.lines).map(Vec::as_slice).collect();
    let upright = cuts(width, sheet[0], columns, input.keep_mm, &lines, |point| point.x);
    let level = cuts(height, sheet[1], rows, input.keep_mm, &lines, |point| point.y);
    let band = |upright, at: &f64| Band { upright, at: *at, half: input.keep_mm };
    let joints = upright.iter().map(|at| band(true, at)).chain(level.iter().map(|at| band(false, at)));
    Sheets { joints: joints.collect(), pieces: pieces(width, height, &upright, &level), fits: true }
}

/// How many sheets of a side go along a length. Half a millimetre too long is cut off without asking.
fn along(length: f64, sheet: f64) -> usize {
    (1..=MOST_ALONG).find(|&count| length <= count_as(count) * sheet + 0.5).unwrap_or(MOST_ALONG + 1)
}

fn count_as(count: usize) -> f64 {
    f64::from(u32::try_from(count).unwrap_or(u32::MAX))
}

/// Where one side is cut: every piece within its sheet, and the least line within reach of a joint.
fn cuts(
    length: f64,
    sheet: f64,
    count: usize,
    keep: f64,
    lines: &[&[Point]],
    side: impl Fn(Point) -> f64,
) -> Vec<f64> {
    let mut cuts: Vec<f64> = Vec::new();
    for cut in 1..count {
        let left = cuts.last().copied().unwrap_or(0.0);
        let (least, most) = ((length - count_as(count - cut) * sheet).max(left), left + sheet);
        let even = length * count_as(cut) / count_as(count);
        let mut best = (f64::INFINITY, f64::INFINITY, even.clamp(least, most));
        let mut at = libm::ceil(least / STEP_MM) * STEP_MM;
        while at <= most {
            let near = lines.iter().map(|line| within(line, at - keep, at + keep, &side)).sum::<f64>();
            let tried = (libm::round(near), (at - even).abs(), at);
            if tried < best {
                best = tried;
            }
            at += STEP_MM;
        }
        cuts.push(best.2);
    }
    cuts
}

/// Length of a line between two bounds of one side.
fn within(line: &[Point], from: f64, to: f64, side: &impl Fn(Point) -> f64) -> f64 {
    let pieces = line.windows(2).map(|pair| {
        let middle = side(pair[0].midpoint(pair[1]));
        if (from..=to).contains(&middle) { pair[0].distance(pair[1]) } else { 0.0 }
    });
    pieces.sum()
}

/// The pieces from below, each row from the left.
fn pieces(width: f64, height: f64, upright: &[f64], level: &[f64]) -> Vec<Piece> {
    let edges = |cuts: &[f64], end: f64| -> Vec<f64> {
        std::iter::once(0.0).chain(cuts.iter().copied()).chain(std::iter::once(end)).collect()
    };
    let (xs, ys) = (edges(upright, width), edges(level, height));
    let mut pieces = Vec::new();
    for y in ys.windows(2) {
        for x in xs.windows(2) {
            pieces.push(Piece { x_mm: x[0], y_mm: y[0], width_mm: x[1] - x[0], height_mm: y[1] - y[0] });
        }
    }
    pieces
}
