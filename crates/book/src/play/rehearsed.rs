//! The rehearsal's page: the verdict in words, and what it rests on as a picture.

use super::Beside;
use super::tell::{capital, list, plain};
use crate::plate::{INK, Plate, Stand, Word, pen, width_mm};
use rehearse::rehearsal::{About, Constant, Estimate, Party, Rehearsal, Sentence};
use rehearse::{ENOUGH, is_hard};
use serde_json::{Value, json};

/// Type that is read from a garage wall.
const PT: f64 = 14.0;
/// The whole width of a picture.
const WIDE_MM: f64 = 176.0;
/// From one party's row to the next.
const ROW_MM: f64 = 7.8;
/// Between the bars of two parties at one value.
const APART_MM: f64 = 2.6;
/// Height of the picture of a constant.
const HIGH_MM: f64 = 38.0;

/// The view; or the words for why there is none.
pub(super) fn view(beside: &Beside) -> Value {
    let Some(rehearsal) = &beside.rehearsal else {
        return json!({ "missing": beside.unrehearsed });
    };
    let of_score = |one: &Sentence| matches!(one.about, About::Score | About::NothingLeft);
    let (wants, fine): (Vec<_>, Vec<_>) =
        rehearsal.verdict.iter().filter(|one| !of_score(one)).partition(|one| one.wants_change);
    let words = |all: Vec<&Sentence>| all.into_iter().map(|one| quoted(&one.words)).collect::<Vec<_>>();
    let mut to_change = hard_or_easy(rehearsal);
    to_change.extend(words(wants));
    json!({
        "missing": null,
        "to_change": to_change,
        "fine": words(fine),
        "parties": by_party(rehearsal),
        "constant": telling(rehearsal).map(|constant| by_constant(rehearsal, constant)),
        "played": format!(
            "{} parties of each sort, {}",
            rehearsal.games,
            if rehearsal.bouts { "up to five bouts each" } else { "a minute each" }
        ),
    })
}

/// Names in quotation marks instead of those of a terminal.
fn quoted(words: &str) -> String {
    let mut open = false;
    let mut quote = |letter: char| match letter {
        '`' => {
            open = !open;
            if open { '“' } else { '”' }
        }
        other => other,
    };
    words.chars().map(&mut quote).collect()
}

/// For whom it is too hard at first, or has nothing left to reach: of the sentences that say so only who they are about.
fn hard_or_easy(rehearsal: &Rehearsal) -> Vec<String> {
    let hard: Vec<String> = rehearsal
        .parties
        .iter()
        .filter(|party| is_hard(party))
        .map(|party| format!("{} ({:.0})", party.who, 100.0 * party.first.hit.value))
        .collect();
    let easy = |sentence: &&Sentence| sentence.about == About::NothingLeft;
    let mut said = Vec::new();
    if !hard.is_empty() {
        let (enough, who) = (100.0 * ENOUGH, list(&hard, "and"));
        said.push(format!("Hard at first, fewer than {enough:.0} of 100 times to press met: {who}."));
    }
    let easy: Vec<String> = rehearsal
        .verdict
        .iter()
        .filter(easy)
        .filter_map(|sentence| sentence.words.split(':').next())
        .map(str::to_lowercase)
        .collect();
    if !easy.is_empty() {
        said.push(format!(
            "Nothing is left to reach, half of them reach all there is: {}.",
            list(&easy, "and")
        ));
    }
    said
}

/// What is measured of a party: the score where there is one, else the times to press met, of 100.
fn measured(rehearsal: &Rehearsal, party: &Party) -> (Estimate, Option<Estimate>) {
    let fifth = party.fifth.as_ref();
    if rehearsal.scores.len() == 1 {
        let first = party.first.scores.first().map(|score| score.median).unwrap_or_default();
        return (first, fifth.and_then(|fifth| fifth.scores.first()).map(|score| score.median));
    }
    let hundred =
        |of: Estimate| Estimate { value: 100.0 * of.value, low: 100.0 * of.low, high: 100.0 * of.high };
    (hundred(party.first.hit), fifth.map(|fifth| hundred(fifth.hit)))
}

/// The first whole step of an axis with at most five steps: 1, 2, 5, 10, ...
fn step_of(most: f64) -> f64 {
    let mut step = 1.0;
    for factor in [2.0, 2.5, 2.0].iter().cycle().take(30) {
        if most / step <= 5.0 {
            break;
        }
        step *= factor;
    }
    step
}

/// A row for each party: the first bout as a dot, the fifth as a ring, each with its interval.
fn by_party(rehearsal: &Rehearsal) -> Value {
    let rows: Vec<(&Party, Estimate, Option<Estimate>)> = rehearsal
        .parties
        .iter()
        .map(|party| {
            let (first, fifth) = measured(rehearsal, party);
            (party, first, fifth)
        })
        .collect();
    let labels: Vec<f64> = rows.iter().map(|(party, _, _)| width_mm(&party.who, PT)).collect();
    let left = labels.into_iter().fold(30.0, f64::max).min(84.0) + 2.0;
    let ends = rows.iter().map(|(_, first, fifth)| first.high.max(fifth.map_or(0.0, |fifth| fifth.high)));
    let most = ends.fold(1.0, f64::max);
    let step = step_of(most);
    let steps = (most / step).ceil();
    let right = WIDE_MM - 6.0;
    let x = |value: f64| left + (right - left) * value / (steps * step);
    let low = ROW_MM * rows.len() as f64 + 2.0;
    let what = if rehearsal.scores.len() == 1 {
        format!("{}, the middle one of all parties", plain(&rehearsal.scores[0]))
    } else {
        "times to press met, of 100".to_owned()
    };
    let mut plate = Plate::new([WIDE_MM, low + 8.0], alt(&what, &rows));
    let mut mark = 0.0;
    while mark <= steps {
        plate.line(&[[x(mark * step), 0.0], [x(mark * step), low]], pen(0.2).faint());
        plate.word(Word::new([x(mark * step), low + 4.6], format!("{:.0}", mark * step), PT).bare());
        mark += 1.0;
    }
    for (at, (party, first, fifth)) in rows.iter().enumerate() {
        let y = ROW_MM * (at as f64 + 0.5) + 1.0;
        plate.word(Word::new([0.0, y], party.who.clone(), PT).stand(Stand::Right).bare());
        let lift = if fifth.is_some() { 1.7 } else { 0.0 };
        interval(&mut plate, y - lift, [first.low, first.high].map(x));
        plate.rounds(&[[x(first.value), y - lift]], 1.5, INK, None);
        if let Some(fifth) = fifth {
            interval(&mut plate, y + lift, [fifth.low, fifth.high].map(x));
            plate.rounds(&[[x(fifth.value), y + lift]], 1.3, "#ffffff", Some(pen(0.6)));
        }
    }
    json!({ "what": what, "fifth": rows.iter().any(|(_, _, fifth)| fifth.is_some()), "drawing": plate.done() })
}

/// A line from end to end, with a stroke across at both.
fn interval(plate: &mut Plate, y: f64, [from, to]: [f64; 2]) {
    plate.line(&[[from, y], [to, y]], pen(0.5));
    for x in [from, to] {
        plate.line(&[[x, y - 1.1], [x, y + 1.1]], pen(0.5));
    }
}

/// The same upright.
fn upright(plate: &mut Plate, x: f64, [from, to]: [f64; 2]) {
    plate.line(&[[x, from], [x, to]], pen(0.5));
    for y in [from, to] {
        plate.line(&[[x - 1.1, y], [x + 1.1, y]], pen(0.5));
    }
}

/// The picture in words.
fn alt(what: &str, rows: &[(&Party, Estimate, Option<Estimate>)]) -> String {
    let one = |(party, first, fifth): &(&Party, Estimate, Option<Estimate>)| {
        let fifth = fifth.map_or(String::new(), |fifth| format!(", fifth bout {:.0}", fifth.value));
        format!("{}: {:.0} ({:.0} to {:.0}){fifth}", party.who, first.value, first.low, first.high)
    };
    let rows: Vec<String> = rows.iter().map(one).collect();
    format!("{}, first bout with its interval: {}", capital(what), rows.join("; "))
}

/// The constant with which most can be done for whoever does worst.
fn telling(rehearsal: &Rehearsal) -> Option<&Constant> {
    let reach = |constant: &&Constant| {
        let hits =
            constant.points.iter().filter_map(|point| point.parties.first()).map(|tried| tried.hit.value);
        hits.clone().fold(0.0, f64::max) - hits.fold(1.0, f64::min)
    };
    let some = rehearsal.constants.iter().filter(|constant| constant.points.len() > 1);
    // The first of several that reach as far.
    some.rev().max_by(|a, b| reach(a).total_cmp(&reach(b)))
}

/// Values of a constant against the times to press that are met, for whoever does worst and whoever does best.
fn by_constant(rehearsal: &Rehearsal, constant: &Constant) -> Value {
    let (left, right, low) = (16.0, WIDE_MM - 8.0, HIGH_MM - 8.0);
    let values: Vec<i64> = constant.points.iter().map(|point| point.value).collect();
    let (least, most) = (values.first().copied().unwrap_or(0), values.last().copied().unwrap_or(1));
    let x = |value: i64| left + (right - left) * (value - least) as f64 / (most - least).max(1) as f64;
    // From a round value below everything: what a constant does is small beside all that there could be.
    let tried = constant.points.iter().flat_map(|point| &point.parties);
    let lowest = tried.map(|tried| tried.hit.low).fold(1.0, f64::min);
    let from = (libm::floor(4.0 * (lowest - 0.02)) / 4.0).max(0.0);
    let y = |hit: f64| 3.0 + (low - 3.0) * (1.0 - hit) / (1.0 - from);
    let who = |at: usize| {
        let key =
            constant.points.first().and_then(|point| point.parties.get(at)).map(|tried| tried.key.as_str());
        rehearsal.parties.iter().find(|party| Some(party.key.as_str()) == key).map(|party| party.who.clone())
    };
    let words = |at: usize| -> String {
        let hundred = |hit: Estimate| {
            let [value, low, high] = [hit.value, hit.low, hit.high].map(|part| 100.0 * part);
            format!("{value:.0} ({low:.0} to {high:.0})")
        };
        let hits = constant.points.iter().filter_map(|point| Some((point.value, point.parties.get(at)?.hit)));
        hits.map(|(value, hit)| format!("{value}: {}", hundred(hit))).collect::<Vec<_>>().join(", ")
    };
    let alt = format!("Times to press met, of 100, by values of {}: {}", constant.name, words(0));
    let mut plate = Plate::new([WIDE_MM, HIGH_MM], alt);
    for part in [0.0, 0.25, 0.5, 0.75, 1.0].into_iter().filter(|part| *part >= from) {
        plate.line(&[[left, y(part)], [right, y(part)]], pen(0.2).faint());
        // All five are too many for words one below the other.
        if from > 0.0 || part != 0.25 && part != 0.75 {
            plate.word(Word::new([7.0, y(part)], format!("{:.0}", 100.0 * part), PT).bare());
        }
    }
    let written = x(constant.value);
    plate.line(&[[written, 0.0], [written, low]], pen(0.4).dashed());
    for (at, line) in [pen(0.6), pen(0.6).dashed()].into_iter().enumerate() {
        let of = constant.points.iter().filter_map(|point| Some((point.value, point.parties.get(at)?.hit)));
        // Side by side, so that the bars of two parties do not lie on each other.
        let x = |value: i64| x(value) + if who(1).is_none() { 0.0 } else { APART_MM * (at as f64 - 0.5) };
        for (value, hit) in of.clone() {
            upright(&mut plate, x(value), [hit.low, hit.high].map(y));
        }
        let points: Vec<[f64; 2]> = of.map(|(value, hit)| [x(value), y(hit.value)]).collect();
        plate.line(&points, line);
        match at {
            0 => plate.rounds(&points, 1.1, INK, None),
            _ => plate.rounds(&points, 1.0, "#ffffff", Some(pen(0.5))),
        }
    }
    let mut last = f64::NEG_INFINITY;
    for value in values {
        let text = value.to_string();
        let wide = width_mm(&text, PT) + 2.0;
        if x(value) - last > wide {
            plate.line(&[[x(value), low], [x(value), low + 1.5]], pen(0.3));
            plate.word(Word::new([x(value), low + 4.8], text, PT).bare());
            last = x(value);
        }
    }
    let unit = if constant.unit.is_empty() { String::new() } else { format!(" {}", constant.unit) };
    json!({
        "name": plain(&constant.name), "unit": constant.unit, "written": format!("{}{unit}", constant.value),
        "worst": who(0), "best": who(1), "drawing": plate.done(),
    })
}
