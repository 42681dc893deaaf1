//! Heat in switches: junctions, packages, heat sinks.

use crate::of::{amperes, volts};
use crate::{Example, Formula, Input, load::whole};
use uom::si::f64::{ElectricCurrent, ElectricPotential, Power};
use uom::si::power::watt;

/// Thermal resistance of an 18-pin dual-in-line array of Darlington switches to the air, in kelvin per watt (ULN2803 data
/// sheet).
pub const ARRAY_K_PER_W: f64 = 55.0;
/// Greatest junction temperature of the same array, in degrees Celsius (the same data sheet).
pub const ARRAY_MOST_C: f64 = 125.0;
/// Air in a closed box in the evening, in degrees Celsius. Our threshold.
pub const BOX_C: f64 = 40.0;

/// Voltage left on a Darlington switch of the array, at most, at a current: 1.1, 1.3, 1.6 V at 100, 200, 350 mA (data
/// sheets of the ULN2003/2803 class), straight lines between, the first value below.
pub fn array_saturation(current: ElectricCurrent) -> ElectricPotential {
    const POINTS: [(f64, f64); 3] = [(0.1, 1.1), (0.2, 1.3), (0.35, 1.6)];
    let amps = current.value;
    if amps <= POINTS[0].0 {
        return volts(POINTS[0].1);
    }
    let (low, high) = if amps <= POINTS[1].0 { (POINTS[0], POINTS[1]) } else { (POINTS[1], POINTS[2]) };
    volts(low.1 + (amps - low.0) * (high.1 - low.1) / (high.0 - low.0))
}

/// Heat in a package: channels that are on, the current and remaining voltage of one, the share of the time they are on.
pub fn package(channels: u32, current: ElectricCurrent, left: ElectricPotential, duty: f64) -> Power {
    current * left * (f64::from(channels) * duty)
}

/// Temperature of a junction, in degrees Celsius.
pub fn junction_c(surroundings_c: f64, power: Power, kelvin_per_watt: f64) -> f64 {
    surroundings_c + power.get::<watt>() * kelvin_per_watt
}

/// Power that heats a junction up to its limit and no further.
pub fn allowed_power(junction_c: f64, surroundings_c: f64, kelvin_per_watt: f64) -> Power {
    crate::of::watts((junction_c - surroundings_c) / kelvin_per_watt)
}

const SUGANDHI_1: &str = "Sugandhi, Thyristors, example 3.1: 150 W through 0.02 + 0.05 + 0.08 K/W from 50 C";
const ARRAY: &str = "ULN2003/2803-class data sheet, collector-emitter saturation, greatest";

pub(crate) const FORMULAS: &[Formula] = &[
    Formula {
        name: "junction",
        written: "junction = surroundings + power x thermal resistance",
        inputs: &[
            Input { name: "surroundings", unit: "C" },
            Input { name: "power", unit: "W" },
            Input { name: "thermal resistance", unit: "K/W" },
        ],
        unit: "C",
        source: "thermal resistances in series",
        examples: &[
            Example { given: &[50.0, 150.0, 0.15], result: 72.5, within: 0.01, source: SUGANDHI_1 },
            Example {
                given: &[93.0, 75.0, 0.627],
                result: 140.0,
                within: 0.1,
                source: "Gupta and Singhal, Power Electronics, example 2.24: sink at 93 C, 3 V x 25 A",
            },
        ],
        work: |v| junction_c(v[0], crate::of::watts(v[1]), v[2]),
    },
    Formula {
        name: "allowed-power",
        written: "allowed power = (greatest junction - surroundings) / thermal resistance",
        inputs: &[
            Input { name: "greatest junction", unit: "C" },
            Input { name: "surroundings", unit: "C" },
            Input { name: "thermal resistance", unit: "K/W" },
        ],
        unit: "W",
        source: "thermal resistances in series",
        examples: &[
            Example {
                given: &[120.0, 45.0, 0.18],
                result: 416.67,
                within: 0.01,
                source: "Sugandhi, Thyristors, example 3.4",
            },
            Example {
                given: &[125.0, 50.0, 2.5],
                result: 30.0,
                within: 0.01,
                source: "Gupta and Singhal, Power Electronics, example 2.23: 1.0 + 0.3 K/W and a sink of 1.2 K/W carry 30 W",
            },
        ],
        work: |v| allowed_power(v[0], v[1], v[2]).get::<watt>(),
    },
    Formula {
        name: "package-heat",
        written: "heat = channels x current x voltage left x share of the time",
        inputs: &[
            Input { name: "channels on", unit: "" },
            Input { name: "current of one", unit: "A" },
            Input { name: "voltage left on one", unit: "V" },
            Input { name: "share of the time", unit: "" },
        ],
        unit: "W",
        source: "power is voltage times current; a package warms with the mean",
        examples: &[Example {
            given: &[1.0, 25.0, 3.0, 1.0],
            result: 75.0,
            within: 1e-9,
            source: "Gupta and Singhal, Power Electronics, example 2.24: 3 V x 25 A",
        }],
        work: |v| package(whole(v[0]), amperes(v[1]), volts(v[2]), v[3]).get::<watt>(),
    },
    Formula {
        name: "array-saturation",
        written: "voltage left on a Darlington switch: 1.1, 1.3, 1.6 V at 100, 200, 350 mA, straight lines between",
        inputs: &[Input { name: "current", unit: "mA" }],
        unit: "V",
        source: ARRAY,
        examples: &[
            Example { given: &[100.0], result: 1.1, within: 1e-9, source: ARRAY },
            Example { given: &[200.0], result: 1.3, within: 1e-9, source: ARRAY },
            Example { given: &[350.0], result: 1.6, within: 1e-9, source: ARRAY },
        ],
        work: |v| array_saturation(amperes(v[0] / 1e3)).value,
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    /// ULN2803 class, 55 K/W, 125 C: eight switches at 500 mA, each within its own rating, destroy the package.
    #[test]
    fn eight_switches_at_their_own_rating_are_too_much_for_the_package() {
        let hot = |amps| {
            let current = amperes(amps);
            junction_c(25.0, package(8, current, array_saturation(current), 1.0), ARRAY_K_PER_W)
        };
        assert!(hot(0.5) > 2.0 * ARRAY_MOST_C);
        assert!(hot(0.1) < ARRAY_MOST_C);
    }
}
