//! Reading TOML against a table of keys: typed values with their places, and every fault at once.
//!
//! The key tables ([`Keys`]) are the single place where a file's keys are written down: the reader checks against them,
//! suggests from them, and the published JSON Schema is made from them, so that none of the three can drift.

mod parse;
mod schema;
mod shape;
mod values;
mod walk;

pub use parse::{Leaves, leaves, place_of, read};
pub use schema::{document as schema_document, schema};
pub use shape::{Key, Keys, Measure, Names, Need, Shape};
pub use values::{Date, Entry, Read, Values};
