//! A play against a claim is told so that somebody can follow it, and is the same play whatever the seed. What is expected was worked
//! out by hand from the meaning of a tick (ARCHITECTURE.md, "The tick").

#![allow(missing_docs, clippy::unwrap_used, clippy::panic, reason = "test code: a panic is a failed test")]

use prove::{Answer, Engine, Limits, prove_with};
use rules::form::Form;
use rules::interface::{FigureName, Interface};
use rules::step::Start;
use rules::vectors::{play, record};
use source::Text;

fn form(rules: &str) -> Form {
    let poses = ["low", "high"].map(str::to_owned).into();
    let names = Interface {
        figures: vec![FigureName { name: "fox".into(), poses }],
        buttons: ["west", "east"].map(str::to_owned).into(),
        ..Interface::default()
    };
    let (form, faults) = rules::read(&Text::new("fox.rules", rules), &names);
    assert!(!faults.iter().any(finding::Fault::stops), "{faults:?}");
    form
}

fn refuted(form: &Form, claim: &str, engine: Engine) -> Answer {
    let answers = prove_with(form, &Limits::default(), engine, &mut |_| {});
    let answer = answers.into_iter().find(|answer| answer.claim == claim).unwrap();
    assert!(answer.trace().is_some(), "{answer:?}");
    answer
}

fn told(rules: &str, claim: &str) -> Vec<(usize, String)> {
    let answer = refuted(&form(rules), claim, Engine::Plain);
    answer.told.into_iter().map(|moment| (moment.tick, moment.words)).collect()
}

const CHANCE: &str = "tick 50 ms
machine fox
  number next 0..9 = 0
  number swings 0..3 = 0
  bag kick of 1..3
  timer nap
  state sitting shows low
  state asleep  shows high
  sitting on press west do next = pick 1..9, swings = draw kick, start nap for pick 1950 ms..2050 ms go asleep
  asleep on timer nap go sitting
claim not-both never fox is sitting and fox.next = 3 and fox.swings = 2
";

/// A timer that is started in tick 1 for 39 ticks first counts in tick 2 and is due in tick 40.
#[test]
fn chance_is_told_by_what_it_decides_and_the_end_by_what_the_claim_speaks_of() {
    let expected = [
        (0, "at first fox is sitting, `next` is 0, `swings` is 0"),
        (
            1,
            "somebody presses west; chance makes `next` 3; chance draws 2 for `swings`; chance makes `nap` 1.95 s; now fox is asleep, `next` is 3, `swings` is 2",
        ),
        (40, "now fox is sitting"),
        (40, "here is what must never be: fox is sitting, `next` is 3, `swings` is 2"),
    ];
    assert_eq!(told(CHANCE, "not-both"), expected.map(|(tick, words)| (tick, words.to_owned())));
}

#[test]
fn nothing_more_to_see_is_told_with_what_is_seen_last() {
    let rules = "machine fox
  state sitting shows low
  state asleep
  sitting on press west go asleep
";
    let expected = [
        (0, "at first fox is sitting"),
        (1, "somebody presses west; now fox is asleep"),
        (1, "here nothing seen can ever change again: fox is asleep"),
    ];
    assert_eq!(told(rules, ".stuck"), expected.map(|(tick, words)| (tick, words.to_owned())));
    // The play goes round from where nobody does anything any more.
    let round = told(rules, ".alone west");
    let last = &round.last().unwrap().1;
    assert!(last.starts_with("and so on for ever, as from ") && last.ends_with(": fox is asleep"), "{last}");
}

#[test]
fn a_tie_that_chance_settles_and_a_button_let_go_are_told() {
    let rules = "sides west, east
machine fox
  ties at random
  state open       shows low
  state west-first shows high
  state east-first shows high
  state sorry      shows low
  open on press west go west-first
  open on press east go east-first
  west-first when not held west go sorry
machine referee
  number tied 0..1 = 0
  state watching
  watching when pressed west and pressed east do tied = 1 stay
claim fair  never fox is east-first and referee.tied = 1
claim proud never fox is sorry
";
    let expected = [
        (0, "at first fox is open, `tied` is 0"),
        (
            1,
            "somebody presses west; somebody presses east; chance favours east in `fox`; now fox is east-first, `tied` is 1",
        ),
        (1, "here is what must never be: fox is east-first, `tied` is 1"),
    ];
    assert_eq!(told(rules, "fair"), expected.map(|(tick, words)| (tick, words.to_owned())));
    let expected = [
        (0, "at first fox is open"),
        (1, "somebody presses west; now fox is west-first"),
        (2, "somebody lets west go; now fox is sorry"),
        (2, "here is what must never be: fox is sorry"),
    ];
    assert_eq!(told(rules, "proud"), expected.map(|(tick, words)| (tick, words.to_owned())));
}

#[test]
fn a_play_against_a_claim_is_the_same_with_every_seed() {
    let form = form(CHANCE);
    for engine in [Engine::Plain, Engine::Sets, Engine::Both] {
        let vector = refuted(&form, "not-both", engine).trace().unwrap().vector("not-both", &form);
        for seed in 2..6 {
            let other = Form { seed, ..form.clone() };
            let again = record("not-both", &other, &vector.start(), &vector.ticks);
            let seen = |vector: &rules::vectors::Vector| {
                vector.expect.iter().map(|out| (out.frame.clone(), out.picked.clone())).collect::<Vec<_>>()
            };
            assert_eq!(seen(&again), seen(&vector), "{engine:?}");
        }
    }
    // The rules do hang on the seed where nothing is given.
    let press = rules::vectors::TickIn { pressed: vec![0], ..Default::default() };
    let picked = |seed| {
        let run =
            play(&Form { seed, ..form.clone() }, &Start::default(), &[Default::default(), press.clone()]);
        run.last().unwrap().0.picked.clone()
    };
    assert!((2..6).any(|seed| picked(seed) != picked(1)));
}
