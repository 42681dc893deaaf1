//! A bunch that no strand fits: how much of its line has no room for holes, where that is, and what takes the room.

use super::{GAP_IN_DIAMETERS, Input};
use crate::note::{Also, finding};
use crate::stage::bunches::Lines;
use finding::{Finding, Severity};
use kurbo::Point;
use quantity::Show as _;
use uom::si::f64::Length;
use uom::si::length::millimeter;

/// How finely lines are looked along.
const STEP_MM: f64 = 2.0;

/// What takes the room for holes.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Taker {
    Joint,
    /// Holes of a bunch, by position.
    Bunch(usize),
}

/// The stretches of a bunch without room.
struct Crowded {
    by: Taker,
    length_mm: f64,
    /// The middle of them.
    middle: Point,
}

/// The finding about a bunch, by position, that no strand fits; `holes` are those of the bunches before it.
pub(super) fn no_room(input: &Input<'_>, bunch: usize, lines: &Lines, holes: &[crate::Hole]) -> Finding {
    let shown = |mm: f64| Length::new::<millimeter>(mm).show(input.units);
    let named = |bunch: usize| input.names.get(bunch).map_or("", String::as_str);
    let hole_mm = input.kinds.iter().map(|kind| kind.hole_mm).fold(f64::INFINITY, f64::min);
    let gap_mm = GAP_IN_DIAMETERS * hole_mm;
    let kinds: Vec<String> =
        input.kinds.iter().map(|kind| format!("{} ({} lamps)", kind.part, kind.lamps)).collect();
    let crowded = crowded(input, lines, holes, gap_mm);
    let place = |point: Point| format!("{} across and {} up", shown(point.x), shown(point.y));
    let whose = match &crowded {
        None => middle(lines).map_or(String::new(), |at| format!(" around {}", place(at))),
        Some(crowded) => {
            let taker = match crowded.by {
                Taker::Joint => "a joint".to_owned(),
                Taker::Bunch(other) => format!("the holes of bunch {}", named(other)),
            };
            format!(
                ", {} of it within {} of {taker}, around {}",
                shown(crowded.length_mm),
                shown(gap_mm),
                place(crowded.middle)
            )
        }
    };
    let verdict = format!(
        "No listed strand fits bunch {}: {} of line{whose}; tried {}",
        named(bunch),
        shown(lines.length_mm),
        kinds.join(", ")
    );
    let found = finding("drill/no-strand-fits", Severity::Fault, "drill", &[input.panel], verdict)
        .about(&format!("{:?}", lines.poses));
    let found = match crowded.map(|crowded| crowded.by) {
        Some(Taker::Joint) => found.cure("Draw these lines across the joint, not along it", None),
        Some(Taker::Bunch(_)) => found.cure(
            &format!("Draw these lines {} or more from the others, or right on them", shown(gap_mm)),
            None,
        ),
        None => found,
    };
    found
        .cure("List a strand with fewer or more lamps, or with longer wire between them", None)
        .cure("Make the figure taller, or draw this part with longer or fewer lines", None)
}

/// What takes most room, and where; none where all of the line has room.
fn crowded(input: &Input<'_>, lines: &Lines, holes: &[crate::Hole], gap_mm: f64) -> Option<Crowded> {
    let mut found: std::collections::BTreeMap<Taker, (f64, f64, f64)> = std::collections::BTreeMap::new();
    for point in lines.lines.iter().flat_map(|line| along(line)) {
        if let Some(by) = taker(input, point, holes, gap_mm) {
            let sum = found.entry(by).or_default();
            *sum = (sum.0 + 1.0, sum.1 + point.x, sum.2 + point.y);
        }
    }
    let (by, (count, x, y)) = found.into_iter().max_by(|a, b| a.1.0.total_cmp(&b.1.0))?;
    let length_mm = (count * STEP_MM).min(lines.length_mm);
    Some(Crowded { by, length_mm, middle: Point::new(x / count, y / count) })
}

/// What keeps a hole from being here.
fn taker(input: &Input<'_>, point: Point, holes: &[crate::Hole], gap_mm: f64) -> Option<Taker> {
    let in_joint = input.joints.iter().any(|band| {
        let place = if band.upright { point.x } else { point.y };
        libm::fabs(place - band.at) < band.half
    });
    if in_joint {
        return Some(Taker::Joint);
    }
    let near = |hole: &&crate::Hole| libm::hypot(hole.x_mm - point.x, hole.y_mm - point.y) < gap_mm;
    holes.iter().find(near).map(|hole| Taker::Bunch(hole.bunch))
}

/// Points along a line, a step apart.
fn along(line: &[Point]) -> Vec<Point> {
    let mut points = Vec::new();
    let mut carried = STEP_MM / 2.0;
    for pair in line.windows(2) {
        let length = pair[0].distance(pair[1]);
        while carried < length {
            points.push(pair[0].lerp(pair[1], carried / length));
            carried += STEP_MM;
        }
        carried -= length;
    }
    points
}

/// The middle of all points of a bunch.
fn middle(lines: &Lines) -> Option<Point> {
    let points: Vec<Point> = lines.lines.iter().flat_map(|line| along(line)).collect();
    let count = f64::from(u32::try_from(points.len()).ok().filter(|count| *count > 0)?);
    let (x, y) = points.iter().fold((0.0, 0.0), |sum, point| (sum.0 + point.x, sum.1 + point.y));
    Some(Point::new(x / count, y / count))
}

/// The stretches of lines on which a hole may be: out of all joints, and the gap away from holes that are there already.
pub(super) fn clear(lines: &Lines, keep: &geometry::Keep<'_>, gap_mm: f64) -> Lines {
    let free = |point: Point| {
        let in_band = keep.bands.iter().any(|band| {
            let place = if band.upright { point.x } else { point.y };
            libm::fabs(place - band.at) < band.half
        });
        !in_band && keep.points.iter().all(|other| other.distance(point) >= gap_mm)
    };
    let mut stretches: Vec<Vec<Point>> = Vec::new();
    for line in &lines.lines {
        let mut open: Vec<Point> = Vec::new();
        for point in finely(line) {
            if free(point) {
                open.push(point);
            } else if !open.is_empty() {
                stretches.push(std::mem::take(&mut open));
            }
        }
        stretches.push(open);
    }
    stretches.retain(|stretch| stretch.len() > 1);
    let length_mm = stretches.iter().map(|stretch| crate::stage::bunches::length(stretch)).sum();
    Lines { poses: lines.poses.clone(), lines: stretches, length_mm }
}

/// The longest stretch that [`clear`] leaves out of a line.
pub(super) fn widest_left_out(lines: &Lines, clear: &Lines) -> f64 {
    let left = lines.length_mm - clear.length_mm;
    // Of a line cut in several places this says too much, never too little.
    left.max(0.0)
}

/// A line with a point every millimetre or less; its own points stay.
fn finely(line: &[Point]) -> Vec<Point> {
    const FINE_MM: f64 = 1.0;
    let mut points: Vec<Point> = line.first().copied().into_iter().collect();
    for pair in line.windows(2) {
        let pieces = libm::ceil(pair[0].distance(pair[1]) / FINE_MM).max(1.0);
        let mut piece = 1.0;
        while piece <= pieces {
            points.push(pair[0].lerp(pair[1], piece / pieces));
            piece += 1.0;
        }
    }
    points
}
