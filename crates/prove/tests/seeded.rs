//! Mistakes that people make in rules, planted one at a time into rules without them. What each does follows from the meaning
//! of a tick (ARCHITECTURE.md, "The tick"), worked out by hand beside it; both engines must find it, and none in the sound text.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test that cannot read its own rules must stop")]

use prove::{Answer, Engine, Limits, Verdict, prove_with};
use rules::interface::{DigitsName, FigureName, Interface, SpotName};
use source::Text;

fn interface() -> Interface {
    let figure = |name: &str| FigureName {
        name: name.into(),
        poses: vec![format!("{name}-low"), format!("{name}-high")],
    };
    Interface {
        figures: vec![figure("fox"), figure("owl")],
        buttons: ["wave", "nod"].map(str::to_owned).into(),
        spots: vec![SpotName { name: "lamp".into(), count: 3, dims: false }],
        digits: vec![DigitsName { name: "board".into(), count: 1 }],
        sounds: Vec::new(),
    }
}

fn answers(text: &str, engine: Engine) -> Vec<Answer> {
    let (form, faults) = rules::read(&Text::new("seeded.rules", text.to_owned()), &interface());
    assert!(!faults.iter().any(finding::Fault::stops), "{faults:?}\n{text}");
    prove_with(&form, &Limits::default(), engine, &mut |_| {})
}

fn of<'a>(answers: &'a [Answer], claim: &str) -> &'a Answer {
    answers.iter().find(|answer| answer.claim == claim).unwrap_or_else(|| panic!("{claim} is not answered"))
}

/// A fox that waves for 300 ms when asked to, rests 700 ms, counts to three and begins again.
const SOUND: &str = "tick 100 ms
machine fox
  number count 0..3 = 0 shown on board
  state still   shows fox-low
  state waving  shows fox-high
  state resting shows fox-low
  still on press wave if count < 3   do count = count + 1   go waving
  still on press wave                do count = 0           go waving
  still after 2 s if count > 0       do count = 0           stay
  waving after 300 ms                                       go resting
  resting after 700 ms                                      go still
claim waves on press wave if fox is still leads to fox is waving within 100 ms
claim rests never fox is resting and fox.count > 3
";

/// The sound text with one line for another, and the claim that must fail.
const MISTAKES: [(&str, &str, &str, &str); 15] = [
    // The time that is up comes first, and a press in the same tick vanishes.
    (
        "lost press",
        "  still on press wave if",
        "  still after 2 s go resting\n  still on press wave if",
        "waves",
    ),
    // count may be 3 already: 3 + 1 does not fit 0..3.
    ("store too great", "if count < 3 ", "if count < 9 ", ".in-range"),
    // count may be 0: 0 - 1 does not fit.
    (
        "store too small",
        "still after 2 s if count > 0       do count = 0 ",
        "still after 2 s do count = count - 1 ",
        ".in-range",
    ),
    // 0 ticks are less than a tick.
    (
        "timer of nothing",
        "still after 2 s",
        "still on press nod do start spare for count stay\n  still on timer spare go waving\n  still after 2 s",
        ".in-range",
    ),
    // Without a way out, resting stays for ever; nothing changes then.
    ("stuck", "  resting after 700 ms                                      go still\n", "", ".stuck"),
    // ... and never comes home to still.
    ("never home", "  resting after 700 ms                                      go still\n", "", ".home"),
    // 100 ms waving, 100 ms resting, again: eight changes take 0.7 s.
    (
        "flash too fast",
        "  waving after 300 ms                                       go resting\n  resting after 700 ms                                      go still\n",
        "  waving after 100 ms go resting\n  resting after 100 ms go waving\n",
        ".flash fox",
    ),
    // The same by hasty hands: nothing but presses paces the changes.
    (
        "flash by presses",
        "  waving after 300 ms ",
        "  waving on press wave go still\n  waving after 300 ms ",
        ".flash fox",
    ),
    // The press is heard, and what is seen changes 500 ms later.
    (
        "late answer",
        "  waving after 300 ms ",
        "  still on press nod go thinking\n  thinking after 500 ms go waving\n  state thinking shows fox-low\n  waving after 300 ms ",
        ".answered",
    ),
    // A held button keeps the fox away from still.
    ("stuck button", "  resting after 700 ms ", "  resting after 700 ms if not held nod ", ".held nod"),
    // Only the fourth press of the evening goes there, and nothing leads back.
    (
        "dead end after long play",
        "  still on press wave                do count = 0           go waving",
        "  still on press wave do count = 0 go lost\n  state lost shows fox-low",
        ".stuck",
    ),
    // Whoever does not let go keeps the fox waving, and nobody else gets it.
    (
        "held button never ends",
        "  waving after 300 ms ",
        "  waving when held wave go waving\n  waving after 300 ms ",
        ".held wave",
    ),
    // From the second wave on, only the other player's press ends the rest.
    (
        "no turn alone",
        "  resting after 700 ms ",
        "  resting on press nod go still\n  resting after 700 ms if count < 2 ",
        ".alone wave",
    ),
    // The spot after the third is no spot.
    (
        "index out of its row",
        "  state resting shows fox-low",
        "  state resting shows fox-low lights lamp[count + 1]",
        ".in-range",
    ),
    // A claim that is simply wrong: the fourth press makes the count 0 again.
    (
        "wrong claim",
        "claim rests never fox is resting and fox.count > 3",
        "claim rests never fox is resting and fox.count = 0",
        "rests",
    ),
];

/// What the reader finds by itself, before anything is proved: the mistake and the code of its fault.
const READ: [(&str, &str, &str, &str); 5] = [
    // One digit shows 0 to 9.
    ("digits overflow", "number count 0..3 = 0", "number count 0..12 = 0", "rules/digits-narrow"),
    // 3 x 2,000,000,000 is more than 31 bits hold.
    ("overflow", "do count = count + 1 ", "do count = count * 2000000000 ", "rules/overflow"),
    // There are three lamps.
    (
        "index outside its row",
        "  state resting shows fox-low",
        "  state resting shows fox-low lights lamp[4]",
        "rules/index-outside",
    ),
    (
        "no way out",
        "  resting after 700 ms                                      go still\n",
        "",
        "rules/no-way-out",
    ),
    (
        "state that nothing leads to",
        "  state resting shows fox-low",
        "  state resting shows fox-low\n  state lost shows fox-high\n  lost after 1 s go still",
        "rules/unreachable",
    ),
];

fn with(from: &str, to: &str) -> String {
    assert!(SOUND.contains(from), "{from}");
    let text = SOUND.replace(from, to);
    if text.contains("start spare") {
        text.replace("  state still ", "  timer spare\n  state still ")
    } else {
        text
    }
}

#[test]
fn nothing_is_found_in_the_sound_text() {
    for engine in [Engine::Plain, Engine::Both] {
        for answer in answers(SOUND, engine) {
            assert!(answer.proved(), "{engine:?}: {}", answer.words);
        }
    }
}

#[test]
fn every_planted_mistake_is_found() {
    for engine in [Engine::Plain, Engine::Both] {
        for (what, from, to, claim) in MISTAKES {
            let answers = answers(&with(from, to), engine);
            let answer = of(&answers, claim);
            assert!(
                matches!(answer.verdict, Verdict::Refuted { .. }),
                "{engine:?}, {what}: {}",
                answer.words
            );
        }
    }
}

#[test]
fn what_can_be_read_off_the_text_is_found_by_the_reader() {
    let codes = |text: &str| -> Vec<String> {
        let (_, faults) = rules::read(&Text::new("seeded.rules", text.to_owned()), &interface());
        faults.iter().map(|fault| fault.code.to_owned()).collect()
    };
    for (what, from, to, code) in READ {
        assert!(!codes(SOUND).iter().any(|found| found == code), "{what}");
        let found = codes(&with(from, to));
        assert!(found.iter().any(|found| found == code), "{what}: {found:?}");
    }
}

/// 300 ms waving and 700 ms resting after the tick that the last press counts in: 10 ticks of 100 ms.
#[test]
fn the_way_home_is_as_long_as_its_stages() {
    let all = answers(SOUND, Engine::Plain);
    assert_eq!(of(&all, ".home").bound_ticks, Some(10));
}

/// Alone at `wave`, the longest wait is for the fox to have waved and rested: 3 + 7 ticks, and the last tick of it may take the
/// press (tick 10 is still again).
#[test]
fn the_wait_for_a_turn_is_as_long_as_the_stages_without_one() {
    let all = answers(SOUND, Engine::Plain);
    assert_eq!(of(&all, ".alone wave").bound_ticks, Some(10));
    // Nobody listens to `nod` in the sound text.
    assert!(!all.iter().any(|answer| answer.claim == ".alone nod"));
}

/// While the fox waves, a further press is one more wave: the movement answers it. While it stands still, it must be answered.
#[test]
fn a_press_that_prolongs_a_movement_is_answered_by_it() {
    let saved = |state: &str| {
        with(
            "  waving after 300 ms ",
            &format!("  {state} on press nod do count = 0 stay\n  waving after 300 ms "),
        )
    };
    for engine in [Engine::Plain, Engine::Both] {
        assert!(
            of(&answers(&saved("resting").replace(" shown on board", ""), engine), ".answered")
                .trace()
                .is_some()
        );
        assert!(of(&answers(&saved("waving").replace(" shown on board", ""), engine), ".answered").proved());
    }
}

/// The only way out wants a count that nothing ever counts: nothing seen can change, from the first tick on.
#[test]
fn what_never_moves_is_not_proved_to_go_on() {
    let text = "tick 100 ms\nmachine fox\n  number count 0..1 = 0\n  state still shows fox-low\n  state waving shows fox-high\n  \
                still on press wave if count > 0 go waving\n  waving after 300 ms go still\n";
    for engine in [Engine::Plain, Engine::Sets, Engine::Both] {
        let all = answers(text, engine);
        for claim in [".stuck", ".alone wave"] {
            assert!(!of(&all, claim).proved(), "{engine:?}: {}", of(&all, claim).words);
        }
    }
}

/// A tie that one side always wins: two players press at once, and the second never scores.
#[test]
fn an_unfair_tie_is_found() {
    let text = |ties: &str| {
        format!(
            "tick 100 ms\nsides wave, nod\nmachine judge\n  ties {ties}\n  number first 0..1 = 0\n  state open shows fox-low\n  state won shows fox-high\n  \
             open on press wave go won\n  open on press nod do first = 1 go won\n  won after 300 ms do first = 0 go open\n\
             claim fair on press nod if judge is open leads to judge.first = 1 within 100 ms\n"
        )
    };
    for engine in [Engine::Plain, Engine::Both] {
        assert!(of(&answers(&text("wave"), engine), "fair").trace().is_some());
        assert!(of(&answers(&text("nod"), engine), "fair").proved());
        // In turn, the other side loses every second tie; at random, any.
        assert!(of(&answers(&text("alternately"), engine), "fair").trace().is_some());
        assert!(of(&answers(&text("at random"), engine), "fair").trace().is_some());
    }
}

/// The shortest plays against two claims, worked out by hand: tick 1 presses, tick 4 rests (300 ms).
#[test]
fn a_refutation_is_a_shortest_play() {
    let text = SOUND
        .replace("claim rests never fox is resting and fox.count > 3", "claim rests never fox is resting");
    for engine in [Engine::Plain, Engine::Both] {
        let all = answers(&text, engine);
        let trace = of(&all, "rests").trace().unwrap();
        assert_eq!(trace.ticks.len() - 1, 4, "{engine:?}");
        assert_eq!(trace.ticks[1].pressed, [0], "{engine:?}");
    }
}

/// A count of 0..3 is never above 3 wherever the fox is, so that no play need be looked at; that it is never 3 needs one.
#[test]
fn what_ranges_settle_needs_no_search() {
    let limits = Limits { situations: 0, sets: 0, steps: 0, ..Limits::default() };
    let asked = |text: &str| {
        let (form, _) = rules::read(&Text::new("seeded.rules", text.to_owned()), &interface());
        prove_with(&form, &limits, Engine::Sets, &mut |_| {})
    };
    assert!(of(&asked(SOUND), "rests").proved());
    let least = asked(&SOUND.replace("fox.count > 3", "fox.count > 2"));
    assert!(matches!(of(&least, "rests").verdict, Verdict::Undecided { .. }));
}

#[test]
fn limits_end_the_search_and_are_told() {
    let (form, _) = rules::read(&Text::new("seeded.rules", SOUND.to_owned()), &interface());
    let limits = Limits { situations: 5, sets: 2, ..Limits::default() };
    for engine in [Engine::Plain, Engine::Sets, Engine::Both] {
        let all = prove_with(&form, &limits, engine, &mut |_| {});
        assert!(matches!(of(&all, "waves").verdict, Verdict::Undecided { .. }), "{engine:?}");
    }
    let told = answers(SOUND, Engine::Both);
    let json = serde_json::to_string(&told).unwrap();
    assert_eq!(serde_json::from_str::<Vec<Answer>>(&json).unwrap(), told);
}
