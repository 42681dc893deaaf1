//! Boards there are already: their soldered order is a fact, and they come first in the chain.
#![allow(clippy::panic, clippy::unwrap_used, reason = "a test may fail")]

use finding::Severity;
use plan::{Plan, plan};
use source::MemoryFiles;

/// Three poses that share a square: seven bunches or fewer, and a button's lamp.
const DRAWING: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 900 400">
  <g id="left"><path d="M200 0 H400 V400 H200 Z"/><path d="M180 200 H0"/></g>
  <g id="right"><path d="M200 0 H400 V400 H200 Z"/><path d="M420 200 H600"/></g>
  <g id="far"><path d="M200 0 H400 V400 H200 Z"/><path d="M620 200 H900"/></g>
</svg>"#;

const RULES: &str = "machine arm
  state left   shows left   lights wave
  state right  shows right
  state far    shows far  lights wag
  left  on press wave go right
  right after 300 ms go far
  far on press wag go left
";

const DISPLAY: &str = r#"title = "Small"
units = "in"
rules = "small.rules"
supply = { part = "class2-12v-5a" }
[place]
viewers = { nearest = "10 ft", farthest = "50 ft" }
[figure.small]
drawing = "art/small.svg"
height = "4 ft"
strands = ["led-50-4in-12v", "led-20-4in-12v"]
sheet = "plywood-1-4-4x8"
[button.wave]
lamp = true
[button.wag]
lamp = true
"#;

/// The order in which last year's board came out, and a board of words.
const PARTS: &str = r#"[driver-board.last-year]
outputs = ["2", "1", "4", "3"]
output-current = "1.5 A"
total-current = "4 A"
voltage = "24 V"
have = 1
"#;

fn planned(board: &str, parts: &str) -> Plan {
    let files = MemoryFiles::default()
        .with("display.toml", format!("{DISPLAY}{board}"))
        .with("small.rules", RULES)
        .with("art/small.svg", DRAWING)
        .with("parts.toml", parts);
    let (display, faults, _) = display::read(&files);
    assert_eq!(faults, [], "nothing is wrong with the description");
    plan(&display.unwrap())
}

fn places(plan: &Plan) -> Vec<(&str, usize, u32)> {
    plan.channels.iter().map(|channel| (channel.label.as_str(), channel.board, channel.output)).collect()
}

#[test]
fn a_board_is_used_by_its_labels_and_switched_by_its_bits() {
    let plan = planned("[driver-board]\npart = \"last-year\"\n", PARTS);
    // Six channels: four bunches, two lamps. Label 1 is soldered to the second bit, 2 to the first, and so on.
    assert_eq!(
        places(&plan),
        [("A1", 0, 1), ("A2", 0, 0), ("A3", 0, 3), ("A4", 0, 2), ("B1", 1, 1), ("B2", 1, 0)]
    );
    assert!(plan.findings.iter().all(|finding| finding.severity > Severity::Fault), "{:?}", plan.findings);
    let trial = plan.trials.iter().find(|trial| trial.act.starts_with("Roll call A1:")).unwrap();
    assert!(trial.otherwise.starts_with("output 1 of board A"), "{}", trial.otherwise);
    assert!(plan.signal_paths.iter().any(|path| path.by.contains(&"board A output 1 (A1)".to_owned())));
}

#[test]
fn boards_of_several_kinds_stand_in_one_chain() {
    let plan = planned("[driver-board]\nfirst = [\"last-year\"]\n", PARTS);
    assert_eq!(
        places(&plan),
        [("A1", 0, 1), ("A2", 0, 0), ("A3", 0, 3), ("A4", 0, 2), ("B1", 1, 0), ("B2", 1, 1)]
    );
    let kinds: Vec<(&str, u32)> =
        plan.boards.iter().map(|board| (board.part.as_str(), board.outputs)).collect();
    assert_eq!(kinds, [("last-year", 4), ("driver-board-8", 8)]);
    // The one on the shelf is not bought again.
    let line = plan.parts.iter().find(|line| line.part == "last-year").unwrap();
    assert_eq!((line.needed, line.have), (1, 1));
}

#[test]
fn each_board_is_held_against_its_own_ratings() {
    // A strand of 50 lamps takes 0.34 A; an old board of 0.1 A an output cannot switch it, the new one behind it can.
    let weak = PARTS.replace("1.5 A", "0.1 A");
    let plan = planned("[driver-board]\nfirst = [\"last-year\"]\n", &weak);
    let over = plan.findings.iter().find(|finding| finding.code == "drive/over-current").unwrap();
    assert!(over.verdict.contains("last-year"), "{}", over.verdict);
    assert!(!over.verdict.contains("driver-board-8"), "{}", over.verdict);
    let strong = planned("[driver-board]\nfirst = [\"last-year\"]\n", PARTS);
    assert!(strong.findings.iter().all(|finding| finding.code != "drive/over-current"));
}

#[test]
fn a_count_is_numbers_in_order_and_a_label_stands_once() {
    let counted = PARTS.replace(r#"["2", "1", "4", "3"]"#, "4");
    let plan = planned("[driver-board]\npart = \"last-year\"\n", &counted);
    assert_eq!(places(&plan)[..2], [("A1", 0, 0), ("A2", 0, 1)]);
    let twice = PARTS.replace(r#"["2", "1", "4", "3"]"#, r#"["2", "1", "2", "3"]"#);
    let files = MemoryFiles::default()
        .with("display.toml", DISPLAY)
        .with("small.rules", RULES)
        .with("art/small.svg", DRAWING)
        .with("parts.toml", twice);
    let faults = display::read(&files).1;
    assert_eq!(faults.iter().map(|fault| fault.code).collect::<Vec<_>>(), ["part/label-twice"]);
}

/// The sheet arms the roll call before anything is lit by it, calls every channel in the order in which the program does (the
/// channels' own), and takes the jumper out at last. Without a button nobody can hold it, and the sheet asks for none.
#[test]
fn the_test_sheet_calls_the_roll_in_the_order_of_the_channels() {
    let plan = planned("", "");
    let at = |act: &str| plan.trials.iter().position(|trial| trial.act.starts_with(act)).unwrap();
    let called = plan.trials.iter().filter_map(|trial| trial.act.strip_prefix("Roll call "));
    let called: Vec<&str> = called.filter_map(|act| act.split(':').next()).collect();
    let labels: Vec<&str> = plan.channels.iter().map(|channel| channel.label.as_str()).collect();
    assert_eq!(called, labels);
    assert!(at("The roll call: ") < at("Light everything from the roll call: press wag once"));
    assert!(at("Roll call A1: press wave") < at("Take the service jumper out"));
    let without = DISPLAY.split("[button.wave]").next().unwrap().to_owned();
    let rules = "machine arm\n  state left  shows left\n  state right shows right\n  state far shows far\n  left after 1 s go right\n  right after 1 s go far\n  far after 1 s go left\n";
    let files = MemoryFiles::default()
        .with("display.toml", without)
        .with("small.rules", rules)
        .with("art/small.svg", DRAWING);
    let (display, faults, _) = display::read(&files);
    let alone = display.map(|display| plan::plan(&display)).unwrap_or_else(|| panic!("{faults:?}"));
    assert!(alone.buttons.is_empty() && alone.trials.len() > 4);
    assert!(alone.trials.iter().all(|trial| !trial.act.to_lowercase().contains("roll call")));
}
