//! The recipe as files: what is in it, that it never changes, that withheld sheets are gone, and that readers made by
//! others find every hole where the plan has it.
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests stand outside the test functions")]

mod common;

use finding::Sheet;
use quantity::Units;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Everything in the recipe of one panel called `fox`.
const ALL: [&str; 14] = [
    "book.pdf",
    "tables/cables.csv",
    "tables/channels.csv",
    "tables/holes.csv",
    "tables/parts.csv",
    "tables/threading.csv",
    "templates/fox-a3.pdf",
    "templates/fox-a4.pdf",
    "templates/fox-letter.pdf",
    "templates/fox-projector.pdf",
    "templates/fox-roll.pdf",
    "templates/fox-tabloid.pdf",
    "templates/fox.dxf",
    "templates/fox.svg",
];

#[test]
fn the_same_plan_gives_the_same_bytes() {
    let plan = common::plan(Units::Inches);
    let first = book::recipe(&plan, &common::form()).unwrap();
    let second = book::recipe(&plan, &common::form()).unwrap();
    assert_eq!(first.keys().map(String::as_str).collect::<Vec<_>>(), ALL);
    for (path, bytes) in &first {
        assert!(second[path] == *bytes, "{path} differs between two runs");
    }
}

#[test]
fn what_a_danger_withholds_is_not_in_the_recipe() {
    let gone: [(Sheet, &[&str]); 4] = [
        (Sheet::Wiring, &["tables/cables.csv", "tables/channels.csv"]),
        (Sheet::Threading, &["tables/threading.csv"]),
        (Sheet::Panel, &["tables/holes.csv"]),
        (
            Sheet::Templates,
            &[
                "tables/holes.csv",
                "templates/fox-a3.pdf",
                "templates/fox-a4.pdf",
                "templates/fox-letter.pdf",
                "templates/fox-projector.pdf",
                "templates/fox-roll.pdf",
                "templates/fox-tabloid.pdf",
                "templates/fox.dxf",
                "templates/fox.svg",
            ],
        ),
    ];
    for (sheet, without) in gone {
        let mut plan = common::plan(Units::Millimetres);
        plan.findings.insert(0, common::danger(vec![sheet]));
        plan.withheld = vec![sheet];
        let files = book::recipe(&plan, &common::form()).unwrap();
        let left: Vec<&str> = ALL.into_iter().filter(|path| !without.contains(path)).collect();
        assert_eq!(files.keys().map(String::as_str).collect::<Vec<_>>(), left, "{}", sheet.title());
    }
}

#[test]
fn names_that_could_trouble_a_file_system_are_replaced() {
    let mut plan = common::plan(Units::Millimetres);
    plan.panels[0].name = "../#fox *a* = [b] $c$ @d".into();
    let files = book::recipe(&plan, &common::form()).unwrap();
    assert!(files.contains_key("templates/----fox--a-----b---c---d.svg"), "{:?}", files.keys());
}

/// ezdxf, pypdf, pdfplumber and poppler read the files back; `readback.py` compares them with the plan.
#[test]
fn other_readers_find_every_hole() {
    // Four inches, or a hundred millimetres: whose bars are on the paper.
    for (units, name, bar_mm) in
        [(Units::Inches, "inches", 101.6), (Units::Millimetres, "millimetres", 100.0)]
    {
        let plan = common::plan(units);
        let files = book::recipe(&plan, &common::form()).unwrap();
        read_back(name, &files, &panel_expected(&plan, 0, bar_mm, &[]));
    }
}

/// Two mirrored panels, a span, digits, mains through switch boxes: every chapter, and one template for both panels.
#[test]
fn other_readers_find_the_whole_of_two_jugglers() {
    let plan = common::club::plan(Units::Inches);
    let mut form = common::club::form();
    form.settings.push(rules::form::Setting { name: "tempo".into(), min: 1, max: 4, start: 3 });
    let files = book::recipe(&plan, &form).unwrap();
    let present = [
        "Drilled with west, face to face",
        "west from the BACK, east from the FRONT",
        "tape them flat behind the panel, in no hole",
        "Nobody stands, climbs or pulls under this rope.",
        "4 ft 6 3/8 in (1381 mm)",
        "rally: channel of each segment",
        "west always (box P, outlet 1, 120 V)",
        "Press the test button of the ground-fault device",
        "Look up before you lift",
        "Ask before you drive a stake",
        "pull-test the stake to",
        "Unplug everything first",
        "The kitchen-table rig",
        "an output is lit only while somebody holds a button",
        "Settings, in this order: tempo",
        "brown-out level 4.3 V",
        "children hold every button",
        "after three resets within a minute",
        "H = w L^2 / (8 s)",
    ];
    read_back("jugglers-west", &files, &panel_expected(&plan, 0, 101.6, &present));
    let mut east = panel_expected(&plan, 1, 101.6, &[]);
    east["book"] = false.into();
    read_back("jugglers-east", &files, &east);
}

/// What the reader is to find of one panel.
fn panel_expected(plan: &plan::Plan, panel: usize, bar_mm: f64, present: &[&str]) -> serde_json::Value {
    let panel = &plan.panels[panel];
    let holes: Vec<_> = panel.holes.iter().map(|hole| (hole.number, hole.x_mm, hole.y_mm)).collect();
    serde_json::json!({
        "title": plan.title, "holes": holes, "hole_mm": panel.hole_mm, "width_mm": panel.width_mm,
        "height_mm": panel.height_mm, "name": panel.name, "withheld": [], "bar_mm": bar_mm,
        "twin_of": panel.twin_of, "present": present,
    })
}

/// A rope that may fall, and what stands under it: neither the hanging sheet nor the put-up card is in the book.
#[test]
fn other_readers_find_no_hanging_sheet_where_the_rope_is_a_danger() {
    let mut plan = common::club::plan(Units::Millimetres);
    let danger = common::danger(vec![Sheet::Hanging, Sheet::PutUp]);
    let expected = serde_json::json!({
        "title": plan.title, "withheld": ["hanging sheet", "put-up card"], "verdict": danger.verdict,
        "cure": danger.cures[0].words, "absent": ["cut list", "mark the rope at", "Tools and boxes", "Take down"],
        "present": ["Is it up already?"],
    });
    plan.findings.insert(0, danger);
    plan.withheld = vec![Sheet::Hanging, Sheet::PutUp];
    let files = book::recipe(&plan, &common::club::form()).unwrap();
    read_back("no-hanging", &files, &expected);
}

/// The book says why wiring is withheld, and shows none of it.
#[test]
fn other_readers_find_why_a_sheet_is_withheld() {
    let mut plan = common::plan(Units::Inches);
    let danger = common::danger(vec![Sheet::Wiring, Sheet::Templates]);
    let expected = serde_json::json!({
        "title": plan.title, "withheld": ["wiring sheets", "templates"],
        "verdict": danger.verdict, "cure": danger.cures[0].words, "absent": ["A1 fox always", "register latch"],
    });
    plan.findings.insert(0, danger);
    plan.withheld = vec![Sheet::Wiring, Sheet::Templates];
    let files = book::recipe(&plan, &common::form()).unwrap();
    read_back("withheld", &files, &expected);
}

/// Writes the files and runs the reader over them.
#[allow(clippy::disallowed_methods, reason = "a test gives the files to a program of another make")]
fn read_back(name: &str, files: &BTreeMap<String, Vec<u8>>, expected: &serde_json::Value) {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("book-readback").join(name);
    if folder.exists() {
        std::fs::remove_dir_all(&folder).unwrap();
    }
    for (path, bytes) in files {
        let path = folder.join(path);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, bytes).unwrap();
    }
    std::fs::write(folder.join("expected.json"), expected.to_string()).unwrap();
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/readback.py");
    let run = Command::new(python()).arg(script).arg(&folder).output().unwrap();
    assert!(
        run.status.success(),
        "{name}:\n{}{}",
        String::from_utf8_lossy(&run.stdout),
        String::from_utf8_lossy(&run.stderr)
    );
}

/// A Python with the readers: the one named by `LAMPWRIGHT_PYTHON`, else one of our own under `target`, made on demand.
#[allow(clippy::disallowed_methods, reason = "a test needs a program of another make")]
fn python() -> PathBuf {
    static ONE_AT_A_TIME: std::sync::Mutex<()> = std::sync::Mutex::new(());
    let _waiting = ONE_AT_A_TIME.lock();
    if let Ok(named) = std::env::var("LAMPWRIGHT_PYTHON") {
        return PathBuf::from(named);
    }
    let venv = Path::new(env!("CARGO_TARGET_TMPDIR")).parent().unwrap().join("venv");
    let python = venv.join("bin/python");
    let packages = ["ezdxf", "pypdf", "pdfplumber"];
    let ready = |python: &Path| {
        let tried = Command::new(python).args(["-c", &format!("import {}", packages.join(", "))]).output();
        tried.is_ok_and(|tried| tried.status.success())
    };
    if !ready(&python) {
        let made = Command::new("python3").args(["-m", "venv"]).arg(&venv).status().unwrap();
        assert!(made.success(), "no virtual environment could be made");
        let got = Command::new(&python).args(["-m", "pip", "install", "-q"]).args(packages).status().unwrap();
        assert!(got.success() && ready(&python), "the readers could not be installed");
    }
    python
}
