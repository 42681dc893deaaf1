//! What is made out from how far: rows of lamps, letters, digits, poses; how much of a view flashes.

use crate::Formula;
use crate::shorthand::{example, input};
use uom::si::angle::minute;
use uom::si::area::square_meter;
use uom::si::f64::{Angle, Area, Length};
use uom::si::length::{foot, inch, meter, millimeter};

/// Shift of a limb between two poses below which a far viewer sees flicker rather than motion, minutes of arc. Common practice.
pub const POSE_MINUTES: f64 = 10.0;
/// Least angle of a character (ISO 9241-3), minutes of arc.
pub const CHARACTER_LEAST_MINUTES: f64 = 16.0;
/// Preferred angle of a character (ISO 9241-3; FAA: about distance / 200), minutes of arc.
pub const CHARACTER_MINUTES: f64 = 20.0;
/// Solid angle of flashing in one field of view above which it counts (WCAG 2.x).
pub const FLASH_STERADIANS: f64 = 0.006;

/// The angle a size is seen under: `2 atan(size / (2 distance))`.
pub fn angle_of(size: Length, distance: Length) -> Angle {
    Angle::new::<uom::si::angle::radian>(2.0 * libm::atan((size / (2.0 * distance)).value))
}

/// The distance up to which a spacing is seen under less than an angle: `size / (2 tan(angle / 2))`, turned round.
pub fn distance_for(size: Length, angle: Angle) -> Length {
    size / (2.0 * libm::tan(angle.value / 2.0))
}

/// Character height of a printed sign, baseline `above` the floor, by distance (2010 ADA Standards table 703.5.5).
pub fn sign_height(above: Length, distance: Length) -> Length {
    let (above, feet) = (above.get::<inch>(), distance.get::<foot>());
    let (least, from) = match above {
        a if a <= 70.0 => (0.625, 6.0),
        a if a <= 120.0 => (2.0, 15.0),
        _ => (3.0, 21.0),
    };
    Length::new::<inch>(least + (feet - from).max(0.0) / 8.0)
}

/// Character height of a low-resolution display, baseline `above` the floor, by distance (California Building Code
/// 11B-703.8.4; its middle band from memory): an inch for every five feet, the careful rule for digits made of lamps.
pub fn lamp_digit_height(above: Length, distance: Length) -> Length {
    let (above, feet) = (above.get::<inch>(), distance.get::<foot>());
    let (least, from) = match above {
        a if a <= 70.0 => (2.0, 10.0),
        a if a <= 120.0 => (3.0, 15.0),
        _ => (4.0, 20.0),
    };
    Length::new::<inch>(least + (feet - from).max(0.0) / 5.0)
}

/// Area at a distance that fills a solid angle: `angle x distance^2` (small angles).
pub fn flash_area(steradians: f64, distance: Length) -> Area {
    let metres = distance.get::<meter>();
    Area::new::<square_meter>(steradians * metres * metres)
}

/// Solid angle of an area seen square on: `area / distance^2`.
pub fn steradians(area: Area, distance: Length) -> f64 {
    (area / (distance * distance)).value
}

/// Most flashes that begin within one second of a steady on and off, half the time each: whole flashes are counted by
/// their first change, the window taken closed, as the careful reading has it.
pub fn flashes_in_a_second(rate_hz: f64) -> f64 {
    // n whole flashes take (n - 1/2) / rate from first change to last.
    if rate_hz > 0.0 { libm::floor(rate_hz + 0.5 + 1e-9) } else { 0.0 }
}

pub(crate) static FORMULAS: &[Formula] = &[
    Formula {
        name: "angle-of",
        written: "angle = 2 atan(size / (2 x distance))",
        inputs: &[input("size", "in"), input("distance", "ft")],
        unit: "minutes of arc",
        source: "geometry",
        examples: &[
            example(&[6.0, 100.0], 17.2, 0.05, "FAA height = distance / 200 at 100 ft: 17.2 minutes"),
            example(&[8.87 / 25.4, 20.0], 5.0, 0.01, "Snellen: 8.87 mm at 20 ft is 5 minutes (from memory)"),
        ],
        work: |v| angle_of(Length::new::<inch>(v[0]), Length::new::<foot>(v[1])).get::<minute>(),
    },
    Formula {
        name: "reads-as-line-to",
        written: "spacing is under the angle from = spacing / (2 x tan(angle / 2)) on",
        inputs: &[input("spacing", "mm"), input("angle", "minutes of arc")],
        unit: "m",
        source: "geometry; one minute of arc is usual acuity, 5 to 10 read as a line (common practice)",
        examples: &[
            example(&[2.9, 1.0], 10.0, 0.05, "acuity tables: 1 minute is 0.29 mm a metre"),
            example(&[29.0, 5.0], 20.0, 0.1, "common practice: 29 mm reads as a line from 20 m"),
        ],
        work: |v| distance_for(Length::new::<millimeter>(v[0]), Angle::new::<minute>(v[1])).get::<meter>(),
    },
    Formula {
        name: "sign-height",
        written: "height = least + 1/8 in for every foot beyond the least distance",
        inputs: &[input("baseline above the floor", "in"), input("distance", "ft")],
        unit: "in",
        source: "2010 ADA Standards, table 703.5.5",
        examples: &[
            example(&[60.0, 5.0], 0.625, 1e-9, "2010 ADA Standards table 703.5.5: 5/8 in below 72 in"),
            example(&[60.0, 21.0], 2.5, 1e-9, "building code forum on 703.5.5: 21 ft, low sign, 2.5 in"),
            example(&[100.0, 15.0], 2.0, 1e-9, "2010 ADA Standards table 703.5.5: 2 in at 180 in"),
            example(&[130.0, 20.0], 3.0, 1e-9, "2010 ADA Standards table 703.5.5: 3 in below 21 ft"),
        ],
        work: |v| sign_height(Length::new::<inch>(v[0]), Length::new::<foot>(v[1])).get::<inch>(),
    },
    Formula {
        name: "lamp-digit-height",
        written: "height = least + 1/5 in for every foot beyond the least distance",
        inputs: &[input("baseline above the floor", "in"), input("distance", "ft")],
        unit: "in",
        source: "California Building Code 11B-703.8.4, low-resolution variable message signs",
        examples: &[
            example(&[60.0, 9.0], 2.0, 1e-9, "California Building Code 11B-703.8.4: 2 in below 10 ft"),
            example(&[60.0, 50.0], 10.0, 1e-9, "California Building Code 11B-703.8.4 at 50 ft: 2 + 40/5 in"),
            example(&[60.0, 100.0], 20.0, 1e-9, "California Building Code 11B-703.8.4 at 100 ft"),
            example(&[130.0, 19.0], 4.0, 1e-9, "California Building Code 11B-703.8.4: 4 in below 20 ft"),
        ],
        work: |v| lamp_digit_height(Length::new::<inch>(v[0]), Length::new::<foot>(v[1])).get::<inch>(),
    },
    Formula {
        name: "letter-reach",
        written: "distance = feet for every inch x height",
        inputs: &[input("height", "in"), input("feet an inch", "ft/in")],
        unit: "ft",
        source: "United States Sign Council and Penn State, 1998: 29 ft an inch at best, 25 usual; MUTCD 2009 2A.13: 30 (from memory)",
        examples: &[
            example(&[4.0, 29.0], 116.0, 1.0, "sign council chart, black capitals on white"),
            example(&[24.0, 29.0], 696.0, 1.0, "sign council chart, black capitals on white"),
            example(&[4.0, 25.0], 100.0, 1e-9, "sign council chart, second condition"),
            example(&[12.0, 25.0], 300.0, 1e-9, "sign council chart, second condition"),
        ],
        work: |v| v[0] * v[1],
    },
    Formula {
        name: "flash-area",
        written: "area = 0.006 sr x distance^2",
        inputs: &[input("solid angle", "sr"), input("distance", "m")],
        unit: "m2",
        source: "WCAG 2.x, general flash and red flash thresholds (written for screens)",
        examples: &[
            example(&[0.006, 3.0], 0.054, 1e-6, "WCAG 2.x: 0.006 sr seen from 3 m"),
            example(&[0.006, 20.0], 2.4, 1e-6, "WCAG 2.x: 0.006 sr seen from 20 m"),
        ],
        work: |v| flash_area(v[0], Length::new::<meter>(v[1])).get::<square_meter>(),
    },
    Formula {
        name: "flashes-in-a-second",
        written: "whole flashes within a closed second = rate + 1/2, rounded down",
        inputs: &[input("rate", "Hz")],
        unit: "flashes",
        source: "WCAG 2.x glossary: a flash is a pair of opposing changes, at most three in any second",
        examples: &[
            example(&[2.0], 2.0, 0.0, "WCAG 2.x: 2 Hz passes"),
            example(&[3.0], 3.0, 0.0, "WCAG 2.x: 3 Hz passes"),
            example(&[4.0], 4.0, 0.0, "WCAG 2.x: 4 Hz fails"),
            example(
                &[3.5],
                4.0,
                0.0,
                "WCAG 2.x, closed window: four whole flashes at 3.5 Hz span exactly a second",
            ),
        ],
        work: |v| flashes_in_a_second(v[0]),
    },
];
