//! The displays' own rules, and rules written for a test.

#![allow(dead_code, unreachable_pub, reason = "shared by several tests, each using a part")]

#[path = "../../../rules/tests/common/club.rs"]
pub mod club_passing;

use rules::form::Form;
use rules::interface::{DigitsName, FigureName, Interface, SpotName};
use source::Text;
use std::path::PathBuf;

/// What the waving fox offers to its rules.
pub fn fox_interface() -> Interface {
    Interface {
        figures: vec![FigureName {
            name: "fox".to_owned(),
            poses: ["left", "right"].map(str::to_owned).to_vec(),
        }],
        buttons: vec!["wave".to_owned()],
        spots: vec![SpotName { name: "wave".to_owned(), count: 1, dims: false }],
        ..Interface::default()
    }
}

/// What the firefly pond offers to its rules.
pub fn pond_interface() -> Interface {
    let poses = ["sitting", "tongue", "gulp", "asleep"].map(str::to_owned).to_vec();
    let spot = |name: &str, count| SpotName { name: name.to_owned(), count, dims: false };
    Interface {
        figures: vec![FigureName { name: "frog".to_owned(), poses }],
        buttons: vec!["tongue".to_owned()],
        spots: vec![spot("tongue", 1), spot("reed", 7)],
        digits: vec![DigitsName { name: "caught".to_owned(), count: 2 }],
        ..Interface::default()
    }
}

#[allow(clippy::disallowed_methods, reason = "tests read the displays' rules")]
pub fn text(display: &str) -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path.join(format!("../../displays/{display}/{display}.rules"))).unwrap()
}

/// Rules without a fault.
pub fn form(text: &str, interface: &Interface) -> Form {
    let text = Text::new("test.rules", text);
    let (form, faults) = rules::read(&text, interface);
    let stops: Vec<String> = faults
        .iter()
        .filter(|fault| fault.stops())
        .map(|fault| finding::one_line(fault, std::slice::from_ref(&text)))
        .collect();
    assert!(stops.is_empty(), "{stops:#?}");
    form
}

pub fn fox() -> Form {
    form(&text("waving-fox"), &fox_interface())
}

/// Buttons and two digits called `score`.
pub fn plain(buttons: &[&str]) -> Interface {
    Interface {
        buttons: buttons.iter().map(|name| (*name).to_owned()).collect(),
        digits: vec![DigitsName { name: "score".to_owned(), count: 2 }],
        ..Interface::default()
    }
}
