//! Origins of the electrical side: channels, boards, boxes, circuits, supply, controller, digits, cables, boxes, parts.

use super::{at, written};
use crate::{Conductor, LitBy, Origins, Plan};
use display::Display;

pub(super) fn note(plan: &Plan, display: &Display, origins: &mut Origins) {
    digits(plan, display, origins);
    channels(plan, display, origins);
    boards(plan, display, origins);
    circuits(plan, display, origins);
    one_of_each(plan, display, origins);
    cables(plan, display, origins);
    lists(plan, origins);
}

fn digits(plan: &Plan, display: &Display, origins: &mut Origins) {
    for (index, digits) in plan.digits.iter().enumerate() {
        let Some(asked) = display.digits.iter().find(|asked| asked.name == digits.name) else { continue };
        let mut at = at(origins, format!("/digits/{index}"));
        at.order(&["digits", "channels"]);
        at.worked(&["letters", "numerals"], "segment-code", &["digit"]);
        at.known("count", &asked.count);
        at.known("height_mm", &asked.height);
        at.known("width_mm", &asked.height);
        at.known("pitch_mm", &asked.height);
        at.known("segments_mm", &asked.height);
        at.known("led", &asked.led);
        at.part("colour", &digits.led, "colour");
        at.known("place/y_mm", &asked.lifted);
        match &asked.at {
            Some(spot) => {
                at.known("place/x_mm", &spot.x);
                at.known("place/depth_mm", &spot.depth);
            }
            None => {
                at.default(&["place/x_mm", "place/depth_mm"], "at the yard's left end, until it says where");
            }
        }
        at.worked(&["leds_in_series"], "most-in-series", &["supply", "forward voltage"]);
        at.worked(&["rows"], "segment-leds", &["segment length", "pitch", "LEDs in a group"]);
        at.worked(&["resistor_ohm"], "e24-up", &["exact resistance"]);
        at.worked(&["resistor_w"], "resistor-watts", &["current", "resistor"]);
        at.worked(&["segment_a"], "led-current", &["supply", "LEDs in series", "resistor"]);
    }
}

fn channels(plan: &Plan, display: &Display, origins: &mut Origins) {
    for (index, channel) in plan.channels.iter().enumerate() {
        let mut at = at(origins, format!("/channels/{index}"));
        at.order(&["lit_by", "board", "output", "outlet"]);
        at.worked(&["current_a"], "channel-current", &["strands", "strand current"]);
        let strand = strand_of(plan, index);
        match (strand, &channel.lit_by, &display.supply) {
            (Some(strand), _, _) => at.part("voltage_v", &strand, "voltage"),
            (None, LitBy::Spot { spot }, _) => {
                let button =
                    display.buttons.iter().find(|button| display.form.spots.get(*spot) == Some(&button.name));
                match button.and_then(|button| button.part.as_ref()) {
                    Some(part) => at.part("voltage_v", &part.value.name, "lamp-voltage"),
                    None => at.default(&["voltage_v"], "12 V lamps"),
                };
            }
            (None, _, Some(supply)) => at.part("voltage_v", &supply.value.name, "voltage"),
            (None, _, None) => at.default(&["voltage_v"], "12 V until there is a supply"),
        }
    }
}

/// The strand that a channel lights.
fn strand_of(plan: &Plan, channel: usize) -> Option<String> {
    let on_panel = plan.panels.iter().find_map(|panel| {
        let bunch = panel.bunches.iter().position(|bunch| bunch.channel == channel)?;
        panel.strands.iter().find(|strand| strand.bunch == bunch)
    });
    let hung = || plan.spans.iter().flat_map(|span| &span.hung).find(|hung| hung.channel == channel);
    on_panel.map(|strand| strand.part.clone()).or_else(|| hung().map(|hung| hung.strand.clone()))
}

fn boards(plan: &Plan, display: &Display, origins: &mut Origins) {
    for (index, board) in plan.boards.iter().enumerate() {
        let mut at = at(origins, format!("/boards/{index}"));
        at.part("outputs", &board.part, "outputs");
        at.worked(&["current_a"], "total-current", &["channels"]);
        let register = display.register_board.as_ref().filter(|part| part.value.name == board.part);
        let first = display.first_boards.iter().find(|part| part.value.name == board.part);
        match (register, first, &display.driver_board) {
            (Some(part), _, _) => at.known("part", part),
            (None, Some(part), _) | (None, None, Some(part)) => at.known("part", part),
            (None, None, None) => at.default(&["part", "outputs"], "eight outputs until there is a board"),
        }
    }
    for (index, used) in plan.switch_boxes.iter().enumerate() {
        let mut at = at(origins, format!("/switch_boxes/{index}"));
        at.are(&["part"], &written("switch-box.part"));
        at.part("outlets", &used.part, "outlets");
        at.part("listed", &used.part, "listed");
        at.worked(&["current_a"], "total-current", &["channels"]);
        at.order(&["circuit"]);
    }
}

fn circuits(plan: &Plan, display: &Display, origins: &mut Origins) {
    for (index, used) in plan.circuits.iter().enumerate() {
        let Some(asked) = display.circuits.iter().find(|asked| asked.name == used.name) else { continue };
        let mut at = at(origins, format!("/circuits/{index}"));
        match &display.mains {
            Some(mains) => at.known("voltage_v", mains),
            None => at.default(&["voltage_v"], "the display says nothing of mains"),
        }
        at.known("breaker_a", &asked.breaker);
        at.known("ground_fault", &asked.ground_fault);
        at.worked(&["allowed_a"], "continuous-limit", &["breaker"]);
        at.worked(&["all_lit_a", "worst_pose_a"], "total-current", &["channels", "supply"]);
        at.worked(&["leakage_a"], "standing-leakage", &["things", "leakage of one"]);
        at.worked(&["leakage_limit_a"], "leakage-limit", &["trip current"]);
        at.known("cord/size", &asked.cord.size);
        at.known("cord/length_mm", &asked.cord.length);
        at.worked(&["cord/rated_a"], "cord-ampacity", &["gauge"]);
        at.worked(&["cord/drop_v"], "copper-drop", &["cross-section", "length one way", "current"]);
    }
}

fn one_of_each(plan: &Plan, display: &Display, origins: &mut Origins) {
    let mut controller = at(origins, "/controller".to_owned());
    controller.order(&["pins"]);
    match &display.controller {
        Some(part) => {
            controller.known("part", part);
            controller.part("chip", &part.value.name, "chip");
            controller.part("clock_hz", &part.value.name, "clock-hz");
        }
        None => controller.default(&["part", "chip", "clock_hz"], "not known yet"),
    }
    let mut supply = at(origins, "/supply".to_owned());
    supply.worked(&["needed_a"], "total-current", &["channels", "controller"]);
    match &display.supply {
        Some(part) => {
            supply.known("part", part);
            for (field, key) in [("voltage_v", "voltage"), ("rated_a", "current"), ("listed", "listed")] {
                supply.part(field, &plan.supply.part, key);
            }
        }
        None => supply.default(&["part", "voltage_v", "rated_a"], "not known yet"),
    }
}

fn cables(plan: &Plan, display: &Display, origins: &mut Origins) {
    for (index, cable) in plan.cables.iter().enumerate() {
        let mut at = at(origins, format!("/cables/{index}"));
        match length_of(display, &cable.to) {
            Some(length) => at.known("length_mm", length),
            None => at.default(&["length_mm"], "between boxes that stand side by side"),
        }
        at.worked(&["size"], "pair-drop", &["length", "current"]);
        for (number, conductor) in cable.conductors.iter().enumerate() {
            let own = format!("conductors/{number}");
            at.order(&[&format!("{own}/number"), &format!("{own}/returns_on")]);
            at.worked(&[&format!("{own}/drop_v")], "pair-drop", &["size", "length", "current"]);
            current(&mut at, &own, conductor);
        }
    }
}

fn current(at: &mut super::At<'_>, own: &str, conductor: &Conductor) {
    let field = format!("{own}/current_a");
    if conductor.carries.starts_with("press") || conductor.carries == "ground, return of 1" {
        at.worked(&[&field], "wetting-current", &["supply", "pull-up"]);
    } else {
        at.worked(&[&field], "total-current", &["channels"]);
    }
}

/// The length that is written for a cable to there.
fn length_of<'a>(display: &'a Display, to: &str) -> Option<&'a finding::Known<quantity::Length>> {
    let (kind, name) = to.split_once(' ')?;
    match kind {
        "panel" => display.panels.iter().find(|panel| panel.name == name).map(|panel| &panel.cable),
        "span" => display.spans.iter().find(|span| span.name == name).map(|span| &span.cable),
        "digits" => display.digits.iter().find(|digits| digits.name == name).map(|digits| &digits.cable),
        "button" => display.buttons.iter().find(|button| button.name == name).map(|button| &button.cable),
        _ => None,
    }
}

/// Covers, the rig, the parts list, the put-up card, signal paths.
fn lists(plan: &Plan, origins: &mut Origins) {
    for index in 0..plan.enclosures.len() {
        at(origins, format!("/enclosures/{index}"))
            .default(&["part"], "the catalogue's cover for the purpose");
    }
    for index in 0..plan.rig.len() {
        at(origins, format!("/rig/{index}")).worked(&["resistor_ohm"], "e24-up", &["exact resistance"]);
    }
    for (index, line) in plan.parts.iter().enumerate() {
        let mut at = at(origins, format!("/parts/{index}"));
        at.counted(&["part", "needed", "buy"]);
        at.default(&["spare"], "spares by common practice");
        if line.have > 0 {
            at.part("have", &line.part, "have");
        } else {
            at.default(&["have"], "none on the shelf");
        }
    }
    for index in 0..plan.put_up.len() {
        at(origins, format!("/put_up/{index}")).default(&["people"], "common practice");
    }
    for index in 0..plan.signal_paths.len() {
        at(origins, format!("/signal_paths/{index}")).order(&["channel"]);
    }
}
