//! Ropes by rule: one load, even load, catenary, anchors, knots, working loads. Any rope with any loads is in
//! [`crate::cable`]; these are what one checks it against on the back of an envelope.

use crate::cable::{Given, Load, Rope, hang};
use crate::shorthand::{GRAVITY, degrees, example, input};
use crate::{Formula, Input};
use uom::si::angle::degree;
use uom::si::f64::{Angle, Force, Length, LinearMassDensity, Mass};
use uom::si::force::newton;
use uom::si::length::meter;
use uom::si::linear_mass_density::kilogram_per_meter;
use uom::si::mass::kilogram;

/// Share of a rope's strength that an ordinary knot leaves (printed rope tables: about 50 % lost).
pub const KNOT_LEAVES: f64 = 0.5;
/// Working load is breaking load divided by this over or near people (Cordage Institute practice: 12 to 15 for life lines).
pub const FACTOR_OVER_PEOPLE: f64 = 12.0;
/// The same where nobody can be hurt (Cordage Institute practice: 5 and more).
pub const FACTOR_ELSEWHERE: f64 = 5.0;
/// Pull on an anchor above which we send the builder to an engineer: our threshold.
pub const ENGINEER_ABOVE_N: f64 = 1000.0;

/// Tension of a weightless rope with one load in the middle: `load / (2 sin angle)`, angle from the level.
pub fn tension_one_load(load: Force, angle: Angle) -> Force {
    load / (2.0 * libm::sin(angle.value))
}

/// Pull on each of two anchors that share a load, ropes at `between` to each other: `load / (2 cos(between / 2))`.
pub fn anchor_pull(load: Force, between: Angle) -> Force {
    load / (2.0 * libm::cos(between.value / 2.0))
}

/// Tension in a leg that carries `upright` straight down, leaning `from_upright`: `upright / cos(angle)`.
pub fn leg_tension(upright: Force, from_upright: Angle) -> Force {
    upright / libm::cos(from_upright.value)
}

/// Level pull of a rope with an even load along the span: `w L^2 / (8 d)`.
pub fn even_load_pull(weight_n_per_m: f64, span: Length, sag: Length) -> Force {
    let (span, sag) = (span.get::<meter>(), sag.get::<meter>());
    Force::new::<newton>(weight_n_per_m * span * span / (8.0 * sag))
}

/// Tension at its ends: level pull and half the load together.
pub fn even_load_tension(weight_n_per_m: f64, span: Length, sag: Length) -> Force {
    let half = weight_n_per_m * span.get::<meter>() / 2.0;
    Force::new::<newton>(libm::hypot(even_load_pull(weight_n_per_m, span, sag).get::<newton>(), half))
}

/// Sag of an even load at a level pull: `w L^2 / (8 H)`.
pub fn even_load_sag(weight_n_per_m: f64, span: Length, pull: Force) -> Length {
    let span = span.get::<meter>();
    Length::new::<meter>(weight_n_per_m * span * span / (8.0 * pull.get::<newton>()))
}

/// Length of a flat parabola: `L (1 + 8/3 (d / L)^2)`.
pub fn parabola_length(span: Length, sag: Length) -> Length {
    let share = (sag / span).value;
    span * (1.0 + 8.0 / 3.0 * share * share)
}

/// Parameter `c` of a level catenary from its length and sag: `((s/2)^2 - d^2) / (2 d)`.
pub fn catenary_parameter(length: Length, sag: Length) -> Length {
    let (half, sag) = (length.get::<meter>() / 2.0, sag.get::<meter>());
    Length::new::<meter>((half * half - sag * sag) / (2.0 * sag))
}

/// Span of a level catenary from its length and sag: `2 c asinh(s / (2 c))`.
pub fn catenary_span(length: Length, sag: Length) -> Length {
    let parameter = catenary_parameter(length, sag);
    2.0 * parameter * libm::asinh((length / (2.0 * parameter)).value)
}

/// Greatest tension of a level catenary: `w (c + d)`.
pub fn catenary_tension(weight_n_per_m: f64, length: Length, sag: Length) -> Force {
    Force::new::<newton>(weight_n_per_m * (catenary_parameter(length, sag) + sag).get::<meter>())
}

/// What a rope may carry: breaking load, what the knot leaves of it, divided by the factor.
///
/// ```
/// use reckoning::rope::{FACTOR_OVER_PEOPLE, KNOT_LEAVES, working_load};
/// use uom::si::{f64::Force, force::newton};
/// let breaking = Force::new::<newton>(12_000.0);
/// assert_eq!(working_load(breaking, KNOT_LEAVES, FACTOR_OVER_PEOPLE).get::<newton>(), 500.0);
/// ```
pub fn working_load(breaking: Force, knot_leaves: f64, factor: f64) -> Force {
    breaking * knot_leaves / factor
}

/// The rope of the register: level weights in newtons rather than masses, three loads of which any may be nothing.
fn registered(v: &[f64]) -> Rope {
    let load = |at: f64, newtons: f64| Load {
        at: Length::new::<meter>(at),
        mass: Mass::new::<kilogram>(newtons / GRAVITY),
    };
    Rope {
        span: Length::new::<meter>(v[0]),
        rise: Length::new::<meter>(v[1]),
        mass: LinearMassDensity::new::<kilogram_per_meter>(v[2] / GRAVITY),
        stiffness: None,
        loads: vec![load(v[3], v[4]), load(v[5], v[6]), load(v[7], v[8])],
    }
}

const REGISTERED: [Input; 9] = [
    input("span", "m"),
    input("right end above left", "m"),
    input("rope weight", "N/m"),
    input("first load at", "m"),
    input("first load", "N"),
    input("second load at", "m"),
    input("second load", "N"),
    input("third load at", "m"),
    input("third load", "N"),
];

const fn with_last(last: Input) -> [Input; 10] {
    let [a, b, c, d, e, f, g, h, i] = REGISTERED;
    [a, b, c, d, e, f, g, h, i, last]
}

static WITH_SAG: [Input; 10] = with_last(input("greatest sag, loaded", "m"));
static WITH_PULL: [Input; 10] = with_last(input("level pull", "N"));

const CABLE: &str = "elastic catenaries between point loads: H. M. Irvine, Cable Structures, ch. 2 (from memory); for a weightless rope the general cable theorem (Beer and Johnston 7.119)";

pub(crate) static FORMULAS: &[Formula] = &[
    Formula {
        name: "loaded-rope-tension",
        written: "greatest tension of a rope that hangs in catenaries between its loads, at the given sag",
        inputs: &WITH_SAG,
        unit: "N",
        source: CABLE,
        examples: &[
            example(
                &[18.0, 0.0, 0.0, 3.0, 4000.0, 8.0, 15_000.0, 16.0, 3000.0, 12.0],
                13_600.0,
                50.0,
                "Hibbeler and Gupta, Engineering Mechanics, example 7.13: 13.6 kN in the steepest piece",
            ),
            example(
                &[10.0, 0.0, 0.0, 4.0, 600.0, 8.0, 450.0, 9.0, 0.0, 4.52],
                720.0,
                1.0,
                "Beer and Johnston, Statics, problem 7.115: 720 lb, 10 ft, sag 4.52 ft (any units)",
            ),
            example(
                &[100.0, 0.0, 0.0, 75.0, 400.0, 80.0, 0.0, 90.0, 0.0, 20.0],
                480.23,
                0.01,
                "R. Delaney, two-point anchor and highline calculators: 480.23 on the short side",
            ),
            example(
                &[60.0, 0.0, 5.886, 10.0, 0.0, 20.0, 0.0, 30.0, 0.0, 1.5],
                1776.1,
                0.1,
                "Beer and Johnston problem 7.107, by the catenary",
            ),
        ],
        work: |v| {
            hang(&registered(v), Given::Sag(Length::new::<meter>(v[9])))
                .map_or(f64::NAN, |hung| hung.tension().get::<newton>())
        },
    },
    Formula {
        name: "loaded-rope-sag",
        written: "greatest sag below the straight line between the ends, at the given level pull",
        inputs: &WITH_PULL,
        unit: "m",
        source: CABLE,
        examples: &[
            example(
                &[4.0, -2.0, 0.0, 1.0, 100.0, 2.0, 150.0, 3.0, 200.0, 200.0],
                1.5,
                1e-6,
                "Tayal, Engineering Mechanics, example 10.2: 2.5 m below A in the middle, where the straight line is 1 m below",
            ),
            example(
                &[10.0, 0.0, 0.0, 4.0, 600.0, 8.0, 450.0, 9.0, 0.0, 398.0],
                4.52,
                0.01,
                "Beer and Johnston, Statics, problem 7.115: T0 = 398 lb, 4.52 ft",
            ),
        ],
        work: |v| {
            hang(&registered(v), Given::Pull(Force::new::<newton>(v[9])))
                .map_or(f64::NAN, |hung| hung.sag.get::<meter>())
        },
    },
    Formula {
        name: "loaded-rope-length",
        written: "rope between the ends at the given sag",
        inputs: &WITH_SAG,
        unit: "m",
        source: CABLE,
        examples: &[
            example(
                &[150.0, 0.0, 45.0, 10.0, 0.0, 20.0, 0.0, 30.0, 0.0, 30.0],
                164.96,
                0.01,
                "Beer and Johnston, Statics, example 7.10, without its rounded trial value",
            ),
            example(
                &[120.0, 0.0, 29.43, 10.0, 0.0, 20.0, 0.0, 30.0, 0.0, 31.70],
                140.0,
                0.02,
                "statics example set 6.7 no. 1: 140 m of cable over 120 m sags 31.70 m",
            ),
        ],
        work: |v| {
            hang(&registered(v), Given::Sag(Length::new::<meter>(v[9])))
                .map_or(f64::NAN, |hung| hung.unstretched.get::<meter>())
        },
    },
    Formula {
        name: "tension-one-load",
        written: "tension = load / (2 x sin(angle from the level))",
        inputs: &[input("load", "N"), input("angle", "degrees")],
        unit: "N",
        source: "OpenStax, University Physics vol. 1, tightrope example",
        examples: &[example(
            &[686.0, 5.0],
            3930.0,
            6.0,
            "OpenStax, University Physics vol. 1: a 70.0 kg walker, 5.0 degrees, 3930 N as printed",
        )],
        work: |v| tension_one_load(Force::new::<newton>(v[0]), degrees(v[1])).get::<newton>(),
    },
    Formula {
        name: "anchor-pull",
        written: "pull on each of two anchors = load / (2 x cos(angle between the ropes / 2))",
        inputs: &[input("load", "lb"), input("angle between", "degrees")],
        unit: "lb",
        source: "rope rescue training, physics of angles",
        examples: &[
            example(&[100.0, 0.0], 50.0, 1.0, "rope rescue training table"),
            example(&[100.0, 90.0], 71.0, 1.0, "rope rescue training table"),
            example(&[100.0, 120.0], 100.0, 1.0, "rope rescue training table"),
            example(&[100.0, 150.0], 193.0, 1.0, "rope rescue training table"),
            example(&[100.0, 170.0], 574.0, 1.0, "rope rescue training table"),
        ],
        work: |v| anchor_pull(Force::new::<newton>(v[0]), degrees(v[1])).get::<newton>(),
    },
    Formula {
        name: "leg-tension",
        written: "tension of a leg = what it carries straight down / cos(angle from upright)",
        inputs: &[input("carries", "N"), input("angle from upright", "degrees")],
        unit: "N",
        source: "Engineering ToolBox, rope angle and tension increase",
        examples: &[
            example(&[1.0, 30.0], 1.16, 0.01, "Engineering ToolBox table"),
            example(&[1.0, 45.0], 1.41, 0.01, "Engineering ToolBox table"),
            example(&[1.0, 60.0], 2.0, 0.01, "Engineering ToolBox table"),
            example(&[1.0, 75.0], 3.86, 0.01, "Engineering ToolBox table"),
            example(&[1.0, 85.0], 11.5, 0.05, "Engineering ToolBox table"),
        ],
        work: |v| leg_tension(Force::new::<newton>(v[0]), degrees(v[1])).get::<newton>(),
    },
    Formula {
        name: "even-load-tension",
        written: "end tension = sqrt((w L^2 / (8 d))^2 + (w L / 2)^2)",
        inputs: &[input("weight", "N/m"), input("span", "m"), input("sag", "m")],
        unit: "N",
        source: "parabola under an even load: Tayal, Engineering Mechanics, ch. 10",
        examples: &[
            example(&[0.5 * 9.81, 30.0, 0.5], 1106.07, 0.05, "Tayal, example 10.4"),
            example(&[3.0, 30.0, 0.8491], 400.0, 0.1, "Tayal, example 10.5"),
        ],
        work: |v| {
            even_load_tension(v[0], Length::new::<meter>(v[1]), Length::new::<meter>(v[2])).get::<newton>()
        },
    },
    Formula {
        name: "even-load-sag",
        written: "sag = w L^2 / (8 H)",
        inputs: &[input("weight", "N/m"), input("span", "m"), input("level pull", "N")],
        unit: "m",
        source: "parabola under an even load: Theraja, Electrical Technology vol. III, ch. 41",
        examples: &[
            example(&[0.801, 300.0, 1500.0], 6.0, 0.01, "Theraja, example 41.51 (weights in kgf)"),
            example(&[2.328, 150.0, 2000.0], 3.27, 0.01, "Theraja, example 41.53 (weights in kgf)"),
        ],
        work: |v| even_load_sag(v[0], Length::new::<meter>(v[1]), Force::new::<newton>(v[2])).get::<meter>(),
    },
    Formula {
        name: "parabola-length",
        written: "length = L (1 + 8/3 (d / L)^2)",
        inputs: &[input("span", "m"), input("sag", "m")],
        unit: "m",
        source: "Tayal, Engineering Mechanics, ch. 10",
        examples: &[
            example(&[30.0, 0.5], 30.0222, 0.0001, "Tayal, example 10.4"),
            example(&[60.0, 1.5], 60.10, 0.001, "Beer and Johnston problem 7.107, by the parabola"),
        ],
        work: |v| parabola_length(Length::new::<meter>(v[0]), Length::new::<meter>(v[1])).get::<meter>(),
    },
    Formula {
        name: "catenary-parameter",
        written: "c = ((length / 2)^2 - sag^2) / (2 x sag)",
        inputs: &[input("length", "m"), input("sag", "m")],
        unit: "m",
        source: "catenary with level ends: Tayal, Engineering Mechanics, ch. 10",
        examples: &[
            example(&[200.0, 50.0], 75.0, 1e-9, "Tayal, example 10.6"),
            example(&[800.0, 80.0], 960.0, 1e-9, "review question: 800 m, sag 80 m, c 960 m"),
            example(&[625.0, 25.0], 1940.625, 1e-9, "catenary problems and solutions: 625 ft, sag 25 ft"),
        ],
        work: |v| catenary_parameter(Length::new::<meter>(v[0]), Length::new::<meter>(v[1])).get::<meter>(),
    },
    Formula {
        name: "catenary-span",
        written: "span = 2 c asinh(length / (2 c))",
        inputs: &[input("length", "m"), input("sag", "m")],
        unit: "m",
        source: "catenary with level ends: Tayal, Engineering Mechanics, ch. 10",
        examples: &[
            example(&[200.0, 50.0], 164.79, 0.01, "Tayal, example 10.6"),
            example(&[625.0, 25.0], 622.33, 0.01, "catenary problems and solutions: 625 ft, sag 25 ft"),
        ],
        work: |v| catenary_span(Length::new::<meter>(v[0]), Length::new::<meter>(v[1])).get::<meter>(),
    },
    Formula {
        name: "catenary-tension",
        written: "greatest tension = w (c + sag)",
        inputs: &[input("weight", "N/m"), input("length", "m"), input("sag", "m")],
        unit: "N",
        source: "catenary with level ends: Tayal, Engineering Mechanics, ch. 10",
        examples: &[
            example(&[0.4, 800.0, 80.0], 416.0, 1e-6, "review question: 0.4 kg/m, 416 kgf"),
            example(
                &[2.0, 625.0, 25.0],
                3931.25,
                1e-6,
                "catenary problems and solutions: 2 lb/ft, 3931.25 lb",
            ),
        ],
        work: |v| {
            catenary_tension(v[0], Length::new::<meter>(v[1]), Length::new::<meter>(v[2])).get::<newton>()
        },
    },
    Formula {
        name: "working-load",
        written: "working load = breaking load x what the knot leaves / factor",
        inputs: &[input("breaking load", "lb"), input("knot leaves", ""), input("factor", "")],
        unit: "lb",
        source: "CI 1401 defines the design factor; knot losses from a printed rope table",
        examples: &[example(
            &[1650.0, 0.5, 10.0],
            82.5,
            1e-9,
            "rope table: 1/4 in nylon breaks at 1650 lb, a knot takes half; design factor 10 by CI 1401",
        )],
        work: |v| working_load(Force::new::<newton>(v[0]), v[1], v[2]).get::<newton>(),
    },
    Formula {
        name: "end-slope",
        written: "slope at the end of an even load = atan(4 x sag / span)",
        inputs: &[input("span", "m"), input("sag", "m")],
        unit: "degrees",
        source: "parabola under an even load: Tayal, Engineering Mechanics, ch. 10",
        examples: &[example(&[30.0, 0.5], 3.814, 0.001, "Tayal, example 10.4")],
        work: |v| Angle::new::<uom::si::angle::radian>(libm::atan(4.0 * v[1] / v[0])).get::<degree>(),
    },
];
