//! Panels: bunches, holes and threading of every figure, and its panels, each drilled alike or turned over.

use super::Planner;
use super::judge::{judge_poses, judge_sheet};
use crate::stage::{bunches, sheets, strands};
use crate::{Bunch, Hole, Panel, Place, Pose};
use display::Display;
use finding::Finding;
use std::sync::Arc;
use uom::si::angle::minute;
use uom::si::f64::{Angle, Length};
use uom::si::length::millimeter;

/// A panel that does not say where it stands stands beside the one before it, this far away.
pub(super) const APART_MM: f64 = 300.0;

/// What one figure comes to, whichever way round.
struct Drawn {
    bunches: Arc<bunches::Bunches>,
    sheets: Arc<sheets::Sheets>,
    strung: Arc<strands::Strung>,
    hole_mm: f64,
}

impl Planner {
    /// All panels. Panels of one figure are drilled from the same pattern: a mirrored one is its partner turned over.
    pub(super) fn panels(&mut self, display: &Display, findings: &mut Vec<Finding>) -> Vec<Panel> {
        let drawn: Vec<Drawn> = (0..display.figures.len())
            .map(|figure| {
                let drawn = self.drawn(display, figure);
                let on: Vec<&str> = display
                    .panels
                    .iter()
                    .filter(|panel| panel.figure == figure)
                    .map(|panel| panel.name.as_str())
                    .collect();
                findings.extend(drawn.strung.findings.iter().map(|finding| concerning(finding, &on)));
                judge_figure(&on, &display.figures[figure], &drawn, display.units, findings);
                drawn
            })
            .collect();
        let mut beside = 0.0;
        let mut panels = Vec::new();
        for (index, asked) in display.panels.iter().enumerate() {
            let Some(drawn) = drawn.get(asked.figure) else { continue };
            let panel = assemble(display, index, drawn, beside);
            beside = panel.place.x_mm + panel.width_mm + APART_MM;
            panels.push(panel);
        }
        panels
    }

    /// One figure as drawn.
    fn drawn(&mut self, display: &Display, index: usize) -> Drawn {
        let figure = &display.figures[index];
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
        let drawn = self.memory.stage("bunches", &figure.name, &input, bunches::work);
        let sheet = figure.sheet.as_ref().map(|sheet| &sheet.value);
        let input = sheets::Input {
            bunches: &drawn,
            sheet_mm: sheet.map(|sheet| [sheet.width, sheet.height].map(|side| side.get::<millimeter>())),
            keep_mm: 2.0 * hole_mm,
        };
        let sheets = self.memory.stage("sheets", &figure.name, &input, sheets::work);
        let poses = &figure.drawing.poses;
        let names: Vec<String> = drawn
            .bunches
            .iter()
            .map(|bunch| bunch_name(poses.len(), &bunch.poses, |pose| &poses[pose].name))
            .collect();
        let ones = self.string(&figure.name, &drawn, &sheets, &kinds, wished_mm);
        let input = strands::Input {
            panel: &figure.name,
            bunches: &drawn,
            strung: ones.iter().map(|one| (**one).as_ref()).collect(),
            names: &names,
            joints: &sheets.joints,
            kinds: &kinds,
            wished_mm,
            farthest_mm: display.farthest.value.get::<millimeter>(),
            units: display.units,
        };
        let strung = self.memory.stage("strands", &figure.name, &input, strands::work);
        Drawn { bunches: drawn, sheets, strung, hole_mm }
    }

    /// Each bunch of a figure strung, with its holes clear of those before it.
    fn string(
        &mut self,
        figure: &str,
        drawn: &bunches::Bunches,
        sheets: &sheets::Sheets,
        kinds: &[strands::Kind],
        wished_mm: f64,
    ) -> Vec<Arc<Option<strands::one::One>>> {
        let mut taken = Vec::new();
        let mut ones = Vec::new();
        for (number, lines) in drawn.bunches.iter().enumerate() {
            let input = strands::one::Input {
                width_mm: drawn.width_mm,
                lines,
                taken: &taken,
                joints: &sheets.joints,
                kinds,
                wished_mm,
            };
            let entity = format!("{figure}, bunch {}", number + 1);
            let one = self.memory.stage("string", &entity, &input, strands::one::work);
            taken.extend(one.iter().flat_map(|one| &one.points).copied());
            ones.push(one);
        }
        ones
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

/// A finding about a figure, told of the panels it stands on.
fn concerning(finding: &Finding, panels: &[&str]) -> Finding {
    let mut finding = finding.clone();
    if !finding.concerns.is_empty() {
        finding.concerns.splice(0..1, panels.iter().map(|name| (*name).to_owned()));
    }
    finding
}

fn judge_figure(
    on: &[&str],
    figure: &display::Figure,
    drawn: &Drawn,
    units: quantity::Units,
    findings: &mut Vec<Finding>,
) {
    let Some(first) = on.first() else { return };
    if let Some(sheet) = &figure.sheet {
        judge_sheet(on, &sheet.value, &drawn.sheets, units, findings);
    }
    let pose_names: Vec<&str> = figure.drawing.poses.iter().map(|pose| pose.name.as_str()).collect();
    judge_poses(first, &pose_names, &drawn.bunches, findings);
}

/// What panels are marked with: their first letter, or the whole name where two begin alike.
fn mark(display: &Display, index: usize) -> String {
    let first = |name: &str| name.chars().next().map(|letter| letter.to_ascii_uppercase());
    let own = &display.panels[index].name;
    let alike = display.panels.iter().filter(|panel| first(&panel.name) == first(own)).count();
    if alike == 1 { first(own).map(String::from).unwrap_or_default() } else { format!("{own}-") }
}

/// The partner of a mirrored panel: the panels of a figure that are not turned over and those that are go together in the
/// order in which they are written.
fn partner(display: &Display, index: usize) -> Option<usize> {
    let asked = &display.panels[index];
    let like = |mirrored: bool| {
        let panels = display.panels.iter().enumerate();
        panels.filter(move |(_, panel)| panel.figure == asked.figure && panel.mirrored.value == mirrored)
    };
    let place = like(true).position(|(other, _)| other == index)?;
    like(false).map(|(other, _)| other).nth(place)
}

/// The panel as the plan tells it.
fn assemble(display: &Display, index: usize, drawn: &Drawn, beside: f64) -> Panel {
    let asked = &display.panels[index];
    let figure = &display.figures[asked.figure];
    let poses = &figure.drawing.poses;
    let (bunches, strung) = (&drawn.bunches, &drawn.strung);
    let turned = Turned { over: asked.mirrored.value, width_mm: bunches.width_mm };
    let mark = mark(display, index);
    let bunches_told: Vec<Bunch> = bunches
        .bunches
        .iter()
        .zip(&strung.spacing_mm)
        .map(|(bunch, spacing_mm)| Bunch {
            name: bunch_name(poses.len(), &bunch.poses, |pose| &poses[pose].name),
            poses: bunch.poses.clone(),
            lines_mm: bunch.lines.iter().map(|line| turned.line(line)).collect(),
            length_mm: bunch.length_mm,
            spacing_mm: *spacing_mm,
            channel: 0,
        })
        .collect();
    Panel {
        name: asked.name.clone(),
        figure: figure.name.clone(),
        mirrored: asked.mirrored.value,
        twin_of: partner(display, index).map(|twin| display.panels[twin].name.clone()),
        place: place(asked, beside),
        pieces: drawn.sheets.pieces.iter().map(|piece| turned.piece(*piece)).collect(),
        width_mm: bunches.width_mm,
        height_mm: bunches.height_mm,
        thickness_mm: figure.sheet.as_ref().map_or(0.0, |sheet| sheet.value.thickness.get::<millimeter>()),
        sheet: figure.sheet.as_ref().map(|sheet| sheet.value.name.clone()).unwrap_or_default(),
        hole_mm: drawn.hole_mm,
        poses: poses
            .iter()
            .enumerate()
            .map(|(index, pose)| Pose {
                name: pose.name.clone(),
                bunches: (0..bunches_told.len())
                    .filter(|&bunch| bunches_told[bunch].poses.contains(&index))
                    .collect(),
            })
            .collect(),
        bunches: bunches_told,
        holes: strung.holes.iter().map(|hole| turned.hole(*hole)).collect(),
        strands: strung
            .strands
            .iter()
            .map(|strand| crate::StrandRun { label: format!("{mark}{}", strand.label), ..strand.clone() })
            .collect(),
    }
}

fn place(asked: &display::Panel, beside: f64) -> Place {
    let mm = |length: &finding::Known<Length>| length.value.get::<millimeter>();
    match &asked.stands {
        Some(stands) => {
            Place { x_mm: mm(&stands.at.x), y_mm: mm(&stands.lifted), depth_mm: mm(&stands.at.depth) }
        }
        None => Place { x_mm: beside, ..Place::default() },
    }
}

/// Turns things over, left for right, or leaves them.
#[derive(Clone, Copy)]
struct Turned {
    over: bool,
    width_mm: f64,
}

impl Turned {
    fn x(self, x: f64) -> f64 {
        if self.over { self.width_mm - x } else { x }
    }

    fn hole(self, hole: Hole) -> Hole {
        Hole { x_mm: self.x(hole.x_mm), ..hole }
    }

    fn piece(self, piece: crate::Piece) -> crate::Piece {
        let x_mm = if self.over { self.width_mm - piece.x_mm - piece.width_mm } else { piece.x_mm };
        crate::Piece { x_mm, ..piece }
    }

    /// A line with points no closer than a pen is wide, to the hundredth of a millimetre: for drawing, not for drilling.
    fn line(self, line: &[kurbo::Point]) -> Vec<[f64; 2]> {
        const PEN_MM: f64 = 2.0;
        let hundredths = |value: f64| libm::round(value * 100.0) / 100.0;
        let mut kept: Vec<kurbo::Point> = Vec::new();
        for (index, point) in line.iter().enumerate() {
            let far = kept.last().is_none_or(|last| last.distance(*point) >= PEN_MM);
            if far || index + 1 == line.len() {
                kept.push(*point);
            }
        }
        kept.iter().map(|point| [hundredths(self.x(point.x)), hundredths(point.y)]).collect()
    }
}

fn bunch_name<'a>(all: usize, poses: &[usize], name: impl Fn(usize) -> &'a String) -> String {
    if poses.len() == all && all > 1 {
        return "always".to_owned();
    }
    poses.iter().map(|&pose| name(pose).as_str()).collect::<Vec<_>>().join(" + ")
}
