//! Which part of a description a fault belongs to.

use crate::model::Trouble;
use crate::read::DESCRIPTION;
use finding::Fault;
use parts::reader::{Read, Values};
use source::KeyPath;
use std::collections::BTreeMap;

/// Everything that has stopping faults, with their codes.
pub(crate) fn troubles(values: &Values, faults: &[Fault], rules: Option<&str>) -> Vec<Trouble> {
    let tables = tables(values);
    let mut found: BTreeMap<KeyPath, Vec<&'static str>> = BTreeMap::new();
    for fault in faults.iter().filter(|fault| fault.stops()) {
        for about in about(values, &tables, fault, rules) {
            found.entry(about).or_default().push(fault.code);
        }
    }
    found.into_iter().map(|(about, codes)| Trouble { about, codes }).collect()
}

/// Every table of the description: where it begins, where it ends if that is known, and its key. A value that is no table
/// is told like a table that ends with it.
fn tables(values: &Values) -> Vec<(usize, usize, KeyPath)> {
    let mut tables = Vec::new();
    for (_, entry) in &values.entries {
        let Read::Table(inner) = &entry.value else {
            tables.push((entry.key.start, entry.place.end, entry.path.clone()));
            continue;
        };
        tables.push((entry.key.start, usize::MAX, entry.path.clone()));
        let named = inner.entries.iter().filter(|(_, entry)| matches!(entry.value, Read::Table(_)));
        tables.extend(named.map(|(_, entry)| (entry.key.start, usize::MAX, entry.path.clone())));
    }
    tables.sort();
    tables
}

/// What a fault is about: the table it stands in, whatever uses the file it stands in, or the description as a whole.
fn about(
    values: &Values,
    tables: &[(usize, usize, KeyPath)],
    fault: &Fault,
    rules: Option<&str>,
) -> Vec<KeyPath> {
    let whole = || vec![KeyPath::dotted("display")];
    let Some(place) = &fault.place else { return whole() };
    if place.file == DESCRIPTION {
        if fault.code == "key/missing" && place.end == 0 {
            return vec![missing(&fault.message)];
        }
        let before = tables.iter().rev().find(|(start, _, _)| *start <= place.start);
        let inside = before.filter(|(_, end, _)| place.start < *end);
        return inside.map_or_else(whole, |(_, _, path)| vec![path.clone()]);
    }
    if rules == Some(place.file.as_str()) {
        return vec![KeyPath::dotted("rules")];
    }
    let users: Vec<KeyPath> = ["figure", "object"]
        .into_iter()
        .flat_map(|kind| values.named(kind))
        .filter(|(_, _, table)| table.words("drawing").is_some_and(|drawing| drawing.value == place.file))
        .map(|(_, entry, _)| entry.path.clone())
        .collect();
    if users.is_empty() { vec![KeyPath::dotted("shelf")] } else { users }
}

/// The key that a fault about a missing key names.
fn missing(message: &str) -> KeyPath {
    KeyPath::dotted(message.split('`').nth(1).unwrap_or_default())
}
