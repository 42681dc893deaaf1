//! Panel sheets and threading sheets.

use super::ACROSS_MM;
use crate::drawing::{self, Side};
use crate::say;
use plan::{Panel, Plan, StrandRun};
use serde_json::{Value, json};

/// Every panel with its pages, front and back.
pub(super) fn panels(plan: &Plan) -> Value {
    plan.panels.iter().map(|panel| panel_view(plan, panel)).collect()
}

/// Every strand of every panel with its pages.
pub(super) fn threads(plan: &Plan) -> Value {
    plan.panels
        .iter()
        .flat_map(|panel| panel.strands.iter().map(move |run| strand_view(plan, panel, run)))
        .collect()
}

fn panel_view(plan: &Plan, panel: &Panel) -> Value {
    let length = |mm: f64| say::length(mm, plan.units);
    let bunches: Vec<Value> = panel
        .bunches
        .iter()
        .enumerate()
        .map(|(k, bunch)| {
            json!({
                "name": bunch.name,
                "holes": panel.holes.iter().filter(|hole| hole.bunch == k).count(),
                "length": length(bunch.length_mm), "spacing": length(bunch.spacing_mm),
                "channel": plan.channels.get(bunch.channel).map_or("", |channel| channel.label.as_str()),
            })
        })
        .collect();
    let room = [ACROSS_MM, 194.0];
    let drawn = !plan.panels.iter().any(|other| turned_over(panel, other));
    let pages = |side| if drawn { drawing::panel_parts(panel, side, room, plan.units) } else { Vec::new() };
    let twin = plan.panels.iter().find(|other| turned_over(other, panel));
    json!({
        "name": panel.name, "sheet": panel.sheet,
        "pieces": panel.pieces.iter().map(|piece| {
            format!("{} wide, {} high", length(piece.width_mm), length(piece.height_mm))
        }).collect::<Vec<_>>(),
        "twin_of": panel.twin_of, "twin": twin.map(|twin| twin.name.clone()),
        "thickness": length(panel.thickness_mm), "hole": length(panel.hole_mm),
        "hole_mm": say::millimetres(panel.hole_mm),
        "holes": panel.holes.len(), "bunches": bunches,
        "front": pages(Side::Front), "back": pages(Side::Back),
    })
}

/// Whether a panel's holes, numbers too, are those of the other one turned over: one drawing then serves both.
fn turned_over(panel: &Panel, other: &Panel) -> bool {
    panel.twin_of.as_deref() == Some(other.name.as_str())
        && panel.holes.len() == other.holes.len()
        && panel.holes.iter().zip(&other.holes).all(|(mine, theirs)| {
            (mine.x_mm + theirs.x_mm - panel.width_mm).abs() < 0.01 && (mine.y_mm - theirs.y_mm).abs() < 0.01
        })
}

fn strand_view(plan: &Plan, panel: &Panel, run: &StrandRun) -> Value {
    let length = |mm: f64| say::length(mm, plan.units);
    let parked: u32 = run.hops.iter().map(|hop| hop.parked).sum();
    json!({
        "panel": panel.name, "label": run.label, "part": run.part,
        "bunch": panel.bunches.get(run.bunch).map_or("", |bunch| bunch.name.as_str()),
        "lamps": run.lamps,
        "holes": (run.last_hole + 1).saturating_sub(run.first_hole),
        "first": run.first_hole, "last": run.last_hole,
        "parked": parked, "spare": run.spare,
        "longest": length(run.longest_hop_mm), "reach": length(run.reach_mm),
        "stretches": stretches(run),
        "pages": drawing::thread_parts(panel, run, [ACROSS_MM, 168.0]),
        "map": drawing::map(panel, run, [26.0, 36.0]),
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
