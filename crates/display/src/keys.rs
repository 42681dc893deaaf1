//! The keys of `display.toml`: the single place where they stand.

use parts::reader::{Key, Keys, Measure, Names, Need, Shape};

/// A key that must be written.
const fn must(name: &'static str, shape: Shape, words: &'static str) -> Key {
    Key { name, shape, need: Need::Written, words }
}

/// A key that may be left out, and what then holds.
const fn may(name: &'static str, shape: Shape, rule: &'static str, words: &'static str) -> Key {
    Key { name, shape, need: Need::Default(rule), words }
}

const LENGTH: Shape = Shape::Quantity { measure: Measure::Length, zero: false };
const PART: Shape = Shape::Name;

/// Why a viewer's distance that is not written is what it is.
pub(crate) const VIEWERS_RULE: &str =
    "viewers from 10 ft to 50 ft, a front yard seen from the path and across the road";
/// Why a cable that is not written is as long as it is.
pub(crate) const CABLE_RULE: &str = "10 ft of cable, until it is measured";
/// Why a board that is not written is this one.
pub(crate) const BOARD_RULE: &str = "driver-board-8, eight switched outputs for low voltage";
/// Why a controller that is not written is this one.
pub(crate) const CONTROLLER_RULE: &str = "controller-328, the commonest small board";
const PANEL_RULE: &str = "each figure stands on a panel of its own name";
const LAMP_RULE: &str = "no lamp";
const UNITS_RULE: &str = "feet and inches";

/// The board of a display that names none.
pub(crate) const BOARD: &str = "driver-board-8";
/// The controller of a display that names none.
pub(crate) const CONTROLLER: &str = "controller-328";
/// The nearest viewer, the farthest viewer and the cable where none is written.
pub(crate) const NEAREST: &str = "10 ft";
/// See [`NEAREST`].
pub(crate) const FARTHEST: &str = "50 ft";
/// See [`NEAREST`].
pub(crate) const CABLE: &str = "10 ft";

static VIEWERS: Keys = Keys {
    what: "the table of viewers",
    keys: &[
        may("nearest", LENGTH, VIEWERS_RULE, "how near the nearest viewer stands"),
        may("farthest", LENGTH, VIEWERS_RULE, "how far the farthest viewer stands"),
    ],
};

static PLACE: Keys = Keys {
    what: "the place",
    keys: &[may("viewers", Shape::Table(&VIEWERS), VIEWERS_RULE, "how near and how far people watch from")],
};

static FIGURE: Keys = Keys {
    what: "a figure",
    keys: &[
        must("drawing", Shape::Name, "a drawing (SVG) with one named group for each pose"),
        must("height", LENGTH, "a height, from the lowest to the highest point of all poses together"),
        must(
            "strands",
            Shape::List { of: &PART, least: 1, most: 16 },
            "the strands it may be built from, preferred first",
        ),
        must("sheet", PART, "the sheet it is drilled in"),
    ],
};

static PANEL: Keys = Keys {
    what: "a panel",
    keys: &[
        may("figure", Shape::Name, "the figure of the same name", "the figure that stands on it"),
        may("cable", LENGTH, CABLE_RULE, "the way of the cable from the panel to the driver board"),
    ],
};

static BUTTON: Keys = Keys {
    what: "a button",
    keys: &[
        may("lamp", Shape::Flag, LAMP_RULE, "whether it has a lamp"),
        may("cable", LENGTH, CABLE_RULE, "the way of the cable from the button to the controller"),
    ],
};

static SUPPLY: Keys =
    Keys { what: "the supply", keys: &[must("part", PART, "a part: what feeds everything")] };

static BOARD_USE: Keys = Keys {
    what: "the driver board",
    keys: &[may("part", PART, BOARD_RULE, "the board that switches the low voltage")],
};

static CONTROLLER_USE: Keys = Keys {
    what: "the controller",
    keys: &[may("part", PART, CONTROLLER_RULE, "the board that runs the rules")],
};

/// The keys of `display.toml`.
pub static DISPLAY: Keys = Keys {
    what: "the display",
    keys: &[
        must("title", Shape::Words { most: 80 }, "a title"),
        may(
            "units",
            Shape::Choice(&["in", "mm"]),
            UNITS_RULE,
            "what reports print; any value may carry its own unit",
        ),
        must("rules", Shape::Name, "the file with its rules"),
        may("place", Shape::Table(&PLACE), VIEWERS_RULE, "where it stands"),
        must(
            "figure",
            Shape::Named { keys: &FIGURE, names: Names::InRules, least: 1 },
            "at least one figure drawn in lights",
        ),
        may(
            "panel",
            Shape::Named { keys: &PANEL, names: Names::InRules, least: 0 },
            PANEL_RULE,
            "the rigid sheets that carry the figures",
        ),
        may(
            "button",
            Shape::Named { keys: &BUTTON, names: Names::InRules, least: 0 },
            "no buttons",
            "the push-buttons",
        ),
        must("supply", Shape::Table(&SUPPLY), "the supply, which is a fact of the site and never guessed"),
        may("driver-board", Shape::Table(&BOARD_USE), BOARD_RULE, "what switches the lights"),
        may("controller", Shape::Table(&CONTROLLER_USE), CONTROLLER_RULE, "what runs the rules"),
    ],
};
