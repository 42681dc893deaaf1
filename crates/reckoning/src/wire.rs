//! Copper wire: sizes, resistance, voltage lost.

use crate::{Example, Formula, Input, load::whole};
use uom::si::electric_current::ampere;
use uom::si::electric_potential::volt;
use uom::si::f64::{Area, ElectricCurrent, ElectricPotential, ElectricalResistance, Length};
use uom::si::{
    area::square_millimeter, electrical_resistance::ohm, length::foot, length::meter, length::millimeter,
};

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

/// Resistivity of annealed copper at 20 C, in ohm metres (International Annealed Copper Standard).
pub const COPPER_OHM_M: f64 = 1.7241e-8;
/// Temperature coefficient of the same, per kelvin, at 20 C.
pub const COPPER_PER_K: f64 = 0.003_93;

/// How much more a copper conductor resists at a temperature than at 20 C.
pub fn warmth(celsius: f64) -> f64 {
    1.0 + COPPER_PER_K * (celsius - 20.0)
}

/// Resistance of one copper conductor by its cross-section and temperature.
///
/// ```
/// use uom::si::{area::square_millimeter, f64::*, length::meter};
/// let r = reckoning::wire::copper(Area::new::<square_millimeter>(3.31), Length::new::<meter>(30.48), 20.0);
/// assert!((2.0 * 20.0 * r.value - 6.35).abs() < 0.01);
/// ```
pub fn copper(section: Area, length: Length, celsius: f64) -> ElectricalResistance {
    let metre = Length::new::<meter>(1.0);
    ElectricalResistance::new::<ohm>(COPPER_OHM_M * warmth(celsius)) * (length * metre / section).value
}

/// Cross-section of solid wire by American gauge.
pub fn section(gauge: u32) -> Area {
    let diameter = diameter(gauge);
    diameter * diameter * core::f64::consts::FRAC_PI_4
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

const WIRE_TABLE: &str = "printed solid wire table at 20 C of a wire tester's maker";

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
            Example { given: &[12.0, 1000.0], result: 1.98, within: 0.001, source: "NEC chapter 9 table 8" },
            Example { given: &[18.0, 1000.0], result: 7.95, within: 0.001, source: "NEC chapter 9 table 8" },
            Example { given: &[14.0, 1000.0], result: 3.14, within: 0.001, source: "NEC chapter 9 table 8" },
        ],
        work: |v| resistance(whole(v[0]), Length::new::<foot>(v[1])).get::<ohm>(),
    },
    Formula {
        name: "solid-resistance",
        written: "resistance = 17.241 ohm mm2/km x (1 + 0.00393 x (temperature - 20 C)) x length / cross-section of the gauge",
        inputs: &[
            Input { name: "gauge", unit: "AWG" },
            Input { name: "length", unit: "ft" },
            Input { name: "temperature", unit: "C" },
        ],
        unit: "ohm",
        source: "International Annealed Copper Standard on the gauge law",
        examples: &[
            Example { given: &[22.0, 1000.0, 20.0], result: 16.14, within: 0.01, source: WIRE_TABLE },
            Example { given: &[24.0, 1000.0, 20.0], result: 25.67, within: 0.02, source: WIRE_TABLE },
            Example { given: &[18.0, 1000.0, 20.0], result: 6.385, within: 0.005, source: WIRE_TABLE },
            Example {
                given: &[18.0, 1000.0, 75.0],
                result: 7.77,
                within: 0.01,
                source: "NEC chapter 9 table 8, solid uncoated",
            },
            Example {
                given: &[14.0, 1000.0, 75.0],
                result: 3.07,
                within: 0.005,
                source: "NEC chapter 9 table 8, solid uncoated",
            },
        ],
        work: |v| copper(section(whole(v[0])), Length::new::<foot>(v[1]), v[2]).get::<ohm>(),
    },
    Formula {
        name: "copper-drop",
        written: "voltage lost = 2 x current x 17.241 ohm mm2/km x (1 + 0.00393 x (temperature - 20 C)) x length / cross-section",
        inputs: &[
            Input { name: "cross-section", unit: "mm2" },
            Input { name: "length one way", unit: "m" },
            Input { name: "current", unit: "A" },
            Input { name: "temperature", unit: "C" },
        ],
        unit: "V",
        source: "International Annealed Copper Standard and Ohm's law on both conductors",
        examples: &[Example {
            given: &[3.31, 30.48, 20.0, 20.0],
            result: 6.4,
            within: 0.051,
            source: "first example of a voltage drop page: 20 A over 100 ft of 3.31 mm2 lose 6.4 V",
        }],
        work: |v| {
            let section = Area::new::<square_millimeter>(v[0]);
            let lost = copper(section, Length::new::<meter>(v[1]), v[3])
                * ElectricCurrent::new::<ampere>(2.0 * v[2]);
            lost.get::<volt>()
        },
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
        examples: &[Example {
            given: &[12.0, 150.0, 20.0, 20.0],
            result: 11.9,
            within: 0.05,
            source: "worked example of a voltage drop page: 20 A over 150 ft of 12 AWG lose about 11.9 V",
        }],
        work: |v| {
            let amperes = ElectricCurrent::new::<ampere>;
            pair_drop(whole(v[0]), Length::new::<foot>(v[1]), amperes(v[2]), amperes(v[3])).get::<volt>()
        },
    },
];
