//! A yard with everything in it: each danger withholds what it touches, and the cure it names, written into the description,
//! gives that back.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail")]

#[path = "common/edits.rs"]
mod edits;

use display::Edit;
use finding::{Finding, Severity, Sheet};
use plan::{Plan, plan};
use source::{MemoryFiles, Text};

const YARD: &str = r#"title = "Yard"
rules = "yard.rules"
[place]
viewers = { nearest = "12 ft", farthest = "60 ft" }
latitude = 42.3
longitude = -85.6
timezone = "America/Detroit"
season = { from = 2027-11-26, to = 2028-01-02, on = "dusk", off = "21:30" }
gust = "40 mph"
[figure.fox]
drawing = "art/fox.svg"
height = "4 ft"
strands = ["led-50-3in-12v", "led-20-3in-12v"]
sheet = "plywood-1-4-4x8"
[panel.west]
figure = "fox"
stands = { at = ["0 ft", "0 ft"], base = "4 ft", guys = 4, lifted = "1 ft" }
[post.left]
at = ["5 ft", "1 ft"]
height = "16 ft"
[post.right]
at = ["30 ft", "1 ft"]
height = "16 ft"
[object.club]
size = ["6 in", "14 in"]
mass = "0.35 kg"
tilt = "20 deg"
strand = "led-20-3in-12v"
[span.clubs]
from = { post = "left", height = "14 ft" }
to = { post = "right", height = "14 ft" }
rope = "polyester-6mm"
sag = "5 %"
hangs = { object = "club", count = 7, path = "parabola", top = "10 ft 6 in", ends = "9 ft 6 in" }
[button.left]
lamp = true
[supply]
part = "class2-12v-5a"
"#;

const RULES: &str = "machine club
  number at 1..7 = 1
  state there  lights club[at]  lights left
  there on press left do at = at + 1 stay
machine west
  state a  shows left
  state b  shows right
  a after 1 s go b
  b after 1 s go a
";

const DRAWING: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 600 400">
  <g id="left"><path d="M200 0 H400 V400 H200 Z"/><path d="M180 200 H0"/></g>
  <g id="right"><path d="M200 0 H400 V400 H200 Z"/><path d="M420 200 H600"/></g>
</svg>"#;

const SHELF: &str = r##"[strand.led-50-3in-12v]
lamps = 50
pitch = "3 in"
lead = "18 in"
hole = "5/16 in"
voltage = "12 V"
current = "0.33 A"
colour = "#ffcc66"
source = "test"
[strand.led-20-3in-12v]
lamps = 20
pitch = "3 in"
lead = "18 in"
hole = "5/16 in"
voltage = "12 V"
current = "0.13 A"
colour = "#ffcc66"
source = "test"
"##;

fn planned(description: &str) -> Plan {
    let files = MemoryFiles::default()
        .with("display.toml", description)
        .with("yard.rules", RULES)
        .with("parts.toml", SHELF)
        .with("art/fox.svg", DRAWING);
    let (display, faults, _) = display::read(&files);
    assert_eq!(faults, [], "nothing is wrong with what is written");
    let plan = plan(&display.expect("no fault, so a display"));
    edits::only_of_what_is_made(&plan);
    plan
}

#[track_caller]
fn changed(from: &str, to: &str) -> String {
    assert!(YARD.contains(from), "{from}");
    YARD.replace(from, to)
}

fn found<'a>(plan: &'a Plan, code: &str) -> Option<&'a Finding> {
    plan.findings.iter().find(|finding| finding.code == code)
}

/// Writes the first cure that is an edit into the description, exactly as the workbench does.
#[track_caller]
fn cured(description: &str, finding: &Finding) -> String {
    let (path, new) =
        finding.cures.iter().find_map(|cure| cure.edit.clone()).expect("a cure that is one edit");
    let text = Text::new("display.toml", description.to_owned());
    let place = parts::reader::place_of(&text, &path).expect("the value is written");
    let expected = text.content()[place.start..place.end].to_owned();
    display::apply(&text, &Edit { path, expected, new }).expect("the cure can be written")
}

#[test]
fn a_sound_yard_keeps_its_sheets_and_says_when_to_take_it_in() {
    let plan = planned(YARD);
    let severe: Vec<&Finding> =
        plan.findings.iter().filter(|finding| finding.severity <= Severity::Fault).collect();
    assert!(severe.is_empty(), "{severe:#?}");
    assert_eq!(plan.withheld, []);
    assert_eq!((plan.spans.len(), plan.posts.len(), plan.stands.len()), (1, 2, 1));
    let span = &plan.spans[0];
    assert_eq!(span.hung.len(), 7);
    // The left post is pulled right and down; nothing else is tied to it: sideways it bears the pull at the tie's height.
    let post = &plan.posts[0];
    assert!((post.pull_n - span.tension_n[0]).abs() < 1e-6 && post.pull_deg < 0.0);
    let level = post.pull_n * libm::cos(post.pull_deg.to_radians());
    assert!((post.moment_nm - level * 14.0 * 0.3048).abs() < 1e-3);
    let season = plan.season.as_ref().unwrap();
    assert_eq!(season.count, 38, "26 November to 2 January");
    for code in ["stand/lay-flat", "span/take-in"] {
        assert_eq!(found(&plan, code).unwrap().severity, Severity::Note, "{code}");
    }
    // Every number of a span knows where it came from.
    for place in [
        "/spans/0/sag_mm",
        "/spans/0/hung/3/hangers/0/cut_mm",
        "/stands/0/guys/0/tension_n",
        "/season/nights",
    ] {
        assert!(plan.origins.of(place).is_some(), "{place}");
    }
}

/// One change makes it dangerous; the cure the finding names gives the sheets back.
#[track_caller]
fn both_ways(description: &str, code: &str, withheld: &[Sheet]) {
    let plan = planned(description);
    let danger = found(&plan, code).unwrap_or_else(|| panic!("no {code}: {:#?}", plan.findings));
    assert_eq!(danger.severity, Severity::Danger, "{code}");
    assert!(danger.working.is_some() && !danger.cures.is_empty(), "{code}");
    for sheet in withheld {
        assert!(plan.withholds(*sheet), "{code} withholds {sheet:?}");
    }
    let after = planned(&cured(description, danger));
    assert!(found(&after, code).is_none_or(|left| left.severity > Severity::Fault), "{code} is cured");
    assert_eq!(after.withheld, [], "{code}: {:#?}", after.findings);
}

#[test]
fn without_guys_the_panel_falls() {
    both_ways(&changed("guys = 4", "guys = 0"), "stand/falls", &[Sheet::PutUp]);
}

#[test]
fn clubs_over_peoples_heads() {
    let low = changed("ends = \"9 ft 6 in\"", "ends = \"7 ft\"");
    both_ways(&low, "span/headroom", &[Sheet::Hanging, Sheet::PutUp]);
}

#[test]
fn a_rope_for_calm_evenings_only() {
    let heavy = YARD
        .replace("sag = \"5 %\"", "sag = \"8 %\"")
        .replace("rope = \"polyester-6mm\"", "rope = \"polyester-3mm\"");
    let high = heavy.replace("height = \"14 ft\"", "height = \"16 ft\"");
    both_ways(&high, "span/take-in", &[Sheet::Hanging, Sheet::PutUp]);
}

#[test]
fn a_rope_loaded_beyond_what_it_may_carry() {
    let heavy = YARD
        .replace("mass = \"0.35 kg\"", "mass = \"1.6 kg\"")
        .replace("height = \"14 ft\"", "height = \"16 ft\"");
    both_ways(
        &heavy.replace("sag = \"5 %\"", "sag = \"3 %\""),
        "span/over-load",
        &[Sheet::Hanging, Sheet::PutUp],
    );
}

#[test]
fn more_than_ninety_days() {
    let long = changed("to = 2028-01-02", "to = 2028-03-31");
    both_ways(&long, "season/over-90-days", &[Sheet::PutUp, Sheet::Wiring]);
}

#[test]
fn a_gust_that_nobody_named() {
    let plan = planned(&changed("gust = \"40 mph\"\n", ""));
    assert!(found(&plan, "stand/no-gust").is_some() && plan.withholds(Sheet::PutUp));
}
