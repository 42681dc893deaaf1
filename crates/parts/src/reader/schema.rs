//! The JSON Schema of a file, made from its key table.

use super::shape::{Keys, Measure, Need, Shape};
use serde_json::{Map, Value, json};

/// The schema document of a file.
pub fn document(title: &str, keys: &Keys) -> String {
    let mut root = Map::new();
    root.insert("$schema".into(), json!("https://json-schema.org/draft/2020-12/schema"));
    root.insert("title".into(), json!(title));
    if let Value::Object(table) = table(keys, true) {
        root.extend(table);
    }
    let mut text = serde_json::to_string_pretty(&Value::Object(root)).unwrap_or_default();
    text.push('\n');
    text
}

/// The schema of one shape.
pub fn schema(shape: &Shape) -> Value {
    match shape {
        Shape::Words { most } => json!({ "type": "string", "minLength": 1, "maxLength": most }),
        Shape::Name => json!({ "type": "string", "minLength": 1, "maxLength": 200 }),
        Shape::Choice(choices) => json!({ "type": "string", "enum": choices }),
        Shape::Whole { least, most } => json!({ "type": "integer", "minimum": least, "maximum": most }),
        Shape::Number { least, most } => json!({ "type": "number", "minimum": least, "maximum": most }),
        // A date stands without quotes in the file; editors that read it hand it on as words.
        Shape::Date => json!({ "type": "string", "format": "date" }),
        Shape::Flag => json!({ "type": "boolean" }),
        Shape::Quantity { measure, .. } => quantity(*measure),
        Shape::List { of, least, most } => {
            json!({ "type": "array", "items": schema(of), "minItems": least, "maxItems": most })
        }
        Shape::CountOrLabels { most, of } => json!({ "anyOf": [
            { "type": "integer", "minimum": 1, "maximum": most },
            { "type": "array", "items": schema(of), "minItems": 1, "maxItems": most, "uniqueItems": true },
        ] }),
        Shape::Table(keys) => table(keys, true),
        Shape::Named { keys, names, least } => json!({
            "type": "object",
            "propertyNames": { "pattern": names.pattern() },
            "additionalProperties": table(keys, *least > 0),
            "minProperties": least,
        }),
    }
}

/// A quantity: words with a number and a unit in them; the reader itself says the rest.
fn quantity(measure: Measure) -> Value {
    json!({
        "type": "string",
        "maxLength": quantity::MAX_CHARACTERS,
        "pattern": "[0-9½¼¾⅛⅜⅝⅞].*[^0-9\\s]",
        "examples": [measure.example()],
    })
}

/// A table. On a shelf a part may say less than the catalogue does, so nothing is required there.
fn table(keys: &Keys, strict: bool) -> Value {
    let mut properties = Map::new();
    for key in keys.keys {
        let mut property = schema(&key.shape);
        if let Value::Object(property) = &mut property {
            let words = match key.need {
                Need::Written => key.words.to_owned(),
                Need::Default(rule) => format!("{}. Left out: {rule}", key.words),
            };
            property.insert("description".into(), json!(words));
        }
        properties.insert(key.name.into(), property);
    }
    let written = keys.keys.iter().filter(|key| strict && key.need == Need::Written);
    json!({
        "type": "object",
        "properties": properties,
        "required": written.map(|key| key.name).collect::<Vec<_>>(),
        "additionalProperties": false,
    })
}
