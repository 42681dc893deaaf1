//! From the number of ticks after which a claim fails to a play of them.

use super::Search;
use super::joint::Joint;
use super::table::Word;
use crate::answer::Trace;
use crate::model::{Model, Who};
use crate::pack::Whole;
use crate::plain::{self, after, tick_in};
use crate::watch::Watch;
use crate::work::{Enough, Work};
use rules::step::{Clock, Input, Start};

/// The play that fails after so many ticks: the layers once more, a way back through them, the referee's inputs along it.
pub(super) fn recover<W: Word>(
    search: &mut Search,
    graph: &plain::Graph,
    (seeds, starts): (&[Joint], &[Start]),
    depth: usize,
) -> Option<Trace> {
    let (model, watch) = (graph.model, graph.watch);
    let mut layers: Vec<Vec<W>> = Vec::new();
    let mut quiet = |_| {};
    let all = crate::Limits { situations: u64::MAX, steps: u64::MAX, bytes: u64::MAX, sets: 0 };
    let mut work = Work::new(all, &mut quiet);
    let _ended = search.run(seeds, Some(&mut layers), &mut work);
    let last = layers.get(depth.checked_sub(1)?)?.clone();
    let (mut joint, mut way) = (Joint::default(), Vec::new());
    let mut whole = |search: &Search, word: W| {
        search.layout.joint(word, &mut joint);
        let (situation, held) = search.groups.whole(&joint);
        Whole { situation, held, mode: 0, clock: Clock::Off }
    };
    let fatal = |word: &W| input_to(model, watch, &whole(search, *word), None).is_some();
    way.extend(last.into_iter().find(fatal));
    let mut out = Vec::new();
    for layer in layers[..depth - 1].iter().rev() {
        let to = *way.last()?;
        let mut before = None;
        for word in layer {
            out.clear();
            search.follow_once(*word, &mut out, 0).ok()?;
            if out.contains(&to) {
                before = Some(*word);
                break;
            }
        }
        way.push(before?);
    }
    way.reverse();
    let mirror = search.mirror;
    // Of a pair, the one that the play has come to.
    let pair = |whole: Whole| {
        let image = mirror.map(|mirror| Whole {
            situation: mirror.situation(&whole.situation),
            held: mirror.held(&whole.held),
            ..whole.clone()
        });
        [Some(whole), image].into_iter().flatten()
    };
    let mut pairs = way.iter().map(|word| pair(whole(search, *word)));
    let (mut here, at) = pairs.next()?.find_map(|one| Some((one.clone(), graph.find(&one)?)))?;
    let mut trace = graph.trace_to(starts, at)?;
    for mut pair in pairs {
        let (next, input) =
            pair.find_map(|one| Some((one.clone(), input_to(model, watch, &here, Some(&one))?)))?;
        trace.ticks.push(tick_in(&input));
        here = next;
    }
    trace.ticks.push(tick_in(&input_to(model, watch, &here, None)?));
    Some(trace)
}

/// Some input that leads to a situation; to a failure where none is given.
fn input_to(model: &Model, watch: &Watch, from: &Whole, to: Option<&Whole>) -> Option<Input> {
    let mut found = None;
    let mut quiet = |_| {};
    let mut work = Work::new(crate::Limits { steps: u64::MAX, ..crate::Limits::default() }, &mut quiet);
    let _ended = model.moves(
        (&from.situation, &from.held, Who::Anybody),
        false,
        &mut work,
        &mut |_, input, outcome| {
            let here = match (after(model, watch, from, input, outcome), to) {
                (None, None) => true,
                (Some(next), Some(to)) => next.contains(to),
                _ => false,
            };
            if here {
                found = Some(input.clone());
                return Err(Enough::Found);
            }
            Ok(())
        },
    );
    found
}
