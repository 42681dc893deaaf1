//! Registers in a chain: what their outputs and packages bear, how long a frame takes, how much noise they stand.

use crate::of::{amperes, hertz_of, ohms, volts};
use crate::{Example, Formula, Input, load::whole};
use uom::si::electric_current::milliampere;
use uom::si::f64::{ElectricCurrent, ElectricPotential, ElectricalResistance, Frequency, Time};
use uom::si::{electric_potential::volt, frequency::hertz, time::microsecond};

/// Greatest current of one output of a 74HC595-class register at which its levels are guaranteed (data sheet).
pub const OUTPUT_A: f64 = 0.006;
/// Greatest current through the supply or ground pin of the same (TI CD74HC595, SCHS353, absolute maximum).
pub const PACKAGE_A: f64 = 0.070;
/// Current that one input of a Darlington array takes, at most (Toshiba ULN2803APG: 1.35 mA at 3.85 V).
pub const ARRAY_INPUT_A: f64 = 0.00135;

/// Ground shift that a single-ended signal between boards may see. Common practice: under 0.3 V.
pub const SHIFT_V: f64 = 0.3;

/// Length up to which single-ended 5 V signals are planned. Common practice: 5 to 10 m with care.
pub const SINGLE_ENDED_M: f64 = 5.0;

/// Current through the supply pin of a register whose outputs all source.
pub fn package_current(outputs: u32, each: ElectricCurrent) -> ElectricCurrent {
    each * f64::from(outputs)
}

/// Time to shift a frame through a chain.
pub fn frame_time(bits: u32, clock: Frequency) -> Time {
    f64::from(bits) / clock
}

/// How far a return current lifts the far ground: conductors of the same size side by side share it.
pub fn ground_shift(
    current: ElectricCurrent,
    one_conductor: ElectricalResistance,
    conductors: u32,
) -> ElectricPotential {
    current * one_conductor / f64::from(conductors.max(1))
}

/// What noise and ground shift may take from a level before the receiver misreads it: the smaller of what the high level
/// and the low level have in hand.
pub fn logic_margin(
    high_sent: ElectricPotential,
    high_needed: ElectricPotential,
    low_sent: ElectricPotential,
    low_needed: ElectricPotential,
) -> ElectricPotential {
    let (high, low) = (high_sent - high_needed, low_needed - low_sent);
    if high < low { high } else { low }
}

/// Rate of the pulses that an 8-bit counter makes from a clock and its divider.
pub fn pulse_rate(clock: Frequency, divider: u32) -> Frequency {
    clock / (f64::from(divider.max(1)) * 256.0)
}

/// Modulation in per cent that is of low risk at a frequency, 90 to 1250 Hz.
pub fn low_risk_modulation(frequency: Frequency) -> f64 {
    0.08 * frequency.get::<hertz>()
}

const RECIPE: &str = "a lighting glossary quoting IEEE 1789-2015, recommended practice 1";

pub(crate) const FORMULAS: &[Formula] = &[
    Formula {
        name: "package-current",
        written: "current through the supply pin = outputs x current of one",
        inputs: &[Input { name: "outputs", unit: "" }, Input { name: "current of one", unit: "mA" }],
        unit: "mA",
        source: "currents side by side add; limit 70 mA (TI CD74HC595, SCHS353)",
        examples: &[Example {
            given: &[7.0, 20.0],
            result: 140.0,
            within: 1e-9,
            source: "Bell, Electronic Instrumentation and Measurements, example 5-3: seven segments of 20 mA",
        }],
        work: |v| package_current(whole(v[0]), amperes(v[1] / 1e3)).get::<milliampere>(),
    },
    Formula {
        name: "frame-time",
        written: "time = bits / clock",
        inputs: &[Input { name: "bits", unit: "" }, Input { name: "clock", unit: "kHz" }],
        unit: "us",
        source: "one bit a clock",
        examples: &[Example {
            given: &[1.0, 8000.0],
            result: 0.125,
            within: 1e-9,
            source: "ATmega328P data sheet: the serial clock is half of 16 MHz at most, 125 ns a bit",
        }],
        work: |v| frame_time(whole(v[0]), hertz_of(v[1] * 1e3)).get::<microsecond>(),
    },
    Formula {
        name: "ground-shift",
        written: "ground shift = return current x resistance of one conductor / conductors",
        inputs: &[
            Input { name: "return current", unit: "A" },
            Input { name: "resistance of one conductor", unit: "ohm" },
            Input { name: "conductors", unit: "" },
        ],
        unit: "V",
        source: "Ohm's law",
        examples: &[Example {
            given: &[16.0, 0.324, 1.0],
            result: 5.184,
            within: 0.001,
            source: "BS 7671 appendix 4 example: 18 mV/A/m x 18 m is 0.324 ohm; 16 A in it lose 5.184 V",
        }],
        work: |v| ground_shift(amperes(v[0]), ohms(v[1]), whole(v[2])).get::<volt>(),
    },
    Formula {
        name: "logic-margin",
        written: "margin = the smaller of (high sent - high needed) and (low needed - low sent)",
        inputs: &[
            Input { name: "high sent", unit: "V" },
            Input { name: "high needed", unit: "V" },
            Input { name: "low sent", unit: "V" },
            Input { name: "low needed", unit: "V" },
        ],
        unit: "V",
        source: "definition of noise margin",
        examples: &[Example {
            given: &[2.4, 2.0, 0.4, 0.8],
            result: 0.4,
            within: 1e-9,
            source: "the noise margin of standard TTL, 0.4 V: every logic textbook (from memory)",
        }],
        work: |v| logic_margin(volts(v[0]), volts(v[1]), volts(v[2]), volts(v[3])).get::<volt>(),
    },
    Formula {
        name: "pulse-rate",
        written: "rate = clock / (divider x 256)",
        inputs: &[Input { name: "clock", unit: "MHz" }, Input { name: "divider", unit: "" }],
        unit: "Hz",
        source: "ATmega328P data sheet, fast pulse-width modulation with an 8-bit counter",
        examples: &[Example {
            given: &[16.0, 64.0],
            result: 980.0,
            within: 5.0,
            source: "documentation of common 16 MHz boards: 980 Hz on two of the pins (from memory)",
        }],
        work: |v| pulse_rate(hertz_of(v[0] * 1e6), whole(v[1])).get::<hertz>(),
    },
    Formula {
        name: "low-risk-modulation",
        written: "modulation of low risk = 0.08 % x frequency in hertz, 90 to 1250 Hz",
        inputs: &[Input { name: "frequency", unit: "Hz" }],
        unit: "%",
        source: RECIPE,
        examples: &[
            Example { given: &[100.0], result: 8.0, within: 1e-9, source: RECIPE },
            Example { given: &[1250.0], result: 100.0, within: 1e-9, source: RECIPE },
        ],
        work: |v| low_risk_modulation(hertz_of(v[0])),
    },
];
