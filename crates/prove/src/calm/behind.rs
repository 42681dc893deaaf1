//! What play must leave behind, and after how many ticks at most.
//!
//! Sets that no circle of steps leads back to are behind once they are left. A circle may be one of the sets only and of no play:
//! where a timer runs in all of its sets, and no step of it starts that timer anew, the timer runs out after at most what it has
//! left, so that play has gone by then. (In an endless run every clock that is bounded is set infinitely often: R. Alur, D. Dill,
//! "A theory of timed automata", 1994, progressive runs; components: R. Tarjan, "Depth-first search and linear graph algorithms",
//! 1972. Both from memory.)

use crate::leap::Whose;
use std::collections::BTreeSet;

/// Places, the steps between them, and the clocks that each step starts.
pub(super) struct Ways<'g> {
    pub(super) next: Vec<Vec<(usize, &'g [Whose])>>,
    /// The most ticks that each place lasts; none where nothing need ever happen.
    pub(super) lasts: Vec<Option<u64>>,
    /// The clocks that run at a place, with the most ticks that each has left.
    pub(super) clocks: &'g dyn Fn(usize) -> Vec<(Whose, u64)>,
}

impl Ways<'_> {
    /// For each place the most ticks until it is behind, counted from the beginning, 0 where it is not inside; none where that
    /// can never be known.
    pub(super) fn passed(&self, inside: &[bool]) -> Vec<Option<u64>> {
        let (mut left, mut since) = (vec![false; inside.len()], vec![0_u64; inside.len()]);
        let mut passed = vec![Some(0); inside.len()];
        // A component comes after all that can be come to from it; so from the back, all ways to it are known.
        for circle in self.components(inside).into_iter().rev() {
            let begun = circle.iter().map(|at| since[*at]).max().unwrap_or(0);
            let came = circle.iter().any(|at| left[*at]);
            let lasts = if came { None } else { self.stays(&circle) };
            let until = lasts.map(|ticks| begun + ticks);
            for at in &circle {
                passed[*at] = until;
                for (to, _) in self.next[*at].iter().filter(|(to, _)| inside[*to]) {
                    since[*to] = since[*to].max(until.unwrap_or(0));
                    left[*to] |= until.is_none();
                }
            }
        }
        passed
    }

    /// The most ticks until play is inside no more; none where that is not known.
    pub(super) fn bound(&self, inside: &[bool]) -> Option<u64> {
        self.passed(inside).into_iter().try_fold(0, |most, until| Some(until?.max(most)))
    }

    /// The most ticks that play stays in one component.
    fn stays(&self, circle: &[usize]) -> Option<u64> {
        let within: BTreeSet<usize> = circle.iter().copied().collect();
        let steps = || {
            let all = circle.iter().flat_map(|at| &self.next[*at]);
            all.filter(|(to, _)| within.contains(to))
        };
        if steps().next().is_none() {
            return circle.iter().map(|at| self.lasts[*at]).max()?;
        }
        let started: BTreeSet<Whose> = steps().flat_map(|(_, new)| new.iter().copied()).collect();
        let mut run = (self.clocks)(*circle.first()?);
        run.retain(|(whose, _)| !started.contains(whose));
        for at in circle {
            if run.is_empty() {
                return None;
            }
            let here = (self.clocks)(*at);
            run.retain_mut(|(whose, most)| {
                let found = here.iter().find(|(of, _)| of == whose);
                *most = found.map_or(0, |(_, ticks)| *ticks.max(most));
                found.is_some()
            });
        }
        run.into_iter().map(|(_, most)| most).min()
    }

    /// The strongly connected components of the places inside, each after all that can be come to from it.
    fn components(&self, inside: &[bool]) -> Vec<Vec<usize>> {
        const NEVER: usize = usize::MAX;
        let (mut met, mut low) = (vec![NEVER; inside.len()], vec![NEVER; inside.len()]);
        let (mut open, mut on, mut count) = (Vec::new(), vec![false; inside.len()], 0);
        let mut all = Vec::new();
        for root in (0..inside.len()).filter(|at| inside[*at]) {
            let mut way: Vec<(usize, usize)> = Vec::new();
            if met[root] == NEVER {
                way.push((root, 0));
            }
            while let Some((at, nth)) = way.pop() {
                if nth == 0 {
                    (met[at], low[at], on[at]) = (count, count, true);
                    count += 1;
                    open.push(at);
                }
                if let Some((to, _)) = self.next[at].get(nth) {
                    way.push((at, nth + 1));
                    if inside[*to] && met[*to] == NEVER {
                        way.push((*to, 0));
                    } else if inside[*to] && on[*to] {
                        low[at] = low[at].min(met[*to]);
                    }
                    continue;
                }
                if let Some((before, _)) = way.last() {
                    low[*before] = low[*before].min(low[at]);
                }
                if low[at] == met[at] {
                    let from = open.iter().rposition(|on| *on == at).unwrap_or(0);
                    let circle = open.split_off(from);
                    circle.iter().for_each(|at| on[*at] = false);
                    all.push(circle);
                }
            }
        }
        all
    }
}
