//! Changing one value leaves every other byte, comment and order as they were.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail")]

mod common;

use common::DESCRIPTION;
use display::{Edit, EditFault, apply, place_of};
use proptest::prelude::*;
use source::{KeyPath, PatchFault, Text};

fn text() -> Text {
    Text::new("display.toml", DESCRIPTION)
}

fn edit(path: KeyPath, expected: &str, new: &str) -> Edit {
    Edit { path, expected: expected.into(), new: new.into() }
}

#[test]
fn one_value_changes_and_the_rest_stays() {
    let height = KeyPath::dotted("figure.fox.height");
    let patched = apply(&text(), &edit(height, "\"4 ft\"", "\"5 ft\"")).unwrap();
    assert_eq!(patched, DESCRIPTION.replace("\"4 ft\"", "\"5 ft\""));
    let strand = KeyPath::dotted("figure.fox.strands").index(1);
    let patched = apply(&text(), &edit(strand, "\"led-20-3in-12v\"", "\"led-25-3in-12v\"")).unwrap();
    assert_eq!(patched, DESCRIPTION.replace("led-20-3in-12v", "led-25-3in-12v"));
    let nearest = KeyPath::dotted("place.viewers.nearest");
    assert_eq!(text().at(&place_of(&text(), &nearest).unwrap()), "\"10 ft\"");
}

#[test]
fn what_would_change_more_is_refused() {
    let height = || KeyPath::dotted("figure.fox.height");
    for (new, fault) in [
        ("\"5 ft\"\nsheet2 = \"x\"", EditFault::ChangesMore(KeyPath::dotted("figure.fox.sheet2"))),
        ("\"5 ft\" # smuggled", EditFault::ChangesMore(height())),
        (" \"5 ft\"", EditFault::ChangesMore(height())),
        ("\"5 ft", EditFault::Unreadable),
        ("5 ft", EditFault::Unreadable),
        ("", EditFault::Unreadable),
    ] {
        assert_eq!(apply(&text(), &edit(height(), "\"4 ft\"", new)), Err(fault), "{new}");
    }
    let changed = EditFault::Patch(PatchFault::Changed("\"4 ft\"".into()));
    assert_eq!(apply(&text(), &edit(height(), "\"3 ft\"", "\"5 ft\"")), Err(changed));
    let nowhere = KeyPath::dotted("figure.fox.width");
    assert_eq!(apply(&text(), &edit(nowhere, "", "\"5 ft\"")), Err(EditFault::NoSuchPath));
    assert_eq!(apply(&text(), &edit(KeyPath::root(), "", "x = 1")), Err(EditFault::NoSuchPath));
    let broken = Text::new("display.toml", "a = \nb = 1\n");
    assert_eq!(apply(&broken, &edit(KeyPath::dotted("b"), "1", "2")), Err(EditFault::Broken));
}

/// Every value of the fox that is no table, with its spelling.
fn values() -> Vec<(KeyPath, String)> {
    let leaves = parts::reader::leaves(DESCRIPTION).unwrap();
    let paths = leaves.into_iter().filter(|(_, value)| value != "table").map(|(path, _)| path);
    paths.map(|path| (path.clone(), text().at(&place_of(&text(), &path).unwrap()).to_owned())).collect()
}

proptest! {
    #[test]
    fn every_value_can_be_changed_and_changed_back(pick in any::<prop::sample::Index>(), new in "[a-z0-9 ]{1,12}") {
        let values = values();
        prop_assert!(values.len() > 10);
        let (path, old) = pick.get(&values);
        let new = format!("\"{new}\"");
        let patched = apply(&text(), &edit(path.clone(), old, &new)).unwrap();
        let comments = |content: &str| content.matches('#').count();
        prop_assert_eq!(comments(&patched), comments(DESCRIPTION));
        prop_assert_eq!(patched.len() + old.len(), DESCRIPTION.len() + new.len());
        let back = apply(&Text::new("display.toml", patched), &edit(path.clone(), &new, old)).unwrap();
        prop_assert_eq!(back, DESCRIPTION);
    }

    #[test]
    fn whatever_is_to_be_written_only_that_value_changes(pick in any::<prop::sample::Index>(), new in "[\\[\\]{}\"'=.,#0-9a-z \n]{0,14}") {
        let values = values();
        let (path, old) = pick.get(&values);
        if let Ok(patched) = apply(&text(), &edit(path.clone(), old, &new)) {
            let before = parts::reader::leaves(DESCRIPTION).unwrap();
            let after = parts::reader::leaves(&patched).unwrap();
            for (other, value) in before.iter().filter(|(other, _)| !other.0.starts_with(&path.0)) {
                prop_assert_eq!(after.get(other), Some(value));
            }
            let place = place_of(&text(), path).unwrap();
            prop_assert_eq!(&patched[..place.start], &DESCRIPTION[..place.start]);
            prop_assert!(patched.ends_with(&DESCRIPTION[place.end..]));
        }
    }
}
