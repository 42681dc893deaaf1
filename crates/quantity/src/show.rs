//! Printing quantities in the builder's units.

use crate::units::{POUND_FORCE_N, POUND_KG};
use crate::{Units, unit};
use uom::si::f64::{
    Angle, ElectricCurrent, ElectricPotential, ElectricalResistance, Energy, Force, Length, Mass, Power,
    Ratio, Time, Velocity,
};

/// A quantity as a report prints it.
pub trait Show {
    /// In these units.
    fn show(&self, units: Units) -> String;
}

/// A number with about four figures and no idle zeros.
fn figures(value: f64) -> String {
    let decimals = match value.abs() {
        size if size >= 1000.0 => 0,
        size if size >= 100.0 => 1,
        size if size >= 10.0 => 2,
        size if size >= 0.1 => 3,
        _ => 5,
    };
    trimmed(&format!("{value:.decimals$}"))
}

/// Without zeros that say nothing.
fn trimmed(number: &str) -> String {
    let short = match number.contains('.') {
        true => number.trim_end_matches('0').trim_end_matches('.'),
        false => number,
    };
    if short == "-0" { "0".to_owned() } else { short.to_owned() }
}

/// So many sixteenths of an inch as inches: `3 1/2`, `7/16`, `0`.
fn inches_of(sixteenths: f64) -> String {
    let whole = (sixteenths / 16.0).floor();
    let (mut top, mut bottom) = (sixteenths - whole * 16.0, 16.0);
    if top == 0.0 {
        return format!("{whole}");
    }
    while top % 2.0 == 0.0 {
        top /= 2.0;
        bottom /= 2.0;
    }
    if whole == 0.0 { format!("{top}/{bottom}") } else { format!("{whole} {top}/{bottom}") }
}

/// A length in inches alone, to the nearest sixteenth: `51 1/2 in`.
pub fn in_inches(length: Length) -> String {
    let sixteenths = (length.get::<unit::inch>() * 16.0).round();
    let sign = if sixteenths < 0.0 { "-" } else { "" };
    format!("{sign}{} in", inches_of(sixteenths.abs()))
}

/// A length in millimetres alone, to the nearest tenth: `1308.1 mm`.
pub fn in_millimetres(length: Length) -> String {
    format!("{} mm", trimmed(&format!("{:.1}", length.get::<unit::millimeter>())))
}

/// Feet, inches and the nearest sixteenth: `4 ft 3 1/2 in`.
fn feet_and_inches(length: Length) -> String {
    let sixteenths = (length.get::<unit::inch>() * 16.0).round();
    let sign = if sixteenths < 0.0 { "-" } else { "" };
    let feet = (sixteenths.abs() / 192.0).floor();
    let rest = sixteenths.abs() - feet * 192.0;
    match (feet > 0.0, rest > 0.0) {
        (true, true) => format!("{sign}{feet} ft {} in", inches_of(rest)),
        (true, false) => format!("{sign}{feet} ft"),
        _ => format!("{sign}{} in", inches_of(rest)),
    }
}

impl Show for Length {
    fn show(&self, units: Units) -> String {
        match units {
            Units::Inches => feet_and_inches(*self),
            // What would print as 1000 mm is 1 m.
            Units::Millimetres if self.get::<unit::millimeter>().abs() < 999.95 => in_millimetres(*self),
            Units::Millimetres => format!("{} m", trimmed(&format!("{:.3}", self.get::<unit::meter>()))),
        }
    }
}

impl Show for ElectricCurrent {
    fn show(&self, _: Units) -> String {
        match self.value.abs() < 1.0 && self.value != 0.0 {
            true => format!("{} mA", figures(self.get::<unit::milliampere>())),
            false => format!("{} A", figures(self.value)),
        }
    }
}

impl Show for ElectricPotential {
    fn show(&self, _: Units) -> String {
        match self.value.abs() < 1.0 && self.value != 0.0 {
            true => format!("{} mV", figures(self.get::<unit::millivolt>())),
            false => format!("{} V", figures(self.value)),
        }
    }
}

impl Show for ElectricalResistance {
    fn show(&self, _: Units) -> String {
        format!("{} ohm", figures(self.value))
    }
}

impl Show for Power {
    fn show(&self, _: Units) -> String {
        format!("{} W", figures(self.value))
    }
}

impl Show for Time {
    fn show(&self, _: Units) -> String {
        match self.value.abs() < 1.0 && self.value != 0.0 {
            true => format!("{} ms", figures(self.get::<unit::millisecond>())),
            false => format!("{} s", figures(self.value)),
        }
    }
}

impl Show for Ratio {
    fn show(&self, _: Units) -> String {
        format!("{} %", figures(self.get::<unit::percent>()))
    }
}

impl Show for Mass {
    fn show(&self, units: Units) -> String {
        match units {
            Units::Inches => format!("{} lb", figures(self.value / POUND_KG)),
            Units::Millimetres => format!("{} kg", figures(self.value)),
        }
    }
}

impl Show for Angle {
    fn show(&self, _: Units) -> String {
        format!("{} deg", figures(self.get::<unit::degree>()))
    }
}

impl Show for Force {
    /// Newtons; where the builder thinks in pounds, also what a spring balance in pounds reads.
    fn show(&self, units: Units) -> String {
        let newtons = match self.value.abs() < 1000.0 {
            true => format!("{} N", figures(self.value)),
            false => format!("{} kN", figures(self.get::<unit::kilonewton>())),
        };
        match units {
            Units::Inches => format!("{newtons} ({} lbf)", figures(self.value / POUND_FORCE_N)),
            Units::Millimetres => newtons,
        }
    }
}

impl Show for Velocity {
    fn show(&self, units: Units) -> String {
        match units {
            Units::Inches => format!("{} mph", figures(self.get::<unit::mile_per_hour>())),
            Units::Millimetres => format!("{} m/s", figures(self.value)),
        }
    }
}

impl Show for Energy {
    fn show(&self, _: Units) -> String {
        format!("{} kWh", figures(self.get::<unit::kilowatt_hour>()))
    }
}
