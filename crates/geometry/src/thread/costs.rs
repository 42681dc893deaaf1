//! What links between points cost, and first paths along cheap ones.

use super::extra_stops;
use crate::distance;
use kurbo::Point;

/// Weight of the distance from the wished start against the length of the path.
const START_WEIGHT: f64 = 1e-3;
/// Neighbours looked at for every point.
const NEIGHBOURS: usize = 8;
/// Up to this many places, all distances are kept in a table.
const TABLE_LIMIT: usize = 1500;

/// What links cost. Two further places, the entry and the exit, close the open path to a round: the link between them
/// costs so little that it always stays, links to the exit cost nothing, links to the entry a little by distance.
pub(super) struct Costs<'a> {
    pub(super) points: &'a [Point],
    pub(super) start_near: Point,
    pub(super) reach: f64,
    pub(super) stop: f64,
    pub(super) bond: f64,
    pub(super) places: usize,
    pub(super) table: Vec<f64>,
    /// For every place its near places with what the link to each costs, cheapest first.
    pub(super) near: Vec<Vec<(f64, usize)>>,
}

impl<'a> Costs<'a> {
    pub(super) fn new(points: &'a [Point], start_near: Point, reach: f64) -> Self {
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

    pub(super) fn nearest(&self, place: usize) -> Vec<(f64, usize)> {
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
        others
    }

    pub(super) fn worked(&self, a: usize, b: usize) -> f64 {
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

    /// The stops on a link between two points; none on one to entry or exit.
    pub(super) fn stops(&self, a: usize, b: usize) -> u64 {
        match (self.points.get(a), self.points.get(b)) {
            (Some(&from), Some(&to)) => extra_stops(distance(from, to), self.reach).into(),
            _ => 0,
        }
    }

    /// No path has fewer stops: a path is a spanning tree, and the cheapest tree of all has so many (Prim 1957).
    pub(super) fn fewest_stops(&self) -> u64 {
        let count = self.points.len();
        let mut stops = 0;
        // For every point not yet in the tree the cheapest link to it, and from where.
        let mut outside: Vec<(usize, f64, usize)> = (1..count).map(|at| (at, self.of(0, at), 0)).collect();
        while let Some(next) = (0..outside.len()).min_by(|&a, &b| outside[a].1.total_cmp(&outside[b].1)) {
            let (joined, _, from) = outside.swap_remove(next);
            stops += self.stops(from, joined);
            for (at, cost, from) in &mut outside {
                let through = self.of(joined, *at);
                if through < *cost {
                    (*cost, *from) = (through, joined);
                }
            }
        }
        stops
    }

    /// The middle one of the distances to the nearest neighbour.
    pub(super) fn usual_link(&self) -> f64 {
        let hop = |(place, near): (usize, &Vec<(f64, usize)>)| {
            let other = near.iter().map(|&(_, other)| other).find(|&other| other < self.points.len())?;
            Some(distance(self.points[place], self.points[other]))
        };
        let mut hops: Vec<f64> = self.near[..self.points.len()].iter().enumerate().filter_map(hop).collect();
        hops.sort_by(f64::total_cmp);
        hops.get(hops.len() / 2).copied().unwrap_or(0.0)
    }

    pub(super) fn of(&self, a: usize, b: usize) -> f64 {
        match self.table.get(a * self.places + b) {
            Some(&cost) => cost,
            None => self.worked(a, b),
        }
    }

    /// The round opened between exit and entry, entry first, without either.
    pub(super) fn open(&self, round: &[usize]) -> Vec<usize> {
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
pub(super) fn nearest_first(costs: &Costs) -> Vec<usize> {
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
pub(super) fn shortest_links(costs: &Costs) -> Vec<usize> {
    let count = costs.points.len();
    let mut links: Vec<(f64, usize, usize)> = Vec::new();
    for a in 0..count {
        let near = costs.near[a].iter().filter(|(_, b)| *b < count);
        links.extend(near.map(|&(cost, b)| (cost, a.min(b), a.max(b))));
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

pub(super) fn chain_up(costs: &Costs, joined: &[Vec<usize>]) -> Vec<usize> {
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
