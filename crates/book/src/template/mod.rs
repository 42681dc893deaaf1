//! 1:1 templates: one long page for roll paper, a picture for a projector, and tiles of office paper.

mod paper;
mod tiles;

use crate::drawing::POINT_MM;
use crate::labels::{Surroundings, Wanted, number_ems, place};
use crate::plate::{Plate, Word, pen};
use crate::{BookFault, press, say};
use plan::{Panel, Plan};
use quantity::Units;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use tiles::Tiles;

/// Paper left around the panel on the roll.
const ROLL_MARGIN_MM: f64 = 30.0;

/// What a beam shows around the panel.
const BEAM_MARGIN_MM: f64 = 60.0;

/// Type of the numbers in points: on paper, and where one dot of the beam is about 2 mm wide.
const PAPER_PT: f64 = 16.0;
const BEAM_PT: f64 = 48.0;

/// How far the crosses in the beam stand out over their holes.
const BEAM_CROSS_MM: f64 = 6.0;

/// Adds the templates of a panel.
pub(crate) fn add(
    files: &mut BTreeMap<String, Vec<u8>>,
    plan: &Plan,
    panel: &Panel,
    name: &str,
) -> Result<(), BookFault> {
    for (kind, view) in views(plan, panel) {
        let source = match kind {
            "roll" | "projector" => "sheet.typ",
            _ => "tiles.typ",
        };
        let bytes = press::print(source, &view, &format!("{name}/{kind}"))?;
        files.insert(format!("templates/{name}-{kind}.pdf"), bytes);
    }
    Ok(())
}

/// Every template of a panel: its kind and what the typesetter reads.
pub(crate) fn views(plan: &Plan, panel: &Panel) -> Vec<(&'static str, Value)> {
    let numbers = numbers(panel, PAPER_PT, 0.0);
    let mut views = vec![("roll", roll(plan, panel, &numbers)), ("projector", projector(plan, panel))];
    for paper in paper::ALL {
        let tiles = Tiles { plan, panel, numbers: &numbers, paper, pt: PAPER_PT };
        views.push((paper.name, tiles.view()));
    }
    views
}

/// Where the numbers stand, on the panel with y down from its top edge.
fn numbers(panel: &Panel, pt: f64, cross_mm: f64) -> Vec<[f64; 2]> {
    let holes: Vec<[f64; 2]> =
        panel.holes.iter().map(|hole| [hole.x_mm, panel.height_mm - hole.y_mm]).collect();
    let neighbour = |k: Option<usize>| k.and_then(|k| holes.get(k)).copied();
    let wanted: Vec<Wanted> = panel
        .holes
        .iter()
        .enumerate()
        .map(|(k, hole)| Wanted {
            at: holes[k],
            ems: number_ems(hole.number),
            beside: [neighbour(k.checked_sub(1)), neighbour(Some(k + 1))],
        })
        .collect();
    let around = Surroundings {
        holes: &holes,
        radius: panel.hole_mm / 2.0 + cross_mm,
        lines: &[],
        size: [panel.width_mm, panel.height_mm],
        type_mm: pt * POINT_MM,
    };
    place(&wanted, &around).centres
}

/// What every kind of template says about the panel.
fn heading(plan: &Plan, panel: &Panel) -> Value {
    let twin = plan.panels.iter().find(|other| other.twin_of.as_deref() == Some(panel.name.as_str()));
    json!({
        "title": plan.title, "panel": panel.name,
        "size": format!("{} wide, {} high", say::length(panel.width_mm, plan.units), say::length(panel.height_mm, plan.units)),
        "hole": say::length(panel.hole_mm, plan.units), "hole_mm": say::millimetres(panel.hole_mm),
        "holes": panel.holes.len(),
        "twin": twin.map(|twin| twin.name.clone()),
    })
}

/// The longest bar of a round length that is no longer than this, and its words.
fn bar(most_mm: f64, units: Units) -> (f64, String) {
    let (unit_mm, name, lengths) = match units {
        Units::Inches => (25.4, "in", [36.0, 24.0, 10.0, 7.0, 5.0, 2.0]),
        Units::Millimetres => (1.0, "mm", [1000.0, 500.0, 250.0, 150.0, 100.0, 50.0]),
    };
    let fits = lengths.into_iter().find(|length| length * unit_mm <= most_mm).unwrap_or(lengths[5]);
    (fits * unit_mm, format!("this bar is exactly {fits} {name}"))
}

/// A bar across with its words above, from its left end. Nothing white lies behind them: a hole may.
fn bar_across(plate: &mut Plate, at: [f64; 2], (length, words): &(f64, String), pt: f64) {
    let [x, y] = at;
    plate.line(&[[x, y], [x + length, y]], pen(0.5));
    for end in [x, x + length] {
        plate.line(&[[end, y - 2.5], [end, y + 2.5]], pen(0.25));
    }
    plate.word(Word::new([x + length / 2.0, y - 0.25 * pt], words, pt).bare());
}

/// A bar upright, from its upper end.
fn bar_up(plate: &mut Plate, at: [f64; 2], (length, words): &(f64, String), pt: f64) {
    let [x, y] = at;
    plate.line(&[[x, y], [x, y + length]], pen(0.5));
    for end in [y, y + length] {
        plate.line(&[[x - 2.5, end], [x + 2.5, end]], pen(0.25));
    }
    let beside = [x + 0.25 * pt, y + length / 2.0];
    plate.word(Word::new(beside, words, pt).stand(crate::plate::Stand::Upright).bare());
}

/// The holes of a panel, each with a cross through its centre.
fn holes(plate: &mut Plate, panel: &Panel, at: &dyn Fn([f64; 2]) -> [f64; 2], cross_mm: f64, width: f64) {
    let centres: Vec<[f64; 2]> =
        panel.holes.iter().map(|hole| at([hole.x_mm, panel.height_mm - hole.y_mm])).collect();
    let reach = panel.hole_mm / 2.0 + cross_mm;
    let crosses: Vec<[[f64; 2]; 2]> = centres
        .iter()
        .flat_map(|[x, y]| [[[x - reach, *y], [x + reach, *y]], [[*x, y - reach], [*x, y + reach]]])
        .collect();
    plate.lines(crosses.iter().map(<[[f64; 2]; 2]>::as_slice), pen(width));
    plate.rounds(&centres, panel.hole_mm / 2.0, "none", Some(pen(width * 1.3)));
}

/// The numbers of a panel.
fn letter(
    plate: &mut Plate,
    panel: &Panel,
    numbers: &[[f64; 2]],
    at: &dyn Fn([f64; 2]) -> [f64; 2],
    pt: f64,
) {
    for (hole, centre) in panel.holes.iter().zip(numbers) {
        let word = Word::new(at(*centre), hole.number.to_string(), pt).bare();
        plate.word(if hole.number.is_multiple_of(10) { word.disc() } else { word });
    }
}

/// Joints between the sheets of a panel.
fn joints(plate: &mut Plate, panel: &Panel, at: &dyn Fn([f64; 2]) -> [f64; 2]) {
    for piece in &panel.pieces {
        let (left, right) = (piece.x_mm, piece.x_mm + piece.width_mm);
        let (low, high) = (panel.height_mm - piece.y_mm, panel.height_mm - piece.y_mm - piece.height_mm);
        if piece.y_mm > 1.0 {
            plate.line(&[at([left, low]), at([right, low])], pen(0.3).dashed());
        }
        if piece.x_mm > 1.0 {
            plate.line(&[at([left, low]), at([left, high])], pen(0.3).dashed());
        }
    }
}

fn roll(plan: &Plan, panel: &Panel, numbers: &[[f64; 2]]) -> Value {
    let m = ROLL_MARGIN_MM;
    let (w, h) = (panel.width_mm, panel.height_mm);
    let mut plate = Plate::new(
        [w + 2.0 * m, h + 2.0 * m],
        format!("Template of panel {} from the FRONT, 1 to 1", panel.name),
    );
    let at = |[x, y]: [f64; 2]| [x + m, y + m];
    plate.rectangle([m, m], [w, h], pen(0.3));
    joints(&mut plate, panel, &at);
    holes(&mut plate, panel, &at, 1.0, 0.15);
    letter(&mut plate, panel, numbers, &at, PAPER_PT);
    let most = 260.0_f64;
    bar_across(&mut plate, [m, h + m + 6.0], &bar(most.min(w), Units::Inches), 12.0);
    bar_across(&mut plate, [m, h + m + 15.0], &bar(most.min(w), Units::Millimetres), 12.0);
    bar_up(&mut plate, [m - 8.0, m], &bar(most.min(h), Units::Inches), 12.0);
    bar_up(&mut plate, [m - 19.0, m], &bar(most.min(h), Units::Millimetres), 12.0);
    sheet(plan, panel, plate, m, "roll")
}

fn projector(plan: &Plan, panel: &Panel) -> Value {
    let m = BEAM_MARGIN_MM;
    let (w, h) = (panel.width_mm, panel.height_mm);
    let mut plate = Plate::new(
        [w + 2.0 * m, h + 2.0 * m],
        format!("Picture of panel {} from the FRONT for a projector", panel.name),
    );
    let at = |[x, y]: [f64; 2]| [x + m, y + m];
    plate.rectangle([m, m], [w, h], pen(1.0));
    for (x, across) in [(m, 1.0), (m + w, -1.0)] {
        for (y, down) in [(m, 1.0), (m + h, -1.0)] {
            let arm = 0.06 * w.min(h);
            plate.line(&[[x + across * arm, y], [x, y], [x, y + down * arm]], pen(4.0));
            plate.line(&[[x - across * 25.0, y], [x, y]], pen(1.5));
            plate.line(&[[x, y - down * 25.0], [x, y]], pen(1.5));
        }
    }
    joints(&mut plate, panel, &at);
    holes(&mut plate, panel, &at, BEAM_CROSS_MM, 1.0);
    letter(&mut plate, panel, &numbers(panel, BEAM_PT, BEAM_CROSS_MM), &at, BEAM_PT);
    bar_across(&mut plate, [m, h + m + 30.0], &bar(w, plan.units), 40.0);
    bar_up(&mut plate, [m - 30.0, m], &bar(h, plan.units), 40.0);
    sheet(plan, panel, plate, m, "projector")
}

/// A template on one page.
fn sheet(plan: &Plan, panel: &Panel, plate: Plate, margin: f64, kind: &str) -> Value {
    json!({
        "heading": heading(plan, panel), "kind": kind, "margin": margin,
        "width": panel.width_mm, "height": panel.height_mm, "checks": checks(plan, panel),
        "drawing": plate.done(),
    })
}

/// What is measured before anything is drilled: sides, diagonals, and holes that lie far apart.
fn checks(plan: &Plan, panel: &Panel) -> Value {
    let both = |mm: f64| say::both(mm, plan.units);
    let diagonal = libm::hypot(panel.width_mm, panel.height_mm);
    let mut far: Vec<Value> = Vec::new();
    for slope in [1.0, -1.0] {
        let key = |hole: &&plan::Hole| hole.x_mm + slope * hole.y_mm;
        let low = panel.holes.iter().min_by(|a, b| key(a).total_cmp(&key(b)));
        let high = panel.holes.iter().max_by(|a, b| key(a).total_cmp(&key(b)));
        if let (Some(low), Some(high)) = (low, high) {
            let apart = libm::hypot(low.x_mm - high.x_mm, low.y_mm - high.y_mm);
            far.push(json!({ "from": low.number, "to": high.number, "apart": both(apart) }));
        }
    }
    json!({
        "width": both(panel.width_mm), "height": both(panel.height_mm), "diagonal": both(diagonal), "holes": far,
        "off": match plan.units { Units::Inches => "1/16 in", Units::Millimetres => "1 mm" },
    })
}
