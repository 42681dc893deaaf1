//! What is seen in plays of the referee that nobody touches.

use crate::concrete;
use crate::model::{Model, Who};
use crate::sets::{Fail, Sets};
use crate::watch::Watch;
use rules::form::Form;
use rules::step::{Input, Start, begin_from, step_on};
use rules::vectors::play;
use std::collections::BTreeSet;

/// States that all machines are in together.
pub(super) type Seen = BTreeSet<Vec<usize>>;

/// Ticks of play that are looked at for the states that machines are in together when nobody touches anything.
pub(super) const SOME: u32 = 200_000;
/// The same where these are not enough.
pub(super) const MORE: u32 = 2_000_000;
/// Of these, ticks before a button is stuck.
const BEFORE_STUCK: u32 = 4_001;

/// The states that machines are in together in plays that nobody touches, or, with a stuck button, in what follows on such plays:
/// not all of them perhaps, but each one was seen in a play of the referee.
pub(super) fn seen(form: &Form, quiet: Who, ticks: u32) -> Seen {
    let mut seen = BTreeSet::new();
    let nobody = Input::default();
    let held = (0..form.buttons.len()).map(|b| quiet == Who::Holding(b)).collect();
    let stuck = Input { held, ..Input::default() };
    let mut untouched = begin_from(form, &Start::default(), &[]).situation;
    let mut situation = untouched.clone();
    for tick in 0..ticks {
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

/// Adds the states of an untouched play of the referee's, by picks with which a set may be come to; how many ticks it has. With a
/// stuck button, it is down from the beginning.
pub(super) fn play_to(
    form: &Form,
    quiet: Who,
    (sets, starts, at): (&Sets, &[Start], u32),
    seen: &mut Seen,
) -> u64 {
    let node = &sets.nodes[at as usize];
    let Ok(before) = node.parent else { return 0 };
    let Ok(whole) = Model::whole(form, &Watch::Nothing) else { return 0 };
    let fail = Fail::Step(before, (*node.label).clone());
    let Some(mut trace) = concrete::trace(sets, starts, &fail) else { return 0 };
    for tick in &mut trace.ticks {
        tick.pressed.clear();
        tick.held = (0..form.buttons.len()).filter(|b| quiet == Who::Holding(*b)).collect();
        tick.picks.retain(|(site, value)| {
            whole.sites.get(site).is_some_and(|(least, most)| (least..=most).contains(&value))
        });
    }
    let start = Start { kept: trace.kept, settings: trace.settings };
    for (outcome, _) in play(form, &start, &trace.ticks).into_iter().skip(1) {
        seen.insert(outcome.situation.machines.iter().map(|being| being.state).collect());
    }
    trace.ticks.len() as u64
}
