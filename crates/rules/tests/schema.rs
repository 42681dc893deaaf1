//! The committed schema of the machine form is the one its types give, and says what a form is. The reader of schemas is one
//! that knows nothing of ours: the Python package `jsonschema`. `LAMPWRIGHT_UPDATE=1` writes the schema anew.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic, reason = "test code: a panic is a failed test")]
#![allow(clippy::disallowed_methods, reason = "tests read and write files of the repository")]

#[allow(dead_code, unreachable_pub, reason = "shared by several tests, each using a part")]
mod common;

#[path = "../../reckoning/tests/common/mod.rs"]
mod python;

use common::cases;
use python::reference;
use rules::form::{Form, schema};
use serde_json::{Value, json};
use source::Text;
use std::path::PathBuf;

fn repository(path: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..").join(path)
}

fn committed() -> Value {
    serde_json::from_str(&std::fs::read_to_string(repository("docs/schema/form.schema.json")).unwrap())
        .unwrap()
}

/// Fails unless these forms fit; how much is wrong with each of the others.
fn wrong(fit: &[Value], unfit: &[Value]) -> Vec<f64> {
    let asked = json!({ "schema": committed(), "fit": fit, "unfit": unfit });
    reference("schema.py", &["jsonschema"], &asked.to_string()).concat()
}

/// The form of a text of the suite.
fn form_of(name: &str) -> Value {
    let case = cases().into_iter().find(|case| case.name == name).unwrap();
    let (form, _) = rules::read(&Text::new("a.rules", case.text), &case.interface);
    serde_json::to_value(form).unwrap()
}

#[test]
fn the_committed_schema_is_current() {
    let path = repository("docs/schema/form.schema.json");
    if std::env::var("LAMPWRIGHT_UPDATE").is_ok_and(|update| update == "1") {
        std::fs::write(&path, schema()).unwrap();
    }
    let committed = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(committed == schema(), "the schema is out of date; run this test with LAMPWRIGHT_UPDATE=1");
}

#[test]
fn every_vectors_form_fits() {
    let mut forms = Vec::new();
    for entry in std::fs::read_dir(repository("vectors")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "json") {
            let vector: Value = serde_json::from_str(&std::fs::read_to_string(&path).unwrap()).unwrap();
            forms.push(vector["form"].clone());
        }
    }
    assert!(forms.len() > 50, "only {} vectors", forms.len());
    assert!(wrong(&forms, &[]).is_empty());
}

/// The page's example fits, is the form of the rules it is said to be of, and plays.
#[test]
fn the_example_of_the_page_is_a_form() {
    let page = std::fs::read_to_string(repository("docs/FORM.md")).unwrap();
    let example = page.split("```json\n").nth(1).unwrap().split("```").next().unwrap();
    let example: Value = serde_json::from_str(example).unwrap();
    wrong(std::slice::from_ref(&example), &[]);
    let rules = "machine fox\nstate left shows left lights wave\nstate right shows right\n\
                 left on press wave go right\nright after 300 ms go left\n";
    let interface = rules::interface::Interface {
        figures: vec![rules::interface::FigureName {
            name: "fox".into(),
            poses: vec!["left".into(), "right".into()],
        }],
        buttons: vec!["wave".into()],
        spots: vec![rules::interface::SpotName { name: "wave".into(), count: 1, dims: false }],
        ..Default::default()
    };
    let (form, _) = rules::read(&Text::new("a.rules", rules), &interface);
    assert_eq!(serde_json::from_value::<Form>(example).unwrap(), form);
}

/// A pointer into a form, and what stands there instead; null takes it away.
type Slip = (&'static str, &'static str, fn() -> Value);

const SLIPS: [Slip; 22] = [
    ("messages", "/format", || json!("another-form")),
    ("messages", "/version", || json!(1)),
    ("messages", "/tick_ms", || json!(0)),
    ("messages", "/tick_ms", || json!("10")),
    ("messages", "/seed", || json!(-1)),
    ("messages", "/buttons", || json!("wave")),
    ("messages", "/machines/0/states", || json!([])),
    ("messages", "/machines/0/name", Value::default),
    ("messages", "/machines/0/name", || json!(3)),
    ("messages", "/machines/0/states/0/transitions/0/trigger/on", || json!("knock")),
    ("messages", "/machines/0/states/0/transitions/0/trigger", || json!({})),
    ("messages", "/machines/0/states/0/transitions/0/go", || json!(-1)),
    ("messages", "/machines/0/states/0/transitions/0/go", || json!(0.5)),
    ("messages", "/machines/0/states/0/transitions/0/actions", || json!([{ "do": "jump" }])),
    ("messages", "/machines/0/states/0/transitions/0/priority", Value::default),
    ("saturation", "/machines/0/numbers/0/max", || json!(2_147_483_648_u64)),
    ("saturation", "/machines/0/numbers/0/kept", || json!(1)),
    ("saturation", "/machines/0/numbers/0/colour", || json!("red")),
    ("brightest-wins", "/machines/0/states/0/lights/0/level", || json!({ "op": "const", "v": 255 })),
    ("brightest-wins", "/machines/0/states/0/lights/0/level", || json!({ "w": 12, "op": "const", "v": 255 })),
    ("brightest-wins", "/machines/0/states/0/lights/0/level", || json!({ "w": 8, "op": "root", "a": 1 })),
    (
        "brightest-wins",
        "/machines/0/states/0/lights/0/level",
        || json!({ "w": 8, "op": "const", "v": 1, "x": 1 }),
    ),
];

#[test]
fn a_form_with_a_slip_does_not_fit() {
    let mut slipped = Vec::new();
    for (case, pointer, wrong) in SLIPS {
        let mut form = form_of(case);
        let (parent, key) = pointer.rsplit_once('/').unwrap();
        let parent = form.pointer_mut(parent).unwrap_or_else(|| panic!("{case} has no {parent}"));
        match wrong() {
            Value::Null => drop(parent.as_object_mut().unwrap().remove(key).unwrap()),
            other => drop(parent.as_object_mut().unwrap().insert(key.to_owned(), other)),
        }
        slipped.push(form);
    }
    let sound: Vec<Value> = SLIPS.iter().map(|(case, ..)| form_of(case)).collect();
    let found = wrong(&sound, &slipped);
    assert_eq!(found.len(), SLIPS.len());
    for ((case, pointer, slip), found) in SLIPS.iter().zip(found) {
        assert!(found > 0.0, "{case}: {pointer} = {}", slip());
    }
}
