//! Physical quantities: reading what a builder writes, printing in the builder's units.
//!
//! Dimensions are checked by the compiler; adding a length to a current is no program:
//!
//! ```compile_fail
//! let nonsense = quantity::length("1 in").unwrap() + quantity::current("1 A").unwrap();
//! ```
//!
//! The same with two lengths is one:
//!
//! ```
//! let sum = quantity::length("1 in").unwrap() + quantity::length("1 ft").unwrap();
//! assert_eq!(quantity::Show::show(&sum, quantity::Units::Inches), "1 ft 1 in");
//! ```

mod fault;
mod number;
mod read;
mod show;
mod units;
mod wire_size;

pub use fault::{QuantityFault, Reason};
pub use read::{
    MAX_CHARACTERS, angle, current, force, length, mass, offset, potential, power, ratio, resistance, time,
    velocity,
};
pub use show::{Show, in_inches, in_millimetres};
pub use units::{POUND_FORCE_N, POUND_KG};
pub use uom::si::f64::{
    Angle, Area, ElectricCurrent, ElectricPotential, ElectricalResistance, Energy, Force, Length, Mass,
    Power, Ratio, Time, Velocity,
};
pub use wire_size::{WireSize, wire_size};
/// The units themselves, for `Length::new::<quantity::unit::millimeter>(..)` and `.get::<..>()`.
pub mod unit {
    pub use uom::si::angle::{degree, radian};
    pub use uom::si::electric_current::{ampere, milliampere};
    pub use uom::si::electric_potential::{millivolt, volt};
    pub use uom::si::electrical_resistance::{milliohm, ohm};
    pub use uom::si::energy::kilowatt_hour;
    pub use uom::si::force::{kilonewton, newton};
    pub use uom::si::length::{centimeter, foot, inch, meter, millimeter, yard};
    pub use uom::si::mass::{gram, kilogram};
    pub use uom::si::power::{kilowatt, milliwatt, watt};
    pub use uom::si::ratio::{percent, ratio};
    pub use uom::si::time::{hour, millisecond, minute, second};
    pub use uom::si::velocity::{kilometer_per_hour, meter_per_second, mile_per_hour};
}

use serde::{Deserialize, Serialize};

/// What reports print; any value may be written in any unit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Units {
    /// Feet, inches and sixteenths.
    #[serde(rename = "in")]
    #[default]
    Inches,
    /// Metres and millimetres.
    #[serde(rename = "mm")]
    Millimetres,
}
