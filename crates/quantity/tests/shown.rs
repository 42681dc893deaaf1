//! What quantities print as, written down for the page's own printer: `tests/browser/units.test.mjs` holds the page against
//! the same file, so that page and book cannot drift apart. `LAMPWRIGHT_UPDATE=1` writes it anew.
#![allow(clippy::disallowed_methods, reason = "a test reads and writes the project's own files")]
#![allow(clippy::unwrap_used, reason = "a test may fail")]

use quantity::{
    ElectricCurrent, ElectricPotential, ElectricalResistance, Force, Length, Mass, Show, Units, Velocity,
    unit,
};
use std::path::Path;

/// Sizes from the smallest that is shown to the largest, and ones that lie exactly between two printed ones.
const SIZES: [f64; 30] = [
    0.0,
    0.000_12,
    0.004_5,
    0.035,
    0.062_5,
    0.1,
    0.25,
    0.35,
    0.453_592_37,
    0.999_6,
    1.0,
    1.25,
    2.5,
    8.9408,
    9.806_65,
    12.0,
    15.625,
    20.1168,
    33.333,
    64.0,
    99.999,
    100.05,
    123.25,
    446.2,
    999.96,
    1000.5,
    1001.5,
    1524.0,
    3048.0,
    10_972.8,
];

fn lines() -> Vec<String> {
    let mut lines = Vec::new();
    for (name, units) in [("in", Units::Inches), ("mm", Units::Millimetres)] {
        for size in SIZES.into_iter().chain(SIZES.into_iter().skip(1).map(|size| -size)) {
            let shown = [
                ("length", Length::new::<unit::millimeter>(size).show(units)),
                ("mass", Mass::new::<unit::kilogram>(size).show(units)),
                ("speed", Velocity::new::<unit::meter_per_second>(size).show(units)),
                ("force", Force::new::<unit::newton>(size).show(units)),
                ("current", ElectricCurrent::new::<unit::ampere>(size).show(units)),
                ("voltage", ElectricPotential::new::<unit::volt>(size).show(units)),
                ("resistance", ElectricalResistance::new::<unit::ohm>(size).show(units)),
            ];
            lines.extend(shown.map(|(kind, words)| format!("[\"{kind}\", {size}, \"{name}\", \"{words}\"]")));
        }
    }
    lines
}

#[test]
fn the_page_is_held_against_what_is_printed_here() {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/browser/fixture/shown.json");
    let now = format!("[\n{}\n]\n", lines().join(",\n"));
    if std::env::var_os("LAMPWRIGHT_UPDATE").is_some() {
        std::fs::write(&file, &now).unwrap();
    }
    let kept = std::fs::read_to_string(&file).unwrap();
    assert!(
        kept == now,
        "tests/browser/fixture/shown.json is not what is printed: LAMPWRIGHT_UPDATE=1 writes it"
    );
}

/// A pound is 0.45359237 kg and standard gravity 9.80665 m/s2 (NIST SP 811, appendix B.8), so 1 kN is 224.809 lbf; a mile an hour
/// is 0.44704 m/s (there too).
#[test]
fn pounds_and_miles_are_those_of_the_tables() {
    assert_eq!(Force::new::<unit::newton>(1000.0).show(Units::Inches), "1 kN (224.8 lbf)");
    assert_eq!(Mass::new::<unit::kilogram>(0.453_592_37).show(Units::Inches), "1 lb");
    assert_eq!(Velocity::new::<unit::meter_per_second>(8.9408).show(Units::Inches), "20 mph");
}
