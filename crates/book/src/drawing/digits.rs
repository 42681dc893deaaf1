//! Home-made digits: one of them with its measures, and all of them as they stand.

use super::YARD_PT;
use super::window::Window;
use crate::plate::{Plate, Word, pen};
use crate::say;
use plan::DigitsUse;
use quantity::Units;
use serde_json::{Value, json};

/// Room around a digit for its measures.
const EDGE_MM: f64 = 18.0;

/// One digit with letters, lamps and measures.
pub(crate) fn one_digit(digits: &DigitsUse, room: [f64; 2], units: Units) -> Value {
    let bounds = [0.0, 0.0, digits.width_mm, digits.height_mm];
    let window = Window::fit(bounds, [room[0] - 2.0 * EDGE_MM, room[1] - 2.0 * EDGE_MM], false);
    let [w, h] = window.size();
    let mut plate = Plate::new(
        [w + 2.0 * EDGE_MM, h + 2.0 * EDGE_MM],
        format!("One digit of {} from the FRONT with its segments a to g", digits.name),
    );
    let to = |x: f64, y: f64| {
        let [x, y] = window.on_paper([x, y]);
        [x + EDGE_MM, y + EDGE_MM]
    };
    plate.rectangle([EDGE_MM, EDGE_MM], [w, h], pen(0.2).faint().dashed());
    let leds = digits.leds_in_series * digits.rows;
    for ([x1, y1, x2, y2], letter) in digits.segments_mm.iter().zip(digits.letters.chars()) {
        let (from, till) = (to(*x1, *y1), to(*x2, *y2));
        plate.line(&[from, till], pen(0.3).faint());
        plate.rounds(&spread(from, till, leds), 1.1, "white", Some(pen(0.4)));
        let middle = to((x1 + x2) / 2.0, (y1 + y2) / 2.0);
        let upright = (x2 - x1).abs() < (y2 - y1).abs();
        let inward = match (upright, *x1 < digits.width_mm / 2.0, letter == 'd') {
            (true, true, _) => [6.0, 0.0],
            (true, false, _) => [-6.0, 0.0],
            (false, _, true) => [0.0, -6.0],
            (false, _, false) => [0.0, 6.0],
        };
        let at = [middle[0] + inward[0], middle[1] + inward[1]];
        plate.word(Word::new(at, letter, 20.0).bold().bare());
    }
    plate.across(h + EDGE_MM + 10.0, [EDGE_MM, EDGE_MM + w], &say::length(digits.width_mm, units), YARD_PT);
    plate.upright(w + EDGE_MM + 10.0, [EDGE_MM, EDGE_MM + h], &say::length(digits.height_mm, units), YARD_PT);
    json!({ "drawing": plate.done(), "scale": window.words() })
}

/// So many points spread over a line, half a step in from its ends.
fn spread(from: [f64; 2], till: [f64; 2], count: u32) -> Vec<[f64; 2]> {
    (0..count)
        .map(|k| {
            let part = (f64::from(k) + 0.5) / f64::from(count.max(1));
            [from[0] + part * (till[0] - from[0]), from[1] + part * (till[1] - from[1])]
        })
        .collect()
}

/// All digits side by side, numbered from the LEFT.
pub(crate) fn row_of_digits(digits: &DigitsUse, room: [f64; 2], units: Units) -> Value {
    let across = f64::from(digits.count.max(1) - 1) * digits.pitch_mm + digits.width_mm;
    let window = Window::fit([0.0, 0.0, across, digits.height_mm], [room[0], room[1] - 22.0], false);
    let [w, h] = window.size();
    let mut plate = Plate::new([w.max(20.0), h + 22.0], format!("{} from the FRONT, to scale", digits.name));
    for k in 0..digits.count {
        let left = f64::from(k) * digits.pitch_mm;
        for [x1, y1, x2, y2] in &digits.segments_mm {
            plate.line(
                &[window.on_paper([left + x1, *y1]), window.on_paper([left + x2, *y2])],
                pen((0.05 * digits.height_mm * window.scale).clamp(0.6, 3.0)),
            );
        }
        let middle = window.on_paper([left + digits.width_mm / 2.0, 0.0])[0];
        plate.word(Word::new([middle, h + 6.0], (k + 1).to_string(), YARD_PT).bold().bare());
    }
    if digits.count > 1 {
        let second = window.on_paper([digits.pitch_mm, 0.0])[0];
        plate.across(h + 15.0, [0.0, second], &say::length(digits.pitch_mm, units), YARD_PT);
    }
    plate.done()
}
