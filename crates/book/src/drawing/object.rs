//! A hung object upright, as it is made: its outline over squares, its lamps numbered, and where its hangers are tied.

use super::YARD_PT;
use super::window::{Window, around};
use crate::plate::{INK, Plate, Word, pen};
use crate::say;
use plan::Hung;
use quantity::Units;
use serde_json::{Value, json};

/// Room around it for its measures and letters.
const EDGE_MM: f64 = 18.0;

/// Something on an object: its distance right of the left edge, and up from the lower edge.
pub(crate) type Spot = [f64; 2];

/// A hung object as it stands upright.
pub(crate) struct Upright {
    /// Width and height of all of it.
    pub(crate) size_mm: [f64; 2],
    /// Its outline.
    pub(crate) lines: Vec<Vec<Spot>>,
    /// Its lamps, in the order of the strand.
    pub(crate) lamps: Vec<Spot>,
    /// Where hangers are tied, the left one first.
    pub(crate) ties: Vec<Spot>,
}

impl Upright {
    /// Turns a hung object back upright.
    pub(crate) fn of(hung: &Hung) -> Option<Self> {
        let turned = (-hung.tilt_deg).to_radians();
        let (sin, cos) = (libm::sin(turned), libm::cos(turned));
        let back = |[x, y]: [f64; 2]| [x * cos - y * sin, x * sin + y * cos];
        let lines: Vec<Vec<Spot>> =
            hung.lines_mm.iter().map(|line| line.iter().map(|point| back(*point)).collect()).collect();
        let lamps: Vec<Spot> = hung.lamps_mm.iter().map(|lamp| back(*lamp)).collect();
        let tied = |at: [f64; 2]| back([at[0] - hung.at_mm[0], at[1] - hung.at_mm[1]]);
        let ties: Vec<Spot> = hung.hangers.iter().map(|hanger| tied(hanger.bottom_mm)).collect();
        let [left, low, right, high] =
            around(lines.iter().flatten().chain(&lamps).chain(&ties).copied(), 0.0)?;
        let from_edge = |[x, y]: Spot| [x - left, y - low];
        let all = |spots: Vec<Spot>| spots.into_iter().map(from_edge).collect::<Vec<Spot>>();
        Some(Self {
            size_mm: [right - left, high - low],
            lines: lines.into_iter().map(all).collect(),
            lamps: all(lamps),
            ties: all(ties),
        })
    }

    /// Whether both are made alike, to a millimetre.
    pub(crate) fn is_like(&self, other: &Self) -> bool {
        let near = |one: &[Spot], two: &[Spot]| {
            let close = |(a, b): (&Spot, &Spot)| (a[0] - b[0]).abs() < 1.0 && (a[1] - b[1]).abs() < 1.0;
            one.len() == two.len() && one.iter().zip(two).all(close)
        };
        near(&self.ties, &other.ties) && near(&self.lamps, &other.lamps)
    }
}

/// Squares that an outline is carried over by.
pub(crate) fn square_mm(units: Units) -> f64 {
    match units {
        Units::Inches => 25.4,
        Units::Millimetres => 20.0,
    }
}

/// The drawing.
pub(crate) fn object(name: &str, made: &Upright, room: [f64; 2], units: Units) -> Value {
    let [width, height] = made.size_mm;
    let window = Window::fit(
        [0.0, 0.0, width.max(1.0), height.max(1.0)],
        [room[0] - 2.0 * EDGE_MM, room[1] - 2.0 * EDGE_MM],
        false,
    );
    let [w, h] = window.size();
    let size = [w + 2.0 * EDGE_MM, h + 2.0 * EDGE_MM];
    let mut plate = Plate::new(size, format!("{name} upright from the FRONT, to scale, over squares"));
    let to = |[x, y]: Spot| {
        let [x, y] = window.on_paper([x, y]);
        [x + EDGE_MM, y + EDGE_MM]
    };
    let square = square_mm(units);
    let steps = |length: f64| {
        std::iter::successors(Some(0.0), move |at| Some(at + square))
            .take_while(move |at| *at < length + square)
    };
    let (wide, tall) = (steps(width).last().unwrap_or(width), steps(height).last().unwrap_or(height));
    for x in steps(width) {
        plate.line(&[to([x, 0.0]), to([x, tall])], pen(0.15).faint());
    }
    for y in steps(height) {
        plate.line(&[to([0.0, y]), to([wide, y])], pen(0.15).faint());
    }
    let lines: Vec<Vec<[f64; 2]>> =
        made.lines.iter().map(|line| line.iter().map(|point| to(*point)).collect()).collect();
    plate.lines(lines.iter().map(Vec::as_slice), pen(0.6));
    let lamps: Vec<[f64; 2]> = made.lamps.iter().map(|lamp| to(*lamp)).collect();
    plate.rounds(&lamps, 1.2, "white", Some(pen(0.4)));
    if let [one, other] = made.ties[..] {
        plate.line(&[to(one), to(other)], pen(0.4).dashed());
    }
    if let Some([x, y]) = lamps.first() {
        plate.word(Word::new([x + 5.0, *y], "1", YARD_PT).bold().bare());
    }
    for (at, tie) in made.ties.iter().enumerate() {
        let [x, y] = to(*tie);
        plate.rounds(&[[x, y]], 1.6, INK, None);
        plate.word(Word::new([x, y - 6.0], letter(at), YARD_PT).bold().bare());
    }
    plate.across(size[1] - 6.0, [EDGE_MM, EDGE_MM + w], &say::length(width, units), YARD_PT);
    plate.upright(size[0] - 6.0, [EDGE_MM, EDGE_MM + h], &say::length(height, units), YARD_PT);
    json!({ "drawing": plate.done(), "scale": window.words() })
}

/// The letter of a tie.
pub(crate) fn letter(at: usize) -> String {
    char::from(b'P' + u8::try_from(at.min(10)).unwrap_or(0)).to_string()
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may fail")]
mod tests {
    use super::*;
    use plan::Hanger;

    /// A stick of 400 mm with a lamp at each end and a tie 100 mm from its head, hung a quarter turn counter-clockwise: its head points
    /// left then. Upright again, the tie is 300 mm above the lower end.
    #[test]
    fn what_hangs_turned_is_made_upright() {
        let hanger = |at: [f64; 2]| Hanger {
            label: String::new(),
            along_mm: 0.0,
            top_mm: at,
            bottom_mm: at,
            length_mm: 0.0,
            cut_mm: 0.0,
        };
        let hung = Hung {
            name: "stick.1".into(),
            object: "stick".into(),
            spot: 0,
            at_mm: [5000.0, 2500.0],
            tilt_deg: 90.0,
            mass_kg: 0.1,
            lines_mm: vec![vec![[-200.0, 0.0], [200.0, 0.0]]],
            lamps_mm: vec![[200.0, 0.0], [-200.0, 0.0]],
            strand: String::new(),
            colour: String::new(),
            channel: 0,
            hangers: vec![hanger([4900.0, 2500.0])],
        };
        let made = Upright::of(&hung).unwrap();
        let near = |one: [f64; 2], two: [f64; 2]| one.iter().zip(two).all(|(a, b)| (a - b).abs() < 1e-9);
        assert!(near(made.size_mm, [0.0, 400.0]), "{:?}", made.size_mm);
        assert!(near(made.lamps[0], [0.0, 0.0]) && near(made.lamps[1], [0.0, 400.0]), "{:?}", made.lamps);
        assert!(near(made.ties[0], [0.0, 300.0]), "{:?}", made.ties);
        let other = Hung { at_mm: [100.0, 100.0], hangers: vec![hanger([0.0, 100.0])], ..hung };
        assert!(made.is_like(&Upright::of(&other).unwrap()));
    }
}
