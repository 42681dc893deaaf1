//! All parts that a display may use.

use crate::build::{Part, Written};
use crate::keys::PARTS;
use crate::reader::{self, Values};
use crate::{
    CableKind, Controller, Cord, Cover, DriverBoard, Hardware, Led, PushButton, RegisterBoard, Resistor,
    Rope, SheetGood, Strand, Supply, SwitchBox,
};
use finding::Fault;
use source::{KeyPath, Step, Text};
use std::collections::BTreeMap;

/// The catalogue's texts.
const CATALOGUE: [(&str, &str); 10] = [
    ("catalogue/strands.toml", include_str!("../catalogue/strands.toml")),
    ("catalogue/sheets.toml", include_str!("../catalogue/sheets.toml")),
    ("catalogue/supplies.toml", include_str!("../catalogue/supplies.toml")),
    ("catalogue/boards.toml", include_str!("../catalogue/boards.toml")),
    ("catalogue/controllers.toml", include_str!("../catalogue/controllers.toml")),
    ("catalogue/switch-boxes.toml", include_str!("../catalogue/switch-boxes.toml")),
    ("catalogue/digits.toml", include_str!("../catalogue/digits.toml")),
    ("catalogue/wire.toml", include_str!("../catalogue/wire.toml")),
    ("catalogue/ropes.toml", include_str!("../catalogue/ropes.toml")),
    ("catalogue/hardware.toml", include_str!("../catalogue/hardware.toml")),
];

/// A part that may be counted by the piece.
trait Counted {
    /// Its name and how many there are; none for what comes off a reel.
    fn counted(&self) -> Option<(&str, u32)>;
}

/// Counted by the piece.
macro_rules! by_the_piece {
    ($($kind:ty),+ $(,)?) => {
        $(impl Counted for $kind {
            fn counted(&self) -> Option<(&str, u32)> {
                Some((&self.name, self.have))
            }
        })+
    };
}

by_the_piece!(
    Strand,
    SheetGood,
    Supply,
    DriverBoard,
    Controller,
    RegisterBoard,
    SwitchBox,
    Led,
    Resistor,
    Cord,
    PushButton,
    Cover,
    Hardware,
);

impl Counted for CableKind {
    fn counted(&self) -> Option<(&str, u32)> {
        None
    }
}

impl Counted for Rope {
    fn counted(&self) -> Option<(&str, u32)> {
        None
    }
}

/// The kinds of part: the field that holds them, the kind, and their table in `parts.toml`.
macro_rules! shelf {
    ($($(#[$words:meta])* $field:ident: $kind:ty = $table:literal),+ $(,)?) => {
        /// Parts by their names.
        #[derive(Clone, Debug, Default, PartialEq)]
        pub struct Shelf {
            $($(#[$words])* pub $field: BTreeMap<String, $kind>,)+
        }

        impl Shelf {
            /// Whether a part of this kind and name is here.
            fn knows(&self, table: &str, name: &str) -> bool {
                match table {
                    $($table => self.$field.contains_key(name),)+
                    _ => false,
                }
            }

            /// Adds what was read.
            fn add_read(&mut self, values: &Values, faults: &mut Vec<Fault>) {
                $(add_all(&mut self.$field, values, $table, faults);)+
            }

            /// Every part that is counted by the piece, and how many there are.
            pub fn counted(&self) -> impl Iterator<Item = (&str, u32)> {
                let parts = std::iter::empty();
                $(let parts = parts.chain(self.$field.values().filter_map(Counted::counted));)+
                parts
            }

            /// Every part with the place its ratings were read.
            pub fn sources(&self) -> impl Iterator<Item = (&str, &str)> {
                let parts = std::iter::empty();
                $(let parts = parts.chain(
                    self.$field.values().map(|part| (part.name.as_str(), part.source.as_str()))
                );)+
                parts
            }
        }
    };
}

shelf! {
    /// Light strings.
    strands: Strand = "strand",
    /// Sheets.
    sheets: SheetGood = "sheet",
    /// Supplies.
    supplies: Supply = "supply",
    /// Driver boards.
    driver_boards: DriverBoard = "driver-board",
    /// Controllers.
    controllers: Controller = "controller",
    /// Register boards.
    register_boards: RegisterBoard = "register-board",
    /// Boxes that switch mains outlets.
    switch_boxes: SwitchBox = "switch-box",
    /// Single LEDs.
    leds: Led = "led",
    /// Kinds of resistor.
    resistors: Resistor = "resistor",
    /// Extension cords.
    cords: Cord = "cord",
    /// Push-buttons.
    push_buttons: PushButton = "push-button",
    /// Cables off the reel.
    cables: CableKind = "cable",
    /// Ropes and lines.
    ropes: Rope = "rope",
    /// Boxes, bags and covers.
    covers: Cover = "cover",
    /// Small things.
    hardware: Hardware = "hardware",
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
    /// Adds the parts of one text.
    fn add(&mut self, text: &Text, faults: &mut Vec<Fault>) {
        let known = |path: &KeyPath| match &path.0[..] {
            [Step::Key(kind), Step::Key(name)] => self.knows(kind, name),
            _ => false,
        };
        let (values, mut found) = reader::read(text, &PARTS, known);
        self.add_read(&values, &mut found);
        found.sort_by_key(|fault| fault.place.as_ref().map(|place| place.start));
        faults.append(&mut found);
    }
}

/// Adds the parts of one kind.
fn add_all<P: Part>(parts: &mut BTreeMap<String, P>, values: &Values, kind: &str, faults: &mut Vec<Fault>) {
    for (name, entry, values) in values.named(kind) {
        let base = parts.get(name).cloned();
        let written = Written { name, entry, values };
        if let Some(part) = P::build(&written, base.as_ref(), faults) {
            parts.insert(name.to_owned(), part);
        }
    }
}
