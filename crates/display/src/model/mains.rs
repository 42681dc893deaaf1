//! The mains side, as read.

use finding::Known;
use quantity::{ElectricCurrent, Length, WireSize};
use serde::Serialize;

/// The mains of a house.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Mains {
    /// 120 V, 60 Hz.
    V120,
    /// 230 V, 50 Hz.
    V230,
}

impl Mains {
    /// Its voltage.
    pub fn volts(self) -> f64 {
        match self {
            Self::V120 => 120.0,
            Self::V230 => 230.0,
        }
    }

    /// Its frequency.
    pub fn hertz(self) -> f64 {
        match self {
            Self::V120 => 60.0,
            Self::V230 => 50.0,
        }
    }
}

/// The ground-fault device of a circuit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum GroundFault {
    /// Class A, which trips at 4 to 6 mA (UL 943).
    ClassA,
    /// A residual-current device of 30 mA, type A (IEC 61008).
    Rcd30TypeA,
    /// There is none.
    None,
}

impl GroundFault {
    /// The words it is written with.
    pub fn words(self) -> &'static str {
        match self {
            Self::ClassA => "class A",
            Self::Rcd30TypeA => "RCD 30 mA type A",
            Self::None => "none",
        }
    }
}

/// A cord.
#[derive(Clone, Debug, PartialEq)]
pub struct Cord {
    /// The size of its wires.
    pub size: Known<WireSize>,
    /// Its length.
    pub length: Known<Length>,
}

/// A branch circuit of the house.
#[derive(Clone, Debug, PartialEq)]
pub struct Circuit {
    /// Its name.
    pub name: String,
    /// The current printed on its breaker.
    pub breaker: Known<ElectricCurrent>,
    /// Its ground-fault device.
    pub ground_fault: Known<GroundFault>,
    /// The cord from its outlet to the display.
    pub cord: Cord,
}
