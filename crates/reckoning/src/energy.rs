//! Energy and what a night costs.

use crate::Formula;
use crate::shorthand::{example, input};
use uom::si::energy::kilowatt_hour;
use uom::si::f64::{Energy, Power, Time};
use uom::si::power::watt;
use uom::si::time::hour;

/// Energy of a power over a time.
pub fn energy(power: Power, time: Time) -> Energy {
    power * time
}

/// What energy costs, in the currency of the price for a kilowatt hour.
pub fn cost(energy: Energy, price_kwh: f64) -> f64 {
    energy.get::<kilowatt_hour>() * price_kwh
}

pub(crate) static FORMULAS: &[Formula] = &[
    Formula {
        name: "night-energy",
        written: "energy = power x hours x nights",
        inputs: &[input("power", "W"), input("hours", "h"), input("nights", "")],
        unit: "kWh",
        source: "energy is power times time",
        examples: &[
            example(
                &[100.0, 3.0, 365.0],
                109.5,
                0.01,
                "OpenStax, University Physics vol. 2, ch. 9: a 100 W lamp, 3 h a day, 109.5 kWh a year",
            ),
            example(
                &[3000.0 * 0.41, 5.0, 40.0],
                246.0,
                0.5,
                "string wattage tables: 3000 filament lamps of 0.41 W, 5 h, 40 nights: 246 kWh",
            ),
            example(
                &[3000.0 * 0.069, 5.0, 40.0],
                41.0,
                0.5,
                "string wattage tables: 3000 LED lamps of 0.069 W, 5 h, 40 nights: 41 kWh",
            ),
        ],
        work: |v| energy(Power::new::<watt>(v[0]), Time::new::<hour>(v[1] * v[2])).get::<kilowatt_hour>(),
    },
    Formula {
        name: "energy-cost",
        written: "cost = energy x price",
        inputs: &[input("energy", "kWh"), input("price", "a kWh")],
        unit: "",
        source: "arithmetic",
        examples: &[
            example(&[109.5, 0.10], 10.95, 0.005, "OpenStax, University Physics vol. 2, ch. 9"),
            example(&[500.0, 0.30], 150.0, 0.05, "Theraja, Electrical Technology vol. III, example 49.5"),
        ],
        work: |v| cost(Energy::new::<kilowatt_hour>(v[0]), v[1]),
    },
];
