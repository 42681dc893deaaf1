//! The kinds of part. Every rating stands as read from the part's own label or sheet, with the place it was read.

use quantity::{ElectricCurrent, ElectricPotential, Length};
use serde::Serialize;

/// A light string as sold; only ever used whole.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Strand {
    /// Its name in the catalogue or on the shelf.
    pub name: String,
    /// Lamps on it.
    pub lamps: u32,
    /// Wire between two neighbouring lamps.
    pub pitch: Length,
    /// Wire from the plug to the first lamp.
    pub lead: Length,
    /// Diameter of the hole a lamp is pushed into.
    pub hole: Length,
    /// Supply voltage.
    pub voltage: ElectricPotential,
    /// Current on the label, all lamps lit.
    pub current: ElectricCurrent,
    /// Colour of its lamps, as a CSS colour.
    pub colour: String,
    /// How many are on the shelf.
    pub have: u32,
    /// Where the ratings were read.
    pub source: String,
}

/// A sheet to drill.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SheetGood {
    /// Its name.
    pub name: String,
    /// Width as sold.
    pub width: Length,
    /// Height as sold.
    pub height: Length,
    /// Thickness.
    pub thickness: Length,
    /// Whether it is wood-based (LED strands go on nothing else by default).
    pub wood_based: bool,
    /// Where the ratings were read.
    pub source: String,
}

/// A supply.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Supply {
    /// Its name.
    pub name: String,
    /// Output voltage.
    pub voltage: ElectricPotential,
    /// Greatest continuous output current.
    pub current: ElectricCurrent,
    /// The listing on it that makes it a current-limited, isolated supply (`UL 1310 Class 2`, `SELV`); none if there is none.
    pub listed: Option<String>,
    /// Where the ratings were read.
    pub source: String,
}

/// A board that switches low voltage: a register and a switch for each output.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DriverBoard {
    /// Its name.
    pub name: String,
    /// Outputs, in the order of the register's bits (first shifted-out bit last).
    pub outputs: u32,
    /// Greatest continuous current of one output.
    pub output_current: ElectricCurrent,
    /// Greatest continuous current of the whole board.
    pub total_current: ElectricCurrent,
    /// Greatest supply voltage.
    pub voltage: ElectricPotential,
    /// Where the ratings were read.
    pub source: String,
}

/// A controller board.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Controller {
    /// Its name.
    pub name: String,
    /// The microcontroller on it.
    pub chip: String,
    /// Its clock in hertz.
    pub clock_hz: u32,
    /// Current it draws itself, from the 12 V side.
    pub current: ElectricCurrent,
    /// Pins free for buttons: the label on the board and the chip's port and bit, e.g. `("D2", "PD2")`.
    pub button_pins: Vec<(String, String)>,
    /// Where the ratings were read.
    pub source: String,
}
