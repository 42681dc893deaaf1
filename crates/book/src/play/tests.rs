//! The card and the tests by hand, on rules small enough to be told by heart, and against the referee on the club passing.

#![allow(clippy::unwrap_used, clippy::panic, clippy::disallowed_methods, reason = "a test may fail loudly")]

#[path = "../../../rules/tests/common/club.rs"]
mod club;

use super::press::Asked;
use super::tell::{Teller, one_of};
use super::{Beside, by_hand, card};
use rules::form::Form;
use rules::interface::{DigitsName, Interface, SpotName};
use rules::step::{Input, begin, frame, step};
use source::Text;

/// A gate: open for a second, every three seconds; whoever presses then is counted.
const GATE: &str = "\
machine gate
  number passed 0..9 = 0 shown on score
  number best 0..9 = 0 kept
  state shut
  state open lights go
  shut after 2 s go open
  open on press go if passed < 9 do passed = min(passed + 1, 9), best = max(best, passed) go shut
  open after 1 s go shut
machine game
  state idle
  state on
  idle when gate.passed > 0 go on
  on when gate.passed = 9 go idle
prompt pass press go when gate is open and gate.passed < 9
bout while game is on
claim few never gate.passed > 9
";

fn gate() -> Form {
    let interface = Interface {
        buttons: vec!["go".to_owned()],
        spots: vec![SpotName { name: "go".to_owned(), count: 1, dims: false }],
        digits: vec![DigitsName { name: "score".to_owned(), count: 1 }],
        ..Interface::default()
    };
    let (form, faults) = rules::read(&Text::new("gate.rules", GATE), &interface);
    assert!(!faults.iter().any(finding::Fault::stops), "{faults:?}");
    form
}

#[test]
fn the_card_says_what_the_rules_say() {
    let card = card::view(&gate(), Some("A gate."));
    assert_eq!(
        card["buttons"][0]["asked"][0],
        "Pass: press while gate is open and passed is less than 9. Then: gate is shut; passed: one more."
    );
    assert_eq!(
        card["buttons"][0]["held"],
        "Held down, it counts as one press, the one with which it went down."
    );
    let bout: Vec<&str> = card["bout"].as_array().unwrap().iter().map(|one| one.as_str().unwrap()).collect();
    assert_eq!(
        bout,
        [
            "It lasts while game is on.",
            "It begins: game goes from idle to on as soon as passed is more than 0.",
            "It ends: game goes from on to idle as soon as passed is 9.",
        ]
    );
    let numbers = card["numbers"].as_array().unwrap();
    assert_eq!(numbers[0]["words"], "0 to 9 on the digits score; one more on a press of button go");
    assert_eq!(
        numbers[1]["words"],
        "Passed if that is more on a press of button go; kept when the power goes"
    );
}

#[test]
fn there_is_a_test_by_hand_for_everything_that_can_be_tried() {
    let rows = by_hand::view(&gate(), &Beside::default());
    let acts: Vec<&str> = rows.as_array().unwrap().iter().map(|row| row["act"].as_str().unwrap()).collect();
    let wanted = [
        "press nothing",
        "press while gate is open",
        "Hold button go down",
        "while you switch on",
        "pull the supply",
        "Claim “few”",
    ];
    for (act, wanted) in acts.iter().zip(wanted) {
        assert!(act.contains(wanted), "{wanted} in {act}");
    }
    assert_eq!(acts.len(), wanted.len(), "{acts:#?}");
    assert_eq!(rows[4]["see"], "Dark at once; then all begins anew, as in test 1, but best is what it was");
    assert_eq!(rows[5]["see"], "It is never so that passed is more than 9");
}

/// Whenever a prompt of the club passing is true and its button is pressed, the referee's next frame shows the pose that the
/// card promises; and the lamp that the card calls lit is lit.
#[test]
fn what_the_card_promises_the_referee_keeps() {
    let form = club::form();
    let asked: Vec<Asked> =
        form.prompts.iter().map(|prompt| Teller { form: &form, side: prompt.side }.asked(prompt)).collect();
    let throwing = form.figures[0].poses.iter().position(|pose| pose == "throwing");
    let mut situation = begin(&form, &[]).situation;
    let mut kept = vec![0; asked.len()];
    for tick in 0..60_000_u32 {
        let truth = |at: usize| {
            let (m, states) = one_of(&form.prompts[at].when).unwrap();
            states.contains(&situation.machines[m].state)
        };
        // Somebody presses when it is time, but for a few seconds now and then, so that there are drops.
        let now = (0..asked.len()).find(|at| truth(*at)).filter(|_| tick % 7 == 0 && (tick / 300) % 4 != 0);
        let seen = frame(&form, &situation);
        for at in (0..asked.len()).filter(|at| truth(*at)) {
            assert!(asked[at].when.starts_with("its lamp is lit"), "{}", asked[at].when);
            let lamp = form.spots.iter().position(|spot| *spot == form.buttons[form.prompts[at].button]);
            assert_eq!(seen.spots[lamp.unwrap()], 255, "tick {tick}");
        }
        let mut input = Input::default();
        if let Some(at) = now {
            input.pressed = vec![false; form.buttons.len()];
            input.pressed[form.prompts[at].button] = true;
            // A finger, not the rules' own press.
            input.held = input.pressed.clone();
        }
        situation = step(&form, &situation, &input).situation;
        if let Some(at) = now {
            assert_eq!(asked[at].then[0], "your figure shows throwing");
            let side = form.prompts[at].side.unwrap();
            let figure = form.figures.iter().position(|figure| figure.name == form.sides[side]).unwrap();
            assert_eq!(frame(&form, &situation).poses[figure], throwing, "tick {tick}");
            kept[at] += 1;
        }
    }
    assert!(kept.iter().all(|times| *times > 5), "{kept:?} is no test");
}
