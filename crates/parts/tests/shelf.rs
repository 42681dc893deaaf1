//! The shipped catalogue and a builder's shelf.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail")]

use finding::Fault;
use parts::{catalogue, shelf};
use proptest::prelude::*;
use quantity::{Show, Units, unit};
use source::Text;

fn own(content: &str) -> (parts::Shelf, Vec<Fault>, Text) {
    let text = Text::new("parts.toml", content);
    let (shelf, faults) = shelf(Some(&text));
    (shelf, faults, text)
}

#[test]
fn every_shipped_part_is_read_and_says_where_its_ratings_come_from() {
    let (shelf, faults) = catalogue();
    assert_eq!(faults, []);
    let low: Vec<&String> = shelf
        .strands
        .values()
        .filter(|strand| strand.voltage.value < 50.0)
        .map(|strand| &strand.name)
        .collect();
    let strands = [
        "led-20-3in-12v",
        "led-20-4in-12v",
        "led-25-3in-12v",
        "led-25-4in-12v",
        "led-50-3in-12v",
        "led-50-4in-12v",
    ];
    assert_eq!(low, strands);
    assert_eq!(shelf.strands.len(), 15);
    assert_eq!(shelf.sheets.len(), 6);
    assert_eq!(shelf.supplies.len(), 5);
    assert_eq!(shelf.driver_boards.len(), 4);
    assert_eq!(shelf.switch_boxes.len(), 6);
    assert_eq!(shelf.controllers["controller-328"].button_pins.len(), 6);
    let mut parts = 0;
    for (name, source) in shelf.sources() {
        let read = ["common practice", "data sheet", "NEC", "instruction sheet", "IEC"];
        assert!(read.iter().any(|word| source.contains(word)), "{name}: {source}");
        parts += 1;
    }
    assert!(parts >= 75, "{parts} parts");
    // Neither ships on anybody's shelf.
    assert!(shelf.strands.values().all(|strand| strand.have == 0));
    assert!(!shelf.sheets["acrylic-3mm-24x48"].wood_based);
    assert_eq!(shelf.supplies["open-frame-12v-8a"].listed, None);
}

/// ULN2803A-class arrays, recommended operating conditions of the ULN2803AP data sheet: 123 mA for each of eight
/// outputs at 50 % duty and 85 C.
#[test]
fn the_sink_array_is_rated_with_all_eight_on() {
    let (shelf, _) = catalogue();
    let board = &shelf.driver_boards["sink-array-8"];
    assert_eq!(board.output_current.show(Units::Inches), "123 mA");
    assert!((board.total_current.value - 8.0 * 0.123).abs() < 1e-12);
}

/// Whatever carries the mains is bought whole and listed, or it is not in the catalogue.
#[test]
fn every_mains_part_of_the_catalogue_is_listed() {
    let (shelf, _) = catalogue();
    for strand in shelf.strands.values().filter(|strand| strand.voltage.value >= 50.0) {
        assert!(strand.listed.is_some(), "{}", strand.name);
    }
    assert!(shelf.switch_boxes.values().all(|part| part.listed.is_some() && part.isolated));
    assert!(shelf.cords.values().all(|part| part.listed.is_some()));
}

/// Strands whose row is known: the row's lamps fit under the crest of their mains, and several rows make whole lamps.
#[test]
fn rows_of_mains_strands_are_possible() {
    let (shelf, _) = catalogue();
    for strand in shelf.strands.values() {
        let (Some(row), Some(lamp)) = (strand.in_series, strand.lamp_voltage) else { continue };
        assert_eq!(strand.lamps % row, 0, "{}", strand.name);
        assert!(f64::from(row) * lamp.value < strand.voltage.value * 2f64.sqrt(), "{}", strand.name);
    }
}

/// Data sheets of standard and sensitive 16 A triacs: 50 mA and 20 mA to hold. Malvino and Bates, example 5-15, gives
/// 43.5 mA crest for 0.68 uF on 120 V 60 Hz, so 100 nF leak 6.4 mA crest, 4.5 mA effective.
#[test]
fn triac_boxes_hold_and_leak_as_their_parts_do() {
    let (shelf, _) = catalogue();
    let standard = &shelf.switch_boxes["triac-box-8-120v"];
    assert!((standard.least_current.value - 0.050).abs() < 1e-12);
    assert!((shelf.switch_boxes["triac-box-8-120v-sensitive"].least_current.value - 0.020).abs() < 1e-12);
    let leak = 43.5 / 6.8 / 2f64.sqrt();
    assert!((standard.off_leakage.value * 1000.0 - leak).abs() < 0.05, "{leak}");
}

#[test]
fn a_triac_box_must_say_what_keeps_it_on_and_what_it_leaks() {
    let mut text = concat!(
        "[switch-box.mine]\noutlets = 4\nvoltage = \"120 V\"\noutlet-current = \"1 A\"\ntotal-current = \"4 A\"\n",
        "switching = \"triac\"\ncontrol-voltage = \"5 V\"\ncontrol-current = \"8 mA\"\nisolated = true\n"
    )
    .to_owned();
    let (_, faults, _) = own(&text);
    assert_eq!(faults.iter().map(|fault| fault.code).collect::<Vec<_>>(), ["part/triac-unsaid"]);
    text.push_str("least-current = \"30 mA\"\noff-leakage = \"2 mA\"\n");
    let (shelf, faults, _) = own(&text);
    assert_eq!(faults, []);
    assert_eq!(shelf.switch_boxes["mine"].listed, None, "nothing is listed that does not say so");
}

#[test]
fn a_box_from_the_attic_joins_the_catalogue() {
    let (shelf, faults, _) = own(
        "[strand.attic-box]\nlamps = 48\npitch = \"3.5 in\"\nlead = \"18 in\"\nvoltage = \"12 V\"\npower = \"4.8 W\"\nhave = 6\n",
    );
    assert_eq!(faults, []);
    let strand = &shelf.strands["attic-box"];
    // 4.8 W / 12 V = 0.4 A.
    assert!((strand.current.get::<unit::ampere>() - 0.4).abs() < 1e-12);
    assert_eq!((strand.lamps, strand.have), (48, 6));
    assert!(strand.source.starts_with("parts.toml, strand.attic-box"), "{}", strand.source);
    assert!(strand.source.contains("hole not measured"));
}

#[test]
fn a_catalogue_part_is_corrected_and_only_where_it_is_written() {
    let (shelf, faults, _) =
        own("[strand.led-50-3in-12v]\nhave = 4\n[strand.led-20-3in-12v]\ncurrent = \"0.1 A\"\n");
    assert_eq!(faults, []);
    let (plain, _) = catalogue();
    let expected = parts::Strand { have: 4, ..plain.strands["led-50-3in-12v"].clone() };
    assert_eq!(shelf.strands["led-50-3in-12v"], expected);
    let corrected = &shelf.strands["led-20-3in-12v"];
    assert!((corrected.current.value - 0.1).abs() < 1e-12);
    assert_eq!(corrected.lamps, 20);
    assert!(corrected.source.contains("parts.toml") && corrected.source.contains("the rest:"));
}

#[test]
fn faults_of_a_shelf_come_all_at_once_with_their_places() {
    let (_, faults, text) = own(concat!(
        "[strand.attic-box]\nlamps = 0\npitch = 3.5\nled = \"18 in\"\nlead = \"18 V\"\ncolour = \"reddish\"\n",
        "[strand.both]\nlamps = 9\npitch = \"3 in\"\nlead = \"1 ft\"\nvoltage = \"12 V\"\ncurrent = \"1 A\"\npower = \"12 W\"\n",
        "[controller.mine]\nchip = \"x\"\nclock-hz = 16000000\ncurrent = \"0.1 A\"\nbutton-pins = [\"D2\"]\n",
        "[driver-board.weak]\noutputs = 8\noutput-current = \"2 A\"\ntotal-current = \"1 A\"\nvoltage = \"24 V\"\n",
        "[sheet.1st]\nwidth = \"1 m\"\nheight = \"0 m\"\nthickness = \"3 mm\"\nwood-based = \"yes\"\n",
        "[strnad.x]\n",
    ));
    let found: Vec<(&str, usize, &str)> = faults
        .iter()
        .map(|fault| {
            let place = fault.place.as_ref().unwrap();
            (fault.code, text.line_column(place.start).line, text.at(place))
        })
        .collect();
    let wanted = [
        ("key/missing", 1, "attic-box"),
        ("key/missing", 1, "attic-box"),
        ("value/out-of-range", 2, "0"),
        ("quantity/bare-number", 3, "3.5"),
        ("key/unknown", 4, "led"),
        ("quantity/wrong-kind", 5, "18 V"),
        ("part/colour", 6, "\"reddish\""),
        ("part/both-ratings", 13, "power"),
        ("part/pin", 18, "\"D2\""),
        ("part/board-current", 21, "\"2 A\""),
        ("name/not-allowed", 24, "1st"),
        ("quantity/zero", 26, "\"0 m\""),
        ("value/wrong-kind", 28, "\"yes\""),
        ("key/unknown", 29, "strnad"),
    ];
    assert_eq!(found, wanted);
    assert_eq!(faults[4].hints, ["did you mean `lead`?"]);
    assert_eq!(faults[13].hints, ["did you mean `strand`?"]);
}

proptest! {
    #[test]
    fn no_shelf_makes_it_panic(content in ".{0,200}") {
        own(&content);
    }

    #[test]
    fn no_broken_shelf_makes_it_panic(content in "(\\[(strand|supply)\\.[a-z]\\]\n|(lamps|pitch|have|lead) ?= ?[\"0-9 a-z{}\\[\\].]{0,9}\n){0,12}") {
        own(&content);
    }
}
