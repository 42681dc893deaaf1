//! The JSON Schemas of the files a builder writes, made from the same key tables that the readers check against.

use crate::keys::DISPLAY;
use parts::PARTS;
use parts::reader::schema_document;

/// The schema of `display.toml`.
pub fn display_schema() -> String {
    schema_document("A display: display.toml", &DISPLAY)
}

/// The schema of `parts.toml`.
pub fn parts_schema() -> String {
    schema_document("What is on the shelf: parts.toml", &PARTS)
}
