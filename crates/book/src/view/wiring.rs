//! The wiring pages' view: channels, controller, boards, supply, cables.

use crate::measure;
use plan::{Cable, LitBy, Plan};
use rules::form::Form;
use serde_json::{Value, json};

pub(super) fn view(plan: &Plan, form: &Form) -> Value {
    json!({
        "controller": {
            "part": plan.controller.part, "chip": plan.controller.chip,
            "clock": format!("{} MHz", f64::from(plan.controller.clock_hz) / 1e6),
            "pins": plan.controller.pins.iter()
                .map(|pin| json!({ "pin": pin.pin, "port": pin.port, "does": pin.does })).collect::<Vec<_>>(),
        },
        "buttons": plan.buttons.iter().map(|button| json!({
            "name": button.name, "pin": button.pin, "port": button.port,
            "lamp": button.lamp.and_then(|lamp| plan.channels.get(lamp)).map(|channel| channel.label.clone()),
        })).collect::<Vec<_>>(),
        "boards": plan.boards.iter().map(|board| json!({
            "label": board.label, "part": board.part, "outputs": board.outputs,
            "current": measure::current(board.current_a),
        })).collect::<Vec<_>>(),
        "supply": {
            "part": plan.supply.part, "voltage": measure::voltage(plan.supply.voltage_v),
            "rated": measure::current(plan.supply.rated_a), "needed": measure::current(plan.supply.needed_a),
            "listed": plan.supply.listed,
        },
        "channels": plan.channels.iter().map(|channel| json!({
            "label": channel.label, "name": channel.name, "lit": lit_by(&channel.lit_by, form),
            "board": plan.boards.get(channel.board).map_or("", |board| board.label.as_str()),
            "output": channel.output + 1,
            "current": measure::current(channel.current_a), "verdict": channel.verdict,
        })).collect::<Vec<_>>(),
        "cables": plan.cables.iter().map(|cable| cable_card(plan, cable)).collect::<Vec<_>>(),
    })
}

/// What lights a channel, in the names of the rules.
fn lit_by(lit: &LitBy, form: &Form) -> String {
    match lit {
        LitBy::Poses { figure, poses } => {
            let Some(figure) = form.figures.get(*figure) else { return String::new() };
            let names: Vec<&str> =
                poses.iter().filter_map(|pose| figure.poses.get(*pose)).map(String::as_str).collect();
            if names.len() == figure.poses.len() { "every pose".to_owned() } else { names.join(", ") }
        }
        LitBy::Segment { digits, place, segment } => {
            let name = form.digits.get(*digits).map_or("", |digits| digits.name.as_str());
            let letter = ["a", "b", "c", "d", "e", "f", "g"].get(*segment as usize).copied().unwrap_or("?");
            format!("segment {letter} of {name}, digit {} from the right", place + 1)
        }
        LitBy::Spot { spot } => form.spots.get(*spot).map_or_else(String::new, |spot| format!("spot {spot}")),
    }
}

fn cable_card(plan: &Plan, cable: &Cable) -> Value {
    let conductors: Vec<Value> = cable
        .conductors
        .iter()
        .map(|conductor| {
            json!({
                "number": conductor.number, "carries": conductor.carries,
                "from": conductor.from, "to": conductor.to,
                "current": measure::current(conductor.current_a),
                "returns_on": conductor.returns_on,
                "drop": format!("{:.2} V", conductor.drop_v),
            })
        })
        .collect();
    json!({
        "label": cable.label, "from": cable.from, "to": cable.to, "size": cable.size,
        "length": measure::length(cable.length_mm, plan.units), "conductors": conductors,
    })
}
