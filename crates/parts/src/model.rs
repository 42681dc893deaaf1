//! The kinds of part. Every rating stands as read from the part's own label or sheet, with the place it was read.

use quantity::{ElectricCurrent, ElectricPotential, Force, Length, Mass, Power, Ratio, WireSize};
use serde::Serialize;

/// What the lamps of a strand are.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Light {
    /// LEDs.
    #[default]
    Led,
    /// Filaments.
    Filament,
}

/// How a mains strand uses the two half waves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Wave {
    /// Both.
    Full,
    /// Only one.
    Half,
}

/// What switches an outlet of a box.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Switching {
    /// A contact.
    Relay,
    /// A triac: it needs a current to stay on, and lets some through when off.
    Triac,
}

/// What switches an output of a driver board.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Transistor {
    /// A MOSFET: it keeps next to no voltage.
    #[default]
    Mosfet,
    /// A Darlington switch of an array: it keeps a volt and more.
    Darlington,
}

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
    /// What its lamps are.
    pub light: Light,
    /// Lamps in one row, one after the other; none where the label and the maker do not say.
    pub in_series: Option<u32>,
    /// Voltage of one lamp.
    pub lamp_voltage: Option<ElectricPotential>,
    /// How it uses the half waves; none for direct current or where it is not known.
    pub wave: Option<Wave>,
    /// The listing on its tag.
    pub listed: Option<String>,
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
    /// Mass of the whole sheet; none where it was not read.
    pub mass: Option<Mass>,
    /// Whether it is wood-based (LED strands go on nothing else by default).
    pub wood_based: bool,
    /// How many are on the shelf.
    pub have: u32,
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
    /// What it lets leak to earth on the mains side.
    pub leakage: ElectricCurrent,
    /// How many are on the shelf.
    pub have: u32,
    /// Where the ratings were read.
    pub source: String,
}

/// A board that switches low voltage: a register and a switch for each output.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DriverBoard {
    /// Its name.
    pub name: String,
    /// What switches an output.
    pub switch: Transistor,
    /// What is written beside each output, in the order of the register's bits (first shifted-out bit last): `1`, `2`, ...
    /// unless a board is soldered otherwise.
    pub labels: Vec<String>,
    /// Greatest continuous current of one output.
    pub output_current: ElectricCurrent,
    /// Greatest continuous current of the whole board.
    pub total_current: ElectricCurrent,
    /// Greatest supply voltage.
    pub voltage: ElectricPotential,
    /// How many are on the shelf.
    pub have: u32,
    /// Where the ratings were read.
    pub source: String,
}

impl DriverBoard {
    /// Its outputs.
    pub fn outputs(&self) -> u32 {
        u32::try_from(self.labels.len()).unwrap_or(u32::MAX)
    }
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
    /// How many are on the shelf.
    pub have: u32,
    /// Where the ratings were read.
    pub source: String,
}

/// A board of registers only: its outputs are logic levels, for the control inputs of switch boxes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RegisterBoard {
    /// Its name.
    pub name: String,
    /// Outputs, in the order of the register's bits.
    pub outputs: u32,
    /// Greatest current of one output at which its levels are guaranteed.
    pub output_current: ElectricCurrent,
    /// Greatest current of all outputs together.
    pub total_current: ElectricCurrent,
    /// Voltage of its levels.
    pub voltage: ElectricPotential,
    /// How many are on the shelf.
    pub have: u32,
    /// Where the ratings were read.
    pub source: String,
}

/// A complete, enclosed box that switches mains outlets by low-voltage inputs. Never opened, altered or built here.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SwitchBox {
    /// Its name.
    pub name: String,
    /// Its outlets.
    pub outlets: u32,
    /// Mains voltage it is made for.
    pub voltage: ElectricPotential,
    /// Greatest current of one outlet.
    pub outlet_current: ElectricCurrent,
    /// Greatest current of the whole box.
    pub total_current: ElectricCurrent,
    /// What switches an outlet.
    pub switching: Switching,
    /// Least current of a load that stays on, effective; nothing for a relay.
    pub least_current: ElectricCurrent,
    /// Current through an outlet that is off, effective; nothing for a relay.
    pub off_leakage: ElectricCurrent,
    /// Voltage of its control inputs.
    pub control_voltage: ElectricPotential,
    /// Current that one control input takes.
    pub control_current: ElectricCurrent,
    /// Whether the maker states that the inputs are isolated from the mains by reinforced or double insulation.
    pub isolated: bool,
    /// What it lets leak to earth.
    pub leakage: ElectricCurrent,
    /// The listing on the whole, closed box; none if there is none.
    pub listed: Option<String>,
    /// How many are on the shelf.
    pub have: u32,
    /// Where the ratings were read.
    pub source: String,
}

/// A single LED for digits.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Led {
    /// Its name.
    pub name: String,
    /// Forward voltage at its current.
    pub voltage: ElectricPotential,
    /// Current it is driven with.
    pub current: ElectricCurrent,
    /// Hole it is pushed into.
    pub hole: Length,
    /// Colour of its light, as a CSS colour.
    pub colour: String,
    /// How many are on the shelf.
    pub have: u32,
    /// Where the ratings were read.
    pub source: String,
}

/// A kind of resistor; every value of the E24 series exists in it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Resistor {
    /// Its name.
    pub name: String,
    /// Greatest power.
    pub power: Power,
    /// How many are on the shelf.
    pub have: u32,
    /// Where the ratings were read.
    pub source: String,
}

/// An extension cord as sold.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Cord {
    /// Its name.
    pub name: String,
    /// Size of its wires.
    pub size: WireSize,
    /// Its length.
    pub length: Length,
    /// What it may carry.
    pub current: ElectricCurrent,
    /// Mains voltage it is made for.
    pub voltage: ElectricPotential,
    /// The listing for use outdoors; none if there is none.
    pub listed: Option<String>,
    /// How many are on the shelf.
    pub have: u32,
    /// Where the ratings were read.
    pub source: String,
}

/// A push-button.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PushButton {
    /// Its name.
    pub name: String,
    /// Voltage of its lamp; none without a lamp.
    pub lamp_voltage: Option<ElectricPotential>,
    /// Current of its lamp.
    pub lamp_current: ElectricCurrent,
    /// Hole it is mounted in.
    pub hole: Length,
    /// How many are on the shelf.
    pub have: u32,
    /// Where the ratings were read.
    pub source: String,
}

/// A cable off the reel.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CableKind {
    /// Its name.
    pub name: String,
    /// Its conductors.
    pub conductors: u32,
    /// Their size.
    pub size: WireSize,
    /// Whether it bears sun and rain.
    pub outdoor: bool,
    /// How much is on the shelf.
    pub have: Length,
    /// Where the ratings were read.
    pub source: String,
}

/// A rope or line off the reel.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Rope {
    /// Its name.
    pub name: String,
    /// Its diameter.
    pub diameter: Length,
    /// Load at which a new, unknotted, dry piece breaks.
    pub breaking: Force,
    /// Mass of one metre.
    pub mass_per_metre: Mass,
    /// How much longer it gets at a tenth of its breaking load.
    pub stretch: Ratio,
    /// How much is on the shelf.
    pub have: Length,
    /// Where the ratings were read.
    pub source: String,
}

/// A box, bag or cover.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Cover {
    /// Its name.
    pub name: String,
    /// Inner width.
    pub width: Length,
    /// Inner height.
    pub height: Length,
    /// Inner depth.
    pub depth: Length,
    /// Whether holes may be drilled in it: a listed mains box is never drilled.
    pub drilled: bool,
    /// How many are on the shelf.
    pub have: u32,
    /// Where the ratings were read.
    pub source: String,
}

/// Small things counted by the piece: ties, glands, screws.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Hardware {
    /// Its name.
    pub name: String,
    /// What it is, in words.
    pub what: String,
    /// How many come in a pack.
    pub pack: u32,
    /// How many are on the shelf, by the piece.
    pub have: u32,
    /// Where that was read.
    pub source: String,
}
