//! Light strings behind an electronic switch: will it stay on, will it glow when off.
//!
//! A string of LEDs on alternating voltage conducts only while the voltage is above what its lamps need together. We take
//! that threshold as sharp and the rest as a resistor; `tests/ngspice.rs` holds that against a circuit simulator.

use crate::of::{amperes, farads, hertz_of, ohms, volts};
use crate::{Example, Formula, Input};
use core::f64::consts::{PI, SQRT_2};
use uom::si::f64::{Capacitance, ElectricCurrent, ElectricPotential, ElectricalResistance, Frequency, Power};
use uom::si::{
    electric_current::milliampere, electrical_resistance::kiloohm, electrical_resistance::ohm, power::watt,
};

/// Current at which LEDs are seen to glow in the dark. Common practice.
pub const GLOW_A: f64 = 0.0001;

/// Times the least current of a switch that a load's crest should reach. Common practice: two.
pub const HOLD_MARGIN: f64 = 2.0;

/// How a string uses the two half waves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wave {
    /// Both.
    Full,
    /// Only one: it blinks at the frequency of the mains.
    Half,
}

/// Crest of a sine of this effective value.
pub fn crest_voltage(effective: ElectricPotential) -> ElectricPotential {
    effective * SQRT_2
}

/// Current at the crest of the mains through a string with this threshold and series resistance.
pub fn crest_current(
    effective: ElectricPotential,
    threshold: ElectricPotential,
    resistance: ElectricalResistance,
) -> ElectricCurrent {
    let over = crest_voltage(effective) - threshold;
    if over.value <= 0.0 { amperes(0.0) } else { over / resistance }
}

/// Share of each half wave in which a string conducts.
pub fn conducting_share(effective: ElectricPotential, threshold: ElectricPotential) -> f64 {
    let ratio = (threshold / crest_voltage(effective)).value.clamp(0.0, 1.0);
    1.0 - 2.0 * libm::asin(ratio) / PI
}

/// Crest current of a string as a multiple of its effective current, from the share of the crest voltage that its lamps
/// take. The square root of two for a filament string.
pub fn crest_factor(effective: ElectricPotential, threshold: ElectricPotential, wave: Wave) -> f64 {
    let k = (threshold / crest_voltage(effective)).value.clamp(0.0, 0.999);
    let a = libm::asin(k);
    // Mean of (sin - k)^2 over one half wave.
    let mean_square = ((PI - 2.0 * a) * (0.5 + k * k) - 3.0 * k * libm::cos(a)) / PI;
    let halves = if wave == Wave::Half { 2.0 } else { 1.0 };
    (1.0 - k) / libm::sqrt(mean_square / halves)
}

/// Mean current of half-wave pulses without a threshold.
pub fn half_wave_mean(crest: ElectricCurrent) -> ElectricCurrent {
    crest / PI
}

/// What a capacitor across an open switch lets through at the crest.
pub fn snubber_crest(
    capacitance: Capacitance,
    effective: ElectricPotential,
    frequency: Frequency,
) -> ElectricCurrent {
    crest_voltage(effective) / reactance(capacitance, frequency)
}

/// Reactance of a capacitor.
pub fn reactance(capacitance: Capacitance, frequency: Frequency) -> ElectricalResistance {
    ohms(1.0 / (2.0 * PI * frequency.value * capacitance.value))
}

/// The greatest resistance across a string that keeps leakage from lighting it: the leakage's crest stays below the
/// voltage at which the string begins to conduct.
pub fn bleeder(threshold: ElectricPotential, leakage: ElectricCurrent) -> ElectricalResistance {
    threshold / (leakage * SQRT_2)
}

/// Heat in a resistor across a voltage.
pub fn resistor_heat(voltage: ElectricPotential, resistance: ElectricalResistance) -> Power {
    voltage * voltage / resistance
}

/// Heat in a switch that drops a fixed voltage and a resistance: mean current for the one, effective for the other.
pub fn switch_heat(
    knee: ElectricPotential,
    slope: ElectricalResistance,
    mean: ElectricCurrent,
    effective: ElectricCurrent,
) -> Power {
    knee * mean + slope * effective * effective
}

/// Times the least current that a load reaches.
pub fn hold_ratio(crest: ElectricCurrent, least: ElectricCurrent) -> f64 {
    (crest / least).value
}

const MALVINO_14: &str = "Malvino and Bates, Electronic Principles, example 5-14: 20 V, 680 ohm, half wave, drop of the diode left out";
const MALVINO_15: &str =
    "Malvino and Bates, Electronic Principles, example 5-15: 0.68 uF on 120 V 60 Hz, 3.90 kohm, 43.5 mA peak";

const VOLTAGE: Input = Input { name: "mains voltage", unit: "V" };
const THRESHOLD: Input = Input { name: "threshold", unit: "V" };

/// How often something switches in so many hours.
pub fn contact_cycles(hours: f64, a_minute: f64) -> f64 {
    hours * 60.0 * a_minute
}

pub(crate) const FORMULAS: &[Formula] = &[
    Formula {
        name: "contact-cycles",
        written: "switchings = hours x 60 x switchings a minute",
        inputs: &[Input { name: "hours", unit: "h" }, Input { name: "switchings a minute", unit: "1/min" }],
        unit: "1",
        source: "ISO 13849-1, annex C: operations a year from hours and cycle time",
        examples: &[Example {
            given: &[3520.0, 12.0],
            result: 2.53e6,
            within: 5e3,
            source: "ISO 13849-1, annex C, example of a valve: 220 days of 16 h, a cycle of 5 s, 2.53 million (from memory)",
        }],
        work: |v| contact_cycles(v[0], v[1]),
    },
    Formula {
        name: "crest-voltage",
        written: "crest = 1.414 x effective voltage",
        inputs: &[VOLTAGE],
        unit: "V",
        source: "a sine",
        examples: &[Example {
            given: &[120.0],
            result: 170.0,
            within: 0.5,
            source: "OpenStax, College Physics, example 20.9 (from memory): 120 V has a peak of 170 V",
        }],
        work: |v| crest_voltage(volts(v[0])).value,
    },
    Formula {
        name: "crest-current",
        written: "crest current = (1.414 x mains voltage - threshold) / series resistance",
        inputs: &[VOLTAGE, THRESHOLD, Input { name: "series resistance", unit: "ohm" }],
        unit: "mA",
        source: "Ohm's law above a sharp threshold",
        examples: &[Example { given: &[20.0, 0.0, 680.0], result: 41.59, within: 0.01, source: MALVINO_14 }],
        work: |v| crest_current(volts(v[0]), volts(v[1]), ohms(v[2])).get::<milliampere>(),
    },
    Formula {
        name: "crest-factor",
        written: "crest current / effective current of a full-wave string = (1 - k) / root of the mean of (sin - k)^2, k = threshold / crest voltage",
        inputs: &[VOLTAGE, THRESHOLD],
        unit: "",
        source: "a sharp threshold and a resistor on a sine",
        examples: &[Example {
            given: &[120.0, 0.0],
            result: 1.414,
            within: 0.001,
            source: "OpenStax, College Physics, section 20.5 (from memory): crest = 1.414 x effective value",
        }],
        work: |v| crest_factor(volts(v[0]), volts(v[1]), Wave::Full),
    },
    Formula {
        name: "crest-factor-half-wave",
        written: "crest current / effective current of a half-wave string = 1.414 x that of a full-wave string",
        inputs: &[VOLTAGE, THRESHOLD],
        unit: "",
        source: "half the pulses carry half the mean square",
        examples: &[Example {
            given: &[120.0, 0.0],
            result: 2.0,
            within: 0.001,
            source: "Malvino and Bates, Electronic Principles, from memory: a half-wave rectified sine has an effective value of half its crest",
        }],
        work: |v| crest_factor(volts(v[0]), volts(v[1]), Wave::Half),
    },
    Formula {
        name: "conducting-share",
        written: "share of a half wave = 1 - 2 x arcsin(threshold / crest voltage) / pi",
        inputs: &[VOLTAGE, THRESHOLD],
        unit: "",
        source: "a sharp threshold on a sine",
        examples: &[
            Example {
                given: &[120.0, 0.0],
                result: 1.0,
                within: 1e-9,
                source: "by definition: nothing to overcome, always conducting",
            },
            Example {
                given: &[120.0, 84.853],
                result: 0.6667,
                within: 0.0001,
                source: "sin 30 degrees is one half: conducting from 30 to 150 of 180 degrees",
            },
        ],
        work: |v| conducting_share(volts(v[0]), volts(v[1])),
    },
    Formula {
        name: "half-wave-mean",
        written: "mean = crest / pi",
        inputs: &[Input { name: "crest current", unit: "mA" }],
        unit: "mA",
        source: "mean of a half-wave rectified sine",
        examples: &[
            Example { given: &[41.59], result: 13.24, within: 0.01, source: MALVINO_14 },
            Example { given: &[43.5], result: 13.85, within: 0.01, source: MALVINO_15 },
        ],
        work: |v| half_wave_mean(amperes(v[0] / 1000.0)).get::<milliampere>(),
    },
    Formula {
        name: "reactance",
        written: "reactance = 1 / (2 pi x frequency x capacitance)",
        inputs: &[Input { name: "capacitance", unit: "uF" }, Input { name: "frequency", unit: "Hz" }],
        unit: "kohm",
        source: "textbook",
        examples: &[Example { given: &[0.68, 60.0], result: 3.90, within: 0.005, source: MALVINO_15 }],
        work: |v| reactance(farads(v[0] * 1e-6), hertz_of(v[1])).get::<kiloohm>(),
    },
    Formula {
        name: "snubber-crest",
        written: "crest leakage = 1.414 x mains voltage x 2 pi x frequency x capacitance",
        inputs: &[
            Input { name: "capacitance", unit: "uF" },
            VOLTAGE,
            Input { name: "frequency", unit: "Hz" },
        ],
        unit: "mA",
        source: "a capacitor on a sine",
        examples: &[Example { given: &[0.68, 120.0, 60.0], result: 43.5, within: 0.1, source: MALVINO_15 }],
        work: |v| snubber_crest(farads(v[0] * 1e-6), volts(v[1]), hertz_of(v[2])).get::<milliampere>(),
    },
    Formula {
        name: "bleeder",
        written: "greatest bleeder = threshold / (1.414 x leakage)",
        inputs: &[THRESHOLD, Input { name: "leakage", unit: "mA" }],
        unit: "ohm",
        source: "Ohm's law: the leakage alone must not lift the string to its threshold",
        examples: &[Example {
            given: &[28.284, 29.41],
            result: 680.0,
            within: 0.5,
            source: "the same numbers as Malvino and Bates, example 5-14, read backwards: 41.59 mA crest in 680 ohm is 28.28 V",
        }],
        work: |v| bleeder(volts(v[0]), amperes(v[1] / 1000.0)).get::<ohm>(),
    },
    Formula {
        name: "resistor-heat",
        written: "heat = voltage^2 / resistance",
        inputs: &[Input { name: "voltage", unit: "V" }, Input { name: "resistance", unit: "ohm" }],
        unit: "W",
        source: "Joule's law",
        examples: &[Example { given: &[20.0, 680.0], result: 0.59, within: 0.005, source: MALVINO_14 }],
        work: |v| resistor_heat(volts(v[0]), ohms(v[1])).get::<watt>(),
    },
    Formula {
        name: "switch-heat",
        written: "heat = knee x mean current + slope x effective current^2",
        inputs: &[
            Input { name: "knee", unit: "V" },
            Input { name: "slope", unit: "ohm" },
            Input { name: "mean current", unit: "A" },
            Input { name: "effective current", unit: "A" },
        ],
        unit: "W",
        source: "triac thermal design articles: a fixed voltage and a resistance",
        examples: &[
            Example { given: &[0.9, 0.02, 20.0, 20.0], result: 26.0, within: 0.01, source: GUPTA },
            Example { given: &[0.9, 0.02, 20.0, 31.416], result: 37.74, within: 0.02, source: GUPTA },
            Example { given: &[0.9, 0.02, 10.0, 14.142], result: 13.0, within: 0.01, source: GUPTA },
            Example { given: &[0.9, 0.02, 6.6667, 11.547], result: 8.67, within: 0.01, source: GUPTA },
        ],
        work: |v| switch_heat(volts(v[0]), ohms(v[1]), amperes(v[2]), amperes(v[3])).get::<watt>(),
    },
    Formula {
        name: "hold-ratio",
        written: "times the least current = crest current / least current",
        inputs: &[Input { name: "crest current", unit: "A" }, Input { name: "least current", unit: "A" }],
        unit: "",
        source: "a triac stays on while its current is above its holding current, after having reached its latching current",
        examples: &[Example {
            given: &[0.050, 0.050],
            result: 1.0,
            within: 1e-9,
            source: "EDN, 26 May 2011, p. 50: a 6 W load at 120 V draws just a holding current of 50 mA",
        }],
        work: |v| hold_ratio(amperes(v[0]), amperes(v[1])),
    },
];

const GUPTA: &str = "Gupta and Singhal, Power Electronics, example 2.16: 0.9 V + 0.02 ohm, as direct current, half sine, square, third";

#[cfg(test)]
mod tests {
    use super::*;

    /// More lamps in series leave less of the wave: the pulses are shorter and, for the same effective current, higher.
    #[test]
    fn a_higher_threshold_makes_the_crest_higher_for_the_same_effective_current() {
        let factors: Vec<f64> = [0.0, 60.0, 105.0, 150.0]
            .map(|threshold| crest_factor(volts(120.0), volts(threshold), Wave::Full))
            .into();
        assert!(factors.windows(2).all(|pair| pair[0] < pair[1]), "{factors:?}");
    }

    #[test]
    fn below_its_threshold_a_string_carries_nothing() {
        assert_eq!(crest_current(volts(120.0), volts(200.0), ohms(100.0)).value, 0.0);
        assert_eq!(conducting_share(volts(120.0), volts(200.0)), 0.0);
    }
}
