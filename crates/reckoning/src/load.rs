//! Currents that add up, and what is left of a rating.

use crate::{Example, Formula, Input};
use uom::si::electric_current::ampere;
use uom::si::f64::{ElectricCurrent, ElectricPotential, Power};
use uom::si::{electric_potential::volt, power::watt};

/// Current of several equal strands side by side on one channel.
///
/// ```
/// use uom::si::{electric_current::ampere, f64::ElectricCurrent};
/// let two = reckoning::load::channel_current(2, ElectricCurrent::new::<ampere>(0.17));
/// assert_eq!(two.get::<ampere>(), 0.34);
/// ```
pub fn channel_current(strands: u32, each: ElectricCurrent) -> ElectricCurrent {
    each * f64::from(strands)
}

/// Current of everything at once: all channels and what the controller draws itself.
///
/// ```
/// use uom::si::{electric_current::ampere, f64::ElectricCurrent};
/// let amperes = ElectricCurrent::new::<ampere>;
/// assert_eq!(reckoning::load::total_current(amperes(0.32), amperes(0.14)).get::<ampere>(), 0.46);
/// ```
pub fn total_current(channels: ElectricCurrent, controller: ElectricCurrent) -> ElectricCurrent {
    channels + controller
}

/// Current from the watts and volts on a label.
///
/// ```
/// use uom::si::{electric_current::ampere, electric_potential::volt, f64::*, power::watt};
/// let current = reckoning::load::label_current(Power::new::<watt>(24.0), ElectricPotential::new::<volt>(120.0));
/// assert_eq!(current.get::<ampere>(), 0.2);
/// ```
pub fn label_current(power: Power, voltage: ElectricPotential) -> ElectricCurrent {
    power / voltage
}

pub(crate) const FORMULAS: &[Formula] = &[
    Formula {
        name: "channel-current",
        written: "channel current = strands x strand current",
        inputs: &[Input { name: "strands", unit: "" }, Input { name: "strand current", unit: "A" }],
        unit: "A",
        source: "currents side by side add (Kirchhoff's current law)",
        examples: &[Example {
            given: &[2.0, 0.17],
            result: 0.34,
            within: 0.001,
            source: "100-lamp string as two 50-lamp sections of 0.17 A each: sections from a string's instruction sheet",
        }],
        work: |v| channel_current(whole(v[0]), ElectricCurrent::new::<ampere>(v[1])).get::<ampere>(),
    },
    Formula {
        name: "total-current",
        written: "current with everything lit = all channels + controller",
        inputs: &[Input { name: "channels", unit: "A" }, Input { name: "controller", unit: "A" }],
        unit: "A",
        source: "currents side by side add (Kirchhoff's current law)",
        examples: &[Example {
            given: &[0.42, 0.04],
            result: 0.46,
            within: 0.0005,
            source: "Bell, Electronic Instrumentation and Measurements, example 5-3: three digits at 140 mA and a half digit at 40 mA make 460 mA",
        }],
        work: |v| {
            total_current(ElectricCurrent::new::<ampere>(v[0]), ElectricCurrent::new::<ampere>(v[1]))
                .get::<ampere>()
        },
    },
    Formula {
        name: "label-current",
        written: "current = watts / volts",
        inputs: &[Input { name: "power", unit: "W" }, Input { name: "voltage", unit: "V" }],
        unit: "A",
        source: "power is voltage times current",
        examples: &[
            Example {
                given: &[24.0, 120.0],
                result: 0.2,
                within: 0.0005,
                source: "tag arithmetic of a string's instruction sheet: 0.2 A x 120 V = 24 W",
            },
            Example {
                given: &[1400.0, 110.0],
                result: 12.72,
                within: 0.01,
                source: "load list for a 20 A circuit: 200 lamps of 7 W at 110 V make 12.72 A",
            },
            Example {
                given: &[1683.0, 110.0],
                result: 15.3,
                within: 0.01,
                source: "load list for a 20 A circuit: 33 strings x 100 lamps x 0.51 W at 110 V make 15.3 A",
            },
            Example {
                given: &[1250.0, 125.0],
                result: 10.0,
                within: 0.0005,
                source: "battery charger instruction page: 1250 W / 125 V = 10 A",
            },
        ],
        work: |v| {
            label_current(Power::new::<watt>(v[0]), ElectricPotential::new::<volt>(v[1])).get::<ampere>()
        },
    },
];

/// A count out of the register's plain numbers.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to the range of a count first"
)]
pub(crate) fn whole(value: f64) -> u32 {
    value.clamp(0.0, f64::from(u32::MAX)).round() as u32
}
