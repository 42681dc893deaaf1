//! The club passing's own rules, read with what its description offers to them. Tests of other crates take this file by its path.

#![allow(dead_code, unreachable_pub, reason = "shared by several tests, each using a part")]

use rules::form::Form;
use rules::interface::{DigitsName, FigureName, Interface, SpotName};
use source::Text;
use std::path::PathBuf;

/// What club passing offers to its rules.
pub fn interface() -> Interface {
    let sides = ["west", "east"];
    let poses = ["ready", "holding", "reaching", "throwing", "dropped"].map(str::to_owned).to_vec();
    let spot = |name: &str, count| SpotName { name: name.to_owned(), count, dims: false };
    Interface {
        figures: sides.map(|side| FigureName { name: side.to_owned(), poses: poses.clone() }).to_vec(),
        buttons: sides.map(str::to_owned).to_vec(),
        spots: vec![spot("club", 7), spot("west", 1), spot("east", 1)],
        digits: vec![DigitsName { name: "rally".to_owned(), count: 2 }],
        ..Interface::default()
    }
}

/// Its rules, without a fault.
#[allow(clippy::disallowed_methods, reason = "tests read the displays' rules")]
pub fn form() -> Form {
    let path =
        PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../displays/club-passing/club-passing.rules");
    let text = Text::new("club-passing.rules", std::fs::read_to_string(path).unwrap());
    let (form, faults) = rules::read(&text, &interface());
    let told: Vec<String> =
        faults.iter().map(|fault| finding::one_line(fault, std::slice::from_ref(&text))).collect();
    assert!(told.is_empty(), "{}", told.join("\n"));
    form
}
