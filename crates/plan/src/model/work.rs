//! Work to be done by hand: shelter, putting up, trying.

use serde::Serialize;

/// A bag, box or cover.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Enclosure {
    /// Its label, e.g. `controller box`.
    pub label: String,
    /// The part.
    pub part: String,
    /// What is in it.
    pub holds: Vec<String>,
    /// Where cords and cables leave, the drains and the drip loops, in sentences.
    pub notes: Vec<String>,
}

/// One step of the put-up card; taken down in reverse.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Step {
    /// What is done.
    pub up: String,
    /// The same in reverse, for taking down.
    pub down: String,
    /// How many people it takes.
    pub people: u32,
    /// Tools and boxes needed.
    pub needs: Vec<String>,
    /// What to watch for; empty where nothing can hurt.
    pub caution: String,
}

/// One line of the test sheet.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Trial {
    /// What is done.
    pub act: String,
    /// Where to look or measure.
    pub at: String,
    /// What should be seen or read.
    pub expected: String,
    /// What it usually is when it is not.
    pub otherwise: String,
}

/// The way from a lamp back to its controller pin, as labels to look for, one after the other.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SignalPath {
    /// The light: a strand, a hung object, a button's lamp, a segment.
    pub light: String,
    /// Its channel, by position in [`crate::Plan::channels`].
    pub channel: usize,
    /// The labels on the way, from the light to the controller.
    pub by: Vec<String>,
}

/// One output of the kitchen-table rig.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RigLine {
    /// The output on the board, e.g. `A1`.
    pub output: String,
    /// What its LED stands for.
    pub stands_for: String,
    /// The resistor of that LED.
    pub resistor_ohm: f64,
}
