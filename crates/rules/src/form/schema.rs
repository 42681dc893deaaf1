//! The shape of the machine form as JSON Schema (draft 2020-12), for whoever writes a player of their own.

use super::Form;
use schemars::transform::{RecursiveTransform, Transform};
use schemars::{Schema, json_schema};
use serde_json::{Value, json};

/// The schema, laid out for reading. What no schema can say (which positions exist) stands in `docs/FORM.md`.
pub fn schema() -> String {
    let mut schema = schemars::schema_for!(Form);
    RecursiveTransform(plain).transform(&mut schema);
    // A schema is made of texts and numbers only, so this always succeeds; the committed copy is never empty.
    serde_json::to_string_pretty(&schema).map(|text| text + "\n").unwrap_or_default()
}

/// Without what only Rust knows: links between its items, and whole numbers called after their bits.
fn plain(schema: &mut Schema) {
    if let Some(words) = schema.get("description").and_then(|words| words.as_str()) {
        let words = words.replace("[`", "`").replace("`]", "`");
        schema.insert("description".to_owned(), words.into());
    }
    let bounds = match schema.get("format").and_then(|format| format.as_str()) {
        Some("int32") => Some((Some(i64::from(i32::MIN)), Some(i64::from(i32::MAX)))),
        Some("uint32") => Some((None, Some(i64::from(u32::MAX)))),
        Some("int64" | "uint" | "uint8") => Some((None, None)),
        _ => None,
    };
    let Some((min, max)) = bounds else { return };
    schema.remove("format");
    for (key, bound) in [("minimum", min), ("maximum", max)] {
        if let Some(bound) = bound.filter(|_| schema.get(key).is_none()) {
            schema.insert(key.to_owned(), bound.into());
        }
    }
}

/// Says of each kind of expression: if `op` is its word, then it has these parts and no others. A plain choice between the kinds would
/// let some readers try every kind of every part of every part, which never ends.
pub(super) fn by_op(schema: &mut Schema) {
    let shared = schema.get("properties").and_then(Value::as_object).cloned().unwrap_or_default();
    let Some(Value::Array(kinds)) = schema.remove("oneOf") else { return };
    let mut words = Vec::new();
    let mut cases = Vec::new();
    for mut kind in kinds {
        let Some(properties) = kind.get_mut("properties").and_then(Value::as_object_mut) else { continue };
        let Some(op) = properties.get_mut("op").and_then(|op| op.get_mut("const")).map(Value::take) else {
            continue;
        };
        properties.insert("op".to_owned(), true.into());
        properties.extend(shared.keys().map(|key| (key.clone(), true.into())));
        kind["additionalProperties"] = false.into();
        cases.push(json!({ "if": { "properties": { "op": { "const": op } } }, "then": kind }));
        words.push(op);
    }
    if let Some(properties) = schema.get_mut("properties").and_then(Value::as_object_mut) {
        properties.insert("op".to_owned(), json!({ "description": "Which kind it is.", "enum": words }));
    }
    if let Some(required) = schema.get_mut("required").and_then(Value::as_array_mut) {
        required.push("op".into());
    }
    schema.insert("allOf".to_owned(), cases.into());
}

/// Only this word.
pub(super) fn format(_: &mut schemars::SchemaGenerator) -> Schema {
    json_schema!({ "const": super::FORMAT })
}

/// Only this number.
pub(super) fn version(_: &mut schemars::SchemaGenerator) -> Schema {
    json_schema!({ "const": super::VERSION })
}

/// The widths there are.
pub(super) fn width(_: &mut schemars::SchemaGenerator) -> Schema {
    json_schema!({ "enum": [8, 16, 32] })
}
