//! The stages in order, and what they come to.

mod judge;
mod loads;
mod panels;

use crate::memory::{Memory, Run};
use crate::stage::{buy, drive, flash, power, wiring};
use crate::{ControllerUse, Origins, Panel, Plan, stops};
use display::Display;
use finding::Sheet;
use loads::{loads, supply_v};
use std::collections::BTreeMap;
use uom::si::electric_current::ampere;
use uom::si::electric_potential::volt;
use uom::si::length::millimeter;

/// Plans a display once.
pub fn plan(display: &Display) -> Plan {
    Planner::new().plan(display)
}

/// Plans a display again and again, working out only what has changed.
#[derive(Clone, Default)]
pub struct Planner {
    memory: Memory,
}

impl Planner {
    /// A planner that remembers nothing yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// The stages asked for by the last plans, and which of them were worked out.
    pub fn take_runs(&mut self) -> Vec<Run> {
        self.memory.take_runs()
    }

    /// The plan of a display.
    pub fn plan(&mut self, display: &Display) -> Plan {
        let mut findings = Vec::new();
        let mut panels = self.panels(display, &mut findings);
        let loads = loads(display, &panels);
        let drive = self.drive(display, &loads);
        for (channel, bunch) in panels.iter_mut().flat_map(|panel| &mut panel.bunches).enumerate() {
            bunch.channel = channel;
        }
        let wiring = self.wiring(display, &panels, &drive.channels);
        let power = self.power(display, &drive);
        let flash = self.memory.stage("flash", "rules", &display.form, flash::work);
        findings.extend(flash.iter().cloned());
        // Without a supply or a board, what is said of them would be about stand-ins.
        if display.supply.is_some() && display.driver_board.is_some() {
            findings.extend(drive.findings.iter().chain(&wiring.findings).chain(&power.findings).cloned());
        }
        findings.sort_by(|a, b| (a.severity, a.identity()).cmp(&(b.severity, b.identity())));
        let mut withheld: Vec<Sheet> =
            findings.iter().flat_map(|finding| finding.withholds.clone()).collect();
        withheld.extend(unjudged(display));
        withheld.sort_unstable();
        withheld.dedup();
        let parts = buy::work(&buy::Input {
            panels: &panels,
            boards: &drive.boards,
            cables: &wiring.cables,
            buttons: &wiring.buttons,
            supply: &named(display.supply.as_ref().map(|supply| &supply.value.name)),
            controller: &named(display.controller.as_ref().map(|part| &part.value.name)),
            have: &have(display),
        });
        let mut plan = Plan {
            format: "lampwright-plan",
            version: 1,
            title: display.title.clone(),
            units: display.units,
            nearest_mm: display.nearest.value.get::<millimeter>(),
            farthest_mm: display.farthest.value.get::<millimeter>(),
            panels,
            stands: Vec::new(),
            posts: Vec::new(),
            spans: Vec::new(),
            digits: Vec::new(),
            buttons: wiring.buttons.clone(),
            channels: drive.channels.clone(),
            boards: drive.boards.clone(),
            switch_boxes: Vec::new(),
            circuits: Vec::new(),
            controller: ControllerUse {
                part: named(display.controller.as_ref().map(|part| &part.value.name)),
                chip: named(display.controller.as_ref().map(|part| &part.value.chip)),
                clock_hz: display.controller.as_ref().map_or(0, |part| part.value.clock_hz),
                pins: wiring.pins.clone(),
            },
            supply: power.supply.clone(),
            cables: wiring.cables.clone(),
            enclosures: Vec::new(),
            season: None,
            put_up: Vec::new(),
            trials: Vec::new(),
            signal_paths: Vec::new(),
            rig: Vec::new(),
            parts,
            stops: Vec::new(),
            findings,
            withheld,
            origins: Origins::default(),
        };
        plan.stops = stops::stops(&plan, display);
        plan
    }

    fn drive(&mut self, display: &Display, loads: &[drive::Load]) -> std::sync::Arc<drive::Drive> {
        let board = display.driver_board.as_ref().map(|board| &board.value);
        let input = drive::Input {
            loads,
            board: board.map_or("", |board| board.name.as_str()),
            outputs: board.map_or(8, |board| board.outputs),
            output_a: board.map_or(0.0, |board| board.output_current.get::<ampere>()),
            total_a: board.map_or(0.0, |board| board.total_current.get::<ampere>()),
            board_v: board.map_or(0.0, |board| board.voltage.get::<volt>()),
            board_source: board.map_or("", |board| board.source.as_str()),
            supply: display.supply.as_ref().map_or("", |supply| supply.value.name.as_str()),
            supply_v: supply_v(display),
        };
        self.memory.stage("drive", "channels", &input, drive::work)
    }

    fn wiring(
        &mut self,
        display: &Display,
        panels: &[Panel],
        channels: &[crate::Channel],
    ) -> std::sync::Arc<wiring::Wiring> {
        let lamps = panels.iter().map(|panel| panel.bunches.len()).sum::<usize>();
        let mut lamp = lamps..;
        let input = wiring::Input {
            panels: display
                .panels
                .iter()
                .zip(panels)
                .map(|(asked, panel)| wiring::PanelCable {
                    panel: panel.name.clone(),
                    length_mm: asked.cable.value.get::<millimeter>(),
                    channels: panel.bunches.iter().map(|bunch| bunch.channel).collect(),
                })
                .collect(),
            buttons: display
                .buttons
                .iter()
                .map(|button| wiring::ButtonCable {
                    button: button.name.clone(),
                    length_mm: button.cable.value.get::<millimeter>(),
                    lamp: if button.lamp { lamp.next() } else { None },
                })
                .collect(),
            channels,
            supply_v: supply_v(display),
            pins: display.controller.as_ref().map_or(&[], |controller| &controller.value.button_pins),
        };
        self.memory.stage("wiring", "cables", &input, wiring::work)
    }

    fn power(&mut self, display: &Display, drive: &drive::Drive) -> std::sync::Arc<power::Power> {
        let supply = display.supply.as_ref().map(|supply| &supply.value);
        let controller = display.controller.as_ref().map(|controller| &controller.value);
        let input = power::Input {
            part: supply.map_or("", |supply| supply.name.as_str()),
            voltage_v: supply_v(display),
            rated_a: supply.map_or(0.0, |supply| supply.current.get::<ampere>()),
            listed: supply.and_then(|supply| supply.listed.as_deref()),
            source: supply.map_or("", |supply| supply.source.as_str()),
            channels_a: drive.channels.iter().map(|channel| channel.current_a).sum(),
            controller: controller.map_or("", |controller| controller.name.as_str()),
            controller_a: controller.map_or(0.0, |controller| controller.current.get::<ampere>()),
        };
        self.memory.stage("power", "supply", &input, power::work)
    }
}

/// What is not given out because a check of it could not be made: something it would look at has faults.
fn unjudged(display: &Display) -> impl Iterator<Item = Sheet> {
    let sheets: [(&[&str], &[Sheet]); 3] = [
        (&["figure", "panel", "shelf", "display"], &[Sheet::Panel, Sheet::Threading, Sheet::Templates]),
        (&["span", "post", "object", "shelf", "display"], &[Sheet::Hanging, Sheet::PutUp]),
        (
            &[
                "figure",
                "object",
                "digits",
                "button",
                "circuit",
                "supply",
                "switch-box",
                "driver-board",
                "register-board",
                "controller",
                "shelf",
                "display",
                "rules",
            ],
            &[Sheet::Wiring, Sheet::Firmware],
        ),
    ];
    let troubled = |keys: &[&str]| keys.iter().any(|key| !display.trouble_with(key).is_empty());
    let unjudged: Vec<Sheet> = sheets
        .iter()
        .filter(|(keys, _)| troubled(keys))
        .flat_map(|(_, sheets)| sheets.iter().copied())
        .collect();
    unjudged.into_iter()
}

/// A name, or none where it is not known.
fn named(name: Option<&String>) -> String {
    name.cloned().unwrap_or_default()
}

fn have(display: &Display) -> BTreeMap<String, u32> {
    let strands = display.figures.iter().flat_map(|figure| &figure.strands);
    strands.map(|strand| (strand.value.name.clone(), strand.value.have)).collect()
}
