//! A round through all points, improved by exchanges and kicks.

use super::LEAST_KICKED;
use super::costs::Costs;

/// Longest piece that is moved as a whole.
const LONGEST_MOVED: usize = 3;
/// Longest stretch that a kick moves.
const LONGEST_KICKED: usize = 30;
/// How much longer than the best a round may be at first, in usual links.
const ALLOWANCE: f64 = 0.3;
/// Kicks for every place without a better round after which no more is tried.
const PATIENCE: usize = 2;
/// The same while a way with fewer stops may be there: a stop less is worth a longer search.
const PATIENCE_WITH_STOPS: usize = 10;

/// A round in the making. All changes are reversals of stretches, so that a kick that did not pay is undone by
/// reversing the same stretches backwards.
pub(super) struct Round<'a> {
    pub(super) costs: &'a Costs<'a>,
    pub(super) order: Vec<usize>,
    pub(super) at: Vec<usize>,
    pub(super) undo: Vec<(usize, usize)>,
    pub(super) queue: Vec<usize>,
    pub(super) queued: Vec<bool>,
}

impl<'a> Round<'a> {
    pub(super) fn new(costs: &'a Costs<'a>, order: Vec<usize>) -> Self {
        let mut at = vec![0; costs.places];
        for (position, &place) in order.iter().enumerate() {
            at[place] = position;
        }
        Self { costs, order, at, undo: Vec::new(), queue: Vec::new(), queued: vec![false; costs.places] }
    }

    pub(super) fn cost(&self) -> f64 {
        let links = self.order.iter().zip(self.order.iter().cycle().skip(1));
        links.map(|(&a, &b)| self.costs.of(a, b)).sum()
    }

    pub(super) fn next(&self, place: usize) -> usize {
        let at = self.at[place] + 1;
        self.order[if at == self.order.len() { 0 } else { at }]
    }

    pub(super) fn before(&self, place: usize) -> usize {
        let at = self.at[place];
        self.order[if at == 0 { self.order.len() - 1 } else { at - 1 }]
    }

    /// Reverses the stretch of `length` positions from `from` on, going round.
    pub(super) fn turn(&mut self, from: usize, length: usize) {
        let count = self.order.len();
        self.undo.push((from, length));
        let (mut low, mut high) = (from % count, (from + length + count - 1) % count);
        for _ in 0..length / 2 {
            self.order.swap(low, high);
            self.at[self.order[low]] = low;
            self.at[self.order[high]] = high;
            low = if low + 1 == count { 0 } else { low + 1 };
            high = if high == 0 { count - 1 } else { high - 1 };
        }
    }

    /// Reverses from position `from` on to position `to`, or all the rest: it is the same round, so the shorter.
    pub(super) fn turn_shorter(&mut self, from: usize, to: usize) {
        let count = self.order.len();
        let inside = (to + count - from) % count + 1;
        if inside * 2 <= count { self.turn(from, inside) } else { self.turn(to + 1, count - inside) }
    }

    /// Swaps two neighbouring stretches: reversed together and then each for itself.
    pub(super) fn swap_stretches(&mut self, from: usize, first: usize, second: usize) {
        self.turn(from, first + second);
        self.turn(from, second);
        self.turn(from + second, first);
    }

    pub(super) fn wake(&mut self, places: &[usize]) {
        for &place in places {
            if !self.queued[place] {
                self.queued[place] = true;
                self.queue.push(place);
            }
        }
    }

    pub(super) fn improve_all(&mut self) {
        let all: Vec<usize> = (0..self.costs.places).rev().collect();
        self.wake(&all);
        self.improve();
        self.undo.clear();
    }

    /// Improves until nothing near a woken place can be; gives the change of cost.
    pub(super) fn improve(&mut self) -> f64 {
        let mut change = 0.0;
        while let Some(place) = self.queue.pop() {
            self.queued[place] = false;
            while let Some(gain) = self.exchange_two(place).or_else(|| self.move_piece(place)) {
                change -= gain;
            }
        }
        change
    }

    /// Replaces the link from `a` and one other by two shorter ones.
    pub(super) fn exchange_two(&mut self, a: usize) -> Option<f64> {
        let costs = self.costs;
        for forward in [true, false] {
            let a2 = if forward { self.next(a) } else { self.before(a) };
            let old = costs.of(a, a2);
            for &(cost, b) in &costs.near[a] {
                let first = old - cost;
                if first <= 0.0 {
                    break;
                }
                let b2 = if forward { self.next(b) } else { self.before(b) };
                let gain = first + costs.of(b, b2) - costs.of(a2, b2);
                if gain > tiny(costs.bond) && b != a2 {
                    let (from, to) = if forward { (a2, b) } else { (a, b2) };
                    self.turn_shorter(self.at[from], self.at[to]);
                    self.wake(&[a, a2, b, b2]);
                    return Some(gain);
                }
            }
        }
        None
    }

    /// Moves a piece of up to three places that begins with `a` between two neighbouring places elsewhere.
    pub(super) fn move_piece(&mut self, a: usize) -> Option<f64> {
        for forward in [true, false] {
            let mut end = a;
            for length in 1..=LONGEST_MOVED {
                // A single place is the same piece either way.
                let told = length == 1 && !forward;
                if !told && let Some(gain) = self.move_between(a, end, forward) {
                    return Some(gain);
                }
                end = if forward { self.next(end) } else { self.before(end) };
            }
        }
        None
    }

    /// Moves the piece from `a` on (or back) to `end` so that `a` becomes a neighbour of one of its near places.
    pub(super) fn move_between(&mut self, a: usize, end: usize, forward: bool) -> Option<f64> {
        let costs = self.costs;
        let (first, last) = if forward { (a, end) } else { (end, a) };
        let (left, right) = (self.before(first), self.next(last));
        let length = self.ahead(first, last) + 1;
        if length + 2 >= self.order.len() {
            return None;
        }
        let freed = costs.of(left, first) + costs.of(last, right) - costs.of(left, right);
        for &(cost, b) in &costs.near[a] {
            let spare = freed - cost;
            if spare <= 0.0 {
                break;
            }
            if self.ahead(first, b) < length {
                continue;
            }
            for after in [true, false] {
                let c = if after { self.next(b) } else { self.before(b) };
                let gain = spare + costs.of(b, c) - costs.of(end, c);
                let touches = (b == left && after) || (b == right && !after);
                if gain > tiny(costs.bond) && !touches {
                    let (low, high) = if after { (b, c) } else { (c, b) };
                    self.carry(first, last, low, high, if after { a } else { end });
                    self.wake(&[left, right, first, last, b, c]);
                    return Some(gain);
                }
            }
        }
        None
    }

    /// The steps from one place on to another.
    pub(super) fn ahead(&self, from: usize, to: usize) -> usize {
        let (from, to) = (self.at[from], self.at[to]);
        if to >= from { to - from } else { to + self.order.len() - from }
    }

    /// Puts the piece `first..=last` between the neighbours `low` and `high`, with `lead` next to `low`.
    pub(super) fn carry(&mut self, first: usize, last: usize, low: usize, high: usize, lead: usize) {
        let length = self.ahead(first, last) + 1;
        let (ahead, behind) = (self.ahead(last, low), self.ahead(high, first));
        let piece_at = if ahead <= behind {
            let from = self.at[first];
            self.swap_stretches(from, length, ahead);
            from + ahead
        } else {
            let from = self.at[high];
            self.swap_stretches(from, behind, length);
            from
        };
        if lead != first {
            self.turn(piece_at, length);
        }
    }

    /// Swaps two neighbouring stretches somewhere, improves around them, and takes it back unless it paid. At first a
    /// round a little longer than the best is kept as well, later less and less: that leads out of dead ends. Ends early
    /// when nothing better has come for long.
    pub(super) fn kick(&mut self, count: usize) {
        let (mut best, mut above) = (self.order.clone(), 0.0);
        let mut allowed = self.costs.usual_link() * ALLOWANCE;
        let cooler = allowed / f64::from(u32::try_from(count).unwrap_or(u32::MAX).max(1));
        let places = self.order.len();
        let longest = ((places - 2) / 2).min(LONGEST_KICKED);
        let mut dice = Dice(0x9e37_79b9_7f4a_7c15);
        let fewest_stops = self.costs.fewest_stops();
        let mut patience = self.patience(fewest_stops);
        let mut in_vain = 0;
        for _ in 0..count {
            if in_vain > patience {
                break;
            }
            in_vain += 1;
            allowed -= cooler;
            let from = dice.below(places);
            let (first, second) = (1 + dice.below(longest), 1 + dice.below(longest));
            let ends = [0, 1, first, first + 1, first + second, first + second + 1];
            let [a, b, c, d, e, f] = ends.map(|step| self.order[(from + step) % places]);
            let costs = self.costs;
            let worse = costs.of(a, d) + costs.of(e, b) + costs.of(c, f)
                - (costs.of(a, b) + costs.of(c, d) + costs.of(e, f));
            if worse > costs.bond {
                continue;
            }
            self.undo.clear();
            self.swap_stretches(from + 1, first, second);
            self.wake(&[a, b, c, d, e, f]);
            let reached = above + worse + self.improve();
            if reached < -tiny(costs.bond) {
                above = 0.0;
                best.clone_from(&self.order);
                patience = self.patience(fewest_stops);
                in_vain = 0;
            } else if reached <= allowed.max(tiny(costs.bond)) {
                above = reached;
            } else {
                while let Some((from, length)) = self.undo.pop() {
                    self.turn(from, length);
                    self.undo.pop();
                }
            }
        }
        self.order = best;
    }

    /// How many kicks in a row may be in vain.
    fn patience(&self, fewest_stops: u64) -> usize {
        let links = self.order.iter().zip(self.order.iter().cycle().skip(1));
        let stops: u64 = links.map(|(&a, &b)| self.costs.stops(a, b)).sum();
        let each = if stops > fewest_stops { PATIENCE_WITH_STOPS } else { PATIENCE };
        each * self.order.len().max(LEAST_KICKED)
    }
}

/// A fixed sequence of numbers that look random (SplitMix64, Steele et al. 2014, constants from memory).
struct Dice(u64);

impl Dice {
    fn below(&mut self, limit: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^= mixed >> 31;
        let limit = u64::try_from(limit.max(1)).unwrap_or(u64::MAX);
        usize::try_from(mixed % limit).unwrap_or(0)
    }
}

/// A gain below this may be rounding: every cost is below the scale.
fn tiny(scale: f64) -> f64 {
    scale * 1e-14
}
