//! Short ways to say so many of a unit, for formulas and those who use them.

use uom::si::f64::{
    Capacitance, ElectricCurrent, ElectricPotential, ElectricalResistance, Frequency, Length, Power, Time,
};
use uom::si::{
    capacitance::farad, electric_current::ampere, electric_potential::volt, electrical_resistance::ohm,
    frequency::hertz, length::meter, power::watt, time::second,
};

/// So many amperes.
pub fn amperes(value: f64) -> ElectricCurrent {
    ElectricCurrent::new::<ampere>(value)
}

/// So many volts.
pub fn volts(value: f64) -> ElectricPotential {
    ElectricPotential::new::<volt>(value)
}

/// So many ohms.
pub fn ohms(value: f64) -> ElectricalResistance {
    ElectricalResistance::new::<ohm>(value)
}

/// So many watts.
pub fn watts(value: f64) -> Power {
    Power::new::<watt>(value)
}

/// So many hertz.
pub fn hertz_of(value: f64) -> Frequency {
    Frequency::new::<hertz>(value)
}

/// So many seconds.
pub fn seconds(value: f64) -> Time {
    Time::new::<second>(value)
}

/// So many farads.
pub fn farads(value: f64) -> Capacitance {
    Capacitance::new::<farad>(value)
}

/// So many metres.
pub fn metres(value: f64) -> Length {
    Length::new::<meter>(value)
}
