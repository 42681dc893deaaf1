//! The recipes of the displays in this project, read back by programs of another make: every hole where `plan.json` has it.
//!
//! ezdxf reads the DXF, the standard library of Python the SVG (both to 0.01 mm), pdfplumber the roll and the tiles put
//! together (0.1 mm), pypdf the book.
#![allow(clippy::disallowed_methods, reason = "tests run the program on real files")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests stand outside the test functions")]

mod support;

use serde_json::{Value, json};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use support::{code, program, said};

/// Bars for measuring paper: four inches, or a hundred millimetres.
fn bar_mm(plan: &Value) -> f64 {
    if plan["units"] == "in" { 4.0 * 25.4 } else { 100.0 }
}

#[test]
fn every_hole_of_every_display_stands_where_the_plan_has_it() {
    let displays = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../displays");
    let mut folders: Vec<PathBuf> =
        fs::read_dir(displays).unwrap().map(|entry| entry.unwrap().path()).collect();
    folders.sort();
    assert!(folders.iter().any(|folder| folder.ends_with("waving-fox")), "{folders:?}");
    let mut holes = 0;
    for folder in folders.iter().filter(|folder| folder.join("display.toml").exists()) {
        let recipe = tempfile::tempdir().unwrap();
        let built = program().arg("build").arg(folder).arg("--out").arg(recipe.path()).output().unwrap();
        assert_eq!(code(&built), 0, "{}", said(&built));
        let plan: Value =
            serde_json::from_slice(&fs::read(recipe.path().join("plan.json")).unwrap()).unwrap();
        for (k, panel) in plan["panels"].as_array().unwrap().iter().enumerate() {
            // The book is one for all panels.
            read_back(recipe.path(), &plan, panel, k == 0);
            holes += panel["holes"].as_array().unwrap().len();
        }
    }
    assert!(holes > 100, "only {holes} holes were compared");
}

fn read_back(recipe: &Path, plan: &Value, panel: &Value, book: bool) {
    let form: Value = serde_json::from_slice(&fs::read(recipe.join("form.json")).unwrap()).unwrap();
    let holes: Vec<Value> = panel["holes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|hole| json!([hole["number"], hole["x_mm"], hole["y_mm"]]))
        .collect();
    let expected = json!({
        "title": plan["title"], "holes": holes, "hole_mm": panel["hole_mm"], "width_mm": panel["width_mm"],
        "height_mm": panel["height_mm"], "name": panel["name"], "withheld": [], "bar_mm": bar_mm(plan),
        "cards": cards(plan, &form), "book": book,
    });
    fs::write(recipe.join("expected.json"), expected.to_string()).unwrap();
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("../book/tests/readback.py");
    let run = Command::new(python()).arg(script).arg(recipe).output().unwrap();
    let words = format!("{}{}", String::from_utf8_lossy(&run.stdout), String::from_utf8_lossy(&run.stderr));
    assert!(run.status.success(), "{} {}:\n{words}", plan["title"], panel["name"]);
}

/// What must stand on one page: a card that goes on over the page is half left in the garage.
fn cards(plan: &Value, form: &Value) -> Value {
    // The rule card from its first button to its last constant, and the rehearsal from its verdict to its last word.
    let constant = form["sliders"]
        .as_array()
        .unwrap()
        .last()
        .map_or("A bout".to_owned(), |last| last["name"].as_str().unwrap().replace('-', " "));
    let mut cards = vec![
        json!(["Rules", "Holding it down ", "A bout", constant]),
        json!(["Rehearsal", "first success", "Simulated, not seen", "Try it with real people."]),
    ];
    let steps = plan["put_up"].as_array().unwrap();
    if let (Some(first), Some(last)) = (steps.first(), steps.last()) {
        cards.push(json!(["Put up", first["up"], last["up"]]));
        cards.push(json!(["Take down", last["down"], first["down"]]));
    }
    json!(cards)
}

/// The Python that has the readers: the one named by `LAMPWRIGHT_PYTHON`, or that of `cargo xtask ci`.
fn python() -> PathBuf {
    let named = std::env::var_os("LAMPWRIGHT_PYTHON").map(PathBuf::from);
    named.unwrap_or_else(|| Path::new(env!("CARGO_TARGET_TMPDIR")).with_file_name("venv/bin/python3"))
}
