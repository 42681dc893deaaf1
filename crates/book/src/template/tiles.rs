//! A template on tiles of office paper: what lies on each, crosses on every joint, bars both ways.

use super::paper::{MARGIN_MM, OVERLAP_MM, Paper, Tiling, label};
use super::{bar, bar_across, bar_up, checks, heading, holes, joints, letter};
use crate::plate::{Plate, Word, pen};
use plan::{Panel, Plan};
use serde_json::{Value, json};

/// Room a tile's label takes.
const LABEL_MM: [f64; 2] = [108.0, 15.0];

/// Half a registration cross.
const CROSS_MM: f64 = 4.0;

/// A panel on one kind of paper.
pub(super) struct Tiles<'a> {
    pub(super) plan: &'a Plan,
    pub(super) panel: &'a Panel,
    /// Where the numbers stand, y down from the top edge.
    pub(super) numbers: &'a [[f64; 2]],
    pub(super) paper: Paper,
    /// Size of the numbers.
    pub(super) pt: f64,
}

impl Tiles<'_> {
    /// What the typesetter reads.
    pub(super) fn view(&self) -> Value {
        let tiling = Tiling::new(self.panel.width_mm, self.panel.height_mm, self.paper);
        let each = (0..tiling.rows).flat_map(|row| (0..tiling.columns).map(move |column| (row, column)));
        let tiles: Vec<Value> = each.map(|(row, column)| self.tile(&tiling, row, column)).collect();
        let bars = self.bars([tiling.usable_width_mm, tiling.usable_height_mm]);
        json!({
            "heading": heading(self.plan, self.panel), "checks": checks(self.plan, self.panel),
            "paper": { "shown": self.paper.shown, "width": self.paper.width_mm, "height": self.paper.height_mm },
            "margin": MARGIN_MM, "columns": tiling.columns, "rows": tiling.rows,
            "label_size": LABEL_MM, "map": self.map(&tiling), "tiles": tiles,
            "bars": [bars.0.1, bars.1.1],
        })
    }

    /// The upper left corner of a tile's printed area, on the panel with y down from its top edge.
    fn origin(&self, tiling: &Tiling, row: u32, column: u32) -> [f64; 2] {
        [tiling.left_mm(column), self.panel.height_mm - tiling.bottom_mm(row) - tiling.usable_height_mm]
    }

    /// Holes whose centre lies on a tile.
    fn count(&self, origin: [f64; 2], size: [f64; 2]) -> usize {
        let on = |hole: &&plan::Hole| {
            let at = [hole.x_mm - origin[0], self.panel.height_mm - hole.y_mm - origin[1]];
            at[0] >= 0.0 && at[0] <= size[0] && at[1] >= 0.0 && at[1] <= size[1]
        };
        self.panel.holes.iter().filter(on).count()
    }

    /// The part of the panel near a tile.
    fn near(&self, origin: [f64; 2], size: [f64; 2]) -> (Panel, Vec<[f64; 2]>) {
        let reach = self.panel.hole_mm / 2.0 + 1.5 * self.pt;
        let inside = |at: [f64; 2]| {
            (0..2)
                .all(|axis| at[axis] - origin[axis] > -reach && at[axis] - origin[axis] < size[axis] + reach)
        };
        let kept = self
            .panel
            .holes
            .iter()
            .zip(self.numbers)
            .filter(|(hole, at)| inside([hole.x_mm, self.panel.height_mm - hole.y_mm]) || inside(**at));
        let (holes, numbers): (Vec<plan::Hole>, Vec<[f64; 2]>) = kept.map(|(hole, at)| (*hole, *at)).unzip();
        (Panel { holes, bunches: Vec::new(), strands: Vec::new(), ..self.panel.clone() }, numbers)
    }

    /// One tile.
    fn tile(&self, tiling: &Tiling, row: u32, column: u32) -> Value {
        let size = [tiling.usable_width_mm, tiling.usable_height_mm];
        let origin = self.origin(tiling, row, column);
        let name = label(row, column);
        let count = self.count(origin, size);
        let mut plate = Plate::new(size, format!("Tile {name} with {count} holes"));
        let at = |[x, y]: [f64; 2]| [x - origin[0], y - origin[1]];
        let (near, numbers) = self.near(origin, size);
        plate.rectangle(at([0.0, 0.0]), [self.panel.width_mm, self.panel.height_mm], pen(0.4));
        joints(&mut plate, self.panel, &at);
        holes(&mut plate, &near, &at, 1.0, 0.15);
        letter(&mut plate, &near, &numbers, &at, self.pt);
        self.marks(&mut plate, size);
        let mut taken: Vec<[f64; 2]> = numbers.iter().map(|centre| at(*centre)).collect();
        taken.extend(near.holes.iter().map(|hole| at([hole.x_mm, self.panel.height_mm - hole.y_mm])));
        json!({
            "name": name, "count": count,
            "left": format!("{:.2}", tiling.left_mm(column)), "bottom": format!("{:.2}", tiling.bottom_mm(row)),
            "label_at": freest(&taken, size, self.panel.hole_mm / 2.0 + 0.22 * self.pt), "drawing": plate.done(),
        })
    }

    /// Crosses and bars; the frame to cut along is the typesetter's.
    fn marks(&self, plate: &mut Plate, size: [f64; 2]) {
        let [w, h] = size;
        let lap = OVERLAP_MM / 2.0;
        let mut crosses = Vec::new();
        for x in [lap, w / 2.0, w - lap] {
            for y in [lap, h / 2.0, h - lap] {
                if (x - w / 2.0).abs() < 0.1 && (y - h / 2.0).abs() < 0.1 {
                    continue;
                }
                crosses.push([[x - CROSS_MM, y], [x + CROSS_MM, y]]);
                crosses.push([[x, y - CROSS_MM], [x, y + CROSS_MM]]);
            }
        }
        plate.lines(crosses.iter().map(<[[f64; 2]; 2]>::as_slice), pen(0.15));
        let (across, upright) = self.bars(size);
        bar_across(plate, [(w - across.0) / 2.0, h - 12.5], &across, 10.0);
        bar_up(plate, [12.5, (h - upright.0) / 2.0], &upright, 10.0);
    }

    /// The bars across and upright, as long as a tile takes.
    fn bars(&self, [w, h]: [f64; 2]) -> ((f64, String), (f64, String)) {
        (bar(w - 4.0, self.plan.units), bar(h - 4.0, self.plan.units))
    }

    /// Which tile goes where.
    fn map(&self, tiling: &Tiling) -> Value {
        let first = self.origin(tiling, 0, 0);
        let last = self.origin(tiling, tiling.rows - 1, tiling.columns - 1);
        let tile = [tiling.usable_width_mm, tiling.usable_height_mm];
        let whole = [last[0] + tile[0] - first[0], last[1] + tile[1] - first[1]];
        let scale = (tile[0] / whole[0]).min((tile[1] - 110.0) / whole[1]);
        let at = |[x, y]: [f64; 2]| [(x - first[0]) * scale, (y - first[1]) * scale];
        let mut plate = Plate::new(
            [whole[0] * scale, whole[1] * scale],
            format!("Map of {} rows and {} columns of tiles", tiling.rows, tiling.columns),
        );
        let centres: Vec<[f64; 2]> =
            self.panel.holes.iter().map(|hole| at([hole.x_mm, self.panel.height_mm - hole.y_mm])).collect();
        plate.rounds(&centres, 0.45, crate::plate::FAINT, None);
        let size = [self.panel.width_mm * scale, self.panel.height_mm * scale];
        plate.rectangle(at([0.0, 0.0]), size, pen(0.5));
        for row in 0..tiling.rows {
            for column in 0..tiling.columns {
                let origin = self.origin(tiling, row, column);
                let empty = self.count(origin, tile) == 0;
                let line = if empty { pen(0.2).faint().dashed() } else { pen(0.2) };
                let corner = at(origin);
                plate.rectangle(corner, [tile[0] * scale, tile[1] * scale], line);
                let middle = [corner[0] + tile[0] * scale / 2.0, corner[1] + tile[1] * scale / 2.0];
                let pt = (tile[0] * scale * 0.9).clamp(8.0, 20.0);
                let word = Word::new(middle, label(row, column), pt).bare();
                plate.word(if empty { word } else { word.bold() });
            }
        }
        plate.done()
    }
}

/// The place for a tile's label that covers fewest holes and numbers.
fn freest(taken: &[[f64; 2]], size: [f64; 2], clear: f64) -> [f64; 2] {
    let edge = OVERLAP_MM + 8.0;
    let spots = 10;
    let mut best = ([edge, edge], usize::MAX);
    for down in 0..=spots {
        for across in 0..=3 {
            let x = edge + (size[0] - LABEL_MM[0] - 2.0 * edge) * f64::from(across) / 3.0;
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
