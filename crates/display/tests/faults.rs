//! Broken descriptions: each with the fault's name, its line and column, and what is underlined.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail")]

mod common;

use common::{DESCRIPTION, fox};
use display::read;
use finding::Fault;
use source::{Files, MemoryFiles, Text};

/// The fox's description with one stretch replaced.
#[track_caller]
fn broken(from: &str, to: &str) -> MemoryFiles {
    assert_eq!(DESCRIPTION.matches(from).count(), 1, "{from}");
    fox(&DESCRIPTION.replace(from, to))
}

/// Name, line, column and underlined text of a fault.
fn shown(fault: &Fault, texts: &[Text]) -> (String, usize, usize, String) {
    let Some(place) = &fault.place else { return (fault.code.to_owned(), 0, 0, String::new()) };
    let text = texts.iter().find(|text| text.name() == place.file).unwrap();
    let at = text.line_column(place.start);
    (fault.code.to_owned(), at.line, at.column, text.at(place).to_owned())
}

/// That these files have exactly one fault, and this one.
#[track_caller]
fn one(files: &dyn Files, code: &str, line: usize, column: usize, underlined: &str, says: &str) {
    let (display, faults, texts) = read(files);
    let all: Vec<_> = faults.iter().map(|fault| shown(fault, &texts)).collect();
    assert_eq!(all, [(code.to_owned(), line, column, underlined.to_owned())], "{faults:?}");
    assert!(faults[0].stops());
    assert!(display.is_none_or(|display| !display.troubles.is_empty()), "what has faults says so");
    let words = format!("{} {:?} {}", faults[0].message, faults[0].expected, faults[0].hints.join(" "));
    assert!(words.contains(says), "{words}");
}

#[test]
fn the_fox_as_shipped_has_no_fault() {
    let (display, faults, texts) = read(&fox(DESCRIPTION));
    assert_eq!(faults, []);
    let display = display.unwrap();
    assert_eq!(display.title, "Waving fox");
    assert_eq!(display.figures[0].strands.len(), 2);
    assert_eq!(display.figures[0].strands[0].value.have, 4);
    assert_eq!(display.interface.figures[0].name, "fox");
    assert_eq!(display.interface.figures[0].poses, ["left", "right"]);
    assert_eq!(display.interface.spots[0].name, "wave");
    let names: Vec<_> = texts.iter().map(Text::name).collect();
    assert_eq!(names, ["display.toml", "parts.toml", "art/fox.svg", "waving-fox.rules"]);
}

#[test]
fn quantities() {
    one(
        &broken("\"4 ft\"", "48"),
        "quantity/bare-number",
        11,
        11,
        "48",
        "a length needs a unit: write 4 ft or 120 cm",
    );
    one(&broken("\"4 ft\"", "4.5"), "quantity/bare-number", 11, 11, "4.5", "a length needs a unit");
    one(&broken("\"4 ft\"", "\"48\""), "quantity/bare-number", 11, 12, "48", "a length needs a unit");
    one(
        &broken("\"4 ft\"", "\"6 V\""),
        "quantity/wrong-kind",
        11,
        12,
        "6 V",
        "is a voltage; a length belongs here",
    );
    one(&broken("\"4 ft\"", "\"1,2 m\""), "quantity/comma", 11, 12, "1,2", "decimals with a point");
    one(&broken("\"4 ft\"", "\"-4 ft\""), "quantity/negative", 11, 12, "-4 ft", "below zero");
    one(&broken("\"4 ft\"", "\"0 ft\""), "quantity/zero", 11, 11, "\"0 ft\"", "makes no sense");
    one(&broken("\"4 ft\"", "\"4 feets\""), "quantity/unknown-unit", 11, 14, "feets", "units known here");
    one(&broken("\"4 ft\"", "\"\""), "quantity/empty", 11, 11, "\"\"", "a length belongs here");
    one(&broken("\"4 ft\"", "nan"), "quantity/not-a-number", 11, 11, "nan", "no number that can be measured");
    one(
        &broken("\"4 ft\"", "[4]"),
        "value/wrong-kind",
        11,
        11,
        "[4]",
        "a list stands where a length belongs",
    );
}

#[test]
fn keys() {
    one(
        &broken("height  =", "height = \"4 ft\"\nhieght ="),
        "key/unknown",
        12,
        1,
        "hieght",
        "did you mean `height`?",
    );
    one(&broken("height  = \"4 ft\"\n", ""), "key/missing", 9, 9, "fox", "`height` is missing");
    one(&broken("title = \"Waving fox\"\n", ""), "key/missing", 1, 1, "", "`title` is missing");
    one(
        &broken("[supply]\npart = \"class2-12v-5a\"", "[supply]"),
        "key/missing",
        22,
        2,
        "supply",
        "`part` is missing",
    );
    one(&broken("[place]", "[plaice]"), "key/unknown", 6, 2, "plaice", "did you mean `place`?");
    one(
        &broken("lamp  = true", "lamp  = \"yes\""),
        "value/wrong-kind",
        19,
        9,
        "\"yes\"",
        "`true` or `false`",
    );
    one(&broken("\"in\"", "\"inch\""), "value/choice", 3, 9, "\"inch\"", "known here: in, mm");
    one(&broken("\"Waving fox\"", "\" \""), "value/empty", 2, 9, "\" \"", "nothing is written");
}

#[test]
fn parts() {
    one(
        &broken("led-50-3in-12v", "led-50-3in-21v"),
        "part/unknown",
        12,
        12,
        "\"led-50-3in-21v\"",
        "did you mean `led-50-3in-12v`?",
    );
    one(
        &broken("[\"led-50-3in-12v\", \"led-20-3in-12v\"]", "[]"),
        "value/out-of-range",
        12,
        11,
        "[]",
        "0 values",
    );
    one(
        &broken("plywood-1-4-4x8", "plywood-1-4-4x9"),
        "part/unknown",
        13,
        11,
        "\"plywood-1-4-4x9\"",
        "did you mean `plywood-1-4-4x8`?",
    );
    one(
        &broken("class2-12v-5a", "class2-12v-5b"),
        "part/unknown",
        23,
        8,
        "\"class2-12v-5b\"",
        "did you mean `class2-12v-5a`?",
    );
    one(
        &broken("controller-328", "controler-328"),
        "part/unknown",
        29,
        8,
        "\"controler-328\"",
        "did you mean `controller-328`?",
    );
}

#[test]
fn names_and_places() {
    one(
        &broken("nearest = \"10 ft\"", "nearest = \"60 ft\""),
        "place/viewers",
        7,
        43,
        "\"50 ft\"",
        "nearer than the nearest",
    );
    one(
        &broken("[panel.fox]", "[panel.west]\nfigure = \"fix\""),
        "figure/unknown",
        16,
        10,
        "\"fix\"",
        "did you mean `fox`?",
    );
    let (_, faults, texts) = read(&broken("[button.wave]", "[button.\"wave it\"]"));
    assert_eq!(shown(&faults[0], &texts), ("name/not-allowed".into(), 18, 9, "\"wave it\"".into()));
}

#[test]
fn spelling_of_the_file_itself() {
    let (display, faults, texts) = read(&broken("\"4 ft\"", "4 ft"));
    assert!(display.is_none());
    let first = shown(&faults[0], &texts);
    assert_eq!((first.0.as_str(), first.1), ("toml/syntax", 11));
    assert!(faults[0].hints.iter().any(|hint| hint.contains("\"4 ft\"")), "{faults:?}");
    let (_, faults, texts) = read(&broken("sheet   =", "height  = \"5 ft\"\nsheet   ="));
    let first = shown(&faults[0], &texts);
    assert_eq!((first.0.as_str(), first.1, first.3.as_str()), ("toml/syntax", 13, "height"));
}

#[test]
fn files() {
    one(
        &broken("art/fox.svg", "art/fix.svg"),
        "file/missing",
        10,
        11,
        "\"art/fix.svg\"",
        "there is no such file",
    );
    one(
        &broken("waving-fox.rules", "waving-fix.rules"),
        "file/missing",
        4,
        9,
        "\"waving-fix.rules\"",
        "did you mean `waving-fox.rules`?",
    );
    one(
        &broken("art/fox.svg", "../fox.svg"),
        "file/outside",
        10,
        11,
        "\"../fox.svg\"",
        "out of the display's folder",
    );
    one(&broken("art/fox.svg", "/etc/hostname"), "file/outside", 10, 11, "\"/etc/hostname\"", "own folder");
    let huge = fox(DESCRIPTION).with("art/fox.svg", vec![b' '; source::MAX_FILE_BYTES + 1]);
    one(&huge, "file/too-large", 10, 11, "\"art/fox.svg\"", "the limit is");
    let latin = fox(DESCRIPTION).with("waving-fox.rules", b"# f\xfcr\n".to_vec());
    one(&latin, "file/not-text", 4, 9, "\"waving-fox.rules\"", "byte 3 is not UTF-8");
    one(&MemoryFiles::default(), "file/missing", 0, 0, "", "display.toml: there is no such file");
    let no_text = MemoryFiles::default().with("display.toml", vec![0xff]);
    one(&no_text, "file/not-text", 0, 0, "", "byte 0 is not UTF-8");
}

#[test]
fn faults_of_all_files_come_at_once() {
    let files = broken("\"4 ft\"", "48")
        .with("parts.toml", "[strand.x]\nlamps = 0\n")
        .with("waving-fox.rules", "machine fox\n  state a shows left\n  a on on on go a\n");
    let (_, faults, _) = read(&files);
    let mut in_files: Vec<&str> =
        faults.iter().filter_map(|fault| Some(fault.place.as_ref()?.file.as_str())).collect();
    in_files.dedup();
    assert_eq!(in_files, ["display.toml", "parts.toml", "waving-fox.rules"]);
}

#[test]
fn a_drawing_that_cannot_be_had_does_not_flood_the_rules_with_unknown_poses() {
    let (_, faults, _) = read(&broken("art/fox.svg", "art/fix.svg"));
    assert!(faults.iter().all(|fault| fault.code == "file/missing"), "{faults:?}");
}

#[test]
fn little_is_asked_and_what_is_left_out_says_so() {
    let short = concat!(
        "title = \"Fox\"\nrules = \"waving-fox.rules\"\n[figure.fox]\ndrawing = \"art/fox.svg\"\nheight = \"4 ft\"\n",
        "strands = [\"led-50-3in-12v\"]\nsheet = \"plywood-1-4-4x8\"\n[button.wave]\nlamp = true\n[supply]\npart = \"class2-12v-5a\"\n",
    );
    let (display, faults, _) = read(&fox(short));
    assert_eq!(faults, []);
    let display = display.unwrap();
    assert_eq!((display.panels.len(), display.panels[0].name.as_str()), (1, "fox"));
    assert!(display.driver_board.unwrap().origin.to_string().starts_with("default: driver-board-8"));
    assert!(display.panels[0].cable.origin.to_string().starts_with("default: 10 ft of cable"));
    assert_eq!(display.supply.unwrap().origin.to_string(), "display.toml, supply.part");
    assert_eq!(display.figures[0].strands[0].origin.to_string(), "display.toml, figure.fox.strands[0]");
}
