//! Published values of ropes, wind, sheets, people, sight and sun, against the registered formulas. The register runs each
//! formula's own examples; these are further ones.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

use reckoning::cable::{Given, Load, Rope, hang};
use uom::si::f64::{Force, Length, LinearMassDensity, Mass};
use uom::si::force::newton;
use uom::si::length::meter;
use uom::si::linear_mass_density::kilogram_per_meter;
use uom::si::mass::kilogram;

/// Formula, values, what is printed, how far its rounding may put us, where.
type Row = (&'static str, &'static [f64], f64, f64, &'static str);

const MINUTE: f64 = 1.0 / 60.0;

fn holds(rows: &[Row]) {
    for (name, given, printed, within, source) in rows {
        let formula = reckoning::formula(name).unwrap_or_else(|| panic!("no formula {name}"));
        assert_eq!(given.len(), formula.inputs.len(), "{name}");
        let ours = (formula.work)(given);
        assert!((ours - printed).abs() <= *within, "{name} {given:?}: {ours} where {source} has {printed}");
    }
}

#[test]
fn ropes() {
    let rows: &[Row] = &[
        (
            "tension-one-load",
            &[1.96e-4, 12.0],
            4.71e-4,
            1e-6,
            "OpenStax, University Physics vol. 1, light thread",
        ),
        ("leg-tension", &[1.0, 15.0], 1.04, 0.006, "Engineering ToolBox, rope angle and tension increase"),
        ("leg-tension", &[1.0, 80.0], 5.76, 0.006, "Engineering ToolBox, rope angle and tension increase"),
        (
            "leg-tension",
            &[500.0, 35.8],
            610.0,
            12.0,
            "Engineering ToolBox, 500 kN at 35.8 degrees (printed with 1.22)",
        ),
        ("anchor-pull", &[100.0, 45.0], 54.0, 1.0, "rope rescue training, physics of angles"),
        ("anchor-pull", &[100.0, 140.0], 146.0, 1.0, "rope rescue training, physics of angles"),
        ("anchor-pull", &[100.0, 160.0], 288.0, 1.0, "rope rescue training, physics of angles"),
        (
            "loaded-rope-sag",
            &[18.0, 0.0, 0.0, 3.0, 4000.0, 8.0, 15_000.0, 16.0, 3000.0, 6330.0],
            12.0,
            0.02,
            "Hibbeler and Gupta, example 7.13: H = 6.33 kN, 12 m",
        ),
        ("even-load-tension", &[5.886, 60.0, 1.5], 1774.6, 0.1, "Beer and Johnston problem 7.107, parabola"),
        (
            "even-load-sag",
            &[3.0, 30.0, 397.47],
            0.8491,
            0.0005,
            "Tayal, example 10.5 (H = sqrt(400^2 - 45^2))",
        ),
        ("catenary-parameter", &[140.0, 31.70], 61.45, 0.02, "statics example set 6.7 no. 1"),
        ("catenary-span", &[140.0, 31.70], 120.0, 0.02, "statics example set 6.7 no. 1"),
        ("catenary-tension", &[3.0 * 9.81, 140.0, 31.70], 2741.0, 1.0, "statics example set 6.7 no. 1"),
        ("catenary-parameter", &[25.0, 10.0], 2.8125, 1e-9, "Beer and Johnston problem 7.127"),
        ("catenary-span", &[25.0, 10.0], 12.36, 0.005, "Beer and Johnston problem 7.127"),
        ("catenary-span", &[500.0, 125.0], 411.98, 0.01, "Beer and Johnston problem 7.128"),
        ("catenary-tension", &[2.8, 500.0, 125.0], 875.0, 1e-6, "Beer and Johnston problem 7.128"),
        (
            "catenary-tension",
            &[45.0, 164.96, 30.0],
            5777.0,
            1.0,
            "Beer and Johnston example 7.10, without its rounded trial value",
        ),
        ("fall-time", &[0.0, 0.854], 0.4175, 0.001, "OpenStax, University Physics vol. 1, fastball"),
        (
            "fall-time",
            &[12.856, 20.0],
            3.7,
            0.05,
            "OpenStax, University Physics vol. 1, 20 m/s at 40 degrees from 20 m up",
        ),
        (
            "throw-range",
            &[20.0, 15.6],
            21.0,
            0.6,
            "OpenStax, University Physics vol. 1, 20.0 m/s at 15.6 degrees",
        ),
    ];
    holds(rows);
}

#[test]
fn a_rope_with_ends_at_different_heights() {
    // Beer and Johnston, problem 7.116: pounds taken as newtons and feet as metres, which a weightless rope does not notice.
    let load = |at: f64, force: f64| Load {
        at: Length::new::<meter>(at),
        mass: Mass::new::<kilogram>(force / 9.806_65),
    };
    let rope = Rope {
        span: Length::new::<meter>(8.0),
        rise: Length::new::<meter>(-2.4),
        mass: LinearMassDensity::new::<kilogram_per_meter>(0.0),
        stiffness: None,
        loads: vec![load(2.0, 360.0), load(4.0, 720.0), load(6.0, 240.0)],
    };
    let hung =
        hang(&rope, Given::Drop { at: Length::new::<meter>(4.0), below: Length::new::<meter>(3.6) }).unwrap();
    assert!((hung.pull.get::<newton>() - 850.0).abs() < 0.5, "T0 = 850 lb");
    for (held, drop) in hung.held.iter().zip([2.22, 3.6, 3.28]) {
        assert!((held.height.get::<meter>() + drop).abs() < 0.005, "drop {drop} ft");
    }
    let tensions = [hung.left, hung.held[1].tension_left, hung.held[1].tension_right, hung.right];
    for (ours, printed) in tensions.iter().zip([1271.0, 1032.0, 861.0, 929.0]) {
        assert!((ours.get::<newton>() - printed).abs() < 1.0, "{printed} lb");
    }
    // Tayal, example 10.2: H = 200 N, loads 100, 150, 200 N; 300 N down at A, 150 N at B; 2.5 m and 2.75 m below A.
    let rope = Rope {
        span: Length::new::<meter>(4.0),
        rise: Length::new::<meter>(-2.0),
        loads: vec![load(1.0, 100.0), load(2.0, 150.0), load(3.0, 200.0)],
        ..rope
    };
    let hung = hang(&rope, Given::Pull(Force::new::<newton>(200.0))).unwrap();
    assert!((hung.left_down.get::<newton>() - 300.0).abs() < 1e-6);
    assert!((hung.right_down.get::<newton>() - 150.0).abs() < 1e-6);
    assert!((hung.tension().get::<newton>() - 360.56).abs() < 0.005);
    assert!((hung.held[0].tension_right.get::<newton>() - 282.84).abs() < 0.005);
    for (held, drop) in hung.held.iter().zip([1.5, 2.5, 2.75]) {
        assert!((held.height.get::<meter>() + drop).abs() < 1e-9, "drop {drop} m");
    }
    assert!((hung.lowest.get::<meter>() + 2.75).abs() < 1e-9);
}

#[test]
fn wind_and_people_and_sight() {
    let rows: &[Row] = &[
        ("dynamic-pressure", &[1.2, 10.0], 60.0, 1e-9, "Engineering ToolBox, wind load table"),
        ("dynamic-pressure", &[1.2, 15.0], 135.0, 1e-9, "Engineering ToolBox, wind load table"),
        ("dynamic-pressure", &[1.2, 25.0], 375.0, 1e-9, "Engineering ToolBox, wind load table"),
        ("dynamic-pressure", &[1.2, 40.0], 960.0, 1e-9, "Engineering ToolBox, wind load table"),
        (
            "board-force",
            &[735.0 / 47.8803, 1.0, 10.0 / 0.092_903],
            7350.0 / 4.448_22,
            0.5,
            "Engineering ToolBox, wall example: 35 m/s, 10 m2, 7350 N",
        ),
        ("gust-pressure", &[50.0], 6.40, 0.01, "ASCE 7, 0.00256 V^2"),
        ("gust-pressure", &[80.0], 16.38, 0.02, "ASCE 7, 0.00256 V^2"),
        (
            "gust-pressure",
            &[100.0],
            19.58 / (0.90 * 0.85),
            0.02,
            "ASCE 7-05 walk-through: Kz 0.90, Kd 0.85, 100 mph, 19.58 psf",
        ),
        ("tipping-moment", &[1746.0, 4.18], 7310.0, 37.0, "City of Zephyrhills sign sheet 2: 7.31 kip ft"),
        ("choice-time", &[0.155, 2.0], 0.155, 1e-9, "Hick's law, b 0.155 s"),
        ("sign-height", &[60.0, 6.0], 0.625, 1e-9, "2010 ADA Standards table 703.5.5, 72 in"),
        (
            "sign-height",
            &[130.0, 29.0],
            4.0,
            1e-9,
            "2010 ADA Standards table 703.5.5, 3 in and 8 ft beyond 21 ft",
        ),
        ("lamp-digit-height", &[60.0, 10.0], 2.0, 1e-9, "California Building Code 11B-703.8.4, 10 ft"),
        (
            "lamp-digit-height",
            &[130.0, 25.0],
            5.0,
            1e-9,
            "California Building Code 11B-703.8.4, 4 in and 5 ft beyond 20 ft",
        ),
        ("letter-reach", &[1.0, 29.0], 29.0, 1.0, "United States Sign Council and Penn State, 1998"),
        ("letter-reach", &[6.0, 29.0], 174.0, 1.0, "United States Sign Council and Penn State, 1998"),
        ("letter-reach", &[10.0, 29.0], 290.0, 1.0, "United States Sign Council and Penn State, 1998"),
        (
            "letter-reach",
            &[8.0, 25.0],
            200.0,
            1e-9,
            "United States Sign Council and Penn State, 1998, second condition",
        ),
        ("flash-area", &[0.006, 5.0], 0.15, 1e-9, "WCAG 2.x: 0.006 sr seen from 5 m"),
        ("flash-area", &[0.006, 10.0], 0.60, 1e-9, "WCAG 2.x: 0.006 sr seen from 10 m"),
        ("flashes-in-a-second", &[5.0], 5.0, 0.0, "WCAG 2.x: 5 Hz fails"),
    ];
    holds(rows);
}

#[test]
fn sun() {
    const LONDON: &str = "London almanac, 2015";
    const NAVAL: &str = "US Naval Observatory, 39 N 105 W, 2015";
    const SPA: &str = "NREL solar position calculator";
    let rows: &[Row] = &[
        ("sun-down", &[2015.0, 1.0, 1.0, 51.507, -0.128, 90.833, 0.0], 16.0 + 1.0 * MINUTE, MINUTE, LONDON),
        ("sun-down", &[2015.0, 12.0, 2.0, 51.507, -0.128, 90.833, 0.0], 15.0 + 54.0 * MINUTE, MINUTE, LONDON),
        ("sun-down", &[2015.0, 12.0, 3.0, 51.507, -0.128, 90.833, 0.0], 15.0 + 54.0 * MINUTE, MINUTE, LONDON),
        (
            "sun-down",
            &[2015.0, 12.0, 25.0, 51.507, -0.128, 90.833, 0.0],
            15.0 + 55.0 * MINUTE,
            MINUTE,
            LONDON,
        ),
        ("sun-down", &[2015.0, 12.0, 1.0, 51.507, -0.128, 96.0, 0.0], 16.0 + 34.0 * MINUTE, MINUTE, LONDON),
        ("sun-down", &[2015.0, 12.0, 12.0, 51.507, -0.128, 96.0, 0.0], 16.0 + 31.0 * MINUTE, MINUTE, LONDON),
        ("sun-up", &[2015.0, 12.0, 1.0, 51.507, -0.128, 96.0, 0.0], 7.0 + 4.0 * MINUTE, MINUTE, LONDON),
        ("sun-up", &[2015.0, 12.0, 25.0, 51.507, -0.128, 96.0, 0.0], 7.0 + 25.0 * MINUTE, MINUTE, LONDON),
        ("sun-up", &[2015.0, 12.0, 1.0, 51.507, -0.128, 102.0, 0.0], 6.0 + 22.0 * MINUTE, MINUTE, LONDON),
        ("sun-up", &[2015.0, 12.0, 25.0, 51.507, -0.128, 108.0, 0.0], 6.0 + 1.0 * MINUTE, MINUTE, LONDON),
        ("sun-down", &[2015.0, 1.0, 2.0, 39.0, -105.0, 90.833, -7.0], 16.0 + 49.0 * MINUTE, MINUTE, NAVAL),
        ("sun-down", &[2015.0, 4.0, 2.0, 39.0, -105.0, 90.833, -7.0], 18.0 + 24.0 * MINUTE, MINUTE, NAVAL),
        ("sun-down", &[2015.0, 12.0, 2.0, 39.0, -105.0, 90.833, -7.0], 16.0 + 38.0 * MINUTE, MINUTE, NAVAL),
        ("sun-up", &[2015.0, 1.0, 2.0, 39.0, -105.0, 90.833, -7.0], 7.0 + 19.0 * MINUTE, MINUTE, NAVAL),
        ("sun-up", &[2015.0, 4.0, 2.0, 39.0, -105.0, 90.833, -7.0], 5.0 + 43.0 * MINUTE, MINUTE, NAVAL),
        ("sun-up", &[2015.0, 8.0, 2.0, 39.0, -105.0, 90.833, -7.0], 5.0 + 1.0 * MINUTE, MINUTE, NAVAL),
        (
            "sun-down",
            &[2015.0, 1.0, 2.0, 39.742_476, -105.1786, 90.833, -7.0],
            16.0 + 47.0 * MINUTE + 43.0 / 3600.0,
            MINUTE,
            SPA,
        ),
        // Printed under 2 August because that is its date in UT, 02:13:58: by the local clock the evening of the 1st.
        (
            "sun-down",
            &[2015.0, 8.0, 1.0, 39.742_476, -105.1786, 90.833, -7.0],
            19.0 + 13.0 * MINUTE + 58.0 / 3600.0,
            MINUTE,
            SPA,
        ),
        (
            "sun-down",
            &[2004.0, 12.0, 4.0, -35.0, 0.0, 90.833, 0.0],
            19.0 + 2.0 * MINUTE + 2.0 / 3600.0,
            MINUTE,
            SPA,
        ),
        (
            "sun-up",
            &[2004.0, 12.0, 4.0, -35.0, 0.0, 90.833, 0.0],
            4.0 + 38.0 * MINUTE + 57.0 / 3600.0,
            MINUTE,
            SPA,
        ),
        (
            "sun-down",
            &[1994.0, 1.0, 2.0, 35.0, 0.0, 90.833, 0.0],
            16.0 + 59.0 * MINUTE + 55.0 / 3600.0,
            MINUTE,
            SPA,
        ),
        (
            "sun-down",
            &[1990.0, 6.0, 25.0, 40.9, -74.3, 90.833, -4.0],
            20.0 + 33.0 * MINUTE,
            MINUTE,
            "Almanac for Computers 1990, Wayne NJ",
        ),
    ];
    holds(rows);
}
