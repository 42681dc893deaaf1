//! How often things can change in any second: what the plan says from the rules' states alone is never less than what any play
//! of the referee comes to. Random rules with every construct, and the project's own displays with people who press wildly.

#![allow(clippy::unwrap_used, reason = "helpers of tests stand outside the test functions")]

use plan::Flashes;
use players::random_rules::{self, Dice};
use players::script::{Play, club, fox, people};
use rules::conditioner::Conditioner;
use rules::form::Form;
use rules::step::{Frame, Input, Start, begin_from, frame, step};

const RULE_SETS: u32 = 30;
const PLAYS: u32 = 6;
const TICKS: usize = 1200;

/// Everything of a form that can change.
fn all(form: &Form) -> Vec<Flashes> {
    let figures = (0..form.figures.len()).map(|figure| Flashes::Figure { figure });
    let spots = (0..form.spots.len()).map(|spot| Flashes::Spot { spot });
    let digits = (0..form.digits.len()).map(|digits| Flashes::Digits { digits });
    figures.chain(spots).chain(digits).collect()
}

/// What is seen of each: a channel is on above level 127.
fn seen(frame: &Frame, of: Flashes) -> (i64, bool) {
    let number = |number: Option<i64>| number.unwrap_or(-1);
    match of {
        Flashes::Figure { figure } => {
            (number(frame.poses[figure].map(|pose| i64::try_from(pose).unwrap())), false)
        }
        Flashes::Spot { spot } => (i64::from(frame.spots[spot] > 127), false),
        Flashes::Digits { digits } => (number(frame.digits[digits].map(i64::from)), frame.zeros[digits]),
    }
}

/// The most changes of each within any second of some frames.
fn busiest(form: &Form, frames: &[Frame]) -> Vec<u32> {
    let second = 1000_usize.div_ceil(form.tick_ms as usize);
    let of = |what: &Flashes| {
        let changes: Vec<usize> =
            (1..frames.len()).filter(|&n| seen(&frames[n], *what) != seen(&frames[n - 1], *what)).collect();
        let within = |from: &usize| changes.iter().filter(|n| (*from..from + second).contains(n)).count();
        u32::try_from(changes.iter().map(within).max().unwrap_or(0)).unwrap()
    };
    all(form).iter().map(of).collect()
}

/// The frames of a play in which buttons are pressed at random, from kept values and settings at random.
fn random_play(form: &Form, dice: &mut Dice) -> Vec<Frame> {
    let any = |dice: &mut Dice, count: usize| (0..count).map(|_| Some(dice.pick(-5, 300))).collect();
    let start = Start { kept: any(dice, form.kept().len()), settings: any(dice, form.settings.len()) };
    let mut now = begin_from(form, &start, &[]).situation;
    let mut frames = vec![frame(form, &now)];
    let eager = dice.pick(1, 40);
    for _ in 0..TICKS {
        let pressed = (0..form.buttons.len()).map(|_| dice.pick(1, 40) <= eager).collect();
        let held = (0..form.buttons.len()).map(|_| dice.pick(0, 1) == 1).collect();
        now = step(form, &now, &Input { pressed, held, picks: Vec::new() }).situation;
        frames.push(frame(form, &now));
    }
    frames
}

#[test]
fn no_play_of_random_rules_changes_oftener_than_the_plan_says() {
    let (mut told, mut met) = (0, 0);
    for seed in 1..=RULE_SETS {
        let (_, mut form) = random_rules::rules(seed);
        // Random rules are restless: with slower ticks there is something to tell apart.
        form.tick_ms = [100, 50][seed as usize % 2];
        let bounds = plan::changes_in_a_second(&form, &all(&form));
        let mut dice = Dice::new(seed + 1000);
        for _ in 0..PLAYS {
            for ((most, bound), of) in
                busiest(&form, &random_play(&form, &mut dice)).iter().zip(&bounds).zip(all(&form))
            {
                let Some(bound) = bound else { continue };
                told += 1;
                met += u32::from(most == bound && *bound > 0);
                assert!(
                    most <= bound,
                    "rules {seed}: {of:?} changes {most} times in a second, the plan says {bound}"
                );
            }
        }
    }
    assert!(told > 300 && met > 30, "the check hardly looks: {told} bounds, {met} of them met");
}

#[test]
fn an_answer_does_not_depend_on_what_was_asked_before() {
    let mut forms: Vec<Form> = (1..=4).map(|seed| random_rules::rules(seed).1).collect();
    forms.push(club().1);
    let mut told = 0;
    for form in forms {
        let all = all(&form);
        let alone = |of: &Flashes| plan::changes_in_a_second(&form, &[*of])[0];
        let each: Vec<Option<u32>> = all.iter().map(alone).collect();
        let backwards: Vec<Flashes> = all.iter().rev().copied().collect();
        let mut turned = plan::changes_in_a_second(&form, &backwards);
        turned.reverse();
        assert_eq!(each, plan::changes_in_a_second(&form, &all));
        assert_eq!(each, turned);
        told += each.iter().flatten().count();
    }
    assert!(told > 20, "the check hardly looks: {told} answers");
}

#[test]
fn no_play_of_the_own_displays_changes_oftener_than_the_plan_says() {
    for ((_, form), within) in [(club(), 7), (fox(), 7)] {
        let mut most = vec![0; all(&form).len()];
        for seed in 1..=6 {
            for play in [Play::Wildly, Play::Well, Play::Badly] {
                let script = people(&form, play, 6000, seed);
                let mut buttons = vec![Conditioner::new(form.tick_ms); form.buttons.len()];
                let mut now = rules::step::begin(&form, &[]).situation;
                let mut frames = Vec::new();
                for (n, down) in script.iter().enumerate() {
                    let heard: Vec<_> =
                        buttons.iter_mut().zip(down).map(|(one, down)| one.tick(*down)).collect();
                    if n > 0 {
                        let pressed = heard.iter().map(|one| one.pressed).collect();
                        let held = heard.iter().map(|one| one.held).collect();
                        now = step(&form, &now, &Input { pressed, held, picks: Vec::new() }).situation;
                    }
                    frames.push(frame(&form, &now));
                }
                for (known, more) in most.iter_mut().zip(busiest(&form, &frames)) {
                    *known = more.max(*known);
                }
            }
        }
        let bounds = plan::changes_in_a_second(&form, &all(&form));
        for ((of, most), bound) in all(&form).into_iter().zip(most).zip(bounds) {
            let Some(bound) = bound else {
                assert!(matches!(of, Flashes::Digits { .. }), "{of:?} is not told");
                continue;
            };
            assert!(most <= bound, "{of:?}: {most} in a play, the plan says {bound}");
            if let Flashes::Figure { .. } = of {
                assert!(
                    bound <= within && most + 1 >= bound,
                    "{of:?}: {most} in a play, the plan says {bound}"
                );
            }
        }
    }
}
