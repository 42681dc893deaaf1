//! Somebody to compare with: a standing person in outline, facing the viewer.

use crate::plate::{PALE, Plate};

/// The right half of the outline in parts of the height, from the neck down to the crotch: across, up.
const HALF: [[f64; 2]; 17] = [
    [0.022, 0.865],
    [0.030, 0.838],
    [0.095, 0.815],
    [0.128, 0.790],
    [0.140, 0.700],
    [0.150, 0.600],
    [0.158, 0.500],
    [0.150, 0.455],
    [0.128, 0.470],
    [0.118, 0.590],
    [0.098, 0.690],
    [0.088, 0.590],
    [0.098, 0.490],
    [0.082, 0.270],
    [0.066, 0.030],
    [0.092, 0.000],
    [0.028, 0.000],
];

/// Where the legs part.
const CROTCH: [f64; 2] = [0.010, 0.440];

/// Draws a person; `on_paper` places a point of the yard, `foot` is between the feet.
pub(super) fn person(
    plate: &mut Plate,
    on_paper: &dyn Fn([f64; 2]) -> [f64; 2],
    foot: [f64; 2],
    height_mm: f64,
) {
    let at = |[across, up]: [f64; 2], side: f64| {
        on_paper([foot[0] + side * across * height_mm, foot[1] + up * height_mm])
    };
    let mut outline: Vec<[f64; 2]> = HALF.iter().map(|point| at(*point, 1.0)).collect();
    outline.push(at(CROTCH, 1.0));
    outline.push(at(CROTCH, -1.0));
    outline.extend(HALF.iter().rev().map(|point| at(*point, -1.0)));
    plate.fill(&outline, PALE);
    let scale = at([1.0, 0.0], 1.0)[0] - at([0.0, 0.0], 1.0)[0];
    plate.rounds(&[at([0.0, 0.925], 1.0)], 0.068 * scale, PALE, None);
}
