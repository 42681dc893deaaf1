//! LEDs with a series resistor: which resistor, what current, how much it moves with the supply.

use crate::of::{amperes, ohms, volts};
use crate::{Example, Formula, Input};
use uom::si::f64::{ElectricCurrent, ElectricPotential, ElectricalResistance, Power};
use uom::si::{electric_current::milliampere, electrical_resistance::ohm, power::milliwatt};

/// Share of the supply that should stand across the resistor, so that the current moves little with the supply. Common
/// practice: 25 to 30 %.
pub const RESISTOR_SHARE: f64 = 0.25;

/// The E24 values of a decade (IEC 60063).
pub const E24: [f64; 24] = [
    1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8,
    7.5, 8.2, 9.1,
];

/// Share of its rating that a resistor in a box is loaded to. Common practice: half.
pub const WATTS_SHARE: f64 = 0.5;

/// The resistor for LEDs in series behind a switch.
///
/// ```
/// use reckoning::of::{amperes, volts};
/// let exact = reckoning::led::series_resistor(volts(12.0), 1, volts(3.2), volts(0.0), amperes(0.02));
/// assert!((exact.value - 440.0).abs() < 1e-9);
/// ```
pub fn series_resistor(
    supply: ElectricPotential,
    in_series: u32,
    forward: ElectricPotential,
    switch: ElectricPotential,
    current: ElectricCurrent,
) -> ElectricalResistance {
    (supply - forward * f64::from(in_series) - switch) / current
}

/// Current of LEDs in series with a resistor behind a switch.
pub fn current(
    supply: ElectricPotential,
    in_series: u32,
    forward: ElectricPotential,
    switch: ElectricPotential,
    resistor: ElectricalResistance,
) -> ElectricCurrent {
    let left = supply - forward * f64::from(in_series) - switch;
    if left.value <= 0.0 { amperes(0.0) } else { left / resistor }
}

/// The E24 value at or above a resistance: the next lower current.
pub fn e24_up(exact: ElectricalResistance) -> ElectricalResistance {
    let exact = exact.value;
    if !(exact.is_finite() && exact > 0.0) {
        return ohms(E24[0]);
    }
    let decade = libm::pow(10.0, libm::floor(libm::log10(exact) + 1e-12));
    // Whole tenths times the decade, so that 510 ohm comes out as 510 and not a hair less.
    let of_decade = |value: f64| libm::round(value * 10.0) * decade / 10.0;
    let within = E24.iter().map(|value| of_decade(*value)).find(|value| *value >= exact * (1.0 - 1e-9));
    ohms(within.unwrap_or(10.0 * decade))
}

/// Heat in a resistor at a current.
pub fn resistor_watts(current: ElectricCurrent, resistor: ElectricalResistance) -> Power {
    resistor * current * current
}

/// The most LEDs in series that leave the resistor its share of the supply; 0 when even one does not.
pub fn most_in_series(
    supply: ElectricPotential,
    forward: ElectricPotential,
    switch: ElectricPotential,
) -> u32 {
    let left = supply * (1.0 - RESISTOR_SHARE) - switch;
    crate::load::whole(libm::floor((left / forward).value + 1e-9))
}

const SUPPLY: Input = Input { name: "supply", unit: "V" };
const COUNT: Input = Input { name: "LEDs in series", unit: "" };
const FORWARD: Input = Input { name: "forward voltage", unit: "V" };
const SWITCH: Input = Input { name: "voltage left on the switch", unit: "V" };

const fn printed(given: &'static [f64], result: f64, within: f64, source: &'static str) -> Example {
    Example { given, result, within, source }
}

pub(crate) const FORMULAS: &[Formula] = &[
    Formula {
        name: "series-resistor",
        written: "resistor = (supply - LEDs in series x forward voltage - voltage left on the switch) / current",
        inputs: &[SUPPLY, COUNT, FORWARD, SWITCH, Input { name: "current", unit: "mA" }],
        unit: "ohm",
        source: "Ohm's law on what is left for the resistor",
        examples: &[
            printed(&[5.0, 1.0, 2.0, 0.0, 20.0], 150.0, 1e-6, "worked example of two LED resistor pages"),
            printed(&[12.0, 1.0, 3.2, 0.0, 20.0], 440.0, 1e-6, "worked example of an LED resistor page"),
            printed(
                &[24.0, 1.0, 2.0, 0.0, 25.0],
                880.0,
                1e-6,
                "Schultz, Grob's Basic Electronics, example 27-9",
            ),
        ],
        work: |v| {
            series_resistor(
                volts(v[0]),
                crate::load::whole(v[1]),
                volts(v[2]),
                volts(v[3]),
                amperes(v[4] / 1e3),
            )
            .get::<ohm>()
        },
    },
    Formula {
        name: "led-current",
        written: "current = (supply - LEDs in series x forward voltage - voltage left on the switch) / resistor",
        inputs: &[SUPPLY, COUNT, FORWARD, SWITCH, Input { name: "resistor", unit: "ohm" }],
        unit: "mA",
        source: "Ohm's law on what is left for the resistor",
        examples: &[
            printed(
                &[50.0, 1.0, 2.0, 0.0, 2200.0],
                21.82,
                0.01,
                "Malvino and Bates, Electronic Principles, example 5-12",
            ),
            printed(
                &[9.0, 1.0, 2.0, 0.0, 470.0],
                14.89,
                0.01,
                "Malvino and Bates, Electronic Principles, example 5-13",
            ),
        ],
        work: |v| {
            current(volts(v[0]), crate::load::whole(v[1]), volts(v[2]), volts(v[3]), ohms(v[4]))
                .get::<milliampere>()
        },
    },
    Formula {
        name: "e24-up",
        written: "the E24 value at or above it",
        inputs: &[Input { name: "exact resistance", unit: "ohm" }],
        unit: "ohm",
        source: "IEC 60063",
        examples: &[
            printed(&[440.0], 470.0, 1e-6, "worked example of an LED resistor page: 440 ohm becomes 470 ohm"),
            printed(&[5000.0], 5100.0, 1e-6, "eseries documentation: 4700, 5100 and 5600 lie about 5000"),
            printed(&[150.0], 150.0, 1e-6, "IEC 60063: 150 is a value of the series"),
        ],
        work: |v| e24_up(ohms(v[0])).get::<ohm>(),
    },
    Formula {
        name: "resistor-watts",
        written: "heat = resistor x current^2",
        inputs: &[Input { name: "current", unit: "mA" }, Input { name: "resistor", unit: "ohm" }],
        unit: "mW",
        source: "Joule's law",
        examples: &[
            printed(&[20.0, 470.0], 188.0, 0.01, "worked example of an LED resistor page"),
            printed(&[20.0, 150.0], 60.0, 0.01, "worked example of two LED resistor pages"),
        ],
        work: |v| resistor_watts(amperes(v[0] / 1e3), ohms(v[1])).get::<milliwatt>(),
    },
    Formula {
        name: "most-in-series",
        written: "LEDs in series = (0.75 x supply - voltage left on the switch) / forward voltage, rounded down",
        inputs: &[SUPPLY, FORWARD, SWITCH],
        unit: "LEDs",
        source: "common practice: a quarter of the supply or more stands across the resistor",
        examples: &[
            printed(
                &[12.0, 3.2, 1.0],
                2.0,
                0.0,
                "common practice: white LEDs on 12 V behind a sink array go in pairs",
            ),
            printed(
                &[12.0, 2.0, 1.0],
                4.0,
                0.0,
                "common practice: up to four red LEDs on 12 V behind a sink array",
            ),
        ],
        work: |v| f64::from(most_in_series(volts(v[0]), volts(v[1]), volts(v[2]))),
    },
];
