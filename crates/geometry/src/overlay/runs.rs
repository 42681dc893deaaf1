//! The runs of a line: stretches that stand for one set of layers, none of them short.

use super::steps::Line;
use kurbo::Point;

/// Steps that follow each other and stand for the same layers.
pub(super) struct Like {
    /// The layers, rising; none for what is told already.
    pub(super) set: Vec<usize>,
    /// How many steps.
    pub(super) count: usize,
}

/// Neighbouring steps of one set.
pub(super) struct Run {
    /// The layers.
    pub(super) set: Vec<usize>,
    from: usize,
    count: usize,
    length: f64,
}

impl Run {
    /// Its steps on a line of so many steps; a run on a closed line may go past the end.
    pub(super) fn steps(&self, of: usize) -> impl Iterator<Item = usize> {
        (self.from..self.from + self.count).map(move |step| step % of)
    }

    /// Its points on its line.
    pub(super) fn points(&self, line: &Line) -> Vec<Point> {
        let count = line.count();
        let first = line.points[self.from % count];
        std::iter::once(first).chain(self.steps(count).map(|step| line.points[step + 1])).collect()
    }
}

/// The runs of a line, the short ones given to their longer neighbours.
pub(super) fn runs_of(line: &Line, alike: Vec<Like>, shortest: f64) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    let mut from = 0;
    for Like { set, count } in alike {
        let ends = line.points[from..=from + count].windows(2);
        let length = ends.map(|ends| crate::distance(ends[0], ends[1])).sum();
        runs.push(Run { set, from, count, length });
        from += count;
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
        merge_around(runs, at, closed);
    }
}

/// Makes a run and its neighbours of the same set one run.
fn merge_around(runs: &mut Vec<Run>, at: usize, closed: bool) {
    let mut first = at.saturating_sub(1);
    for _ in 0..2 {
        match runs.get(first + 1) {
            Some(second) if second.set == runs[first].set => {
                let second = runs.remove(first + 1);
                runs[first].count += second.count;
                runs[first].length += second.length;
            }
            _ => first += 1,
        }
    }
    if closed && runs.len() > 1 && runs.first().map(|run| &run.set) == runs.last().map(|run| &run.set) {
        join_around(runs);
    }
}
