//! From text to a checked tree; places and leaves for patches.

use super::shape::Keys;
use super::values::Values;
use super::walk::Walk;
use finding::Fault;
use source::{KeyPath, Place, Step, Text};
use std::collections::BTreeMap;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Reads a text against its key table: what could be read, and everything that is wrong.
pub fn read(
    text: &Text,
    keys: &'static Keys,
    missing_allowed: impl Fn(&KeyPath) -> bool,
) -> (Values, Vec<Fault>) {
    let (root, errors) = DeTable::parse_recoverable(text.content());
    let mut faults: Vec<Fault> = errors.iter().map(|error| syntax(text, error)).collect();
    faults.dedup_by(|a, b| a.place == b.place);
    let broken = !faults.is_empty();
    // In a text with slips a key may only seem to be missing.
    let mut walk = Walk { text, faults, missing_allowed: &|path| broken || missing_allowed(path) };
    let whole = Place::new(text.name(), 0, 0);
    let values = walk.table(root.get_ref(), keys, &KeyPath::root(), &whole);
    let mut faults = walk.faults;
    faults.sort_by_key(|fault| fault.place.as_ref().map(|place| place.start));
    (values, faults)
}

/// A slip in the spelling of the file itself.
fn syntax(text: &Text, error: &toml::de::Error) -> Fault {
    let span = error.span().unwrap_or(0..0);
    let place = Place::new(text.name(), span.start, span.end);
    let message = error.message().lines().collect::<Vec<_>>().join(", ");
    Fault::new("toml/syntax", Some(place), message).maybe_hint(quotes_missing(text.content(), span.start))
}

/// The commonest slip: a quantity without its quotes, `height = 4 ft`.
fn quotes_missing(content: &str, at: usize) -> Option<String> {
    let start = content.get(..at)?.rfind('\n').map_or(0, |newline| newline + 1);
    let line = content.get(start..)?.lines().next()?;
    let value = line.split_once('=')?.1.split('#').next()?.trim();
    let quantity =
        value.starts_with(|c: char| c.is_ascii_digit()) && value.contains(|c: char| c.is_alphabetic());
    (quantity && !value.contains(['"', '{', '['])).then(|| format!("put a quantity in quotes: \"{value}\""))
}

/// Where the value at a path stands in the text.
pub fn place_of(text: &Text, path: &KeyPath) -> Option<Place> {
    let (root, _) = DeTable::parse_recoverable(text.content());
    let (first, rest) = path.0.split_first()?;
    let mut value = step_into_table(root.get_ref(), first)?;
    for step in rest {
        value = match (value.get_ref(), step) {
            (DeValue::Table(table), _) => step_into_table(table, step)?,
            (DeValue::Array(array), Step::Index(index)) => array.get(*index)?,
            _ => return None,
        };
    }
    let span = value.span();
    Some(Place::new(text.name(), span.start, span.end))
}

/// The value of one key.
fn step_into_table<'a, 'i>(table: &'a DeTable<'i>, step: &Step) -> Option<&'a Spanned<DeValue<'i>>> {
    match step {
        Step::Key(key) => table.get(key.as_str()),
        Step::Index(_) => None,
    }
}

/// Every value of a text by its path, spelled so that equal values are equal words.
pub type Leaves = BTreeMap<KeyPath, String>;

/// All values of a text, or nothing when the text has slips.
pub fn leaves(content: &str) -> Option<Leaves> {
    let root = DeTable::parse(content).ok()?;
    let mut all = Leaves::new();
    gather_table(root.get_ref(), &KeyPath::root(), &mut all);
    Some(all)
}

/// The leaves of a table.
fn gather_table(table: &DeTable<'_>, path: &KeyPath, all: &mut Leaves) {
    all.insert(path.clone(), "table".to_owned());
    for (key, value) in table {
        gather(value.get_ref(), &path.key(key.get_ref().as_ref()), all);
    }
}

/// The leaves of a value.
fn gather(value: &DeValue<'_>, path: &KeyPath, all: &mut Leaves) {
    let spelled = match value {
        DeValue::String(words) => format!("words {words}"),
        DeValue::Integer(number) => format!("whole {number}"),
        DeValue::Float(number) => format!("number {number}"),
        DeValue::Boolean(flag) => format!("flag {flag}"),
        DeValue::Datetime(time) => format!("time {time}"),
        DeValue::Array(array) => {
            for (index, value) in array.iter().enumerate() {
                gather(value.get_ref(), &path.index(index), all);
            }
            format!("list of {}", array.len())
        }
        DeValue::Table(table) => return gather_table(table, path, all),
    };
    all.insert(path.clone(), spelled);
}
