//! Lines joined where their ends meet.

use kurbo::Point;

/// Joins lines end to end where exactly two ends meet within the tolerance.
pub(super) fn join_ends(mut lines: Vec<Vec<Point>>, tolerance: f64) -> Vec<Vec<Point>> {
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
