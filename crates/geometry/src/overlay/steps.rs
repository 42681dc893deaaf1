//! Drawings cut into short steps, and the steps that lie beside a step.
//!
//! A drawing of two yards has two hundred thousand steps, and each asks for its neighbours. So they lie in plain arrays in
//! the order of layers, lines and steps, and stretches of them are told by their first and last.

use kurbo::{BezPath, ParamCurve, PathSeg, Point, Vec2};
use std::ops::Range;

/// Lines run the same way when their directions differ by less than 20 degrees: this is the cosine of that.
const LIKE_DIRECTION: f64 = 0.939_692_620_785_908_4;
/// Rounding in what only decides whether a thing is reckoned exactly.
const SLACK: f64 = 1e-9;
/// Steps are no longer than half of the tolerance as a rule; so many of them lead well away and back.
const AWAY: usize = 12;

/// One subpath in short steps.
pub(super) struct Line {
    /// The layer it is drawn on.
    pub(super) layer: usize,
    /// The points between its steps.
    pub(super) points: Vec<Point>,
    /// Whether it ends where it begins.
    pub(super) closed: bool,
    /// The number of its first step among all.
    pub(super) first: usize,
}

impl Line {
    /// How many steps it has.
    pub(super) fn count(&self) -> usize {
        self.points.len() - 1
    }

    /// The numbers of its steps among all.
    pub(super) fn steps(&self) -> Range<usize> {
        self.first..self.first + self.count()
    }

    /// Whether a later step goes over an earlier one again, and does not only follow it.
    fn again(&self, step: usize, later: usize) -> bool {
        let around = self.closed && later + AWAY > step + self.count();
        later > step + AWAY && !around
    }
}

/// One step.
#[derive(Clone, Copy)]
struct Step {
    middle: Point,
    way: Vec2,
    /// The square of the distance within which a middle may lie beside it.
    near: f64,
    line: usize,
}

/// A cell of the grid over the drawing: column and row.
type Cell = (i64, i64);

/// Steps of a line that follow each other in one cell.
#[derive(Clone)]
struct Stretch {
    cell: Cell,
    steps: Range<usize>,
    /// About its middle, and the square of the distance from there within which any of its steps may lie beside a step.
    middle: Point,
    near: f64,
}

impl Stretch {
    fn new(cell: Cell, steps: Range<usize>, all: &[Step]) -> Self {
        let own = &all[steps.clone()];
        let middle = own[own.len() / 2].middle;
        let reach = own.iter().map(|step| step.near.sqrt() + crate::distance(step.middle, middle));
        let reach = reach.fold(0.0, f64::max) * (1.0 + SLACK);
        Self { cell, steps, middle, near: reach * reach }
    }
}

/// All steps of all layers.
pub(super) struct Steps {
    /// The lines, by layer.
    pub(super) lines: Vec<Line>,
    /// For every step: taken along by an earlier line.
    pub(super) taken: Vec<bool>,
    steps: Vec<Step>,
    tolerance: f64,
    cell: f64,
    /// By cell.
    grid: Vec<Stretch>,
}

impl Steps {
    /// Cuts the lines of all layers into steps of about a length.
    pub(super) fn new(layers: &[Vec<BezPath>], step: f64, tolerance: f64) -> Self {
        let mut lines: Vec<Line> = Vec::new();
        let mut first = 0;
        for (layer, paths) in layers.iter().enumerate() {
            for points in cut(paths, step) {
                let closed = points.len() > 3 && points.first() == points.last();
                let line = Line { layer, points, closed, first };
                first += line.count();
                lines.push(line);
            }
        }
        let steps: Vec<Step> =
            lines.iter().enumerate().flat_map(|(number, line)| told(number, line, tolerance)).collect();
        // Whatever lies beside a step has its middle in the same cell or in one of the eight around it.
        let cell = steps.iter().map(|step| step.near).fold(tolerance * tolerance, f64::max).sqrt();
        let cells: Vec<Cell> = steps.iter().map(|step| cell_of(step.middle, cell)).collect();
        let mut grid: Vec<Stretch> = Vec::new();
        let mut begun = 0;
        for at in 1..=steps.len() {
            if at == steps.len() || cells[at] != cells[begun] || steps[at].line != steps[begun].line {
                grid.push(Stretch::new(cells[begun], begun..at, &steps));
                begun = at;
            }
        }
        grid.sort_unstable_by(|a, b| a.cell.cmp(&b.cell).then(a.steps.start.cmp(&b.steps.start)));
        Self { lines, taken: vec![false; steps.len()], steps, tolerance, cell, grid }
    }

    /// The layer of a step.
    pub(super) fn layer_of(&self, step: usize) -> usize {
        self.lines[self.steps[step].line].layer
    }

    /// The steps beside every step of a line that run the same way and are not yet taken: of higher layers, and of what
    /// comes later in the same layer, where a line drawn twice is one line. A step that an earlier one of the same line
    /// takes along has nothing.
    pub(super) fn all_beside(&mut self, number: usize) -> Beside {
        let own = self.lines[number].steps();
        let mut all = Beside { ends: Vec::with_capacity(own.len()), runs: Vec::new() };
        let mut around: Option<(Cell, Vec<Stretch>)> = None;
        for step in own.clone() {
            if !self.taken[step] {
                let cell = cell_of(self.steps[step].middle, self.cell);
                if around.as_ref().is_none_or(|(there, _)| *there != cell) {
                    around = Some((cell, self.around(cell, own.start)));
                }
                let begun = all.runs.len();
                for stretch in around.iter().flat_map(|(_, stretches)| stretches) {
                    self.find(step, stretch, &mut all.runs);
                }
                for run in &all.runs[begun..] {
                    if own.contains(&run.start) {
                        self.taken[run.clone()].fill(true);
                    }
                }
            }
            all.ends.push(all.runs.len());
        }
        all
    }

    /// The stretches in a cell and the eight around it, from a step on.
    fn around(&self, (column, row): Cell, from: usize) -> Vec<Stretch> {
        let mut found = Vec::new();
        for column in column - 1..=column + 1 {
            let begin = self.grid.partition_point(|stretch| stretch.cell < (column, row - 1));
            let there = self.grid[begin..].iter().take_while(|stretch| stretch.cell <= (column, row + 1));
            found.extend(there.filter(|stretch| stretch.steps.start >= from).cloned());
        }
        found
    }

    /// The steps of a stretch that lie beside a step, as runs.
    fn find(&self, step: usize, stretch: &Stretch, found: &mut Vec<Range<usize>>) {
        let here = self.steps[step];
        let own = &self.lines[here.line];
        let same_line = own.steps().contains(&stretch.steps.start);
        // Most of what is around a step is what it follows.
        if (same_line && stretch.steps.end <= step + AWAY)
            || (here.middle - stretch.middle).hypot2() > stretch.near
        {
            return;
        }
        let run = stretch.steps.clone();
        let inside = self.tolerance * self.tolerance * (1.0 - SLACK);
        let mut last: Option<Range<usize>> = None;
        for (at, there) in run.clone().zip(&self.steps[run]) {
            let apart = (here.middle - there.middle).hypot2();
            let beside = apart <= there.near
                && there.way.dot(here.way).abs() >= LIKE_DIRECTION
                && !self.taken[at]
                && (!same_line || own.again(step - own.first, at - own.first))
                && (apart <= inside || self.distance(here.middle, at) <= self.tolerance);
            if beside {
                match &mut last {
                    Some(last) if last.end == at => last.end += 1,
                    _ => found.extend(last.replace(at..at + 1)),
                }
            }
        }
        found.extend(last);
    }

    /// The distance of a point from a step.
    fn distance(&self, point: Point, step: usize) -> f64 {
        let line = &self.lines[self.steps[step].line];
        let start = line.points[step - line.first];
        let way = line.points[step - line.first + 1] - start;
        let share = ((point - start).dot(way) / way.dot(way)).clamp(0.0, 1.0);
        crate::distance(point, start + way * share)
    }
}

/// What lies beside the steps of a line.
pub(super) struct Beside {
    /// For every step the end of its runs.
    ends: Vec<usize>,
    runs: Vec<Range<usize>>,
}

impl Beside {
    /// The runs of steps beside a step of the line; each is of one line.
    pub(super) fn of(&self, step: usize) -> &[Range<usize>] {
        let begin = step.checked_sub(1).map_or(0, |before| self.ends[before]);
        &self.runs[begin..self.ends[step]]
    }
}

/// The steps of a line.
fn told(number: usize, line: &Line, tolerance: f64) -> impl Iterator<Item = Step> {
    line.points.windows(2).map(move |ends| {
        let length = crate::distance(ends[1], ends[0]);
        let near = (tolerance + length / 2.0) * (1.0 + SLACK);
        Step {
            middle: ends[0].midpoint(ends[1]),
            way: (ends[1] - ends[0]) / length,
            near: near * near,
            line: number,
        }
    })
}

fn cell_of(point: Point, cell: f64) -> Cell {
    #[allow(clippy::cast_possible_truncation, reason = "`as` saturates; far cells then share one")]
    let index = |value: f64| ((value / cell).floor() as i64).clamp(-(1 << 52), 1 << 52);
    (index(point.x), index(point.y))
}

/// The length of the control polygon: never less than the curve's.
pub(super) fn control_length(piece: &PathSeg) -> f64 {
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

/// The subpaths as the points between their steps.
fn cut(paths: &[BezPath], step: f64) -> Vec<Vec<Point>> {
    let mut lines = Vec::new();
    for path in paths {
        let mut points: Vec<Point> = Vec::new();
        for piece in path.segments() {
            if points.last() != Some(&piece.start()) {
                lines.push(std::mem::take(&mut points));
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
        lines.push(points);
    }
    for points in &mut lines {
        points.retain(|point| point.is_finite());
        points.dedup();
    }
    lines.retain(|points| points.len() > 1);
    lines
}
