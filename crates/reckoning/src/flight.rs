//! Things thrown: how high, how far, how long. No air drag.

use crate::Formula;
use crate::shorthand::{GRAVITY, degrees, example, input};
use uom::si::f64::{Angle, Length, Time, Velocity};
use uom::si::length::meter;
use uom::si::time::second;
use uom::si::velocity::meter_per_second;

/// Time along a parabola from a height up over its top and down to the same height: `2 sqrt(2 h / g)`.
pub fn path_time(top_above_ends: Length) -> Time {
    Time::new::<second>(2.0 * libm::sqrt(2.0 * top_above_ends.get::<meter>() / GRAVITY))
}

/// How high a throw rises: `(v sin a)^2 / (2 g)`.
pub fn rise(speed: Velocity, angle: Angle) -> Length {
    let up = speed.get::<meter_per_second>() * libm::sin(angle.value);
    Length::new::<meter>(up * up / (2.0 * GRAVITY))
}

/// How far a throw goes over level ground: `v^2 sin(2 a) / g`.
pub fn level_range(speed: Velocity, angle: Angle) -> Length {
    let speed = speed.get::<meter_per_second>();
    Length::new::<meter>(speed * speed * libm::sin(2.0 * angle.value) / GRAVITY)
}

/// Time until something that leaves at `upwards` is `below` its start: `(u + sqrt(u^2 + 2 g d)) / g`.
pub fn fall_time(upwards: Velocity, below: Length) -> Time {
    let up = upwards.get::<meter_per_second>();
    let under = up * up + 2.0 * GRAVITY * below.get::<meter>();
    Time::new::<second>((up + libm::sqrt(under)) / GRAVITY)
}

/// Height of a symmetrical parabola above its ends, `across` of `width` of the way.
pub fn parabola_height(top_above_ends: Length, across: Length, width: Length) -> Length {
    let share = (across / width).value;
    4.0 * top_above_ends * share * (1.0 - share)
}

pub(crate) static FORMULAS: &[Formula] = &[
    Formula {
        name: "path-time",
        written: "time over the top and down again = 2 sqrt(2 x height / g)",
        inputs: &[input("top above ends", "m")],
        unit: "s",
        source: "OpenStax, University Physics vol. 1, ch. 4",
        examples: &[
            example(
                &[29.3],
                4.8,
                0.1,
                "OpenStax, University Physics vol. 1, cliff: 29.3 m up at 2.4 s (printed to two digits)",
            ),
            example(
                &[233.0],
                13.8,
                0.05,
                "OpenStax, University Physics vol. 1, fireworks: 233 m after 6.90 s, there and back",
            ),
        ],
        work: |v| path_time(Length::new::<meter>(v[0])).get::<second>(),
    },
    Formula {
        name: "throw-height",
        written: "height = (speed x sin(angle))^2 / (2 g)",
        inputs: &[input("speed", "m/s"), input("angle", "degrees")],
        unit: "m",
        source: "OpenStax, University Physics vol. 1, ch. 4",
        examples: &[
            example(&[70.0, 75.0], 233.0, 0.7, "OpenStax, University Physics vol. 1, fireworks: 233 m"),
            example(
                &[30.0, 53.13],
                29.3,
                0.1,
                "OpenStax, University Physics vol. 1: 30 m/s at 53 degrees, 29.3 m",
            ),
        ],
        work: |v| rise(Velocity::new::<meter_per_second>(v[0]), degrees(v[1])).get::<meter>(),
    },
    Formula {
        name: "throw-range",
        written: "range = speed^2 x sin(2 x angle) / g",
        inputs: &[input("speed", "m/s"), input("angle", "degrees")],
        unit: "m",
        source: "OpenStax, University Physics vol. 1, ch. 4",
        examples: &[
            example(
                &[31.9, 30.0],
                90.0,
                0.2,
                "OpenStax, University Physics vol. 1, golf: 90 m at 30 degrees, 31.9 m/s",
            ),
            example(
                &[37.0, 70.0],
                90.0,
                0.3,
                "OpenStax, University Physics vol. 1, golf: 90 m at 70 degrees, 37.0 m/s",
            ),
            example(
                &[23.0, 10.0],
                18.5,
                0.06,
                "OpenStax, University Physics vol. 1: 23.0 m/s at 10 degrees, 18.5 m",
            ),
        ],
        work: |v| level_range(Velocity::new::<meter_per_second>(v[0]), degrees(v[1])).get::<meter>(),
    },
    Formula {
        name: "fall-time",
        written: "time = (up + sqrt(up^2 + 2 g x below)) / g",
        inputs: &[input("speed upwards", "m/s"), input("below the start", "m")],
        unit: "s",
        source: "OpenStax, University Physics vol. 1, ch. 4",
        examples: &[
            example(&[-2.0, 100.0], 4.3, 0.05, "OpenStax, University Physics vol. 1, balloon: 4.3 s"),
            example(&[24.0, 100.0], 7.58, 0.01, "OpenStax, University Physics vol. 1, cliff: 7.58 s"),
            example(&[21.2132, -10.0], 3.79, 0.01, "OpenStax, University Physics vol. 1, tennis: 3.79 s"),
        ],
        work: |v| {
            fall_time(Velocity::new::<meter_per_second>(v[0]), Length::new::<meter>(v[1])).get::<second>()
        },
    },
];
