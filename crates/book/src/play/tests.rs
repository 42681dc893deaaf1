//! The card and the tests by hand, on rules small enough to be told by heart, and against the referee on the club passing.

#![allow(clippy::unwrap_used, clippy::panic, clippy::disallowed_methods, reason = "a test may fail loudly")]

#[path = "../../../rules/tests/common/club.rs"]
mod club;

use super::press::Asked;
use super::tell::{Teller, one_of};
use super::{Beside, by_hand, card};
use rules::form::{Expr, Form, Lights, Node, Two};
use rules::interface::{DigitsName, FigureName, Interface, SpotName};
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
        serde_json::json!([
            "Pass",
            "Press while the button is lit and passed is less than 9. Then the gate is shut, and passed goes up by one."
        ])
    );
    assert_eq!(card["buttons"][0]["held"], "Holding it down counts as one press.");
    let bout: Vec<&str> = card["bout"].as_array().unwrap().iter().map(|one| one.as_str().unwrap()).collect();
    assert_eq!(
        bout,
        [
            "It lasts while the game is on.",
            "It begins as soon as passed is more than 0.",
            "It ends as soon as passed is 9.",
        ]
    );
    let numbers = card["numbers"].as_array().unwrap();
    assert_eq!(
        numbers[0]["words"],
        "From 0 to 9, on the digits score. It goes up by one on a press of button go."
    );
    assert_eq!(
        numbers[1]["words"],
        "It becomes passed, if that is more, on a press of button go. It is kept when the power goes."
    );
}

#[test]
fn there_is_a_test_by_hand_for_everything_that_can_be_tried() {
    let rows = by_hand::view(&gate(), &Beside::default());
    let acts: Vec<&str> = rows.as_array().unwrap().iter().map(|row| row["act"].as_str().unwrap()).collect();
    let wanted = [
        "press nothing",
        "press while the button is lit",
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
            assert!(asked[at].when.starts_with("the button is lit"), "{}", asked[at].when);
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

/// One kicks and one keeps, in turn, in front of one target; a button is lit for whoever may press.
const TURNS: &str = "\
sides west, east
condition west-acts = (match.turn = 1 and ball is resting) or (match.turn = 2 and ball is flying and keeper is not down)
condition east-acts = (match.turn = 2 and ball is resting) or (match.turn = 1 and ball is flying and keeper is not down)
machine ball
  number way 1..2 = 1
  state resting  shows ball rest
  state flying   shows ball up
  resting on press west if match.turn = 1 do way = 3 - way  go flying
  resting on press east if match.turn = 2 do way = 3 - way  go flying
  flying after 900 ms go resting
machine keeper
  state left   shows keeper left
  state right  shows keeper right
  state down   shows keeper down
  left, right on press west if match.turn = 2 and ball is flying  go down
  left, right on press east if match.turn = 1 and ball is flying  go down
  left  after 300 ms go right
  right after 300 ms go left
  down  after 500 ms go left
machine match
  number turn 1..2 = 1
  state on
  state off
  on after 2900 ms do turn = 3 - turn go off
  off after 100 ms go on
machine lamps
  state watching  lights west when west-acts  lights east when east-acts
prompt kick-west press west when match.turn = 1 and ball is resting
prompt kick-east press east when match.turn = 2 and ball is resting
prompt keep-west press west when match.turn = 2 and ball is flying and ((keeper is left and ball.way = 1) or (keeper is right and ball.way = 2)) seen coming while ball is flying
prompt keep-east press east when match.turn = 1 and ball is flying and ((keeper is left and ball.way = 1) or (keeper is right and ball.way = 2)) seen coming while ball is flying
";

fn turns() -> Form {
    let figure = |name: &str, poses: &[&str]| FigureName {
        name: name.to_owned(),
        poses: poses.iter().map(|pose| (*pose).to_owned()).collect(),
    };
    let interface = Interface {
        figures: vec![figure("ball", &["rest", "up"]), figure("keeper", &["left", "right", "down"])],
        buttons: ["west", "east"].map(str::to_owned).to_vec(),
        spots: ["west", "east"]
            .map(|name| SpotName { name: name.to_owned(), count: 1, dims: false })
            .to_vec(),
        ..Interface::default()
    };
    let (form, faults) = rules::read(&Text::new("turns.rules", TURNS), &interface);
    assert!(!faults.iter().any(finding::Fault::stops), "{faults:?}");
    form
}

/// What holds for both sides is said once, whose turn it is left to the lamp, and what belongs together with "either".
#[test]
fn what_the_lamp_says_is_not_said_again() {
    let card = card::view(&turns(), None);
    let buttons = card["buttons"].as_array().unwrap();
    assert_eq!(buttons.len(), 1, "{buttons:#?}");
    let asked = |at: usize| [0, 1].map(|part| buttons[0]["asked"][at][part].as_str().unwrap());
    assert_eq!(
        asked(0),
        ["Kick", "Press while the button is lit and the ball is resting. Then the ball shows up."]
    );
    assert_eq!(
        asked(1),
        [
            "Keep",
            "Press while the button is lit, the ball is flying, and either the keeper is left and the ball’s way is 1, or the \
             keeper is right and the ball’s way is 2. You see it coming: watch the ball. Then the keeper shows down. At a wrong moment a press may \
             do the same."
        ]
    );
    // It does: the ball flies one way, the keeper is at the other, and a press brings it down.
    let form = turns();
    let wrong = |prompts: &[bool]| !prompts.iter().any(|time| *time);
    let keeper = form.figures.iter().position(|figure| figure.name == "keeper").unwrap();
    let lying = form.figures[keeper].poses.iter().position(|pose| pose == "down");
    let mut probed = form.clone();
    let times: Vec<usize> = form.prompts.iter().map(|prompt| probe(&mut probed, &[&prompt.when])).collect();
    let (mut situation, mut down) = (begin(&probed, &[]).situation, 0);
    for tick in 0..6_000_u32 {
        let now = frame(&probed, &situation);
        let time: Vec<bool> = times.iter().map(|spot| now.spots[*spot] > 0).collect();
        let press = tick % 35 == 0;
        let input = Input { pressed: vec![press; 2], held: vec![press; 2], ..Input::default() };
        situation = step(&probed, &situation, &input).situation;
        let fell = frame(&probed, &situation).poses[keeper] == lying && now.poses[keeper] != lying;
        down += u32::from(fell && wrong(&time));
    }
    assert!(down > 3, "{down}");
}

/// A spot more, lit by the referee while all of this is so.
fn probe(form: &mut Form, all: &[&Expr]) -> usize {
    let lamps = form.machines.iter().position(|machine| machine.states.len() == 1).unwrap();
    let and = |a: Expr, b: &Expr| Expr {
        w: 8,
        node: Node::Two { f: Two::And, a: Box::new(a), b: Box::new((*b).clone()) },
    };
    let always = Expr { w: 8, node: Node::Const { v: 1 } };
    let level = Expr { w: 16, node: Node::Const { v: 255 } };
    let spot = form.spots.len();
    form.spots.push(format!("probe-{spot}"));
    let when = Some(all.iter().fold(always, |before, one| and(before, one)));
    form.machines[lamps].states[0].lights.push(Lights {
        first: spot,
        count: 1,
        index: None,
        each: false,
        level,
        when,
    });
    spot
}

/// In every tick of long plays by the referee: whenever a prompt is true the lamp that the card speaks of is lit; and lamp and
/// what is said besides are true when the prompt is, and at no other time.
#[test]
fn lamp_and_words_are_the_prompt() {
    for form in [turns(), club::form()] {
        let mut probed = form.clone();
        let mut checks = Vec::new();
        for prompt in &form.prompts {
            let (lamp, left) = Teller { form: &form, side: prompt.side }.needs(prompt);
            assert!(lamp.is_some(), "{}", prompt.name);
            let spot = form.spots.iter().position(|spot| *spot == form.buttons[prompt.button]).unwrap();
            if form.machines.iter().any(|machine| machine.states.len() == 1) {
                checks.push((spot, probe(&mut probed, &left), probe(&mut probed, &[&prompt.when])));
            }
        }
        let (mut situation, mut chance) = (begin(&probed, &[]).situation, 7_u32);
        let (mut yes, mut lit_alone) = (0, 0);
        for tick in 0..30_000_u32 {
            let spots = frame(&probed, &situation).spots;
            for (lamp, left, prompt) in &checks {
                let [lamp, left, prompt] = [lamp, left, prompt].map(|spot| spots[*spot] > 0);
                assert_eq!(lamp && left, prompt, "tick {tick}");
                yes += u32::from(prompt);
                lit_alone += u32::from(lamp && !prompt);
            }
            chance = chance.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let pressed: Vec<bool> =
                (0..form.buttons.len()).map(|b| (chance >> 8) % 40 == u32::try_from(b).unwrap()).collect();
            let input = Input { held: pressed.clone(), pressed, ..Input::default() };
            situation = step(&probed, &situation, &input).situation;
        }
        assert!(yes > 1000 && lit_alone > 1000, "{yes} and {lit_alone} are no test");
    }
}
