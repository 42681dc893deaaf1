//! Wire: pins, cables and conductors, each with the way its current comes back, and the way from every light to its pin.

mod drop;
mod feed;
mod logic;
mod paths;
mod watch;

use crate::note::{finding, works_out};
use crate::{
    Board, Button, Cable, Channel, Conductor, Origins, PinUse, Place, SignalPath, SwitchBoxUse, Watch,
};
use drop::{choose, lost, note_drop};
use finding::{Finding, Severity};
use quantity::Units;
use serde::Serialize;

/// Conductors of the thickest cable that is sold by the metre; more channels get a second cable.
const MOST_CONDUCTORS: usize = 12;

/// A run of cable that feeds lights: a panel, a span, digits.
#[derive(Clone, Serialize)]
pub(crate) struct Run {
    /// Where it ends, e.g. `panel west`, `span clubs`, `digits rally`.
    pub(crate) to: String,
    pub(crate) length_mm: f64,
    /// Its channels, by position; those on outlets of a box are left out here.
    pub(crate) channels: Vec<usize>,
}

/// A button's cable as asked for.
#[derive(Clone, Serialize)]
pub(crate) struct ButtonCable {
    pub(crate) button: String,
    pub(crate) length_mm: f64,
    pub(crate) lamp: Option<usize>,
    pub(crate) place: Place,
}

/// A light and the channel that switches it.
#[derive(Clone, Serialize)]
pub(crate) struct Lit {
    /// Its label: a strand, a hung object, a button's lamp, a segment.
    pub(crate) light: String,
    pub(crate) channel: usize,
}

/// What the stage takes.
#[derive(Serialize)]
pub(crate) struct Input<'a> {
    pub(crate) runs: Vec<Run>,
    pub(crate) buttons: Vec<ButtonCable>,
    pub(crate) lights: Vec<Lit>,
    pub(crate) channels: &'a [Channel],
    pub(crate) boards: &'a [Board],
    pub(crate) boxes: &'a [SwitchBoxUse],
    /// Current that one input of a box takes, and the length of its control cable.
    pub(crate) control_a: f64,
    pub(crate) control_mm: f64,
    pub(crate) supply: &'a str,
    pub(crate) supply_v: f64,
    /// Current of the controller alone.
    pub(crate) controller_a: f64,
    pub(crate) units: Units,
    /// Length of the rules' tick.
    pub(crate) tick_ms: u32,
    /// Pins free for buttons: board label, port.
    pub(crate) pins: &'a [(String, String)],
}

/// What the stage gives.
#[derive(Clone, Debug, Default, Serialize)]
pub(crate) struct Wiring {
    pub(crate) pins: Vec<PinUse>,
    pub(crate) watch: Option<Watch>,
    pub(crate) buttons: Vec<Button>,
    pub(crate) cables: Vec<Cable>,
    pub(crate) signal_paths: Vec<SignalPath>,
    /// Where it came from, by place in the plan.
    pub(crate) origins: Origins,
    pub(crate) findings: Vec<Finding>,
}

pub(crate) fn work(input: &Input<'_>) -> Wiring {
    let mut wiring = Wiring { pins: logic::own_pins(input), ..Wiring::default() };
    wiring.watch = watch::work(input, &logic::digits(input));
    let taken = wiring.pins.clone();
    let mut free = input.pins.iter().filter(|(_, port)| taken.iter().all(|pin| pin.port != *port));
    logic::chain(input, &mut wiring);
    logic::control(input, &mut wiring);
    for run in &input.runs {
        run_cables(input, run, &mut wiring);
    }
    for button in &input.buttons {
        let Some((pin, port)) = free.next() else {
            let missing = no_pin(&wiring, button);
            wiring.findings.push(missing);
            continue;
        };
        wiring.pins.push(PinUse {
            pin: pin.clone(),
            port: port.clone(),
            does: format!("button {}", button.button),
        });
        wiring.buttons.push(Button {
            name: button.button.clone(),
            pin: pin.clone(),
            port: port.clone(),
            lamp: button.lamp,
            place: button.place,
        });
        let cable = button_cable(input, button, pin, &mut wiring);
        wiring.cables.push(cable);
    }
    if let Some(watch) = &wiring.watch {
        wiring.findings.extend(watch::judge(input, watch));
        watch::origins(&mut wiring.origins);
    }
    if !input.buttons.is_empty() {
        wiring.findings.push(logic::button_network(&input.buttons));
    }
    let inside = feed::inside(input, &mut wiring);
    wiring.cables.push(inside);
    let feed = feed::feed(input, &mut wiring);
    wiring.cables.push(feed);
    wiring.signal_paths =
        input.lights.iter().filter_map(|lit| paths::path(input, &wiring.cables, lit)).collect();
    for (index, cable) in wiring.cables.iter().enumerate() {
        works_out(
            &mut wiring.origins,
            &[&format!("/cables/{index}/size")],
            "pair-drop",
            &["length", "current"],
        );
        for (number, _) in cable.conductors.iter().enumerate() {
            let at = |key: &str| format!("/cables/{index}/conductors/{number}/{key}");
            works_out(&mut wiring.origins, &[&at("drop_v")], "pair-drop", &["size", "length", "current"]);
            works_out(
                &mut wiring.origins,
                &[&at("current_a")],
                "channel-current",
                &["strands", "strand current"],
            );
        }
    }
    wiring
}

fn next_label(wiring: &Wiring) -> String {
    format!("C{}", wiring.cables.len() + 1)
}

fn no_pin(wiring: &Wiring, button: &ButtonCable) -> Finding {
    finding(
        "wire/no-pin-left",
        Severity::Fault,
        "wire",
        &[&button.button],
        format!(
            "The controller has pins for {} buttons; {} is one too many",
            wiring.buttons.len(),
            button.button
        ),
    )
}

/// One feed for all lights of a run, and a switched return for each; as many cables as it takes.
fn run_cables(input: &Input<'_>, run: &Run, wiring: &mut Wiring) {
    let low = |index: &&usize| input.channels.get(**index).is_some_and(|channel| channel.outlet.is_none());
    let channels: Vec<&Channel> =
        run.channels.iter().filter(low).filter_map(|&index| input.channels.get(index)).collect();
    if channels.is_empty() {
        return;
    }
    let cables = channels.len().div_ceil(MOST_CONDUCTORS - 1);
    for share in channels.chunks(channels.len().div_ceil(cables)) {
        let cable = run_cable(input, run, share, wiring);
        wiring.cables.push(cable);
    }
}

fn run_cable(input: &Input<'_>, run: &Run, channels: &[&Channel], wiring: &mut Wiring) -> Cable {
    let all: f64 = channels.iter().map(|channel| channel.current_a).sum();
    let greatest = channels.iter().map(|channel| channel.current_a).fold(0.0, f64::max);
    let gauge = choose(input.supply_v, run.length_mm, all, greatest);
    let place = run.to.split_once(' ').map_or(run.to.as_str(), |(_, name)| name);
    let mut conductors = vec![Conductor {
        number: 1,
        carries: format!("+{} V, feed of all lights", input.supply_v),
        from: feed::start(input, channels),
        to: format!("{place} feed"),
        current_a: all,
        returns_on: 2,
        drop_v: lost(gauge, run.length_mm, all, greatest),
    }];
    for (number, channel) in (2..).zip(channels) {
        conductors.push(Conductor {
            number,
            carries: format!("{} {}, switched return", channel.label, channel.name),
            from: channel.label.clone(),
            to: format!("{} light", channel.name),
            current_a: channel.current_a,
            returns_on: 1,
            drop_v: lost(gauge, run.length_mm, all, channel.current_a),
        });
    }
    let label = next_label(wiring);
    note_drop(
        input.supply_v,
        &label,
        gauge,
        run.length_mm,
        (all, greatest),
        input.units,
        &mut wiring.findings,
    );
    Cable {
        label,
        from: "driver board".into(),
        to: run.to.clone(),
        length_mm: run.length_mm,
        size: format!("{gauge} AWG"),
        conductors,
    }
}

/// Press and its return, lamp and its return: nothing shared with the strands.
fn button_cable(input: &Input<'_>, button: &ButtonCable, pin: &str, wiring: &mut Wiring) -> Cable {
    let lamp = button.lamp.and_then(|index| input.channels.get(index));
    let current = lamp.map_or(logic::BUTTON_A, |channel| channel.current_a.max(logic::BUTTON_A));
    let gauge = choose(input.supply_v, button.length_mm, current, current);
    let conductor = |number, carries: String, from: String, to: &str, current_a, returns_on| Conductor {
        number,
        carries,
        from,
        to: to.into(),
        current_a,
        returns_on,
        drop_v: lost(gauge, button.length_mm, current_a, current_a),
    };
    let mut conductors = vec![
        conductor(1, format!("press of {}", button.button), pin.to_owned(), "contact", logic::BUTTON_A, 2),
        conductor(2, "ground, return of 1".into(), "GND".into(), "contact", logic::BUTTON_A, 1),
    ];
    if let Some(lamp) = lamp {
        let carries = format!("{} {}, switched return of 3", lamp.label, lamp.name);
        conductors.push(conductor(
            3,
            format!("+{} V for the lamp", input.supply_v),
            feed::start(input, &[lamp]),
            "lamp +",
            lamp.current_a,
            4,
        ));
        conductors.push(conductor(4, carries, lamp.label.clone(), "lamp -", lamp.current_a, 3));
    }
    let label = next_label(wiring);
    note_drop(
        input.supply_v,
        &label,
        gauge,
        button.length_mm,
        (current, current),
        input.units,
        &mut wiring.findings,
    );
    Cable {
        label,
        from: "controller and driver board".into(),
        to: format!("button {}", button.button),
        length_mm: button.length_mm,
        size: format!("{gauge} AWG"),
        conductors,
    }
}
