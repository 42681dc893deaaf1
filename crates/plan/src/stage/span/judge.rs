//! Whether a hung rope can be borne by itself, by its posts, and by the people under it.

use super::object::{Held, named, two};
use super::{Input, Line, Pull, SAGS, SHORTEST_HANGER_MM, given, rope, working_load_n};
use crate::note::{Also, finding, rating, rewrite, used, value, worked, working};
use crate::{Hung, Span};
use finding::{Finding, Origin, Severity, Sheet};
use quantity::{Force, Length, Show, Velocity};
use reckoning::cable::{self, NoShape};
use reckoning::hang::{LEAST_HEADROOM_MM, PLANNED_HEADROOM_MM};
use reckoning::rope::{ENGINEER_ABOVE_N, FACTOR_OVER_PEOPLE, KNOT_LEAVES};
use reckoning::supply::MAINS_FROM_V;
use reckoning::wind::{HANDLE_BELOW_MPH, LOOSE_DRAG};
use source::KeyPath;
use uom::si::area::square_meter;
use uom::si::f64::{Area, Mass};
use uom::si::force::newton;
use uom::si::length::millimeter;
use uom::si::mass::kilogram;
use uom::si::velocity::mile_per_hour;

pub(super) fn all(input: &Input, span: &Span, held: &[Held], pulls: &[Pull]) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(over_load(input, span, held));
    findings.extend(hangers_over_load(input));
    findings.extend(anchors(input, held, pulls));
    findings.extend(headroom(input, span));
    findings.extend(too_high(input, span));
    findings.extend(not_held(input));
    findings.extend(mains_overhead(input));
    findings.extend(one_line(input));
    findings.extend(swing(input, span));
    findings.extend(super::wind::judge(input, span));
    findings.push(engineer(input));
    findings
}

pub(super) fn no_shape(input: &Input, why: NoShape) -> Finding {
    let verdict = format!("The rope of {} cannot hang like that: {why}", input.span);
    finding("span/no-shape", Severity::Fault, "hang", &[&input.span], verdict).cure(
        "Write a sag between 3 and 20 %, and let the span run from the left post to the right one",
        None,
    )
}

pub(super) fn newtons(input: &Input, force: f64) -> String {
    Force::new::<newton>(force).show(input.units)
}

fn shown(input: &Input, length_mm: f64) -> String {
    Length::new::<millimeter>(length_mm).show(input.units)
}

/// The least whole percentage of sag at which this holds, for a cure that is known to help.
fn sag_that(input: &Input, held: &[Held], holds: impl Fn(&cable::Hung) -> bool) -> Option<u32> {
    let percent_now = 100.0 * input.sag.value;
    SAGS.filter(|percent| f64::from(*percent) > percent_now).find(|percent| {
        let mut trial = input.clone();
        trial.sag.value = f64::from(*percent) / 100.0;
        cable::hang(&rope(&trial, held, 1.0), given(&trial)).is_ok_and(|hung| holds(&hung))
    })
}

fn tension_values(input: &Input) -> Vec<finding::Value> {
    let width = super::width_mm(input);
    vec![
        value("width", shown(input, width), worked("parabola-length", &["place of both posts"])),
        value("sag", format!("{:.1} %", 100.0 * input.sag.value), input.sag.origin.clone()),
        value(
            "each object",
            Mass::new::<kilogram>(input.object.mass_kg.value).show(input.units),
            input.object.mass_kg.origin.clone(),
        ),
        value(
            "objects",
            input.object.spots.len().to_string(),
            Origin::Default("as many as the rules have spots"),
        ),
        value("rope", format!("{:.3} kg/m", input.rope.kg_per_m), rating(&input.rope.part, "mass-per-metre")),
    ]
}

pub(super) fn limit_source(line: &Line) -> String {
    format!(
        "breaking load x {KNOT_LEAVES} at a knot / {FACTOR_OVER_PEOPLE} over people (Cordage Institute practice for life lines); {}",
        line.source
    )
}

fn over_load(input: &Input, span: &Span, held: &[Held]) -> Option<Finding> {
    let tension = span.tension_n[0].max(span.tension_n[1]);
    let limit = working_load_n(&input.rope);
    if tension <= limit {
        return None;
    }
    let mut found = finding(
        "span/over-load",
        Severity::Danger,
        "hang",
        &[&input.span, &input.rope.part],
        format!(
            "The rope of {} is pulled with {}; knotted and over people {} may carry {}",
            input.span,
            newtons(input, tension),
            input.rope.part,
            newtons(input, limit)
        ),
    )
    .working(working(
        "loaded-rope-tension",
        tension_values(input),
        newtons(input, tension),
        Some((newtons(input, limit), limit_source(&input.rope))),
        Some(used(tension, limit)),
    ))
    .withholds(&[Sheet::Hanging, Sheet::PutUp]);
    if let Some(percent) = sag_that(input, held, |hung| hung.tension().get::<newton>() <= limit) {
        let words = format!("Let the rope sag more: at {percent} % it holds, if the ties are high enough");
        found = found.cure(&words, rewrite(&input.sag.origin, format!("\"{percent} %\"")));
    }
    Some(found.cure("Take a stronger rope, or hang fewer or lighter things", None))
}

fn hangers_over_load(input: &Input) -> Option<Finding> {
    let limit = working_load_n(&input.hanger);
    // Whichever of two lines parts, the other bears the whole object.
    let load = input.object.mass_kg.value * reckoning::GRAVITY;
    (load > limit).then(|| {
        finding(
            "span/hanger-over-load",
            Severity::Danger,
            "hang",
            &[&input.span, &input.hanger.part],
            format!(
                "A hanger of {} bears {} when it holds alone; knotted and over people {} may carry {}",
                input.object.name,
                newtons(input, load),
                input.hanger.part,
                newtons(input, limit)
            ),
        )
        .working(working(
            "working-load",
            vec![value(
                "breaking load",
                newtons(input, input.hanger.breaking_n),
                rating(&input.hanger.part, "breaking"),
            )],
            newtons(input, load),
            Some((newtons(input, limit), limit_source(&input.hanger))),
            Some(used(load, limit)),
        ))
        .cure("Take a stronger line for the hangers, or make the object lighter", None)
        .withholds(&[Sheet::Hanging, Sheet::PutUp])
    })
}

fn anchors(input: &Input, held: &[Held], pulls: &[Pull]) -> Vec<Finding> {
    let strength = |pull: &Pull| libm::hypot(pull.across_n, pull.up_n);
    let over = pulls.iter().filter(|pull| strength(pull) > ENGINEER_ABOVE_N);
    over.map(|pull| {
        let mut found = finding(
            "span/anchor-pull",
            Severity::Danger,
            "hang",
            &[&input.span, &pull.post],
            format!(
                "The rope pulls post {} with {}: above {} an engineer decides, not this plan",
                pull.post,
                newtons(input, strength(pull)),
                newtons(input, ENGINEER_ABOVE_N)
            ),
        )
        .working(working(
            "loaded-rope-tension",
            tension_values(input),
            newtons(input, strength(pull)),
            Some((newtons(input, ENGINEER_ABOVE_N), "our threshold".into())),
            Some(used(strength(pull), ENGINEER_ABOVE_N)),
        ))
        .withholds(&[Sheet::Hanging, Sheet::PutUp]);
        if let Some(percent) =
            sag_that(input, held, |hung| hung.tension().get::<newton>() <= ENGINEER_ABOVE_N)
        {
            let words = format!("Let the rope sag more: at {percent} % it pulls less than that");
            found = found.cure(&words, rewrite(&input.sag.origin, format!("\"{percent} %\"")));
        }
        found.cure("Hang fewer or lighter things", None)
    })
    .collect()
}

fn headroom(input: &Input, span: &Span) -> Option<Finding> {
    if span.headroom_mm >= PLANNED_HEADROOM_MM {
        return None;
    }
    let danger = span.headroom_mm < LEAST_HEADROOM_MM;
    let lacking = PLANNED_HEADROOM_MM - span.headroom_mm;
    let (severity, limit, source) = if danger {
        (Severity::Danger, LEAST_HEADROOM_MM, "ADA 307.4: 80 in over a walk")
    } else {
        (Severity::Caution, PLANNED_HEADROOM_MM, "our threshold, for rope that grows with load and wet")
    };
    let reach = (input.outer_mm.value.min(input.top_mm.value) - span.headroom_mm).max(0.0);
    let found = finding(
        "span/headroom",
        severity,
        "hang",
        &[&input.span],
        format!(
            "Under {} {} is left; {} is wanted over people",
            input.span,
            shown(input, span.headroom_mm),
            shown(input, limit)
        ),
    )
    .working(working(
        "headroom",
        vec![
            value(
                "lowest centre",
                shown(input, input.outer_mm.value.min(input.top_mm.value)),
                input.outer_mm.origin.clone(),
            ),
            value("reaches below", shown(input, reach), Origin::Default("half the object as it hangs")),
        ],
        shown(input, span.headroom_mm),
        Some((shown(input, limit), source.into())),
        None,
    ))
    .cure(&format!("Hang everything {} higher", shown(input, lacking)), raise(input, lacking));
    Some(if danger { found.withholds(&[Sheet::Hanging, Sheet::PutUp]) } else { found })
}

/// Raising the lower of ends and middle, whichever is written.
fn raise(input: &Input, by_mm: f64) -> Option<(KeyPath, String)> {
    let lower = if input.outer_mm.value <= input.top_mm.value { &input.outer_mm } else { &input.top_mm };
    let lower = if matches!(lower.origin, Origin::Written { .. }) { lower } else { &input.top_mm };
    rewrite(&lower.origin, format!("\"{:.0} mm\"", libm::ceil(lower.value + by_mm)))
}

/// Objects that would have to hang above the rope.
fn too_high(input: &Input, span: &Span) -> Option<Finding> {
    let lines = || span.hung.iter().flat_map(|hung| &hung.hangers);
    let shortest = lines().map(|hanger| hanger.length_mm).fold(f64::INFINITY, f64::min);
    if shortest >= SHORTEST_HANGER_MM {
        return None;
    }
    let names: Vec<&str> = lines()
        .filter(|hanger| hanger.length_mm < SHORTEST_HANGER_MM)
        .map(|hanger| hanger.label.as_str())
        .collect();
    let lift = SHORTEST_HANGER_MM - shortest;
    Some(
        finding(
            "span/above-the-rope",
            Severity::Fault,
            "hang",
            &[&input.span],
            format!(
                "{} would have to hang above the loaded rope, by up to {}",
                names.join(", "),
                shown(input, lift - SHORTEST_HANGER_MM)
            ),
        )
        .cure(
            &format!("Tie the rope {} higher, lower the path, or let it sag less", shown(input, lift)),
            None,
        ),
    )
}

fn not_held(input: &Input) -> Option<Finding> {
    (input.object.hangers == 2 && two(input).is_none()).then(|| {
        finding(
            "span/tilt-not-held",
            Severity::Fault,
            "hang",
            &[&input.span, &input.object.name],
            format!(
                "Two hangers do not hold {} at {:.0} degrees: one of them would go slack",
                input.object.name, input.object.tilt_deg.value
            ),
        )
        .cure("Tilt it more or less, or hang it from one line", None)
    })
}

fn mains_overhead(input: &Input) -> Option<Finding> {
    (input.object.strand_v >= MAINS_FROM_V).then(|| {
        finding(
            "span/mains-overhead",
            Severity::Danger,
            "hang",
            &[&input.span, &input.object.strand],
            format!(
                "{} runs on {:.0} V and would hang over people; only low voltage hangs there",
                input.object.strand, input.object.strand_v
            ),
        )
        .cure(
            "Light the object with a 12 V strand",
            Some((
                KeyPath::dotted(&format!("object.{}.strand", input.object.name)),
                "\"led-20-4in-12v\"".into(),
            )),
        )
        .withholds(&[Sheet::Hanging, Sheet::PutUp, Sheet::Wiring, Sheet::Firmware])
    })
}

/// What hangs over people hangs from two lines, each of which holds it alone. Common practice of rigging overhead.
fn one_line(input: &Input) -> Option<Finding> {
    if input.object.hangers >= 2 {
        return None;
    }
    Some(
        finding(
            "span/one-line",
            Severity::Danger,
            "hang",
            &[&input.span, &input.object.name],
            format!(
                "{} hangs over people from one line: when its knot slips, nothing else holds it (a second line is common practice overhead)",
                input.object.name
            ),
        )
        .cure(
            "Hang it from two lines, each strong enough alone",
            Some((KeyPath::dotted(&format!("object.{}.hangers", input.object.name)), "2".into())),
        )
        .withholds(&[Sheet::Hanging, Sheet::PutUp]),
    )
}

/// Neighbours that meet when they swing in a wind in which people are still about.
fn swing(input: &Input, span: &Span) -> Option<Finding> {
    let wind = Velocity::new::<mile_per_hour>(HANDLE_BELOW_MPH);
    let [width, height] = input.object.size_mm;
    let area = Area::new::<square_meter>(width * height / 1e6);
    let mass = Mass::new::<kilogram>(input.object.mass_kg.value);
    let lean = reckoning::hang::swing(wind, LOOSE_DRAG, area, mass);
    let longest = |hung: &Hung| hung.hangers.iter().map(|hanger| hanger.length_mm).fold(0.0, f64::max);
    let meets = span.hung.windows(2).any(|pair| {
        let line = longest(&pair[0]).max(longest(&pair[1]));
        let mm = Length::new::<millimeter>;
        let needed = reckoning::hang::swing_spacing(mm(width), mm(line), lean).get::<millimeter>();
        pair[1].at_mm[0] - pair[0].at_mm[0] < needed
    });
    meets.then(|| {
        finding(
            "span/swing",
            Severity::Caution,
            "hang",
            &[&input.span, &named(input, 0)],
            format!(
                "In a gust of {} {} leans by {:.0} degrees: neighbours that swing against each other meet",
                wind.show(input.units),
                input.object.name,
                lean.value.to_degrees()
            ),
        )
        .working(working(
            "swing-angle",
            vec![
                value(
                    "gust",
                    wind.show(input.units),
                    Origin::Default("the wind in which panels may still be handled"),
                ),
                value(
                    "drag",
                    LOOSE_DRAG.to_string(),
                    Origin::Default("flat thing hung loosely; from memory"),
                ),
                value("mass", mass.show(input.units), input.object.mass_kg.origin.clone()),
            ],
            format!("{:.0} degrees", lean.value.to_degrees()),
            None,
            None,
        ))
        .cure("Make them heavier or fewer, or tie a line from each to the next", None)
    })
}

fn engineer(input: &Input) -> Finding {
    finding(
        "span/over-people",
        Severity::Caution,
        "hang",
        &[&input.span],
        format!(
            "{} hangs over people: have an engineer look at posts, rope and ties; local codes decide. The lines bear what hangs, never a strand or its cable, which is tied up slack",
            input.span
        ),
    )
}
