//! Ways through the sets that silence comes to, and how long they take.

use crate::pack::Whole;
use crate::sets::Sets;
use std::collections::BTreeMap;

use super::Look;

/// Sets as places in a graph.
pub(super) struct Graph {
    pub(super) wholes: Vec<Whole>,
    /// For each place where it can go, and whether a pose or a lamp changes on the way.
    next: Vec<Vec<(usize, bool)>>,
    /// The most ticks that it lasts; none where nothing need ever happen.
    lasts: Vec<Option<u64>>,
    /// Whether what is looked for is so in all of it.
    met: Vec<bool>,
}

impl Graph {
    pub(super) fn of(sets: &Sets, look: Look) -> Self {
        let mut place = BTreeMap::new();
        let mut graph = Self { wholes: Vec::new(), next: Vec::new(), lasts: Vec::new(), met: Vec::new() };
        for (at, node) in (0..).zip(&sets.nodes) {
            if node.gone_on {
                place.insert(at, graph.wholes.len());
                graph.wholes.push(sets.whole(at));
                graph.next.push(Vec::new());
                graph.lasts.push(sets.lasts(at));
                graph.met.push(sets.moments(at).iter().all(look));
            }
        }
        for (from, to, changes) in sets.edges.iter().flatten() {
            if let (Some(from), Some(to)) = (place.get(from), place.get(&sets.stands(*to))) {
                graph.next[*from].push((*to, *changes));
            }
        }
        graph
    }

    /// Places that play can be in for ever or come to from there, and the most ticks until it is there.
    pub(super) fn recurrent(&self) -> (Vec<usize>, u64) {
        let all = vec![true; self.wholes.len()];
        let (left, ticks) = self.passed(&all, &|_| true);
        ((0..self.wholes.len()).filter(|at| left[*at]).collect(), ticks)
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
        let mut away: Vec<bool> = self.wholes.iter().map(bad).collect();
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

    /// The most ticks until what was looked for is met.
    pub(super) fn meets(&self) -> Option<u64> {
        let inside: Vec<bool> = self.met.iter().map(|met| !met).collect();
        self.bound(&inside, &|_| true)
    }

    /// The most ticks until a pose or a lamp changes.
    pub(super) fn changes(&self) -> Option<u64> {
        self.bound(&vec![true; self.wholes.len()], &|changes| !changes)
    }

    fn bound(&self, inside: &[bool], wanted: &dyn Fn(bool) -> bool) -> Option<u64> {
        let (left, ticks) = self.passed(inside, wanted);
        (!left.contains(&true)).then_some(ticks)
    }
}
