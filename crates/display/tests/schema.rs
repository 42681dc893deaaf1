//! The committed schemas are those that the key tables give. `LAMPWRIGHT_UPDATE=1` writes them anew.
#![allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "a test reads and writes the committed schemas"
)]

#[path = "../../reckoning/tests/common/mod.rs"]
mod python;

use source::{FileFault, Files};
use std::path::{Path, PathBuf};

#[track_caller]
fn current(name: &str, schema: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/schema").join(name);
    if std::env::var("LAMPWRIGHT_UPDATE").is_ok_and(|update| update == "1") {
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(&path, schema).unwrap();
    }
    let committed = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(committed == schema, "{name} is out of date; run this test with LAMPWRIGHT_UPDATE=1");
}

#[test]
fn the_committed_schemas_are_current() {
    current("display.schema.json", &display::display_schema());
    current("parts.schema.json", &display::parts_schema());
}

/// A display's folder on the disk.
struct Folder(PathBuf);

impl Files for Folder {
    fn read(&self, path: &str) -> Result<Vec<u8>, FileFault> {
        std::fs::read(self.0.join(path)).map_err(|_| FileFault::Missing)
    }

    fn names(&self) -> Vec<String> {
        Vec::new()
    }
}

/// The machine form's own schema is written in `crates/rules/tests/schema.rs`; here whole displays are held against it.
#[test]
fn the_forms_of_the_displays_fit_the_schema_of_the_form() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let schema = std::fs::read_to_string(root.join("docs/schema/form.schema.json")).unwrap();
    let schema: serde_json::Value = serde_json::from_str(&schema).unwrap();
    let (mut forms, mut broken) = (Vec::new(), Vec::new());
    for entry in std::fs::read_dir(root.join("displays")).unwrap() {
        let (display, faults, _) = display::read(&Folder(entry.unwrap().path()));
        let form = display.unwrap().form;
        assert!(!form.machines.is_empty(), "{faults:#?}");
        let mut form = serde_json::to_value(form).unwrap();
        forms.push(form.clone());
        form["machines"][0]["states"][0]["transitions"] = serde_json::json!({});
        broken.push(form);
    }
    assert!(forms.len() >= 4, "only {} displays", forms.len());
    let asked = serde_json::json!({ "schema": schema, "fit": forms, "unfit": broken }).to_string();
    let found = python::reference("../../rules/tests/schema.py", &["jsonschema"], &asked).concat();
    assert!(found.len() == forms.len() && found.iter().all(|wrong| *wrong > 0.0), "{found:?}");
}

#[test]
fn a_schema_requires_what_the_reader_requires() {
    let schema: serde_json::Value = serde_json::from_str(&display::display_schema()).unwrap();
    assert_eq!(schema["required"], serde_json::json!(["title", "rules", "figure", "supply"]));
    let figure = &schema["properties"]["figure"]["additionalProperties"];
    assert_eq!(figure["required"], serde_json::json!(["drawing", "height", "strands", "sheet"]));
    assert_eq!(figure["additionalProperties"], false);
}
