//! Sunsets and dusks against `astral`, a Python program of another make.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod common;

use reckoning::sun::{CIVIL_ZENITH, Day, SUNSET_ZENITH, Side, passes};
use uom::si::angle::degree;
use uom::si::f64::Angle;

/// Both follow the same almanac theory with different roundings.
const WITHIN_MINUTES: f64 = 1.5;

/// Latitude, longitude east.
const PLACES: [(f64, f64); 6] =
    [(42.3, -85.6), (51.5, -0.13), (60.17, 24.94), (-33.87, 151.21), (1.35, 103.82), (39.0, -105.0)];
const DAYS: [(i32, u32, u32); 4] = [(2027, 11, 26), (2027, 12, 31), (2028, 2, 29), (2027, 4, 21)];

#[test]
fn evenings_agree_with_another_almanac() {
    let mut asked = Vec::new();
    let mut input = String::new();
    for (latitude, longitude) in PLACES {
        for (year, month, day) in DAYS {
            for (depression, zenith) in [(0.0, SUNSET_ZENITH), (6.0, CIVIL_ZENITH)] {
                input += &format!("{year} {month} {day} {latitude} {longitude} {depression}\n");
                asked.push((Day { year, month, day }, latitude, longitude, zenith));
            }
        }
    }
    let theirs = common::reference("sunsets.py", &["astral"], &input);
    assert_eq!(theirs.len(), asked.len());
    let angle = Angle::new::<degree>;
    for ((day, latitude, longitude, zenith), their) in asked.iter().zip(&theirs) {
        let ours = passes(*day, angle(*latitude), angle(*longitude), angle(*zenith), Side::Evening).unwrap();
        let off = (ours - their[0]).abs();
        assert!(
            off <= WITHIN_MINUTES,
            "{day} at {latitude} {longitude}: {ours} where astral has {}",
            their[0]
        );
    }
}
