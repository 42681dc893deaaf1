//! Quick play on random rules: every tick is the referee's, and skipped stretches end where single ticks end.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic, reason = "test code: a panic is a failed test")]

use players::random_rules::{self, Dice};
use rehearse::quick::{Play, Rules};
use rules::form::Form;
use rules::step::{Input, Situation, Start, begin_from, step};

const RULE_SETS: u32 = 300;

fn bits(buttons: &[bool]) -> u64 {
    buttons.iter().enumerate().fold(0, |all, (button, on)| all | u64::from(*on) << button)
}

fn referee(form: &Form, before: &Situation, pressed: &[bool], held: &[bool]) -> Situation {
    let input = Input { pressed: pressed.to_vec(), held: held.to_vec(), picks: Vec::new() };
    step(form, before, &input).situation
}

/// Some of the buttons: each with this chance in a hundred.
fn some(dice: &mut Dice, buttons: usize, percent: i32) -> Vec<bool> {
    (0..buttons).map(|_| dice.pick(1, 100) <= percent).collect()
}

#[test]
fn every_tick_of_random_rules_is_the_referees() {
    for seed in 1..=RULE_SETS {
        let (text, form) = random_rules::rules(seed);
        let rules = Rules::new(&form).unwrap();
        let mut dice = Dice::new(seed ^ 0x5eed);
        let start = Start {
            kept: form.kept().iter().map(|_| (dice.pick(0, 1) == 1).then(|| dice.pick(-300, 300))).collect(),
            settings: form.settings.iter().map(|_| Some(dice.pick(-9, 300))).collect(),
        };
        let mut before = begin_from(&form, &start, &[]).situation;
        let mut play = Play::begin(&rules, &start, form.seed);
        assert_eq!(play.situation(), before, "tick 0 of {text}");
        for tick in 1..=300 {
            let (pressed, held) =
                (some(&mut dice, form.buttons.len(), 6), some(&mut dice, form.buttons.len(), 40));
            before = referee(&form, &before, &pressed, &held);
            play.step(bits(&pressed), bits(&held));
            assert_eq!(play.situation(), before, "tick {tick} of {text}");
        }
    }
}

#[test]
fn quiet_ticks_together_are_the_same_as_one_by_one() {
    let (mut played, mut events) = (0_u64, 0_u64);
    for seed in 1..=RULE_SETS {
        let (text, form) = random_rules::rules(seed);
        let rules = Rules::new(&form).unwrap();
        let mut dice = Dice::new(seed ^ 0xca1f);
        let mut before = begin_from(&form, &Start::default(), &[]).situation;
        let mut play = Play::begin(&rules, &Start::default(), form.seed);
        for stretch in 0..12 {
            // A press now and then, and buttons that stay down through the quiet.
            let (pressed, held) =
                (some(&mut dice, form.buttons.len(), 30), some(&mut dice, form.buttons.len(), 30));
            before = referee(&form, &before, &pressed, &held);
            play.step(bits(&pressed), bits(&held));
            let quiet = dice.pick(1, 90);
            for _ in 0..quiet {
                before = referee(&form, &before, &[], &held);
            }
            let mut counted = play.clone();
            let last = counted.tick() + u64::from(quiet.unsigned_abs());
            while counted.next_event() <= last {
                let next = counted.next_event();
                counted.advance(next - counted.tick());
                events += 1;
            }
            play.advance(u64::from(quiet.unsigned_abs()));
            played += u64::from(quiet.unsigned_abs());
            assert_eq!(play.situation(), before, "stretch {stretch} of {quiet} quiet ticks of {text}");
        }
    }
    // Random rules are restless; that so many ticks were skipped shows that skipping was tried at all.
    assert!(played - events > 10_000, "of {played} quiet ticks {events} were worked out");
}
