//! Finding a place for each hole's number: beside the hole, outward, clear of holes, lines and other numbers.

mod grid;
mod spots;

use grid::Grid;
use spots::{Near, Spots, near_rectangle};

/// What the labels have to keep clear of, on paper (millimetres, y down).
pub(crate) struct Surroundings<'a> {
    /// Centres of all holes drawn.
    pub(crate) holes: &'a [[f64; 2]],
    /// Radius of the holes as drawn.
    pub(crate) radius: f64,
    /// Lines drawn between holes.
    pub(crate) lines: &'a [[[f64; 2]; 2]],
    /// Width and height of the drawing.
    pub(crate) size: [f64; 2],
    /// Size of the type in millimetres.
    pub(crate) type_mm: f64,
}

/// Something that wants a label.
pub(crate) struct Wanted {
    /// Where it is.
    pub(crate) at: [f64; 2],
    /// Width of the label, in type sizes.
    pub(crate) ems: f64,
    /// Its neighbours along the line, where there are any.
    pub(crate) beside: [Option<[f64; 2]>; 2],
}

/// Width of a number in type sizes: the font's tabular figures are a little over half as wide as the type is high.
pub(crate) fn number_ems(number: usize) -> f64 {
    0.62 * f64::from(u32::try_from(number.to_string().len()).unwrap_or(4))
}

/// From this cost on, a label lies on something.
const CLASH: f64 = 60.0;
/// How often every number is looked at again with all others in place.
const ROUNDS: usize = 3;

/// Half width and half height of a label, with the room its disc takes.
fn half(ems: f64, type_mm: f64) -> [f64; 2] {
    [(0.5 * ems + 0.22) * type_mm, 0.52 * type_mm]
}

/// Labels with their centres, and how many of them had to lie on something.
pub(crate) struct Placed {
    /// The centre of each label.
    pub(crate) centres: Vec<[f64; 2]>,
    /// Labels that lie on a hole, on another label or outside the drawing.
    pub(crate) clashes: usize,
    /// Which of them had to.
    pub(crate) clashing: Vec<bool>,
}

/// From this distance between hole and label on, in type sizes, a line has to say which belongs to which.
const LEADER: f64 = 0.55;

impl Placed {
    /// The line from a hole to its label, where they stand too far apart to be read as one.
    pub(crate) fn leader(
        &self,
        wanted: &Wanted,
        at: [f64; 2],
        radius: f64,
        type_mm: f64,
    ) -> Option<[[f64; 2]; 2]> {
        let reach = half(wanted.ems, type_mm);
        let gap = near_rectangle(wanted.at, at, reach) - radius;
        if gap < LEADER * type_mm {
            return None;
        }
        let toward = |from: f64, middle: f64, half: f64| from.clamp(middle - half, middle + half);
        let end = [toward(wanted.at[0], at[0], reach[0] * 0.8), toward(wanted.at[1], at[1], reach[1] * 0.8)];
        let way = [end[0] - wanted.at[0], end[1] - wanted.at[1]];
        let far = libm::hypot(way[0], way[1]).max(1e-9);
        let edge = [wanted.at[0] + way[0] / far * radius, wanted.at[1] + way[1] / far * radius];
        Some([edge, end])
    }
}

/// The centre of each label.
pub(crate) fn place(wanted: &[Wanted], around: &Surroundings) -> Placed {
    let middle = middle(around.holes);
    let halves: Vec<[f64; 2]> = wanted.iter().map(|one| half(one.ems, around.type_mm)).collect();
    let mut all: Vec<Spots> = wanted
        .iter()
        .map(|one| Spots::new(one, outward(one, middle), Near::new(one, around), around))
        .collect();
    let mut grid = Grid::new(&halves, around.size);
    let mut placed: Vec<Option<[f64; 2]>> = vec![None; wanted.len()];
    let mut clashing = vec![false; wanted.len()];
    for _ in 0..ROUNDS {
        for (k, spots) in all.iter_mut().enumerate() {
            if let Some((bad, at)) = spots.cheapest(around, &|at| grid.under(k, at)) {
                grid.lay(k, placed[k].replace(at), at);
                clashing[k] = bad >= CLASH;
            }
        }
    }
    let centres = placed.iter().zip(wanted).map(|(at, one)| at.unwrap_or(one.at)).collect();
    let clashes = clashing.iter().filter(|clash| **clash).count();
    Placed { centres, clashes, clashing }
}

/// The middle of the figure.
fn middle(holes: &[[f64; 2]]) -> [f64; 2] {
    let count = f64::from(u32::try_from(holes.len().max(1)).unwrap_or(1));
    let sum = holes.iter().fold([0.0, 0.0], |sum, hole| [sum[0] + hole[0], sum[1] + hole[1]]);
    [sum[0] / count, sum[1] / count]
}

/// Which way is outward at a hole: across the line through its neighbours, away from the middle.
fn outward(hole: &Wanted, middle: [f64; 2]) -> [f64; 2] {
    let away = [hole.at[0] - middle[0], hole.at[1] - middle[1]];
    let before = hole.beside[0].unwrap_or(hole.at);
    let after = hole.beside[1].unwrap_or(hole.at);
    let along = [after[0] - before[0], after[1] - before[1]];
    let across = [-along[1], along[0]];
    let length = libm::hypot(across[0], across[1]);
    if length < 1e-9 {
        let far = libm::hypot(away[0], away[1]).max(1e-9);
        return [away[0] / far, away[1] / far];
    }
    let side = if across[0] * away[0] + across[1] * away[1] < 0.0 { -1.0 } else { 1.0 };
    [side * across[0] / length, side * across[1] / length]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_on_a_ring_stand_outside_and_touch_nothing() {
        let holes: Vec<[f64; 2]> = (0..36)
            .map(|k| {
                let (sin, cos) = libm::sincos(f64::from(k) * std::f64::consts::TAU / 36.0);
                [100.0 + 70.0 * cos, 100.0 + 70.0 * sin]
            })
            .collect();
        let wanted: Vec<Wanted> = (0..36)
            .map(|k| Wanted {
                at: holes[k],
                ems: number_ems(10),
                beside: [Some(holes[(k + 35) % 36]), Some(holes[(k + 1) % 36])],
            })
            .collect();
        let around =
            Surroundings { holes: &holes, radius: 1.5, lines: &[], size: [200.0, 200.0], type_mm: 5.0 };
        let placed = place(&wanted, &around);
        assert_eq!(placed.clashes, 0);
        for (k, at) in placed.centres.iter().enumerate() {
            let reach = half(number_ems(10), 5.0);
            assert!(
                holes.iter().all(|hole| near_rectangle(*hole, *at, reach) >= 1.5),
                "number {k} lies on a hole"
            );
            assert!(libm::hypot(at[0] - 100.0, at[1] - 100.0) > 70.0, "number {k} stands inside");
            for other in &placed.centres[..k] {
                let free =
                    (at[0] - other[0]).abs() > 2.0 * reach[0] || (at[1] - other[1]).abs() > 2.0 * reach[1];
                assert!(free, "numbers overlap at {k}");
            }
        }
    }
}
