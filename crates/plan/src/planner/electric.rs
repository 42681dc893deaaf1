//! The electrical side in order: digits, loads, switching, power, circuits, wiring, shelter.

use super::Planner;
use super::loads::{self, supply_v};
use crate::stage::{circuits, digits, drive, power, shelter, wiring};
use crate::{DigitsUse, Panel, Place, Span};
use display::{Display, GroundFault};
use finding::Finding;
use parts::Transistor;
use std::collections::BTreeMap;
use std::sync::Arc;
use uom::si::angle::minute;
use uom::si::f64::Angle;
use uom::si::length::millimeter;

/// Length of the control cable of a switch box: it stands beside the controller. Common practice.
const CONTROL_MM: f64 = 2000.0;

/// The boxes and covers that are planned with, from the catalogue: for the controller, a button, listed boxes, a plug joint.
const COVERS: [&str; 4] = ["box-12x10x6in", "box-8x6x4in", "shelter-24x16x16in", "plug-cover"];

/// Everything electrical that was worked out.
pub(super) struct Electric {
    pub(super) digits: Vec<DigitsUse>,
    /// The kind of resistor of each of them.
    pub(super) resistors: Vec<String>,
    pub(super) drive: Arc<drive::Drive>,
    pub(super) power: Arc<power::Power>,
    pub(super) circuits: Arc<circuits::Circuits>,
    pub(super) wiring: Arc<wiring::Wiring>,
    pub(super) shelter: Arc<shelter::Shelter>,
    digit_findings: Vec<Finding>,
}

impl Electric {
    /// What all the stages found.
    pub(super) fn findings(&self) -> impl Iterator<Item = &Finding> {
        let stages = [&self.drive.findings, &self.power.findings, &self.circuits.findings];
        let more = [&self.wiring.findings, &self.shelter.findings, &self.digit_findings];
        stages.into_iter().chain(more).flatten()
    }
}

impl Planner {
    /// Works it all out, and notes the channels in panels and spans.
    pub(super) fn electric(
        &mut self,
        display: &Display,
        panels: &mut [Panel],
        spans: &mut [Span],
    ) -> Electric {
        let (mut digits, resistors, digit_findings) = self.digits(display);
        let loads = loads::loads(display, panels, spans, &digits);
        number(panels, spans, display, &mut digits);
        let drive = self.drive(display, &loads);
        let power = self.power(display, &loads, &drive);
        let circuits = self.circuits(display, &drive, &power);
        let wiring = self.wiring(display, panels, spans, &digits, (&drive, &power));
        let shelter = self.shelter(display, &drive, &circuits, &wiring);
        Electric { digits, resistors, drive, power, circuits, wiring, shelter, digit_findings }
    }

    fn digits(&mut self, display: &Display) -> (Vec<DigitsUse>, Vec<String>, Vec<Finding>) {
        let mut resistors: Vec<(String, f64)> =
            display.shelf.resistors.values().map(|kind| (kind.name.clone(), kind.power.value)).collect();
        resistors.sort_by(|a, b| a.1.total_cmp(&b.1));
        let line = Angle::new::<minute>(reckoning::legible::LINE_MINUTES);
        let wished = reckoning::legible::size_seen(display.farthest.value, line);
        let (mut all, mut kinds, mut findings) = (Vec::new(), Vec::new(), Vec::new());
        for asked in &display.digits {
            let led = &asked.led.value;
            let input = digits::Input {
                name: &asked.name,
                height_mm: asked.height.value.get::<millimeter>(),
                led: &led.name,
                led_v: led.voltage.value,
                led_a: led.current.value,
                led_hole_mm: led.hole.get::<millimeter>(),
                supply_v: supply_v(display),
                darlington: darlington(display),
                wished_mm: wished.get::<millimeter>(),
                resistors: resistors.clone(),
            };
            let design = self.memory.stage("digits", &asked.name, &input, digits::work);
            findings.extend(design.findings.iter().cloned());
            kinds.push(design.resistor.clone());
            all.push(digits_use(display, asked, &design));
        }
        (all, kinds, findings)
    }

    fn drive(&mut self, display: &Display, loads: &[drive::Load]) -> Arc<drive::Drive> {
        let board = display.driver_board.as_ref().map_or_else(drive::BoardKind::default, |board| {
            let board = &board.value;
            drive::BoardKind {
                part: board.name.clone(),
                outputs: board.outputs,
                output_a: board.output_current.value,
                total_a: board.total_current.value,
                voltage_v: board.voltage.value,
                darlington: board.switch == Transistor::Darlington,
                source: board.source.clone(),
            }
        });
        let register = display.register_board.as_ref().map_or_else(drive::BoardKind::default, |board| {
            let board = &board.value;
            drive::BoardKind {
                part: board.name.clone(),
                outputs: board.outputs,
                output_a: board.output_current.value,
                total_a: board.total_current.value,
                voltage_v: board.voltage.value,
                darlington: false,
                source: board.source.clone(),
            }
        });
        let switch_box = display.switch_box.as_ref().map(|part| box_kind(&part.value));
        let input = drive::Input {
            loads,
            board: &board,
            register: &register,
            switch_box: switch_box.as_ref(),
            mains_v: display.mains.as_ref().map(|mains| mains.value.volts()),
            supply: display.supply.as_ref().map_or("", |supply| supply.value.name.as_str()),
            supply_v: supply_v(display),
        };
        self.memory.stage("drive", "channels", &input, drive::work)
    }

    fn power(&mut self, display: &Display, loads: &[drive::Load], drive: &drive::Drive) -> Arc<power::Power> {
        let supply = display.supply.as_ref().map(|supply| &supply.value);
        let controller = display.controller.as_ref().map(|controller| &controller.value);
        debug_assert_eq!(loads.len(), drive.board_a.len());
        let input = power::Input {
            part: supply.map_or("", |supply| supply.name.as_str()),
            voltage_v: supply_v(display),
            rated_a: supply.map_or(0.0, |supply| supply.current.value),
            listed: supply.and_then(|supply| supply.listed.as_deref()),
            source: supply.map_or("", |supply| supply.source.as_str()),
            channels_a: drive.board_a.iter().sum(),
            controller: controller.map_or("", |controller| controller.name.as_str()),
            controller_a: controller.map_or(0.0, |controller| controller.current.value),
        };
        self.memory.stage("power", "supply", &input, power::work)
    }

    fn circuits(
        &mut self,
        display: &Display,
        drive: &drive::Drive,
        power: &power::Power,
    ) -> Arc<circuits::Circuits> {
        let houses = display.circuits.iter().map(|circuit| circuits::House {
            name: circuit.name.clone(),
            breaker_a: circuit.breaker.value.value,
            device: match circuit.ground_fault.value {
                GroundFault::ClassA => circuits::Device::ClassA,
                GroundFault::Rcd30TypeA => circuits::Device::Rcd30,
                GroundFault::None => circuits::Device::Missing,
            },
            device_words: circuit.ground_fault.value.words().to_owned(),
            cord: circuit.cord.size.value.to_string(),
            cord_mm2: circuit.cord.size.value.area_mm2(),
            cord_mm: circuit.cord.length.value.get::<millimeter>(),
        });
        let input = circuits::Input {
            mains_v: display.mains.as_ref().map_or(0.0, |mains| mains.value.volts()),
            houses: houses.collect(),
            channels: &drive.channels,
            boxes: &drive.switch_boxes,
            box_leakage_a: display.switch_box.as_ref().map_or(0.0, |part| part.value.leakage.value),
            supply: &power.supply,
            supply_leakage_a: display.supply.as_ref().map_or(0.0, |supply| supply.value.leakage.value),
            supply_circuit: supply_circuit(display),
        };
        self.memory.stage("circuits", "house", &input, circuits::work)
    }

    fn wiring(
        &mut self,
        display: &Display,
        panels: &[Panel],
        spans: &[Span],
        digits: &[DigitsUse],
        (drive, power): (&drive::Drive, &power::Power),
    ) -> Arc<wiring::Wiring> {
        let lamps = lamp_channels(drive);
        let input = wiring::Input {
            runs: runs(display, panels, spans, digits),
            buttons: display
                .buttons
                .iter()
                .map(|button| wiring::ButtonCable {
                    button: button.name.clone(),
                    length_mm: button.cable.value.get::<millimeter>(),
                    lamp: lamps.get(format!("lamp of {}", button.name).as_str()).copied(),
                    place: place(button.at.as_ref(), &button.lifted.value),
                })
                .collect(),
            lights: lights(panels, spans, drive),
            channels: &drive.channels,
            boards: &drive.boards,
            boxes: &drive.switch_boxes,
            control_a: display.switch_box.as_ref().map_or(0.0, |part| part.value.control_current.value),
            control_mm: CONTROL_MM,
            supply: &power.supply.part,
            supply_v: supply_v(display),
            supply_a: power.supply.needed_a,
            pins: display.controller.as_ref().map_or(&[], |controller| &controller.value.button_pins),
        };
        self.memory.stage("wiring", "cables", &input, wiring::work)
    }

    fn shelter(
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
            supply: display.supply.as_ref().map_or("", |supply| supply.value.name.as_str()),
            supply_circuit: supply_circuit(display),
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

/// Whether the outputs of the driver board are Darlington switches.
fn darlington(display: &Display) -> bool {
    display.driver_board.as_ref().is_some_and(|board| board.value.switch == Transistor::Darlington)
}

/// The circuit that feeds the supply: the one named, or the only one.
fn supply_circuit(display: &Display) -> Option<String> {
    match (&display.supply_circuit, &display.circuits[..]) {
        (Some(named), _) => Some(named.value.clone()),
        (None, [only]) => Some(only.name.clone()),
        (None, _) => None,
    }
}

fn box_kind(part: &parts::SwitchBox) -> drive::BoxKind {
    drive::BoxKind {
        part: part.name.clone(),
        outlets: part.outlets,
        voltage_v: part.voltage.value,
        outlet_a: part.outlet_current.value,
        total_a: part.total_current.value,
        triac: part.switching == parts::Switching::Triac,
        least_a: part.least_current.value,
        off_leakage_a: part.off_leakage.value,
        control_v: part.control_voltage.value,
        control_a: part.control_current.value,
        isolated: part.isolated,
        listed: part.listed.clone(),
        source: part.source.clone(),
    }
}

fn place(at: Option<&display::Spot>, lifted: &quantity::Length) -> Place {
    Place {
        x_mm: at.map_or(0.0, |at| at.x.value.get::<millimeter>()),
        y_mm: lifted.get::<millimeter>(),
        depth_mm: at.map_or(0.0, |at| at.depth.value.get::<millimeter>()),
    }
}

fn digits_use(display: &Display, asked: &display::Digits, design: &digits::Design) -> DigitsUse {
    let led = &asked.led.value;
    DigitsUse {
        name: asked.name.clone(),
        digits: display.form.digits.iter().position(|digits| digits.name == asked.name).unwrap_or(0),
        count: asked.count.value,
        height_mm: asked.height.value.get::<millimeter>(),
        width_mm: design.width_mm,
        pitch_mm: design.pitch_mm,
        place: place(asked.at.as_ref(), &asked.lifted.value),
        segments_mm: design.segments_mm.clone(),
        led: led.name.clone(),
        colour: led.colour.clone(),
        leds_in_series: design.leds_in_series,
        rows: design.rows,
        resistor_ohm: design.resistor_ohm,
        resistor_w: design.resistor_w,
        segment_a: design.segment_a,
        channels: Vec::new(),
    }
}

/// Channels in the order of the loads: bunches, hung objects, lamps of buttons, segments.
fn number(panels: &mut [Panel], spans: &mut [Span], display: &Display, digits: &mut [DigitsUse]) {
    let mut next = 0..;
    let mut take = || next.next().unwrap_or(usize::MAX);
    for bunch in panels.iter_mut().flat_map(|panel| &mut panel.bunches) {
        bunch.channel = take();
    }
    for hung in spans.iter_mut().flat_map(|span| &mut span.hung) {
        hung.channel = take();
    }
    for _ in display.buttons.iter().filter(|button| button.lamp) {
        take();
    }
    for each in digits {
        each.channels = (0..each.count).map(|_| (0..7).map(|_| take()).collect()).collect();
    }
}

/// The channels of the lamps of buttons, by name.
fn lamp_channels(drive: &drive::Drive) -> BTreeMap<&str, usize> {
    drive.channels.iter().enumerate().map(|(index, channel)| (channel.name.as_str(), index)).collect()
}

/// The cables that feed lights: to each panel, span and row of digits.
fn runs(display: &Display, panels: &[Panel], spans: &[Span], digits: &[DigitsUse]) -> Vec<wiring::Run> {
    let mut runs = Vec::new();
    for panel in panels {
        let asked = display.panels.iter().find(|asked| asked.name == panel.name);
        runs.push(wiring::Run {
            to: format!("panel {}", panel.name),
            length_mm: asked.map_or(0.0, |asked| asked.cable.value.get::<millimeter>()),
            channels: panel.bunches.iter().map(|bunch| bunch.channel).collect(),
        });
    }
    for span in spans {
        let asked = display.spans.iter().find(|asked| asked.name == span.name);
        runs.push(wiring::Run {
            to: format!("span {}", span.name),
            length_mm: asked.map_or(0.0, |asked| asked.cable.value.get::<millimeter>()),
            channels: span.hung.iter().map(|hung| hung.channel).collect(),
        });
    }
    for each in digits {
        let asked = display.digits.iter().find(|asked| asked.name == each.name);
        runs.push(wiring::Run {
            to: format!("digits {}", each.name),
            length_mm: asked.map_or(0.0, |asked| asked.cable.value.get::<millimeter>()),
            channels: each.channels.iter().flatten().copied().collect(),
        });
    }
    runs
}

/// Every light that somebody may ask after: strands of panels by their labels, all others by their channel's name.
fn lights(panels: &[Panel], spans: &[Span], drive: &drive::Drive) -> Vec<wiring::Lit> {
    let mut lights = Vec::new();
    let mut named = Vec::new();
    for panel in panels {
        for run in &panel.strands {
            let Some(bunch) = panel.bunches.get(run.bunch) else { continue };
            lights.push(wiring::Lit { light: format!("strand {}", run.label), channel: bunch.channel });
            named.push(bunch.channel);
        }
    }
    for hung in spans.iter().flat_map(|span| &span.hung) {
        lights.push(wiring::Lit { light: hung.name.clone(), channel: hung.channel });
        named.push(hung.channel);
    }
    for (index, channel) in drive.channels.iter().enumerate().filter(|(index, _)| !named.contains(index)) {
        lights.push(wiring::Lit { light: channel.name.clone(), channel: index });
    }
    lights
}

/// How many of each part are on the shelf, of those that are counted by the piece.
pub(super) fn have(display: &Display) -> BTreeMap<&str, u32> {
    display.shelf.counted().collect()
}
