//! Labels by where they stand, so that a place is held against its neighbours and not against all.

/// How far labels stay from each other beyond what they need, in millimetres.
const APART: f64 = 0.2;
/// No drawing has more cells across or down.
const MOST_CELLS: f64 = 1000.0;

/// Labels in cells as large as two of them need.
pub(super) struct Grid<'a> {
    /// Half width and half height of each label.
    halves: &'a [[f64; 2]],
    cell: [f64; 2],
    counts: [usize; 2],
    /// The labels of every cell with their centres, row by row.
    cells: Vec<Vec<(usize, [f64; 2])>>,
}

impl<'a> Grid<'a> {
    /// An empty drawing of a size.
    pub(super) fn new(halves: &'a [[f64; 2]], size: [f64; 2]) -> Self {
        let most = |axis: usize| halves.iter().map(|half| half[axis]).fold(0.0, f64::max);
        let cell = [0, 1].map(|axis| 2.0 * most(axis) + APART);
        let counts = [0, 1].map(|axis| whole((size[axis] / cell[axis]).clamp(0.0, MOST_CELLS - 1.0)) + 1);
        Self { halves, cell, counts, cells: vec![Vec::new(); counts[0] * counts[1]] }
    }

    /// Column and row; what lies outside counts to the edge.
    fn at(&self, centre: [f64; 2]) -> [usize; 2] {
        [0, 1].map(|axis| {
            let last = self.counts[axis] - 1;
            whole((centre[axis] / self.cell[axis]).clamp(0.0, MOST_CELLS)).min(last)
        })
    }

    fn index(&self, centre: [f64; 2]) -> usize {
        let [column, row] = self.at(centre);
        row * self.counts[0] + column
    }

    /// Moves a label from one place, if it had one, to another.
    pub(super) fn lay(&mut self, label: usize, from: Option<[f64; 2]>, to: [f64; 2]) {
        if let Some(from) = from {
            let index = self.index(from);
            self.cells[index].retain(|(other, _)| *other != label);
        }
        let index = self.index(to);
        self.cells[index].push((label, to));
    }

    /// How many others a label would lie on at a place.
    pub(super) fn under(&self, label: usize, centre: [f64; 2]) -> usize {
        let own = self.halves[label];
        let lies_on = |(other, there): &&(usize, [f64; 2])| {
            let theirs = self.halves[*other];
            *other != label
                && (centre[0] - there[0]).abs() < own[0] + theirs[0] + APART
                && (centre[1] - there[1]).abs() < own[1] + theirs[1] + APART
        };
        let [column, row] = self.at(centre);
        let rows = row.saturating_sub(1)..=(row + 1).min(self.counts[1] - 1);
        rows.map(|row| {
            let first = row * self.counts[0] + column.saturating_sub(1);
            let last = row * self.counts[0] + (column + 1).min(self.counts[0] - 1);
            self.cells[first..=last].iter().flatten().filter(lies_on).count()
        })
        .sum()
    }
}

/// A number of cells; what is no number is none.
fn whole(number: f64) -> usize {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "`as` saturates, which is what is wanted"
    )]
    let whole = number as usize;
    whole
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_label_meets_those_it_would_by_looking_at_all() {
        let place = |k: u32| [f64::from(k * k * 37 % 211) - 10.0, f64::from(k * k * 53 % 97) - 10.0];
        let halves: Vec<[f64; 2]> = (0..120_u32).map(|k| [2.0 + f64::from(k % 5), 2.5]).collect();
        let mut grid = Grid::new(&halves, [180.0, 80.0]);
        let mut centres: Vec<[f64; 2]> = Vec::new();
        for k in 0..120_usize {
            grid.lay(k, None, place(u32::try_from(k).unwrap_or(0)));
            let moved = place(u32::try_from(k).unwrap_or(0) + 500);
            grid.lay(k, Some(place(u32::try_from(k).unwrap_or(0))), moved);
            centres.push(moved);
        }
        let mut met = 0;
        for (k, own) in centres.iter().enumerate() {
            let meets = |other: usize| {
                (own[0] - centres[other][0]).abs() < halves[k][0] + halves[other][0] + APART
                    && (own[1] - centres[other][1]).abs() < halves[k][1] + halves[other][1] + APART
            };
            let expected = (0..centres.len()).filter(|other| *other != k && meets(*other)).count();
            assert_eq!(grid.under(k, *own), expected, "{k}");
            met += expected;
        }
        assert!(met > 0);
    }
}
