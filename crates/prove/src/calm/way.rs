//! Ways through the sets that silence comes to, and how long they take.

use crate::pack::{Packed, Packer, Whole};
use crate::reduce::Place;
use crate::sets::{Sets, moments};
use crate::zone::Zone;
use rules::step::Situation;
use std::collections::{BTreeMap, BTreeSet};

/// Sets as places in a graph.
pub(crate) struct Graph {
    packer: Packer,
    sets: Vec<(Packed, Zone)>,
    /// Timers without a clock.
    free: BTreeSet<Place>,
    /// For each place where it can go, and whether a pose or a lamp changes on the way.
    next: Vec<Vec<(usize, bool)>>,
    /// The most ticks that it lasts; none where nothing need ever happen.
    lasts: Vec<Option<u64>>,
}

impl Graph {
    pub(super) fn of(sets: Sets) -> Self {
        let nodes = || (0..).zip(&sets.nodes).filter(|(_, node)| node.gone_on).map(|(at, _)| at);
        let place: BTreeMap<u32, usize> = nodes().zip(0..).collect();
        let mut next = vec![Vec::new(); place.len()];
        for (from, to, changes) in sets.edges.iter().flatten() {
            if let (Some(from), Some(to)) = (place.get(from), place.get(&sets.stands(*to))) {
                next[*from].push((*to, *changes));
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

    /// Places that play can be in for ever or come to from there, and the most ticks until it is there.
    pub(super) fn recurrent(&self) -> (Vec<usize>, u64) {
        let all = vec![true; self.sets.len()];
        let (left, ticks) = self.passed(&all, &|_| true);
        ((0..self.sets.len()).filter(|at| left[*at]).collect(), ticks)
    }

    /// Which of these places can never be known to be behind, going along steps that are wanted; and the longest way through
    /// the others, in ticks.
    fn passed(&self, inside: &[bool], wanted: &dyn Fn(bool) -> bool) -> (Vec<bool>, u64) {
        let mut before = vec![0_u32; inside.len()];
        let steps = |at: usize| {
            self.next[at].iter().filter(|(to, changes)| inside[*to] && wanted(*changes)).map(|(to, _)| *to)
        };
        for at in (0..inside.len()).filter(|at| inside[*at]) {
            steps(at).for_each(|to| before[to] += 1);
        }
        let mut left = inside.to_vec();
        let mut fresh: Vec<usize> = (0..inside.len()).filter(|at| inside[*at] && before[*at] == 0).collect();
        let mut since = vec![0_u64; inside.len()];
        let mut most = 0;
        while let Some(at) = fresh.pop() {
            // Where nothing need ever happen, play can stay.
            let Some(ticks) = self.lasts[at] else { continue };
            left[at] = false;
            let until = since[at] + ticks;
            most = most.max(until);
            for to in steps(at) {
                since[to] = since[to].max(until);
                before[to] -= 1;
                if before[to] == 0 {
                    fresh.push(to);
                }
            }
        }
        (left, most)
    }

    /// The most ticks until play is where it never again comes to a place of the kind asked about; none where that is not known.
    pub(super) fn leaves_for_good(&self, bad: &dyn Fn(&Whole) -> bool) -> Option<u64> {
        let mut away: Vec<bool> = (0..self.sets.len()).map(|at| bad(&self.whole(at))).collect();
        let mut before: Vec<Vec<usize>> = vec![Vec::new(); away.len()];
        for (from, next) in self.next.iter().enumerate() {
            next.iter().for_each(|(to, _)| before[*to].push(from));
        }
        let mut fresh: Vec<usize> = (0..away.len()).filter(|at| away[*at]).collect();
        while let Some(at) = fresh.pop() {
            for from in std::mem::take(&mut before[at]) {
                if !std::mem::replace(&mut away[from], true) {
                    fresh.push(from);
                }
            }
        }
        self.bound(&away, &|_| true)
    }

    /// The most ticks until what is looked for is met, which is where it is so in all of a set.
    pub(super) fn meets(&self, look: &dyn Fn(&Situation) -> bool) -> Option<u64> {
        let met = |at: usize| moments(&self.whole(at), &self.sets[at].1, &self.free).iter().all(look);
        let inside: Vec<bool> = (0..self.sets.len()).map(|at| !met(at)).collect();
        self.bound(&inside, &|_| true)
    }

    /// The most ticks until a pose or a lamp changes.
    pub(super) fn changes(&self) -> Option<u64> {
        self.bound(&vec![true; self.sets.len()], &|changes| !changes)
    }

    fn bound(&self, inside: &[bool], wanted: &dyn Fn(bool) -> bool) -> Option<u64> {
        let (left, ticks) = self.passed(inside, wanted);
        (!left.contains(&true)).then_some(ticks)
    }
}
