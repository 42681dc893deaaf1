//! Drill and string: holes solved to the lamps that strands have, and one way through them that the wire can make.
//!
//! Both are solved together. A hop longer than the wire parks a lamp behind the panel, and a parked lamp has no hole; so the
//! number of holes depends on the way through them.

pub(crate) mod one;
mod room;
#[cfg(test)]
mod tests;

use crate::note::{Also, finding, rating, used, value, worked, working};
use crate::stage::bunches::Bunches;
use finding::{Finding, Severity};
use one::{One, parked, reach};
use quantity::{Show as _, Units};
use serde::Serialize;
use uom::si::f64::Length;
use uom::si::length::millimeter;

/// Hole centres stay two diameters apart, so that as much sheet is left between as is taken away. Common practice.
const GAP_IN_DIAMETERS: f64 = 2.0;

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
    pub(crate) bunches: &'a Bunches,
    /// What each bunch is strung with; none where no strand fits.
    pub(crate) strung: Vec<Option<&'a One>>,
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
    for (bunch, (lines, one)) in input.bunches.bunches.iter().zip(&input.strung).enumerate() {
        if let Some(one) = one {
            strung.spacing_mm.push(one.widest);
            note_reading(input, bunch, one.widest, &mut strung.findings);
            add(input, bunch, one, &mut strung);
        } else {
            strung.spacing_mm.push(0.0);
            strung.findings.push(room::no_room(input, bunch, lines, &strung.holes));
        }
    }
    note_leads(input, &mut strung);
    strung
}

/// Numbers the holes and writes the strands down.
fn add(input: &Input<'_>, bunch: usize, one: &One, strung: &mut Strung) {
    let Some(kind) = input.kinds.get(one.kind) else { return };
    let before = strung.holes.len();
    for (index, point) in one.points.iter().enumerate() {
        strung.holes.push(crate::Hole { number: before + index + 1, x_mm: point.x, y_mm: point.y, bunch });
    }
    for run in &one.runs {
        let hops: Vec<crate::Hop> = (run.start + 1..run.end)
            .map(|to| {
                let length_mm = one.points[to - 1].distance(one.points[to]);
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
