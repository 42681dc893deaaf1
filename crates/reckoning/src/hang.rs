//! Things hung from a loaded rope: where to tie, how long to cut, how they tilt and swing, what passes below.

use crate::Formula;
use crate::shorthand::{GRAVITY, degrees, example, input};
use uom::si::angle::degree;
use uom::si::area::square_meter;
use uom::si::f64::{Angle, Area, Force, Length, Mass, Time, Velocity};
use uom::si::force::newton;
use uom::si::length::{meter, millimeter};
use uom::si::mass::kilogram;
use uom::si::time::second;
use uom::si::velocity::meter_per_second;

/// Least height under anything over a walk (ADA 307.4: 80 in).
pub const LEAST_HEADROOM_MM: f64 = 2032.0;
/// What we plan for over a walk, before ropes grow: our threshold (one city asks 2.4 m for cords).
pub const PLANNED_HEADROOM_MM: f64 = 2500.0;

/// Length of a hanger: height of the loaded rope less the height wanted for what it holds.
///
/// ```
/// use uom::si::{f64::Length, length::foot};
/// let feet = Length::new::<foot>;
/// let cut = reckoning::hang::hanger(feet(13.3), feet(10.5));
/// assert!((cut.get::<foot>() - 2.8).abs() < 1e-9);
/// ```
pub fn hanger(rope: Length, wanted: Length) -> Length {
    rope - wanted
}

/// A point of an object, from its centre of mass: across to the right and up, as the object hangs upright.
pub type Fixing = [Length; 2];

/// An object on two upright hangers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TwoHangers {
    /// Where the two fixings come, from the centre of mass: across and up, tilted. Left one first.
    pub fixings: [Fixing; 2],
    /// Share of the weight each carries.
    pub shares: [f64; 2],
}

/// An object tilted by `tilt` (its right end goes up) on two upright hangers. Nothing when one of them would go slack: the
/// centre of mass must hang between them.
pub fn two_hangers(fixings: [Fixing; 2], tilt: Angle) -> Option<TwoHangers> {
    let (sin, cos) = (libm::sin(tilt.value), libm::cos(tilt.value));
    let mut turned = fixings.map(|[across, up]| [across * cos - up * sin, across * sin + up * cos]);
    if turned[0][0] > turned[1][0] {
        turned.swap(0, 1);
    }
    let (left, right) = (turned[0][0].get::<meter>(), turned[1][0].get::<meter>());
    let between = left < 0.0 && right > 0.0;
    between.then(|| {
        let left_share = left_share(-left, right);
        TwoHangers { fixings: turned, shares: [left_share, 1.0 - left_share] }
    })
}

/// Share of a weight that the left of two supports carries: its distance from the right one by their distance.
fn left_share(to_left: f64, to_right: f64) -> f64 {
    to_right / (to_left + to_right)
}

/// How far one fixing must hang below the other for a tilt: `apart x sin(tilt)`.
pub fn tilt_difference(apart: Length, tilt: Angle) -> Length {
    apart * libm::sin(tilt.value)
}

/// What is left under a hung object: height of its middle less how far it reaches below.
pub fn headroom(middle: Length, reaches_below: Length) -> Length {
    middle - reaches_below
}

/// How far a hung thing leans in a wind: `tan a = q Cd A / (m g)`.
pub fn swing(gust: Velocity, drag: f64, area: Area, mass: Mass) -> Angle {
    let push = crate::wind::pressure(gust).value * drag * area.get::<square_meter>();
    Angle::new::<uom::si::angle::radian>(libm::atan(push / (mass.get::<kilogram>() * GRAVITY)))
}

/// The gust at which a rope with what hangs from it reaches a limit. Wind pushes across, weight pulls down, the rope hangs in
/// the plane of both with the sag it has: its tension grows as the resultant, `T sqrt(1 + (push / weight)^2)`. None when it
/// is over the limit in still air.
pub fn take_in(still: Force, limit: Force, drag: f64, area: Area, weight: Force) -> Option<Velocity> {
    let grows = (limit / still).value;
    let push = weight.get::<newton>() * libm::sqrt((grows * grows - 1.0).max(0.0));
    let pressed = crate::wind::PRESSURE_PA * drag * area.get::<square_meter>();
    let sound = grows >= 1.0 && push.is_finite() && pressed > 0.0;
    sound.then(|| Velocity::new::<meter_per_second>(libm::sqrt(push / pressed)))
}

/// Time of one swing to and fro: `2 pi sqrt(l / g)`.
pub fn swing_time(length: Length) -> Time {
    Time::new::<second>(2.0 * core::f64::consts::PI * libm::sqrt(length.get::<meter>() / GRAVITY))
}

/// Least spacing of hung objects so that neighbours that swing against each other do not meet: `size + 2 l sin(a)`.
pub fn swing_spacing(size: Length, hanger: Length, lean: Angle) -> Length {
    size + 2.0 * hanger * libm::sin(lean.value)
}

pub(crate) static FORMULAS: &[Formula] = &[
    Formula {
        name: "hanger-length",
        written: "hanger = height of the loaded rope - height wanted",
        inputs: &[input("loaded rope", "m"), input("wanted", "m")],
        unit: "m",
        source: "common practice: always from the loaded rope",
        examples: &[example(
            &[70.0 - 2.0, 6.0],
            62.0,
            1e-9,
            "Theraja, Electrical Technology vol. III, example 41.51: 70 m tower, 2 m string, 6 m sag leave 62 m",
        )],
        work: |v| hanger(Length::new::<meter>(v[0]), Length::new::<meter>(v[1])).get::<meter>(),
    },
    Formula {
        name: "hanger-share",
        written: "share of the left hanger = distance to the right one / distance of both",
        inputs: &[input("left of the centre of mass", "mm"), input("right of it", "mm")],
        unit: "",
        source: "levers",
        examples: &[
            example(
                &[75.0, 25.0],
                0.25,
                1e-9,
                "R. Delaney, highline calculators: 100 of 400 on the far side of a load at 75 of 100",
            ),
            example(
                &[10.0, 8.0],
                8.0 / 18.0,
                1e-9,
                "levers: the beam of Hibbeler and Gupta, example 7.13, with its middle load alone",
            ),
        ],
        work: |v| left_share(v[0], v[1]),
    },
    Formula {
        name: "tilt-difference",
        written: "one fixing below the other by = their distance x sin(tilt)",
        inputs: &[input("fixings apart", "mm"), input("tilt", "degrees")],
        unit: "mm",
        source: "geometry",
        examples: &[
            example(&[1000.0, 15.6], 270.0, 2.0, "OpenStax, University Physics vol. 1: sin 15.6 = 0.27"),
            example(&[100.0, 30.0], 50.0, 1e-9, "half an equilateral triangle"),
        ],
        work: |v| tilt_difference(Length::new::<millimeter>(v[0]), degrees(v[1])).get::<millimeter>(),
    },
    Formula {
        name: "headroom",
        written: "headroom = height of its middle - how far it reaches below",
        inputs: &[input("height of its middle", "m"), input("reaches below", "m")],
        unit: "m",
        source: "geometry; limit ADA 307.4",
        examples: &[example(
            &[70.0, 8.0],
            62.0,
            1e-9,
            "Theraja, Electrical Technology vol. III, example 41.51: clearance 62.0 m",
        )],
        work: |v| headroom(Length::new::<meter>(v[0]), Length::new::<meter>(v[1])).get::<meter>(),
    },
    Formula {
        name: "swing-angle",
        written: "tan(angle) = pressure x drag x area / (mass x g)",
        inputs: &[input("gust", "m/s"), input("drag", ""), input("area", "m2"), input("mass", "kg")],
        unit: "degrees",
        source: "balance of wind and weight",
        examples: &[example(
            &[44.0, 1.0, 0.70, 85.0],
            45.0,
            0.7,
            "OpenStax, University Physics vol. 1: 85 kg, 0.70 m2, drag 1.0 falls at 44 m/s, where push equals weight",
        )],
        work: |v| {
            swing(
                Velocity::new::<meter_per_second>(v[0]),
                v[1],
                Area::new::<square_meter>(v[2]),
                Mass::new::<kilogram>(v[3]),
            )
            .get::<degree>()
        },
    },
    Formula {
        name: "take-in-gust",
        written: "gust = sqrt(weight x sqrt((limit / tension)^2 - 1) / (0.613 x drag x area))",
        inputs: &[
            input("tension in still air", "N"),
            input("limit", "N"),
            input("drag", ""),
            input("area", "m2"),
            input("weight", "N"),
        ],
        unit: "m/s",
        source: "resultant of wind and weight on a rope of unchanged sag, as for lines: Theraja, Electrical Technology vol. III, ch. 41",
        examples: &[
            example(
                &[1.0, core::f64::consts::SQRT_2, 1.0, 0.70, 85.0 * 9.80],
                44.0,
                0.4,
                "OpenStax, University Physics vol. 1: 85 kg, 0.70 m2, drag 1.0; at 44 m/s push equals weight, the resultant is sqrt 2",
            ),
            example(
                &[1.78, 2.328, 1.0, 1.0, 1.78 * 9.81],
                4.9,
                0.1,
                "Theraja, example 41.53: 1.78 kgf/m of wire and 1.5 kgf/m of wind make 2.328 kgf/m; 14.7 N on 1 m2 is 4.9 m/s",
            ),
        ],
        work: |v| {
            let newtons = Force::new::<newton>;
            take_in(newtons(v[0]), newtons(v[1]), v[2], Area::new::<square_meter>(v[3]), newtons(v[4]))
                .map_or(f64::NAN, |gust| gust.get::<meter_per_second>())
        },
    },
    Formula {
        name: "swing-time",
        written: "time to and fro = 2 pi sqrt(length / g)",
        inputs: &[input("length", "m")],
        unit: "s",
        source: "simple pendulum, OpenStax, University Physics vol. 1, ch. 15",
        examples: &[example(&[0.9939], 2.0, 0.001, "a seconds pendulum is 0.994 m (from memory)")],
        work: |v| swing_time(Length::new::<meter>(v[0])).get::<second>(),
    },
];
