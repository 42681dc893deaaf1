//! Copper wire: sizes, resistance, voltage lost.

use crate::{Example, Formula, Input, load::whole};
use uom::si::electric_current::ampere;
use uom::si::electric_potential::volt;
use uom::si::f64::{ElectricCurrent, ElectricPotential, ElectricalResistance, Length};
use uom::si::{electrical_resistance::ohm, length::foot, length::millimeter};

/// Wire sizes the plan chooses from, thinnest first.
pub const SIZES_AWG: [u32; 5] = [22, 20, 18, 16, 14];

/// Diameter of solid wire by American gauge: `0.127 mm x 92^((36 - n) / 39)`.
///
/// ```
/// use uom::si::length::millimeter;
/// assert!((reckoning::wire::diameter(18).get::<millimeter>() - 1.024).abs() < 0.001);
/// ```
pub fn diameter(gauge: u32) -> Length {
    Length::new::<millimeter>(0.127 * libm::pow(92.0, (36.0 - f64::from(gauge)) / 39.0))
}

/// Resistance of one conductor of stranded copper, warm (75 C). NEC chapter 9 table 8 where it has the size; thinner
/// sizes by the gauge law from its 18 AWG row.
///
/// ```
/// use uom::si::{electrical_resistance::ohm, f64::Length, length::foot};
/// let reel = reckoning::wire::resistance(16, Length::new::<foot>(1000.0));
/// assert_eq!(reel.get::<ohm>(), 4.99);
/// ```
#[allow(clippy::approx_constant, reason = "3.14 ohm is the table's value for 14 AWG")]
pub fn resistance(gauge: u32, length: Length) -> ElectricalResistance {
    let per_thousand_feet = match gauge {
        18 => 7.95,
        16 => 4.99,
        14 => 3.14,
        12 => 1.98,
        10 => 1.24,
        other => {
            let ratio = diameter(18) / diameter(other);
            7.95 * (ratio * ratio).value
        }
    };
    ElectricalResistance::new::<ohm>(per_thousand_feet * length.get::<foot>() / 1000.0)
}

/// Voltage lost along a conductor that carries one current out and another one back.
///
/// A single load has the same current on both; a switched return has its own, the shared feed that of all together.
///
/// ```
/// use uom::si::{electric_current::ampere, electric_potential::volt, f64::*, length::foot};
/// let ten = ElectricCurrent::new::<ampere>(10.0);
/// let drop = reckoning::wire::pair_drop(18, Length::new::<foot>(100.0), ten, ten);
/// assert!((drop.get::<volt>() - 15.9).abs() < 0.01);
/// ```
pub fn pair_drop(
    gauge: u32,
    length: Length,
    out: ElectricCurrent,
    back: ElectricCurrent,
) -> ElectricPotential {
    resistance(gauge, length) * (out + back)
}

#[allow(clippy::approx_constant, reason = "3.14 ohm is the table's value for 14 AWG")]
pub(crate) const FORMULAS: &[Formula] = &[
    Formula {
        name: "wire-diameter",
        written: "diameter = 0.127 mm x 92^((36 - gauge) / 39)",
        inputs: &[Input { name: "gauge", unit: "AWG" }],
        unit: "mm",
        source: "ASTM B258 (from memory; it reproduces every row of a printed wire table)",
        examples: &[
            Example {
                given: &[12.0],
                result: 2.053,
                within: 0.001,
                source: "OpenStax, University Physics vol. 2, ch. 9: 12 AWG is 2.053 mm",
            },
            Example {
                given: &[10.0],
                result: 2.588,
                within: 0.001,
                source: "OpenStax, University Physics vol. 2, ch. 9: 10 AWG is 2.588 mm",
            },
            Example {
                given: &[14.0],
                result: 1.628,
                within: 0.001,
                source: "OpenStax, University Physics vol. 2, ch. 9: 14 AWG is 1.628 mm",
            },
        ],
        work: |v| diameter(whole(v[0])).get::<millimeter>(),
    },
    Formula {
        name: "wire-resistance",
        written: "resistance = ohms per 1000 ft x length",
        inputs: &[Input { name: "gauge", unit: "AWG" }, Input { name: "length", unit: "ft" }],
        unit: "ohm",
        source: "NEC chapter 9 table 8, uncoated stranded copper at 75 C; sizes thinner than 18 AWG by the gauge law",
        examples: &[
            Example { given: &[18.0, 1000.0], result: 7.95, within: 0.001, source: "NEC chapter 9 table 8" },
            Example { given: &[14.0, 1000.0], result: 3.14, within: 0.001, source: "NEC chapter 9 table 8" },
            Example {
                given: &[22.0, 1000.0],
                result: 16.14 * (1.0 + 0.003_93 * 55.0) * 1.022,
                within: 0.35,
                source: "printed solid wire table at 20 C (16.14 ohm), warmed by 55 K at 0.00393 per K, 2 % for strands as in table 8",
            },
        ],
        work: |v| resistance(whole(v[0]), Length::new::<foot>(v[1])).get::<ohm>(),
    },
    Formula {
        name: "pair-drop",
        written: "voltage lost = (current out + current back) x resistance of one conductor",
        inputs: &[
            Input { name: "gauge", unit: "AWG" },
            Input { name: "length one way", unit: "ft" },
            Input { name: "current out", unit: "A" },
            Input { name: "current back", unit: "A" },
        ],
        unit: "V",
        source: "Ohm's law on both conductors, resistance as in NEC chapter 9 table 8",
        examples: &[
            Example {
                given: &[18.0, 100.0, 10.0, 10.0],
                result: 15.9,
                within: 0.01,
                source: "2 I L R from NEC chapter 9 table 8",
            },
            Example {
                given: &[16.0, 100.0, 10.0, 10.0],
                result: 9.98,
                within: 0.01,
                source: "2 I L R from NEC chapter 9 table 8",
            },
            Example {
                given: &[14.0, 50.0, 5.0, 5.0],
                result: 1.57,
                within: 0.01,
                source: "2 I L R from NEC chapter 9 table 8",
            },
        ],
        work: |v| {
            let amperes = ElectricCurrent::new::<ampere>;
            pair_drop(whole(v[0]), Length::new::<foot>(v[1]), amperes(v[2]), amperes(v[3])).get::<volt>()
        },
    },
];
