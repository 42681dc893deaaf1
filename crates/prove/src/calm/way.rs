//! Ways through the sets that silence comes to, and how long they take.

use super::behind::Ways;
use crate::leap::{Whose, clocks, moments};
use crate::pack::{Packed, Packer, Whole};
use crate::reduce::Place;
use crate::sets::Sets;
use crate::zone::Zone;
use rules::step::Situation;
use std::collections::{BTreeMap, BTreeSet};

/// Sets as places in a graph.
pub(crate) struct Graph {
    packer: Packer,
    sets: Vec<(Packed, Zone)>,
    /// Timers without a clock.
    free: BTreeSet<Place>,
    /// For each place where it can go.
    next: Vec<Vec<Step>>,
    /// The most ticks that it lasts; none where nothing need ever happen.
    lasts: Vec<Option<u64>>,
}

/// A step: out of which of the place's moments, where to, and whether a pose or a spot changes on the way.
struct Step {
    moment: usize,
    to: usize,
    changes: bool,
    /// The clocks that it starts.
    new: Box<[Whose]>,
}

impl Graph {
    pub(super) fn of(sets: Sets) -> Self {
        let nodes = || (0..).zip(&sets.nodes).filter(|(_, node)| node.gone_on).map(|(at, _)| at);
        let place: BTreeMap<u32, usize> = nodes().zip(0..).collect();
        let mut next: Vec<Vec<Step>> = place.iter().map(|_| Vec::new()).collect();
        for edge in sets.edges.iter().flatten() {
            if let (Some(from), Some(to)) = (place.get(&edge.from), place.get(&sets.stands(edge.to))) {
                let (moment, changes, new) = (edge.moment, edge.changes, edge.new.clone());
                next[*from].push(Step { moment, to: *to, changes, new });
            }
        }
        let lasts = nodes().map(|at| sets.lasts(at)).collect();
        let free = sets.model.free.clone();
        let Sets { packer, nodes, .. } = sets;
        let gone_on = nodes.into_iter().filter(|node| node.gone_on);
        Self { packer, sets: gone_on.map(|node| (node.key, node.zone)).collect(), free, next, lasts }
    }

    /// The situation at a place, without its timers' ticks.
    pub(super) fn whole(&self, at: usize) -> Whole {
        self.packer.unpack(&self.sets[at].0)
    }

    /// For each place the most ticks until it is behind; none where play can be for ever, or comes to from there.
    pub(super) fn passed(&self) -> Vec<Option<u64>> {
        self.ways(&|_| true, &|at| self.clocks(at)).passed(&vec![true; self.sets.len()])
    }

    /// The clocks that run at a place, with the most ticks that each has left.
    fn clocks(&self, at: usize) -> Vec<(Whose, u64)> {
        let most = |clock| self.sets[at].1.most(clock);
        let clocks = clocks(&self.whole(at), &self.free);
        clocks.into_iter().enumerate().map(|(clock, whose)| (whose, most(clock))).collect()
    }

    /// The ways along steps that are wanted.
    fn ways<'g>(
        &'g self,
        wanted: &dyn Fn(&Step) -> bool,
        clocks: &'g dyn Fn(usize) -> Vec<(Whose, u64)>,
    ) -> Ways<'g> {
        let of = |next: &'g Vec<Step>| {
            next.iter().filter(|step| wanted(step)).map(|step| (step.to, &*step.new)).collect()
        };
        Ways { next: self.next.iter().map(of).collect(), lasts: self.lasts.clone(), clocks }
    }

    /// The most ticks until play is where it never again comes to a place of the kind asked about; none where that is not known.
    pub(super) fn leaves_for_good(&self, bad: &dyn Fn(&Whole) -> bool) -> Option<u64> {
        let mut away: Vec<bool> = (0..self.sets.len()).map(|at| bad(&self.whole(at))).collect();
        let mut before: Vec<Vec<usize>> = vec![Vec::new(); away.len()];
        for (from, next) in self.next.iter().enumerate() {
            next.iter().for_each(|step| before[step.to].push(from));
        }
        let mut fresh: Vec<usize> = (0..away.len()).filter(|at| away[*at]).collect();
        while let Some(at) = fresh.pop() {
            for from in std::mem::take(&mut before[at]) {
                if !std::mem::replace(&mut away[from], true) {
                    fresh.push(from);
                }
            }
        }
        self.ways(&|_| true, &|at| self.clocks(at)).bound(&away)
    }

    /// The most ticks until what is looked for is met. Each set is taken apart into its moments: those in which nothing runs out
    /// next tick, which last until something does, and for each choice of timers those in which they do. A step may lead to any
    /// moment of a set.
    pub(super) fn meets(&self, look: &dyn Fn(&Situation) -> bool) -> Option<u64> {
        let (mut first, mut inside, mut lasts, mut next) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
        for (at, (_, zone)) in self.sets.iter().enumerate() {
            first.push(inside.len());
            for (situation, waits) in moments(&self.whole(at), zone, &self.free) {
                // Where waiting would not go on, the very next tick is a step.
                let waits = waits && self.lasts[at] != Some(1);
                inside.push(!look(&situation));
                lasts.push(if waits { self.lasts[at].map(|ticks| ticks - 1) } else { Some(1) });
                next.push((at, waits));
            }
        }
        first.push(inside.len());
        let all = |at: usize| first[at]..first[at + 1];
        let steps = |(nth, (at, waits)): (usize, &(usize, bool))| {
            let moment = nth - first[*at];
            let steps = self.next[*at].iter().filter(|step| step.moment == moment);
            let waiting = all(*at).filter(|to| *waits && *to != nth).map(|to| (to, [].as_slice()));
            let steps = steps.flat_map(|step| all(step.to).map(|to| (to, &*step.new)));
            steps.chain(waiting).collect::<Vec<(usize, &[Whose])>>()
        };
        let ways = next.iter().enumerate().map(steps).collect();
        Ways { next: ways, lasts, clocks: &|nth| self.clocks(next[nth].0) }.bound(&inside)
    }

    /// The most ticks until a pose or a spot changes.
    pub(super) fn changes(&self) -> Option<u64> {
        self.ways(&|step| !step.changes, &|at| self.clocks(at)).bound(&vec![true; self.sets.len()])
    }
}
