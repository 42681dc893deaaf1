//! The committed schemas are those that the key tables give. `LAMPWRIGHT_UPDATE=1` writes them anew.
#![allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "a test reads and writes the committed schemas"
)]

use std::path::Path;

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

#[test]
fn a_schema_requires_what_the_reader_requires() {
    let schema: serde_json::Value = serde_json::from_str(&display::display_schema()).unwrap();
    assert_eq!(schema["required"], serde_json::json!(["title", "rules", "figure", "supply"]));
    let figure = &schema["properties"]["figure"]["additionalProperties"];
    assert_eq!(figure["required"], serde_json::json!(["drawing", "height", "strands", "sheet"]));
    assert_eq!(figure["additionalProperties"], false);
}
