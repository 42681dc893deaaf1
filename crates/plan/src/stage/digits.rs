//! Digits: how many LEDs behind a segment, in which rows, with which resistor; where the segments lie.

use crate::Origins;
use crate::note::{Also, amperes, finding, rating, used, value, worked, working, works_out};
use finding::{Finding, Severity, Sheet};
use reckoning::of::{amperes as amps, ohms, volts};
use reckoning::{heat, led, segments};
use serde::Serialize;
use uom::si::f64::Length;
use uom::si::length::millimeter;

/// How far a supply may be off, either way. Common practice for listed adapters: 5 %.
const SUPPLY_SPREAD: f64 = 0.05;

/// Current over the rated one that is a reason to say something: a quarter.
const CURRENT_SPREAD: f64 = 1.25;

/// Closest that LEDs are set, beyond their own diameter. Common practice.
const LAND_MM: f64 = 5.0;

/// Gap between the ends of neighbouring segments, as a share of the stroke. Common practice.
const GAP_SHARE: f64 = 0.6;

/// Gap between two digits, as a share of a digit's width. Common practice.
const BETWEEN_SHARE: f64 = 0.4;

/// What the stage takes.
#[derive(Serialize)]
pub(crate) struct Input<'a> {
    pub(crate) name: &'a str,
    pub(crate) height_mm: f64,
    pub(crate) led: &'a str,
    pub(crate) led_v: f64,
    pub(crate) led_a: f64,
    pub(crate) led_hole_mm: f64,
    pub(crate) supply_v: f64,
    /// Whether the board's outputs are Darlington switches, which keep a volt.
    pub(crate) darlington: bool,
    /// Pitch at which the farthest viewer sees a line.
    pub(crate) wished_mm: f64,
    /// Kinds of resistor by their greatest power, smallest first.
    pub(crate) resistors: Vec<(String, f64)>,
}

/// What the stage gives.
#[derive(Clone, Debug, Default, Serialize)]
pub(crate) struct Design {
    pub(crate) width_mm: f64,
    pub(crate) pitch_mm: f64,
    pub(crate) segments_mm: Vec<[f64; 4]>,
    pub(crate) leds_in_series: u32,
    pub(crate) rows: u32,
    pub(crate) resistor: String,
    pub(crate) resistor_ohm: f64,
    pub(crate) resistor_w: f64,
    pub(crate) segment_a: f64,
    /// The same at the supply's lower and upper end.
    pub(crate) spread_a: [f64; 2],
    /// Where it came from, by place in the digits.
    pub(crate) origins: Origins,
    pub(crate) findings: Vec<Finding>,
}

pub(crate) fn work(input: &Input<'_>) -> Design {
    let width = input.height_mm * segments::WIDTH_SHARE;
    let mut design = Design {
        width_mm: width,
        pitch_mm: width * (1.0 + BETWEEN_SHARE),
        segments_mm: lines(width, input.height_mm),
        ..Design::default()
    };
    let switch = left_on_switch(input);
    let most = led::most_in_series(volts(input.supply_v), volts(input.led_v), volts(switch));
    if most == 0 {
        design.findings.push(too_little(input, switch));
        return design;
    }
    let leds = wanted(input);
    design.leds_in_series = in_series(leds, most);
    design.rows = leds.div_ceil(design.leds_in_series);
    resistor(input, switch, &mut design);
    design.origins = origins(input);
    design
}

fn origins(input: &Input<'_>) -> Origins {
    let mut origins = Origins::default();
    for (place, formula, inputs) in [
        ("/leds_in_series", "most-in-series", "supply, forward voltage, voltage left on the switch"),
        ("/rows", "segment-leds", "segment length, pitch, LEDs in series"),
        ("/resistor_ohm", "e24-up", "exact resistance"),
        ("/resistor_w", "resistor-watts", "current at the supply's upper end, resistor"),
        ("/segment_a", "segments-current", "rows, LED current"),
    ] {
        works_out(&mut origins, &[place], formula, &[inputs]);
    }
    origins.note("/led", rating(input.led, "voltage"));
    origins.note("/colour", rating(input.led, "colour"));
    origins
}

/// What the board's switch keeps for itself.
fn left_on_switch(input: &Input<'_>) -> f64 {
    if input.darlington { heat::array_saturation(amps(input.led_a)).value } else { 0.0 }
}

/// LEDs of a segment: the farthest viewer sees a line, and they do not touch.
fn wanted(input: &Input<'_>) -> u32 {
    let mm = Length::new::<millimeter>;
    let segment = segments::segment_length(mm(input.height_mm));
    let closest = input.led_hole_mm + LAND_MM;
    segments::leds(segment, mm(input.wished_mm.max(closest)), 1)
}

/// LEDs in one row: as few rows as can be, so that less is burnt in resistors, with at most a third more LEDs than wished.
fn in_series(leds: u32, most: u32) -> u32 {
    let waste = |k: u32| leds.div_ceil(k) * k - leds;
    (1..=most).filter(|&k| waste(k) <= leds / 3).min_by_key(|&k| (leds.div_ceil(k), waste(k))).unwrap_or(1)
}

fn resistor(input: &Input<'_>, switch: f64, design: &mut Design) {
    let row = design.leds_in_series;
    let current = |supply: f64, ohm: f64| {
        led::current(volts(supply), row, volts(input.led_v), volts(switch), ohms(ohm)).value
    };
    let exact = led::series_resistor(
        volts(input.supply_v),
        row,
        volts(input.led_v),
        volts(switch),
        amps(input.led_a),
    );
    let ohm = led::e24_up(exact).value;
    let one = current(input.supply_v, ohm);
    let [low, high] =
        [1.0 - SUPPLY_SPREAD, 1.0 + SUPPLY_SPREAD].map(|share| current(input.supply_v * share, ohm));
    design.resistor_ohm = ohm;
    design.resistor_w = led::resistor_watts(amps(high), ohms(ohm)).value;
    design.segment_a = segments::segments_current(design.rows, amps(one)).value;
    design.spread_a = [low, high].map(|one| segments::segments_current(design.rows, amps(one)).value);
    let bears = |power: f64| power * led::WATTS_SHARE >= design.resistor_w;
    match input.resistors.iter().find(|(_, power)| bears(*power)) {
        Some((kind, _)) => design.resistor.clone_from(kind),
        None => design.findings.push(too_hot(input, design)),
    }
    design.findings.extend(spread(input, design, one, [low, high]));
}

fn inputs(input: &Input<'_>, design: &Design) -> Vec<finding::Value> {
    vec![
        value("supply", format!("{} V", input.supply_v), rating("supply", "voltage")),
        value(
            "LEDs in series",
            design.leds_in_series.to_string(),
            worked("most-in-series", &["supply", "forward voltage"]),
        ),
        value("forward voltage", format!("{} V", input.led_v), rating(input.led, "voltage")),
        value(
            "voltage left on the switch",
            format!("{:.1} V", left_on_switch(input)),
            worked("array-saturation", &["current"]),
        ),
        value("resistor", format!("{:.0} ohm", design.resistor_ohm), worked("e24-up", &["exact resistance"])),
    ]
}

/// One line when all is well; a word of caution when the supply's own tolerance drives the LEDs too hard.
fn spread(input: &Input<'_>, design: &Design, one: f64, [low, high]: [f64; 2]) -> Option<Finding> {
    let limit = input.led_a * CURRENT_SPREAD;
    let passes = high <= limit;
    let verdict = if passes {
        format!(
            "A segment is {} x {} LEDs with {:.0} ohm a row: {}, {} to {} over the supply's tolerance",
            design.rows,
            design.leds_in_series,
            design.resistor_ohm,
            amperes(one),
            amperes(low),
            amperes(high)
        )
    } else {
        format!(
            "{} swing from {} to {} over the supply's tolerance of 5 %",
            input.led,
            amperes(low),
            amperes(high)
        )
    };
    let severity = if passes { Severity::Note } else { Severity::Caution };
    let noted = finding("digits/current", severity, "digits", &[input.name], verdict).working(working(
        "led-current",
        inputs(input, design),
        amperes(high),
        Some((amperes(limit), "a quarter over the rated current, our threshold".into())),
        Some(used(high, limit)),
    ));
    Some(if passes {
        noted
    } else {
        noted.cure("Use fewer LEDs in a row, so that more stands across the resistor", None)
    })
}

fn too_little(input: &Input<'_>, switch: f64) -> Finding {
    finding(
        "digits/led-voltage",
        Severity::Fault,
        "digits",
        &[input.name],
        format!(
            "{} needs {} V and the switch keeps {switch:.1} V; {} V leave too little for a resistor",
            input.led, input.led_v, input.supply_v
        ),
    )
    .cure("Use a supply of higher voltage or another LED", None)
}

fn too_hot(input: &Input<'_>, design: &Design) -> Finding {
    finding(
        "digits/resistor-heat",
        Severity::Danger,
        "digits",
        &[input.name],
        format!(
            "The resistors of {} would take {:.2} W each; none on the shelf bears that",
            input.name, design.resistor_w
        ),
    )
    .working(working(
        "resistor-watts",
        inputs(input, design),
        format!("{:.2} W", design.resistor_w),
        input
            .resistors
            .last()
            .map(|(kind, power)| (format!("half of {power} W"), format!("{kind}; common practice"))),
        None,
    ))
    .cure("Put more LEDs in a row, or use resistors of higher power", None)
    .withholds(&[Sheet::Wiring, Sheet::Firmware])
}

/// The middles of the seven segments from end to end, from the digit's lower left corner.
fn lines(width: f64, height: f64) -> Vec<[f64; 4]> {
    let stroke = height * segments::STROKE_SHARE;
    let (half, gap) = (stroke / 2.0, stroke * GAP_SHARE);
    let (left, right, low, middle, top) = (half, width - half, half, height / 2.0, height - half);
    let level = |y: f64| [left + gap, y, right - gap, y];
    let upright = |x: f64, from: f64, to: f64| [x, from - gap, x, to + gap];
    vec![
        level(top),
        upright(right, top, middle),
        upright(right, middle, low),
        level(low),
        upright(left, middle, low),
        upright(left, top, middle),
        level(middle),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn design(led_v: f64, supply_v: f64, height_mm: f64) -> Design {
        work(&Input {
            name: "rally",
            height_mm,
            led: "red-5mm",
            led_v,
            led_a: 0.02,
            led_hole_mm: 5.0,
            supply_v,
            darlington: true,
            wished_mm: 22.0,
            resistors: vec![("quarter-watt".into(), 0.25), ("half-watt".into(), 0.5)],
        })
    }

    /// Common practice: three small LEDs behind a segment of a hand-high digit.
    #[test]
    fn a_hand_high_digit_has_three_leds_in_a_row() {
        let design = design(2.0, 12.0, 90.0);
        assert_eq!((design.rows, design.leds_in_series), (1, 3));
        // 12 V - 3 x 2.0 V - 1.1 V at 20 mA is 245 ohm; the next value of IEC 60063 is 270 ohm.
        assert!((design.resistor_ohm - 270.0).abs() < 1e-9, "{}", design.resistor_ohm);
        assert!((design.segment_a - 4.9 / 270.0).abs() < 1e-9);
        assert_eq!(design.resistor, "quarter-watt");
    }

    /// Theory: the row current is (supply - row - switch) / resistor; a white row of two leaves 4.5 V, which 5 % of 12 V
    /// moves by 13 %.
    #[test]
    fn the_spread_is_said() {
        let design = design(3.2, 12.0, 90.0);
        let [low, high] = design.spread_a;
        assert!(high / design.segment_a > 1.1 && low / design.segment_a < 0.9);
    }

    /// Five LEDs would need five resistors of their own; six make two rows of three.
    #[test]
    fn few_rows_are_better_than_no_led_too_many() {
        assert_eq!([3, 4, 5, 6, 7, 8, 9, 11].map(|leds| in_series(leds, 4)), [3, 4, 3, 3, 4, 4, 3, 4]);
        assert_eq!(in_series(5, 1), 1);
    }

    #[test]
    fn an_led_that_takes_the_whole_supply_is_a_fault() {
        let design = design(3.2, 5.0, 90.0);
        assert_eq!(
            design.findings.iter().map(|finding| finding.code).collect::<Vec<_>>(),
            ["digits/led-voltage"]
        );
    }

    /// Half of what is printed on a resistor may be turned into heat (common practice): nothing on the shelf bears what a
    /// row leaves over at 150 mA, where quarter and half watts bear that of 20 mA.
    #[test]
    fn a_resistor_that_gets_too_hot_is_a_danger_and_a_greater_one_cures_it() {
        let with = |resistors: &[(&str, f64)]| {
            work(&Input {
                name: "rally",
                height_mm: 90.0,
                led: "bright",
                led_v: 2.0,
                led_a: 0.15,
                led_hole_mm: 5.0,
                supply_v: 12.0,
                darlington: false,
                wished_mm: 22.0,
                resistors: resistors.iter().map(|(kind, power)| ((*kind).to_owned(), *power)).collect(),
            })
        };
        let hot = with(&[("quarter-watt", 0.25), ("half-watt", 0.5)]);
        let codes: Vec<&str> = hot.findings.iter().map(|finding| finding.code).collect();
        assert!(codes.contains(&"digits/resistor-heat"), "{codes:?}");
        let danger = hot.findings.iter().find(|finding| finding.code == "digits/resistor-heat");
        assert!(danger.is_some_and(|danger| danger.severity == Severity::Danger
            && danger.withholds == [Sheet::Wiring, Sheet::Firmware]
            && !danger.cures.is_empty()));
        let cool = with(&[("quarter-watt", 0.25), ("five-watt", 5.0)]);
        assert!(cool.findings.iter().all(|finding| finding.code != "digits/resistor-heat"));
        assert_eq!(cool.resistor, "five-watt");
    }

    #[test]
    fn segments_lie_inside_the_digit_and_mirror_each_other() {
        let (width, height) = (110.0, 200.0);
        let lines = lines(width, height);
        assert_eq!(lines.len(), 7);
        for [x1, y1, x2, y2] in &lines {
            assert!([x1, x2].iter().all(|x| (0.0..=width).contains(*x)));
            assert!([y1, y2].iter().all(|y| (0.0..=height).contains(*y)));
        }
        assert!((lines[1][0] + lines[5][0] - width).abs() < 1e-9, "b and f");
        assert!((lines[0][1] + lines[3][1] - height).abs() < 1e-9, "a and d");
    }
}
