//! 1:1 templates: one long page for roll paper, and tiles for letter and A4.

use crate::tiles::{A4, LETTER, MARGIN_MM, OVERLAP_MM, Paper, Tiling, label};
use crate::{BookFault, labels, measure, press};
use plan::{Panel, Plan};
use quantity::Units;
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// Paper left around the panel on the roll.
const ROLL_MARGIN_MM: f64 = 30.0;

/// Type of the numbers, in points and in millimetres.
const NUMBER_PT: f64 = 16.0;
const NUMBER_MM: f64 = NUMBER_PT * 25.4 / 72.0;

/// Room a tile's label takes.
const LABEL_MM: [f64; 2] = [112.0, 27.0];

/// Adds the templates of a panel.
pub(crate) fn add(
    files: &mut BTreeMap<String, Vec<u8>>,
    plan: &Plan,
    panel: &Panel,
    name: &str,
) -> Result<(), BookFault> {
    let numbers = numbers(panel);
    let roll = roll(plan, panel, &numbers);
    files.insert(
        format!("templates/{name}-roll.pdf"),
        press::print("roll.typ", &roll, &format!("{name}/roll"))?,
    );
    for paper in [LETTER, A4] {
        let view = tiled(plan, panel, &numbers, paper);
        let ident = format!("{name}/{}", paper.name);
        files.insert(
            format!("templates/{name}-{}.pdf", paper.name),
            press::print("tiles.typ", &view, &ident)?,
        );
    }
    Ok(())
}

/// Where the numbers stand, on the panel with y down from its top edge.
fn numbers(panel: &Panel) -> Vec<[f64; 2]> {
    let holes: Vec<[f64; 2]> =
        panel.holes.iter().map(|hole| [hole.x_mm, panel.height_mm - hole.y_mm]).collect();
    let neighbour = |k: Option<usize>| k.and_then(|k| holes.get(k)).copied();
    let wanted: Vec<labels::Wanted> = panel
        .holes
        .iter()
        .enumerate()
        .map(|(k, hole)| labels::Wanted {
            at: holes[k],
            ems: labels::number_ems(hole.number),
            beside: [neighbour(k.checked_sub(1)), neighbour(Some(k + 1))],
        })
        .collect();
    let around = labels::Surroundings {
        holes: &holes,
        radius: panel.hole_mm / 2.0,
        lines: &[],
        size: [panel.width_mm, panel.height_mm],
        type_mm: NUMBER_MM,
    };
    labels::place(&wanted, &around).centres
}

/// What both kinds of template say about the panel.
fn heading(plan: &Plan, panel: &Panel) -> Value {
    json!({
        "title": plan.title, "panel": panel.name,
        "size": format!("{} wide, {} high", measure::length(panel.width_mm, plan.units), measure::length(panel.height_mm, plan.units)),
        "hole": measure::length(panel.hole_mm, plan.units),
        "hole_mm": format!("{:.1} mm", panel.hole_mm),
        "holes": panel.holes.len(),
    })
}

/// A hole for the typesetter, in the coordinates of `origin` (y down).
fn hole(panel: &Panel, k: usize, number_at: [f64; 2], origin: [f64; 2]) -> Value {
    let hole = &panel.holes[k];
    json!({
        "at": [hole.x_mm - origin[0], panel.height_mm - hole.y_mm - origin[1]],
        "n": hole.number.to_string(),
        "label": [number_at[0] - origin[0], number_at[1] - origin[1]],
        "disc": hole.number.is_multiple_of(10),
    })
}

fn roll(plan: &Plan, panel: &Panel, numbers: &[[f64; 2]]) -> Value {
    let holes: Vec<Value> =
        numbers.iter().enumerate().map(|(k, at)| hole(panel, k, *at, [0.0, 0.0])).collect();
    json!({
        "heading": heading(plan, panel),
        "margin": ROLL_MARGIN_MM, "width": panel.width_mm, "height": panel.height_mm,
        "radius": panel.hole_mm / 2.0, "type_pt": NUMBER_PT, "holes": holes,
    })
}

fn tiled(plan: &Plan, panel: &Panel, numbers: &[[f64; 2]], paper: Paper) -> Value {
    let tiling = Tiling::new(panel.width_mm, panel.height_mm, paper);
    let mut tiles = Vec::new();
    for row in 0..tiling.rows {
        for column in 0..tiling.columns {
            tiles.push(tile(panel, numbers, &tiling, row, column));
        }
    }
    let inches = plan.units == Units::Inches;
    json!({
        "heading": heading(plan, panel),
        "paper": { "shown": paper.shown, "width": paper.width_mm, "height": paper.height_mm },
        "margin": MARGIN_MM, "overlap": OVERLAP_MM,
        "usable": [tiling.usable_width_mm, tiling.usable_height_mm],
        "columns": tiling.columns, "rows": tiling.rows,
        "panel": [panel.width_mm, panel.height_mm],
        "radius": panel.hole_mm / 2.0, "type_pt": NUMBER_PT,
        "bar": if inches { json!({ "mm": 101.6, "shown": "4 in" }) } else { json!({ "mm": 100.0, "shown": "100 mm" }) },
        "label_size": LABEL_MM,
        "all_holes": panel.holes.iter().map(|hole| [hole.x_mm, panel.height_mm - hole.y_mm]).collect::<Vec<_>>(),
        "tiles": tiles,
    })
}

/// One tile: what lies on it, in its own coordinates (y down from the top of the printed area).
fn tile(panel: &Panel, numbers: &[[f64; 2]], tiling: &Tiling, row: u32, column: u32) -> Value {
    let (left, bottom) = (tiling.left_mm(column), tiling.bottom_mm(row));
    let (width, height) = (tiling.usable_width_mm, tiling.usable_height_mm);
    let origin = [left, panel.height_mm - bottom - height];
    let reach = panel.hole_mm / 2.0 + 4.0 * NUMBER_MM;
    let mut holes = Vec::new();
    let mut taken = Vec::new();
    for (k, hole_here) in panel.holes.iter().enumerate() {
        let at = [hole_here.x_mm - origin[0], panel.height_mm - hole_here.y_mm - origin[1]];
        let near = at[0] > -reach && at[0] < width + reach && at[1] > -reach && at[1] < height + reach;
        if near {
            holes.push(hole(panel, k, numbers[k], origin));
            taken.push(at);
            taken.push([numbers[k][0] - origin[0], numbers[k][1] - origin[1]]);
        }
    }
    let on_it = panel.holes.iter().filter(|hole| {
        hole.x_mm >= left && hole.x_mm <= left + width && hole.y_mm >= bottom && hole.y_mm <= bottom + height
    });
    json!({
        "name": label(row, column), "row": row, "column": column,
        "left": format!("{left:.2}"), "bottom": format!("{bottom:.2}"),
        "origin": origin, "holes": holes, "count": on_it.count(),
        "label_at": freest(&taken, [width, height], panel.hole_mm / 2.0 + NUMBER_MM * 0.6),
    })
}

/// The place for a tile's label that covers fewest holes and numbers.
fn freest(taken: &[[f64; 2]], size: [f64; 2], clear: f64) -> [f64; 2] {
    let edge = OVERLAP_MM + 5.0;
    let spots = 8;
    let mut best = ([edge, edge], usize::MAX);
    for down in 0..=spots {
        for across in 0..=2 {
            let x = edge + (size[0] - LABEL_MM[0] - 2.0 * edge) * f64::from(across) / 2.0;
            let y = edge + (size[1] - LABEL_MM[1] - 2.0 * edge) * f64::from(down) / f64::from(spots);
            let covered = taken
                .iter()
                .filter(|at| {
                    at[0] > x - clear
                        && at[0] < x + LABEL_MM[0] + clear
                        && at[1] > y - clear
                        && at[1] < y + LABEL_MM[1] + clear
                })
                .count();
            if covered < best.1 {
                best = ([x, y], covered);
            }
        }
    }
    best.0
}
