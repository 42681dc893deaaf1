//! A short open path through points, with as few hops beyond a given reach as can be found.
//!
//! A hop longer than `reach` needs extra stops on its way, one for every further `reach`. The path is improved by
//! exchanges of two and three links among near neighbours, then kicked locally and improved again, keeping what is no
//! worse. The work is counted, never timed, and the kicks come from a fixed sequence: equal input gives equal output.

use crate::distance;
use kurbo::Point;

/// Weight of the distance from the wished start against the length of the path.
const START_WEIGHT: f64 = 1e-3;
/// Neighbours looked at for every point.
const NEIGHBOURS: usize = 8;
/// Longest piece that is moved as a whole.
const LONGEST_MOVED: usize = 3;
/// Longest stretch that a kick moves.
const LONGEST_KICKED: usize = 30;
/// How much longer than the best a round may be at first, in usual links.
const ALLOWANCE: f64 = 0.3;
/// Even few points get the kicks of this many.
const LEAST_KICKED: usize = 24;
/// Up to this many places, all distances are kept in a table.
const TABLE_LIMIT: usize = 1500;

/// An order of points and its length.
#[derive(Clone, Debug, PartialEq)]
pub struct Threading {
    /// The points by position, first to last.
    pub order: Vec<usize>,
    /// The length of the path.
    pub length: f64,
}

/// The extra stops that a hop needs: none within reach, one up to twice the reach, and so on.
///
/// ```
/// use geometry::extra_stops;
/// assert_eq!((extra_stops(90.0, 90.0), extra_stops(91.0, 90.0), extra_stops(181.0, 90.0)), (0, 1, 2));
/// assert_eq!(extra_stops(1e9, f64::INFINITY), 0);
/// ```
pub fn extra_stops(hop: f64, reach: f64) -> u32 {
    let wires = (hop / reach - 1e-9).ceil();
    if wires.is_finite() && wires > 1.0 { saturating(wires) - 1 } else { 0 }
}

/// A whole number as `u32`, the largest one when it does not fit.
fn saturating(value: f64) -> u32 {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "`as` saturates, which is what is wanted"
    )]
    let whole = value as u32;
    whole
}

/// An open path through all points: fewest extra stops first, then least length, then a start close to `start_near`.
///
/// `effort` is the number of kicks for every point; 20 is enough for about half a per cent at 200 points. A reach that is not above zero
/// counts as no limit.
///
/// ```
/// use geometry::{Point, thread};
/// let points = [3.0, 0.0, 2.0, 1.0].map(|x| Point::new(x, 0.0));
/// let way = thread(&points, Point::new(-1.0, 0.0), 1.5, 10);
/// assert_eq!(way.order, [1, 3, 2, 0]);
/// assert_eq!(way.length, 3.0);
/// ```
pub fn thread(points: &[Point], start_near: Point, reach: f64, effort: u32) -> Threading {
    if points.len() < 3 {
        return short_path(points, start_near);
    }
    let costs = Costs::new(points, start_near, reach);
    let mut best: Option<(f64, Vec<usize>)> = None;
    for seed in [nearest_first(&costs), shortest_links(&costs), (0..costs.places).collect()] {
        let mut round = Round::new(&costs, seed);
        round.improve_all();
        let cost = round.cost();
        if best.as_ref().is_none_or(|(least, _)| cost < *least) {
            best = Some((cost, round.order));
        }
    }
    let seed = best.map(|(_, order)| order).unwrap_or_default();
    let mut round = Round::new(&costs, seed);
    round.kick(usize::try_from(effort).unwrap_or(usize::MAX).saturating_mul(points.len().max(LEAST_KICKED)));
    let order = costs.open(&round.order);
    let length = order.windows(2).map(|pair| distance(points[pair[0]], points[pair[1]])).sum();
    Threading { order, length }
}

fn short_path(points: &[Point], start_near: Point) -> Threading {
    let mut order: Vec<usize> = (0..points.len()).collect();
    order.sort_by(|&a, &b| distance(points[a], start_near).total_cmp(&distance(points[b], start_near)));
    let length = order.windows(2).map(|pair| distance(points[pair[0]], points[pair[1]])).sum();
    Threading { order, length }
}

/// What links cost. Two further places, the entry and the exit, close the open path to a round: the link between them
/// costs so little that it always stays, links to the exit cost nothing, links to the entry a little by distance.
struct Costs<'a> {
    points: &'a [Point],
    start_near: Point,
    reach: f64,
    stop: f64,
    bond: f64,
    places: usize,
    table: Vec<f64>,
    near: Vec<Vec<usize>>,
}

impl<'a> Costs<'a> {
    fn new(points: &'a [Point], start_near: Point, reach: f64) -> Self {
        let reach = if reach > 0.0 { reach } else { f64::INFINITY };
        let corner = points.first().copied().unwrap_or_default();
        // Twice the farthest from one point bounds every hop, so one stop outweighs every difference in length.
        let farthest = points.iter().map(|&point| distance(point, corner)).fold(1.0, f64::max) * 2.0;
        let places = points.len() + 2;
        let stop = farthest * f64::from(u32::try_from(places).unwrap_or(u32::MAX));
        let worst = farthest + stop * f64::from(extra_stops(farthest, reach));
        let mut costs = Self {
            points,
            start_near,
            reach,
            stop,
            bond: worst * 8.0,
            places,
            table: Vec::new(),
            near: Vec::new(),
        };
        if places <= TABLE_LIMIT {
            let pairs = (0..places).flat_map(|a| (0..places).map(move |b| (a, b)));
            costs.table = pairs.map(|(a, b)| costs.worked(a, b)).collect();
        }
        costs.near = (0..places).map(|place| costs.nearest(place)).collect();
        costs
    }

    fn nearest(&self, place: usize) -> Vec<usize> {
        let entry = self.points.len();
        if place >= entry {
            return Vec::new();
        }
        let mut others: Vec<(f64, usize)> =
            (0..entry).filter(|&other| other != place).map(|other| (self.of(place, other), other)).collect();
        let count = NEIGHBOURS.min(others.len());
        if count < others.len() {
            others.select_nth_unstable_by(count, |a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        }
        others.truncate(count);
        // Every point may end the path.
        others.extend([(self.of(place, entry), entry), (0.0, entry + 1)]);
        others.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        others.into_iter().map(|(_, other)| other).collect()
    }

    fn worked(&self, a: usize, b: usize) -> f64 {
        let entry = self.points.len();
        let (low, high) = (a.min(b), a.max(b));
        match (self.points.get(low), self.points.get(high)) {
            (Some(&from), Some(&to)) => {
                let hop = distance(from, to);
                hop + self.stop * f64::from(extra_stops(hop, self.reach))
            }
            (Some(&from), None) if high == entry => {
                START_WEIGHT * distance(from, self.start_near).min(self.stop)
            }
            (Some(_), None) => 0.0,
            _ if a == b => 0.0,
            _ => -2.0 * self.bond,
        }
    }

    /// The middle one of the distances to the nearest neighbour.
    fn usual_link(&self) -> f64 {
        let nearest = |place: &Vec<usize>| place.iter().copied().find(|&other| other < self.points.len());
        let hop = |(place, near)| nearest(near).map(|other| distance(self.points[place], self.points[other]));
        let mut hops: Vec<f64> = self.near[..self.points.len()].iter().enumerate().filter_map(hop).collect();
        hops.sort_by(f64::total_cmp);
        hops.get(hops.len() / 2).copied().unwrap_or(0.0)
    }

    fn of(&self, a: usize, b: usize) -> f64 {
        match self.table.get(a * self.places + b) {
            Some(&cost) => cost,
            None => self.worked(a, b),
        }
    }

    /// The round opened between exit and entry, entry first, without either.
    fn open(&self, round: &[usize]) -> Vec<usize> {
        let (entry, exit) = (self.points.len(), self.points.len() + 1);
        let at = round.iter().position(|&place| place == entry).unwrap_or(0);
        let mut order: Vec<usize> = round[at..].iter().chain(&round[..at]).copied().collect();
        if order.get(1) == Some(&exit) {
            order[1..].reverse();
        }
        order.retain(|&place| place < entry);
        order
    }
}

/// Always on to the nearest point not yet visited, from the wished start.
fn nearest_first(costs: &Costs) -> Vec<usize> {
    let entry = costs.points.len();
    let mut left: Vec<usize> = (0..entry).collect();
    let mut order = vec![entry + 1, entry];
    let mut last = entry;
    while !left.is_empty() {
        let pick =
            (0..left.len()).min_by(|&a, &b| costs.of(last, left[a]).total_cmp(&costs.of(last, left[b])));
        last = left.swap_remove(pick.unwrap_or(0));
        order.push(last);
    }
    order
}

/// The shortest links between near neighbours that leave a set of paths, which are then put end to end.
fn shortest_links(costs: &Costs) -> Vec<usize> {
    let count = costs.points.len();
    let mut links: Vec<(f64, usize, usize)> = Vec::new();
    for a in 0..count {
        links.extend(
            costs.near[a].iter().filter(|&&b| b < count).map(|&b| (costs.of(a, b), a.min(b), a.max(b))),
        );
    }
    links.sort_by(|x, y| x.0.total_cmp(&y.0).then((x.1, x.2).cmp(&(y.1, y.2))));
    // Each path is known at its two ends: `other_end` of an end is the end at the far side.
    let mut other_end: Vec<usize> = (0..count).collect();
    let mut joined: Vec<Vec<usize>> = vec![Vec::new(); count];
    for (_, a, b) in links {
        if joined[a].len() < 2 && joined[b].len() < 2 && other_end[a] != b && !joined[a].contains(&b) {
            joined[a].push(b);
            joined[b].push(a);
            let (far_a, far_b) = (other_end[a], other_end[b]);
            other_end[far_a] = far_b;
            other_end[far_b] = far_a;
        }
    }
    chain_up(costs, &joined)
}

fn chain_up(costs: &Costs, joined: &[Vec<usize>]) -> Vec<usize> {
    let count = joined.len();
    let mut ends: Vec<usize> = (0..count).filter(|&place| joined[place].len() < 2).collect();
    let mut order = vec![count + 1, count];
    let mut last = count;
    while !ends.is_empty() {
        let pick =
            (0..ends.len()).min_by(|&a, &b| costs.of(last, ends[a]).total_cmp(&costs.of(last, ends[b])));
        let mut before = usize::MAX;
        let mut now = ends.swap_remove(pick.unwrap_or(0));
        loop {
            order.push(now);
            let next = joined[now].iter().copied().find(|&next| next != before);
            before = now;
            match next {
                Some(next) => now = next,
                None => break,
            }
        }
        ends.retain(|&end| end != now);
        last = now;
    }
    order
}

/// A round in the making. All changes are reversals of stretches, so that a kick that did not pay is undone by
/// reversing the same stretches backwards.
struct Round<'a> {
    costs: &'a Costs<'a>,
    order: Vec<usize>,
    at: Vec<usize>,
    undo: Vec<(usize, usize)>,
    queue: Vec<usize>,
    queued: Vec<bool>,
}

impl<'a> Round<'a> {
    fn new(costs: &'a Costs<'a>, order: Vec<usize>) -> Self {
        let mut at = vec![0; costs.places];
        for (position, &place) in order.iter().enumerate() {
            at[place] = position;
        }
        Self { costs, order, at, undo: Vec::new(), queue: Vec::new(), queued: vec![false; costs.places] }
    }

    fn cost(&self) -> f64 {
        let links = self.order.iter().zip(self.order.iter().cycle().skip(1));
        links.map(|(&a, &b)| self.costs.of(a, b)).sum()
    }

    fn next(&self, place: usize) -> usize {
        let at = self.at[place] + 1;
        self.order[if at == self.order.len() { 0 } else { at }]
    }

    fn before(&self, place: usize) -> usize {
        let at = self.at[place];
        self.order[if at == 0 { self.order.len() - 1 } else { at - 1 }]
    }

    /// Reverses the stretch of `length` positions from `from` on, going round.
    fn turn(&mut self, from: usize, length: usize) {
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
    fn turn_shorter(&mut self, from: usize, to: usize) {
        let count = self.order.len();
        let inside = (to + count - from) % count + 1;
        if inside * 2 <= count { self.turn(from, inside) } else { self.turn(to + 1, count - inside) }
    }

    /// Swaps two neighbouring stretches: reversed together and then each for itself.
    fn swap_stretches(&mut self, from: usize, first: usize, second: usize) {
        self.turn(from, first + second);
        self.turn(from, second);
        self.turn(from + second, first);
    }

    fn wake(&mut self, places: &[usize]) {
        for &place in places {
            if !self.queued[place] {
                self.queued[place] = true;
                self.queue.push(place);
            }
        }
    }

    fn improve_all(&mut self) {
        let all: Vec<usize> = (0..self.costs.places).rev().collect();
        self.wake(&all);
        self.improve();
        self.undo.clear();
    }

    /// Improves until nothing near a woken place can be; gives the change of cost.
    fn improve(&mut self) -> f64 {
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
    fn exchange_two(&mut self, a: usize) -> Option<f64> {
        let costs = self.costs;
        for forward in [true, false] {
            let a2 = if forward { self.next(a) } else { self.before(a) };
            let old = costs.of(a, a2);
            for &b in &costs.near[a] {
                let first = old - costs.of(a, b);
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
    fn move_piece(&mut self, a: usize) -> Option<f64> {
        for forward in [true, false] {
            let mut end = a;
            for _ in 0..LONGEST_MOVED {
                if let Some(gain) = self.move_between(a, end, forward) {
                    return Some(gain);
                }
                end = if forward { self.next(end) } else { self.before(end) };
            }
        }
        None
    }

    /// Moves the piece from `a` on (or back) to `end` so that `a` becomes a neighbour of one of its near places.
    fn move_between(&mut self, a: usize, end: usize, forward: bool) -> Option<f64> {
        let costs = self.costs;
        let (first, last) = if forward { (a, end) } else { (end, a) };
        let (left, right) = (self.before(first), self.next(last));
        let length = self.ahead(first, last) + 1;
        if length + 2 >= self.order.len() {
            return None;
        }
        let freed = costs.of(left, first) + costs.of(last, right) - costs.of(left, right);
        for &b in &costs.near[a] {
            let spare = freed - costs.of(a, b);
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
    fn ahead(&self, from: usize, to: usize) -> usize {
        let (from, to) = (self.at[from], self.at[to]);
        if to >= from { to - from } else { to + self.order.len() - from }
    }

    /// Puts the piece `first..=last` between the neighbours `low` and `high`, with `lead` next to `low`.
    fn carry(&mut self, first: usize, last: usize, low: usize, high: usize, lead: usize) {
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
    /// round a little longer than the best is kept as well, later less and less: that leads out of dead ends.
    fn kick(&mut self, count: usize) {
        let (mut best, mut above) = (self.order.clone(), 0.0);
        let mut allowed = self.costs.usual_link() * ALLOWANCE;
        let cooler = allowed / f64::from(u32::try_from(count).unwrap_or(u32::MAX).max(1));
        let places = self.order.len();
        let longest = ((places - 2) / 2).min(LONGEST_KICKED);
        let mut dice = Dice(0x9e37_79b9_7f4a_7c15);
        for _ in 0..count {
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
                (above, best) = (0.0, self.order.clone());
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
