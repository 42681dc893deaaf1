//! Drill and string: holes solved to the lamps that strands have, and one way through them that the wire can make.
//!
//! Both are solved together. A hop longer than the wire parks a lamp behind the panel, and a parked lamp has no hole; so the
//! number of holes depends on the way through them.

mod room;
#[cfg(test)]
mod tests;

use crate::memory::Printed;
use crate::note::{Also, finding, rating, used, value, worked, working};
use crate::stage::bunches::{Bunches, Lines};
use finding::{Finding, Severity};
use kurbo::Point;
use quantity::{Show as _, Units};
use serde::Serialize;
use uom::si::f64::Length;
use uom::si::length::millimeter;

/// A turn sharper than this (in radians, about 40 degrees) is a corner and gets a hole of its own.
const CORNER: f64 = 0.7;

/// Hole centres stay two diameters apart, so that as much sheet is left between as is taken away. Common practice.
const GAP_IN_DIAMETERS: f64 = 2.0;

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

/// A kind of strand the figure may be built from.
#[derive(Clone, Serialize)]
pub(crate) struct Kind {
    pub(crate) part: String,
    pub(crate) colour: String,
    pub(crate) lamps: u32,
    pub(crate) pitch_mm: f64,
    pub(crate) lead_mm: f64,
    pub(crate) hole_mm: f64,
}

/// What the stage takes.
#[derive(Serialize)]
pub(crate) struct Input<'a> {
    pub(crate) panel: &'a str,
    pub(crate) bunches: &'a Printed<Bunches>,
    /// The names of the bunches.
    pub(crate) names: &'a [String],
    /// Where sheets meet: no hole there.
    pub(crate) joints: &'a [geometry::Band],
    pub(crate) kinds: &'a [Kind],
    /// Spacing at which a row of lamps reads as a line from the farthest viewer.
    pub(crate) wished_mm: f64,
    pub(crate) farthest_mm: f64,
    pub(crate) units: Units,
}

/// What the stage gives.
#[derive(Clone, Debug, Default, Serialize)]
pub(crate) struct Strung {
    /// For each bunch the widest spacing along its lines.
    pub(crate) spacing_mm: Vec<f64>,
    pub(crate) holes: Vec<crate::Hole>,
    pub(crate) strands: Vec<crate::StrandRun>,
    pub(crate) findings: Vec<Finding>,
}

pub(crate) fn work(input: &Input<'_>) -> Strung {
    let mut strung = Strung::default();
    if input.kinds.is_empty() {
        // Nothing to string it with yet; that is told where it is missing.
        strung.spacing_mm = vec![0.0; input.bunches.bunches.len()];
        return strung;
    }
    let mut taken: Vec<Point> = Vec::new();
    for (bunch, lines) in input.bunches.bunches.iter().enumerate() {
        let solved = best(input, lines, &taken);
        if let Some(solved) = solved {
            strung.spacing_mm.push(solved.widest);
            taken.extend(&solved.points);
            note_reading(input, bunch, solved.widest, &mut strung.findings);
            add(bunch, &solved, &mut strung);
        } else {
            strung.spacing_mm.push(0.0);
            strung.findings.push(room::no_room(input, bunch, lines, &strung.holes));
        }
    }
    note_leads(input, &mut strung);
    strung
}

/// The likeliest strands that a bunch has room for. A strand that leaves a quarter of its lamps behind the panel is the
/// wrong strand, unless every other is, too; and where joints and other holes are in the way, holes go beside them.
fn best<'a>(input: &Input<'a>, lines: &Lines, taken: &[Point]) -> Option<Solved<'a>> {
    let hole_mm = input.kinds.iter().map(|kind| kind.hole_mm).fold(0.0, f64::max);
    if let Some(solved) = likeliest(input, lines, WELL_USED, taken) {
        return Some(solved);
    }
    let keep = geometry::Keep { points: taken, bands: input.joints };
    let clear = room::clear(lines, &keep, GAP_IN_DIAMETERS * hole_mm);
    let mut solved =
        [WELL_USED, BADLY_USED].into_iter().find_map(|least| likeliest(input, &clear, least, taken))?;
    solved.widest = solved.widest.max(room::widest_left_out(lines, &clear));
    Some(solved)
}

/// The likeliest strands that these lines have room for, lighting at least that share of their lamps.
fn likeliest<'a>(input: &Input<'a>, lines: &Lines, least: f64, taken: &[Point]) -> Option<Solved<'a>> {
    let mut candidates = candidates(input, lines).into_iter();
    candidates.find_map(|(kind, copies)| solve(input, lines, (kind, copies), least, taken))
}

/// Kinds and numbers of strands, likeliest first: near the wished spacing, few strands, within the wire's reach.
fn candidates<'a>(input: &Input<'a>, lines: &Lines) -> Vec<(&'a Kind, u32)> {
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
    rated.into_iter().map(|(_, index, copies)| (&input.kinds[index], copies)).collect()
}

fn reach(kind: &Kind) -> f64 {
    reckoning::strand::reach(Length::new::<millimeter>(kind.pitch_mm)).get::<millimeter>()
}

fn parked(hop_mm: f64, reach_mm: f64) -> u32 {
    reckoning::strand::parked(Length::new::<millimeter>(hop_mm), Length::new::<millimeter>(reach_mm))
}

/// Holes in threading order, cut into strands.
struct Solved<'a> {
    kind: &'a Kind,
    points: Vec<Point>,
    widest: f64,
    /// For each strand the range of points it lights.
    runs: Vec<std::ops::Range<usize>>,
}

/// The most holes that these strands can light, parked lamps counted; none where that would be less than the least share
/// of their lamps.
fn solve<'a>(
    input: &Input<'_>,
    lines: &Lines,
    (kind, copies): (&'a Kind, u32),
    least: f64,
    taken: &[Point],
) -> Option<Solved<'a>> {
    let lamps = usize::try_from(kind.lamps * copies).ok()?;
    let start = Point::new(input.bunches.width_mm / 2.0, 0.0);
    let keep = geometry::Keep { points: taken, bands: input.joints };
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
                return Some(Solved { kind, points, widest: placed.widest, runs });
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
fn cut_into_strands(points: &[Point], kind: &Kind) -> Vec<std::ops::Range<usize>> {
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

/// Numbers the holes and writes the strands down.
fn add(bunch: usize, solved: &Solved<'_>, strung: &mut Strung) {
    let before = strung.holes.len();
    for (index, point) in solved.points.iter().enumerate() {
        strung.holes.push(crate::Hole { number: before + index + 1, x_mm: point.x, y_mm: point.y, bunch });
    }
    for run in &solved.runs {
        let kind = solved.kind;
        let hops: Vec<crate::Hop> = (run.start + 1..run.end)
            .map(|to| {
                let length_mm = solved.points[to - 1].distance(solved.points[to]);
                crate::Hop {
                    from: before + to,
                    to: before + to + 1,
                    length_mm,
                    parked: parked(length_mm, reach(kind)),
                }
            })
            .collect();
        let used = hops.iter().map(|hop| 1 + hop.parked).sum::<u32>() + 1;
        let longest_hop_mm =
            hops.iter().map(|hop| hop.length_mm / f64::from(hop.parked + 1)).fold(0.0, f64::max);
        let strand = crate::StrandRun {
            // The panel's own mark goes in front of it.
            label: (strung.strands.len() + 1).to_string(),
            part: kind.part.clone(),
            colour: kind.colour.clone(),
            bunch,
            lamps: kind.lamps,
            first_hole: before + run.start + 1,
            last_hole: before + run.end,
            hops,
            spare: kind.lamps.saturating_sub(used),
            longest_hop_mm,
            reach_mm: reach(kind),
        };
        strung.strands.push(strand);
    }
}

/// The wire from the plug must come up to the first hole from below the panel; all that do not are told at once.
fn note_leads(input: &Input<'_>, strung: &mut Strung) {
    let short = |strand: &crate::StrandRun| {
        let kind = input.kinds.iter().find(|kind| kind.part == strand.part)?;
        let first = strung.holes.get(strand.first_hole.checked_sub(1)?)?.y_mm;
        let usable = kind.lead_mm * reckoning::strand::USABLE_SHARE;
        (first > usable).then(|| (strand.label.clone(), kind, first, usable))
    };
    let short: Vec<_> = strung.strands.iter().filter_map(short).collect();
    let Some((_, kind, first, usable)) = short.iter().max_by(|a, b| (a.2 - a.3).total_cmp(&(b.2 - b.3)))
    else {
        return;
    };
    let shown = |mm: f64| Length::new::<millimeter>(mm).show(input.units);
    let labels: Vec<&str> = short.iter().map(|(label, ..)| label.as_str()).collect();
    let (plugs, hang) = match labels.len() {
        1 => ("The plug of strand", "hangs"),
        _ => ("The plugs of strands", "hang"),
    };
    strung.findings.push(
        finding(
            "string/lead-short",
            Severity::Caution,
            "string",
            &[input.panel],
            format!(
                "{plugs} {} {hang} behind the panel: a first hole is {} up and its lead reaches {}",
                labels.join(", "),
                shown(*first),
                shown(*usable)
            ),
        )
        .working(working(
            "usable-lead",
            vec![value(
                "wire from the plug to the first lamp",
                shown(kind.lead_mm),
                rating(&kind.part, "lead"),
            )],
            shown(*usable),
            Some((format!("{} to the lower edge", shown(*first)), "the drawing".into())),
            None,
        ))
        .cure(
            "Bring the feed up behind the panel to where each plug hangs, off the ground, plug end down",
            None,
        ),
    );
}

fn note_reading(input: &Input<'_>, bunch: usize, widest: f64, findings: &mut Vec<Finding>) {
    let twice = 2.0 * input.wished_mm;
    if widest <= twice {
        return;
    }
    let shown = |mm: f64| Length::new::<millimeter>(mm).show(input.units);
    findings.push(
        finding(
            "drill/wide-spacing",
            Severity::Caution,
            "drill",
            &[input.panel],
            format!(
                "Holes up to {} apart read as separate dots even from {}",
                shown(widest),
                shown(input.farthest_mm)
            ),
        )
        .about(&bunch.to_string())
        .working(working(
            "size-seen",
            vec![
                value("distance", shown(input.farthest_mm), worked("size-seen", &["place.viewers.farthest"])),
                value(
                    "angle",
                    "10 minutes of arc".into(),
                    finding::Origin::Default("dots read as a line up to here: common practice"),
                ),
            ],
            shown(twice),
            Some((shown(widest), "widest spacing of the bunch".into())),
            Some(used(widest, twice)),
        ))
        .cure("Use more lamps for this bunch, or draw it with fewer lines", None),
    );
}
