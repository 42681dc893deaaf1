//! The electrical stages and what they take from the description: switching, supply, circuits, wiring, shelter.

use super::Planner;
use super::yard::{mm, place};
use crate::stage::{circuits, digits, drive, power, shelter, wear, wiring};
use crate::{DigitsUse, LitBy, Panel, Place, Span};
use display::{Display, GroundFault};
use std::sync::Arc;
use uom::si::angle::minute;
use uom::si::electric_current::ampere;
use uom::si::electric_potential::volt;
use uom::si::f64::Angle;
use uom::si::length::millimeter;
use uom::si::power::watt;

/// What the low voltage is where no supply is known yet.
const LOW_V: f64 = 12.0;

/// A switch box stands beside the controller's box, this much control cable away. Common practice: as short as it goes.
const CONTROL_MM: f64 = 1000.0;

/// Buttons that do not say where they stand stand in a row, this far apart and this far in front of the panels.
const BUTTONS_MM: [f64; 2] = [900.0, -1500.0];

/// The covers that are used: for controller and boards, a button, listed boxes and adapters, a plug joint.
const COVERS: [&str; 4] = ["box-12x10x6in", "box-8x6x4in", "shelter-24x16x16in", "plug-cover"];

/// The voltage of the supply.
pub(super) fn supply_v(display: &Display) -> f64 {
    display.supply.as_ref().map_or(LOW_V, |supply| supply.value.voltage.get::<volt>())
}

/// What is written beside outputs that are numbered as they come.
fn numbered(outputs: u32) -> Vec<String> {
    (1..=outputs).map(|number| number.to_string()).collect()
}

fn board_kind(display: &Display) -> drive::BoardKind {
    let board = display.driver_board.as_ref().map(|board| &board.value);
    board.map_or(drive::BoardKind { labels: numbered(8), ..drive::BoardKind::default() }, kind_of)
}

fn kind_of(board: &parts::DriverBoard) -> drive::BoardKind {
    drive::BoardKind {
        part: board.name.clone(),
        labels: board.labels.clone(),
        output_a: board.output_current.get::<ampere>(),
        total_a: board.total_current.get::<ampere>(),
        voltage_v: board.voltage.get::<volt>(),
        darlington: board.switch == parts::Transistor::Darlington,
        source: board.source.clone(),
    }
}

fn register_kind(display: &Display) -> drive::BoardKind {
    let Some(board) = display.register_board.as_ref().map(|board| &board.value) else {
        return drive::BoardKind { labels: numbered(8), ..drive::BoardKind::default() };
    };
    drive::BoardKind {
        part: board.name.clone(),
        labels: numbered(board.outputs),
        output_a: board.output_current.get::<ampere>(),
        total_a: board.total_current.get::<ampere>(),
        voltage_v: board.voltage.get::<volt>(),
        darlington: false,
        source: board.source.clone(),
    }
}

fn box_kind(part: &parts::SwitchBox) -> drive::BoxKind {
    drive::BoxKind {
        part: part.name.clone(),
        outlets: part.outlets,
        voltage_v: part.voltage.get::<volt>(),
        outlet_a: part.outlet_current.get::<ampere>(),
        total_a: part.total_current.get::<ampere>(),
        triac: part.switching == parts::Switching::Triac,
        least_a: part.least_current.get::<ampere>(),
        off_leakage_a: part.off_leakage.get::<ampere>(),
        control_v: part.control_voltage.get::<volt>(),
        control_a: part.control_current.get::<ampere>(),
        isolated: part.isolated,
        listed: part.listed.clone(),
        source: part.source.clone(),
    }
}

fn control_a(display: &Display) -> f64 {
    display.switch_box.as_ref().map_or(0.0, |part| part.value.control_current.get::<ampere>())
}

/// The circuit that feeds something: the one it names, or the only one there is.
pub(super) fn circuit(display: &Display, named: Option<&String>) -> Option<String> {
    match (named, &display.circuits[..]) {
        (Some(name), _) => Some(name.clone()),
        (None, [only]) => Some(only.name.clone()),
        _ => None,
    }
}

fn house(circuit: &display::Circuit) -> circuits::House {
    circuits::House {
        name: circuit.name.clone(),
        breaker_a: circuit.breaker.value.get::<ampere>(),
        device: match circuit.ground_fault.value {
            GroundFault::ClassA => circuits::Device::ClassA,
            GroundFault::Rcd30TypeA => circuits::Device::Rcd30,
            GroundFault::None => circuits::Device::Missing,
        },
        device_words: circuit.ground_fault.value.words().to_owned(),
        cord: circuit.cord.size.value.to_string(),
        cord_mm2: circuit.cord.size.value.area_mm2(),
        cord_mm: mm(&circuit.cord.length),
    }
}

/// Where a button stands.
pub(super) fn button_place(button: &display::Button, index: usize) -> Place {
    let lifted = mm(&button.lifted);
    match &button.at {
        Some(at) => place(at, lifted),
        None => {
            let row = u32::try_from(index).unwrap_or(0);
            Place { x_mm: f64::from(row) * BUTTONS_MM[0], y_mm: lifted, depth_mm: BUTTONS_MM[1] }
        }
    }
}

/// Everything that is lit and its channel.
pub(super) struct Lights<'a> {
    pub(super) panels: &'a [Panel],
    pub(super) spans: &'a [Span],
    pub(super) digits: &'a [DigitsUse],
}

impl Planner {
    /// The design of all digits, in the description's order.
    pub(super) fn digits(&mut self, display: &Display) -> Vec<Arc<digits::Design>> {
        let wished = Angle::new::<minute>(reckoning::legible::LINE_MINUTES);
        let wished_mm = reckoning::legible::size_seen(display.farthest.value, wished).get::<millimeter>();
        let mut resistors: Vec<(String, f64)> = display
            .shelf
            .resistors
            .values()
            .map(|resistor| (resistor.name.clone(), resistor.power.get::<watt>()))
            .collect();
        resistors.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
        let mut designs = Vec::new();
        for asked in &display.digits {
            let led = &asked.led.value;
            let input = digits::Input {
                name: &asked.name,
                height_mm: mm(&asked.height),
                led: &led.name,
                led_v: led.voltage.get::<volt>(),
                led_a: led.current.get::<ampere>(),
                led_hole_mm: led.hole.get::<millimeter>(),
                supply_v: supply_v(display),
                darlington: board_kind(display).darlington,
                wished_mm,
                resistors: resistors.clone(),
            };
            designs.push(self.memory.stage("digits", &asked.name, &input, digits::work));
        }
        designs
    }

    pub(super) fn drive(&mut self, display: &Display, loads: &[drive::Load]) -> Arc<drive::Drive> {
        let (board, register) = (board_kind(display), register_kind(display));
        let switch_box = display.switch_box.as_ref().map(|part| box_kind(&part.value));
        let input = drive::Input {
            loads,
            first: display.first_boards.iter().map(|board| kind_of(&board.value)).collect(),
            board: &board,
            register: &register,
            switch_box: switch_box.as_ref(),
            mains_v: display.mains.as_ref().map(|mains| mains.value.volts()),
            supply: display.supply.as_ref().map_or("", |supply| supply.value.name.as_str()),
            supply_v: supply_v(display),
        };
        self.memory.stage("drive", "channels", &input, drive::work)
    }

    pub(super) fn power(&mut self, display: &Display, drive: &drive::Drive) -> Arc<power::Power> {
        let supply = display.supply.as_ref().map(|supply| &supply.value);
        let controller = display.controller.as_ref().map(|controller| &controller.value);
        let input = power::Input {
            part: supply.map_or("", |supply| supply.name.as_str()),
            voltage_v: supply_v(display),
            rated_a: supply.map_or(0.0, |supply| supply.current.get::<ampere>()),
            listed: supply.and_then(|supply| supply.listed.as_deref()),
            source: supply.map_or("", |supply| supply.source.as_str()),
            channels_a: drive.board_a.iter().sum(),
            controller: controller.map_or("", |controller| controller.name.as_str()),
            controller_a: controller_a(display),
        };
        self.memory.stage("power", "supply", &input, power::work)
    }

    /// The circuits of the house; nothing where the display says nothing of mains.
    pub(super) fn circuits(
        &mut self,
        display: &Display,
        drive: &drive::Drive,
        power: &power::Power,
    ) -> Arc<circuits::Circuits> {
        let leakage = |current: Option<quantity::ElectricCurrent>| {
            current.map_or(0.0, |current| current.get::<ampere>())
        };
        let input = circuits::Input {
            mains_v: display.mains.as_ref().map_or(0.0, |mains| mains.value.volts()),
            houses: display.circuits.iter().map(house).collect(),
            channels: &drive.channels,
            boxes: &drive.switch_boxes,
            box_leakage_a: leakage(display.switch_box.as_ref().map(|part| part.value.leakage)),
            supply: &power.supply,
            supply_leakage_a: leakage(display.supply.as_ref().map(|supply| supply.value.leakage)),
            supply_circuit: supply_circuit(display),
            units: display.units,
        };
        self.memory.stage("circuits", "house", &input, circuits::work)
    }

    /// How the contacts of switch boxes wear over the season.
    pub(super) fn wear(&mut self, display: &Display, drive: &drive::Drive, yard: &mut super::yard::Yard) {
        let Some(part) = display.switch_box.as_ref().map(|part| &part.value) else { return };
        let Some(season) = &yard.season else { return };
        if part.switching != parts::Switching::Relay || drive.switch_boxes.is_empty() {
            return;
        }
        let switched = || drive.channels.iter().filter(|channel| channel.outlet.is_some());
        let played = wear::play::Input {
            contacts: switched().map(|channel| &channel.lit_by).collect(),
            form: &display.form,
        };
        let counts = self.memory.stage("play", "contacts", &played, wear::play::work);
        let input = wear::Input {
            part: &part.name,
            source: &part.source,
            cycles: part.cycles,
            hours: season.hours,
            contacts: switched().map(|channel| channel.name.as_str()).collect(),
            counts: &counts,
            tick_ms: display.form.tick_ms,
        };
        let found = self.memory.stage("wear", "contacts", &input, wear::work);
        yard.findings.extend(found.iter().cloned());
    }

    pub(super) fn wiring(
        &mut self,
        display: &Display,
        lights: &Lights<'_>,
        drive: &drive::Drive,
    ) -> Arc<wiring::Wiring> {
        let input = wiring::Input {
            runs: runs(display, lights, drive),
            buttons: display
                .buttons
                .iter()
                .enumerate()
                .map(|(index, button)| wiring::ButtonCable {
                    button: button.name.clone(),
                    length_mm: mm(&button.cable),
                    lamp: lamp_of(display, drive, button),
                    place: button_place(button, index),
                })
                .collect(),
            lights: lit(display, lights, drive),
            channels: &drive.channels,
            boards: &drive.boards,
            boxes: &drive.switch_boxes,
            control_a: control_a(display),
            control_mm: CONTROL_MM,
            supply: display.supply.as_ref().map_or("", |supply| supply.value.name.as_str()),
            supply_v: supply_v(display),
            controller_a: controller_a(display),
            units: display.units,
            tick_ms: display.form.tick_ms,
            pins: display.controller.as_ref().map_or(&[], |controller| &controller.value.button_pins),
        };
        self.memory.stage("wiring", "cables", &input, wiring::work)
    }

    pub(super) fn shelter(
        &mut self,
        display: &Display,
        drive: &drive::Drive,
        circuits: &circuits::Circuits,
        wiring: &wiring::Wiring,
    ) -> Arc<shelter::Shelter> {
        let [controller_box, button_box, roof, joint] = COVERS.map(|name| shelter::CoverKind {
            part: name.to_owned(),
            drilled: display.shelf.covers.get(name).is_some_and(|cover| cover.drilled),
        });
        let input = shelter::Input {
            controller: display.controller.as_ref().map_or("", |part| part.value.name.as_str()),
            supply: display.supply.as_ref().map_or("", |part| part.value.name.as_str()),
            supply_circuit: supply_circuit(display),
            units: display.units,
            boards: &drive.boards,
            boxes: &drive.switch_boxes,
            circuits: &circuits.circuits,
            buttons: &wiring.buttons,
            controller_box,
            button_box,
            roof,
            joint,
        };
        self.memory.stage("shelter", "boxes", &input, shelter::work)
    }
}

/// Current of the controller.
fn controller_a(display: &Display) -> f64 {
    display.controller.as_ref().map_or(0.0, |controller| controller.value.current.get::<ampere>())
}

/// The circuit that feeds the supply.
fn supply_circuit(display: &Display) -> Option<String> {
    circuit(display, display.supply_circuit.as_ref().map(|name| &name.value))
}

/// The channel of a button's lamp.
pub(super) fn lamp_of(display: &Display, drive: &drive::Drive, button: &display::Button) -> Option<usize> {
    if !button.lamp {
        return None;
    }
    let spot = display.form.spots.iter().position(|spot| *spot == button.name)?;
    drive.channels.iter().position(|channel| channel.lit_by == LitBy::Spot { spot })
}

/// The cables that feed low-voltage lights.
fn runs(display: &Display, lights: &Lights<'_>, drive: &drive::Drive) -> Vec<wiring::Run> {
    let mut runs = Vec::new();
    let mut run = |to: String, length_mm: f64, channels: Vec<usize>| {
        let low =
            |&channel: &usize| drive.channels.get(channel).is_some_and(|channel| channel.outlet.is_none());
        let channels: Vec<usize> = channels.into_iter().filter(low).collect();
        if !channels.is_empty() {
            runs.push(wiring::Run { to, length_mm, channels });
        }
    };
    for panel in lights.panels {
        let asked = display.panels.iter().find(|asked| asked.name == panel.name);
        let channels = panel.bunches.iter().map(|bunch| bunch.channel).collect();
        run(format!("panel {}", panel.name), asked.map_or(0.0, |asked| mm(&asked.cable)), channels);
    }
    for span in lights.spans {
        let asked = display.spans.iter().find(|asked| asked.name == span.name);
        let channels = span.hung.iter().map(|hung| hung.channel).collect();
        run(format!("span {}", span.name), asked.map_or(0.0, |asked| mm(&asked.cable)), channels);
    }
    for digits in lights.digits {
        let asked = display.digits.iter().find(|asked| asked.name == digits.name);
        let channels = digits.channels.iter().flatten().copied().collect();
        run(format!("digits {}", digits.name), asked.map_or(0.0, |asked| mm(&asked.cable)), channels);
    }
    runs
}

/// Every light by its label, with its channel.
fn lit(display: &Display, lights: &Lights<'_>, drive: &drive::Drive) -> Vec<wiring::Lit> {
    let mut lit: Vec<wiring::Lit> = Vec::new();
    for panel in lights.panels {
        lit.extend(panel.strands.iter().filter_map(|strand| {
            let channel = panel.bunches.get(strand.bunch)?.channel;
            Some(wiring::Lit { light: format!("strand {}", strand.label), channel })
        }));
    }
    for hung in lights.spans.iter().flat_map(|span| &span.hung) {
        lit.push(wiring::Lit { light: hung.name.clone(), channel: hung.channel });
    }
    for button in &display.buttons {
        let channel = lamp_of(display, drive, button);
        lit.extend(channel.map(|channel| wiring::Lit { light: format!("lamp of {}", button.name), channel }));
    }
    for digits in lights.digits {
        for (digit, channels) in digits.channels.iter().enumerate() {
            lit.extend(channels.iter().zip('a'..='g').map(|(&channel, segment)| wiring::Lit {
                light: format!("{} digit {} segment {segment}", digits.name, digit + 1),
                channel,
            }));
        }
    }
    lit
}
