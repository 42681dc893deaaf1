//! What the program has to keep from flashing together.

use serde::Serialize;

/// Something lit by the rules that changes as one, by position in the machine form.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(tag = "is", rename_all = "lowercase")]
pub enum Flashes {
    /// A figure.
    Figure {
        /// Its position.
        figure: usize,
    },
    /// A spot.
    Spot {
        /// Its position.
        spot: usize,
    },
    /// Digits.
    Digits {
        /// Their position.
        digits: usize,
    },
}

/// A field of view in which lights that each keep to three flashes a second could make more of them together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FlashField {
    /// From where it is seen.
    pub distance_mm: f64,
    /// What is seen in it, and how much of the light that counts as flashing each can change: 1 is all of it.
    pub shares: Vec<FieldShare>,
}

/// One light in a field of view.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct FieldShare {
    /// The light.
    pub of: Flashes,
    /// Its share, in whole 64ths.
    pub share: f64,
}
