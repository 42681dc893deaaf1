//! The stages in order, and what they come to.

mod electric;
mod judge;
mod loads;
mod panels;

use crate::memory::{Memory, Run};
use crate::stage::{buy, flash};
use crate::{ControllerUse, Origins, Plan, Span, stops};
use display::Display;
use finding::Sheet;
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
        let mut spans: Vec<Span> = Vec::new();
        let electric = self.electric(display, &mut panels, &mut spans);
        let flash = self.memory.stage("flash", "rules", &display.form, flash::work);
        findings.extend(flash.iter().cloned());
        // Without a supply or a board, what is said of them would be about stand-ins.
        if display.supply.is_some() && display.driver_board.is_some() {
            findings.extend(electric.findings().cloned());
        }
        findings.sort_by(|a, b| (a.severity, a.identity()).cmp(&(b.severity, b.identity())));
        let mut withheld: Vec<Sheet> =
            findings.iter().flat_map(|finding| finding.withholds.clone()).collect();
        withheld.extend(unjudged(display));
        withheld.sort_unstable();
        withheld.dedup();
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
            spans,
            digits: electric.digits,
            buttons: electric.wiring.buttons.clone(),
            channels: electric.drive.channels.clone(),
            boards: electric.drive.boards.clone(),
            switch_boxes: electric.drive.switch_boxes.clone(),
            circuits: electric.circuits.circuits.clone(),
            controller: ControllerUse {
                part: named(display.controller.as_ref().map(|part| &part.value.name)),
                chip: named(display.controller.as_ref().map(|part| &part.value.chip)),
                clock_hz: display.controller.as_ref().map_or(0, |part| part.value.clock_hz),
                pins: electric.wiring.pins.clone(),
            },
            supply: electric.power.supply.clone(),
            cables: electric.wiring.cables.clone(),
            enclosures: electric.shelter.enclosures.clone(),
            season: None,
            put_up: Vec::new(),
            trials: Vec::new(),
            signal_paths: electric.wiring.signal_paths.clone(),
            rig: Vec::new(),
            parts: Vec::new(),
            stops: Vec::new(),
            findings,
            withheld,
            origins: Origins::default(),
        };
        plan.parts = buy::work(
            &plan,
            &buy::Also {
                have: electric::have(display),
                resistors: electric.resistors.iter().map(String::as_str).collect(),
                button: loads::LIT_BUTTON,
            },
        );
        plan.stops = stops::stops(&plan, display);
        plan
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
