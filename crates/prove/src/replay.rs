//! Every refutation is played through the referee before it is reported.

use crate::answer::Trace;
use crate::model::Model;
use crate::watch::{Clocked, Seen, Watch};
use rules::form::Form;
use rules::step::{Situation, Start};
use rules::vectors::play;
use std::collections::BTreeSet;

/// Whether the observer, started anew and taking every way it may, fails in the last tick of the trace or before. The play
/// itself is the referee's, of the whole form with its own random streams; the observer reads what came of it.
pub(crate) fn fails(form: &Form, watch: &Watch, trace: &Trace) -> bool {
    let Ok(model) = Model::whole(form, watch) else { return false };
    let start = Start { kept: trace.kept.clone(), settings: trace.settings.clone() };
    let run = play(&model.form, &start, &trace.ticks);
    if !plays_as_given(trace, &run) || !hands_could(&model, trace) {
        return false;
    }
    let mut observers: BTreeSet<(u8, Option<u32>)> = BTreeSet::new();
    let mut before: Option<Situation> = None;
    for (tick, (outcome, _)) in trace.ticks.iter().zip(run) {
        let mut after = outcome.situation;
        let flagged = model.settle(&mut after);
        let input = tick.input(form.buttons.len());
        observers = match &before {
            None => match watch.begin(&model, &after, &outcome.picked, flagged) {
                None => return true,
                Some(next) => next.into_iter().map(|(mode, clocked)| (mode, clock(None, clocked))).collect(),
            },
            Some(before) => {
                let seen = Seen { before, input: &input, after: &after, picked: &outcome.picked, flagged };
                let mut next = BTreeSet::new();
                for (mode, left) in observers {
                    let due = left.is_some_and(|left| left <= 1);
                    let left = left.filter(|left| *left > 1).map(|left| left - 1);
                    let Some(ways) = watch.advance(&model, mode, due, &seen) else { return true };
                    next.extend(ways.into_iter().map(|(mode, clocked)| (mode, clock(left, clocked))));
                }
                next
            }
        };
        before = Some(after);
    }
    false
}

/// Whether a trace's last situation is the one after an earlier tick, so that it may go on like that for ever.
pub(crate) fn comes_again(form: &Form, trace: &Trace) -> bool {
    let Some(from) = trace.again_from else { return false };
    let Ok(model) = Model::whole(form, &Watch::Nothing) else { return false };
    let start = Start { kept: trace.kept.clone(), settings: trace.settings.clone() };
    let run = play(&model.form, &start, &trace.ticks);
    let settled = |at: usize| {
        run.get(at).map(|(outcome, _)| {
            let mut situation = outcome.situation.clone();
            model.settle(&mut situation);
            situation
        })
    };
    plays_as_given(trace, &run)
        && hands_could(&model, trace)
        && from + 1 < trace.ticks.len()
        && settled(from) == settled(trace.ticks.len() - 1)
        && trace.ticks[from + 1..].iter().all(|tick| tick.pressed.is_empty())
}

/// Whether the trace can be played as it stands.
pub(crate) fn plays(form: &Form, trace: &Trace) -> bool {
    let Ok(model) = Model::whole(form, &Watch::Nothing) else { return false };
    let start = Start { kept: trace.kept.clone(), settings: trace.settings.clone() };
    let run = play(&model.form, &start, &trace.ticks);
    run.len() == trace.ticks.len() && plays_as_given(trace, &run) && hands_could(&model, trace)
}

/// The trace with every pick that was played given, so that it is the same play whatever the seed.
pub(crate) fn with_picks(form: &Form, mut trace: Trace) -> Trace {
    let start = Start { kept: trace.kept.clone(), settings: trace.settings.clone() };
    let run = play(form, &start, &trace.ticks);
    for (tick, (outcome, _)) in trace.ticks.iter_mut().zip(run) {
        tick.picks = outcome.picked.iter().map(|pick| (pick.site, pick.value)).collect();
    }
    trace
}

/// Every pick that the trace gives is one that could be picked.
fn plays_as_given(trace: &Trace, run: &[(rules::step::Outcome, rules::step::Frame)]) -> bool {
    trace.ticks.iter().zip(run).all(|(tick, (outcome, _))| {
        tick.picks
            .iter()
            .all(|(site, value)| outcome.picked.iter().all(|pick| pick.site != *site || pick.value == *value))
    })
}

/// A button that is asked about is pressed only from up, is held from then on, and is never held without a press.
fn hands_could(model: &Model, trace: &Trace) -> bool {
    let ok = |b: usize, before: Option<&rules::vectors::TickIn>, tick: &rules::vectors::TickIn| {
        let was = before.is_some_and(|before| before.held.contains(&b));
        let (pressed, held) = (tick.pressed.contains(&b), tick.held.contains(&b));
        if pressed { held && !was } else { !held || was }
    };
    let tracked = (0..model.form.buttons.len()).filter(|b| model.tracked[*b]);
    tracked
        .into_iter()
        .all(|b| (1..trace.ticks.len()).all(|at| ok(b, trace.ticks.get(at - 1), &trace.ticks[at])))
}

fn clock(left: Option<u32>, clocked: Clocked) -> Option<u32> {
    match clocked {
        Clocked::Keep => left,
        Clocked::Off => None,
        Clocked::Start(ticks) => Some(ticks),
    }
}
