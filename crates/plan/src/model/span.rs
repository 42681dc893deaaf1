//! A span: a rope between two posts and what hangs from it. Points are millimetres of the yard: x across, y up.

use serde::Serialize;

/// A rope between two posts with everything on it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Span {
    /// Its name.
    pub name: String,
    /// The post at its left end.
    pub from: String,
    /// The post at its right end.
    pub to: String,
    /// The rope.
    pub rope: String,
    /// Length of rope between the ties, not stretched.
    pub rope_mm: f64,
    /// Length to buy: between the ties and both knots.
    pub cut_mm: f64,
    /// How far the loaded rope hangs below the straight line between its ties.
    pub sag_mm: f64,
    /// The loaded rope from left to right, for drawing.
    pub shape_mm: Vec<[f64; 2]>,
    /// Tension at the left and at the right end.
    pub tension_n: [f64; 2],
    /// Working load of the knotted rope.
    pub working_load_n: f64,
    /// The lowest point of anything hung, above the ground.
    pub headroom_mm: f64,
    /// What hangs, from left to right.
    pub hung: Vec<Hung>,
}

/// An object that hangs from a span.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Hung {
    /// Its name in the rules: `club.1`.
    pub name: String,
    /// The object it is one of.
    pub object: String,
    /// Its spot in the machine form, by position.
    pub spot: usize,
    /// Its centre.
    pub at_mm: [f64; 2],
    /// How far its long axis is turned, counter-clockwise from upright as seen by the viewers.
    pub tilt_deg: f64,
    /// Its mass with lamps and hangers.
    pub mass_kg: f64,
    /// Its outline about its centre as it hangs, turned already.
    pub lines_mm: Vec<Vec<[f64; 2]>>,
    /// Its lamps about its centre as it hangs, turned already.
    pub lamps_mm: Vec<[f64; 2]>,
    /// The strand, as in the parts list.
    pub strand: String,
    /// Colour of its lamps, as a CSS colour.
    pub colour: String,
    /// Its channel, by position in [`crate::Plan::channels`].
    pub channel: usize,
    /// What it hangs from.
    pub hangers: Vec<Hanger>,
}

/// A line from the rope down to an object.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Hanger {
    /// Its label, e.g. `club.1 left`.
    pub label: String,
    /// Where it is tied, measured along the unstretched rope from the left tie.
    pub along_mm: f64,
    /// Where it leaves the rope.
    pub top_mm: [f64; 2],
    /// Where it meets the object.
    pub bottom_mm: [f64; 2],
    /// Straight length between the two.
    pub length_mm: f64,
    /// Length to cut, knots included.
    pub cut_mm: f64,
}
