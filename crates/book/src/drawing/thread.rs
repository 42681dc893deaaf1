//! One strand's way through the holes, from the back, over as many pages as large numbers need.

use super::YARD_PT;
use super::panel::{labelling, lap, sheet};
use super::window::{Bounds, Enough, Labelling, Part, Window, around, fewest_parts, index_map};
use crate::labels::Wanted;
use crate::plate::{INK, Plate, Stand, Word, pen};
use plan::{Hole, Hop, Panel, StrandRun};
use serde_json::{Value, json};

/// A strand is threaded by its sheet alone: next to every number has a place of its own.
const ENOUGH: Enough = Enough { one_in: 40, pages: 9 };

/// Whether a hole belongs to a strand.
fn own(run: &StrandRun, hole: &Hole) -> bool {
    (run.first_hole..=run.last_hole).contains(&hole.number)
}

/// The stretch of the panel around a strand.
fn stretch(panel: &Panel, run: &StrandRun) -> Bounds {
    let holes: Vec<[f64; 2]> =
        panel.holes.iter().filter(|hole| own(run, hole)).map(|hole| [hole.x_mm, hole.y_mm]).collect();
    let whole = [0.0, 0.0, panel.width_mm, panel.height_mm];
    let Some(tight) = around(holes.iter().copied(), 0.0) else { return whole };
    let pad = 0.08 * (tight[2] - tight[0]).max(tight[3] - tight[1]) + 3.0 * panel.hole_mm;
    around(holes, pad).unwrap_or(whole)
}

/// The pages of a strand.
pub(crate) fn thread_parts(panel: &Panel, run: &StrandRun, room: [f64; 2]) -> Vec<Value> {
    let bounds = stretch(panel, run);
    let dots: Vec<[f64; 2]> =
        panel.holes.iter().filter(|hole| own(run, hole)).map(|hole| [hole.x_mm, hole.y_mm]).collect();
    let parts = fewest_parts(bounds, room, true, lap(panel), &dots, ENOUGH, &|window: &Window| {
        wishes(panel, run, window)
    });
    let shown: Vec<Bounds> = parts.iter().map(|part| part.window.bounds()).collect();
    let whole = [0.0, 0.0, panel.width_mm, panel.height_mm];
    parts
        .iter()
        .enumerate()
        .map(|(k, part)| {
            json!({
                "drawing": drawing(panel, run, part),
                "scale": part.window.words(),
                "map": (parts.len() > 1).then(|| index_map(whole, &dots, &shown, k, true, [26.0, 36.0])),
            })
        })
        .collect()
}

/// Where a hole is.
fn place_of(panel: &Panel, number: usize) -> Option<[f64; 2]> {
    panel.holes.get(number.checked_sub(1)?).map(|hole| [hole.x_mm, hole.y_mm])
}

/// A hop and its line on paper.
fn hops<'a>(
    panel: &'a Panel,
    run: &'a StrandRun,
    window: &'a Window,
) -> impl Iterator<Item = (&'a Hop, [[f64; 2]; 2])> {
    run.hops.iter().filter_map(move |hop| {
        let line = window.clipped(place_of(panel, hop.from)?, place_of(panel, hop.to)?)?;
        Some((hop, line))
    })
}

/// Numbers of the strand's own holes, then parked lamps, then the plug.
fn wishes(panel: &Panel, run: &StrandRun, window: &Window) -> Labelling {
    let mut wishes = labelling(panel, window, |hole| own(run, hole));
    wishes.lines = hops(panel, run, window).map(|(_, line)| line).collect();
    if wishes.wanted.is_empty() {
        return wishes;
    }
    wishes.wanted.extend(hops(panel, run, window).filter(|(hop, _)| hop.parked > 0).map(|(_, line)| {
        Wanted {
            at: [(line[0][0] + line[1][0]) / 2.0, (line[0][1] + line[1][1]) / 2.0],
            ems: 4.6,
            beside: [Some(line[0]), Some(line[1])],
        }
    }));
    let first = place_of(panel, run.first_hole).filter(|at| window.shows(*at));
    wishes.wanted.extend(first.map(|at| Wanted {
        at: window.on_paper(at),
        ems: 2.9,
        beside: [None, place_of(panel, run.first_hole + 1).map(|at| window.on_paper(at))],
    }));
    wishes
}

fn drawing(panel: &Panel, run: &StrandRun, part: &Part) -> Value {
    let window = &part.window;
    let mut plate = Plate::new(
        window.size(),
        format!(
            "Strand {} from the BACK: hops between holes {} and {}",
            run.label, run.first_hole, run.last_hole
        ),
    );
    sheet(panel, window, &mut plate);
    let visible = || panel.holes.iter().filter(|hole| window.shows([hole.x_mm, hole.y_mm]));
    let on_paper = |hole: &Hole| window.on_paper([hole.x_mm, hole.y_mm]);
    let others: Vec<[f64; 2]> = visible().filter(|hole| !own(run, hole)).map(on_paper).collect();
    plate.rounds(&others, part.labelling.radius, "none", Some(pen(0.15).faint()));
    let (plain, dashed): (Vec<_>, Vec<_>) = hops(panel, run, window).partition(|(hop, _)| hop.parked == 0);
    plate.lines(plain.iter().map(|(_, line)| line.as_slice()), pen(0.45));
    plate.lines(dashed.iter().map(|(_, line)| line.as_slice()), pen(0.45).dashed());
    let holes: Vec<[f64; 2]> = visible().filter(|hole| own(run, hole)).map(on_paper).collect();
    plate.rounds(&holes, part.labelling.radius.max(0.8), "white", Some(pen(0.35)));
    for (k, hole) in visible().filter(|hole| own(run, hole)).enumerate() {
        part.letter(&mut plate, k, &hole.number.to_string(), hole.number.is_multiple_of(10));
    }
    let mut next = holes.len();
    for (hop, _) in &dashed {
        if let Some(at) = part.placed.centres.get(next) {
            plate.word(Word::new(*at, format!("{} parked", hop.parked), YARD_PT));
        }
        next += 1;
    }
    plug(panel, run, part, next, &mut plate);
    plate.done()
}

/// Where the strand begins.
fn plug(panel: &Panel, run: &StrandRun, part: &Part, k: usize, plate: &mut Plate) {
    let first = place_of(panel, run.first_hole).filter(|at| part.window.shows(*at));
    if let (Some(at), Some(first)) = (part.placed.centres.get(k), first) {
        let first = part.window.on_paper(first);
        plate.line(&[first, *at], pen(0.35));
        plate.rounds(&[first], part.labelling.radius.max(0.9), INK, None);
        plate.word(Word::new(*at, "PLUG", YARD_PT).bold().stand(Stand::Middle));
    }
}

/// A small map of the back: where on the panel a strand runs.
pub(crate) fn map(panel: &Panel, run: &StrandRun, room: [f64; 2]) -> Value {
    let window = Window::fit([0.0, 0.0, panel.width_mm, panel.height_mm], room, true);
    let mut plate =
        Plate::new(window.size(), format!("Where strand {} runs on the panel, from the BACK", run.label));
    plate.rectangle([0.0, 0.0], window.size(), pen(0.25));
    let (mine, others): (Vec<&Hole>, Vec<&Hole>) = panel.holes.iter().partition(|hole| own(run, hole));
    let on_paper = |holes: &[&Hole]| {
        holes.iter().map(|hole| window.on_paper([hole.x_mm, hole.y_mm])).collect::<Vec<_>>()
    };
    plate.rounds(&on_paper(&others), 0.22, crate::plate::FAINT, None);
    plate.rounds(&on_paper(&mine), 0.42, INK, None);
    plate.done()
}
