//! Work at the bench: shelter, the kitchen-table rig, the test sheet, the parts list.

use crate::say;
use plan::Plan;
use serde_json::{Value, json};

/// Bags, boxes and covers.
pub(super) fn shelter(plan: &Plan) -> Value {
    plan.enclosures
        .iter()
        .map(|one| json!({ "label": one.label, "part": one.part, "holds": one.holds, "notes": one.notes }))
        .collect()
}

/// The rig and the test sheet.
pub(super) fn tried(plan: &Plan) -> Value {
    let mut resistors: Vec<String> = plan.rig.iter().map(|line| say::resistance(line.resistor_ohm)).collect();
    resistors.sort();
    resistors.dedup();
    json!({
        "rig": plan.rig.iter().map(|line| json!({
            "output": line.output, "stands_for": line.stands_for, "resistor": say::resistance(line.resistor_ohm),
        })).collect::<Vec<_>>(),
        "resistors": resistors,
        "call": call(plan),
        "watch": plan.watch.as_ref().map(|watch| &watch.label),
        "dark": format!("{:.1} s", reckoning::beat::DARK_MS / 1000.0),
        "buttons": plan.buttons.iter().map(|button| json!({ "name": button.name, "pin": button.pin })).collect::<Vec<_>>(),
        "trials": plan.trials.iter().map(|trial| json!({
            "act": trial.act, "at": trial.at, "expected": trial.expected, "otherwise": trial.otherwise,
        })).collect::<Vec<_>>(),
    })
}

/// How the roll is called with the buttons there are; empty without one.
fn call(plan: &Plan) -> String {
    let Some(first) = plan.buttons.first() else { return String::new() };
    let on = format!(
        "Each press of {} goes on to the next output, which is lit, alone; after the last one all together.",
        first.name
    );
    match plan.buttons.get(1) {
        Some(other) => format!("{on} {} goes back: pressed first, it lights all.", other.name),
        None => on,
    }
}

/// The parts list against the shelf.
pub(super) fn parts(plan: &Plan) -> Value {
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
