//! Reading and printing, held against the definitions of the units and against each other.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail")]

use proptest::prelude::*;
use quantity::{
    Length, QuantityFault, Reason, Show, Units, angle, current, force, length, mass, offset, potential,
    power, ratio, time, unit, velocity, wire_size,
};

fn mm(text: &str) -> f64 {
    length(text).unwrap().get::<unit::millimeter>()
}

#[track_caller]
fn near(found: f64, wanted: f64) {
    assert!((found - wanted).abs() <= wanted.abs() * 1e-12, "{found} is not {wanted}");
}

/// International yard and pound agreement of 1959: 1 yd = 0.9144 m and 1 lb = 0.45359237 kg exactly; so 1 in = 25.4 mm,
/// 1 ft = 304.8 mm, 1 oz = 1 lb / 16, and 1 mph = 1760 yd in 3600 s = 0.44704 m/s.
#[test]
fn units_are_what_the_agreement_of_1959_made_them() {
    near(mm("1 in"), 25.4);
    near(mm("1 ft"), 304.8);
    near(mm("1 yd"), 914.4);
    near(mass("1 lb").unwrap().get::<unit::kilogram>(), 0.453_592_37);
    near(mass("16 oz").unwrap().get::<unit::kilogram>(), 0.453_592_37);
    near(velocity("1 mph").unwrap().value, 0.447_04);
}

#[test]
fn every_way_a_builder_writes_a_length_is_read() {
    for (text, wanted) in [
        ("3/4 in", 19.05),
        ("5' 6\"", 1676.4),
        ("5'6\"", 1676.4),
        ("5′ 6″", 1676.4),
        ("5’-6 1/2”", 1689.1),
        ("5 ft 6 in", 1676.4),
        ("5ft 6in", 1676.4),
        ("1 1/2\"", 38.1),
        ("1-1/2 in", 38.1),
        ("1½ in", 38.1),
        ("1 ½ in", 38.1),
        ("4 ft. 3 1/2 in.", 1308.1),
        ("2.4 m", 2400.0),
        ("60 mm", 60.0),
        ("12 cm", 120.0),
        (" .5 m ", 500.0),
        ("0 in", 0.0),
    ] {
        near(mm(text), wanted);
    }
}

#[test]
fn the_other_kinds_are_read() {
    near(current("0.34 A").unwrap().value, 0.34);
    near(current("340 mA").unwrap().value, 0.34);
    near(potential("12 V").unwrap().value, 12.0);
    near(power("4.8 W").unwrap().value, 4.8);
    near(time("180 ms").unwrap().value, 0.18);
    near(time("2 s").unwrap().value, 2.0);
    near(time("1 min 30 s").unwrap().value, 90.0);
    near(ratio("5 %").unwrap().value, 0.05);
    near(ratio("5%").unwrap().value, 0.05);
    near(mass("0.35 kg").unwrap().value, 0.35);
}

#[track_caller]
fn refused(text: &str, reason: Reason, underlined: &str, says: &str) {
    let fault: QuantityFault = length(text).unwrap_err();
    assert_eq!(fault.reason, reason, "{text}: {fault}");
    assert_eq!(&text[fault.range.clone()], underlined, "{text}: {fault}");
    assert!(fault.to_string().contains(says), "{text}: {fault}");
}

#[test]
fn what_is_no_length_is_refused_with_its_place_and_a_hint() {
    refused("48", Reason::Bare, "48", "a length needs a unit: write 4 ft or 120 cm");
    refused("5 ft 6", Reason::Bare, "6", "needs a unit");
    refused("6 V", Reason::WrongKind, "6 V", "is a voltage; a length belongs here");
    refused("4 ft 6 V", Reason::WrongKind, "6 V", "is a voltage");
    refused("3,5 m", Reason::Comma, "3,5", "3.5 m");
    refused("1,200 mm", Reason::Comma, "1,200", "nothing between thousands");
    refused("-4 ft", Reason::Negative, "-4 ft", "a length below zero means nothing here");
    refused("NaN ft", Reason::NotANumber, "NaN", "no number that can be measured");
    refused("inf", Reason::NotANumber, "inf", "no number that can be measured");
    refused("1/0 in", Reason::NotANumber, "0", "divided by 0");
    refused("1.2.3 m", Reason::NotANumber, "1.2.3", "not a number");
    refused("4 FT", Reason::UnknownUnit, "FT", "did you mean `ft`?");
    refused("4 furlongs", Reason::UnknownUnit, "furlongs", "units known here: ft, in");
    refused("6 in 5 ft", Reason::Parts, "5 ft", "does not go with what stands before it");
    refused("1 m 20 cm", Reason::Parts, "20 cm", "does not go with");
    refused("20 km", Reason::UnknownUnit, "km", "units known here");
    refused("99999999 m", Reason::TooLarge, "99999999 m", "more than 10 km");
    refused("", Reason::Empty, "", "a length belongs here");
    refused("four ft", Reason::NotANumber, "four", "stands where a number belongs");
    let endless = format!("{} m", "1".repeat(80));
    refused(&endless, Reason::TooLong, &endless, "longer than 64 characters");
}

#[test]
fn lengths_print_to_the_sixteenth_and_to_the_millimetre() {
    for (text, inches, metric) in [
        ("51.5 in", "4 ft 3 1/2 in", "1.308 m"),
        ("4 ft", "4 ft", "1.219 m"),
        ("13/16 in", "13/16 in", "20.6 mm"),
        ("11.99 in", "1 ft", "304.5 mm"),
        ("0 in", "0 in", "0 mm"),
        ("2.4 m", "7 ft 10 1/2 in", "2.4 m"),
        ("999.99 mm", "3 ft 3 3/8 in", "1 m"),
    ] {
        let read = length(text).unwrap();
        assert_eq!(
            (read.show(Units::Inches).as_str(), read.show(Units::Millimetres).as_str()),
            (inches, metric)
        );
    }
    assert_eq!(quantity::in_inches(length("51.5 in").unwrap()), "51 1/2 in");
    assert_eq!(quantity::in_millimetres(length("51.5 in").unwrap()), "1308.1 mm");
}

#[test]
fn the_other_kinds_print_without_idle_figures() {
    let shown: [&dyn Show; 5] = [
        &current("0.34 A").unwrap(),
        &current("5 A").unwrap(),
        &potential("12 V").unwrap(),
        &(potential("12 V").unwrap() * current("0.34 A").unwrap()),
        &ratio("62.5 %").unwrap(),
    ];
    let shown = shown.map(|quantity| quantity.show(Units::Inches));
    assert_eq!(shown, ["340 mA", "5 A", "12 V", "4.08 W", "62.5 %"]);
}

proptest! {
    #[test]
    fn what_is_printed_is_read_back(mm in 0.0f64..9_000_000.0) {
        let written = Length::new::<unit::millimeter>(mm);
        let by_inch = length(&written.show(Units::Inches)).unwrap();
        // Half of a sixteenth of an inch; half of a millimetre.
        prop_assert!((by_inch - written).get::<unit::inch>().abs() <= 1.0 / 32.0 + 1e-9);
        let by_mm = length(&written.show(Units::Millimetres)).unwrap();
        prop_assert!((by_mm - written).get::<unit::millimeter>().abs() <= 0.5 + 1e-6);
        // What is printed once does not change when it is printed again.
        prop_assert_eq!(by_inch.show(Units::Inches), written.show(Units::Inches));
    }

    #[test]
    fn no_text_makes_it_panic_and_every_fault_lies_in_the_text(text in ".{0,80}") {
        if let Err(fault) = length(&text) {
            prop_assert!(text.get(fault.range).is_some());
        }
    }

    #[test]
    fn nothing_like_a_quantity_makes_it_panic(text in "[-+0-9./ '\"½,a-zA-Z%′]{0,20}") {
        for fault in [length(&text).err(), current(&text).err(), ratio(&text).err()].into_iter().flatten() {
            prop_assert!(text.get(fault.range).is_some());
        }
        if let Ok(read) = length(&text) {
            prop_assert!(read.value.is_finite() && read.value >= 0.0);
        }
    }
}

#[test]
fn the_greatest_length_is_printed_so_that_it_can_be_read_back() {
    let most = length("10000 m").unwrap();
    for units in [Units::Inches, Units::Millimetres] {
        let shown = Show::show(&most, units);
        assert!(length(&shown).is_ok(), "{shown}");
    }
    assert!(length("10001 m").is_err());
}

/// ASTM B258 and NEC chapter 9 table 8: 12 AWG is 3.31 mm2, 16 AWG 1.31 mm2, 18 AWG 0.823 mm2.
#[test]
fn gauges_have_the_areas_of_the_table() {
    for (size, area) in [("12 AWG", 3.31), ("16 AWG", 1.31), ("18 AWG", 0.823), ("1.5 mm2", 1.5)] {
        let read = wire_size(size).unwrap();
        assert!((read.area_mm2() - area).abs() <= area * 0.005, "{size}");
        assert_eq!(read.to_string(), size);
    }
    for (wrong, reason) in [("16", Reason::Bare), ("99 AWG", Reason::TooLarge), ("x", Reason::NotANumber)] {
        assert_eq!(wire_size(wrong).unwrap_err().reason, reason, "{wrong}");
    }
}

/// A pound-force is 0.45359237 kg in 9.80665 m/s2: 4.4482216152605 N (NIST Special Publication 811, appendix B).
#[test]
fn angles_forces_and_offsets() {
    near(force("1 lbf").unwrap().value, 4.448_221_615_260_5);
    near(force("2.5 kN").unwrap().value, 2500.0);
    near(angle("180 deg").unwrap().value, std::f64::consts::PI);
    near(offset("-3 ft").unwrap().value, -0.9144);
    near(offset("3 ft").unwrap().value, 0.9144);
    let fault = offset(" -3").unwrap_err();
    assert_eq!((fault.reason, fault.range), (Reason::Bare, 2..3));
}

/// A kilowatt hour is 3.6 MJ (NIST SP 811, appendix B.8).
#[test]
fn energies_print_in_kilowatt_hours() {
    let mut night = quantity::Energy::new::<unit::kilowatt_hour>(0.0);
    night.value = 5.4e6;
    assert_eq!(night.show(Units::Inches), "1.5 kWh");
}
