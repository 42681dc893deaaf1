//! What a display offers to its rules: names only, never bunches or channels.

use serde::{Deserialize, Serialize};

/// The names that rules may use.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Interface {
    /// Figures with their poses; a figure that stands on several panels appears once for each panel, under the panel's name.
    pub figures: Vec<FigureName>,
    /// Buttons.
    pub buttons: Vec<String>,
    /// Lit places: a button's lamp carries the button's name.
    pub spots: Vec<SpotName>,
    /// Digits.
    pub digits: Vec<DigitsName>,
    /// Sounds.
    pub sounds: Vec<String>,
}

/// A figure and its poses.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FigureName {
    /// Its name.
    pub name: String,
    /// Its poses, in the drawing's order.
    pub poses: Vec<String>,
}

/// One lit place or a row of them.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SpotName {
    /// Its name.
    pub name: String,
    /// How many; 1 for a single place.
    pub count: u32,
    /// Whether its channel can dim.
    pub dims: bool,
}

/// Digits side by side.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DigitsName {
    /// Their name.
    pub name: String,
    /// How many.
    pub count: u32,
}
