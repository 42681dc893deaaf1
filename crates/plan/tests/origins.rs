//! Every number and every named part of a plan says where it came from, and what it says is there.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail")]

mod common;

use common::{flagship, fox};
use display::Display;
use finding::Origin;
use parts::PARTS;
use parts::reader::{Shape, place_of};
use plan::{Plan, plan};
use serde_json::Value;
use source::Text;

/// What has no origins of its own: workings tell them, or it is said in words.
const WITHOUT: [&str; 5] = ["findings", "stops", "origins", "withheld", "trials"];
/// Fields that name a part.
const PARTS_NAMED: [&str; 7] = ["part", "sheet", "rope", "strand", "led", "size", "chip"];

/// Every leaf that is a number or names a part, by its place.
fn leaves(value: &Value, place: &str, found: &mut Vec<String>) {
    match value {
        Value::Number(_) => found.push(place.to_owned()),
        Value::String(words) => {
            let field = place.rsplit('/').next().unwrap();
            if PARTS_NAMED.contains(&field) && !words.is_empty() {
                found.push(place.to_owned());
            }
        }
        Value::Array(values) => {
            for (index, value) in values.iter().enumerate() {
                leaves(value, &format!("{place}/{index}"), found);
            }
        }
        Value::Object(fields) => {
            for (name, value) in fields {
                leaves(value, &format!("{place}/{name}"), found);
            }
        }
        Value::Null | Value::Bool(_) => {}
    }
}

/// Whether a place is told by name: an origin of a whole entity (`/channels/3`) tells nothing about its fields.
fn of_a_field(place: &str) -> bool {
    place.rsplit('/').next().is_some_and(|last| last.parse::<usize>().is_err())
        && (place.matches('/').count() > 1 || !place[1..].ends_with('s') || place == "/units")
}

fn has_field(part: &str, field: &str, display: &Display) -> bool {
    let known = display.shelf.sources().any(|(name, _)| name == part);
    let kinds = PARTS.keys.iter().filter_map(|kind| match kind.shape {
        Shape::Named { keys, .. } => Some(keys),
        _ => None,
    });
    known && kinds.into_iter().any(|keys| keys.find(field).is_some())
}

#[track_caller]
fn every_value_has_an_origin(display: &Display, text: &Text) {
    let plan: Plan = plan(display);
    let mut found = Vec::new();
    if let Value::Object(fields) = serde_json::to_value(&plan).unwrap() {
        for (name, value) in fields.iter().filter(|(name, _)| !WITHOUT.contains(&name.as_str())) {
            leaves(value, &format!("/{name}"), &mut found);
        }
    }
    assert!(found.len() > 1000, "the plan has {} values", found.len());
    let noted: std::collections::BTreeMap<&str, &Origin> = plan.origins.iter().collect();
    let own = |place: &str| {
        let mut place = place;
        while !place.is_empty() {
            if noted.contains_key(place) && of_a_field(place) {
                return true;
            }
            place = &place[..place.rfind('/').unwrap()];
        }
        false
    };
    // The places without, told once for each field.
    let bare = |place: &String| -> String {
        place.split('/').filter(|step| step.parse::<usize>().is_err()).collect::<Vec<_>>().join("/")
    };
    let mut without: Vec<String> = found.iter().filter(|place| !own(place)).map(bare).collect();
    without.dedup();
    assert!(without.is_empty(), "no origin for {without:#?}");
    for (place, origin) in plan.origins.iter() {
        match origin {
            Origin::Written { file, path } => {
                assert_eq!(file, "display.toml", "{place}");
                assert!(place_of(text, path).is_some(), "{place}: nothing is written at {path}");
            }
            Origin::Default(rule) => assert!(!rule.is_empty(), "{place}"),
            Origin::Catalogue { part, field } => {
                assert!(has_field(part, field, display), "{place}: {part} has no {field}");
            }
            Origin::Worked { formula, .. } => {
                assert!(reckoning::formula(formula).is_some(), "{place}: no formula is called {formula}");
            }
        }
    }
}

#[test]
fn every_value_of_the_fox_has_an_origin() {
    let (display, text) = fox();
    every_value_has_an_origin(&display, &text);
}

#[test]
fn every_value_of_the_flagship_has_an_origin() {
    let (display, text) = flagship();
    every_value_has_an_origin(&display, &text);
}

#[test]
fn an_origin_of_a_whole_entity_tells_nothing_about_its_fields() {
    for (place, told) in [
        ("/channels", false),
        ("/channels/3", false),
        ("/channels/3/current_a", true),
        ("/panels/0/strands/2", false),
        ("/panels/0/holes", true),
        ("/supply/needed_a", true),
    ] {
        assert_eq!(of_a_field(place), told, "{place}");
    }
}
