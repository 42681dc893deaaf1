//! Rules in which a claim fails only by the very thing that the search over sets first takes away, loosens or leaves free: a value, a
//! length, what another machine counts. Each play against a claim is worked out by hand from the meaning of a tick
//! (ARCHITECTURE.md, "The tick"); every search must find one.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test that cannot read its own rules must stop")]

mod common;

use common::interface;
use prove::{Engine, Limits, prove_some};
use source::Text;

/// What is taken away, the claim that fails, and the rules: ticks of 100 ms, a fox that is low while still and high when lost, from
/// where it comes back.
const FAILS: [(&str, &str, &str); 15] = [
    // Three times west make 9, and east finds it above 8.
    (
        "a count that is only compared, above",
        "safe",
        "number n 0..20 = 0
         still on press west if n < 9 do n = n + 3 stay
         still on press east if n > 8 go lost",
    ),
    // The same, asked the other way round.
    (
        "a count that is only compared, not below",
        "safe",
        "number n 0..20 = 0
         still on press west if n < 9 do n = n + 3 stay
         still on press east if not n < 9 go lost",
    ),
    // The timer has 5 ticks; the state's own 3 are over first.
    (
        "a length that is worked out, long as it is",
        "safe",
        "number n 1..5 = 5
         timer t
         state waiting shows fox-low
         still on press west do start t for n go waiting
         waiting on timer t go still
         waiting after 300 ms go lost",
    ),
    // Three times east make the length 4.
    (
        "a length that grows",
        "safe",
        "number n 1..5 = 1
         timer t
         state waiting shows fox-low
         still on press east do n = min(n + 1, 5) stay
         still on press west do start t for n go waiting
         waiting on timer t go still
         waiting after 300 ms go lost",
    ),
    // Picked as 1 to 3 ticks, the timer is up before the state's 4 are over.
    (
        "a picked length, short as it can be",
        "safe",
        "timer t
         state waiting shows fox-low
         still on press west do start t for pick 100 ms..500 ms go waiting
         waiting on timer t go lost
         waiting after 400 ms go still",
    ),
    // The same from the very first tick on, and never again.
    (
        "a length picked at the beginning",
        "safe",
        "timer t
         state waiting shows fox-low
         state resting shows fox-low
         enter still do start t for pick 100 ms..500 ms
         still on timer t go lost
         still after 400 ms go waiting
         waiting after 1 s go resting
         resting after 1 s go waiting",
    ),
    // Three times east, then west, then a second.
    (
        "a value that another is stored from",
        "safe",
        "number k 0..3 = 0
         number n 0..3 = 0
         still on press east do k = min(k + 1, 3) stay
         still on press west do n = k stay
         still after 1 s if n = 3 go lost",
    ),
    // 5 is stored two states before it is asked for.
    (
        "a value that a later state asks for",
        "safe",
        "number n 0..9 = 0
         state middle shows fox-low
         state last shows fox-low
         still on press west do n = 5 go middle
         middle after 300 ms go last
         last on press east if n = 5 go lost
         last after 1 s do n = 0 go still
         machine owl
         state perched shows owl-low",
    ),
    // Four times east make the counter 4; then west leads to what looks the same.
    (
        "what a machine without a picture counts",
        ".answered",
        "state thinking shows fox-low
         still on press west if counter.n > 3 go thinking
         thinking after 2 s go still
         machine counter
         number n 0..9 = 0
         state counting
         counting on press east do n = min(n + 1, 9) stay",
    ),
    // A number that nothing shows grows with every east.
    (
        "a number that a press changes",
        ".answered",
        "number n 0..20 = 0
         still on press east do n = min(n + 1, 20) stay
         machine owl
         state perched shows owl-low",
    ),
    // The same by coming in.
    (
        "a number that coming in changes",
        ".answered",
        "number n 0..20 = 0
         enter still do n = min(n + 1, 20)
         still on press east go still
         machine owl
         state perched shows owl-low",
    ),
    // The first press makes it lamp 5 of 3.
    (
        "a value that an index reads",
        ".in-range",
        "number at 0..9 = 0
         state lit shows fox-low lights lamp[at + 1]
         still on press east go lit
         lit on press west do at = min(at + 4, 9) stay
         lit after 2 s do at = 0 go still
         machine owl
         state perched shows owl-low",
    ),
    // Whoever presses and lets go before 900 ms are over.
    (
        "letting go while nothing else happens",
        "safe",
        "state waiting shows fox-low
         still on press west go waiting
         waiting after 900 ms go still
         waiting when not held west go lost",
    ),
    // Eight changes, 700 ms from first to last, then none for 2 s: four pairs in a second (WCAG 2.2, success criterion 2.3.1, allows
    // three).
    (
        "the eighth change",
        ".flash fox",
        "state one shows fox-high
         state two shows fox-low
         state three shows fox-high
         state four shows fox-low
         state five shows fox-high
         state six shows fox-low
         state seven shows fox-high
         state eight shows fox-low
         still on press west go one
         one after 100 ms go two
         two after 100 ms go three
         three after 100 ms go four
         four after 100 ms go five
         five after 100 ms go six
         six after 100 ms go seven
         seven after 100 ms go eight
         eight after 2 s go still",
    ),
    // 4 and 5 do not fit.
    (
        "a pick that does not fit",
        ".in-range",
        "number n 0..3 = 0
         still on press west do n = pick 0..5 stay
         still after 2 s if n = 3 go lost",
    ),
];

/// Nine presses reach the greatest value.
const GREATEST: (&str, &str, &str) = (
    "the greatest value",
    "most",
    "number n 0..9 = 0
     still on press west do n = min(n + 1, 9) stay
     claim most never fox.n > 8",
);

#[test]
fn what_fails_by_a_value_or_a_length_is_found() {
    for (what, claim, lines) in FAILS.iter().chain([&GREATEST]) {
        let text = format!(
            "tick 100 ms\nmachine fox\n  state still shows fox-low\n  state lost shows fox-high\n  lost after 300 ms go still\n{lines}\nclaim safe never fox is lost\n"
        );
        let (form, faults) = rules::read(&Text::new("by-hand.rules", text.clone()), &interface());
        assert!(!faults.iter().any(finding::Fault::stops), "{what}: {faults:?}\n{text}");
        for engine in [Engine::Plain, Engine::Quick, Engine::Sets, Engine::Both] {
            let answers = prove_some(&form, &Limits::default(), engine, &|name| name == *claim, &mut |_| {});
            assert!(answers[0].trace().is_some(), "{engine:?}, {what}: {}\n{text}", answers[0].words);
        }
    }
}
