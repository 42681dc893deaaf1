//! Half-written descriptions: what can be read is planned and drawn, and every stop says truthfully how far it has come.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail")]

use finding::Sheet;
use plan::{Plan, StageState, plan};
use source::MemoryFiles;

const DISPLAY: &str = include_str!("../../../displays/waving-fox/display.toml");
const RULES: &str = include_str!("../../../displays/waving-fox/waving-fox.rules");
const DRAWING: &str = include_str!("../../../displays/waving-fox/art/fox.svg");

fn planned(display: &str, rules: &str, drawing: &str) -> Plan {
    let files = MemoryFiles::default()
        .with("display.toml", display)
        .with("waving-fox.rules", rules)
        .with("art/fox.svg", drawing);
    plan(&display::read(&files).0.expect("the text is a table"))
}

#[track_caller]
fn broken(from: &str, to: &str) -> Plan {
    assert!(DISPLAY.contains(from), "{from}");
    planned(&DISPLAY.replace(from, to), RULES, DRAWING)
}

fn state(plan: &Plan, name: &str) -> StageState {
    plan.stops.iter().find(|stop| stop.name == name).unwrap().state.clone()
}

fn blocked(by: &str) -> StageState {
    StageState::Blocked { by: vec![by.to_owned()] }
}

#[test]
fn the_stops_come_in_the_builders_order_and_say_little() {
    let plan = planned(DISPLAY, RULES, DRAWING);
    let names: Vec<&str> = plan.stops.iter().map(|stop| stop.name).collect();
    let order = "idea draw drill string hang digits switch wire power shelter buy program try";
    let order: Vec<&str> = order.split(' ').chain(["put up", "run", "take down"]).collect();
    assert_eq!(names, order);
    for stop in &plan.stops {
        assert!(stop.news.split_whitespace().count() <= 6, "{}: {}", stop.name, stop.news);
        assert!(!stop.sentence.is_empty());
    }
    for name in ["idea", "draw", "drill", "string", "switch", "wire", "power", "buy", "program"] {
        assert_eq!(state(&plan, name), StageState::Ready, "{name}");
    }
    for name in ["hang", "digits", "run"] {
        assert_eq!(state(&plan, name), StageState::Pending, "{name}: the fox asks for none");
    }
}

#[test]
fn broken_rules_leave_the_drawing() {
    let whole = planned(DISPLAY, RULES, DRAWING);
    let plan = planned(DISPLAY, "machine fox\n  state a shows nothing\n", DRAWING);
    assert_eq!(plan.panels, whole.panels);
    assert!(matches!(state(&plan, "idea"), StageState::Partial), "{:?}", state(&plan, "idea"));
    assert_eq!(state(&plan, "drill"), StageState::Ready);
    assert_eq!(plan.withheld, [Sheet::Wiring, Sheet::Firmware], "what is lit together was not judged");
    let none = broken("rules = \"waving-fox.rules\"", "rules = \"none.rules\"");
    assert_eq!(none.panels, whole.panels);
    assert_eq!(state(&none, "idea"), blocked("file/missing"));
}

#[test]
fn a_part_that_is_not_known_leaves_the_drawing_and_the_holes() {
    let whole = planned(DISPLAY, RULES, DRAWING);
    let plan = broken("part = \"class2-12v-5a\"", "part = \"class2-12v-5x\"");
    assert_eq!(plan.panels, whole.panels);
    assert_eq!(state(&plan, "power"), blocked("part/unknown"));
    assert_eq!(state(&plan, "drill"), StageState::Ready);
    assert!(
        plan.findings.iter().all(|finding| finding.stage != "power"),
        "nothing is said of a supply not known"
    );
    let plan = broken("[supply]\npart = \"class2-12v-5a\"", "");
    assert_eq!(state(&plan, "power"), blocked("key/missing"));
}

#[test]
fn strands_that_are_not_known_leave_the_poses() {
    let plan = broken("[\"led-50-3in-12v\", \"led-20-3in-12v\"]", "[\"led-50-3in-12w\"]");
    assert_eq!(state(&plan, "draw"), StageState::Partial);
    assert_eq!(state(&plan, "string"), blocked("part/unknown"));
    assert_eq!(plan.panels[0].bunches.len(), 3);
    assert!(plan.panels[0].holes.is_empty());
}

#[test]
fn a_broken_drawing_leaves_its_panel_out_and_the_other_one_in() {
    let two = format!(
        "{DISPLAY}\n[figure.cub]\ndrawing = \"art/cub.svg\"\nheight = \"2 ft\"\nstrands = [\"led-20-3in-12v\"]\nsheet = \"plywood-1-4-4x8\"\n"
    );
    let plan = planned(&two, RULES, DRAWING);
    let names: Vec<&str> = plan.panels.iter().map(|panel| panel.name.as_str()).collect();
    assert_eq!(names, ["fox"]);
    assert_eq!(state(&plan, "draw"), StageState::Partial);
    assert_eq!(state(&plan, "string"), StageState::Partial);
    let alone = broken("art/fox.svg", "art/fix.svg");
    assert!(alone.panels.is_empty());
    assert_eq!(state(&alone, "draw"), blocked("file/missing"));
}

#[test]
fn a_value_that_cannot_be_read_stands_at_its_default_meanwhile() {
    let plan = broken("farthest = \"50 ft\"", "farthest = \"50\"");
    assert!((plan.farthest_mm - 50.0 * 304.8).abs() < 1e-6, "the default is 50 ft");
    assert_eq!(state(&plan, "draw"), StageState::Partial);
}
