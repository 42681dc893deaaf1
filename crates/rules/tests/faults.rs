//! Broken rules, one for each code: the code, the line and column, and the very words underlined.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic, reason = "test code: a panic is a failed test")]

use finding::{Fault, one_line};
use rules::interface::{DigitsName, FigureName, Interface, SpotName};
use source::{LineColumn, Text};

/// Five lines in which nothing is wrong; what is wrong begins on line 6.
const SOUND: &str = "machine fox\nstate a\nstate b\na after 10 ms go b\nb after 10 ms go a\n";

fn interface() -> Interface {
    let figure =
        |name: &str, poses: [&str; 2]| FigureName { name: name.into(), poses: poses.map(Into::into).into() };
    let spot = |name: &str, count, dims| SpotName { name: name.into(), count, dims };
    Interface {
        figures: vec![figure("fox", ["left", "right"]), figure("owl", ["left", "asleep"])],
        buttons: vec!["wave".into(), "bell".into()],
        spots: vec![spot("lamp", 1, false), spot("club", 7, false), spot("glow", 1, true)],
        digits: vec![DigitsName { name: "rally".into(), count: 2 }],
        sounds: vec!["splash".into()],
    }
}

fn read(rules: &str) -> (Text, Vec<Fault>) {
    let text = Text::new("a.rules", rules);
    let (_, faults) = rules::read(&text, &interface());
    (text, faults)
}

fn check(code: &str, rules: &str, line: usize, column: usize, underlined: &str) {
    let (text, faults) = read(rules);
    let shown: Vec<String> =
        faults.iter().map(|fault| one_line(fault, std::slice::from_ref(&text))).collect();
    let found: Vec<&Fault> = faults.iter().filter(|fault| fault.code == code).collect();
    assert_eq!(found.len(), 1, "{code} in {rules:?} gives {shown:#?}");
    let place = found[0].place.as_ref().unwrap();
    assert_eq!(text.line_column(place.start), LineColumn { line, column }, "{shown:#?}");
    assert_eq!(text.at(place), underlined, "{shown:#?}");
    assert!(found[0].expected.is_some(), "{shown:#?}");
    let stopping = faults.iter().filter(|fault| fault.stops()).count();
    assert_eq!(stopping, usize::from(found[0].stops()), "one slip, one fault: {shown:#?}");
}

#[test]
fn what_is_sound_has_no_fault() {
    let (_, faults) = read(SOUND);
    assert!(faults.iter().all(|fault| fault.code == "rules/pose-unshown"), "{faults:#?}");
    assert_eq!(faults.len(), 4, "the poses that nobody shows");
}

/// Code, text behind the sound lines, line, column, underlined.
type Slip = (&'static str, &'static str, usize, usize, &'static str);

const STATEMENTS: [Slip; 17] = [
    ("rules/character", "? a", 6, 1, "?"),
    ("rules/syntax", "a on knock go b", 6, 6, "knock"),
    ("rules/syntax", "a on press wave", 6, 16, ""),
    ("rules/syntax", "a when 1 == 2 go b", 6, 10, "=="),
    ("rules/statement", "numbr x 0..9", 6, 1, "numbr"),
    ("rules/reserved", "state go", 6, 7, "go"),
    ("rules/chained", "a when 1 < 2 < 3 go b", 6, 14, "<"),
    ("rules/pick-place", "a after 10 ms do n = 1 + pick 1..2 go b", 6, 26, "pick"),
    ("rules/tick", "tick 500 ms", 6, 6, "500 ms"),
    ("rules/seed", "seed 3 s", 6, 6, "3 s"),
    ("rules/duplicate", "state a", 6, 7, "a"),
    ("rules/duplicate", "machine fox\nstate x", 6, 9, "fox"),
    ("rules/no-sides", "machine m per side\nstate x", 6, 11, "per side"),
    ("rules/no-state", "machine empty", 6, 9, "empty"),
    ("rules/empty-range", "number n 9..0", 6, 10, "9..0"),
    ("rules/start-outside", "number n 0..9 = 10", 6, 17, "10"),
    ("rules/constant-needed", "number n 0..9\na after n go b", 7, 9, "n"),
];

const NAMES: [Slip; 14] = [
    ("rules/unknown-machine", "a when owll is a go b", 6, 8, "owll"),
    ("rules/unknown-state", "a on press wave go c", 6, 20, "c"),
    ("rules/unknown-timer", "a on timer t go b", 6, 12, "t"),
    ("rules/unknown-number", "a when x > 1 go b", 6, 8, "x"),
    ("rules/unknown-button", "a on press wav go b", 6, 12, "wav"),
    ("rules/unknown-spot", "state c lights lmp", 6, 16, "lmp"),
    ("rules/unknown-digits", "number n 0..9 shown on raly", 6, 24, "raly"),
    ("rules/unknown-figure", "state c shows fix left", 6, 15, "fix"),
    ("rules/unknown-pose", "state c shows fox up", 6, 19, "up"),
    ("rules/which-figure", "state c shows left", 6, 15, "left"),
    ("rules/which-button", "a on press button go b", 6, 12, "button"),
    ("rules/side-outside", "a on press side.button go b", 6, 12, "side"),
    ("rules/message-unsent", "a on message hop go b", 6, 14, "hop"),
    ("rules/foreign-write", "a on press wave do owl.x = 1 go b", 6, 20, "owl.x"),
];

const VALUES: [Slip; 13] = [
    ("rules/kind", "a when 1 + 2 go b", 6, 8, "1 + 2"),
    ("rules/kind", "a when (1 = 1) + 2 > 0 go b", 6, 8, "(1 = 1)"),
    ("rules/unit-missing", "a after 25 go b", 6, 9, "25"),
    ("rules/whole-ticks", "a after 25 ms go b", 6, 9, "25 ms"),
    ("rules/too-short", "a after 0 ms go b", 6, 9, "0 ms"),
    ("rules/overflow", "a when 2000000000 + 2000000000 > 1 go b", 6, 8, "2000000000 + 2000000000"),
    ("rules/overflow", "a after 99999999999999999999 min go b", 6, 9, "99999999999999999999 min"),
    ("rules/zero-divisor", "a when 1 / 0 = 1 go b", 6, 12, "0"),
    ("rules/negative-remainder", "a when -1 % 3 = 1 go b", 6, 8, "-1"),
    ("rules/pick-range", "number n 0..9\na on press wave do n = pick 0..65536 go b", 7, 24, "pick 0..65536"),
    ("rules/timer-word", "timer t\na when t is late go b", 7, 13, "late"),
    ("rules/digits-narrow", "number n 0..100 shown on rally", 6, 8, "n"),
    ("rules/digits-taken", "number n 0..9 shown on rally\nnumber m 0..9 shown on rally", 7, 24, "rally"),
];

const GROWN: [Slip; 31] = [
    ("rules/duplicate", "constant n = 1\nconstant n = 2", 7, 10, "n"),
    ("rules/duplicate", "setting n 0..9\nsetting n 0..9", 7, 9, "n"),
    ("rules/duplicate", "condition n = fox is a\ncondition n = fox is b\na when n stay", 7, 11, "n"),
    ("rules/duplicate", "claim n never fox is a\nclaim n always fox is a", 7, 7, "n"),
    ("rules/duplicate", "remember wave for 1 s\nremember wave for 2 s", 7, 10, "wave"),
    ("rules/duplicate", "bag n of 1..2\nbag n of 1..2", 7, 5, "n"),
    ("rules/syntax", "number n 0..9 kept kept", 6, 20, "kept"),
    ("rules/syntax", "state c writes 1 at rally", 6, 18, "at"),
    ("rules/syntax", "claim c on press wave leads fox is b", 6, 29, "fox"),
    ("rules/limits", "constant pace = 1 s from 100 ms to 900 ms", 6, 17, "1 s"),
    ("rules/limit-unit", "constant pace = 100 ms from 10 to 900 ms", 6, 29, "10"),
    ("rules/limit-unit", "constant few = 1 from 0 to 900 ms", 6, 28, "900 ms"),
    ("rules/empty-range", "constant few = 1 from 9 to 0", 6, 23, "9 to 0"),
    ("rules/empty-range", "bag kick of 4..1", 6, 13, "4..1"),
    ("rules/bag-range", "bag kick of 0..30", 6, 13, "0..30"),
    ("rules/unknown-bag", "number n 0..9\na on press wave do n = draw kik go b", 7, 29, "kik"),
    ("rules/unknown-sound", "a on press wave do play splsh go b", 6, 25, "splsh"),
    ("rules/unknown-digits", "state c writes 1 on raly", 6, 21, "raly"),
    ("rules/digits-narrow", "number n 0..100\nstate c writes n on rally", 7, 16, "n"),
    ("rules/digits-taken", "state c writes 1 on rally writes 2 on rally", 6, 39, "rally"),
    (
        "rules/button-in-light",
        "state c writes max(1, 2) on rally lights lamp when pressed wave",
        6,
        52,
        "pressed wave",
    ),
    ("rules/time-left-place", "timer t\na when time left t = 1 go b", 7, 8, "time left t"),
    ("rules/unknown-timer", "state c writes time left t on rally", 6, 26, "t"),
    ("rules/too-short", "remember wave for 0 ms", 6, 19, "0 ms"),
    ("rules/too-short", "state c lights glow fading 0 to 255 over 0 s", 6, 42, "0 s"),
    ("rules/whole-ticks", "state c lights glow fading 0 to 255 over 15 ms", 6, 42, "15 ms"),
    ("rules/cannot-dim", "state c lights lamp fading 0 to 255 over 1 s", 6, 28, "0 to 255 over 1 s"),
    ("rules/unknown-number", "state c lights glow at spot", 6, 24, "spot"),
    ("rules/condition-order", "condition n = m\ncondition m = fox is a\na when n and m stay", 6, 15, "m"),
    ("rules/button-in-claim", "claim c never held wave", 6, 15, "held wave"),
    ("rules/claim-cause", "claim c on timer t leads to fox is b within 1 s", 6, 18, "t"),
];

const LIGHT: [Slip; 9] = [
    ("rules/button-in-light", "state c lights lamp when held wave", 6, 26, "held wave"),
    ("rules/two-poses", "state c shows fox left shows fox right", 6, 30, "fox right"),
    ("rules/figure-taken", "state c shows fox left\nmachine m\nstate x shows fox left", 8, 15, "fox left"),
    ("rules/index-missing", "state c lights club", 6, 16, "club"),
    ("rules/index-outside", "state c lights club[8]", 6, 21, "8"),
    ("rules/index-may-leave", "number n 0..9\nstate c lights club[n]", 7, 21, "n"),
    ("rules/level-outside", "state c lights glow at 256", 6, 24, "256"),
    ("rules/cannot-dim", "state c lights lamp at 128", 6, 24, "128"),
    ("rules/level-may-leave", "number n 0..999\nstate c lights glow at n", 7, 24, "n"),
];

const CAUTIONS: [Slip; 8] = [
    ("rules/unreachable", "state c", 6, 7, "c"),
    ("rules/no-way-out", "state c\na on press wave go c", 6, 7, "c"),
    ("rules/never-fires", "a on press wave go b\na on press wave go a", 7, 1, "a on press wave go a"),
    ("rules/message-unheard", "a on press wave do send hop go b", 6, 25, "hop"),
    ("rules/timer-unused", "timer t", 6, 7, "t"),
    ("rules/condition-unused", "condition quiet = fox is a", 6, 11, "quiet"),
    (
        "rules/digits-shared",
        "state c writes 1 on rally\nmachine m\nstate x writes 2 on rally",
        8,
        21,
        "rally",
    ),
    ("rules/timer-unused", "timer t\na on press wave do start t for 1 s go b", 6, 7, "t"),
];

#[test]
fn every_slip_is_met_where_it_stands() {
    for (code, slip, line, column, underlined) in
        STATEMENTS.into_iter().chain(NAMES).chain(VALUES).chain(GROWN).chain(LIGHT).chain(CAUTIONS)
    {
        check(code, &format!("{SOUND}{slip}\n"), line, column, underlined);
    }
}

const SETTLED: [Slip; 12] = [
    ("rules/claim-settled", "claim c always fox is a or fox is b", 6, 7, "c"),
    ("rules/claim-settled", "claim c never not (fox is b or fox is a)", 6, 7, "c"),
    ("rules/claim-settled", "number n 0..9\nclaim c never fox is a and fox.n = 1 and fox is b", 7, 7, "c"),
    (
        "rules/claim-settled",
        "number n 0..9\nclaim c always fox.n = 1 or fox is a or not fox.n = 1",
        7,
        7,
        "c",
    ),
    ("rules/claim-settled", "claim c never fox is a and fox is b", 6, 7, "c"),
    ("rules/claim-settled", "claim c always fox is a or not fox is a", 6, 7, "c"),
    ("rules/claim-settled", "claim c never fox is lost\nstate lost", 6, 7, "c"),
    ("rules/claim-settled", "number n 0..9\nclaim c always fox.n <= 9", 7, 7, "c"),
    ("rules/claim-settled", "number n 0..9\nclaim c never fox.n = 10", 7, 7, "c"),
    ("rules/claim-settled", "number n 0..9\nclaim c always fox.n = fox.n", 7, 7, "c"),
    ("rules/claim-settled", "number n 0..9\nclaim c when fox is a leads to fox.n >= 0 within 1 s", 7, 7, "c"),
    ("rules/claim-settled", "number n 0..9\nclaim c when fox.n < 0 leads to fox is b within 1 s", 7, 7, "c"),
];

#[test]
fn a_spot_that_two_machines_light_at_once_is_met_unless_something_keeps_them_apart() {
    let shared = |first: &str, second: &str| {
        format!(
            "{SOUND}state c {first}\na on press wave go c\nc on press wave go a\nmachine m\nstate x {second}\n"
        )
    };
    check("rules/spot-shared", &shared("lights lamp", "lights lamp"), 10, 16, "lamp");
    check("rules/spot-shared", &shared("lights club[2]", "lights club[2]"), 10, 16, "club");
    for (first, second) in [
        ("lights lamp", "lights glow"),
        ("lights club[2]", "lights club[3]"),
        ("lights lamp", "lights lamp when not fox is c"),
        ("lights lamp when m is x", "lights lamp"),
        ("lights lamp lights lamp", ""),
    ] {
        let (_, faults) = read(&shared(first, second));
        assert!(faults.iter().all(|fault| fault.code != "rules/spot-shared"), "{first}: {faults:#?}");
    }
}

#[test]
fn a_claim_that_no_play_can_break_is_met_and_one_that_a_play_can_is_not() {
    for (code, slip, line, column, underlined) in SETTLED {
        check(code, &format!("{SOUND}{slip}\n"), line, column, underlined);
    }
    let open = [
        "claim c never fox is b",
        "claim c always fox is a or fox is b\nstate c\na on press wave go c\nc after 1 s go a",
        "claim c always not (fox is a and fox.n = 1) or fox is b\nnumber n 0..9",
        "claim c never not fox is a and not fox.n = 1\nnumber n 0..9",
        "claim c when fox is a leads to fox is b within 1 s",
        "number n 0..9\nclaim c never fox.n = 9",
        "number n 0..9\nclaim c always fox.n < 9",
        "number n 0..9\nclaim c always fox.n > 0",
        "number n 0..9\nclaim c when fox.n > 8 leads to fox.n <= 8 within 1 s",
    ];
    for claim in open {
        let (_, faults) = read(&format!("{SOUND}{claim}\n"));
        assert!(faults.iter().all(|fault| fault.code != "rules/claim-settled"), "{claim}: {faults:#?}");
    }
}

#[test]
fn slips_that_need_a_text_of_their_own() {
    check("rules/outside-machine", "state a", 1, 1, "state");
    let sided = "sides west, east\nmachine j per side\nstate a\nmachine k\nstate b\nb when j is a stay\n";
    check("rules/side-needed", sided, 6, 8, "j");
    let other = "sides a, b, c\nmachine j per side\nstate s\ns when j.other is s stay\n";
    check("rules/side-outside", other, 4, 10, "other");
    let sender = format!(
        "{SOUND}a on press wave do send hop go b\nmachine m\nstate x\nx on message hop from m stay\n"
    );
    check("rules/message-sender", &sender, 9, 23, "m");
    let deep = format!("{SOUND}a when {} go b\n", "(".repeat(80));
    check("rules/too-deep", &deep, 6, 73, "(");
    let long = format!("{SOUND}a when 1{} > 0 go b\n", "+1".repeat(70));
    check("rules/too-deep", &long, 6, 8, &format!("1{}", "+1".repeat(64)));
    let many: String = (0..251).map(|m| format!("machine m{m}\nstate s\n")).collect();
    check("rules/too-many", &many, 501, 9, "m250");
}

/// Two sides; the machine that answers both begins on line 2.
const SIDED: &str = "sides west, east\nmachine m\n";

fn sided(code: &str, rules: &str, line: usize, column: usize, underlined: &str) {
    let text = Text::new("a.rules", format!("{SIDED}{rules}"));
    let buttons = ["west", "east", "west.bell", "start"].map(Into::into).into();
    let (_, faults) = rules::read(&text, &Interface { buttons, ..Interface::default() });
    let found: Vec<&Fault> = faults.iter().filter(|fault| fault.stops()).collect();
    if code.is_empty() {
        assert!(found.is_empty(), "{rules}: {found:#?}");
        return;
    }
    assert_eq!(found.iter().map(|fault| fault.code).collect::<Vec<_>>(), [code], "{rules}");
    let place = found[0].place.as_ref().unwrap();
    assert_eq!(text.line_column(place.start), LineColumn { line, column });
    assert_eq!(text.at(place), underlined);
}

#[test]
fn a_tie_is_met_where_only_the_order_of_lines_decides() {
    let two = "state a\nstate b\nb on press start go a\n";
    let tie = |east: &str| format!("{two}a on press west go b\na on press {east}\n");
    sided("rules/tie", &tie("east stay"), 7, 1, "a on press east stay");
    sided("", &tie("east go b"), 0, 0, "");
    sided("", &tie("start stay"), 0, 0, "");
    sided("", &tie("west.bell stay"), 0, 0, "");
    sided("", &format!("ties west\n{}", tie("east stay")), 0, 0, "");
    sided("", &format!("ties at random\n{}", tie("east stay")), 0, 0, "");
    let apart =
        "number n 0..9\nstate a\na on press west if n < 3 do n = 4 stay\na on press east if n >= C stay\n";
    sided("", &apart.replace('C', "3"), 0, 0, "");
    sided("rules/tie", &apart.replace('C', "2"), 6, 1, "a on press east if n >= 2 stay");
    let hands = "state a\nstate b\nb on press start go a\na when hand.west is shut go b\na when hand.east is WORD stay\n\
                 machine hand per side\nstate open\nstate shut\nopen on press button go shut\nshut after 10 ms go open\n";
    sided("rules/tie", &hands.replace("WORD", "shut"), 7, 1, "a when hand.east is shut stay");
    sided("", &hands.replace("WORD", "open"), 0, 0, "");
    sided("rules/unknown-side", &format!("ties wst\n{}", tie("east stay")), 3, 6, "wst");
    sided("rules/duplicate", &format!("ties west\nties east\n{}", tie("east stay")), 4, 1, "ties");
    sided("rules/ties-alone", "state x\nmachine n per side\nties west\nstate a\n", 5, 1, "ties west");
}

#[test]
fn the_value_of_a_slider_is_found_by_its_name() {
    let text =
        Text::new("a.rules", "constant a = 1\nconstant pace = 40 ms + 20 ms from 10 ms to 90 ms # slow\n");
    let (form, faults) = rules::read(&text, &Interface::default());
    assert!(faults.is_empty(), "{faults:#?}");
    let slider = &form.sliders[0];
    assert_eq!((slider.value, slider.min, slider.max, form.sliders.len()), (60, 10, 90, 1));
    assert_eq!(text.at(&rules::constant_place(&text, "pace").unwrap()), "40 ms + 20 ms");
    assert_eq!(rules::constant_place(&text, "b"), None);
}

/// As it stands in the text: no spaces around it, no comment behind, brackets whole.
#[test]
fn the_words_of_a_claim_are_found() {
    let words = ["never(a and (b))", "always  (a or b)", "on press west if a leads to (b) within (1 s)"];
    let lines: Vec<String> =
        words.iter().enumerate().map(|(k, words)| format!("claim c{k} {words}   # and so on\n")).collect();
    let text = Text::new("a.rules", lines.concat());
    for (k, words) in words.iter().enumerate() {
        let place = rules::claim_place(&text, &format!("c{k}")).unwrap();
        assert_eq!(text.at(&place).trim(), *words);
    }
    assert_eq!(rules::claim_place(&text, "c3"), None);
}

#[test]
fn conditions_within_conditions_do_not_grow_without_end() {
    let mut rules = String::from("condition c0 = 1 = 1\n");
    for n in 1..200 {
        rules.push_str(&format!("condition c{n} = not c{}\n", n - 1));
    }
    let text = Text::new("a.rules", rules);
    let (_, faults) = rules::read(&text, &Interface::default());
    assert!(faults.iter().any(|fault| fault.code == "rules/too-deep"), "{faults:#?}");
}

#[test]
fn a_near_name_is_offered() {
    let (_, faults) = read(&format!("{SOUND}a on press wav go b\n"));
    assert_eq!(faults[0].hints, ["did you mean `wave`?"]);
}

#[test]
fn all_faults_come_at_once_and_the_rest_still_plays() {
    let text = Text::new(
        "a.rules",
        format!("{SOUND}a on press wav go b\na after 25 ms go c\nnumbr\nmachine m\nstate x\n"),
    );
    let (form, faults) = rules::read(&text, &interface());
    let codes: Vec<&str> = faults.iter().map(|fault| fault.code).collect();
    assert_eq!(
        codes,
        ["rules/unknown-button", "rules/whole-ticks", "rules/unknown-state", "rules/statement"]
    );
    assert_eq!(form.machines.len(), 2);
    assert_eq!(form.machines[0].states[0].transitions.len(), 1, "the sound way out is still there");
}
