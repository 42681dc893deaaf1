//! Random rules as text, and random people pressing buttons.

mod author;
mod expressions;
mod people;

pub use people::{people, start};

use author::Author;
use rules::form::Form;
use rules::interface::{DigitsName, FigureName, Interface, SpotName};
use source::Text;

/// A stream of random whole numbers from a seed.
#[derive(Clone, Debug)]
pub struct Dice(u32);

impl Dice {
    /// A stream of its own for each seed.
    pub fn new(seed: u32) -> Self {
        Self(rules::random::seed(seed, "dice"))
    }

    /// A whole number from `lo` to `hi`.
    pub fn pick(&mut self, lo: i32, hi: i32) -> i32 {
        self.0 = rules::random::next(self.0);
        rules::random::within(self.0, lo, hi)
    }

    fn one<'a>(&mut self, of: &[&'a str]) -> &'a str {
        let last = i32::try_from(of.len()).unwrap_or(1) - 1;
        usize::try_from(self.pick(0, last)).ok().and_then(|at| of.get(at)).copied().unwrap_or_default()
    }

    fn chance(&mut self, percent: i32) -> bool {
        self.pick(1, 100) <= percent
    }
}

/// What the random displays offer. A few have more buttons than a byte has bits, or than two bytes have.
pub fn interface(seed: u32) -> Interface {
    let figure = |name: &str| FigureName {
        name: name.to_owned(),
        poses: ["low", "high"]
            .map(|pose| if name == "fox" { format!("fox-{pose}") } else { pose.to_owned() })
            .into(),
    };
    let spot = |name: &str, count, dims| SpotName { name: name.to_owned(), count, dims };
    let mut spots = vec![spot("club", 7, true), spot("lamp", 1, false), spot("glow", 1, true)];
    spots.extend(SIDES.map(|side| spot(side, 1, false)));
    let more = match seed % 16 {
        5 => 7,
        11 => 15,
        _ => 0,
    };
    let more = (0..more).map(|n| format!("more-{n}"));
    Interface {
        figures: ["fox"].into_iter().chain(SIDES).map(figure).collect(),
        // Those that no rules speak of stand in front, so that the others come behind the byte.
        buttons: more.chain(SIDES.into_iter().chain(["start"]).map(str::to_owned)).collect(),
        spots,
        digits: [("rally", 2), ("extra", 5)]
            .map(|(name, count)| DigitsName { name: name.to_owned(), count })
            .into(),
        sounds: ["splash", "ring"].map(str::to_owned).into(),
    }
}

/// The sides that rules may name: the first two of them, or all.
const SIDES: [&str; 3] = ["west", "east", "north"];

/// Rules that read without a fault, and their form: the first of the texts that a seed gives.
pub fn rules(seed: u32) -> (String, Form) {
    let interface = interface(seed);
    let mut dice = Dice::new(seed);
    loop {
        let text = Author::new(&mut dice).text(seed);
        let (form, faults) = rules::read(&Text::new("random.rules", text.clone()), &interface);
        if !faults.iter().any(finding::Fault::stops) && firmware::rules_c(&form).is_ok() {
            return (text, form);
        }
    }
}
