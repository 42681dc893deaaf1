//! The C of one rule set as it is meant to look. `LAMPWRIGHT_UPDATE=1` writes it anew; read the difference before you keep it.
#![allow(clippy::disallowed_methods, reason = "tests read and write the project's own files")]

use rules::form::Form;
use std::path::Path;

#[test]
fn the_c_is_as_expected() {
    let own = Path::new(env!("CARGO_MANIFEST_DIR"));
    let vector = std::fs::read_to_string(own.join("../../vectors/per-side.json")).unwrap();
    let mut vector: serde_json::Value = serde_json::from_str(&vector).unwrap();
    let form: Form = serde_json::from_value(vector["form"].take()).unwrap();
    let (header, source) = firmware::rules_c(&form).unwrap();
    for (name, text) in [("per-side.h", header), ("per-side.c", source)] {
        let path = own.join("expected").join(name);
        if std::env::var("LAMPWRIGHT_UPDATE").is_ok() {
            std::fs::write(&path, &text).unwrap();
        }
        let expected = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(text == expected, "{name} has changed; LAMPWRIGHT_UPDATE=1 writes it anew:\n{text}");
    }
}

#[test]
fn a_form_beyond_the_memory_is_refused() {
    let own = Path::new(env!("CARGO_MANIFEST_DIR"));
    let vector = std::fs::read_to_string(own.join("../../vectors/per-side.json")).unwrap();
    let mut vector: serde_json::Value = serde_json::from_str(&vector).unwrap();
    let mut form: Form = serde_json::from_value(vector["form"].take()).unwrap();
    assert!(firmware::memory(&form) < 400, "{}", firmware::memory(&form));
    let number = rules::form::Number {
        name: "n".into(),
        min: -70_000,
        max: 70_000,
        start: 0,
        shown_on: None,
        kept: false,
    };
    form.machines[0].numbers.extend(std::iter::repeat_n(number, 250));
    let words = firmware::rules_c(&form).unwrap_err().to_string();
    assert!(words.contains("2048"), "{words}");
}
