//! The questions about silence, each asked more and more closely.

use super::turn::Turn;
use super::{Calm, light, untouched};
use crate::claims::Question;
use crate::far::Near;
use crate::model::Who;
use crate::sets::Sets;
use crate::work::{Enough, Work};
use rules::form::{Expr, Form};
use rules::step::Situation;
use std::collections::BTreeMap;

/// Plays that are tried to come to the same states.
const TRIES: u32 = 3;

/// The most ticks until what is asked for must have come; none where sets do not show that it must. At first long timers may stand
/// anywhere and machines are found beside one other; where that is not enough, everything that can be is found with every clock.
pub(crate) fn bound(form: &Form, question: &Question, work: &mut Work) -> Result<Option<u64>, Enough> {
    for close in [false, true] {
        let ticks = match question {
            Question::Home(quiet) => {
                let calm = settled(form, *quiet, (Vec::new(), close), work)?;
                calm.home(work)?.map(|ticks| ticks + calm.ticks)
            }
            Question::Alone(button) => turn(form, *button, close, work)?,
            _ => {
                let calm = settled(form, Who::Nobody, (light::sees(form), close), work)?;
                calm.changes(work)?.map(|ticks| ticks + calm.ticks)
            }
        };
        if ticks.is_some() {
            return Ok(ticks);
        }
    }
    Ok(None)
}

fn settled<'f>(
    form: &'f Form,
    quiet: Who,
    (sees, close): (Vec<Expr>, bool),
    work: &mut Work,
) -> Result<Calm<'f>, Enough> {
    let mut calm = Calm::new(form, quiet, sees, close);
    calm.settle(work)?;
    Ok(calm)
}

/// The most ticks until a turn comes that one machine is enough to see.
fn turn(form: &Form, button: usize, close: bool, work: &mut Work) -> Result<Option<u64>, Enough> {
    for by in Turn::hearers(form, button) {
        let calm = settled(form, Who::Nobody, (Turn::sees(form, button, by), close), work)?;
        let Some(graph) = calm.whole_graph(work)? else { continue };
        let turn = Turn { calm: &calm, button, by };
        if let Some(ticks) = graph.meets(&|situation| turn.is(situation)) {
            return Ok(Some(ticks + calm.ticks));
        }
    }
    Ok(None)
}

impl Calm<'_> {
    /// The most ticks until all machines are for good in states in which they have been seen together in untouched play. Where
    /// everything is looked at closely, and plays by the referee's own picks do not show enough of these, more are played.
    fn home(&self, work: &mut Work) -> Result<Option<u64>, Enough> {
        let Some(graph) = self.whole_graph(work)? else { return Ok(None) };
        let mut seen = untouched::seen(self.form, self.quiet, untouched::SOME);
        let left = |seen: &untouched::Seen| {
            graph.leaves_for_good(&|whole| !seen.contains(&self.together(&whole.situation)))
        };
        let ticks = left(&seen);
        if ticks.is_some() || !self.close {
            return Ok(ticks);
        }
        self.show(&mut seen, work)?;
        seen.extend(untouched::seen(self.form, self.quiet, untouched::MORE));
        Ok(left(&seen))
    }

    /// The states that all machines are in.
    fn together(&self, situation: &Situation) -> Vec<usize> {
        self.with_idle(situation).machines.iter().map(|being| being.state).collect()
    }

    /// Adds the states of untouched plays that lead where sets say that untouched play can be.
    fn show(&self, seen: &mut untouched::Seen, work: &mut Work) -> Result<(), Enough> {
        let Some((model, free)) = self.in_silence(&self.busy)? else { return Ok(()) };
        let starts = model.starts()?;
        let mut sets = Sets::new(&model, &self.watch, Who::Free(free))?;
        sets.begin(&starts, work)?;
        sets.run(work)?;
        let mut tried: BTreeMap<Vec<usize>, u32> = BTreeMap::new();
        for at in 0..u32::try_from(sets.nodes.len()).unwrap_or(u32::MAX) {
            let states = self.together(&sets.whole(at).situation);
            if seen.contains(&states) {
                continue;
            }
            let times = tried.entry(states).or_default();
            *times += 1;
            if *times <= TRIES {
                work.steps(untouched::play_to(self.form, self.quiet, (&sets, &starts, at), seen))?;
            }
        }
        Ok(())
    }

    /// The most ticks until a pose or a spot changes: of one machine whatever others do, or else of all.
    fn changes(&self, work: &mut Work) -> Result<Option<u64>, Enough> {
        for m in &self.busy {
            let machine = &self.base.machines[*m];
            if machine.states.iter().any(|state| state.pose.is_some() || !state.lights.is_empty()) {
                let near: Near = [*m].into();
                let graph = self.graph(&near, &[(near.clone(), Near::new())], true, work)?;
                if let Some(ticks) = graph.and_then(|graph| graph.changes()) {
                    return Ok(Some(ticks));
                }
            }
        }
        Ok(self.whole_graph(work)?.and_then(|graph| graph.changes()))
    }
}
