//! The stages in order, and what they come to.

use crate::memory::{Memory, Run};
use crate::note::{Also, finding};
use crate::stage::{bunches, buy, drive, flash, power, strands, wiring};
use crate::{Bunch, ControllerUse, LitBy, Origins, Panel, Piece, Place, Plan, Pose, stops};
use display::Display;
use finding::{Finding, Severity, Sheet};
use std::collections::BTreeMap;
use uom::si::angle::minute;
use uom::si::electric_current::ampere;
use uom::si::electric_potential::volt;
use uom::si::f64::{Angle, Length};
use uom::si::length::millimeter;

/// Current of a button's lamp, 12 V LED. Common practice; the label decides.
const BUTTON_LAMP_A: f64 = 0.02;

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
        let mut panels: Vec<Panel> =
            display.panels.iter().map(|panel| self.panel(display, panel, &mut findings)).collect();
        let loads = loads(display, &panels);
        let drive = self.drive(display, &loads);
        for (channel, bunch) in panels.iter_mut().flat_map(|panel| &mut panel.bunches).enumerate() {
            bunch.channel = channel;
        }
        let wiring = self.wiring(display, &panels, &drive.channels);
        let power = self.power(display, &drive);
        let flash = self.memory.stage("flash", "rules", &display.form, flash::work);
        findings.extend(
            drive.findings.iter().chain(&wiring.findings).chain(&power.findings).chain(flash.iter()).cloned(),
        );
        findings.sort_by(|a, b| (a.severity, a.identity()).cmp(&(b.severity, b.identity())));
        let mut withheld: Vec<Sheet> =
            findings.iter().flat_map(|finding| finding.withholds.clone()).collect();
        withheld.sort_unstable();
        withheld.dedup();
        let parts = buy::work(&buy::Input {
            panels: &panels,
            boards: &drive.boards,
            cables: &wiring.cables,
            buttons: &wiring.buttons,
            supply: &display.supply.value.name,
            controller: &display.controller.value.name,
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
                part: display.controller.value.name.clone(),
                chip: display.controller.value.chip.clone(),
                clock_hz: display.controller.value.clock_hz,
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
        let states = display.form.machines.iter().map(|machine| machine.states.len()).sum();
        plan.stops = stops::stops(&plan, states, display.form.tick_ms);
        plan
    }

    fn panel(&mut self, display: &Display, panel: &display::Panel, findings: &mut Vec<Finding>) -> Panel {
        let figure = &display.figures[panel.figure];
        let kinds: Vec<strands::Kind> = figure.strands.iter().map(|strand| kind(&strand.value)).collect();
        let hole_mm = kinds.iter().map(|kind| kind.hole_mm).fold(0.0, f64::max);
        let seen = |distance: Length, minutes: f64| {
            reckoning::legible::size_seen(distance, Angle::new::<minute>(minutes)).get::<millimeter>()
        };
        let wished_mm = seen(display.farthest.value, reckoning::legible::LINE_MINUTES);
        let input = bunches::Input {
            poses: figure.drawing.poses.iter().map(|pose| pose.lines.clone()).collect(),
            height_mm: figure.height.value.get::<millimeter>(),
            // The nearest viewer sees one minute of arc; a drill cannot part lines a quarter of a hole apart.
            tolerance_mm: seen(display.nearest.value, 1.0).max(hole_mm / 4.0),
            shortest_mm: 2.0 * wished_mm,
        };
        let drawn = self.memory.stage("bunches", &panel.name, &input, bunches::work);
        let input = strands::Input {
            panel: &panel.name,
            bunches: &drawn,
            kinds: &kinds,
            wished_mm,
            farthest_mm: display.farthest.value.get::<millimeter>(),
            units: display.units,
        };
        let strung = self.memory.stage("strands", &panel.name, &input, strands::work);
        findings.extend(strung.findings.iter().cloned());
        judge_sheet(&panel.name, &figure.sheet.value, &drawn, findings);
        let pose_names: Vec<&str> = figure.drawing.poses.iter().map(|pose| pose.name.as_str()).collect();
        judge_poses(&panel.name, &pose_names, &drawn, findings);
        assemble(panel, figure, &drawn, &strung, hole_mm)
    }

    fn drive(&mut self, display: &Display, loads: &[drive::Load]) -> std::sync::Arc<drive::Drive> {
        let board = &display.driver_board.value;
        let input = drive::Input {
            loads,
            board: &board.name,
            outputs: board.outputs,
            output_a: board.output_current.get::<ampere>(),
            total_a: board.total_current.get::<ampere>(),
            board_v: board.voltage.get::<volt>(),
            board_source: &board.source,
            supply: &display.supply.value.name,
            supply_v: display.supply.value.voltage.get::<volt>(),
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
            supply_v: display.supply.value.voltage.get::<volt>(),
            pins: &display.controller.value.button_pins,
        };
        self.memory.stage("wiring", "cables", &input, wiring::work)
    }

    fn power(&mut self, display: &Display, drive: &drive::Drive) -> std::sync::Arc<power::Power> {
        let (supply, controller) = (&display.supply.value, &display.controller.value);
        let input = power::Input {
            part: &supply.name,
            voltage_v: supply.voltage.get::<volt>(),
            rated_a: supply.current.get::<ampere>(),
            listed: supply.listed.as_deref(),
            source: &supply.source,
            channels_a: drive.channels.iter().map(|channel| channel.current_a).sum(),
            controller: &controller.name,
            controller_a: controller.current.get::<ampere>(),
        };
        self.memory.stage("power", "supply", &input, power::work)
    }
}

fn kind(strand: &parts::Strand) -> strands::Kind {
    strands::Kind {
        part: strand.name.clone(),
        colour: strand.colour.clone(),
        lamps: strand.lamps,
        pitch_mm: strand.pitch.get::<millimeter>(),
        lead_mm: strand.lead.get::<millimeter>(),
        hole_mm: strand.hole.get::<millimeter>(),
    }
}

fn have(display: &Display) -> BTreeMap<String, u32> {
    let strands = display.figures.iter().flat_map(|figure| &figure.strands);
    strands.map(|strand| (strand.value.name.clone(), strand.value.have)).collect()
}

/// The panel as the plan tells it.
fn assemble(
    panel: &display::Panel,
    figure: &display::Figure,
    drawn: &bunches::Bunches,
    strung: &strands::Strung,
    hole_mm: f64,
) -> Panel {
    let poses = &figure.drawing.poses;
    let bunches: Vec<Bunch> = drawn
        .bunches
        .iter()
        .zip(&strung.spacing_mm)
        .map(|(bunch, spacing_mm)| Bunch {
            name: bunch_name(poses.len(), &bunch.poses, |pose| &poses[pose].name),
            poses: bunch.poses.clone(),
            lines_mm: bunch.lines.iter().map(|line| for_drawing(line)).collect(),
            length_mm: bunch.length_mm,
            spacing_mm: *spacing_mm,
            channel: 0,
        })
        .collect();
    Panel {
        name: panel.name.clone(),
        figure: figure.name.clone(),
        mirrored: false,
        twin_of: None,
        place: Place::default(),
        pieces: vec![Piece { x_mm: 0.0, y_mm: 0.0, width_mm: drawn.width_mm, height_mm: drawn.height_mm }],
        width_mm: drawn.width_mm,
        height_mm: drawn.height_mm,
        thickness_mm: figure.sheet.value.thickness.get::<millimeter>(),
        sheet: figure.sheet.value.name.clone(),
        hole_mm,
        poses: poses
            .iter()
            .enumerate()
            .map(|(index, pose)| Pose {
                name: pose.name.clone(),
                bunches: (0..bunches.len()).filter(|&bunch| bunches[bunch].poses.contains(&index)).collect(),
            })
            .collect(),
        bunches,
        holes: strung.holes.clone(),
        strands: strung.strands.clone(),
    }
}

/// A line with points no closer than a pen is wide, to the hundredth of a millimetre: for drawing, not for drilling.
fn for_drawing(line: &[kurbo::Point]) -> Vec<[f64; 2]> {
    const PEN_MM: f64 = 2.0;
    let hundredths = |value: f64| libm::round(value * 100.0) / 100.0;
    let mut kept: Vec<kurbo::Point> = Vec::new();
    for (index, point) in line.iter().enumerate() {
        let far = kept.last().is_none_or(|last| last.distance(*point) >= PEN_MM);
        if far || index + 1 == line.len() {
            kept.push(*point);
        }
    }
    kept.iter().map(|point| [hundredths(point.x), hundredths(point.y)]).collect()
}

fn bunch_name<'a>(all: usize, poses: &[usize], name: impl Fn(usize) -> &'a String) -> String {
    if poses.len() == all && all > 1 {
        return "always".to_owned();
    }
    poses.iter().map(|&pose| name(pose).as_str()).collect::<Vec<_>>().join(" + ")
}

/// What wants a channel: every bunch of every panel, then every button's lamp.
fn loads(display: &Display, panels: &[Panel]) -> Vec<drive::Load> {
    let mut loads = Vec::new();
    for (panel, asked) in panels.iter().zip(&display.panels) {
        let figure = display.form.figures.iter().position(|figure| figure.name == panel.name).unwrap_or(0);
        let strands = &display.figures[asked.figure].strands;
        for (index, bunch) in panel.bunches.iter().enumerate() {
            let runs: Vec<_> = panel.strands.iter().filter(|strand| strand.bunch == index).collect();
            let strand =
                runs.first().and_then(|run| strands.iter().find(|strand| strand.value.name == run.part));
            loads.push(drive::Load {
                name: format!("{} {}", panel.name, bunch.name),
                lit_by: LitBy::Poses { figure, poses: bunch.poses.clone() },
                part: strand.map(|strand| strand.value.name.clone()).unwrap_or_default(),
                copies: u32::try_from(runs.len()).unwrap_or(u32::MAX),
                each_a: strand.map_or(0.0, |strand| strand.value.current.get::<ampere>()),
                voltage_v: strand
                    .map_or(display.supply.value.voltage.get::<volt>(), |s| s.value.voltage.get::<volt>()),
            });
        }
    }
    for button in display.buttons.iter().filter(|button| button.lamp) {
        let spot = display.form.spots.iter().position(|spot| *spot == button.name).unwrap_or(0);
        loads.push(drive::Load {
            name: format!("lamp of {}", button.name),
            lit_by: LitBy::Spot { spot },
            part: "button lamp, 12 V LED".into(),
            copies: 1,
            each_a: BUTTON_LAMP_A,
            voltage_v: 12.0,
        });
    }
    loads
}

fn judge_sheet(panel: &str, sheet: &parts::SheetGood, drawn: &bunches::Bunches, findings: &mut Vec<Finding>) {
    if !sheet.wood_based {
        findings.push(
            finding(
                "drill/sheet-not-wood",
                Severity::Danger,
                "drill",
                &[panel, &sheet.name],
                format!(
                    "{} is not wood-based; LED strands are planned on wood-based sheets only",
                    sheet.name
                ),
            )
            .cure("Use hardboard or plywood", None)
            .withholds(&[Sheet::Panel, Sheet::Threading, Sheet::Templates]),
        );
    }
    let (width, height) = (sheet.width.get::<millimeter>(), sheet.height.get::<millimeter>());
    let fits = |w: f64, h: f64| drawn.width_mm <= w + 0.5 && drawn.height_mm <= h + 0.5;
    if !fits(width, height) && !fits(height, width) {
        findings.push(
            finding(
                "drill/sheet-too-small",
                Severity::Fault,
                "drill",
                &[panel, &sheet.name],
                format!(
                    "The panel needs {:.0} x {:.0} mm; one {} is {width:.0} x {height:.0} mm",
                    drawn.width_mm, drawn.height_mm, sheet.name
                ),
            )
            .cure("Make the figure smaller or take a larger sheet", None),
        );
    }
}

/// A pose that lights exactly what another lights cannot be told from it.
fn judge_poses(panel: &str, names: &[&str], drawn: &bunches::Bunches, findings: &mut Vec<Finding>) {
    let lit = |pose: usize| -> Vec<bool> {
        drawn.bunches.iter().map(|bunch| bunch.poses.contains(&pose)).collect()
    };
    for second in 1..names.len() {
        if let Some(first) = (0..second).find(|&first| lit(first) == lit(second)) {
            findings.push(
                finding(
                    "draw/poses-alike",
                    Severity::Fault,
                    "draw",
                    &[panel, names[first], names[second]],
                    format!("Poses {} and {} light the same lines", names[first], names[second]),
                )
                .cure("Draw them further apart, or leave one out", None),
            );
        }
    }
}
