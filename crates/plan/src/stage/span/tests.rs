//! A span of seven clubs, as one would hang it, and each danger both ways.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

use super::*;
use finding::{Severity, Sheet};

fn by(key: &str, value: f64) -> Known<f64> {
    let path = source::KeyPath::dotted(key);
    Known::new(value, Origin::Written { file: "display.toml".into(), path })
}

const FOOT: f64 = 304.8;

fn clubs() -> Input {
    let end =
        |post: &str, feet: f64| End { post: post.into(), x_mm: feet * FOOT, tie_mm: by("test", 14.0 * FOOT) };
    Input {
        span: "clubs".into(),
        ends: [end("west", 0.0), end("east", 34.0)],
        rope: Line {
            part: "polyester-6mm".into(),
            breaking_n: 7500.0,
            kg_per_m: 0.026,
            stretch: 0.04,
            source: "test".into(),
        },
        hanger: Line {
            part: "polyester-3mm".into(),
            breaking_n: 1800.0,
            kg_per_m: 0.007,
            stretch: 0.04,
            source: "test".into(),
        },
        sag: by("span.clubs.sag", 0.05),
        parabola: true,
        top_mm: by("test", 10.5 * FOOT),
        outer_mm: by("span.clubs.hangs.ends", 9.5 * FOOT),
        object: Object {
            name: "club".into(),
            size_mm: [152.4, 355.6],
            mass_kg: by("test", 0.35),
            hangers: 2,
            tilt_deg: by("test", 20.0),
            outline_mm: vec![vec![
                [-76.2, -177.8],
                [76.2, -177.8],
                [76.2, 177.8],
                [-76.2, 177.8],
                [-76.2, -177.8],
            ]],
            strand: "led-20-4in-12v".into(),
            strand_v: 12.0,
            colour: "white".into(),
            lamps: 20,
            spots: (0..7).collect(),
        },
        units: Units::Inches,
    }
}

fn codes(input: &Input, severity: Severity) -> Vec<&'static str> {
    work(input).findings.iter().filter(|found| found.severity == severity).map(|found| found.code).collect()
}

fn withheld(input: &Input) -> Vec<Sheet> {
    let mut sheets: Vec<Sheet> =
        work(input).findings.iter().flat_map(|found| found.withholds.clone()).collect();
    sheets.sort_unstable();
    sheets.dedup();
    sheets
}

#[test]
fn the_clubs_hang_where_they_are_asked_to() {
    let input = clubs();
    let given = work(&input);
    assert!(codes(&input, Severity::Danger).is_empty(), "{:?}", given.findings);
    assert!(codes(&input, Severity::Fault).is_empty(), "{:?}", given.findings);
    let span = given.span.unwrap();
    assert_eq!(span.hung.len(), 7);
    // Five percent of 34 ft.
    assert!((span.sag_mm - 0.05 * 34.0 * FOOT).abs() < 0.1);
    // The middle club at the top, the outermost a foot lower, the path a parabola: a ninth of the rise lost one step out
    // of three, four ninths two steps out.
    let heights: Vec<f64> = span.hung.iter().map(|hung| (hung.at_mm[1] / FOOT - 10.5) * 9.0).collect();
    for (height, ninths) in heights.iter().zip([-9.0, -4.0, -1.0, 0.0, -1.0, -4.0, -9.0]) {
        assert!((height - ninths).abs() < 1e-6, "{heights:?}");
    }
    for hung in &span.hung {
        let [left, right] = [&hung.hangers[0], &hung.hangers[1]];
        // The two lengths and the rope between them set the tilt: the line through both fixings, turned back by it, is
        // level again (both were at one height while the club was upright).
        let (dx, dy) = (right.bottom_mm[0] - left.bottom_mm[0], right.bottom_mm[1] - left.bottom_mm[1]);
        assert!((libm::atan2(dy, dx).to_degrees() - 20.0).abs() < 1e-6);
        for line in [left, right] {
            assert!((line.top_mm[1] - line.bottom_mm[1] - line.length_mm).abs() < 1e-9);
            assert!((line.cut_mm - line.length_mm - 300.0).abs() < 1e-9, "two knots of 150 mm");
        }
        assert_eq!(hung.lamps_mm.len(), 20);
    }
    // The hangers end on the loaded rope: its drawn shape passes through their tops.
    for hanger in span.hung.iter().flat_map(|hung| &hung.hangers) {
        let pair = span.shape_mm.windows(2).find(|pair| pair[1][0] >= hanger.top_mm[0]).unwrap();
        let share = (hanger.top_mm[0] - pair[0][0]) / (pair[1][0] - pair[0][0]);
        let height = pair[0][1] + share * (pair[1][1] - pair[0][1]);
        assert!((height - hanger.top_mm[1]).abs() < 6.0, "{height} {}", hanger.top_mm[1]);
    }
    // Marks run along the rope from left to right.
    let marks: Vec<f64> = span.hung.iter().flat_map(|h| &h.hangers).map(|h| h.along_mm).collect();
    assert!(marks.is_sorted() && marks[0] > 0.0 && marks[13] < span.rope_mm);
}

#[test]
fn tension_is_that_of_the_beam_table() {
    let span = work(&clubs()).span.unwrap();
    // Beam tables: n equal loads P at n + 1 equal spaces bend a beam in its middle by P L (n + 1) / 8 (n odd); by the cable
    // theorem (Beer and Johnston 7.119) that is pull x sag, here 5 % of L. Rope and cable are an even load, w L^2 / 8.
    let hangers: f64 =
        span.hung.iter().flat_map(|hung| &hung.hangers).map(|line| line.length_mm / 1000.0).sum();
    let club = 0.35 + hangers * 0.007 / 7.0;
    let rope = (0.026 + 7.0 * 0.012) * span.rope_mm / 1000.0;
    let pull = 9.806_65 * (8.0 * club + rope) / (8.0 * 0.05);
    let half = 9.806_65 * (7.0 * club + rope) / 2.0;
    let by_hand = libm::hypot(pull, half);
    assert!((span.tension_n[0] / by_hand - 1.0).abs() < 0.02, "{} N, by hand {by_hand} N", span.tension_n[0]);
}

#[test]
fn a_taut_rope_is_a_danger_and_sag_is_its_cure() {
    let mut input = clubs();
    input.object.mass_kg.value = 2.5;
    input.sag.value = 0.03;
    assert!(codes(&input, Severity::Danger).contains(&"span/over-load"));
    assert_eq!(withheld(&input), [Sheet::Hanging, Sheet::PutUp]);
    let found = work(&input).findings.into_iter().find(|found| found.code == "span/over-load").unwrap();
    let (key, text) = found.cures.iter().find_map(|cure| cure.edit.clone()).unwrap();
    assert_eq!(key, source::KeyPath::dotted("span.clubs.sag"));
    // Taking the cure: ties high enough for the deeper rope.
    input.sag.value = text.trim_matches('"').trim_end_matches(" %").parse::<f64>().unwrap() / 100.0;
    for end in &mut input.ends {
        end.tie_mm.value = 18.0 * FOOT;
    }
    assert!(!codes(&input, Severity::Danger).contains(&"span/over-load"));
    input.object.mass_kg.value = 0.35;
    assert!(withheld(&input).is_empty());
}

#[test]
fn a_post_pulled_with_more_than_a_kilonewton_is_an_engineers() {
    let mut input = clubs();
    input.rope.breaking_n = 60_000.0;
    assert!(!codes(&input, Severity::Danger).contains(&"span/anchor-pull"));
    input.object.mass_kg.value = 7.0;
    assert_eq!(codes(&input, Severity::Danger).iter().filter(|code| **code == "span/anchor-pull").count(), 2);
    assert_eq!(withheld(&input), [Sheet::Hanging, Sheet::PutUp]);
    let found = work(&input).findings.into_iter().find(|found| found.code == "span/anchor-pull").unwrap();
    let (_, text) = found.cures.iter().find_map(|cure| cure.edit.clone()).unwrap();
    input.sag.value = text.trim_matches('"').trim_end_matches(" %").parse::<f64>().unwrap() / 100.0;
    assert!(!codes(&input, Severity::Danger).contains(&"span/anchor-pull"));
}

#[test]
fn low_clubs_are_a_danger_and_raising_them_gives_the_sheets_back() {
    let mut input = clubs();
    input.outer_mm.value = 7.0 * FOOT;
    assert_eq!(codes(&input, Severity::Danger), ["span/headroom"]);
    assert_eq!(withheld(&input), [Sheet::Hanging, Sheet::PutUp]);
    let found = work(&input).findings.into_iter().find(|found| found.code == "span/headroom").unwrap();
    let (_, text) = found.cures[0].edit.clone().unwrap();
    input.outer_mm.value = text.trim_matches('"').trim_end_matches(" mm").parse().unwrap();
    assert!(withheld(&input).is_empty());
    assert!(!codes(&input, Severity::Caution).contains(&"span/headroom"));
}

#[test]
fn mains_never_hangs_over_people() {
    let mut input = clubs();
    input.object.strand_v = 120.0;
    assert_eq!(codes(&input, Severity::Danger), ["span/mains-overhead"]);
    assert_eq!(withheld(&input), [Sheet::Hanging, Sheet::PutUp, Sheet::Wiring, Sheet::Firmware]);
    input.object.strand_v = 12.0;
    assert!(withheld(&input).is_empty());
}

#[test]
fn what_cannot_be_hung_is_said() {
    let mut input = clubs();
    input.top_mm.value = 13.9 * FOOT;
    assert!(codes(&input, Severity::Fault).contains(&"span/above-the-rope"));
    let mut input = clubs();
    input.sag.value = 0.0;
    assert_eq!(codes(&input, Severity::Fault), ["span/no-shape"]);
    let mut input = clubs();
    input.hanger.breaking_n = 40.0;
    assert!(codes(&input, Severity::Danger).contains(&"span/hanger-over-load"));
}

/// Rigging over people: a second line on everything, either of which bears it alone (common practice).
#[test]
fn what_hangs_over_people_hangs_from_two_lines_that_each_hold_it() {
    let mut input = clubs();
    assert!(!codes(&input, Severity::Danger).contains(&"span/one-line"));
    input.object.hangers = 1;
    assert!(codes(&input, Severity::Danger).contains(&"span/one-line"));
    assert_eq!(withheld(&input), [Sheet::Hanging, Sheet::PutUp]);
    // 0.35 kg weighs 3.43 N: a line that may bear 3.4 N breaks when its neighbour parts, one of 3.5 N does not. By hand:
    // breaking load = working load x 12 / what a knot leaves.
    let breaking = |working: f64| working * 12.0 / reckoning::rope::KNOT_LEAVES;
    for (working, fails) in [(3.40, true), (3.50, false)] {
        let mut input = clubs();
        input.hanger.breaking_n = breaking(working);
        assert_eq!(codes(&input, Severity::Danger).contains(&"span/hanger-over-load"), fails, "{working}");
    }
}

#[test]
fn one_line_holds_an_object_over_its_middle() {
    let mut input = clubs();
    input.object.hangers = 1;
    input.object.tilt_deg.value = 0.0;
    let span = work(&input).span.unwrap();
    for hung in &span.hung {
        assert_eq!(hung.hangers.len(), 1);
        assert!((hung.hangers[0].bottom_mm[0] - hung.at_mm[0]).abs() < 1e-9);
        assert!((hung.hangers[0].bottom_mm[1] - hung.at_mm[1] - 177.8).abs() < 1e-9);
    }
}

#[test]
fn a_rope_that_fails_in_a_breeze_is_a_danger_and_more_sag_is_its_cure() {
    let mut input = clubs();
    let note =
        |input: &Input| work(input).findings.into_iter().find(|found| found.code == "span/take-in").unwrap();
    assert_eq!(note(&input).severity, Severity::Note);
    assert!(note(&input).verdict.starts_with("Take clubs in before gusts of "), "{}", note(&input).verdict);
    // A thinner rope still bears the clubs on a calm evening, but not twenty miles an hour.
    input.rope.breaking_n = 2800.0;
    assert_eq!(codes(&input, Severity::Danger), ["span/take-in"]);
    assert_eq!(withheld(&input), [Sheet::Hanging, Sheet::PutUp]);
    let (_, text) = note(&input).cures[0].edit.clone().unwrap();
    input.sag.value = text.trim_matches('"').trim_end_matches(" %").parse::<f64>().unwrap() / 100.0;
    assert!(withheld(&input).is_empty(), "{:?}", work(&input).findings);
}
