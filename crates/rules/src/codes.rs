//! Every code that the rules reader can give, with what there is to say about it.
//!
//! A fault or caution is made from a `Code`, and codes are made only here: none can be given that nobody can explain.
//! `tests/codes.rs` reads every example.

mod names;
mod play;
mod shown;
mod text;
mod values;
mod whole;

pub(crate) use names::*;
pub(crate) use play::*;
pub(crate) use shown::*;
pub(crate) use text::*;
pub(crate) use values::*;
pub(crate) use whole::*;

use crate::interface::{DigitsName, FigureName, Interface, SpotName};
use finding::{CodeGroup, Explained, Fault};
use source::Place;

/// A code of the registry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Code(&'static Explained);

impl Code {
    /// A fault with this code.
    pub(crate) fn fault(self, place: Option<Place>, message: impl Into<String>) -> Fault {
        Fault::new(self.0.code, place, message)
    }
}

/// Names codes as constants, and lists them.
macro_rules! codes {
    (in $list:ident; $($name:ident $code:literal: $meaning:literal $more:literal $(wrong $wrong:literal right $right:literal)?;)*) => {
        $(pub(crate) const $name: super::Code = super::Code(
            &finding::Explained::new(concat!("rules/", $code), $meaning, $more)$(.example($wrong, $right))?
        );)*
        pub(super) const $list: &[&finding::Explained] = &[$($name.0),*];
    };
}
use codes;

/// Every code, by what it is about.
#[must_use]
pub fn groups() -> [CodeGroup; 6] {
    [
        CodeGroup { title: "rules: words and lines", codes: WORDS },
        CodeGroup { title: "rules: names", codes: NAMES },
        CodeGroup { title: "rules: numbers and time", codes: VALUES },
        CodeGroup { title: "rules: what is shown", codes: SHOWN },
        CodeGroup { title: "rules: sides, messages, claims, prompts", codes: PLAY },
        CodeGroup { title: "rules: what plays, but may disappoint", codes: WHOLE },
    ]
}

/// What the display of the examples offers to its rules.
#[must_use]
pub fn example_display() -> Interface {
    let poses = |poses: [&str; 2]| poses.map(str::to_owned).to_vec();
    let spot = |name: &str, count, dims| SpotName { name: name.to_owned(), count, dims };
    Interface {
        figures: vec![
            FigureName { name: "fox".to_owned(), poses: poses(["sitting", "waving"]) },
            FigureName { name: "owl".to_owned(), poses: poses(["sitting", "asleep"]) },
        ],
        buttons: ["wave", "west", "east"].map(str::to_owned).to_vec(),
        spots: vec![
            spot("wave", 1, false),
            spot("west", 1, false),
            spot("east", 1, false),
            spot("lamp", 1, false),
            spot("glow", 1, true),
            spot("club", 7, false),
        ],
        digits: vec![DigitsName { name: "rally".to_owned(), count: 2 }],
        sounds: vec!["splash".to_owned()],
    }
}
