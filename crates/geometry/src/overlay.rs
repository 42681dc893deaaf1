//! Which lines of several drawings laid over each other run together.
//!
//! Every layer is cut into short steps. Going through the layers from the lowest, each step is asked which higher layers
//! have a step beside it that runs the same way; the answer is judged from the step of the lowest layer alone, so two
//! lines far apart are never joined by a third between them. What a lower layer has taken along is not told again.

use kurbo::{BezPath, ParamCurve, PathSeg, Point, Vec2};
use std::collections::BTreeMap;

/// Lines run the same way when their directions differ by less than 20 degrees: this is the cosine of that.
const LIKE_DIRECTION: f64 = 0.939_692_620_785_908_4;
/// Steps are a quarter of the tolerance, but the whole is never cut into more steps than about this.
const MOST_STEPS: f64 = 400_000.0;

/// Lines that run together in one set of layers.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// The layers, by position, rising.
    pub layers: Vec<usize>,
    /// The lines, as on the lowest of these layers; closed ones repeat their first point.
    pub lines: Vec<Vec<Point>>,
}

/// The lines of all layers, told once each, grouped by the set of layers in which they run together.
///
/// Two lines run together where they are within `tolerance` and of like direction. A stretch shorter than `shortest`
/// goes with its longer neighbour on the same line. Groups come with the largest sets first, then by the set.
///
/// ```
/// use geometry::{BezPath, shared_lines};
/// let layer = |path| vec![BezPath::from_svg(path).expect("a path")];
/// let groups = shared_lines(&[layer("M0 0H100"), layer("M40 1H200")], 2.0, 10.0);
/// let sets: Vec<&[usize]> = groups.iter().map(|group| &group.layers[..]).collect();
/// assert_eq!(sets, [&[0, 1][..], &[0], &[1]]);
/// ```
pub fn shared_lines(layers: &[Vec<BezPath>], tolerance: f64, shortest: f64) -> Vec<Group> {
    let tolerance = if tolerance > 0.0 && tolerance.is_finite() { tolerance } else { 1.0 };
    let total: f64 =
        layers.iter().flatten().flat_map(BezPath::segments).map(|piece| control_length(&piece)).sum();
    let step = (tolerance / 4.0).max(total / MOST_STEPS);
    let lines: Vec<Vec<Line>> = layers.iter().map(|paths| cut(paths, step)).collect();
    let mut overlay = Overlay::new(lines, tolerance.max(step), shortest);
    for layer in 0..layers.len() {
        overlay.tell(layer);
    }
    overlay.finish()
}

/// One subpath in short steps.
struct Line {
    points: Vec<Point>,
    closed: bool,
    /// For every step: taken along by a lower layer.
    taken: Vec<bool>,
}

impl Line {
    fn middle(&self, step: usize) -> Point {
        self.points[step].midpoint(self.points[step + 1])
    }

    fn way(&self, step: usize) -> Vec2 {
        let way = self.points[step + 1] - self.points[step];
        way / crate::distance(self.points[step + 1], self.points[step])
    }
}

/// The length of the control polygon: never less than the curve's.
fn control_length(piece: &PathSeg) -> f64 {
    let cubic = piece.to_cubic();
    let legs = [(cubic.p0, cubic.p1), (cubic.p1, cubic.p2), (cubic.p2, cubic.p3)];
    legs.iter().map(|&(a, b)| crate::distance(a, b)).sum()
}

/// A number of steps, from 1.
fn whole_steps(steps: f64) -> u32 {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "`as` saturates, which is what is wanted"
    )]
    let whole = steps.ceil() as u32;
    whole.max(1)
}

fn cut(paths: &[BezPath], step: f64) -> Vec<Line> {
    let mut lines = Vec::new();
    for path in paths {
        let mut points: Vec<Point> = Vec::new();
        for piece in path.segments() {
            if points.last() != Some(&piece.start()) {
                lines.extend(line(std::mem::take(&mut points)));
                points.push(piece.start());
            }
            // Steps even in the parameter, as many as the fastest part of the curve needs.
            let speed = match piece {
                PathSeg::Line(_) => control_length(&piece),
                _ => control_length(&piece) * 1.5,
            };
            let count = whole_steps(speed / step);
            points.extend((1..count).map(|at| piece.eval(f64::from(at) / f64::from(count))));
            points.push(piece.end());
        }
        lines.extend(line(points));
    }
    lines
}

fn line(mut points: Vec<Point>) -> Option<Line> {
    points.retain(|point| point.is_finite());
    points.dedup();
    let steps = points.len().checked_sub(1).filter(|&steps| steps > 0)?;
    let closed = steps > 2 && points.first() == points.last();
    Some(Line { points, closed, taken: vec![false; steps] })
}

/// A cell of the grid over the drawing.
type Cell = (i64, i64);

struct Overlay {
    layers: Vec<Vec<Line>>,
    tolerance: f64,
    shortest: f64,
    cell: f64,
    /// The steps (layer, line, step) by the cell of their middle.
    grid: BTreeMap<Cell, Vec<(usize, usize, usize)>>,
    told: BTreeMap<Vec<usize>, Vec<Vec<Point>>>,
}

impl Overlay {
    fn new(layers: Vec<Vec<Line>>, tolerance: f64, shortest: f64) -> Self {
        let mut overlay = Self {
            layers,
            tolerance,
            shortest,
            // A step is no longer than the tolerance, so one within reach has its middle within this distance.
            cell: tolerance * 1.5,
            grid: BTreeMap::new(),
            told: BTreeMap::new(),
        };
        for (layer, lines) in overlay.layers.iter().enumerate() {
            for (number, line) in lines.iter().enumerate() {
                for step in 0..line.taken.len() {
                    let cell = cell_of(line.middle(step), overlay.cell);
                    overlay.grid.entry(cell).or_default().push((layer, number, step));
                }
            }
        }
        overlay
    }

    /// The steps beside a step that run the same way and are not yet taken: of higher layers, and of what comes later in the
    /// same layer, where a line drawn twice is one line.
    fn beside(&self, layer: usize, own: usize, step: usize) -> Vec<(usize, usize, usize)> {
        let line = &self.layers[layer][own];
        let (middle, way) = (line.middle(step), line.way(step));
        let (column, row) = cell_of(middle, self.cell);
        let mut found = Vec::new();
        for cell in (column - 1..=column + 1).flat_map(|x| (row - 1..=row + 1).map(move |y| (x, y))) {
            for &(other, number, at) in self.grid.get(&cell).into_iter().flatten() {
                let before = (other, number) < (layer, own);
                if before || ((other, number) == (layer, own) && !self.again(line, step, at)) {
                    continue;
                }
                let there = &self.layers[other][number];
                if !there.taken[at]
                    && there.way(at).dot(way).abs() >= LIKE_DIRECTION
                    && from_step(middle, there.points[at], there.points[at + 1]) <= self.tolerance
                {
                    found.push((other, number, at));
                }
            }
        }
        found
    }

    /// Whether a later step of a line goes over an earlier one again, and does not only follow it.
    fn again(&self, line: &Line, step: usize, later: usize) -> bool {
        // Steps are no longer than a quarter of the tolerance as a rule; so many of them lead well away and back.
        const AWAY: usize = 24;
        let steps = line.taken.len();
        let around = line.closed && later + AWAY > step + steps;
        later > step + AWAY && !around
    }

    /// What lies beside every step of a line; a step that an earlier one of the same line takes along has nothing.
    fn all_beside(&mut self, layer: usize, number: usize) -> Vec<Vec<(usize, usize, usize)>> {
        let mut all = Vec::new();
        for step in 0..self.layers[layer][number].taken.len() {
            if self.layers[layer][number].taken[step] {
                all.push(Vec::new());
                continue;
            }
            let beside = self.beside(layer, number, step);
            for &(other, again, at) in &beside {
                if (other, again) == (layer, number) {
                    self.layers[other][again].taken[at] = true;
                }
            }
            all.push(beside);
        }
        all
    }

    /// Tells the lines of one layer that no lower one has taken along.
    fn tell(&mut self, layer: usize) {
        for number in 0..self.layers[layer].len() {
            let beside = self.all_beside(layer, number);
            let line = &self.layers[layer][number];
            let sets =
                beside.iter().zip(&line.taken).map(|(beside, &taken)| set_of(layer, beside, taken)).collect();
            let runs = runs_of(line, sets, self.shortest);
            let mut taken = Vec::new();
            for run in runs.iter().filter(|run| !run.set.is_empty()) {
                let steps = run.steps(line.taken.len());
                let there = steps.flat_map(|step| &beside[step]);
                taken.extend(there.filter(|(other, _, _)| run.set.contains(other)).copied());
                self.told.entry(run.set.clone()).or_default().push(run.points(line));
            }
            for (other, number, step) in taken {
                self.layers[other][number].taken[step] = true;
            }
        }
    }

    fn finish(self) -> Vec<Group> {
        let tolerance = self.tolerance;
        let join = |(layers, lines)| Group { layers, lines: join_ends(lines, tolerance) };
        let mut groups: Vec<Group> = self.told.into_iter().map(join).collect();
        groups.sort_by(|a, b| b.layers.len().cmp(&a.layers.len()).then_with(|| a.layers.cmp(&b.layers)));
        groups
    }
}

fn cell_of(point: Point, cell: f64) -> Cell {
    #[allow(clippy::cast_possible_truncation, reason = "`as` saturates; far cells then share one")]
    let index = |value: f64| ((value / cell).floor() as i64).clamp(-(1 << 52), 1 << 52);
    (index(point.x), index(point.y))
}

/// The distance of a point from the straight step between two others.
fn from_step(point: Point, start: Point, end: Point) -> f64 {
    let way = end - start;
    let share = ((point - start).dot(way) / way.dot(way)).clamp(0.0, 1.0);
    crate::distance(point, start + way * share)
}

/// The layers that a step stands for; none when a lower layer has taken it along.
fn set_of(layer: usize, beside: &[(usize, usize, usize)], taken: bool) -> Vec<usize> {
    if taken {
        return Vec::new();
    }
    let mut set: Vec<usize> = beside.iter().map(|&(other, _, _)| other).chain([layer]).collect();
    set.sort_unstable();
    set.dedup();
    set
}

/// Neighbouring steps of one set.
struct Run {
    set: Vec<usize>,
    from: usize,
    count: usize,
    length: f64,
}

impl Run {
    /// Its steps on a line of so many steps; a run on a closed line may go past the end.
    fn steps(&self, of: usize) -> impl Iterator<Item = usize> {
        (self.from..self.from + self.count).map(move |step| step % of)
    }

    fn points(&self, line: &Line) -> Vec<Point> {
        let count = line.taken.len();
        let first = line.points[self.from % count];
        std::iter::once(first).chain(self.steps(count).map(|step| line.points[step + 1])).collect()
    }
}

/// The runs of a line, the short ones given to their longer neighbours.
fn runs_of(line: &Line, sets: Vec<Vec<usize>>, shortest: f64) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    for (step, set) in sets.into_iter().enumerate() {
        let length = crate::distance(line.points[step], line.points[step + 1]);
        match runs.last_mut() {
            Some(run) if run.set == set => {
                run.count += 1;
                run.length += length;
            }
            _ => runs.push(Run { set, from: step, count: 1, length }),
        }
    }
    if line.closed && runs.len() > 1 && runs.first().map(|run| &run.set) == runs.last().map(|run| &run.set) {
        join_around(&mut runs);
    }
    absorb(&mut runs, line.closed, shortest);
    runs
}

/// On a closed line the last run and the first are one.
fn join_around(runs: &mut Vec<Run>) {
    let first = runs.remove(0);
    if let Some(last) = runs.last_mut() {
        last.count += first.count;
        last.length += first.length;
    }
}

fn absorb(runs: &mut Vec<Run>, closed: bool, shortest: f64) {
    while runs.len() > 1 {
        let least = (0..runs.len()).min_by(|&a, &b| runs[a].length.total_cmp(&runs[b].length)).unwrap_or(0);
        if runs[least].length >= shortest {
            return;
        }
        // Put the short run last or in the middle of its neighbours: on a closed line any run may be the first.
        if closed {
            runs.rotate_left(least);
        }
        let at = if closed { 0 } else { least };
        let before = at.checked_sub(1).or(closed.then(|| runs.len() - 1));
        let after = Some(at + 1).filter(|&after| after < runs.len());
        let length = |index: Option<usize>| index.map_or(-1.0, |index| runs[index].length);
        let set = match (length(before) >= length(after), before, after) {
            (true, Some(index), _) | (false, _, Some(index)) => runs[index].set.clone(),
            _ => return,
        };
        runs[at].set = set;
        merge_equal(runs, closed);
    }
}

/// Makes neighbouring runs of one set one run.
fn merge_equal(runs: &mut Vec<Run>, closed: bool) {
    let mut merged: Vec<Run> = Vec::with_capacity(runs.len());
    for run in runs.drain(..) {
        match merged.last_mut() {
            Some(last) if last.set == run.set => {
                last.count += run.count;
                last.length += run.length;
            }
            _ => merged.push(run),
        }
    }
    *runs = merged;
    if closed && runs.len() > 1 && runs.first().map(|run| &run.set) == runs.last().map(|run| &run.set) {
        join_around(runs);
    }
}

/// Joins lines end to end where exactly two ends meet within the tolerance.
fn join_ends(mut lines: Vec<Vec<Point>>, tolerance: f64) -> Vec<Vec<Point>> {
    lines.retain(|line| line.len() > 1);
    while let Some((a, a_start, b, b_start)) = meeting(&lines, tolerance) {
        if a == b {
            let first = lines[a][0];
            lines[a].push(first);
            continue;
        }
        let mut tail = lines.remove(a.max(b));
        let at = a.min(b);
        let (head_start, tail_start) = if a < b { (a_start, b_start) } else { (b_start, a_start) };
        if head_start {
            lines[at].reverse();
        }
        if !tail_start {
            tail.reverse();
        }
        lines[at].extend(tail);
        lines[at].dedup();
    }
    lines
}

/// Two ends (line, whether it is its start) that meet each other and no third.
fn meeting(lines: &[Vec<Point>], tolerance: f64) -> Option<(usize, bool, usize, bool)> {
    let mut ends: Vec<(usize, bool, Point)> = Vec::new();
    for (number, line) in lines.iter().enumerate() {
        if let (Some(&first), Some(&last)) = (line.first(), line.last())
            && first != last
        {
            ends.extend([(number, true, first), (number, false, last)]);
        }
    }
    let near = |at: usize| {
        let point = ends[at].2;
        let others = ends.iter().enumerate().filter(move |&(other, _)| other != at);
        others.filter(move |(_, end)| crate::distance(end.2, point) <= tolerance).map(|(other, _)| other)
    };
    for at in 0..ends.len() {
        let mut others = near(at);
        if let (Some(other), None) = (others.next(), others.next())
            && near(other).count() == 1
        {
            // A short line is not bent into a ring.
            let long_enough = ends[at].0 != ends[other].0 || lines[ends[at].0].len() > 8;
            if long_enough {
                return Some((ends[at].0, ends[at].1, ends[other].0, ends[other].1));
            }
        }
    }
    None
}
