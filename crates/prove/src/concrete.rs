//! From a way through sets to a play with ticks and picks.

use crate::answer::Trace;
use crate::leap::{Whose, clocks};
use crate::plain::tick_in;
use crate::sets::{Fail, Label, Sets};
use crate::watch::Watch;
use rules::step::{Input, Pick, Start};
use rules::vectors::TickIn;
use std::collections::BTreeMap;

/// Ticks of two events: the second is at least this much later than the first (or, less than 0, at most so much later).
struct Apart {
    from: usize,
    to: usize,
    least: i64,
}

/// A clock that runs: since which event, its shortest and longest time, the place that picked it.
#[derive(Clone, Copy)]
struct Since {
    event: usize,
    least: i64,
    most: i64,
    site: Option<u32>,
}

/// The play of the earliest ticks along the way to a failure. Every clock that runs out says how far two events lie apart,
/// every clock that does not says how far they can be; the earliest ticks are the longest ways through these differences.
pub(crate) fn trace(sets: &Sets, starts: &[Start], fail: &Fail) -> Option<Trace> {
    let (at, last) = match fail {
        Fail::Begin(start, input) => {
            let start = starts.get(*start)?;
            let (kept, settings) = (start.kept.clone(), start.settings.clone());
            return Some(Trace { kept, settings, ticks: vec![tick_in(input)], again_from: None });
        }
        Fail::Step(at, label) => (*at, label),
    };
    let mut way = vec![at];
    let start = loop {
        match sets.nodes[*way.last()? as usize].parent {
            Ok(parent) => way.push(parent),
            Err(start) => break start,
        }
    };
    way.reverse();
    let mut labels: Vec<&Label> = way.iter().map(|at| &*sets.nodes[*at as usize].label).collect();
    labels.push(last);
    let (apart, ran) = differences(sets, &way, &labels);
    let ticks = earliest(labels.len(), &apart)?;
    let start = starts.get(start)?;
    let picks = picks(&ran, &ticks);
    Some(Trace {
        kept: start.kept.clone(),
        settings: start.settings.clone(),
        ticks: spread(&labels, &ticks, &picks)?,
        again_from: None,
    })
}

/// What the clocks say about the events' ticks, and which clocks ran: since when, until when, and whether they ran out.
fn differences(sets: &Sets, way: &[u32], labels: &[&Label]) -> (Vec<Apart>, Vec<(Since, usize, bool)>) {
    let (mut apart, mut ran) = (Vec::new(), Vec::new());
    let mut running: BTreeMap<Whose, Since> = BTreeMap::new();
    for (event, label) in labels.iter().enumerate() {
        if event > 0 {
            let before = way[event - 1];
            apart.push(Apart { from: event - 1, to: event, least: 1 });
            if sets.nodes[before as usize].urgent {
                apart.push(Apart { from: event, to: event - 1, least: -1 });
            }
            for (whose, since) in &running {
                let out = label.out.contains(whose);
                let most = if out { since.most } else { since.most - 1 };
                apart.push(Apart { from: event, to: since.event, least: -most });
                // A count of changes that was given up early says nothing about when.
                let counts = *whose == Whose::Observer && matches!(sets.watch, Watch::Flash { .. });
                if out && !counts {
                    apart.push(Apart { from: since.event, to: event, least: since.least });
                    ran.push((*since, event, true));
                }
            }
        }
        running.retain(|whose, _| !label.out.contains(whose));
        // Those still running afterwards: what was started now, or went on.
        let Some(at) = way.get(event) else { break };
        let now = clocks(&sets.whole(*at), &sets.model.free);
        for (whose, least, most, site) in &label.new {
            let since = Since { event, least: i64::from(*least), most: i64::from(*most), site: *site };
            if let Some(old) = running.insert(*whose, since) {
                ran.push((old, event, false));
            }
        }
        let stopped: Vec<Whose> = running.keys().filter(|whose| !now.contains(whose)).copied().collect();
        for whose in stopped {
            if let Some(old) = running.remove(&whose) {
                ran.push((old, event, false));
            }
        }
    }
    ran.extend(running.into_values().map(|since| (since, labels.len(), false)));
    (apart, ran)
}

/// The least tick of every event (Bellman and Ford); none when the differences contradict each other.
fn earliest(events: usize, apart: &[Apart]) -> Option<Vec<i64>> {
    let mut ticks = vec![0_i64; events];
    for _ in 0..=events {
        let mut moved = false;
        for one in apart {
            let wanted = ticks[one.from] + one.least;
            if wanted > ticks[one.to] {
                ticks[one.to] = wanted;
                moved = true;
            }
        }
        if !moved {
            return (ticks.first() == Some(&0)).then_some(ticks);
        }
    }
    None
}

/// The picks of lengths, by event: what the timer ran; the longest where it did not run out.
fn picks(ran: &[(Since, usize, bool)], ticks: &[i64]) -> BTreeMap<usize, Vec<Pick>> {
    let mut picks: BTreeMap<usize, Vec<Pick>> = BTreeMap::new();
    for (since, until, out) in ran {
        if let Some(site) = since.site {
            let length = if *out { ticks[*until] - ticks[since.event] } else { since.most };
            let value = i32::try_from(length).unwrap_or(i32::MAX);
            picks.entry(since.event).or_default().push(Pick { site, value });
        }
    }
    picks
}

/// One input a tick.
fn spread(labels: &[&Label], ticks: &[i64], picks: &BTreeMap<usize, Vec<Pick>>) -> Option<Vec<TickIn>> {
    let mut all: Vec<TickIn> = Vec::new();
    for (event, label) in labels.iter().enumerate() {
        let at = usize::try_from(ticks[event]).ok()?;
        let held = all.last().map(|tick| tick.held.clone()).unwrap_or_default();
        while all.len() < at {
            all.push(TickIn { held: held.clone(), ..TickIn::default() });
        }
        let mut input: Input = label.input.clone();
        input.picks.extend(picks.get(&event).into_iter().flatten());
        all.push(tick_in(&input));
    }
    Some(all)
}
