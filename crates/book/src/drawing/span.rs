//! A span with everything on it, to scale: rope with its sag, hangers numbered in the order of the cut list.

use super::YARD_PT;
use super::window::{Window, around};
use crate::plate::{PALE, Plate, Stand, Word, pen};
use crate::say;
use plan::{Hung, Span};
use quantity::Units;
use serde_json::{Value, json};

/// Room above for the hangers' numbers, and at the sides and below for dimensions.
const EDGE_MM: [f64; 4] = [16.0, 16.0, 16.0, 14.0];

/// The least distance between two numbers.
const APART_MM: f64 = 9.5;

/// An object as it hangs: its outline, or its lamps where it has none.
pub(super) fn outline(hung: &Hung, plate: &mut Plate, to: &dyn Fn([f64; 2]) -> [f64; 2], width: f64) {
    let place = |point: &[f64; 2]| to([hung.at_mm[0] + point[0], hung.at_mm[1] + point[1]]);
    let lines: Vec<Vec<[f64; 2]>> =
        hung.lines_mm.iter().map(|line| line.iter().map(place).collect()).collect();
    plate.lines(lines.iter().map(Vec::as_slice), pen(width));
    if lines.is_empty() {
        let lamps: Vec<[f64; 2]> = hung.lamps_mm.iter().map(place).collect();
        plate.rounds(&lamps, width, crate::plate::INK, None);
    }
}

/// The span's drawing.
pub(crate) fn span(span: &Span, room: [f64; 2], units: Units) -> Option<Value> {
    let mut points: Vec<[f64; 2]> = span.shape_mm.clone();
    for hung in &span.hung {
        points.extend(hung.lines_mm.iter().flatten().map(|p| [hung.at_mm[0] + p[0], hung.at_mm[1] + p[1]]));
        points.push(hung.at_mm);
    }
    let (left, right) = (*span.shape_mm.first()?, *span.shape_mm.last()?);
    points.push([left[0], left[1].max(right[1])]);
    let bounds = around(points, 60.0)?;
    let inner = [room[0] - EDGE_MM[0] - EDGE_MM[2], room[1] - EDGE_MM[1] - EDGE_MM[3]];
    let window = Window::fit(bounds, inner, false);
    let [w, h] = window.size();
    let size = [w + EDGE_MM[0] + EDGE_MM[2], h + EDGE_MM[1] + EDGE_MM[3]];
    let mut plate = Plate::new(size, format!("Span {} with everything on it, to scale", span.name));
    let to = |point: [f64; 2]| {
        let [x, y] = window.on_paper(point);
        [x + EDGE_MM[0], y + EDGE_MM[3]]
    };
    rope(span, &mut plate, &to, units, size);
    let numbers = numbers(span, &to);
    for (hung, name_at) in span.hung.iter().map(|hung| (hung, to(hung.at_mm))) {
        for hanger in &hung.hangers {
            plate.line(&[to(hanger.top_mm), to(hanger.bottom_mm)], pen(0.25));
        }
        outline(hung, &mut plate, &to, 0.5);
        let reach = hung.lines_mm.iter().flatten().map(|p| -p[1]).fold(0.0, f64::max) * window.scale;
        plate.word(Word::new([name_at[0], name_at[1] + reach + 4.0], &hung.name, YARD_PT).bare());
    }
    for (k, (tie, at)) in numbers.iter().enumerate() {
        plate.line(&[*tie, *at], pen(0.2));
        plate.word(Word::new(*at, (k + 1).to_string(), YARD_PT).disc());
    }
    Some(json!({ "drawing": plate.done(), "scale": window.words() }))
}

fn rope(span: &Span, plate: &mut Plate, to: &dyn Fn([f64; 2]) -> [f64; 2], units: Units, size: [f64; 2]) {
    let shape: Vec<[f64; 2]> = span.shape_mm.iter().map(|point| to(*point)).collect();
    let (Some(first), Some(last)) = (shape.first().copied(), shape.last().copied()) else { return };
    plate.line(&[first, last], pen(0.2).faint().dashed());
    plate.line(&shape, pen(0.7));
    for [x, y] in [first, last] {
        let post =
            [[x - 1.2, y - 4.0], [x + 1.2, y - 4.0], [x + 1.2, size[1] - 10.0], [x - 1.2, size[1] - 10.0]];
        plate.fill(&post, PALE);
        plate.rounds(&[[x, y]], 1.1, crate::plate::INK, None);
    }
    if let (Some(a), Some(b)) = (span.shape_mm.first(), span.shape_mm.last()) {
        let apart = (b[0] - a[0]).abs();
        plate.across(size[1] - 6.0, [first[0], last[0]], &say::length(apart, units), YARD_PT);
    }
    let deepest = shape.iter().max_by(|p, q| below(p, first, last).total_cmp(&below(q, first, last)));
    if let Some([x, y]) = deepest {
        let x = x + 7.0;
        let chord = y - below(&[x, *y], first, last);
        plate.line(&[[x, chord], [x, *y]], pen(0.25));
        let words = format!("sag {}", say::length(span.sag_mm, units));
        plate.word(Word::new([x + 1.5, (chord + y) / 2.0], words, YARD_PT).stand(Stand::Right));
    }
}

/// How far a point lies below the line between the ties, on paper.
fn below(point: &[f64; 2], first: [f64; 2], last: [f64; 2]) -> f64 {
    let part = (point[0] - first[0]) / (last[0] - first[0]).max(1e-9);
    point[1] - (first[1] + part * (last[1] - first[1]))
}

/// Each hanger's tie and the place of its number above the rope, none over another.
fn numbers(span: &Span, to: &dyn Fn([f64; 2]) -> [f64; 2]) -> Vec<([f64; 2], [f64; 2])> {
    let ties: Vec<[f64; 2]> = hangers(span).map(|hanger| to(hanger.top_mm)).collect();
    let high = ties.iter().map(|tie| tie[1]).fold(f64::INFINITY, f64::min);
    let mut xs: Vec<f64> = ties.iter().map(|tie| tie[0]).collect();
    for _ in 0..60 {
        for k in 1..xs.len() {
            let missing = APART_MM - (xs[k] - xs[k - 1]);
            if missing > 0.0 {
                xs[k - 1] -= missing / 2.0;
                xs[k] += missing / 2.0;
            }
        }
    }
    ties.iter().zip(xs).map(|(tie, x)| (*tie, [x, (high - 8.0).max(5.0).min(tie[1] - 7.0)])).collect()
}

/// The hangers in the order of the cut list: from left to right.
pub(crate) fn hangers(span: &Span) -> impl Iterator<Item = &plan::Hanger> {
    span.hung.iter().flat_map(|hung| &hung.hangers)
}
