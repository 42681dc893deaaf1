//! A small display all the way through the plan: bunches found, holes solved, threading within the lead, dangers.

use display::Display;
use finding::{Severity, Sheet};
use plan::{Plan, Planner, plan};
use source::MemoryFiles;

/// A square common to both poses and an arm that swings; drawn 400 high, to stand 4 ft tall.
const DRAWING: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 600 400">
  <g id="left">
    <path d="M200 0 H400 V400 H200 Z"/>
    <path d="M180 200 H0"/>
  </g>
  <g id="right">
    <path d="M200 0 H400 V400 H200 Z"/>
    <path d="M420 200 H600"/>
  </g>
</svg>"#;

const RULES: &str = "machine arm
  state left   shows left   lights wave
  state right  shows right
  left  on press button go right
  right after 300 ms go left
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
cable = "6 ft"
"#;

fn read(display: &str, rules: &str) -> Display {
    let files = MemoryFiles::default()
        .with("display.toml", display)
        .with("small.rules", rules)
        .with("art/small.svg", DRAWING);
    let (display, faults, _) = display::read(&files);
    assert_eq!(faults, [], "nothing is wrong with the small display");
    display.expect("no fault, so a display")
}

fn small() -> Plan {
    plan(&read(DISPLAY, RULES))
}

#[test]
fn shared_lines_are_found_and_nothing_is_marked() {
    let plan = small();
    let panel = &plan.panels[0];
    let names: Vec<&str> = panel.bunches.iter().map(|bunch| bunch.name.as_str()).collect();
    assert_eq!(names, ["always", "left", "right"]);
    // 400 drawn units are 4 ft: the square is 2 x 4 ft, an arm 180 units long.
    let foot = 304.8;
    for (bunch, feet) in panel.bunches.iter().zip([12.0, 1.8, 1.8]) {
        assert!((bunch.length_mm - feet * foot).abs() < 2.0, "{} is {} mm", bunch.name, bunch.length_mm);
    }
    assert_eq!(panel.poses[0].bunches, [0, 1]);
    assert_eq!(panel.poses[1].bunches, [0, 2]);
}

#[test]
fn every_lamp_of_every_strand_is_accounted_for() {
    let plan = small();
    let panel = &plan.panels[0];
    let mut next = 1;
    for strand in &panel.strands {
        assert_eq!(strand.first_hole, next, "numbers follow the threading");
        next = strand.last_hole + 1;
        let holes = u32::try_from(strand.last_hole - strand.first_hole + 1).unwrap();
        let parked: u32 = strand.hops.iter().map(|hop| hop.parked).sum();
        assert_eq!(holes + parked + strand.spare, strand.lamps, "strand {}", strand.label);
        for hop in &strand.hops {
            let (from, to) = (panel.holes[hop.from - 1], panel.holes[hop.to - 1]);
            let apart = ((from.x_mm - to.x_mm).powi(2) + (from.y_mm - to.y_mm).powi(2)).sqrt();
            assert!((apart - hop.length_mm).abs() < 1e-6);
            // Nine tenths of a four-inch lead (common practice), once for every parked lamp and once more.
            assert!(
                apart <= 0.9 * 101.6 * f64::from(hop.parked + 1) + 1e-6,
                "hop {} to {}",
                hop.from,
                hop.to
            );
            assert_eq!(from.bunch, strand.bunch);
        }
    }
    assert_eq!(next, panel.holes.len() + 1, "every hole has a lamp");
    assert!(panel.holes.iter().enumerate().all(|(index, hole)| hole.number == index + 1));
}

#[test]
fn holes_keep_apart_and_off_the_edge() {
    let plan = small();
    let panel = &plan.panels[0];
    // Two diameters between centres and from the edge: common practice.
    let least = 2.0 * panel.hole_mm - 0.05;
    for (index, a) in panel.holes.iter().enumerate() {
        assert!(
            a.x_mm >= least
                && a.x_mm <= panel.width_mm - least
                && a.y_mm >= least
                && a.y_mm <= panel.height_mm - least
        );
        for b in &panel.holes[index + 1..] {
            let apart = ((a.x_mm - b.x_mm).powi(2) + (a.y_mm - b.y_mm).powi(2)).sqrt();
            assert!(apart >= least, "holes {} and {} are {apart} mm apart", a.number, b.number);
        }
    }
}

#[test]
fn every_conductor_has_its_return_in_the_same_cable() {
    let plan = small();
    assert_eq!(plan.channels.len(), 4);
    for cable in &plan.cables {
        for conductor in &cable.conductors {
            assert_ne!(conductor.returns_on, conductor.number);
            assert!(
                cable.conductors.iter().any(|other| other.number == conductor.returns_on),
                "{}",
                cable.label
            );
        }
    }
}

#[test]
fn a_supply_without_a_listing_withholds_what_would_be_wired_and_its_cure_gives_it_back() {
    assert!(small().withheld.is_empty());
    let plan = plan(&read(&DISPLAY.replace("class2-12v-5a", "open-frame-12v-8a"), RULES));
    assert_eq!(plan.withheld, [Sheet::Wiring, Sheet::Firmware]);
    assert!(
        plan.findings.iter().any(|f| f.code == "power/supply-not-listed" && f.severity == Severity::Danger)
    );
}

#[test]
fn a_picture_that_changes_too_fast_withholds_the_program() {
    for (step, withheld) in [("200 ms", vec![]), ("190 ms", vec![Sheet::Firmware])] {
        assert_eq!(plan(&read(DISPLAY, &RULES.replace("300 ms", step))).withheld, withheld, "{step}");
    }
}

#[test]
fn an_edit_redoes_only_what_it_touches() {
    let mut planner = Planner::new();
    let first = planner.plan(&read(DISPLAY, RULES));
    assert!(planner.take_runs().iter().all(|run| run.worked));
    let again = planner.plan(&read(&format!("# a comment\n{DISPLAY}"), RULES));
    assert_eq!(first, again);
    assert!(planner.take_runs().iter().all(|run| !run.worked), "a comment changes nothing");
    planner.plan(&read(&DISPLAY.replace("6 ft", "60 ft"), RULES));
    let worked: Vec<&str> =
        planner.take_runs().iter().filter(|run| run.worked).map(|run| run.stage).collect();
    assert_eq!(worked, ["wiring"], "a longer cable touches the wiring alone");
}
