//! Sheets: mass, bracing, what drilling leaves, photos, paper.

use crate::Formula;
use crate::load::whole;
use crate::shorthand::{example, input};
use uom::si::f64::{Length, Mass, MassDensity, Pressure};
use uom::si::length::{meter, millimeter};
use uom::si::mass::kilogram;
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::pressure::{gigapascal, pascal};

/// Mass one person lifts alone before we ask for a second: our threshold.
pub const ONE_LIFTS_KG: f64 = 20.0;

/// Mass of a sheet: area x thickness x density.
pub fn sheet_mass(width: Length, height: Length, thickness: Length, density: MassDensity) -> Mass {
    width * height * thickness * density
}

/// How far a strip of sheet bends between two braces under an even pressure: `5 q L^4 / (384 E I)`, `I = t^3 / 12`.
pub fn bend_between_braces(
    pressure: Pressure,
    apart: Length,
    stiffness: Pressure,
    thickness: Length,
) -> Length {
    let (apart, thickness) = (apart.get::<meter>(), thickness.get::<meter>());
    let inertia = thickness * thickness * thickness / 12.0;
    let load = pressure.get::<pascal>();
    Length::new::<meter>(5.0 * load * libm::pow(apart, 4.0) / (384.0 * stiffness.get::<pascal>() * inertia))
}

/// The widest spacing of braces at which it bends no more than `most`.
pub fn brace_spacing(pressure: Pressure, most: Length, stiffness: Pressure, thickness: Length) -> Length {
    let thickness = thickness.get::<meter>();
    let inertia = thickness * thickness * thickness / 12.0;
    let fourth =
        384.0 * stiffness.get::<pascal>() * inertia * most.get::<meter>() / (5.0 * pressure.get::<pascal>());
    Length::new::<meter>(libm::pow(fourth, 0.25))
}

/// What a row of holes leaves of the section: `1 - d / s`.
pub fn row_leaves(hole: Length, spacing: Length) -> f64 {
    1.0 - (hole / spacing).value
}

/// How much too large a part of a photo is that was nearer the camera than the plane it is scaled by: `z / (D - z)`.
pub fn perspective_error(nearer: Length, distance: Length) -> f64 {
    (nearer / (distance - nearer)).value
}

/// How far a straight step between two points of a curve misses it: `r - sqrt(r^2 - s^2 / 4)`.
pub fn chord_error(step: Length, radius: Length) -> Length {
    let half = (step / 2.0).get::<meter>();
    let radius = radius.get::<meter>();
    // half^2 / (r + sqrt(..)) is the same without the loss of a small difference of large numbers.
    let rest = libm::sqrt((radius * radius - half * half).max(0.0));
    Length::new::<meter>(half * half / (radius + rest))
}

/// Sheets of paper along one side: `(side - overlap) / (paper - 2 margins - overlap)`, rounded up.
pub fn tiles_along(side: Length, paper: Length, margin: Length, overlap: Length) -> u32 {
    let step = paper - 2.0 * margin - overlap;
    let count = ((side - overlap) / step).value;
    if count.is_finite() { whole(libm::ceil(count - 1e-9)).max(1) } else { 1 }
}

pub(crate) static FORMULAS: &[Formula] = &[
    Formula {
        name: "sheet-mass",
        written: "mass = width x height x thickness x density",
        inputs: &[
            input("width", "m"),
            input("height", "m"),
            input("thickness", "mm"),
            input("density", "kg/m3"),
        ],
        unit: "kg",
        source: "EN 316: hardboard is 900 kg/m3 or more; ISO 27769: 800 or more",
        examples: &[
            example(
                &[1.2192, 2.4384, 3.175, 900.0],
                8.50,
                0.1,
                "1/8 in, 4 x 8 ft at the density of EN 316: 18.7 lb",
            ),
            example(
                &[1.2192, 2.4384, 6.35, 900.0],
                16.99,
                0.1,
                "1/4 in, 4 x 8 ft at the density of EN 316: 37.5 lb",
            ),
        ],
        work: |v| {
            sheet_mass(
                Length::new::<meter>(v[0]),
                Length::new::<meter>(v[1]),
                Length::new::<millimeter>(v[2]),
                MassDensity::new::<kilogram_per_cubic_meter>(v[3]),
            )
            .get::<kilogram>()
        },
    },
    Formula {
        name: "brace-bend",
        written: "bend = 5 q L^4 / (384 E I), I = thickness^3 / 12",
        inputs: &[
            input("pressure", "Pa"),
            input("braces apart", "m"),
            input("stiffness", "GPa"),
            input("thickness", "mm"),
        ],
        unit: "mm",
        source: "simply supported strip under an even load, Roark's Formulas for Stress and Strain (from memory)",
        examples: &[
            example(
                &[110.0, 0.4, 5.0, 3.2],
                3.0,
                0.5,
                "beam table by hand: 3.2 mm hardboard at 30 mph, braces 0.4 m apart, 3 mm",
            ),
            example(&[110.0, 0.6, 5.0, 3.2], 14.0, 0.5, "beam table by hand: braces 0.6 m apart, 14 mm"),
            example(&[110.0, 0.9, 5.0, 3.2], 69.0, 0.5, "beam table by hand: braces 0.9 m apart, 69 mm"),
        ],
        work: |v| {
            bend_between_braces(
                Pressure::new::<pascal>(v[0]),
                Length::new::<meter>(v[1]),
                Pressure::new::<gigapascal>(v[2]),
                Length::new::<millimeter>(v[3]),
            )
            .get::<millimeter>()
        },
    },
    Formula {
        name: "row-leaves",
        written: "share of the section a row of holes leaves = 1 - hole / spacing",
        inputs: &[input("hole", "mm"), input("spacing", "mm")],
        unit: "",
        source: "common practice (net section)",
        examples: &[example(&[12.0, 40.0], 0.7, 1e-9, "common practice: 12 mm holes at 40 mm leave 70 %")],
        work: |v| row_leaves(Length::new::<millimeter>(v[0]), Length::new::<millimeter>(v[1])),
    },
    Formula {
        name: "perspective-error",
        written: "too large by = nearer / (distance - nearer)",
        inputs: &[input("nearer", "m"), input("distance", "m")],
        unit: "",
        source: "pinhole camera: size goes with 1 / distance",
        examples: &[
            example(
                &[0.6, 3.0],
                0.25,
                1e-9,
                "common practice: an arm 0.6 m forward at 3 m is a quarter too large",
            ),
            example(&[0.6, 10.0], 0.06, 0.005, "common practice: at 10 m it is 6 % too large"),
        ],
        work: |v| perspective_error(Length::new::<meter>(v[0]), Length::new::<meter>(v[1])),
    },
    Formula {
        name: "chord-error",
        written: "miss = r - sqrt(r^2 - step^2 / 4), about step^2 / (8 r)",
        inputs: &[input("step", "mm"), input("radius", "mm")],
        unit: "mm",
        source: "geometry: sagitta of an arc",
        examples: &[
            example(
                &[60.0, 100.0],
                4.5,
                0.2,
                "common practice: 60 mm steps on a 100 mm radius miss by about 4.5 mm",
            ),
            example(&[80.0, 50.0], 20.0, 1e-9, "a 3-4-5 triangle: half step 40, radius 50, miss 50 - 30"),
        ],
        work: |v| {
            chord_error(Length::new::<millimeter>(v[0]), Length::new::<millimeter>(v[1])).get::<millimeter>()
        },
    },
    Formula {
        name: "tiles",
        written: "sheets of paper = columns x rows, each (side - overlap) / (paper - 2 margins - overlap) rounded up",
        inputs: &[
            input("width", "mm"),
            input("height", "mm"),
            input("paper width", "mm"),
            input("paper height", "mm"),
            input("margin", "mm"),
            input("overlap", "mm"),
        ],
        unit: "sheets",
        source: "geometry; paper by ISO 216 and ANSI Y14.1",
        examples: &[
            example(
                &[1200.0, 2400.0, 210.0, 297.0, 10.0, 10.0],
                63.0,
                0.0,
                "common practice: a 1.2 x 2.4 m panel takes 63 sheets of A4",
            ),
            example(
                &[1200.0, 2400.0, 215.9, 279.4, 10.0, 10.0],
                70.0,
                0.0,
                "7 x 10 sheets of letter paper (ANSI Y14.1 size A)",
            ),
        ],
        work: |v| {
            let mm = Length::new::<millimeter>;
            let along = |side: f64, paper: f64| tiles_along(mm(side), mm(paper), mm(v[4]), mm(v[5]));
            f64::from(along(v[0], v[2])) * f64::from(along(v[1], v[3]))
        },
    },
];
