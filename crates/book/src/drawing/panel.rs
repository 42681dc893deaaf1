//! A panel with all its numbered holes, from the front or from the back, over as many pages as large numbers need.

use super::YARD_PT;
use super::window::{Bounds, Enough, Labelling, Part, Window, fewest_parts, index_map};
use crate::labels::{Wanted, number_ems};
use crate::plate::{Plate, pen};
use crate::say;
use plan::{Hole, Panel};
use quantity::Units;
use serde_json::{Value, json};

/// From which side a panel is seen.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    /// As viewers see it.
    Front,
    /// As the one who strings it sees it.
    Back,
}

/// Numbers run along the lines, so that one left out is told by its neighbours.
const ENOUGH: Enough = Enough { one_in: 10, pages: 6 };

/// Room that dimensions take at the right and below.
const DIMENSIONS_MM: f64 = 15.0;

/// The sheet with room for what stands at its edge.
fn whole(panel: &Panel) -> Bounds {
    [0.0, 0.0, panel.width_mm, panel.height_mm]
}

/// The panel's pages: one drawing each, and a map where there are several.
pub(crate) fn panel_parts(panel: &Panel, side: Side, room: [f64; 2], units: Units) -> Vec<Value> {
    let mirrored = side == Side::Back;
    let room = [room[0] - DIMENSIONS_MM, room[1] - DIMENSIONS_MM];
    let dots: Vec<[f64; 2]> = panel.holes.iter().map(|hole| [hole.x_mm, hole.y_mm]).collect();
    let parts = fewest_parts(whole(panel), room, mirrored, lap(panel), &dots, ENOUGH, &|window: &Window| {
        labelling(panel, window, |_| true)
    });
    let shown: Vec<Bounds> = parts.iter().map(|part| part.window.bounds()).collect();
    parts
        .iter()
        .enumerate()
        .map(|(k, part)| {
            json!({
                "drawing": drawing(panel, part, side, units, parts.len() == 1),
                "scale": part.window.words(),
                "map": (parts.len() > 1).then(|| index_map(whole(panel), &dots, &shown, k, mirrored, [30.0, 40.0])),
            })
        })
        .collect()
}

/// Pages lie over each other by a little more than a hole's spacing.
pub(super) fn lap(panel: &Panel) -> f64 {
    panel.bunches.iter().map(|bunch| bunch.spacing_mm).fold(0.0, f64::max).clamp(15.0, 60.0) * 0.75
}

/// The numbers wanted in a window.
pub(super) fn labelling(panel: &Panel, window: &Window, wants: impl Fn(&Hole) -> bool) -> Labelling {
    let all: Vec<[f64; 2]> = panel.holes.iter().map(|hole| window.on_paper([hole.x_mm, hole.y_mm])).collect();
    let wanted = panel
        .holes
        .iter()
        .filter(|hole| wants(hole) && window.shows([hole.x_mm, hole.y_mm]))
        .map(|hole| wanted(hole, panel, &all))
        .collect();
    let holes = panel
        .holes
        .iter()
        .zip(&all)
        .filter(|(hole, _)| window.shows([hole.x_mm, hole.y_mm]))
        .map(|(_, at)| *at)
        .collect();
    Labelling { wanted, holes, radius: radius(panel, window), lines: Vec::new() }
}

/// A hole on paper: never so small that a printer loses it.
pub(super) fn radius(panel: &Panel, window: &Window) -> f64 {
    (panel.hole_mm / 2.0 * window.scale).max(0.55)
}

/// A hole's wish for its number; its neighbours are those of its own strand.
fn wanted(hole: &Hole, panel: &Panel, on_paper: &[[f64; 2]]) -> Wanted {
    let strand = panel.strands.iter().find(|run| (run.first_hole..=run.last_hole).contains(&hole.number));
    let neighbour = |number: usize| {
        let inside = strand.is_some_and(|run| (run.first_hole..=run.last_hole).contains(&number));
        if inside { number.checked_sub(1).and_then(|k| on_paper.get(k)).copied() } else { None }
    };
    let at = hole.number.checked_sub(1).and_then(|k| on_paper.get(k)).copied().unwrap_or([0.0, 0.0]);
    let before = hole.number.checked_sub(1).and_then(neighbour);
    Wanted { at, ems: number_ems(hole.number), beside: [before, neighbour(hole.number + 1)] }
}

/// The sheet's edges and joints as far as a window shows them.
pub(super) fn sheet(panel: &Panel, window: &Window, plate: &mut Plate) {
    let (w, h) = (panel.width_mm, panel.height_mm);
    let corners = [[0.0, 0.0], [w, 0.0], [w, h], [0.0, h], [0.0, 0.0]];
    for edge in corners.windows(2) {
        if let Some(line) = window.clipped(edge[0], edge[1]) {
            plate.line(&line, pen(0.4));
        }
    }
    for piece in &panel.pieces {
        let (left, right) = (piece.x_mm, piece.x_mm + piece.width_mm);
        let (low, high) = (piece.y_mm, piece.y_mm + piece.height_mm);
        let joints = [(low > 1.0, [left, low], [right, low]), (left > 1.0, [left, low], [left, high])];
        for (_, from, to) in joints.into_iter().filter(|(joint, _, _)| *joint) {
            if let Some(line) = window.clipped(from, to) {
                plate.line(&line, pen(0.4).dashed());
            }
        }
    }
}

fn drawing(panel: &Panel, part: &Part, side: Side, units: Units, alone: bool) -> Value {
    let window = &part.window;
    let [w, h] = window.size();
    let words = if side == Side::Back { "BACK" } else { "front" };
    let mut plate = Plate::new(
        [w + DIMENSIONS_MM, h + DIMENSIONS_MM],
        format!("Panel {} from the {words} with numbered holes", panel.name),
    );
    sheet(panel, window, &mut plate);
    if !alone {
        plate.rectangle([0.0, 0.0], [w, h], pen(0.2).faint());
    }
    plate.rounds(&part.labelling.holes, part.labelling.radius, "white", Some(pen(0.3)));
    let shown = panel.holes.iter().filter(|hole| window.shows([hole.x_mm, hole.y_mm]));
    for (k, hole) in shown.enumerate() {
        let tenth = hole.number.is_multiple_of(10);
        if tenth || part.clear(k) {
            part.letter(&mut plate, k, &hole.number.to_string(), tenth);
        }
    }
    if alone {
        plate.across(h + 8.0, [0.0, w], &say::length(panel.width_mm, units), YARD_PT);
        plate.upright(w + 8.0, [0.0, h], &say::length(panel.height_mm, units), YARD_PT);
    }
    plate.done()
}
