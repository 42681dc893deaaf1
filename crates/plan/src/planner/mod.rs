//! The stages in order, and what they come to.

mod electrics;
mod flashing;
mod gather;
mod in_reach;
mod judge;
mod loads;
mod origins;
mod panels;
mod yard;

use crate::memory::{Memory, Run};
use crate::stage::{buy, circuits, digits, drive, flash, power, put_up, rig, shelter, trials, wiring};
use crate::{ControllerUse, DigitsUse, Panel, Plan, stops};
use display::Display;
use electrics::Lights;
use finding::{Finding, Sheet};
use std::collections::BTreeMap;
use std::sync::Arc;
use uom::si::length::millimeter;
use yard::Yard;

/// What the electrical stages come to.
struct Electrics {
    designs: Vec<Arc<digits::Design>>,
    drive: Arc<drive::Drive>,
    power: Arc<power::Power>,
    circuits: Arc<circuits::Circuits>,
    wiring: Arc<wiring::Wiring>,
    shelter: Arc<shelter::Shelter>,
}

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
        let mut yard = self.yard(display, &panels);
        let designs = self.digits(display);
        let loads = loads::loads(display, &panels, &yard.spans, &designs);
        let drive = self.drive(display, &loads);
        let digits = loads::give_channels(display, &mut panels, &mut yard.spans, &designs);
        let power = self.power(display, &drive);
        let circuits = self.circuits(display, &drive, &power);
        let lights = Lights { panels: &panels, spans: &yard.spans, digits: &digits };
        let wiring = self.wiring(display, &lights, &drive);
        let shelter = self.shelter(display, &drive, &circuits, &wiring);
        let electrics = Electrics { designs, drive, power, circuits, wiring, shelter };
        let watts =
            electrics.drive.channels.iter().map(|channel| channel.current_a * channel.voltage_v).sum();
        self.season(display, watts, &mut yard);
        self.sight(display, &panels, &mut yard);
        self.wear(display, &electrics.drive, &mut yard);
        let flash = self.memory.stage("flash", "rules", &display.form, flash::work);
        findings.append(&mut yard.findings);
        findings.extend(flash.iter().cloned());
        let together = self.flash_together(display, &panels, &yard.spans, &digits);
        findings.extend(together.finding);
        electrics.tell(display, &mut findings);
        findings.sort_by(|a, b| (a.severity, a.identity()).cmp(&(b.severity, b.identity())));
        findings.dedup_by(|a, b| a.identity() == b.identity());
        let findings = gather::gather(findings);
        let mut plan = assemble(display, panels, yard, digits, &electrics, findings);
        plan.flashing = together.fields;
        let in_reach = in_reach::judge(&plan);
        plan.withheld.extend(in_reach.iter().flat_map(|finding| finding.withholds.clone()));
        plan.withheld.sort_unstable();
        plan.withheld.dedup();
        plan.findings.extend(in_reach);
        plan.findings.sort_by(|a, b| (a.severity, a.identity()).cmp(&(b.severity, b.identity())));
        plan.put_up = put_up::work(&plan);
        plan.trials = trials::work(&plan, display.form.settings.len());
        plan.rig = rig::work(&plan);
        plan.parts = parts_list(display, &plan, &electrics);
        plan.stops = stops::stops(&plan, display);
        let mut known = std::mem::take(&mut plan.origins);
        origins::note(&plan, display, &mut known);
        plan.origins = known;
        plan
    }
}

impl Electrics {
    /// What they found. Without a supply or a board, what is said of them would be about stand-ins.
    fn tell(&self, display: &Display, findings: &mut Vec<Finding>) {
        for design in &self.designs {
            findings.extend(design.findings.iter().cloned());
        }
        if display.supply.is_none() || display.driver_board.is_none() || display.controller.is_none() {
            return;
        }
        let all = [
            &self.drive.findings,
            &self.power.findings,
            &self.circuits.findings,
            &self.wiring.findings,
            &self.shelter.findings,
        ];
        findings.extend(all.into_iter().flatten().cloned());
    }
}

/// Everything that is worked out, in one piece.
fn assemble(
    display: &Display,
    panels: Vec<Panel>,
    yard: Yard,
    digits: Vec<DigitsUse>,
    electrics: &Electrics,
    findings: Vec<Finding>,
) -> Plan {
    let mut withheld: Vec<Sheet> = findings.iter().flat_map(|finding| finding.withholds.clone()).collect();
    withheld.extend(unjudged(display));
    withheld.sort_unstable();
    withheld.dedup();
    let controller = display.controller.as_ref().map(|part| &part.value);
    let mut origins = yard.origins;
    for part in [
        &electrics.drive.origins,
        &electrics.power.origins,
        &electrics.circuits.origins,
        &electrics.wiring.origins,
    ] {
        origins.adopt("", part);
    }
    for (index, design) in electrics.designs.iter().enumerate() {
        origins.adopt(&format!("/digits/{index}"), &design.origins);
    }
    Plan {
        format: "lampwright-plan",
        version: 1,
        title: display.title.clone(),
        units: display.units,
        nearest_mm: display.nearest.value.get::<millimeter>(),
        farthest_mm: display.farthest.value.get::<millimeter>(),
        panels,
        stands: yard.stands,
        posts: yard.posts,
        spans: yard.spans,
        digits,
        buttons: electrics.wiring.buttons.clone(),
        channels: electrics.drive.channels.clone(),
        boards: electrics.drive.boards.clone(),
        switch_boxes: electrics.drive.switch_boxes.clone(),
        circuits: electrics.circuits.circuits.clone(),
        controller: ControllerUse {
            part: controller.map(|part| part.name.clone()).unwrap_or_default(),
            chip: controller.map(|part| part.chip.clone()).unwrap_or_default(),
            clock_hz: controller.map_or(0, |part| part.clock_hz),
            pins: electrics.wiring.pins.clone(),
        },
        watch: electrics.wiring.watch.clone(),
        supply: electrics.power.supply.clone(),
        cables: electrics.wiring.cables.clone(),
        enclosures: electrics.shelter.enclosures.clone(),
        season: yard.season,
        flashing: Vec::new(),
        put_up: Vec::new(),
        trials: Vec::new(),
        signal_paths: electrics.wiring.signal_paths.clone(),
        rig: Vec::new(),
        parts: Vec::new(),
        stops: Vec::new(),
        findings,
        withheld,
        origins,
    }
}

fn parts_list(display: &Display, plan: &Plan, electrics: &Electrics) -> Vec<crate::PartLine> {
    let button = display.buttons.iter().find(|button| button.lamp).and_then(|button| button.part.as_ref());
    let also = buy::Also {
        have: have(display),
        resistors: electrics.designs.iter().map(|design| design.resistor.as_str()).collect(),
        button: button.map_or("push-button", |part| part.value.name.as_str()),
        shelf: &display.shelf,
        own: display.first_boards.iter().map(|board| board.value.name.as_str()).collect(),
        hanger: if display.shelf.ropes.contains_key(yard::HANGER) { yard::HANGER } else { "" },
        outlets_mm: outlets_mm(display, plan),
    };
    buy::work(plan, &also)
}

/// Channels on outlets with the way to the panel they light, as written for its cable.
fn outlets_mm(display: &Display, plan: &Plan) -> Vec<(usize, f64)> {
    let bunches = plan.panels.iter().flat_map(|panel| {
        let asked = display.panels.iter().find(|asked| asked.name == panel.name);
        let length_mm = asked.map_or(0.0, |asked| asked.cable.value.get::<millimeter>());
        panel.bunches.iter().map(move |bunch| (bunch.channel, length_mm))
    });
    let switched =
        |channel: usize| plan.channels.get(channel).is_some_and(|channel| channel.outlet.is_some());
    bunches.filter(|(channel, _)| switched(*channel)).collect()
}

/// What is not given out because a check of it could not be made: something that its stop looks at has faults.
fn unjudged(display: &Display) -> impl Iterator<Item = Sheet> {
    const AT: [(Sheet, &[&str]); 7] = [
        (Sheet::Panel, &["drill"]),
        (Sheet::Threading, &["string"]),
        (Sheet::Templates, &["drill"]),
        (Sheet::Hanging, &["hang"]),
        (Sheet::PutUp, &["put up"]),
        // What is lit together, and so what a wire carries, follows from the rules.
        (Sheet::Wiring, &["wire", "idea"]),
        (Sheet::Firmware, &["wire", "program"]),
    ];
    AT.into_iter()
        .filter(|(_, names)| names.iter().any(|name| !stops::troubles(display, name).is_empty()))
        .map(|(sheet, _)| sheet)
}

/// How many of each part are on the shelf.
fn have(display: &Display) -> BTreeMap<&str, u32> {
    display.shelf.counted().collect()
}
