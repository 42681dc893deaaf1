//! The monostable behind the heartbeat: each beat of the program starts its pulse anew, and the pulse holds the outputs on.

use crate::Formula;
use crate::of::{farads, ohms, volts};
use crate::shorthand::{example, input};
use uom::si::electric_current::milliampere;
use uom::si::f64::{Capacitance, ElectricCurrent, ElectricPotential, ElectricalResistance, Time};
use uom::si::time::millisecond;

/// The pulse of a 74HC4538 in times of its resistor and capacitor (Nexperia 74HC4538, rev. 4: tW = 0.7 x REXT x CEXT). A
/// 74HC123 is not planned: its makers print 0.45 and 0.55 for the same type. An HEF4538 or CD4538 has 1.0.
pub const PULSE_K: f64 = 0.7;
/// How far off one chip may be: ten in a hundred from part to part, guaranteed (MC74HC4538A data sheet).
pub const PULSE_OFF: f64 = 0.10;
/// How far off the resistor may be: the E24 series is the series of five in a hundred (IEC 60063).
pub const RESISTOR_OFF: f64 = 0.05;
/// How far off the capacitor may be: polyester film of ten in a hundred, and five more between frost and summer (a maker's
/// table of film dielectrics: +-5 % versus temperature). Ceramics lose more than that.
pub const CAPACITOR_OFF: f64 = 0.15;
/// The timing capacitor. More than 1 uF may harm the chip when power goes (MC74HC4538A, power-down considerations).
pub const CAPACITOR_F: f64 = 1e-6;
/// The pulse that is aimed at: about the middle between what the beat asks for and what [`DARK_MS`] allows.
pub const AIM_MS: f64 = 100.0;
/// Everything is dark so long after the last beat, at the latest: our threshold.
pub const DARK_MS: f64 = 200.0;
/// The shortest pulse outlasts so many beats, so that one that comes late darkens nothing: our threshold.
pub const BEATS: f64 = 2.0;

/// Current of one gate of the 74HC class at which its low level is guaranteed (data sheets: 4 mA, at most 0.33 V).
pub const GATE_A: f64 = 0.004;
/// A pull-up on a line of logic. Common practice: 10 kohm.
pub const PULL_OHM: f64 = 10_000.0;

/// The pulse of a monostable.
pub fn pulse(k: f64, resistance: ElectricalResistance, capacitance: Capacitance) -> Time {
    k * resistance * capacitance
}

/// The same where every part is off by its share, all the same way: negative for the shortest pulse.
pub fn pulse_off(
    k: (f64, f64),
    resistance: (ElectricalResistance, f64),
    capacitance: (Capacitance, f64),
) -> Time {
    pulse(k.0 * (1.0 + k.1), resistance.0 * (1.0 + resistance.1), capacitance.0 * (1.0 + capacitance.1))
}

/// What so many lines with a pull-up each take from the output that holds them low.
pub fn lines_current(
    lines: u32,
    supply: ElectricPotential,
    pull_up: ElectricalResistance,
) -> ElectricCurrent {
    f64::from(lines) * supply / pull_up
}

const SHEET: &str = "MC14538B data sheet, CX = 0.1 uF, RX = 100 kohm at 5 V: 9.86 ms typical, 9.3 to 10.5 ms";

pub(crate) const FORMULAS: &[Formula] = &[
    Formula {
        name: "monostable-pulse",
        written: "pulse = k x resistance x capacitance",
        inputs: &[input("k", ""), input("resistance", "kohm"), input("capacitance", "uF")],
        unit: "ms",
        source: "Nexperia 74HC4538, rev. 4: tW = 0.7 x REXT x CEXT",
        examples: &[
            // That type's k is 1.
            example(&[1.0, 100.0, 0.1], 9.86, 0.15, SHEET),
            example(
                &[0.7, 10.0, 0.1],
                0.7,
                1e-9,
                "74HC4538 data sheets, pulse at CEXT = 0.1 uF, REXT = 10 kohm: 0.7 ms (table from memory)",
            ),
        ],
        work: |v| pulse(v[0], ohms(v[1] * 1e3), farads(v[2] * 1e-6)).get::<millisecond>(),
    },
    Formula {
        name: "monostable-limit",
        written: "pulse = k x resistance x capacitance, each off by its share the same way",
        inputs: &[
            input("k", ""),
            input("k off by", "%"),
            input("resistance", "kohm"),
            input("resistance off by", "%"),
            input("capacitance", "uF"),
            input("capacitance off by", "%"),
        ],
        unit: "ms",
        source: "Nexperia 74HC4538, rev. 4: tW = 0.7 x REXT x CEXT; +-10 % from part to part (MC74HC4538A)",
        examples: &[
            example(
                &[1.0, -7.0, 100.0, 0.0, 0.1, 0.0],
                9.3,
                1e-6,
                "MC14538B data sheet, least pulse at CX = 0.1 uF, RX = 100 kohm: 9.3 ms, 7 % under RX x CX",
            ),
            example(
                &[1.0, 5.0, 100.0, 0.0, 0.1, 0.0],
                10.5,
                1e-6,
                "the same, greatest pulse: 10.5 ms, 5 % over RX x CX",
            ),
        ],
        work: |v| {
            let off = |percent: f64| percent / 100.0;
            let capacitance = (farads(v[4] * 1e-6), off(v[5]));
            pulse_off((v[0], off(v[1])), (ohms(v[2] * 1e3), off(v[3])), capacitance).get::<millisecond>()
        },
    },
    Formula {
        name: "lines-current",
        written: "current = lines x supply / pull-up",
        inputs: &[input("lines", ""), input("supply", "V"), input("pull-up", "ohm")],
        unit: "mA",
        source: "Ohm's law; a 74HC gate holds 4 mA low (74HC32 data sheets)",
        examples: &[example(
            &[1.0, 12.0, 4.8],
            2500.0,
            0.1,
            "OpenStax, College Physics, example 20.4 (from memory): 2.50 A at 12.0 V is 4.80 ohm",
        )],
        work: |v| lines_current(crate::load::whole(v[0]), volts(v[1]), ohms(v[2])).get::<milliampere>(),
    },
];
