//! The one view of the plan that the book's sources read: everything already worked out and put in words.

mod results;
mod wiring;

use crate::{drawing, measure};
use finding::Sheet;
use plan::{Panel, Plan, StrandRun};
use quantity::Units;
use rules::form::Form;
use serde_json::{Value, json};

/// What every page says that somebody may be hurt by.
const DECIDE: &str = "Local codes and licensed practice decide; where they differ from this page, they win.";

/// Room for drawings: across between the page margins, and down on the shortest paper (letter).
const ACROSS_MM: f64 = 172.0;

/// The view for `book.typ`.
pub(crate) fn book(plan: &Plan, form: &Form) -> Value {
    let panels: Vec<Value> = plan.panels.iter().map(|panel| panel_view(plan, panel)).collect();
    let threads: Vec<Value> = plan
        .panels
        .iter()
        .flat_map(|panel| panel.strands.iter().map(move |run| strand_view(plan, panel, run)))
        .collect();
    json!({
        "title": plan.title,
        "paper": if plan.units == Units::Inches { "us-letter" } else { "a4" },
        "decide": DECIDE,
        "cover": plan.panels.first().map(cover),
        "seen": format!(
            "to be read from {} to {} away",
            measure::length(plan.nearest_mm, plan.units),
            measure::length(plan.farthest_mm, plan.units)
        ),
        "stops": plan.stops.iter().map(|stop| results::stop(plan, stop)).collect::<Vec<_>>(),
        "panel": or_withheld(plan, Sheet::Panel, &json!(panels)),
        "threading": or_withheld(plan, Sheet::Threading, &json!(threads)),
        "wiring": or_withheld(plan, Sheet::Wiring, &wiring::view(plan, form)),
        "templates": or_withheld(plan, Sheet::Templates, &json!(null)),
        "firmware": or_withheld(plan, Sheet::Firmware, &json!(null)),
        "parts": parts(plan),
        "findings": results::findings(plan),
    })
}

/// A part of the book, or why it is withheld.
fn or_withheld(plan: &Plan, sheet: Sheet, shown: &Value) -> Value {
    if plan.withholds(sheet) {
        json!({ "withheld": results::why(plan, sheet), "name": sheet.title() })
    } else {
        json!({ "withheld": null, "name": sheet.title(), "shown": shown.clone() })
    }
}

fn cover(panel: &Panel) -> Value {
    json!({ "name": panel.name, "drawing": drawing::night(panel, [150.0, 98.0]) })
}

fn panel_view(plan: &Plan, panel: &Panel) -> Value {
    let length = |mm: f64| measure::length(mm, plan.units);
    let bunches: Vec<Value> = panel
        .bunches
        .iter()
        .enumerate()
        .map(|(k, bunch)| {
            json!({
                "name": bunch.name,
                "holes": panel.holes.iter().filter(|hole| hole.bunch == k).count(),
                "length": length(bunch.length_mm),
                "spacing": length(bunch.spacing_mm),
                "channel": plan.channels.get(bunch.channel).map_or("", |channel| channel.label.as_str()),
            })
        })
        .collect();
    let poses: Vec<&str> = panel.poses.iter().map(|pose| pose.name.as_str()).collect();
    json!({
        "name": panel.name, "figure": panel.figure, "sheet": panel.sheet,
        "width": length(panel.width_mm), "height": length(panel.height_mm),
        "thickness": length(panel.thickness_mm), "hole": length(panel.hole_mm),
        "hole_mm": format!("{:.1} mm", panel.hole_mm),
        "holes": panel.holes.len(), "poses": poses, "bunches": bunches,
        "drawing": drawing::front(panel, [ACROSS_MM - 16.0, 145.0]),
    })
}

fn strand_view(plan: &Plan, panel: &Panel, run: &StrandRun) -> Value {
    let length = |mm: f64| measure::length(mm, plan.units);
    let parked: u32 = run.hops.iter().map(|hop| hop.parked).sum();
    json!({
        "panel": panel.name, "label": run.label, "part": run.part,
        "bunch": panel.bunches.get(run.bunch).map_or("", |bunch| bunch.name.as_str()),
        "lamps": run.lamps,
        "count": panel.strands.iter().filter(|other| other.bunch == run.bunch).count(),
        "holes": (run.last_hole + 1).saturating_sub(run.first_hole),
        "first": run.first_hole, "last": run.last_hole,
        "parked": parked, "spare": run.spare,
        "longest": length(run.longest_hop_mm), "reach": length(run.reach_mm),
        "stretches": stretches(run),
        "drawing": drawing::threading(panel, run, [ACROSS_MM, 158.0]),
        "map": drawing::map(panel, run, [26.0, 34.0]),
    })
}

/// The threading order in words: unbroken stretches of numbers, and what is parked between them.
fn stretches(run: &StrandRun) -> Vec<String> {
    let mut words = Vec::new();
    let mut start = run.first_hole;
    let mut end = run.first_hole;
    for hop in &run.hops {
        if hop.parked > 0 || hop.to != hop.from + 1 {
            words.push(stretch(start, end));
            if hop.parked > 0 {
                words.push(format!("park {}", hop.parked));
            }
            start = hop.to;
        }
        end = hop.to;
    }
    words.push(stretch(start, end));
    words
}

/// `12 to 20`, or the only number.
fn stretch(start: usize, end: usize) -> String {
    if start == end { start.to_string() } else { format!("{start} to {end}") }
}

fn parts(plan: &Plan) -> Value {
    plan.parts
        .iter()
        .map(|line| {
            json!({
                "part": line.part, "what": line.what, "needed": line.needed, "spare": line.spare,
                "have": line.have, "buy": line.buy, "unit": line.unit,
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use plan::Hop;

    #[test]
    fn an_order_is_told_in_stretches() {
        let hop = |from, to, parked| Hop { from, to, length_mm: 50.0, parked };
        let run = StrandRun {
            label: "F1".into(),
            part: "p".into(),
            colour: "#fff".into(),
            bunch: 0,
            lamps: 6,
            first_hole: 1,
            last_hole: 5,
            hops: vec![hop(1, 2, 0), hop(2, 3, 1), hop(3, 4, 0), hop(4, 5, 0)],
            spare: 0,
            longest_hop_mm: 50.0,
            reach_mm: 90.0,
        };
        assert_eq!(stretches(&run), ["1 to 2", "park 1", "3 to 5"]);
    }
}
