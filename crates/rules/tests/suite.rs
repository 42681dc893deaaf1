//! The suite through the referee: every expectation was derived by hand from the meaning of a tick.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic, reason = "test code: a panic is a failed test")]

#[allow(dead_code, unreachable_pub, reason = "shared by several tests, each using a part")]
mod common;

use common::{Case, cases};
use finding::one_line;
use rules::form::Form;
use rules::step::Frame;
use rules::vectors::{play, record};
use source::Text;
use std::path::PathBuf;

fn form(case: &Case) -> Form {
    let text = Text::new(case.name.clone(), case.text.clone());
    let (form, faults) = rules::read(&text, &case.interface);
    let stops: Vec<String> = faults
        .iter()
        .filter(|fault| fault.stops())
        .map(|fault| one_line(fault, std::slice::from_ref(&text)))
        .collect();
    assert!(stops.is_empty(), "{}", stops.join("\n"));
    form
}

/// What a frame shows of one thing, as the suite writes it.
fn seen(form: &Form, frame: &Frame, what: &str) -> String {
    if let Some(at) = form.figures.iter().position(|figure| figure.name == what) {
        return frame.poses[at].map_or("dark".to_owned(), |pose| form.figures[at].poses[pose].clone());
    }
    let spot = what.strip_suffix(".lamp").unwrap_or(what);
    if let Some(at) = form.spots.iter().position(|name| name == spot) {
        return frame.spots[at].to_string();
    }
    if let Some(at) = form.sounds.iter().position(|sound| sound == what) {
        return if frame.sounds[at] { "begins" } else { "not" }.to_owned();
    }
    let at = form.digits.iter().position(|digits| digits.name == what);
    let at = at.unwrap_or_else(|| panic!("nothing is called `{what}`"));
    let width = if frame.zeros[at] { form.digits[at].count as usize } else { 1 };
    frame.digits[at].map_or("blank".to_owned(), |value| format!("{value:0width$}"))
}

#[test]
fn every_frame_is_as_derived_by_hand() {
    let mut wrong = Vec::new();
    let cases = cases();
    assert!(cases.len() >= 30, "the suite has {} texts", cases.len());
    for case in cases {
        let form = form(&case);
        let run = play(&form, &case.start, &case.inputs(&form));
        assert!(!case.expect.is_empty(), "{} expects nothing", case.name);
        for (what, stretches) in &case.expect {
            let mut next = 0;
            for stretch in stretches {
                let (when, value) = stretch.split_once(':').unwrap();
                let (from, to) = when.split_once('-').unwrap_or((when, when));
                let to = if to.is_empty() { case.last } else { to.parse().unwrap() };
                assert_eq!(from.parse::<usize>().unwrap(), next, "{}: {what} has a gap", case.name);
                for (tick, (_, frame)) in run.iter().enumerate().take(to + 1).skip(next) {
                    let found = seen(&form, frame, what);
                    if found != *value {
                        wrong.push(format!("{}: {what} in tick {tick}: {found}, not {value}", case.name));
                    }
                }
                next = to + 1;
            }
            assert_eq!(next, case.last + 1, "{}: {what} does not go to the end", case.name);
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
#[allow(clippy::disallowed_methods, reason = "tests read and, when asked, write the committed vectors")]
fn the_committed_vectors_are_these() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../vectors");
    let update = std::env::var("LAMPWRIGHT_UPDATE").is_ok();
    let mut expected = Vec::new();
    for case in cases() {
        let form = form(&case);
        let json =
            serde_json::to_string(&record(&case.name, &form, &case.start, &case.inputs(&form))).unwrap();
        let path = folder.join(format!("{}.json", case.name));
        if update {
            std::fs::write(&path, json.clone() + "\n").unwrap();
        }
        let committed = std::fs::read_to_string(&path).unwrap();
        assert_eq!(
            committed.trim_end(),
            json,
            "{}: run with LAMPWRIGHT_UPDATE=1 if this is meant",
            case.name
        );
        expected.push(format!("{}.json", case.name));
    }
    let mut found: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    found.retain(|name| name.ends_with(".json"));
    found.sort();
    expected.sort();
    assert_eq!(found, expected, "a vector without a text in the suite");
}

#[test]
fn a_form_comes_back_from_json_as_it_was() {
    for case in cases() {
        let form = form(&case);
        let json = serde_json::to_string(&form).unwrap();
        assert_eq!(serde_json::from_str::<Form>(&json).unwrap(), form, "{}", case.name);
    }
}
