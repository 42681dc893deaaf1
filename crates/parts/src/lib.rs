//! The generic parts catalogue and the builder's shelf.
//!
//! [`catalogue`] gives what is known without a builder; [`shelf()`] adds what stands in the builder's own `parts.toml`,
//! whose tables add to the catalogue or correct it. [`reader`] is the checked reading of TOML that descriptions share.

mod build;
pub mod codes;
mod keys;
mod model;
pub mod reader;
mod shelf;

pub use keys::PARTS;
pub use model::{
    CableKind, Controller, Cord, Cover, DriverBoard, Hardware, Led, Light, PushButton, RegisterBoard,
    Resistor, Rope, SheetGood, Strand, Supply, SwitchBox, Switching, Transistor, Wave,
};
pub use shelf::{Shelf, catalogue, shelf};
