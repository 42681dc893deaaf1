//! Which lines of several drawings laid over each other run together.
//!
//! Every layer is cut into short steps. Going through the layers from the lowest, each step is asked which higher layers
//! have a step beside it that runs the same way; the answer is judged from the step of the lowest layer alone, so two
//! lines far apart are never joined by a third between them. What a lower layer has taken along is not told again.

mod ends;
mod runs;
mod steps;

use ends::join_ends;
use kurbo::{BezPath, Point};
use runs::{Like, runs_of};
use std::collections::BTreeMap;
use steps::{Beside, Steps, control_length};

/// Steps are half of the tolerance, but the whole is never cut into more steps than about this.
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
    let step = (tolerance / 2.0).max(total / MOST_STEPS);
    let tolerance = tolerance.max(step);
    let mut steps = Steps::new(layers, step, tolerance);
    let mut told: BTreeMap<Vec<usize>, Vec<Vec<Point>>> = BTreeMap::new();
    for line in 0..steps.lines.len() {
        tell(&mut steps, line, shortest, &mut told);
    }
    let join = |(layers, lines)| Group { layers, lines: join_ends(lines, tolerance) };
    let mut groups: Vec<Group> = told.into_iter().map(join).collect();
    groups.sort_by(|a, b| b.layers.len().cmp(&a.layers.len()).then_with(|| a.layers.cmp(&b.layers)));
    groups
}

/// Tells what of a line no earlier one has taken along.
fn tell(steps: &mut Steps, number: usize, shortest: f64, told: &mut BTreeMap<Vec<usize>, Vec<Vec<Point>>>) {
    let beside = steps.all_beside(number);
    let line = &steps.lines[number];
    let runs = runs_of(line, alike(steps, number, &beside), shortest);
    let mut taken = Vec::new();
    for run in runs.iter().filter(|run| !run.set.is_empty()) {
        let there = run.steps(line.count()).flat_map(|step| beside.of(step));
        taken.extend(there.filter(|there| run.set.contains(&steps.layer_of(there.start))).cloned());
        told.entry(run.set.clone()).or_default().push(run.points(line));
    }
    for run in taken {
        steps.taken[run].fill(true);
    }
}

/// For every step of a line the layers that it stands for; none when an earlier line has taken it along.
fn alike(steps: &Steps, number: usize, beside: &Beside) -> Vec<Like> {
    let line = &steps.lines[number];
    let mut all: Vec<Like> = Vec::new();
    let mut set = Vec::new();
    for (at, step) in line.steps().enumerate() {
        set.clear();
        if !steps.taken[step] {
            set.push(line.layer);
            for layer in beside.of(at).iter().map(|run| steps.layer_of(run.start)) {
                if !set.contains(&layer) {
                    set.push(layer);
                }
            }
            set.sort_unstable();
        }
        match all.last_mut() {
            // One by one: a call for so few, just written, costs more than the step.
            Some(like) if like.set.iter().eq(&set) => like.count += 1,
            _ => all.push(Like { set: set.clone(), count: 1 }),
        }
    }
    all
}
