//! One bunch: the likeliest strands that it has room for, its holes and the way through them.

use super::{GAP_IN_DIAMETERS, Kind, room};
use crate::memory::Printed;
use crate::stage::bunches::Lines;
use kurbo::Point;
use serde::Serialize;
use std::ops::Range;
use uom::si::f64::Length;
use uom::si::length::millimeter;

/// A turn sharper than this (in radians, about 40 degrees) is a corner and gets a hole of its own.
const CORNER: f64 = 0.7;

/// Work spent on one threading; a count, never a time, so that the same display gives the same sheet.
const EFFORT: u32 = 20;

/// Work spent on finding out whether a number of holes is far too great.
const QUICK: u32 = 2;

/// Up to so many holes too many the full work may still save.
const NEARLY: usize = 6;

/// Share of its lamps that a well-chosen strand lights: three quarters, and one quarter where nothing else fits.
const WELL_USED: f64 = 0.75;
const BADLY_USED: f64 = 0.25;

/// Where there is no room for all holes, one in so many is left away for the next try.
const FEWER: usize = 40;

/// Most strands tried for one bunch.
const MOST_STRANDS: u32 = 8;

/// What the stage takes.
#[derive(Serialize)]
pub(crate) struct Input<'a> {
    /// The width of the panel, from whose middle below the wire comes.
    pub(crate) width_mm: f64,
    pub(crate) lines: &'a Printed<Lines>,
    /// Holes of the bunches before it.
    pub(crate) taken: &'a [Point],
    pub(crate) joints: &'a [geometry::Band],
    pub(crate) kinds: &'a [Kind],
    pub(crate) wished_mm: f64,
}

/// The likeliest strands that a bunch has room for. A strand that leaves a quarter of its lamps behind the panel is the
/// wrong strand, unless every other is, too; and where joints and other holes are in the way, holes go beside them.
pub(crate) fn work(input: &Input<'_>) -> Option<One> {
    if input.kinds.is_empty() {
        return None;
    }
    let hole_mm = input.kinds.iter().map(|kind| kind.hole_mm).fold(0.0, f64::max);
    if let Some(solved) = likeliest(input, input.lines, WELL_USED) {
        return Some(solved);
    }
    let keep = geometry::Keep { points: input.taken, bands: input.joints };
    let clear = room::clear(input.lines, &keep, GAP_IN_DIAMETERS * hole_mm);
    let mut solved = [WELL_USED, BADLY_USED].into_iter().find_map(|least| likeliest(input, &clear, least))?;
    solved.widest = solved.widest.max(room::widest_left_out(input.lines, &clear));
    Some(solved)
}

/// The likeliest strands that these lines have room for, lighting at least that share of their lamps.
fn likeliest(input: &Input<'_>, lines: &Lines, least: f64) -> Option<One> {
    let mut candidates = candidates(input, lines).into_iter();
    candidates.find_map(|(kind, copies)| solve(input, lines, (kind, copies), least))
}

/// Kinds and numbers of strands, likeliest first: near the wished spacing, few strands, within the wire's reach.
fn candidates(input: &Input<'_>, lines: &Lines) -> Vec<(usize, u32)> {
    let mut rated: Vec<(f64, usize, u32)> = Vec::new();
    for (index, kind) in input.kinds.iter().enumerate() {
        for copies in 1..=MOST_STRANDS {
            let spacing = lines.length_mm / f64::from(kind.lamps * copies);
            let fits = spacing > GAP_IN_DIAMETERS * kind.hole_mm && spacing <= reach(kind);
            let strangeness = libm::fabs(libm::log(spacing / input.wished_mm)) + 0.1 * f64::from(copies);
            rated.push((if fits { strangeness } else { 100.0 + strangeness }, index, copies));
        }
    }
    rated.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2)));
    rated.into_iter().map(|(_, index, copies)| (index, copies)).collect()
}

pub(super) fn reach(kind: &Kind) -> f64 {
    reckoning::strand::reach(Length::new::<millimeter>(kind.pitch_mm)).get::<millimeter>()
}

pub(super) fn parked(hop_mm: f64, reach_mm: f64) -> u32 {
    reckoning::strand::parked(Length::new::<millimeter>(hop_mm), Length::new::<millimeter>(reach_mm))
}

/// Holes in threading order, cut into strands.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct One {
    /// The kind of its strands, by position.
    pub(super) kind: usize,
    /// In the order of the way through them.
    pub(crate) points: Vec<Point>,
    /// The widest spacing along its lines.
    pub(super) widest: f64,
    /// For each strand the range of points it lights.
    pub(super) runs: Vec<Range<usize>>,
}

/// The most holes that these strands can light, parked lamps counted; none where that would be less than the least share
/// of their lamps.
fn solve(input: &Input<'_>, lines: &Lines, (index, copies): (usize, u32), least: f64) -> Option<One> {
    let kind = input.kinds.get(index)?;
    let lamps = usize::try_from(kind.lamps * copies).ok()?;
    let start = Point::new(input.width_mm / 2.0, 0.0);
    let keep = geometry::Keep { points: input.taken, bands: input.joints };
    let copies = usize::try_from(copies).ok()?;
    let threaded = |placed: &[Point], effort| {
        let order = geometry::thread(placed, start, reach(kind), effort).order;
        let points: Vec<Point> = order.iter().map(|&index| placed[index]).collect();
        let runs = cut_into_strands(&points, kind);
        // Every strand too many has its first lamps beyond the last.
        let over: usize = runs.iter().skip(copies).map(ExactSizeIterator::len).sum();
        (points, runs, over)
    };
    let mut holes = lamps;
    while holes >= 2 && share(holes, lamps) >= least {
        let gap_mm = GAP_IN_DIAMETERS * kind.hole_mm;
        let Some(placed) = geometry::place_points(&lines.lines, holes, CORNER, gap_mm, &keep) else {
            // Joints and other holes leave no room for so many; the lamps stay over instead.
            holes -= (holes / FEWER).max(1);
            continue;
        };
        let mut over = threaded(&placed.points, QUICK).2;
        if over <= NEARLY {
            let (points, runs, still) = threaded(&placed.points, EFFORT);
            if still == 0 {
                return Some(One { kind: index, points, widest: placed.widest, runs });
            }
            over = still;
        }
        // Take that many holes away and try again.
        holes -= over.clamp(1, holes - 1);
    }
    None
}

/// Holes as a share of lamps.
fn share(holes: usize, lamps: usize) -> f64 {
    let count = |number: usize| f64::from(u32::try_from(number).unwrap_or(u32::MAX));
    count(holes) / count(lamps)
}

/// Fills strand after strand along the way; a strand ends where the next hole and its parked lamps no longer fit.
fn cut_into_strands(points: &[Point], kind: &Kind) -> Vec<Range<usize>> {
    let mut runs = Vec::new();
    let (mut first, mut left) = (0, kind.lamps.saturating_sub(1));
    for next in 1..points.len() {
        let needs = 1 + parked(points[next - 1].distance(points[next]), reach(kind));
        if needs > left {
            runs.push(first..next);
            first = next;
            left = kind.lamps.saturating_sub(1);
        } else {
            left -= needs;
        }
    }
    if !points.is_empty() {
        runs.push(first..points.len());
    }
    runs
}
