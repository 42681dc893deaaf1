//! The put-up card: what goes up first, who lifts, what to watch for. Taken down in reverse.
//!
//! Nothing live until everything stands: stands and posts first, then what hangs, then boxes and cables, then the test of
//! the ground-fault device, then power.

use crate::cautions::{EACH_WEEK, HANDLED, NEVER_WET, NOT_BETWEEN, UNDER_THE_ROPE};
use crate::note::speed;
use crate::{Plan, Step};
use quantity::{Show as _, Units};
use reckoning::panel::ONE_LIFTS_KG;
use uom::si::f64::Mass;
use uom::si::mass::kilogram;

/// The card; empty where nothing says how anything stands.
pub(crate) fn work(plan: &Plan) -> Vec<Step> {
    if plan.stands.is_empty() && plan.posts.is_empty() {
        return Vec::new();
    }
    let mut steps = vec![look_round(plan)];
    steps.extend(plan.posts.iter().map(post));
    steps.extend(plan.stands.iter().map(|one| stand(plan, one)));
    steps.extend(plan.spans.iter().map(span));
    steps.extend(plan.digits.iter().map(|digits| {
        step(
            &format!("Stand up the digits {} and turn them to the viewers", digits.name),
            &format!("Take the digits {} down", digits.name),
            1,
            &["digits", "screwdriver"],
            "",
        )
    }));
    steps.extend(boxes(plan));
    steps.extend(cables(plan));
    steps.extend(cords(plan));
    steps.extend(power(plan));
    steps
}

fn step(up: &str, down: &str, people: u32, needs: &[&str], caution: &str) -> Step {
    Step {
        up: up.to_owned(),
        down: down.to_owned(),
        people,
        needs: needs.iter().map(|need| (*need).to_owned()).collect(),
        caution: caution.to_owned(),
    }
}

/// A distance for a sentence: feet and inches, or metres.
fn told(units: Units, inches: &'static str, metric: &'static str) -> &'static str {
    match units {
        Units::Inches => inches,
        Units::Millimetres => metric,
    }
}

fn look_round(plan: &Plan) -> Step {
    let stakes = plan.stands.iter().any(|stand| !stand.guys.is_empty());
    let ask = if stakes { " Ask before you drive a stake: have buried lines marked." } else { "" };
    step(
        "In daylight, walk the yard: overhead lines, buried lines, the weather of the next days",
        "Walk the yard once more: no stake, line, tie or lamp is left behind",
        2,
        &["a second person", "the weather forecast"],
        &format!(
            "Look up before you lift: nothing and nobody comes within {} of an overhead line (OSHA 1910.333, from memory; higher voltages want more). Lightning or wind stops all work.{ask}",
            told(plan.units, "10 ft", "3 m")
        ),
    )
}

fn post(post: &crate::Post) -> Step {
    step(
        &format!("Set post {} and see that it does not give when pulled at the tie", post.name),
        &format!("Take post {} out", post.name),
        2,
        &["post", "spirit level", "ladder"],
        "A ladder stands on firm ground, footed by the second person.",
    )
}

fn stand(plan: &Plan, stand: &crate::Stand) -> Step {
    let people = if stand.mass_kg > ONE_LIFTS_KG { 2 } else { 1 };
    let ballast = if stand.ballast_kg > 0.0 {
        let ballast = Mass::new::<kilogram>(stand.ballast_kg).show(plan.units);
        format!(", {ballast} of ballast on its base")
    } else {
        String::new()
    };
    let guys = match stand.guys.len() {
        0 => String::new(),
        1 => ", 1 guy to a tested stake".to_owned(),
        count => format!(", {count} guys to tested stakes"),
    };
    let mut needs = vec!["panel", "base"];
    let off = match (stand.guys.is_empty(), stand.ballast_kg > 0.0) {
        (true, false) => "",
        (false, false) => ", then take off its guys",
        (true, true) => ", then take off its ballast",
        (false, true) => ", then take off guys and ballast",
    };
    let down = if stand.guys.is_empty() {
        format!("Lay panel {} flat{off}", stand.panel)
    } else {
        format!("Two hold panel {}, slacken the guys of one side and lay it flat{off}", stand.panel)
    };
    if stand.ballast_kg > 0.0 {
        needs.push("ballast");
    }
    if !stand.guys.is_empty() {
        needs.extend(["guys", "stakes", "mallet", "spring balance"]);
    }
    let crossing = if stand.guys.is_empty() { "" } else { " Guys never cross a path." };
    step(
        &format!("Stand up panel {}{ballast}{guys}", stand.panel),
        &down,
        people.max(if stand.guys.is_empty() { 1 } else { 2 }),
        &needs,
        &format!(
            "{HANDLED} It lies flat before gusts of {}.{crossing}",
            speed(stand.lay_flat_m_s, plan.units)
        ),
    )
}

fn span(span: &crate::Span) -> Step {
    let objects = match span.hung.len() {
        1 => "its object at its mark".to_owned(),
        hung => format!("its {hung} objects at their marks"),
    };
    step(
        &format!(
            "Lay the rope {} out on the ground, tie on {objects}, then raise its ends by turns, a little at a time: one climbs, the other foots the ladder",
            span.name
        ),
        &format!(
            "Let the ends of the rope {} down by turns, a little at a time, then untie what hangs",
            span.name
        ),
        2,
        &["rope", "hangers", "marked tape", "ladder"],
        &format!("{UNDER_THE_ROPE} {EACH_WEEK}"),
    )
}

fn boxes(plan: &Plan) -> Option<Step> {
    let labels: Vec<&str> = plan.enclosures.iter().map(|enclosure| enclosure.label.as_str()).collect();
    (!labels.is_empty()).then(|| {
        step(
            &format!("Set the boxes off the ground: {}", labels.join(", ")),
            "Let the boxes dry before they are packed: low-voltage ones open, listed mains boxes closed",
            1,
            &["boxes", "cable ties"],
            "A listed mains box is never opened or drilled.",
        )
    })
}

/// `C1 to C14`; all of them where there are few.
fn told_in_short(labels: &[&str]) -> String {
    match labels {
        [first, .., last] if labels.len() > 3 => format!("{first} to {last}"),
        _ => labels.join(", "),
    }
}

fn cables(plan: &Plan) -> Option<Step> {
    let labels: Vec<&str> = plan.cables.iter().map(|cable| cable.label.as_str()).collect();
    (!labels.is_empty()).then(|| {
        step(
            &format!("Lay and join the low-voltage cables by their labels: {}", told_in_short(&labels)),
            "Part the cables at their joints, coil them and leave the labels on",
            1,
            &["cables", "labels", "drip loops"],
            "Everything is unplugged. No cable lies across a path without a cover.",
        )
    })
}

/// From the outlets of switch boxes to their strands, while nothing is fed.
fn cords(plan: &Plan) -> Option<Step> {
    let labels: Vec<String> = plan.channels.iter().filter_map(|channel| plan.cord_of(channel)).collect();
    let short: Vec<&str> = labels.iter().map(|label| label.trim_start_matches("cord ")).collect();
    (!short.is_empty()).then(|| {
        step(
            &format!(
                "Plug strands, taps and cords {} together by their table, joints covered, off the ground",
                told_in_short(&short)
            ),
            "Part the mains cords from boxes and strands, coil them and leave the labels on",
            1,
            &["cord", "taps", "labels", "plug covers", "drip loops"],
            "All is unplugged; no cord crosses a path.",
        )
    })
}

fn power(plan: &Plan) -> Vec<Step> {
    let mut steps: Vec<Step> = plan
        .circuits
        .iter()
        .map(|circuit| {
            step(
                &format!(
                    "Press the test button of the ground-fault device of circuit {}, reset it, then plug the cord in",
                    circuit.name
                ),
                &format!("Unplug the cord of circuit {} at the house", circuit.name),
                1,
                &["cord", "plug covers"],
                NOT_BETWEEN,
            )
        })
        .collect();
    steps.push(step(
        "Plug the supply in, do the trials of the test sheet, then play",
        "In daylight, unplug everything, the supply first, and look at it all before a hand goes near",
        1,
        &["test sheet"],
        NEVER_WET,
    ));
    steps
}
