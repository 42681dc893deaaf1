//! A whole yard: two mains figures, clubs on a span, digits and a button on 12 V; the electrical side of it.
#![allow(clippy::panic, clippy::unwrap_used, reason = "a test may fail")]

use finding::{Severity, Sheet};
use plan::{LitBy, Plan, plan};
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
strands = ["led-50-4in-120v", "led-25-4in-120v"]
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

fn planned(description: &str) -> Plan {
    let files = MemoryFiles::default()
        .with("display.toml", description)
        .with("yard.rules", RULES)
        .with("art/fox.svg", DRAWING);
    let (display, faults, _) = display::read(&files);
    assert_eq!(faults, []);
    plan(&display.unwrap())
}

/// The codes of what is dangerous or cannot be built, of the electrical stages.
fn electrical(plan: &Plan) -> Vec<&str> {
    let stages = ["switch", "wire", "power", "digits", "shelter"];
    let severe = plan.findings.iter().filter(|finding| finding.severity <= Severity::Fault);
    severe.filter(|finding| stages.contains(&finding.stage)).map(|finding| finding.code).collect()
}

#[test]
fn mains_figures_and_low_voltage_clubs_go_together() {
    let plan = planned(YARD);
    assert_eq!(electrical(&plan), [""; 0]);
    for channel in &plan.channels {
        let mains = channel.voltage_v > 50.0;
        assert_eq!(channel.outlet.is_some(), mains, "{}", channel.name);
        let board = &plan.boards[channel.board];
        assert_eq!(board.part == "register-board-8", mains, "{}", channel.name);
        assert!(channel.output < board.outputs, "{}", channel.name);
    }
    // No output twice, no outlet twice.
    let mut seats: Vec<_> = plan.channels.iter().map(|channel| (channel.board, channel.output)).collect();
    let mut outlets: Vec<_> =
        plan.channels.iter().filter_map(|c| c.outlet.as_ref().map(|o| (o.switch_box, o.outlet))).collect();
    for list in [seats.len(), outlets.len()] {
        assert!(list > 0);
    }
    let all = (seats.len(), outlets.len());
    seats.sort_unstable();
    seats.dedup();
    outlets.sort_unstable();
    outlets.dedup();
    assert_eq!((seats.len(), outlets.len()), all);
}

/// Segments a to g of two digits: fourteen channels, none for a point; the rightmost digit is place 0.
#[test]
fn digits_have_a_channel_for_every_segment() {
    let plan = planned(YARD);
    let digits = &plan.digits[0];
    assert_eq!(digits.channels.iter().map(Vec::len).collect::<Vec<_>>(), [7, 7]);
    for (from_left, channels) in digits.channels.iter().enumerate() {
        for (letter, &channel) in channels.iter().enumerate() {
            let LitBy::Segment { place, segment, .. } = plan.channels[channel].lit_by else {
                panic!("channel {channel} is no segment")
            };
            assert_eq!((1 - place as usize, segment as usize), (from_left, letter));
        }
    }
    // Amber LEDs of 2.1 V on 12 V behind MOSFETs: rows of four at most leave a quarter of the supply (common practice).
    assert!((1..=4).contains(&digits.leds_in_series), "{}", digits.leds_in_series);
    // Ohm's law on what the row leaves.
    let left = 12.0 - 2.1 * f64::from(digits.leds_in_series);
    let expected = left / digits.resistor_ohm * f64::from(digits.rows);
    assert!((digits.segment_a - expected).abs() < 1e-9);
    let values = [
        1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2,
        6.8, 7.5, 8.2, 9.1,
    ];
    let mantissa = digits.resistor_ohm / 10f64.powf(digits.resistor_ohm.log10().floor());
    assert!(
        values.iter().any(|value| (value - mantissa).abs() < 1e-6),
        "{} is in E24 (IEC 60063)",
        digits.resistor_ohm
    );
}

/// Common practice, and NEC 225.18 for whoever would: what hangs over people is 12 V.
#[test]
fn no_mains_hangs_over_people() {
    let overhead = YARD.replace("strand = \"led-20-3in-12v\"", "strand = \"led-25-4in-120v\"");
    let plan = planned(&overhead);
    let noted: Vec<_> =
        plan.findings.iter().filter(|finding| finding.code == "hang/mains-overhead").collect();
    assert_eq!(noted.len(), 7, "every club");
    assert!(noted.iter().all(|finding| finding.severity == Severity::Danger && !finding.cures.is_empty()));
    for sheet in [Sheet::Wiring, Sheet::Firmware, Sheet::Hanging, Sheet::PutUp] {
        assert!(plan.withholds(sheet), "{}", sheet.title());
    }
    let cured = planned(YARD);
    assert!(!cured.findings.iter().any(|finding| finding.code == "hang/mains-overhead"));
    assert!(!cured.withholds(Sheet::Wiring) && !cured.withholds(Sheet::Firmware), "{:?}", electrical(&cured));
}

/// ULN2803AP data sheet, recommended operation: 123 mA with all eight on. A 20-lamp strand of 12 V draws 140 mA.
#[test]
fn a_sink_array_is_too_small_for_strands_and_a_transistor_board_is_not() {
    let array = format!("{YARD}[driver-board]\npart = \"sink-array-8\"\n");
    let plan = planned(&array);
    assert!(electrical(&plan).contains(&"drive/over-current"), "{:?}", electrical(&plan));
    assert!(plan.withholds(Sheet::Wiring) && plan.withholds(Sheet::Firmware));
    assert!(!planned(YARD).withholds(Sheet::Wiring));
}

#[test]
fn every_signal_has_a_return_and_every_light_a_way_back() {
    let plan = planned(YARD);
    for cable in &plan.cables {
        for conductor in &cable.conductors {
            assert!(
                cable.conductors.iter().any(|other| other.number == conductor.returns_on),
                "{} {}",
                cable.label,
                conductor.number
            );
        }
    }
    for channel in 0..plan.channels.len() {
        let path = plan.signal_paths.iter().find(|path| path.channel == channel);
        let path = path.unwrap_or_else(|| panic!("no way back for {}", plan.channels[channel].name));
        assert_eq!(path.by.last().map(String::as_str), Some("pin D11"));
        assert!(path.by.len() >= 4, "{:?}", path.by);
    }
}

#[test]
fn electrical_values_say_where_they_come_from() {
    let plan = planned(YARD);
    for place in [
        "/channels/0/current_a",
        "/channels/0/voltage_v",
        "/supply/needed_a",
        "/supply/rated_a",
        "/circuits/0/allowed_a",
        "/circuits/0/cord/drop_v",
        "/circuits/0/breaker_a",
        "/digits/0/resistor_ohm",
        "/cables/0/conductors/0/drop_v",
    ] {
        assert!(plan.origins.of(place).is_some(), "{place}");
    }
    let json = serde_json::to_value(&plan).unwrap();
    for (place, _) in plan.origins.iter() {
        assert!(json.pointer(place).is_some(), "{place} is not in the plan");
    }
}
