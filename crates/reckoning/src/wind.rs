//! Wind on a standing board: pressure of a gust, force, tipping, sliding, ballast, guys, stakes, and the gust at which it
//! must lie flat.

use crate::Formula;
use crate::shorthand::{GRAVITY, degrees, example, input};
use uom::si::area::{square_foot, square_meter};
use uom::si::f64::{Angle, Area, Force, Length, Mass, MassDensity, Pressure, Velocity};
use uom::si::force::{newton, pound_force};
use uom::si::length::meter;
use uom::si::mass::kilogram;
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::pressure::{pascal, pound_force_per_square_inch};
use uom::si::velocity::{meter_per_second, mile_per_hour};

/// Pascals of a gust of one metre a second; 0.00256 lb/ft2 for one mile an hour (ASCE 7).
pub const PRESSURE_PA: f64 = 0.613;
/// Force coefficient of a signboard (EN 1991-1-4 7.4.3).
pub const BOARD_COEFFICIENT: f64 = 1.8;
/// The force may act this share of the width off centre (EN 1991-1-4 7.4.3).
pub const OFF_CENTRE: f64 = 0.25;
/// Factor on tipping and sliding (common practice for temporary boards, and the factor of a city's sign footing sheets).
pub const STEADY_FACTOR: f64 = 1.5;
/// Friction of a base on grass or paving. From memory; wet leaves and ice have less.
pub const FRICTION: f64 = 0.4;
/// Drag of a flat thing hung loosely. From memory.
pub const LOOSE_DRAG: f64 = 1.2;
/// Nobody handles a panel in more wind than this, miles an hour: our threshold.
pub const HANDLE_BELOW_MPH: f64 = 20.0;

/// Pressure of a gust: `0.613 v^2`.
///
/// ```
/// use uom::si::{f64::Velocity, pressure::pascal, velocity::mile_per_hour};
/// let thirty = reckoning::wind::pressure(Velocity::new::<mile_per_hour>(30.0));
/// assert!((thirty.get::<pascal>() - 110.0).abs() < 1.0);
/// ```
pub fn pressure(gust: Velocity) -> Pressure {
    let speed = gust.get::<meter_per_second>();
    Pressure::new::<pascal>(PRESSURE_PA * speed * speed)
}

/// Pressure of a wind in air of a density: `density v^2 / 2`.
pub fn dynamic_pressure(density: MassDensity, speed: Velocity) -> Pressure {
    0.5 * density * speed * speed
}

/// Force on a board: pressure x coefficient x area. Holes count as board: lamps and bags fill them.
pub fn force(pressure: Pressure, coefficient: f64, area: Area) -> Force {
    pressure * area * coefficient
}

/// Share of the force that the most loaded of `fixings` takes, evenly spaced from edge to edge, when it acts off centre by
/// a share of the width: `1/n + off x 1/2 / sum of x^2`, as a stiff board on equal springs; all of it for a single one.
pub fn side_share(off_centre: f64, fixings: u32) -> f64 {
    if fixings < 2 {
        return f64::from(fixings);
    }
    let count = f64::from(fixings);
    // Places from -1/2 to 1/2: the sum of their squares is n (n + 1) / (12 (n - 1)).
    let squares = count * (count + 1.0) / (12.0 * (count - 1.0));
    1.0 / count + off_centre * 0.5 / squares
}

/// Moment about the base, newton metres: force x height of its middle.
pub fn moment_nm(force: Force, height: Length) -> f64 {
    force.get::<newton>() * height.get::<meter>()
}

/// Moment a weight withstands about the edge of its base, newton metres: `m g b / 2`.
pub fn resisting_nm(mass: Mass, base: Length) -> f64 {
    mass.get::<kilogram>() * GRAVITY * base.get::<meter>() / 2.0
}

/// Mass on the base that withstands a moment with a factor: `factor M / (b / 2) / g`.
pub fn ballast(moment_nm: f64, factor: f64, base: Length) -> Mass {
    Mass::new::<kilogram>(factor * moment_nm / (base.get::<meter>() / 2.0) / GRAVITY)
}

/// Mass that does not slide under a force with a factor: `factor F / (friction g)`.
pub fn ballast_sliding(force: Force, factor: f64, friction: f64) -> Mass {
    Mass::new::<kilogram>(factor * force.get::<newton>() / (friction * GRAVITY))
}

/// Force at which a mass begins to slide: `friction m g`.
pub fn sliding(mass: Mass, friction: f64) -> Force {
    Force::new::<newton>(mass.get::<kilogram>() * GRAVITY * friction)
}

/// Tension of a guy that withstands a moment: `M / (height cos(angle from the level))`.
pub fn guy_tension(moment_nm: f64, fixed_at: Length, from_level: Angle) -> Force {
    Force::new::<newton>(moment_nm / (fixed_at.get::<meter>() * libm::cos(from_level.value)))
}

/// Load a stake is pulled with before it is trusted: what it carries times the factor.
pub fn stake_test(tension: Force, factor: f64) -> Force {
    tension * factor
}

/// How a board stands, for the gust it withstands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Footing {
    /// Mass of board, stand and ballast.
    pub mass: Mass,
    /// From the front edge of the base to its back edge.
    pub base: Length,
    /// Friction under it.
    pub friction: f64,
    /// What all guys against this wind may pull together, along them.
    pub guys: Force,
    /// Where they are fixed, above the ground.
    pub fixed_at: Length,
    /// Their angle from the level.
    pub from_level: Angle,
}

/// The gust at which a board is down to the factor against tipping or sliding, whichever comes first.
pub fn take_down(area: Area, middle: Length, coefficient: f64, factor: f64, footing: &Footing) -> Velocity {
    let (sin, cos) = (libm::sin(footing.from_level.value), libm::cos(footing.from_level.value));
    let guys = footing.guys.get::<newton>();
    let weight = footing.mass.get::<kilogram>() * GRAVITY;
    // What a guy presses down in the middle plane of the base helps against tipping too; left out, to be careful.
    let tipping = (weight * footing.base.get::<meter>() / 2.0 + guys * cos * footing.fixed_at.get::<meter>())
        / (factor * middle.get::<meter>());
    let sliding = (footing.friction * (weight + guys * sin) + guys * cos) / factor;
    let force = tipping.min(sliding).max(0.0);
    Velocity::new::<meter_per_second>(libm::sqrt(
        force / (PRESSURE_PA * coefficient * area.get::<square_meter>()),
    ))
}

fn psf(value: f64) -> Pressure {
    Pressure::new::<pound_force_per_square_inch>(value / 144.0)
}

pub(crate) static FORMULAS: &[Formula] = &[
    Formula {
        name: "gust-pressure",
        written: "pressure = 0.613 x (gust in m/s)^2 Pa",
        inputs: &[input("gust", "mph")],
        unit: "lb/ft2",
        source: "ASCE 7: 0.00256 V^2 lb/ft2, V in mph, and 0.613 v^2 Pa in SI; the two constants are rounded and differ by 0.06 %",
        examples: &[
            example(&[10.0], 0.26, 0.005, "ASCE 7, 0.00256 V^2"),
            example(&[20.0], 1.02, 0.006, "ASCE 7, 0.00256 V^2"),
            example(&[30.0], 2.30, 0.006, "ASCE 7, 0.00256 V^2"),
            example(&[40.0], 4.10, 0.008, "ASCE 7, 0.00256 V^2"),
            example(&[60.0], 9.22, 0.01, "ASCE 7, 0.00256 V^2"),
            example(&[100.0], 25.60, 0.02, "ASCE 7, 0.00256 V^2"),
        ],
        work: |v| pressure(Velocity::new::<mile_per_hour>(v[0])).get::<pound_force_per_square_inch>() * 144.0,
    },
    Formula {
        name: "dynamic-pressure",
        written: "pressure = density x speed^2 / 2",
        inputs: &[input("density", "kg/m3"), input("speed", "m/s")],
        unit: "Pa",
        source: "Bernoulli; Engineering ToolBox, wind load",
        examples: &[
            example(&[1.2, 5.0], 15.0, 1e-9, "Engineering ToolBox, wind load table"),
            example(&[1.2, 20.0], 240.0, 1e-9, "Engineering ToolBox, wind load table"),
            example(&[1.2, 35.0], 735.0, 1e-9, "Engineering ToolBox, wind load table"),
            example(&[1.2, 50.0], 1500.0, 1e-9, "Engineering ToolBox, wind load table"),
            example(&[1.226, 9.22], 52.11, 0.01, "hoarding example: 9.22 m/s, 52.11 Pa (0.613 v^2)"),
        ],
        work: |v| {
            dynamic_pressure(
                MassDensity::new::<kilogram_per_cubic_meter>(v[0]),
                Velocity::new::<meter_per_second>(v[1]),
            )
            .get::<pascal>()
        },
    },
    Formula {
        name: "board-force",
        written: "force = pressure x coefficient x area",
        inputs: &[input("pressure", "lb/ft2"), input("coefficient", ""), input("area", "ft2")],
        unit: "lb",
        source: "EN 1991-1-4 5.3 and 7.4.3 (signboards: 1.8); ASCE 7 ch. 29",
        examples: &[
            example(
                &[56.62, 0.85 * 1.8, 7.48],
                648.0,
                1.0,
                "solid sign worksheet to ASCE 7-10 29.4: 56.62 psf, G 0.85, Cf 1.80, 7.48 ft2, 648 lb",
            ),
            example(
                &[2.304, 1.17, 32.0],
                86.3,
                0.1,
                "square plate, drag 1.17 (Aeronautical Engineer's Data Book fig. 5.13), 4 x 8 ft at 30 mph",
            ),
        ],
        work: |v| force(psf(v[0]), v[1], Area::new::<square_foot>(v[2])).get::<pound_force>(),
    },
    Formula {
        name: "side-share",
        written: "share of the most loaded of n = 1 / n + off-centre share / (2 x sum of squares of their places)",
        inputs: &[input("off centre", "of the width"), input("fixings", "")],
        unit: "",
        source: "levers (a stiff board on equal springs), with the quarter width of EN 1991-1-4 7.4.3",
        examples: &[
            example(
                &[0.25, 2.0],
                300.0 / 400.0,
                1e-9,
                "R. Delaney, highline calculators: a load at three quarters of the way gives 100 and 300 of 400",
            ),
            example(
                &[0.25, 3.0],
                1.0 / 3.0 + 0.25 * 0.5 / 0.5,
                1e-9,
                "bolt group by hand: 1/3 and the moment over places -1/2, 0, 1/2",
            ),
        ],
        work: |v| side_share(v[0], crate::load::whole(v[1])),
    },
    Formula {
        name: "tipping-moment",
        written: "moment = force x height of its middle",
        inputs: &[input("force", "N"), input("height", "m")],
        unit: "N m",
        source: "levers",
        examples: &[
            example(
                &[312.66, 1.0],
                312.66,
                1e-9,
                "hoarding example: 312.66 N on a board 2 m high, 312.66 N m",
            ),
            example(
                &[24.7 * 16.0, 5.0],
                2140.0 - 24.7 * 4.5 * 1.5,
                10.0,
                "City of Zephyrhills sign sheet: 24.7 psf on 16.0 ft2 at 5.0 ft and 4.5 ft2 at 1.5 ft make 2.14 kip ft",
            ),
        ],
        work: |v| moment_nm(Force::new::<newton>(v[0]), Length::new::<meter>(v[1])),
    },
    Formula {
        name: "resisting-moment",
        written: "moment withstood = mass x g x base / 2",
        inputs: &[input("mass", "kg"), input("base", "m")],
        unit: "N m",
        source: "levers: a weight about the edge of its base",
        examples: &[example(
            &[2696.0 * 0.453_592_37, 2.58 * 0.3048],
            3480.0 * 1.355_818,
            10.0,
            "City of Zephyrhills sign sheet: 2696 lb on a base of 2.58 ft withstand 3.48 kip ft",
        )],
        work: |v| resisting_nm(Mass::new::<kilogram>(v[0]), Length::new::<meter>(v[1])),
    },
    Formula {
        name: "ballast",
        written: "ballast = factor x moment / (base / 2) / g",
        inputs: &[input("moment", "N m"), input("factor", ""), input("base", "m")],
        unit: "kg",
        source: "levers: a weight about the edge of its base",
        examples: &[example(
            &[2.32 * 1355.818, 1.5, 2.58 * 0.3048],
            2696.0 * 0.453_592_37,
            4.0,
            "City of Zephyrhills sign sheet: with a factor 1.5, 2696 lb on 2.58 ft withstand 2.32 kip ft",
        )],
        work: |v| ballast(v[0], v[1], Length::new::<meter>(v[2])).get::<kilogram>(),
    },
    Formula {
        name: "sliding-force",
        written: "force that begins to slide it = friction x mass x g",
        inputs: &[input("mass", "kg"), input("friction", "")],
        unit: "N",
        source: "Coulomb friction",
        examples: &[example(
            &[100.0, 0.45],
            450.0,
            10.0,
            "OpenStax, University Physics vol. 1, ch. 6: sliding friction of a 100 kg crate at 0.45 is about 4.4 x 10^2 N (from memory)",
        )],
        work: |v| sliding(Mass::new::<kilogram>(v[0]), v[1]).get::<newton>(),
    },
    Formula {
        name: "guy-tension",
        written: "tension = moment / (height of the guy x cos(angle from the level))",
        inputs: &[input("moment", "N m"), input("fixed at", "m"), input("angle from the level", "degrees")],
        unit: "N",
        source: "levers and the rope's angle",
        examples: &[
            example(&[1.0, 1.0, 45.0], 1.41, 0.01, "Engineering ToolBox, rope tension factor at 45 degrees"),
            example(&[1.0, 1.0, 60.0], 2.0, 0.01, "Engineering ToolBox, rope tension factor at 60 degrees"),
        ],
        work: |v| guy_tension(v[0], Length::new::<meter>(v[1]), degrees(v[2])).get::<newton>(),
    },
    Formula {
        name: "take-down-gust",
        written: "gust = sqrt(least force withstood / (0.613 x coefficient x area)), tipping and sliding with a factor",
        inputs: &[
            input("area", "m2"),
            input("height of its middle", "m"),
            input("coefficient", ""),
            input("factor", ""),
            input("mass", "kg"),
            input("base", "m"),
            input("friction", ""),
            input("guys together", "N"),
            input("guys fixed at", "m"),
            input("guys from the level", "degrees"),
        ],
        unit: "m/s",
        source: "tipping and sliding against the force of a gust (ASCE 7 pressure, EN 1991-1-4 7.4.3 coefficient)",
        examples: &[
            example(
                &[6.0, 1.0, 1.0, 1.0, 1000.0, 2.0 * 312.66 / 9806.65, 10.0, 0.0, 1.0, 0.0],
                9.22,
                0.01,
                "hoarding example read backwards: 312.66 N m withstood, 2 m x 3 m, 9.22 m/s",
            ),
            example(
                &[6.0, 1.0, 1.0, 1.0, 0.0, 1.0, 0.4, 312.66, 1.0, 0.0],
                9.22,
                0.01,
                "hoarding example read backwards: a level guy at mid height that takes 312.66 N, 9.22 m/s",
            ),
        ],
        work: |v| {
            let footing = Footing {
                mass: Mass::new::<kilogram>(v[4]),
                base: Length::new::<meter>(v[5]),
                friction: v[6],
                guys: Force::new::<newton>(v[7]),
                fixed_at: Length::new::<meter>(v[8]),
                from_level: degrees(v[9]),
            };
            take_down(Area::new::<square_meter>(v[0]), Length::new::<meter>(v[1]), v[2], v[3], &footing)
                .get::<meter_per_second>()
        },
    },
];
