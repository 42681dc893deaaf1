//! A stretch of the world shown on paper, and how a drawing too large for one page is parted.

use crate::labels::{Placed, Surroundings, Wanted, place};
use crate::plate::{Plate, Word, pen};

/// No drawing is larger than half the real size.
const LARGEST: f64 = 0.5;

/// Ways to part a drawing, columns and rows, the fewest pages first.
const PARTINGS: [[u32; 2]; 9] = [[1, 1], [1, 2], [2, 1], [1, 3], [2, 2], [2, 3], [3, 3], [3, 4], [4, 5]];

/// A rectangle of the world: left, bottom, right, top.
pub(super) type Bounds = [f64; 4];

/// A stretch of the world shown on paper.
pub(super) struct Window {
    bounds: Bounds,
    pub(super) scale: f64,
    /// Seen from the back: x runs the other way.
    mirrored: bool,
}

impl Window {
    /// A stretch of the world as large as the room on the page allows.
    pub(super) fn fit(bounds: Bounds, room: [f64; 2], mirrored: bool) -> Self {
        let (width, height) = ((bounds[2] - bounds[0]).max(1.0), (bounds[3] - bounds[1]).max(1.0));
        let scale = (room[0] / width).min(room[1] / height).min(LARGEST);
        Self { bounds, scale, mirrored }
    }

    /// Where a point comes to lie on paper.
    pub(super) fn on_paper(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let across = if self.mirrored { self.bounds[2] - x } else { x - self.bounds[0] };
        [across * self.scale, (self.bounds[3] - y) * self.scale]
    }

    /// A line on paper.
    pub(super) fn line(&self, points: &[[f64; 2]]) -> Vec<[f64; 2]> {
        points.iter().map(|point| self.on_paper(*point)).collect()
    }

    /// What is shown.
    pub(super) fn bounds(&self) -> Bounds {
        self.bounds
    }

    pub(super) fn size(&self) -> [f64; 2] {
        [(self.bounds[2] - self.bounds[0]) * self.scale, (self.bounds[3] - self.bounds[1]) * self.scale]
    }

    /// Whether a point of the world can be seen.
    pub(super) fn shows(&self, [x, y]: [f64; 2]) -> bool {
        x >= self.bounds[0] && x <= self.bounds[2] && y >= self.bounds[1] && y <= self.bounds[3]
    }

    /// The scale in words.
    pub(super) fn words(&self) -> String {
        format!("1\u{a0}:\u{a0}{:.1}", 1.0 / self.scale)
    }

    /// A line between two points cut off at the window's edge, on paper; none where it lies outside.
    pub(super) fn clipped(&self, from: [f64; 2], to: [f64; 2]) -> Option<[[f64; 2]; 2]> {
        let (mut first, mut last) = (0.0_f64, 1.0_f64);
        for axis in [0, 1] {
            let along = to[axis] - from[axis];
            let (low, high) = (self.bounds[axis] - from[axis], self.bounds[axis + 2] - from[axis]);
            if along.abs() < 1e-12 {
                if low > 0.0 || high < 0.0 {
                    return None;
                }
                continue;
            }
            let (a, b) = (low / along, high / along);
            first = first.max(a.min(b));
            last = last.min(a.max(b));
        }
        let point = |part: f64| [from[0] + part * (to[0] - from[0]), from[1] + part * (to[1] - from[1])];
        (first < last).then(|| [self.on_paper(point(first)), self.on_paper(point(last))])
    }
}

/// The bounds of points, with some room around.
pub(super) fn around(points: impl IntoIterator<Item = [f64; 2]>, pad: f64) -> Option<Bounds> {
    let mut points = points.into_iter();
    let [x, y] = points.next()?;
    let tight = points.fold([x, y, x, y], |b, [x, y]| [b[0].min(x), b[1].min(y), b[2].max(x), b[3].max(y)]);
    Some([tight[0] - pad, tight[1] - pad, tight[2] + pad, tight[3] + pad])
}

/// The parts of a rectangle that lie over each other by twice `lap`, rows from the top, left to right as SEEN.
pub(super) fn parted(bounds: Bounds, [columns, rows]: [u32; 2], lap: f64, mirrored: bool) -> Vec<Bounds> {
    let step = [(bounds[2] - bounds[0]) / f64::from(columns), (bounds[3] - bounds[1]) / f64::from(rows)];
    let mut parts = Vec::new();
    for row in 0..rows {
        for column in 0..columns {
            let across = if mirrored { columns - 1 - column } else { column };
            let left = bounds[0] + f64::from(across) * step[0];
            let top = bounds[3] - f64::from(row) * step[1];
            parts.push([
                (left - lap).max(bounds[0]),
                (top - step[1] - lap).max(bounds[1]),
                (left + step[0] + lap).min(bounds[2]),
                (top + lap).min(bounds[3]),
            ]);
        }
    }
    parts
}

/// A part without the empty stretches at its edges.
fn cropped(part: Bounds, marks: &[[f64; 2]], pad: f64) -> Bounds {
    let inside = |at: &[f64; 2]| at[0] >= part[0] && at[0] <= part[2] && at[1] >= part[1] && at[1] <= part[3];
    around(marks.iter().copied().filter(inside), pad).map_or(part, |tight| {
        [tight[0].max(part[0]), tight[1].max(part[1]), tight[2].min(part[2]), tight[3].min(part[3])]
    })
}

/// When a drawing is parted enough.
#[derive(Clone, Copy)]
pub(super) struct Enough {
    /// One label in so many may lie on something.
    pub(super) one_in: usize,
    /// No more pages than this.
    pub(super) pages: u32,
}

/// What has to be labelled in a window.
pub(super) struct Labelling {
    /// The labels wanted, on paper.
    pub(super) wanted: Vec<Wanted>,
    /// Every hole drawn, on paper.
    pub(super) holes: Vec<[f64; 2]>,
    /// Radius of a hole on paper.
    pub(super) radius: f64,
    /// Lines between holes, on paper.
    pub(super) lines: Vec<[[f64; 2]; 2]>,
}

/// A part of a drawing with its labels in place.
pub(super) struct Part {
    pub(super) window: Window,
    pub(super) labelling: Labelling,
    pub(super) placed: Placed,
    /// Size of the type.
    pub(super) pt: f64,
}

/// The fewest parts in which next to no label has to lie on something, in the type of the yard.
pub(super) fn fewest_parts(
    bounds: Bounds,
    room: [f64; 2],
    mirrored: bool,
    lap: f64,
    marks: &[[f64; 2]],
    enough: Enough,
    label: &dyn Fn(&Window) -> Labelling,
) -> Vec<Part> {
    let mut best: Option<(f64, Vec<Part>)> = None;
    for parting in PARTINGS.into_iter().filter(|[columns, rows]| columns * rows <= enough.pages) {
        let parts: Vec<Part> = parted(bounds, parting, lap, mirrored)
            .into_iter()
            .map(|part| if parting == [1, 1] { part } else { cropped(part, marks, lap) })
            .map(|bounds| laid_out(Window::fit(bounds, room, mirrored), super::YARD_PT, label))
            .filter(|part| !part.labelling.wanted.is_empty())
            .collect();
        let wanted: usize = parts.iter().map(|part| part.labelling.wanted.len()).sum();
        let clashes: usize = parts.iter().map(|part| part.placed.clashes).sum();
        let share = ratio(clashes, wanted);
        let good = clashes * enough.one_in <= wanted;
        if best.as_ref().is_none_or(|(least, _)| share < *least) {
            best = Some((share, parts));
        }
        if good {
            break;
        }
    }
    best.map_or_else(Vec::new, |(_, parts)| parts)
}

fn ratio(part: usize, whole: usize) -> f64 {
    let count = |value: usize| f64::from(u32::try_from(value).unwrap_or(u32::MAX));
    count(part) / count(whole.max(1))
}

fn laid_out(window: Window, pt: f64, label: &dyn Fn(&Window) -> Labelling) -> Part {
    let labelling = label(&window);
    let surroundings = Surroundings {
        holes: &labelling.holes,
        radius: labelling.radius,
        lines: &labelling.lines,
        size: window.size(),
        type_mm: pt * super::POINT_MM,
    };
    let placed = place(&labelling.wanted, &surroundings);
    Part { window, placed, pt, labelling }
}

impl Part {
    /// Whether a label found a place of its own.
    pub(super) fn clear(&self, k: usize) -> bool {
        !self.placed.clashing.get(k).copied().unwrap_or(false)
    }

    /// A label on the drawing, with a thin line to its hole where it had to move away from it.
    pub(super) fn letter(&self, plate: &mut Plate, k: usize, text: &str, every_tenth: bool) {
        let (Some(at), Some(wanted)) = (self.placed.centres.get(k), self.labelling.wanted.get(k)) else {
            return;
        };
        if let Some(leader) =
            self.placed.leader(wanted, *at, self.labelling.radius, self.pt * super::POINT_MM)
        {
            plate.line(&leader, pen(0.18));
        }
        let word = Word::new(*at, text, self.pt).bare();
        plate.word(if every_tenth { word.disc() } else { word });
    }
}

/// A small map of all parts with one of them marked.
pub(super) fn index_map(
    bounds: Bounds,
    dots: &[[f64; 2]],
    parts: &[Bounds],
    shown: usize,
    mirrored: bool,
    room: [f64; 2],
) -> serde_json::Value {
    let window = Window::fit(bounds, room, mirrored);
    let mut plate = Plate::new(window.size(), format!("Map: part {} of {}", shown + 1, parts.len()));
    plate.rectangle([0.0, 0.0], window.size(), pen(0.25));
    if let Some(part) = parts.get(shown) {
        let corner = window.line(&[[part[0], part[1]], [part[2], part[3]]]);
        if let [a, b] = corner.as_slice() {
            let at = [a[0].min(b[0]), a[1].min(b[1])];
            let size = [(a[0] - b[0]).abs(), (a[1] - b[1]).abs()];
            plate.rectangle(at, size, pen(0.9));
        }
    }
    plate.rounds(&window.line(dots), 0.25, crate::plate::INK, None);
    plate.done()
}
