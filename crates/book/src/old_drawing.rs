//! Panels as they stand on a page of the book: everything scaled to paper, millimetres, y down.

use crate::labels::{Surroundings, Wanted, number_ems, place};
use plan::{Hole, Panel, StrandRun};
use serde_json::{Value, json};

/// Sizes of type tried for numbers, in points; the first that leaves next to no number lying on something is taken.
const TYPE_PT: [f64; 6] = [14.0, 12.0, 10.5, 9.0, 8.0, 7.0];

/// One label in so many may touch something before smaller type is tried: most of a page in large type reads better
/// at arm's length than all of it in small type.
const FEW: usize = 100;

/// A point in millimetres (DTP point, 1/72 in).
const POINT_MM: f64 = 25.4 / 72.0;

/// No drawing is larger than half the real size.
const LARGEST: f64 = 0.5;

/// A stretch of the panel shown on paper.
struct Window {
    left_mm: f64,
    top_mm: f64,
    width_mm: f64,
    height_mm: f64,
    scale: f64,
    /// Seen from the back: x runs the other way.
    mirrored: bool,
}

impl Window {
    /// A stretch of the panel as large as the room on the page allows.
    fn fit([left, bottom, right, top]: [f64; 4], room: [f64; 2], mirrored: bool) -> Self {
        let (width_mm, height_mm) = ((right - left).max(1.0), (top - bottom).max(1.0));
        let scale = (room[0] / width_mm).min(room[1] / height_mm).min(LARGEST);
        Self { left_mm: left, top_mm: top, width_mm, height_mm, scale, mirrored }
    }

    /// Where a point of the panel's front comes to lie on paper.
    fn on_paper(&self, x_mm: f64, y_mm: f64) -> [f64; 2] {
        let across = x_mm - self.left_mm;
        let across = if self.mirrored { self.width_mm - across } else { across };
        [across * self.scale, (self.top_mm - y_mm) * self.scale]
    }

    fn size(&self) -> [f64; 2] {
        [self.width_mm * self.scale, self.height_mm * self.scale]
    }

    /// The scale in words.
    fn words(&self) -> String {
        format!("1\u{a0}:\u{a0}{:.1}", 1.0 / self.scale)
    }

    fn holes(&self, panel: &Panel) -> Vec<[f64; 2]> {
        panel.holes.iter().map(|hole| self.on_paper(hole.x_mm, hole.y_mm)).collect()
    }
}

/// The whole sheet.
fn whole(panel: &Panel) -> [f64; 4] {
    [0.0, 0.0, panel.width_mm, panel.height_mm]
}

/// The front of a panel with all its numbers.
pub(crate) fn front(panel: &Panel, room: [f64; 2]) -> Value {
    let window = Window::fit(whole(panel), room, false);
    let holes = window.holes(panel);
    let wanted: Vec<Wanted> = panel.holes.iter().map(|hole| wanted(hole, panel, &holes)).collect();
    let radius = panel.hole_mm / 2.0 * window.scale;
    let (type_pt, centres) = largest_type(&wanted, &holes, radius, &[], window.size());
    let numbers: Vec<Value> =
        panel.holes.iter().zip(&centres).map(|(hole, at)| number(hole.number, *at)).collect();
    json!({
        "size": window.size(), "scale": window.words(), "radius": radius, "type_pt": type_pt,
        "holes": holes, "numbers": numbers,
    })
}

/// A number and whether it is one of every ten.
fn number(number: usize, at: [f64; 2]) -> Value {
    json!({ "n": number.to_string(), "at": at, "disc": number.is_multiple_of(10) })
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

/// The largest type that leaves next to no label lying on something, and where the labels stand; else the one that leaves fewest.
fn largest_type(
    wanted: &[Wanted],
    holes: &[[f64; 2]],
    radius: f64,
    lines: &[[[f64; 2]; 2]],
    size: [f64; 2],
) -> (f64, Vec<[f64; 2]>) {
    let mut best: Option<(usize, f64, Vec<[f64; 2]>)> = None;
    for type_pt in TYPE_PT {
        let around = Surroundings { holes, radius, lines, size, type_mm: type_pt * POINT_MM };
        let placed = place(wanted, &around);
        if best.as_ref().is_none_or(|(clashes, _, _)| placed.clashes < *clashes) {
            best = Some((placed.clashes, type_pt, placed.centres));
        }
        if best.as_ref().is_some_and(|(clashes, _, _)| clashes * FEW <= wanted.len()) {
            break;
        }
    }
    best.map_or((TYPE_PT[0], Vec::new()), |(_, type_pt, centres)| (type_pt, centres))
}

/// The holes of a strand, in threading order.
fn strand_holes<'a>(panel: &'a Panel, run: &StrandRun) -> Vec<&'a Hole> {
    panel.holes.iter().filter(|hole| (run.first_hole..=run.last_hole).contains(&hole.number)).collect()
}

/// The stretch of the panel around a strand.
fn around(panel: &Panel, run: &StrandRun) -> [f64; 4] {
    let holes = strand_holes(panel, run);
    let Some(first) = holes.first() else { return whole(panel) };
    let mut bounds = [first.x_mm, first.y_mm, first.x_mm, first.y_mm];
    for hole in holes {
        bounds[0] = bounds[0].min(hole.x_mm);
        bounds[1] = bounds[1].min(hole.y_mm);
        bounds[2] = bounds[2].max(hole.x_mm);
        bounds[3] = bounds[3].max(hole.y_mm);
    }
    let pad = 0.1 * (bounds[2] - bounds[0]).max(bounds[3] - bounds[1]) + 3.0 * panel.hole_mm;
    [bounds[0] - pad, bounds[1] - pad, bounds[2] + pad, bounds[3] + pad]
}

/// One strand's way through the holes, from the back.
pub(crate) fn threading(panel: &Panel, run: &StrandRun, room: [f64; 2]) -> Value {
    let window = Window::fit(around(panel, run), room, true);
    let all = window.holes(panel);
    let own = strand_holes(panel, run);
    let radius = panel.hole_mm / 2.0 * window.scale;
    let place_of = |number: usize| number.checked_sub(1).and_then(|k| all.get(k)).copied();
    let hops: Vec<(u32, [[f64; 2]; 2])> = run
        .hops
        .iter()
        .filter_map(|hop| Some((hop.parked, [place_of(hop.from)?, place_of(hop.to)?])))
        .collect();
    let lines: Vec<[[f64; 2]; 2]> = hops.iter().map(|(_, line)| *line).collect();
    let mut labels: Vec<Wanted> = own.iter().map(|hole| wanted(hole, panel, &all)).collect();
    let parked: Vec<(u32, [[f64; 2]; 2])> = hops.iter().copied().filter(|(parked, _)| *parked > 0).collect();
    labels.extend(parked.iter().map(|(_, line)| halfway(*line)));
    labels.extend(place_of(run.first_hole).map(|at| Wanted {
        at,
        ems: 2.6,
        beside: [None, place_of(run.first_hole + 1)],
    }));
    let (type_pt, centres) = largest_type(&labels, &all, radius, &lines, window.size());
    let numbers: Vec<Value> = own.iter().zip(&centres).map(|(hole, at)| number(hole.number, *at)).collect();
    let parked_at: Vec<Value> = parked
        .iter()
        .zip(centres.iter().skip(own.len()))
        .map(|((parked, _), at)| json!({ "words": format!("{parked} parked"), "at": at }))
        .collect();
    let plug = centres.get(own.len() + parked.len()).zip(place_of(run.first_hole));
    json!({
        "size": window.size(), "scale": window.words(), "radius": radius, "type_pt": type_pt,
        "sheet": [window.on_paper(panel.width_mm, panel.height_mm), window.on_paper(0.0, 0.0)],
        "others": others(panel, run, &all),
        "holes": own.iter().filter_map(|hole| place_of(hole.number)).collect::<Vec<_>>(),
        "hops": hops.iter().map(|(parked, line)| json!({ "line": line, "dashed": *parked > 0 })).collect::<Vec<_>>(),
        "numbers": numbers, "parked": parked_at,
        "plug": plug.map(|(at, hole)| json!({ "at": at, "hole": hole })),
    })
}

/// The wish of a hop with parked lamps for its label.
fn halfway(line: [[f64; 2]; 2]) -> Wanted {
    let at = [(line[0][0] + line[1][0]) / 2.0, (line[0][1] + line[1][1]) / 2.0];
    Wanted { at, ems: 4.6, beside: [Some(line[0]), Some(line[1])] }
}

/// The holes of all other strands.
fn others(panel: &Panel, run: &StrandRun, on_paper: &[[f64; 2]]) -> Vec<[f64; 2]> {
    panel
        .holes
        .iter()
        .zip(on_paper)
        .filter(|(hole, _)| !(run.first_hole..=run.last_hole).contains(&hole.number))
        .map(|(_, at)| *at)
        .collect()
}

/// A small map of the back: where on the panel a strand runs.
pub(crate) fn map(panel: &Panel, run: &StrandRun, room: [f64; 2]) -> Value {
    let window = Window::fit(whole(panel), room, true);
    let all = window.holes(panel);
    let own: Vec<[f64; 2]> =
        strand_holes(panel, run).iter().map(|hole| window.on_paper(hole.x_mm, hole.y_mm)).collect();
    json!({ "size": window.size(), "holes": own, "others": others(panel, run, &all) })
}

/// The figure by its lamps, as at night: lit for the first pose, dim for the rest.
pub(crate) fn night(panel: &Panel, room: [f64; 2]) -> Value {
    let window = Window::fit(whole(panel), room, false);
    let lit: &[usize] = panel.poses.first().map_or(&[], |pose| pose.bunches.as_slice());
    let lamps: Vec<Value> = panel
        .holes
        .iter()
        .map(|hole| {
            let run =
                panel.strands.iter().find(|run| (run.first_hole..=run.last_hole).contains(&hole.number));
            let colour = run.map_or("#ffe2a8", |run| run.colour.as_str());
            let on = lit.contains(&hole.bunch);
            json!({ "at": window.on_paper(hole.x_mm, hole.y_mm), "lit": on, "colour": hex(colour) })
        })
        .collect();
    json!({ "size": window.size(), "lamps": lamps, "pose": panel.poses.first().map(|pose| pose.name.clone()) })
}

/// A colour the typesetter can read; a warm lamp for anything else.
fn hex(colour: &str) -> &str {
    let digits = colour.strip_prefix('#').unwrap_or("");
    let good = matches!(digits.len(), 3 | 6) && digits.chars().all(|c| c.is_ascii_hexdigit());
    if good { colour } else { "#ffe2a8" }
}
