//! The watch on the heartbeat: two chips and a handful of small parts that hold every output on as long as the program beats.

use serde::Serialize;

/// The watch, as it is soldered.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Watch {
    /// Its label on the board and its cables.
    pub label: String,
    /// The resistor that sets its pulse.
    pub resistor_ohm: f64,
    /// The capacitor that sets its pulse.
    pub capacitor_uf: f64,
    /// Longest time between two beats that count: rising edges.
    pub beat_ms: f64,
    /// The shortest its pulse may be with every part off.
    pub shortest_ms: f64,
    /// The longest: so long after its last beat everything is dark.
    pub longest_ms: f64,
    /// Its chips.
    pub chips: Vec<Chip>,
    /// What is soldered beside them.
    pub small: Vec<SmallPart>,
    /// What each of its outputs holds on.
    pub holds: Vec<Hold>,
}

/// A chip of the watch.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Chip {
    /// Its label, e.g. `U1`.
    pub label: String,
    /// The type.
    pub part: String,
    /// Every pin, in order.
    pub pins: Vec<ChipPin>,
}

/// A pin of a chip and what is joined to it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChipPin {
    /// Its number.
    pub pin: u32,
    /// Its name in the data sheet.
    pub name: String,
    /// Where it goes.
    pub to: String,
}

/// A resistor or a capacitor.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SmallPart {
    /// Its label, e.g. `RT`.
    pub label: String,
    /// What it is, as on the parts list.
    pub what: String,
    /// Its one end.
    pub from: String,
    /// Its other end.
    pub to: String,
    /// What for.
    pub does: String,
}

/// One output of the watch and the boards it holds on.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Hold {
    /// The boards, by their labels.
    pub boards: Vec<String>,
    /// The labels on the way, from the boards to the controller's pins.
    pub by: Vec<String>,
}
