//! All parts that a display may use.

use crate::build::Part;
use crate::keys::PARTS;
use crate::reader::{self, Values};
use crate::{Controller, DriverBoard, SheetGood, Strand, Supply};
use finding::Fault;
use source::{KeyPath, Step, Text};
use std::collections::BTreeMap;

/// The catalogue's texts.
const CATALOGUE: [(&str, &str); 5] = [
    ("catalogue/strands.toml", include_str!("../catalogue/strands.toml")),
    ("catalogue/sheets.toml", include_str!("../catalogue/sheets.toml")),
    ("catalogue/supplies.toml", include_str!("../catalogue/supplies.toml")),
    ("catalogue/boards.toml", include_str!("../catalogue/boards.toml")),
    ("catalogue/controllers.toml", include_str!("../catalogue/controllers.toml")),
];

/// Parts by their names.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shelf {
    /// Light strings.
    pub strands: BTreeMap<String, Strand>,
    /// Sheets.
    pub sheets: BTreeMap<String, SheetGood>,
    /// Supplies.
    pub supplies: BTreeMap<String, Supply>,
    /// Driver boards.
    pub driver_boards: BTreeMap<String, DriverBoard>,
    /// Controllers.
    pub controllers: BTreeMap<String, Controller>,
}

/// The generic catalogue. Its faults are a slip of this program, which a test would show.
pub fn catalogue() -> (Shelf, Vec<Fault>) {
    let mut shelf = Shelf::default();
    let mut faults = Vec::new();
    for (name, content) in CATALOGUE {
        shelf.add(&Text::new(name, content), &mut faults);
    }
    (shelf, faults)
}

/// The catalogue with the builder's own parts added, or corrected where they bear a catalogue name.
pub fn shelf(own: Option<&Text>) -> (Shelf, Vec<Fault>) {
    let (mut shelf, mut faults) = catalogue();
    if let Some(text) = own {
        shelf.add(text, &mut faults);
    }
    (shelf, faults)
}

impl Shelf {
    /// Whether a part of this kind and name is here.
    fn knows(&self, kind: &str, name: &str) -> bool {
        match kind {
            "strand" => self.strands.contains_key(name),
            "sheet" => self.sheets.contains_key(name),
            "supply" => self.supplies.contains_key(name),
            "driver-board" => self.driver_boards.contains_key(name),
            "controller" => self.controllers.contains_key(name),
            _ => false,
        }
    }

    /// Adds the parts of one text.
    fn add(&mut self, text: &Text, faults: &mut Vec<Fault>) {
        let known = |path: &KeyPath| match &path.0[..] {
            [Step::Key(kind), Step::Key(name)] => self.knows(kind, name),
            _ => false,
        };
        let (values, mut found) = reader::read(text, &PARTS, known);
        add_all(&mut self.strands, &values, "strand", &mut found);
        add_all(&mut self.sheets, &values, "sheet", &mut found);
        add_all(&mut self.supplies, &values, "supply", &mut found);
        add_all(&mut self.driver_boards, &values, "driver-board", &mut found);
        add_all(&mut self.controllers, &values, "controller", &mut found);
        found.sort_by_key(|fault| fault.place.as_ref().map(|place| place.start));
        faults.append(&mut found);
    }
}

/// Adds the parts of one kind.
fn add_all<P: Part>(parts: &mut BTreeMap<String, P>, values: &Values, kind: &str, faults: &mut Vec<Fault>) {
    for (name, entry, values) in values.named(kind) {
        let base = parts.get(name).cloned();
        if let Some(part) = P::build(name, entry, values, base.as_ref(), faults) {
            parts.insert(name.to_owned(), part);
        }
    }
}
