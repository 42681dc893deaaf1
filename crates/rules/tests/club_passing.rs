//! The promises of the club passing's rules, kept under presses at random: one club, a lit hand counts, silence brings practice.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic, reason = "test code: a panic is a failed test")]

#[path = "common/club.rs"]
mod club;

use club::form;
use rules::form::Form;
use rules::step::{Input, Situation, begin, step};

const SIDES: [&str; 2] = ["west", "east"];

/// The name of the state that a machine is in.
fn state<'a>(form: &'a Form, situation: &Situation, name: &str) -> &'a str {
    let at = form.machines.iter().position(|machine| machine.name == name);
    let at = at.unwrap_or_else(|| panic!("no machine is called `{name}`"));
    &form.machines[at].states[situation.machines[at].state].name
}

fn open(form: &Form, situation: &Situation, side: &str) -> bool {
    matches!(state(form, situation, &format!("juggler.{side}")), "holding" | "last-chance" | "offering")
}

/// Presses at random, rarer or thicker with `rate` (in 65536 a tick), the same for the same seed.
fn presses(word: &mut u32, rate: u32) -> Vec<bool> {
    SIDES
        .map(|_| {
            *word ^= *word << 13;
            *word ^= *word >> 17;
            *word ^= *word << 5;
            *word >> 16 < rate
        })
        .to_vec()
}

/// Plays `ticks` of presses at random; checks in every tick that there is one club and that exactly a lit hand catches.
fn play(form: &Form, seed: u32, rate: u32, ticks: u32) -> Situation {
    let mut word = seed;
    let mut now = begin(form, &[]).situation;
    for _ in 0..ticks {
        let pressed = presses(&mut word, rate);
        let before = now;
        now = step(form, &before, &Input { held: pressed.clone(), pressed: pressed.clone(), picks: vec![] })
            .situation;
        let flying = SIDES.map(|side| state(form, &now, &format!("club.{side}")) != "away");
        assert!(flying != [true, true], "two clubs");
        for (k, side) in SIDES.into_iter().enumerate() {
            if pressed[k] && state(form, &before, "score") != "waking" {
                let throws = state(form, &now, &format!("juggler.{side}")) == "throwing";
                let went_on = state(form, &before, &format!("juggler.{side}")) == "throwing";
                assert!(
                    went_on || throws == open(form, &before, side),
                    "{side}: a press counts just when the hand is open"
                );
            }
        }
    }
    now
}

/// Ticks without a press until a juggler throws in practice.
fn until_practice(form: &Form, mut now: Situation) -> u32 {
    for tick in 1..6000 {
        now = step(form, &now, &Input::default()).situation;
        let throws = SIDES.iter().any(|side| state(form, &now, &format!("juggler.{side}")) == "throwing");
        if throws && state(form, &now, "score") == "practice" {
            return tick;
        }
    }
    panic!("nobody practices after a minute of silence");
}

/// The rules' own promise: 20 s after the last press the jugglers practice again.
#[test]
fn silence_brings_practice_within_twenty_seconds() {
    let form = form();
    for (seed, rate) in [(1, 0), (2, 200), (3, 900), (4, 3000), (5, 9000)] {
        let after = until_practice(&form, play(&form, seed, rate, 4000));
        assert!(after <= 2000, "seed {seed}, rate {rate}: {after} ticks");
    }
}

/// Three drops end a bout of somebody who presses every two seconds, whatever the club does, beside the partner.
#[test]
fn three_drops_end_a_bout() {
    let form = form();
    let mut now = begin(&form, &[]).situation;
    let mut ended = false;
    for tick in 1..30_000_u32 {
        let pressed = vec![tick % 203 == 0, false];
        now = step(&form, &now, &Input { held: pressed.clone(), pressed, picks: vec![] }).situation;
        if state(&form, &now, "score") == "over" {
            ended = true;
            break;
        }
    }
    assert!(ended, "no bout ended in five minutes");
}
