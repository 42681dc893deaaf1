//! Claims about what can still happen: coming home, a turn for a lone player, never being stuck. Answered on the graph of
//! whole situations.

use crate::answer::Trace;
use crate::model::{Model, Who};
use crate::pack::Whole;
use crate::plain::{Graph, tick_in};
use crate::watch::{Seen, Watch, press_counts};
use crate::work::{Enough, Work};
use rules::step::{Clock, Input, Start, step};
use std::collections::BTreeSet;

/// What came of it.
pub(crate) enum Ending {
    /// Proved; for coming home and for turns the longest way there, in ticks.
    Proved(u64),
    /// Refuted.
    Refuted(Option<Trace>),
}

/// From every situation that any play can come to, with nobody pressing from then on, play comes home for good: the machines
/// are in states in which they can also be, all at the same time, where nobody has ever pressed, and never again are they in
/// others until somebody presses. The bound is the most ticks until then, whatever is picked. Numbers and timers may differ:
/// a best score stays.
///
/// `quiet` is [`Who::Nobody`], or [`Who::Holding`] for a button that is stuck down from some tick on; then home is what can
/// follow on an untouched situation with that button down.
pub(crate) fn comes_home(model: &Model, quiet: Who, work: &mut Work) -> Result<Ending, Enough> {
    let (watch, starts) = (Watch::Nothing, model.starts()?);
    let home = untouched(model, &watch, &starts, quiet, work)?;
    let mut all = Graph::new(model, &watch, Who::Anybody);
    all.begin(&starts, work)?;
    all.run(&|_| false, work)?;
    let states: BTreeSet<Vec<usize>> = home.wholes().map(|whole| states(&whole)).collect();
    let mut after = Graph::new(model, &watch, quiet);
    after.edges = Some(Vec::new());
    for (nth, at) in (0..u32::try_from(all.keys.len()).unwrap_or(u32::MAX)).enumerate() {
        let whole = all.whole(at);
        // Whoever leaves a button stuck has pressed it: it is down already when the quiet begins.
        if !matches!(quiet, Who::Holding(b) if model.tracked[b] && !whole.held[b]) {
            after.seed(&hands_off(&whole, model, quiet), nth, work)?;
        }
    }
    // What was met untouched leads to nothing else.
    after.run(&|whole| home.find(whole).is_some(), work)?;
    let mut away: Vec<bool> = after.wholes().map(|whole| !states.contains(&self::states(&whole))).collect();
    lead_away(&after, &mut away);
    match longest(&after, &away) {
        Ok(ticks) => Ok(Ending::Proved(ticks)),
        Err(cycle) => Ok(Ending::Refuted(for_ever(&all, &after, &starts, &cycle))),
    }
}

fn states(whole: &Whole) -> Vec<usize> {
    whole.situation.machines.iter().map(|being| being.state).collect()
}

/// From every situation that somebody at this button alone can come to, that person gets a turn by waiting, whatever is
/// picked. A turn is a situation in which the button's lamp is lit, if it has one (a single spot of the button's name), and in
/// which a press in the next tick would count as [`press_counts`] says. The bound is the longest wait, in ticks.
pub(crate) fn turn_comes(model: &Model, button: usize, work: &mut Work) -> Result<Ending, Enough> {
    let (watch, starts) = (Watch::Nothing, model.starts()?);
    let mut all = Graph::new(model, &watch, Who::Only(button));
    all.begin(&starts, work)?;
    all.run(&|_| false, work)?;
    let mut after = Graph::new(model, &watch, Who::Nobody);
    after.edges = Some(Vec::new());
    for (nth, at) in (0..u32::try_from(all.keys.len()).unwrap_or(u32::MAX)).enumerate() {
        after.seed(&hands_off(&all.whole(at), model, Who::Nobody), nth, work)?;
    }
    after.run(&|whole| has_turn(model, whole, button), work)?;
    let away: Vec<bool> = after.wholes().map(|whole| !has_turn(model, &whole, button)).collect();
    match longest(&after, &away) {
        Ok(ticks) => Ok(Ending::Proved(ticks)),
        Err(cycle) => Ok(Ending::Refuted(for_ever(&all, &after, &starts, &cycle))),
    }
}

fn has_turn(model: &Model, whole: &Whole, button: usize) -> bool {
    let form = &model.form;
    let lamp = form.spots.iter().position(|spot| *spot == form.buttons[button]);
    if lamp
        .is_some_and(|lamp| model.picture(&whole.situation).spots.get(lamp).is_none_or(|level| *level == 0))
    {
        return false;
    }
    let mut input = Input { held: whole.held.clone(), ..Input::default() };
    input.pressed = (0..form.buttons.len()).map(|b| b == button).collect();
    input.held[button] = true;
    let mut after = step(form, &whole.situation, &input).situation;
    model.settle(&mut after);
    let seen = Seen { before: &whole.situation, input: &input, after: &after, picked: &[], flagged: false };
    press_counts(model, &seen, button, None)
}

/// Marks besides what can still lead to what is marked.
fn lead_away(graph: &Graph, away: &mut [bool]) {
    let mut before: Vec<Vec<u32>> = vec![Vec::new(); away.len()];
    for (from, to, _) in graph.edges.iter().flatten() {
        before[*to as usize].push(*from);
    }
    let mut fresh: Vec<usize> = (0..away.len()).filter(|at| away[*at]).collect();
    while let Some(at) = fresh.pop() {
        for from in std::mem::take(&mut before[at]) {
            if !std::mem::replace(&mut away[from as usize], true) {
                fresh.push(from as usize);
            }
        }
    }
}

/// Situations of a play that nobody has touched; with a stuck button, what can follow on them.
fn untouched<'a>(
    model: &'a Model,
    watch: &'a Watch,
    starts: &[Start],
    quiet: Who,
    work: &mut Work,
) -> Result<Graph<'a>, Enough> {
    let mut home = Graph::new(model, watch, Who::Nobody);
    home.begin(starts, work)?;
    home.run(&|_| false, work)?;
    if quiet == Who::Nobody {
        return Ok(home);
    }
    let mut stuck = Graph::new(model, watch, quiet);
    for (nth, at) in (0..u32::try_from(home.keys.len()).unwrap_or(u32::MAX)).enumerate() {
        stuck.seed(&hands_off(&home.whole(at), model, quiet), nth, work)?;
    }
    stuck.run(&|_| false, work)?;
    Ok(stuck)
}

/// The same situation as those see it who no longer touch anything.
fn hands_off(whole: &Whole, model: &Model, quiet: Who) -> Whole {
    let held = (0..model.form.buttons.len()).map(|b| quiet == Who::Holding(b) && model.tracked[b]).collect();
    Whole { situation: whole.situation.clone(), held, mode: 0, clock: Clock::Off }
}

/// The longest way through what is away from home, in ticks until home; or a circle in it.
fn longest(graph: &Graph, away: &[bool]) -> Result<u64, Vec<u32>> {
    let mut next: Vec<Vec<u32>> = vec![Vec::new(); away.len()];
    for (from, to, _) in graph.edges.iter().flatten() {
        if away[*from as usize] {
            next[*from as usize].push(*to);
        }
    }
    // 0 not seen, 1 on the present way, 2 done.
    let (mut colour, mut length) = (vec![0_u8; away.len()], vec![0_u64; away.len()]);
    let mut most = 0;
    for root in (0..away.len()).filter(|at| away[*at]) {
        let mut way: Vec<(usize, usize)> = vec![(root, 0)];
        while let Some((at, nth)) = way.pop() {
            if colour[at] == 2 {
                continue;
            }
            colour[at] = 1;
            if let Some(to) = next[at].get(nth).map(|to| *to as usize) {
                way.push((at, nth + 1));
                if away[to] && colour[to] == 1 {
                    let from = way.iter().position(|(on, _)| *on == to).unwrap_or(0);
                    return Err(way[from..].iter().map(|(on, _)| u32::try_from(*on).unwrap_or(0)).collect());
                }
                if away[to] && colour[to] == 0 {
                    way.push((to, 0));
                }
                continue;
            }
            colour[at] = 2;
            length[at] = 1 + next[at].iter().map(|to| length[*to as usize]).max().unwrap_or(0);
            most = most.max(length[at]);
        }
    }
    Ok(most)
}

/// The play that goes into a circle.
fn for_ever(all: &Graph, after: &Graph, starts: &[Start], cycle: &[u32]) -> Option<Trace> {
    let first = *cycle.first()?;
    let path = after.path(first);
    let root = *after.roots.get(path.first()?)?;
    let mut trace = all.trace_to(starts, u32::try_from(root).ok()?)?;
    for pair in path.windows(2) {
        trace.ticks.push(tick_in(&after.input_between(pair[0], pair[1])?));
    }
    trace.again_from = Some(trace.ticks.len() - 1);
    for (nth, from) in cycle.iter().enumerate() {
        let to = cycle[(nth + 1) % cycle.len()];
        trace.ticks.push(tick_in(&after.input_between(*from, to)?));
    }
    Some(trace)
}

/// From every situation that any play can come to, something seen can still change: by waiting or by some presses the picture
/// becomes another one. The picture is every pose, spot and number shown, without fades, flashing and time left.
pub(crate) fn never_stuck(model: &Model, work: &mut Work) -> Result<Ending, Enough> {
    let (watch, starts) = (Watch::Nothing, model.starts()?);
    let mut all = Graph::new(model, &watch, Who::Anybody);
    all.edges = Some(Vec::new());
    all.begin(&starts, work)?;
    all.run(&|_| false, work)?;
    let edges = all.edges.take().unwrap_or_default();
    let mut before: Vec<Vec<u32>> = vec![Vec::new(); all.keys.len()];
    let mut alive = vec![false; all.keys.len()];
    let mut fresh: Vec<u32> = Vec::new();
    for (from, to, changed) in edges {
        if changed && !std::mem::replace(&mut alive[from as usize], true) {
            fresh.push(from);
        }
        before[to as usize].push(from);
    }
    while let Some(at) = fresh.pop() {
        for from in std::mem::take(&mut before[at as usize]) {
            if !std::mem::replace(&mut alive[from as usize], true) {
                fresh.push(from);
            }
        }
    }
    let stuck = alive.iter().position(|alive| !alive).and_then(|at| u32::try_from(at).ok());
    Ok(stuck.map_or(Ending::Proved(0), |at| Ending::Refuted(all.trace_to(&starts, at))))
}
