//! Sets of timer values as difference bounds.
//!
//! A zone says for every pair of clocks how far the one is above the other at most; clock 0 is always 0. Bounds are whole
//! numbers and the set is its whole points; kept canonical (every bound as tight as the others make it), two zones are equal
//! when their bounds are, and one lies in another when each bound is no greater. Since differences of whole numbers bound by
//! whole numbers have whole solutions (the matrix is totally unimodular), nothing is lost by looking at whole points only.
//!
//! D. L. Dill, "Timing assumptions and verification of finite-state concurrent systems", 1989; J. Bengtsson and W. Yi, "Timed
//! automata: semantics, algorithms and tools", 2004. Both from memory. There clocks count up from 0 and are compared with
//! constants; here timers count down to 0, which turns the future of a zone into its past.

/// No bound. Far above every bound that timers give.
const FREE: i32 = 1 << 29;

/// A canonical, non-empty zone over `clocks` timers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Zone {
    /// With the clock that is always 0.
    size: usize,
    /// Row i, column j: clock i minus clock j at most.
    bounds: Box<[i32]>,
}

impl Zone {
    /// Each timer within its own stretch.
    pub(crate) fn stretches(ranges: &[(u32, u32)]) -> Self {
        let size = ranges.len() + 1;
        let mut zone = Self { size, bounds: vec![FREE; size * size].into() };
        for i in 0..size {
            zone.put(i, i, 0);
        }
        for (i, (least, most)) in ranges.iter().enumerate() {
            zone.put(i + 1, 0, whole(*most));
            zone.put(0, i + 1, -whole(*least));
        }
        let _never_empty = zone.tighten();
        zone
    }

    /// Bytes it takes.
    pub(crate) fn bytes(&self) -> u64 {
        4 * self.bounds.len() as u64 + 40
    }

    fn at(&self, i: usize, j: usize) -> i32 {
        self.bounds[i * self.size + j]
    }

    fn put(&mut self, i: usize, j: usize, bound: i32) {
        self.bounds[i * self.size + j] = bound;
    }

    /// Makes every bound as tight as the others make it (Floyd and Warshall); false when nothing is left.
    fn tighten(&mut self) -> bool {
        let n = self.size;
        for k in 0..n {
            for i in 0..n {
                let ik = self.at(i, k);
                if ik >= FREE {
                    continue;
                }
                for j in 0..n {
                    let through = ik.saturating_add(self.at(k, j));
                    if through < self.at(i, j) {
                        self.put(i, j, through);
                    }
                }
            }
        }
        (0..n).all(|i| self.at(i, i) >= 0)
    }

    /// Everything that the set can become by waiting while no timer runs out: {x - d : d >= 0, all >= 1}. Differences stay,
    /// upper bounds stay, lower bounds fall to 1.
    pub(crate) fn past(mut self) -> Self {
        for j in 1..self.size {
            self.put(0, j, -1);
        }
        let _never_empty = self.tighten();
        self
    }

    /// Those points whose timer `clock` (from 0) is at 1, or those where it is at 2 or more; none when there are none.
    pub(crate) fn running_out(&self, clock: usize, out: bool) -> Option<Self> {
        let mut part = self.clone();
        let (i, j, bound) = if out { (clock + 1, 0, 1) } else { (0, clock + 1, -2) };
        if bound < part.at(i, j) {
            part.put(i, j, bound);
            // One bound was tightened: what it makes tighter goes through it once.
            for a in 0..part.size {
                for b in 0..part.size {
                    let through = part.at(a, i).saturating_add(bound).saturating_add(part.at(j, b));
                    if through < part.at(a, b) {
                        part.put(a, b, through);
                    }
                }
            }
        }
        (0..part.size).all(|i| part.at(i, i) >= 0).then_some(part)
    }

    /// The zone after a tick: the timers named go on with one less, and new ones begin within their stretches. `plan` has for
    /// each clock of the new zone where it comes from.
    pub(crate) fn after_tick(&self, plan: &[Comes]) -> Self {
        let size = plan.len() + 1;
        let mut zone = Self { size, bounds: vec![FREE; size * size].into() };
        let upper = |comes: &Comes| match comes {
            Comes::On(old) => self.at(old + 1, 0) - 1,
            Comes::New(_, most) => whole(*most),
        };
        let lower = |comes: &Comes| match comes {
            Comes::On(old) => self.at(0, old + 1) + 1,
            Comes::New(least, _) => -whole(*least),
        };
        zone.put(0, 0, 0);
        for (i, a) in plan.iter().enumerate() {
            zone.put(i + 1, 0, upper(a));
            zone.put(0, i + 1, lower(a));
            for (j, b) in plan.iter().enumerate() {
                let bound = match (a, b) {
                    _ if i == j => 0,
                    (Comes::On(a), Comes::On(b)) => self.at(a + 1, b + 1),
                    // Independent of each other: tight as it is, so that the whole stays canonical.
                    _ => upper(a) + lower(b),
                };
                zone.put(i + 1, j + 1, bound);
            }
        }
        zone
    }

    /// The most ticks until some timer has run down; none where there is no timer.
    pub(crate) fn soonest(&self) -> Option<u64> {
        (1..self.size).map(|i| u64::from(self.at(i, 0).unsigned_abs())).min()
    }

    /// The most ticks that a timer (from 0) has left.
    pub(crate) fn most(&self, clock: usize) -> u64 {
        u64::from(self.at(clock + 1, 0).unsigned_abs())
    }

    /// Everything with the last timer at the same or less, but at least 1.
    pub(crate) fn last_or_less(mut self) -> Self {
        let last = self.size - 1;
        self.put(0, last, -1);
        for i in 1..last {
            let most = self.at(i, 0) - 1;
            self.put(i, last, most);
        }
        self
    }

    /// These timers alone, in this order.
    pub(crate) fn only(&self, clocks: &[usize]) -> Self {
        let rows: Vec<usize> = [0].into_iter().chain(clocks.iter().map(|clock| clock + 1)).collect();
        let bounds = rows.iter().flat_map(|i| rows.iter().map(|j| self.at(*i, *j)));
        Self { size: rows.len(), bounds: bounds.collect() }
    }

    /// These timers, and behind them those of another zone, whatever these are.
    pub(crate) fn beside(&self, other: &Self) -> Self {
        let size = self.size + other.size - 1;
        let mut zone = Self { size, bounds: vec![FREE; size * size].into() };
        let of = |i: usize| if i < self.size { (self, i) } else { (other, i + 1 - self.size) };
        for i in 0..size {
            for j in 0..size {
                let ((a, from), (b, to)) = (of(i), of(j));
                let alike = (i < self.size) == (j < self.size);
                // Independent of each other: tight as it is, so that the whole stays canonical.
                let bound = if i == j {
                    0
                } else if i == 0 {
                    b.at(0, to)
                } else if j == 0 {
                    a.at(from, 0)
                } else if alike {
                    a.at(from, to)
                } else {
                    a.at(from, 0) + b.at(0, to)
                };
                zone.put(i, j, bound);
            }
        }
        zone
    }

    /// Those points in which these pairs of timers stand alike; none when there are none.
    pub(crate) fn alike(mut self, pairs: &[(usize, usize)]) -> Option<Self> {
        for (a, b) in pairs {
            for (i, j) in [(a + 1, b + 1), (b + 1, a + 1)] {
                let bound = self.at(i, j).min(0);
                self.put(i, j, bound);
            }
        }
        (pairs.is_empty() || self.tighten()).then_some(self)
    }

    /// The least zone that holds both.
    pub(crate) fn hull(&self, other: &Self) -> Self {
        let bounds = self.bounds.iter().zip(&other.bounds).map(|(a, b)| *a.max(b));
        Self { size: self.size, bounds: bounds.collect() }
    }

    /// Whether every point lies in the other zone.
    pub(crate) fn within(&self, other: &Self) -> bool {
        self.size == other.size && self.bounds.iter().zip(&other.bounds).all(|(a, b)| a <= b)
    }

    /// Whether a point lies in it; for checking.
    #[cfg(test)]
    fn has(&self, point: &[i32]) -> bool {
        let value = |i: usize| if i == 0 { 0 } else { point[i - 1] };
        (0..self.size).all(|i| (0..self.size).all(|j| value(i) - value(j) <= self.at(i, j)))
    }
}

/// Where a clock of the new zone comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Comes {
    /// It is this clock of the old zone, going on.
    On(usize),
    /// It begins somewhere from the first to the second value.
    New(u32, u32),
}

fn whole(ticks: u32) -> i32 {
    i32::try_from(ticks).unwrap_or(FREE).min(FREE)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    const MOST: i32 = 7;

    fn points(zone: &Zone) -> BTreeSet<Vec<i32>> {
        let all =
            (0..=MOST).flat_map(|a| (0..=MOST).flat_map(move |b| (0..=MOST).map(move |c| vec![a, b, c])));
        all.filter(|point| zone.has(point)).collect()
    }

    /// Several zones as a search meets them: stretches, cut, gone on, waited for.
    fn zones() -> Vec<Zone> {
        let first = Zone::stretches(&[(3, 5), (2, 7), (6, 6)]);
        let waited = first.clone().past();
        let cut = waited
            .running_out(1, true)
            .unwrap()
            .running_out(0, false)
            .unwrap()
            .running_out(2, false)
            .unwrap();
        let gone = cut.after_tick(&[Comes::On(2), Comes::New(2, 4), Comes::On(0)]);
        let again = gone.clone().past();
        vec![first, waited.clone(), cut, gone, again.clone(), again.running_out(2, true).unwrap()]
    }

    /// Each operation against its definition, point by point.
    #[test]
    fn operations_are_what_they_say_of_points() {
        for zone in zones() {
            let before = points(&zone);
            assert!(!before.is_empty());
            let waited: BTreeSet<Vec<i32>> = before
                .iter()
                .flat_map(|point| (0..MOST).map(|d| point.iter().map(|x| x - d).collect::<Vec<i32>>()))
                .filter(|point| point.iter().all(|x| *x >= 1))
                .collect();
            assert_eq!(points(&zone.clone().past()), waited);
            for clock in 0..3 {
                for out in [true, false] {
                    let want: BTreeSet<Vec<i32>> = before
                        .iter()
                        .filter(|point| if out { point[clock] == 1 } else { point[clock] >= 2 })
                        .cloned()
                        .collect();
                    assert_eq!(
                        zone.running_out(clock, out).map_or(BTreeSet::new(), |zone| points(&zone)),
                        want
                    );
                }
            }
            let plan = [Comes::On(1), Comes::New(3, 4), Comes::On(0)];
            let want: BTreeSet<Vec<i32>> =
                before.iter().flat_map(|x| (3..=4).map(move |new| vec![x[1] - 1, new, x[0] - 1])).collect();
            let after = points(&zone.after_tick(&plan));
            assert_eq!(after, want.into_iter().filter(|point| point.iter().all(|x| *x >= 0)).collect());
        }
    }

    #[test]
    fn one_zone_lies_in_another_when_its_points_do() {
        for a in zones() {
            for b in zones() {
                assert_eq!(a.within(&b), points(&a).is_subset(&points(&b)));
            }
        }
    }
}
