//! Circuits, switch boxes and supply; and the digits' electrical side.

use super::ACROSS_MM;
use crate::{drawing, say};
use plan::{CircuitUse, DigitsUse, Plan, SwitchBoxUse};
use serde_json::{Value, json};

/// A count as a plain number.
fn count(value: usize) -> f64 {
    f64::from(u32::try_from(value).unwrap_or(u32::MAX))
}

/// Every circuit, switch box and the supply.
pub(super) fn circuits(plan: &Plan) -> Value {
    json!({
        "circuits": plan.circuits.iter().map(|circuit| circuit_view(plan, circuit)).collect::<Vec<_>>(),
        "boxes": plan.switch_boxes.iter().enumerate().map(|(k, one)| box_view(plan, k, one)).collect::<Vec<_>>(),
        "supply": {
            "part": plan.supply.part, "voltage": say::voltage(plan.supply.voltage_v),
            "rated": say::current(plan.supply.rated_a), "needed": say::current(plan.supply.needed_a),
            "listed": plan.supply.listed,
        },
    })
}

fn circuit_view(plan: &Plan, circuit: &CircuitUse) -> Value {
    let share = 100.0 * circuit.cord.drop_v / circuit.voltage_v.max(1e-9);
    json!({
        "name": circuit.name, "voltage": say::voltage(circuit.voltage_v), "breaker": say::current(circuit.breaker_a),
        "allowed": say::current(circuit.allowed_a), "all_lit": say::current(circuit.all_lit_a),
        "worst_pose": say::current(circuit.worst_pose_a), "ground_fault": circuit.ground_fault,
        "leakage": say::current(circuit.leakage_a), "leakage_limit": say::current(circuit.leakage_limit_a),
        "cord": {
            "size": circuit.cord.size, "length": say::length(circuit.cord.length_mm, plan.units),
            "rated": say::current(circuit.cord.rated_a), "drop": say::voltage(circuit.cord.drop_v),
            "share": format!("{share:.1} %"),
        },
        "feeds": circuit.feeds,
    })
}

fn box_view(plan: &Plan, position: usize, one: &SwitchBoxUse) -> Value {
    let outlets: Vec<Value> = (1..=one.outlets)
        .map(|outlet| {
            let channel = plan.channels.iter().find(|channel| {
                channel.outlet.as_ref().is_some_and(|at| at.switch_box == position && at.outlet == outlet)
            });
            json!({
                "outlet": outlet,
                "channel": channel.map_or("", |channel| channel.label.as_str()),
                "name": channel.map_or("not used", |channel| channel.name.as_str()),
                "current": channel.map_or_else(String::new, |channel| say::current(channel.current_a)),
            })
        })
        .collect();
    json!({
        "label": one.label, "part": one.part, "circuit": one.circuit, "listed": one.listed,
        "current": say::current(one.current_a), "outlets": outlets,
    })
}

/// Every row of digits: layout, lamps, resistors, channels.
pub(super) fn digits(plan: &Plan) -> Value {
    plan.digits.iter().map(|digits| digits_view(plan, digits)).collect()
}

fn digits_view(plan: &Plan, digits: &DigitsUse) -> Value {
    let label = |channel: &usize| plan.channels.get(*channel).map_or("?", |channel| channel.label.as_str());
    let lengths: Vec<Value> = digits
        .segments_mm
        .iter()
        .zip(digits.letters.chars())
        .map(|([x1, y1, x2, y2], letter)| {
            let point = |x: f64, y: f64| format!("{x:.0}, {y:.0}");
            json!({
                "letter": letter, "length": say::both(libm::hypot(x2 - x1, y2 - y1), plan.units),
                "from": point(*x1, *y1), "to": point(*x2, *y2),
            })
        })
        .collect();
    let segments = count(digits.channels.iter().map(Vec::len).sum());
    json!({
        "name": digits.name, "letters": digits.letters.chars().collect::<Vec<_>>(), "count": digits.count, "led": digits.led,
        "height": say::both(digits.height_mm, plan.units), "width": say::both(digits.width_mm, plan.units),
        "series": digits.leds_in_series, "rows": digits.rows, "leds": digits.leds_in_series * digits.rows,
        "all_leds": segments * f64::from(digits.leds_in_series * digits.rows),
        "resistors": segments * f64::from(digits.rows),
        "resistor": say::resistance(digits.resistor_ohm), "resistor_power": say::power(digits.resistor_w),
        "segment": say::current(digits.segment_a), "row": say::current(digits.segment_a / f64::from(digits.rows.max(1))),
        "lengths": lengths,
        "channels": digits.channels.iter().map(|digit| digit.iter().map(label).collect::<Vec<_>>()).collect::<Vec<_>>(),
        "one": drawing::one_digit(digits, [84.0, 104.0], plan.units),
        "all": drawing::row_of_digits(digits, [ACROSS_MM * 0.42, 70.0], plan.units),
        "place": say::both(digits.place.y_mm, plan.units),
    })
}
