//! Wire: pins, cables and conductors, each with the way its current comes back.

use crate::note::{Also, finding, value, worked, working};
use crate::{Button, Cable, Channel, Conductor, PinUse, Place};
use finding::{Finding, Severity};
use reckoning::wire::{SIZES_AWG, pair_drop};
use serde::Serialize;
use uom::si::electric_current::ampere;
use uom::si::electric_potential::volt;
use uom::si::f64::{ElectricCurrent, Length};
use uom::si::length::millimeter;

/// Voltage that may be lost on the way, as a share of the supply: three in a hundred, as recommended for branch circuits
/// (NEC 210.19(A), informational note) and taken over for 12 V by common practice.
const LOST_SHARE: f64 = 0.03;

/// Current of a pressed button through its pull-up and wetting resistor. Common practice.
const BUTTON_A: f64 = 0.01;

/// Length of the ribbon between controller and first board, in the same box.
const RIBBON_MM: f64 = 300.0;

/// A panel's cable as asked for.
#[derive(Clone, Serialize)]
pub(crate) struct PanelCable {
    pub(crate) panel: String,
    pub(crate) length_mm: f64,
    /// Its channels, by position.
    pub(crate) channels: Vec<usize>,
}

/// A button's cable as asked for.
#[derive(Clone, Serialize)]
pub(crate) struct ButtonCable {
    pub(crate) button: String,
    pub(crate) length_mm: f64,
    pub(crate) lamp: Option<usize>,
}

/// What the stage takes.
#[derive(Serialize)]
pub(crate) struct Input<'a> {
    pub(crate) panels: Vec<PanelCable>,
    pub(crate) buttons: Vec<ButtonCable>,
    pub(crate) channels: &'a [Channel],
    pub(crate) supply_v: f64,
    /// Pins free for buttons: board label, port.
    pub(crate) pins: &'a [(String, String)],
}

/// What the stage gives.
#[derive(Clone, Debug, Default, Serialize)]
pub(crate) struct Wiring {
    pub(crate) pins: Vec<PinUse>,
    pub(crate) buttons: Vec<Button>,
    pub(crate) cables: Vec<Cable>,
    pub(crate) findings: Vec<Finding>,
}

pub(crate) fn work(input: &Input<'_>) -> Wiring {
    let mut wiring = Wiring { pins: register_pins(), ..Wiring::default() };
    wiring.cables.push(ribbon());
    for panel in &input.panels {
        let cable = panel_cable(input, panel, &mut wiring);
        wiring.cables.push(cable);
    }
    for (index, button) in input.buttons.iter().enumerate() {
        let Some((pin, port)) = input.pins.get(index) else {
            wiring.findings.push(finding(
                "wire/no-pin-left",
                Severity::Fault,
                "wire",
                &[&button.button],
                format!(
                    "The controller has pins for {} buttons; {} is one too many",
                    input.pins.len(),
                    button.button
                ),
            ));
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
            place: Place::default(),
        });
        let cable = button_cable(input, button, pin, &mut wiring);
        wiring.cables.push(cable);
    }
    wiring
}

/// Three pins shift and latch; the fourth keeps everything dark until the first whole frame. Common practice; the ports are
/// those of the chip's own serial port.
fn register_pins() -> Vec<PinUse> {
    [
        ("D11", "PB3", "register data"),
        ("D13", "PB5", "register clock"),
        ("D10", "PB2", "register latch"),
        ("D9", "PB1", "output enable (low is on)"),
    ]
    .map(|(pin, port, does)| PinUse { pin: pin.into(), port: port.into(), does: does.into() })
    .into()
}

fn ribbon() -> Cable {
    let conductor = |number, carries: &str, from: &str, to: &str, returns_on| Conductor {
        number,
        carries: carries.into(),
        from: from.into(),
        to: to.into(),
        current_a: if number <= 4 { 0.001 } else { BUTTON_A },
        returns_on,
        drop_v: 0.0,
    };
    Cable {
        label: "C1".into(),
        from: "controller".into(),
        to: "board A".into(),
        length_mm: RIBBON_MM,
        size: "24 AWG".into(),
        conductors: vec![
            conductor(1, "register data", "D11", "A data", 6),
            conductor(2, "register clock", "D13", "A clock", 6),
            conductor(3, "register latch", "D10", "A latch", 6),
            conductor(4, "output enable, pulled up on the board", "D9", "A enable", 6),
            conductor(5, "5 V for the register", "5V", "A 5V", 6),
            conductor(6, "ground, return of 1 to 5", "GND", "A GND", 5),
        ],
    }
}

/// One feed for all bunches of a panel, and a switched return for each.
fn panel_cable(input: &Input<'_>, panel: &PanelCable, wiring: &mut Wiring) -> Cable {
    let channels: Vec<&Channel> =
        panel.channels.iter().filter_map(|&index| input.channels.get(index)).collect();
    let all: f64 = channels.iter().map(|channel| channel.current_a).sum();
    let greatest = channels.iter().map(|channel| channel.current_a).fold(0.0, f64::max);
    let gauge = choose(input, panel.length_mm, all, greatest);
    let mut conductors = vec![Conductor {
        number: 1,
        carries: format!("+{} V, feed of all bunches", input.supply_v),
        from: "supply +".into(),
        to: format!("{} feed", panel.panel),
        current_a: all,
        returns_on: 2,
        drop_v: lost(gauge, panel.length_mm, all, greatest),
    }];
    for (number, channel) in (2..).zip(&channels) {
        conductors.push(Conductor {
            number,
            carries: format!("{} {}, switched return", channel.label, channel.name),
            from: channel.label.clone(),
            to: format!("{} strands", channel.name),
            current_a: channel.current_a,
            returns_on: 1,
            drop_v: lost(gauge, panel.length_mm, all, channel.current_a),
        });
    }
    let label = format!("C{}", wiring.cables.len() + 1);
    note_drop(input, &label, gauge, panel.length_mm, (all, greatest), &mut wiring.findings);
    Cable {
        label,
        from: "driver board".into(),
        to: format!("panel {}", panel.panel),
        length_mm: panel.length_mm,
        size: format!("{gauge} AWG"),
        conductors,
    }
}

/// Press and its return, lamp and its return: nothing shared with the strands.
fn button_cable(input: &Input<'_>, button: &ButtonCable, pin: &str, wiring: &mut Wiring) -> Cable {
    let lamp = button.lamp.and_then(|index| input.channels.get(index));
    let current = lamp.map_or(BUTTON_A, |channel| channel.current_a.max(BUTTON_A));
    let gauge = choose(input, button.length_mm, current, current);
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
        conductor(1, format!("press of {}", button.button), pin.to_owned(), "contact", BUTTON_A, 2),
        conductor(2, "ground, return of 1".into(), "GND".into(), "contact", BUTTON_A, 1),
    ];
    if let Some(lamp) = lamp {
        let carries = format!("{} {}, switched return of 3", lamp.label, lamp.name);
        conductors.push(conductor(
            3,
            format!("+{} V for the lamp", input.supply_v),
            "supply +".into(),
            "lamp +",
            lamp.current_a,
            4,
        ));
        conductors.push(conductor(4, carries, lamp.label.clone(), "lamp -", lamp.current_a, 3));
    }
    let label = format!("C{}", wiring.cables.len() + 1);
    note_drop(input, &label, gauge, button.length_mm, (current, current), &mut wiring.findings);
    Cable {
        label,
        from: "controller and driver board".into(),
        to: format!("button {}", button.button),
        length_mm: button.length_mm,
        size: format!("{gauge} AWG"),
        conductors,
    }
}

/// The thinnest size that keeps the loss within its share, or the thickest there is.
fn choose(input: &Input<'_>, length_mm: f64, out: f64, back: f64) -> u32 {
    let may_lose = LOST_SHARE * input.supply_v;
    let last = SIZES_AWG[SIZES_AWG.len() - 1];
    SIZES_AWG.into_iter().find(|&gauge| lost(gauge, length_mm, out, back) <= may_lose).unwrap_or(last)
}

fn lost(gauge: u32, length_mm: f64, out: f64, back: f64) -> f64 {
    let amps = ElectricCurrent::new::<ampere>;
    pair_drop(gauge, Length::new::<millimeter>(length_mm), amps(out), amps(back)).get::<volt>()
}

fn note_drop(
    input: &Input<'_>,
    cable: &str,
    gauge: u32,
    length_mm: f64,
    current: (f64, f64),
    findings: &mut Vec<Finding>,
) {
    let (drop, may_lose) = (lost(gauge, length_mm, current.0, current.1), LOST_SHARE * input.supply_v);
    let passes = drop <= may_lose;
    findings.push(
        finding(
            "wire/drop",
            if passes { Severity::Note } else { Severity::Caution },
            "wire",
            &[cable],
            if passes {
                format!("Cable {cable} in {gauge} AWG loses {drop:.2} V")
            } else {
                format!("Cable {cable} loses {drop:.2} V even in {gauge} AWG: the far lamps will be dim")
            },
        )
        .working(working(
            "pair-drop",
            vec![
                value("gauge", format!("{gauge} AWG"), worked("pair-drop", &["length", "current"])),
                value(
                    "length one way",
                    format!("{:.2} m", length_mm / 1000.0),
                    worked("pair-drop", &["cable"]),
                ),
                value(
                    "current out",
                    crate::note::amperes(current.0),
                    worked("channel-current", &["strands", "strand current"]),
                ),
                value(
                    "current back",
                    crate::note::amperes(current.1),
                    worked("channel-current", &["strands", "strand current"]),
                ),
            ],
            format!("{drop:.2} V"),
            Some((
                format!("{may_lose:.2} V, 3 % of {} V", input.supply_v),
                "NEC 210.19(A), informational note, taken over for low voltage (common practice)".into(),
            )),
            Some(crate::note::used(drop, may_lose)),
        )),
    );
}
