//! Points along lines, as evenly as can be, none too close to another.
//!
//! Ends and corners get a point, for they carry the shape. The rest goes, one at a time, to the edge whose points stand
//! widest apart. That is exact: an edge's spacing falls with every point it gets, so for any spacing `s` each edge has a
//! least number of points that brings it down to `s`. Giving to the widest edge never gives an edge more than its least
//! number for the final widest spacing before it; with fewer points on any edge, that edge alone would be wider.

use crate::{Polyline, distance};
use kurbo::Point;
use serde::Serialize;

/// A strip from side to side in which no point may lie.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Band {
    /// Whether it runs up and down; across otherwise.
    pub upright: bool,
    /// Where its middle lies: across for an upright one, up for a level one.
    pub at: f64,
    /// Half of its width.
    pub half: f64,
}

impl Band {
    /// How far a point would have to go to be out of it; zero or less outside.
    fn missing(&self, point: Point) -> f64 {
        let place = if self.upright { point.x } else { point.y };
        self.half - (place - self.at).abs()
    }
}

/// What points keep away from.
#[derive(Clone, Copy, Debug, Default)]
pub struct Keep<'a> {
    /// Points that are there already: as far as from each other.
    pub points: &'a [Point],
    /// Strips without points.
    pub bands: &'a [Band],
}

/// Points along lines.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// The points: ends and corners first, then those between.
    pub points: Vec<Point>,
    /// The widest distance, along a line, between neighbouring points.
    pub widest: f64,
}

/// Places exactly `n` points on the lines: at open ends, at corners that turn by more than `corner_angle` (radians), and
/// evenly between. Ends that meet within half of `min_gap` share a point.
///
/// All points keep `min_gap` from each other and from the points of `keep`, and out of its bands. An end too close slides inward by what is missing; a point
/// between slides to the nearest clear place; a corner or end that has none goes without. When `n` is less than ends and
/// corners need, or more than the lines can take, there is no answer.
///
/// ```
/// use geometry::{Keep, Point, place_points};
/// let corner = [(0.0, 0.0), (100.0, 0.0), (100.0, 50.0)].map(|(x, y)| Point::new(x, y)).to_vec();
/// let placed = place_points(&[corner], 7, 0.6, 5.0, &Keep::default()).expect("it fits");
/// assert_eq!((placed.points.len(), placed.widest), (7, 25.0));
/// ```
pub fn place_points(
    lines: &[Vec<Point>],
    n: usize,
    corner_angle: f64,
    min_gap: f64,
    keep: &Keep<'_>,
) -> Option<Placed> {
    let min_gap = if min_gap > 0.0 && min_gap.is_finite() { min_gap } else { f64::MIN_POSITIVE };
    let lines: Vec<Polyline> =
        lines.iter().map(|line| Polyline::new(line)).filter(|line| line.length() > 0.0).collect();
    let mut layout = Layout::new(&lines, corner_angle, min_gap, *keep);
    // Each further try first asks less of the edge that had no room; then lets go of a fixed point that takes room.
    for _ in 0..=layout.fixed.len() {
        let mut edges = layout.edges();
        let tight = loop {
            match layout.attempt(n, &edges) {
                Attempt::Done(placed) => return Some(placed),
                Attempt::Blocked(edge, most) => edges[edge].most = most,
                Attempt::Tight(at) => break at,
                Attempt::Hopeless => return None,
            }
        };
        layout.let_go(tight)?;
    }
    None
}

/// A place on a line that gets a point: an end or a corner.
#[derive(Clone, Debug)]
struct Fixed {
    line: usize,
    along: f64,
    /// The point it stands for, shared with other ends that meet here.
    node: usize,
}

/// A stretch of a line between fixed places, ends or corners.
#[derive(Clone, Copy, Debug)]
struct Edge {
    line: usize,
    from: f64,
    to: f64,
    /// The nodes at its two ends, where there is a point.
    start: Option<usize>,
    end: Option<usize>,
    ring: bool,
    /// The most points that may go between.
    most: u32,
}

impl Edge {
    fn length(&self) -> f64 {
        self.to - self.from
    }

    /// The number of gaps that so many points between make; at a bare end half a gap is left.
    fn gaps(&self, between: u32) -> f64 {
        let ends = f64::from(u8::from(self.start.is_some())) + f64::from(u8::from(self.end.is_some()));
        let gaps = if self.ring { f64::from(between) } else { f64::from(between) + ends / 2.0 };
        gaps.max(0.5)
    }

    fn spacing(&self, between: u32) -> f64 {
        self.length() / self.gaps(between)
    }
}

enum Attempt {
    Done(Placed),
    /// An edge has no room for more than so many points.
    Blocked(usize, u32),
    /// Not enough room, and this fixed point takes some of it.
    Tight(Point),
    Hopeless,
}

struct Layout<'a> {
    lines: &'a [Polyline],
    keep: Keep<'a>,
    min_gap: f64,
    fixed: Vec<Fixed>,
    nodes: Vec<Point>,
}

impl<'a> Layout<'a> {
    fn new(lines: &'a [Polyline], corner_angle: f64, min_gap: f64, keep: Keep<'a>) -> Self {
        let mut layout = Self { lines, keep, min_gap, fixed: Vec::new(), nodes: Vec::new() };
        for (number, line) in lines.iter().enumerate() {
            if !line.is_closed() {
                layout.fix(number, 0.0);
                layout.fix(number, line.length());
            }
        }
        for (number, line) in lines.iter().enumerate() {
            for along in corners(line, corner_angle, min_gap / 2.0) {
                layout.fix(number, along);
            }
        }
        layout.fixed.sort_by(|a, b| a.line.cmp(&b.line).then(a.along.total_cmp(&b.along)));
        layout
    }

    /// Fixes a place, at a point already there if it is close enough to be meant.
    fn fix(&mut self, line: usize, along: f64) {
        let wished = self.lines[line].at(along);
        let shared = self.nodes.iter().position(|&node| distance(node, wished) <= self.min_gap / 2.0);
        if let Some(node) = shared {
            self.fixed.push(Fixed { line, along, node });
        } else if let Some(along) = self.clear_inward(line, along) {
            let node = self.nodes.len();
            self.nodes.push(self.lines[line].at(along));
            self.fixed.push(Fixed { line, along, node });
        }
    }

    /// The place itself, or for an end the first clear one inward within two gaps.
    fn clear_inward(&self, line: usize, along: f64) -> Option<f64> {
        let length = self.lines[line].length();
        let is_end = !self.lines[line].is_closed() && (along <= 0.0 || along >= length);
        let way = if along <= 0.0 { 1.0 } else { -1.0 };
        let mut slid = 0.0;
        loop {
            let missing = self.missing(self.lines[line].at(along + way * slid), &self.nodes);
            if missing <= 0.0 {
                return Some(along + way * slid);
            }
            // What is missing is the least slide that could be enough.
            slid += missing.max(self.min_gap * 1e-3);
            if !is_end || slid > (self.min_gap * 2.0).min(length / 2.0) {
                return None;
            }
        }
    }

    /// By how much a point is too close to anything.
    fn missing(&self, point: Point, placed: &[Point]) -> f64 {
        let all = self.keep.points.iter().chain(placed);
        let nearest = all.map(|&other| (point - other).hypot2()).fold(f64::INFINITY, f64::min).sqrt();
        let bands = self.keep.bands.iter().map(|band| band.missing(point) - band.half * 1e-9);
        bands.fold(self.min_gap * (1.0 - 1e-9) - nearest, f64::max)
    }

    /// Gives up the fixed point nearest to a place.
    fn let_go(&mut self, at: Point) -> Option<()> {
        let by_distance = |&a: &usize, &b: &usize| {
            distance(self.nodes[a], at).total_cmp(&distance(self.nodes[b], at)).then(a.cmp(&b))
        };
        let node = (0..self.nodes.len()).min_by(by_distance)?;
        self.nodes.remove(node);
        self.fixed.retain(|fixed| fixed.node != node);
        for fixed in &mut self.fixed {
            fixed.node -= usize::from(fixed.node > node);
        }
        Some(())
    }

    fn edges(&self) -> Vec<Edge> {
        let mut edges = Vec::new();
        for (number, line) in self.lines.iter().enumerate() {
            let on_line: Vec<&Fixed> = self.fixed.iter().filter(|fixed| fixed.line == number).collect();
            let edge = |from, to, start, end| Edge {
                line: number,
                from,
                to,
                start,
                end,
                ring: false,
                most: u32::MAX,
            };
            for pair in on_line.windows(2) {
                edges.push(edge(pair[0].along, pair[1].along, Some(pair[0].node), Some(pair[1].node)));
            }
            let length = line.length();
            match (on_line.first(), on_line.last()) {
                (Some(first), Some(last)) if line.is_closed() => {
                    edges.push(edge(last.along, first.along + length, Some(last.node), Some(first.node)));
                }
                (Some(first), Some(last)) => {
                    // A bare end: what lies beyond the outermost fixed point, unless that point was an end that slid.
                    if first.along > self.min_gap * 2.0 {
                        edges.push(edge(0.0, first.along, None, Some(first.node)));
                    }
                    if last.along < length - self.min_gap * 2.0 {
                        edges.push(edge(last.along, length, Some(last.node), None));
                    }
                }
                _ => edges.push(Edge { ring: line.is_closed(), ..edge(0.0, length, None, None) }),
            }
        }
        edges
    }

    fn attempt(&self, n: usize, edges: &[Edge]) -> Attempt {
        let Some(left) = n.checked_sub(self.nodes.len()) else { return Attempt::Hopeless };
        let Some(shares) = apportion(edges, left, self.min_gap) else { return self.tight(edges) };
        let mut points = self.nodes.clone();
        let mut widest: f64 = 0.0;
        for (number, (edge, &between)) in edges.iter().zip(&shares).enumerate() {
            match self.fill(edge, between, &mut points) {
                Some(gap) => widest = widest.max(gap),
                None => return Attempt::Blocked(number, between - 1),
            }
        }
        Attempt::Done(Placed { points, widest })
    }

    /// Fixed points closer than two gaps along a line leave room unused: try without one.
    fn tight(&self, edges: &[Edge]) -> Attempt {
        let held = edges.iter().filter(|edge| edge.start.is_some() && edge.end.is_some());
        let tightest = held.min_by(|a, b| a.length().total_cmp(&b.length()));
        match tightest.filter(|edge| edge.length() < self.min_gap * 2.0) {
            Some(edge) => Attempt::Tight(self.lines[edge.line].at(edge.to)),
            None => Attempt::Hopeless,
        }
    }

    /// Puts the points of one edge; gives the widest gap left along it, or nothing when there is no room.
    fn fill(&self, edge: &Edge, between: u32, points: &mut Vec<Point>) -> Option<f64> {
        let line = &self.lines[edge.line];
        let gap = edge.spacing(between);
        let lead = if edge.start.is_some() { gap } else { gap / 2.0 };
        let mut places: Vec<f64> = Vec::new();
        for at in 0..between {
            let wished = edge.from + lead + gap * f64::from(at);
            let place = self.clear_near(edge, wished, gap, points)?;
            points.push(line.at(place));
            places.push(place);
        }
        places.sort_by(f64::total_cmp);
        if edge.ring {
            places.extend(places.first().map(|first| first + edge.length()));
        } else {
            places.insert(0, edge.from);
            places.push(edge.to);
        }
        let gaps = places.windows(2).map(|pair| pair[1] - pair[0]);
        Some(gaps.fold(if places.len() < 2 { edge.length() } else { 0.0 }, f64::max))
    }

    /// The clear place on the edge nearest to the wished one.
    fn clear_near(&self, edge: &Edge, wished: f64, gap: f64, points: &[Point]) -> Option<f64> {
        let line = &self.lines[edge.line];
        let step = self.min_gap / 16.0;
        let farthest = gap.min(self.min_gap * 4.0).max(self.min_gap);
        let mut slid = 0.0;
        while slid <= farthest {
            for place in [wished + slid, wished - slid] {
                let inside = edge.ring || (edge.from..=edge.to).contains(&place);
                if inside && self.missing(line.at(place), points) <= 0.0 {
                    return Some(place);
                }
            }
            slid += step;
        }
        None
    }
}

/// How many points go between the ends of each edge: always the next one to the edge that is widest.
fn apportion(edges: &[Edge], n: usize, min_gap: f64) -> Option<Vec<u32>> {
    let mut shares = vec![0_u32; edges.len()];
    for _ in 0..n {
        let room = (0..edges.len()).filter(|&edge| {
            let (more, edge) = (shares[edge] + 1, edges[edge]);
            let roomy = (edge.ring && more == 1) || edge.spacing(more) >= min_gap * (1.0 - 1e-9);
            roomy && more <= edge.most
        });
        let widest = room.max_by(|&a, &b| {
            edges[a].spacing(shares[a]).total_cmp(&edges[b].spacing(shares[b])).then(b.cmp(&a))
        })?;
        shares[widest] += 1;
    }
    Some(shares)
}

/// Where a line turns by more than an angle within a short window to both sides, by length from its start.
fn corners(line: &Polyline, angle: f64, window: f64) -> Vec<f64> {
    let (length, closed) = (line.length(), line.is_closed());
    let window = window.min(length / 8.0);
    let mut sharp: Vec<(f64, f64)> = Vec::new();
    let inner = if closed { 0..line.points().len() - 1 } else { 1..line.points().len().saturating_sub(1) };
    for index in inner {
        let (along, here) = (line.upto()[index], line.points()[index]);
        if !closed && (along < window || along > length - window) {
            continue;
        }
        let turn = turn(line.at(along - window), here, line.at(along + window));
        if turn > angle {
            sharp.push((turn, along));
        }
    }
    // The sharpest of a neighbourhood is the corner.
    sharp.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.total_cmp(&b.1)));
    let mut kept: Vec<f64> = Vec::new();
    for (_, along) in sharp {
        let apart = |other: f64| {
            let straight = (other - along).abs();
            if closed { straight.min(length - straight) } else { straight }
        };
        if kept.iter().all(|&other| apart(other) > window * 2.0) {
            kept.push(along);
        }
    }
    kept.sort_by(f64::total_cmp);
    kept
}

fn turn(before: Point, here: Point, after: Point) -> f64 {
    let (into, out) = (here - before, after - here);
    libm::atan2(into.cross(out).abs(), into.dot(out))
}
