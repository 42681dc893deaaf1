//! What random people do, and what was kept and set before they came.

use super::Dice;
use rules::form::Form;
use rules::step::Start;
use rules::vectors::TickIn;

/// Kept values and settings, in range and out of it; some are missing.
pub fn start(form: &Form, seed: u32) -> Start {
    let mut dice = Dice::new(seed ^ 0x0DD5);
    let mut some = |count: usize| {
        let mut one = || if dice.chance(60) { Some(dice.pick(-70, 300) * dice.pick(1, 200)) } else { None };
        (0..count).map(|_| one()).collect::<Vec<Option<i32>>>()
    };
    Start { kept: some(form.kept().len()), settings: some(form.settings.len()) }
}

/// What people do in so many ticks; now and then picks are given.
pub fn people(form: &Form, seed: u32, ticks: usize) -> Vec<TickIn> {
    let mut dice = Dice::new(seed ^ 0x5EED);
    let buttons = form.buttons.len();
    let mut held = vec![false; buttons];
    let mut all = Vec::with_capacity(ticks);
    for _ in 0..ticks {
        let mut tick = TickIn::default();
        for (b, held) in held.iter_mut().enumerate() {
            if dice.chance(12) {
                *held = !*held;
                if *held {
                    tick.pressed.push(b);
                }
            }
            if *held {
                tick.held.push(b);
            }
        }
        for site in 0..form.pick_sites {
            if dice.chance(10) {
                tick.picks.push((site, dice.pick(-70_000, 70_000)));
            }
        }
        all.push(tick);
    }
    all
}
