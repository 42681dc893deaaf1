//! The whole description: what stands and hangs in the yard, the mains side, the season; and its faults.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail")]

mod common;

use common::{DRAWING, SHELF};
use display::{Clock, Date, GroundFault, HangsAlong, Mains, read};
use quantity::{Show as _, Units, unit};
use source::{MemoryFiles, Text};

const YARD: &str = r#"title = "Yard"
mains = "120 V 60 Hz"
rules = "yard.rules"
[place]
latitude = 42.3
longitude = -85.6
timezone = "America/Detroit"
season = { from = 2027-11-26, to = 2028-01-02, on = "dusk", off = "21:30" }
gust = "45 mph"
[figure.fox]
drawing = "art/fox.svg"
height = "4 ft"
strands = ["led-50-3in-12v", "led-20-3in-12v"]
sheet = "plywood-1-4-4x8"
[panel.west]
figure = "fox"
stands = { at = ["0 ft", "0 ft"], base = "4 ft", guys = 2, lifted = "1 ft" }
circuit = "porch"
[panel.east]
figure = "fox"
mirrored = true
stands = { at = ["34 ft", "0 ft"], base = "4 ft" }
[post.left]
at = ["5 ft", "1 ft"]
height = "15 ft"
[post.right]
at = ["30 ft", "1 ft"]
height = "15 ft"
[object.club]
size = ["6 in", "14 in"]
mass = "0.35 kg"
hangers = 2
tilt = "20 deg"
strand = "led-20-3in-12v"
[span.clubs]
from = { post = "left", height = "14 ft" }
to = { post = "right", height = "14 ft" }
rope = "polyester-6mm"
sag = "5 %"
hangs = { object = "club", count = 7, path = "parabola", top = "10 ft 6 in", ends = "8 ft 6 in" }
cable = "40 ft"
[digits.rally]
count = 2
height = "9 in"
at = ["16 ft", "-2 ft"]
lifted = "3 ft"
led = "amber-5mm"
[button.left]
lamp = true
at = ["1 ft", "-6 ft"]
[circuit.porch]
breaker = "15 A"
ground-fault = "class A"
cord = { size = "16 AWG", length = "75 ft" }
[switch-box]
part = "relay-box-8-120v"
[supply]
part = "class2-12v-5a"
circuit = "porch"
"#;

const RULES: &str = "sides west, east
machine club
  number at 1..7 = 1
  number rally 0..99 = 0  shown on rally
  state there  lights club[at]  lights left
  there on press left do at = at + 1 stay
machine fox per side
  state a  shows left
  state b  shows right
  a after 1 s go b
  b after 1 s go a
";

fn files(description: &str) -> MemoryFiles {
    MemoryFiles::default()
        .with("display.toml", description)
        .with("yard.rules", RULES)
        .with("parts.toml", SHELF)
        .with("art/fox.svg", DRAWING)
}

#[test]
fn everything_in_the_yard_is_read_and_offered_to_the_rules() {
    let (display, faults, _) = read(&files(YARD));
    assert_eq!(faults, []);
    let display = display.unwrap();
    let spots: Vec<_> = display.interface.spots.iter().map(|spot| (spot.name.as_str(), spot.count)).collect();
    assert_eq!(spots, [("club", 7), ("left", 1)]);
    assert_eq!((display.interface.digits[0].name.as_str(), display.interface.digits[0].count), ("rally", 2));
    assert_eq!(display.form.spots.len(), 8, "{:?}", display.form.spots);
    let mains = display.mains.unwrap().value;
    assert_eq!((mains, mains.volts(), mains.hertz()), (Mains::V120, 120.0, 60.0));
    let season = display.site.season.unwrap();
    assert_eq!(season.from.value, Date { year: 2027, month: 11, day: 26 });
    assert_eq!((season.on.value, season.off.value), (Clock::Dusk, Clock::At(21 * 60 + 30)));
    // 1 mph = 0.44704 m/s (international yard of 1959).
    let gust = display.site.gust.unwrap().value.get::<unit::meter_per_second>();
    assert!((gust - 45.0 * 0.447_04).abs() < 1e-9);
    let stands = display.panels[0].stands.as_ref().unwrap();
    assert_eq!((stands.guys.value, stands.lifted.value.show(Units::Inches)), (2, "1 ft".to_owned()));
    assert_eq!(
        display.panels[1].stands.as_ref().unwrap().guys.origin.to_string(),
        "default: no guys: ballast alone"
    );
    assert!(display.panels[1].mirrored.value && !display.panels[0].mirrored.value);
    let span = &display.spans[0];
    assert_eq!(
        (display.posts[span.to.post].name.as_str(), span.hangs.path.value),
        ("right", HangsAlong::Parabola)
    );
    assert_eq!(span.hangs.count.origin.to_string(), "display.toml, span.clubs.hangs.count");
    let digits = &display.digits[0];
    assert!(digits.at.as_ref().unwrap().depth.value.get::<unit::foot>() < 0.0, "nearer than the panels");
    let circuit = &display.circuits[0];
    assert_eq!(circuit.ground_fault.value, GroundFault::ClassA);
    assert_eq!(circuit.cord.size.value.to_string(), "16 AWG");
    assert_eq!(display.supply_circuit.unwrap().value, "porch");
}

/// That one change gives exactly these faults: name, underlined, and something that is said.
#[track_caller]
fn broken(from: &str, to: &str, wanted: &[(&str, &str, &str)]) {
    assert_eq!(YARD.matches(from).count(), 1, "{from}");
    let (_, faults, texts) = read(&files(&YARD.replace(from, to)));
    let found: Vec<(String, String)> = faults
        .iter()
        .map(|fault| {
            let place = fault.place.as_ref().unwrap();
            let text = texts.iter().find(|text: &&Text| text.name() == place.file).unwrap();
            (fault.code.to_owned(), text.at(place).to_owned())
        })
        .collect();
    let expected: Vec<(String, String)> =
        wanted.iter().map(|(code, at, _)| ((*code).to_owned(), (*at).to_owned())).collect();
    assert_eq!(found, expected, "{faults:?}");
    for (fault, (_, _, says)) in faults.iter().zip(wanted) {
        let words = format!("{} {:?} {}", fault.message, fault.expected, fault.hints.join(" "));
        assert!(words.contains(says), "{words}");
    }
}

#[test]
fn names_that_lead_nowhere_come_with_the_nearest_one() {
    broken("post = \"left\"", "post = \"lefd\"", &[("post/unknown", "\"lefd\"", "did you mean `left`?")]);
    broken(
        "object = \"club\"",
        "object = \"clup\"",
        &[("object/unknown", "\"clup\"", "did you mean `club`?")],
    );
    broken(
        "circuit = \"porch\"\n[panel.east]",
        "circuit = \"portch\"\n[panel.east]",
        &[("circuit/unknown", "\"portch\"", "did you mean `porch`?")],
    );
    broken(
        "strand = \"led-20-3in-12v\"",
        "strand = \"led-20-3in-21v\"",
        &[("part/unknown", "\"led-20-3in-21v\"", "did you mean `led-20-3in-12v`?")],
    );
}

#[test]
fn values_that_cannot_be_have_their_place() {
    broken("latitude = 42.3", "latitude = 142.3", &[("value/out-of-range", "142.3", "-90 to 90")]);
    broken(
        "latitude = 42.3",
        "latitude = \"42.3\"",
        &[("value/wrong-kind", "\"42.3\"", "a number without a unit")],
    );
    broken(
        "from = 2027-11-26",
        "from = \"2027-11-26\"",
        &[("value/wrong-kind", "\"2027-11-26\"", "without quotes")],
    );
    broken("to = 2028-01-02", "to = 2027-01-02", &[("place/season", "2027-01-02", "ends before it begins")]);
    broken("off = \"21:30\"", "off = \"dusk\"", &[("value/time", "\"dusk\"", "a time like `21:30`")]);
    broken("on = \"dusk\"", "on = \"dawn\"", &[("value/time", "\"dawn\"", "write `dusk`")]);
    broken("\"45 mph\"", "\"45 ft\"", &[("quantity/wrong-kind", "45 ft", "a speed belongs here")]);
    broken("\"20 deg\"", "\"20\"", &[("quantity/bare-number", "20", "an angle needs a unit")]);
    broken("\"0.35 kg\"", "\"0 kg\"", &[("quantity/zero", "\"0 kg\"", "makes no sense")]);
    broken("\"16 AWG\"", "\"16\"", &[("quantity/bare-number", "16", "16 AWG or 1.5 mm2")]);
    broken("\"class A\"", "\"class B\"", &[("value/choice", "\"class B\"", "did you mean `class A`?")]);
    broken("120 V 60 Hz", "110 V", &[("value/choice", "\"110 V\"", "120 V 60 Hz")]);
    broken("[\"16 ft\", \"-2 ft\"]", "[\"16 ft\"]", &[("value/out-of-range", "[\"16 ft\"]", "1 values")]);
    broken(
        "from = { post = \"left\", height = \"14 ft\" }",
        "from = { post = \"left\", height = \"16 ft\" }",
        &[("span/tie-too-high", "\"16 ft\"", "higher than post `left`")],
    );
    broken(
        "from = { post = \"left\"",
        "from = { post = \"right\"",
        &[("span/posts-swapped", "\"right\"", "the left end")],
    );
    broken(
        "ground-fault",
        "ground_fault",
        &[
            ("key/missing", "porch", "`ground-fault`"),
            ("key/unknown", "ground_fault", "did you mean `ground-fault`?"),
        ],
    );
}

#[test]
fn two_spans_of_one_object_cannot_be_told_apart_by_the_rules() {
    let span = YARD.split("[span.clubs]").nth(1).unwrap().split("[digits").next().unwrap();
    let twice = format!("{YARD}[span.more]{span}");
    let (_, faults, _) = read(&files(&twice));
    assert_eq!(
        faults.iter().map(|fault| fault.code).collect::<Vec<_>>(),
        ["object/name-taken"],
        "{faults:?}"
    );
}

#[test]
fn drawings_of_objects_cannot_leave_the_folder() {
    broken(
        "[object.club]",
        "[object.club]\ndrawing = \"../club.svg\"",
        &[("file/outside", "\"../club.svg\"", "own folder")],
    );
}
