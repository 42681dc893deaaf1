//! A button on a long line: enough current to keep its contact clean, a filter against what the line picks up.

use crate::of::{farads, ohms, volts};
use crate::{Example, Formula, Input};
use uom::si::electric_current::milliampere;
use uom::si::f64::{Capacitance, ElectricCurrent, ElectricPotential, ElectricalResistance, Time};
use uom::si::time::millisecond;

/// Current that keeps a contact clean. Common practice: 5 to 15 mA.
pub const WETTING_A: (f64, f64) = (0.005, 0.015);

/// Pull-up of a button's line: 12 mA from 5 V, a value of the E24 series.
pub const PULL_UP_OHM: f64 = 430.0;

/// Series resistor between line and pin; it also limits what a spark drives into the chip. Common practice: 1 to 1.5 k.
pub const SERIES_OHM: f64 = 1_000.0;

/// Capacitor at the pin.
pub const FILTER_F: f64 = 1e-6;

/// Time for which a contact is unheard after its first edge. Common practice: 30 to 50 ms; the rules' conditioner uses this.
pub const LOCKOUT_MS: f64 = 30.0;

/// Current through a closed contact.
pub fn wetting(supply: ElectricPotential, pull_up: ElectricalResistance) -> ElectricCurrent {
    supply / pull_up
}

/// Time constant of a filter.
pub fn time_constant(resistance: ElectricalResistance, capacitance: Capacitance) -> Time {
    resistance * capacitance
}

/// Time until a capacitor charged through a resistor reaches a threshold below the supply.
pub fn time_to(
    resistance: ElectricalResistance,
    capacitance: Capacitance,
    supply: ElectricPotential,
    threshold: ElectricPotential,
) -> Time {
    let left = (1.0 - (threshold / supply).value).max(1e-12);
    time_constant(resistance, capacitance) * -libm::log(left)
}

const DEBOUNCE: &str = "an article on RC debouncing: 51 kohm with 1 uF is 51 ms, 22 kohm with 1 uF is 22 ms";

pub(crate) const FORMULAS: &[Formula] = &[
    Formula {
        name: "wetting-current",
        written: "current through the closed contact = supply / pull-up",
        inputs: &[Input { name: "supply", unit: "V" }, Input { name: "pull-up", unit: "ohm" }],
        unit: "mA",
        source: "Ohm's law; 5 to 15 mA keep a contact clean (common practice)",
        examples: &[Example {
            given: &[12.0, 4.8],
            result: 2500.0,
            within: 0.1,
            source: "OpenStax, College Physics, example 20.4 (from memory): 2.50 A at 12.0 V is 4.80 ohm",
        }],
        work: |v| wetting(volts(v[0]), ohms(v[1])).get::<milliampere>(),
    },
    Formula {
        name: "time-constant",
        written: "time constant = resistance x capacitance",
        inputs: &[Input { name: "resistance", unit: "kohm" }, Input { name: "capacitance", unit: "uF" }],
        unit: "ms",
        source: "textbook",
        examples: &[
            Example { given: &[51.0, 1.0], result: 51.0, within: 1e-9, source: DEBOUNCE },
            Example { given: &[22.0, 1.0], result: 22.0, within: 1e-9, source: DEBOUNCE },
        ],
        work: |v| time_constant(ohms(v[0] * 1e3), farads(v[1] * 1e-6)).get::<millisecond>(),
    },
    Formula {
        name: "time-to-threshold",
        written: "time = resistance x capacitance x ln(1 / (1 - threshold / supply))",
        inputs: &[
            Input { name: "resistance", unit: "ohm" },
            Input { name: "capacitance", unit: "uF" },
            Input { name: "supply", unit: "V" },
            Input { name: "threshold", unit: "V" },
        ],
        unit: "ms",
        source: "a capacitor charged through a resistor",
        examples: &[Example {
            given: &[8624.18, 110.0, 12.0, 10.0],
            result: 1700.0,
            within: 1.0,
            source: "textbook exercise on wiper timing: 12 V, 110 uF, 10 V after 1.70 s, answer 8624.18 ohm",
        }],
        work: |v| time_to(ohms(v[0]), farads(v[1] * 1e-6), volts(v[2]), volts(v[3])).get::<millisecond>(),
    },
];
