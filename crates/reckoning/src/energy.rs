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
        examples: &[example(
            &[100.0, 0.12],
            12.0,
            1e-9,
            "a tariff of 12 cents: 100 kWh cost 12 dollars, by definition",
        )],
        work: |v| cost(Energy::new::<kilowatt_hour>(v[0]), v[1]),
    },
];
