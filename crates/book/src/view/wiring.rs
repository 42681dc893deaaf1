//! The wiring pages' view: channels, controller, boards, supply, cables.

use crate::say;
use plan::{Cable, Channel, LitBy, Plan, Watch};
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
        "settings": settings(form),
        "boards": plan.boards.iter().map(|board| json!({
            "label": board.label, "part": board.part, "outputs": board.outputs,
            "current": say::current(board.current_a),
        })).collect::<Vec<_>>(),
        "channels": plan.channels.iter().map(|channel| json!({
            "label": channel.label, "name": channel.name, "lit": lit_by(&channel.lit_by, form),
            "board": plan.boards.get(channel.board).map_or("", |board| board.label.as_str()),
            "output": plan.boards.get(channel.board).map_or(String::new(), |board| board.beside(channel.output)),
            "outlet": outlet(plan, channel),
            "voltage": say::voltage(channel.voltage_v),
            "current": say::current(channel.current_a), "verdict": channel.verdict,
        })).collect::<Vec<_>>(),
        "watch": plan.watch.as_ref().map(watch),
        "cords": cords(plan),
        "verdicts": verdicts(plan),
        "paths": plan.signal_paths.iter().map(|path| json!({
            "light": path.light, "by": path.by,
            "channel": plan.channels.get(path.channel).map_or("", |channel| channel.label.as_str()),
        })).collect::<Vec<_>>(),
        "cables": plan.cables.iter().map(|cable| cable_card(plan, cable)).collect::<Vec<_>>(),
    })
}

/// How settings are stepped at the controller; empty where the rules have none.
fn settings(form: &Form) -> String {
    let names: Vec<&str> = form.settings.iter().map(|setting| setting.name.as_str()).collect();
    if names.is_empty() {
        return String::new();
    }
    let next = match form.buttons.as_slice() {
        [_] => "hold the button for a second and let go to step one, for two seconds to go on to the next",
        _ => "hold the first button for a second to step one, another button to go on to the next",
    };
    format!(
        "Settings, in this order: {}. Jumper out for a second, then in; the digits, if there are any, show the value; {next}. \
         Wait ten seconds. Jumper out. It counts from the next start on.",
        names.join(", ")
    )
}

/// The watch on the heartbeat, pin by pin.
fn watch(watch: &Watch) -> Value {
    json!({
        "label": watch.label,
        "shortest": format!("{:.0} ms", watch.shortest_ms), "longest": format!("{:.0} ms", watch.longest_ms),
        "beat": format!("{} ms", watch.beat_ms),
        "dark": format!("{:.1} s", reckoning::beat::DARK_MS / 1000.0),
        "resistor": say::resistance(watch.resistor_ohm), "capacitor": format!("{} uF", watch.capacitor_uf),
        "chips": watch.chips.iter().map(|chip| json!({
            "label": chip.label, "part": chip.part,
            "pins": chip.pins.iter().map(|pin| json!({ "pin": pin.pin, "name": pin.name, "to": pin.to })).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "small": watch.small.iter().map(|part| json!({
            "label": part.label, "what": part.what, "from": part.from, "to": part.to, "does": part.does,
        })).collect::<Vec<_>>(),
        "holds": watch.holds.iter().map(|hold| json!({ "boards": hold.boards.join(", "), "by": hold.by })).collect::<Vec<_>>(),
    })
}

/// The outlet that an output turns on, in words.
fn outlet(plan: &Plan, channel: &Channel) -> Option<String> {
    let at = channel.outlet.as_ref()?;
    let label = plan.switch_boxes.get(at.switch_box).map_or("?", |one| one.label.as_str());
    Some(format!("{label}, outlet {}", at.outlet))
}

/// The cords from outlets to mains strands.
fn cords(plan: &Plan) -> Vec<Value> {
    let mut cords: Vec<&Channel> = plan.channels.iter().filter(|channel| channel.outlet.is_some()).collect();
    cords.sort_by_key(|channel| channel.outlet.as_ref().map(|at| (at.switch_box, at.outlet)));
    cords
        .into_iter()
        .map(|channel| {
            let strands = plan.strands_of(channel);
            let tap = match strands.len() {
                0 | 1 => "no tap".to_owned(),
                sockets => format!("tap, {} sockets", sockets.max(plan::TAP_SOCKETS)),
            };
            json!({
                "outlet": outlet(plan, channel), "cord": plan.cord_of(channel), "tap": tap,
                "strands": strands.join(", "), "name": channel.name,
            })
        })
        .collect()
}

/// Each verdict once, with the channels it is about.
fn verdicts(plan: &Plan) -> Vec<Value> {
    let mut said: Vec<(&str, Vec<&str>)> = Vec::new();
    for channel in &plan.channels {
        match said.iter_mut().find(|(verdict, _)| *verdict == channel.verdict) {
            Some((_, labels)) => labels.push(&channel.label),
            None => said.push((&channel.verdict, vec![&channel.label])),
        }
    }
    said.iter().map(|(verdict, labels)| json!({ "labels": labels.join(", "), "verdict": verdict })).collect()
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
        LitBy::Segment { digits, .. } => {
            form.digits.get(*digits).map_or_else(String::new, |digits| format!("number on {}", digits.name))
        }
        LitBy::Spot { spot } => form.spots.get(*spot).cloned().unwrap_or_default(),
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
                "current": say::current(conductor.current_a),
                "returns_on": conductor.returns_on,
                "drop": say::voltage(conductor.drop_v),
            })
        })
        .collect();
    json!({
        "label": cable.label, "from": cable.from, "to": cable.to, "size": cable.size,
        "length": say::length(cable.length_mm, plan.units), "conductors": conductors,
        "inside": cable.from == plan::TERMINALS,
    })
}
