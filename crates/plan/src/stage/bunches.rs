//! Draw: from poses to bunches, at life size, on the sheet.
//!
//! Nobody marks what is common to two poses: lines that run together in several poses are found, and light that belongs to
//! the same set of poses is one bunch, which is the fewest that can show every pose.

use crate::memory::Printed;
use kurbo::{Affine, BezPath, Point, Rect, Shape};
use serde::Serialize;

/// Free edge around the outermost line: holes keep clear of the edge, and hands need a hold. Common practice.
pub(crate) const MARGIN_MM: f64 = 60.0;

/// The cut size of a sheet is rounded up to this.
const CUT_STEP_MM: f64 = 5.0;

/// What the stage takes.
#[derive(Serialize)]
pub(crate) struct Input {
    /// For each pose its lines as drawn, y down.
    pub(crate) poses: Vec<Vec<BezPath>>,
    pub(crate) height_mm: f64,
    /// Lines closer than this are one line: nobody sees them apart and no drill makes them apart.
    pub(crate) tolerance_mm: f64,
    /// A stretch shorter than this is not a bunch of its own.
    pub(crate) shortest_mm: f64,
}

/// What the stage gives.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Bunches {
    pub(crate) width_mm: f64,
    pub(crate) height_mm: f64,
    pub(crate) bunches: Vec<Printed<Lines>>,
}

/// The lines of one bunch.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Lines {
    /// The poses it is lit in.
    pub(crate) poses: Vec<usize>,
    pub(crate) lines: Vec<Vec<Point>>,
    pub(crate) length_mm: f64,
}

pub(crate) fn work(input: &Input) -> Bunches {
    let Some(bounds) = bounds(&input.poses) else {
        return Bunches { width_mm: 0.0, height_mm: 0.0, bunches: Vec::new() };
    };
    let scale = input.height_mm / bounds.height();
    let width = cut(bounds.width() * scale + 2.0 * MARGIN_MM);
    let height = cut(input.height_mm + 2.0 * MARGIN_MM);
    // Life size, y up, the figure in the middle of the sheet.
    let place = Affine::translate((width / 2.0, height / 2.0))
        * Affine::scale_non_uniform(scale, -scale)
        * Affine::translate(-bounds.center().to_vec2());
    let layers: Vec<Vec<BezPath>> =
        input.poses.iter().map(|lines| lines.iter().map(|line| place * line.clone()).collect()).collect();
    let groups = geometry::shared_lines(&layers, input.tolerance_mm, input.shortest_mm);
    let bunches = groups
        .into_iter()
        .map(|group| {
            Printed::new(Lines {
                length_mm: group.lines.iter().map(|line| length(line)).sum(),
                poses: group.layers,
                lines: group.lines,
            })
        })
        .collect();
    Bunches { width_mm: width, height_mm: height, bunches }
}

/// The box around all poses, or none when there is nothing with a height.
fn bounds(poses: &[Vec<BezPath>]) -> Option<Rect> {
    let bounds = poses.iter().flatten().map(Shape::bounding_box).reduce(|all, one| all.union(one))?;
    (bounds.height() > 0.0).then_some(bounds)
}

fn cut(length: f64) -> f64 {
    libm::ceil(length / CUT_STEP_MM - 1e-9) * CUT_STEP_MM
}

/// Length of a polyline.
pub(crate) fn length(line: &[Point]) -> f64 {
    line.windows(2).map(|pair| pair[0].distance(pair[1])).sum()
}
