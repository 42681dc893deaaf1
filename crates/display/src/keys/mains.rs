//! The keys of the mains side: circuits of the house and the listed boxes that switch outlets.

use super::{LENGTH, PART, must, some};
use parts::reader::{Keys, Measure, Shape};

/// Which circuit feeds something that does not say so.
pub(super) const CIRCUIT_RULE: &str = "the only circuit there is";
/// What holds where no circuit is written.
pub(super) const CIRCUITS_RULE: &str = "no circuit is checked";
/// What switches mains strands where nothing is written.
pub(super) const SWITCH_BOX_RULE: &str = "none: mains strands cannot be switched";

static CORD: Keys = Keys {
    what: "a cord",
    keys: &[
        must("size", some(Measure::WireSize), "the size of its wires, printed on it"),
        must("length", LENGTH, "its length"),
    ],
};

pub(super) static CIRCUIT: Keys = Keys {
    what: "a circuit",
    keys: &[
        must("breaker", some(Measure::Current), "the current printed on its breaker"),
        must(
            "ground-fault",
            Shape::Choice(&["class A", "RCD 30 mA type A", "none"]),
            "the kind of its ground-fault device, which is a fact of the site",
        ),
        must("cord", Shape::Table(&CORD), "the cord from its outlet to the display"),
    ],
};

pub(super) static SWITCH_BOX: Keys = Keys {
    what: "the switch box",
    keys: &[must("part", PART, "a part: the complete, listed box that switches mains outlets")],
};
