//! Paper, and how a panel falls into sheets of it that overlap.

/// No office printer is asked to print closer to the edge than this.
pub(super) const MARGIN_MM: f64 = 10.0;

/// How far neighbouring tiles lie over each other.
pub(super) const OVERLAP_MM: f64 = 10.0;

/// More tiles one way than any panel takes; stops the count on a length that is no length.
const MOST: u32 = 400;

/// A size of paper, upright.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Paper {
    /// Its name in file names.
    pub(super) name: &'static str,
    /// Its name on paper.
    pub(super) shown: &'static str,
    /// Its width.
    pub(super) width_mm: f64,
    /// Its height.
    pub(super) height_mm: f64,
}

/// US letter and tabloid (8.5 by 11 in, 11 by 17 in), A4 and A3 of ISO 216.
pub(super) const ALL: [Paper; 4] = [
    Paper { name: "letter", shown: "letter", width_mm: 215.9, height_mm: 279.4 },
    Paper { name: "tabloid", shown: "tabloid", width_mm: 279.4, height_mm: 431.8 },
    Paper { name: "a4", shown: "A4", width_mm: 210.0, height_mm: 297.0 },
    Paper { name: "a3", shown: "A3", width_mm: 297.0, height_mm: 420.0 },
];

/// How a panel falls into tiles. Row A is at the top, column 1 at the left, seen from the FRONT.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Tiling {
    /// Columns.
    pub(super) columns: u32,
    /// Rows.
    pub(super) rows: u32,
    /// Width that can be printed on.
    pub(super) usable_width_mm: f64,
    /// Height that can be printed on.
    pub(super) usable_height_mm: f64,
    /// Left edge of column 1 on the panel; what is left over is shared between both sides.
    left_mm: f64,
    /// Top edge of row A above the top edge of the panel.
    above_mm: f64,
    panel_height_mm: f64,
}

impl Tiling {
    /// The fewest tiles of this paper that cover a panel.
    pub(super) fn new(panel_width_mm: f64, panel_height_mm: f64, paper: Paper) -> Self {
        let usable_width_mm = paper.width_mm - 2.0 * MARGIN_MM;
        let usable_height_mm = paper.height_mm - 2.0 * MARGIN_MM;
        let columns = count(panel_width_mm, usable_width_mm);
        let rows = count(panel_height_mm, usable_height_mm);
        Self {
            columns,
            rows,
            usable_width_mm,
            usable_height_mm,
            left_mm: (panel_width_mm - covered(columns, usable_width_mm)) / 2.0,
            above_mm: (covered(rows, usable_height_mm) - panel_height_mm) / 2.0,
            panel_height_mm,
        }
    }

    /// Left edge of a column's printed area, on the panel.
    pub(super) fn left_mm(&self, column: u32) -> f64 {
        self.left_mm + f64::from(column) * (self.usable_width_mm - OVERLAP_MM)
    }

    /// Bottom edge of a row's printed area, on the panel (y up).
    pub(super) fn bottom_mm(&self, row: u32) -> f64 {
        self.panel_height_mm + self.above_mm
            - f64::from(row) * (self.usable_height_mm - OVERLAP_MM)
            - self.usable_height_mm
    }
}

/// How many tiles cover a length.
fn count(length_mm: f64, usable_mm: f64) -> u32 {
    let mut tiles = 1;
    while tiles < MOST && covered(tiles, usable_mm) < length_mm - 1e-6 {
        tiles += 1;
    }
    tiles
}

/// The length that some tiles cover together.
fn covered(tiles: u32, usable_mm: f64) -> f64 {
    f64::from(tiles) * (usable_mm - OVERLAP_MM) + OVERLAP_MM
}

/// `A1` for the first row and column, `AA` after `Z`.
pub(super) fn label(row: u32, column: u32) -> String {
    let mut letters = String::new();
    let mut rest = row + 1;
    while rest > 0 {
        let digit = u8::try_from((rest - 1) % 26).unwrap_or(0);
        letters.insert(0, char::from(b'A' + digit));
        rest = (rest - 1) / 26;
    }
    format!("{letters}{}", column + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Letter 8.5 x 11 in and A4 of ISO 216; 1200 x 2400 mm, 10 mm margins, 10 mm overlap. Worked by hand:
    /// letter step 185.9 x 249.4, ceil(1190/185.9) = 7, ceil(2390/249.4) = 10; A4 step 180 x 267, 7 and 9.
    #[test]
    fn a_sheet_of_1200_by_2400_takes_70_letter_or_63_a4() {
        let letter = Tiling::new(1200.0, 2400.0, ALL[0]);
        assert_eq!((letter.columns, letter.rows), (7, 10));
        let a4 = Tiling::new(1200.0, 2400.0, ALL[2]);
        assert_eq!((a4.columns, a4.rows), (7, 9));
    }

    #[test]
    fn tiles_cover_the_panel_and_overlap_by_ten() {
        for (width, height) in
            [(1200.0, 2400.0), (50.0, 60.0), (195.9, 259.4), (196.0, 259.5), (610.0, 915.0)]
        {
            for paper in ALL {
                let tiling = Tiling::new(width, height, paper);
                assert!(tiling.left_mm(0) <= 1e-9);
                assert!(tiling.left_mm(tiling.columns - 1) + tiling.usable_width_mm >= width - 1e-9);
                assert!(tiling.bottom_mm(tiling.rows - 1) <= 1e-9);
                assert!(tiling.bottom_mm(0) + tiling.usable_height_mm >= height - 1e-9);
                let overlap = tiling.left_mm(0) + tiling.usable_width_mm - tiling.left_mm(1);
                assert!((overlap - OVERLAP_MM).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn rows_are_letters_and_columns_numbers() {
        assert_eq!(label(0, 0), "A1");
        assert_eq!(label(25, 11), "Z12");
        assert_eq!(label(26, 0), "AA1");
    }
}
