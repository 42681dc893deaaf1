//! What is seen in plays of the referee that nobody touches.

use crate::model::Who;
use rules::form::Form;
use rules::step::{Input, Start, begin_from, step_on};
use std::collections::BTreeSet;

/// Ticks of play that are looked at for the states that machines are in together when nobody touches anything.
const PLAYED: u32 = 200_000;
/// Of these, ticks before a button is stuck.
const BEFORE_STUCK: u32 = 4_001;

/// The states that machines are in together in plays that nobody touches, or, with a stuck button, in what follows on such plays:
/// not all of them perhaps, but each one was seen in a play of the referee.
pub(super) fn seen(form: &Form, quiet: Who) -> BTreeSet<Vec<usize>> {
    let mut seen = BTreeSet::new();
    let nobody = Input::default();
    let held = (0..form.buttons.len()).map(|b| quiet == Who::Holding(b)).collect();
    let stuck = Input { held, ..Input::default() };
    let mut untouched = begin_from(form, &Start::default(), &[]).situation;
    let mut situation = untouched.clone();
    for tick in 0..PLAYED {
        if quiet != Who::Nobody && tick % BEFORE_STUCK == 0 {
            for _ in 0..tick / 11 % BEFORE_STUCK {
                untouched = step_on(form, untouched, &nobody).situation;
            }
            situation.clone_from(&untouched);
        } else {
            let states: Vec<usize> = situation.machines.iter().map(|being| being.state).collect();
            seen.insert(states);
        }
        situation = step_on(form, situation, &stuck).situation;
    }
    seen
}
