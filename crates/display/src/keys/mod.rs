//! The keys of `display.toml`: the single place where they stand.

mod mains;
pub(crate) mod yard;

use parts::reader::{Key, Keys, Measure, Names, Need, Shape};

/// A key that must be written.
const fn must(name: &'static str, shape: Shape, words: &'static str) -> Key {
    Key { name, shape, need: Need::Written, words }
}

/// A key that may be left out, and what then holds.
const fn may(name: &'static str, shape: Shape, rule: &'static str, words: &'static str) -> Key {
    Key { name, shape, need: Need::Default(rule), words }
}

/// A quantity that is more than nothing.
const fn some(measure: Measure) -> Shape {
    Shape::Quantity { measure, zero: false }
}

/// A quantity that may be nothing.
const fn any(measure: Measure) -> Shape {
    Shape::Quantity { measure, zero: true }
}

/// Tables under names that the rules may use too.
const fn named(keys: &'static Keys) -> Shape {
    Shape::Named { keys, names: Names::InRules, least: 0 }
}

const LENGTH: Shape = some(Measure::Length);
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
/// What reports print where nothing is written.
pub(crate) const UNITS_RULE: &str = "feet and inches";
/// Why a panel is drawn as the drawing is.
pub(crate) const MIRRORED_RULE: &str = "as drawn";
/// What a display without mains is.
const MAINS_RULE: &str = "low voltage only";

/// Why a register board that is not written is this one.
pub(crate) const REGISTERS_RULE: &str = "register-board-8, eight logic outputs";
/// Why a button that says nothing is so high.
pub(crate) const BUTTON_RULE: &str = "36 in, which children and people in wheelchairs reach";

/// Why a push-button that is not written is this one.
pub(crate) const PUSH_BUTTON_RULE: &str = "arcade-60mm-12v with a lamp, plain-30mm without one";

/// The push-button of a button with a lamp that names none, and of one without.
pub(crate) const LIT_BUTTON: &str = "arcade-60mm-12v";
/// See [`LIT_BUTTON`].
pub(crate) const DARK_BUTTON: &str = "plain-30mm";
/// The register board of a display that names none.
pub(crate) const REGISTERS: &str = "register-board-8";
/// Height of a button that says nothing: inside the reach range of 15 in to 48 in of the ADA Standards 308.2.
pub(crate) const BUTTON_HEIGHT: &str = "36 in";
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
        may("mirrored", Shape::Flag, MIRRORED_RULE, "whether the figure is turned over, left for right"),
        may("cable", LENGTH, CABLE_RULE, "the way of the cable from the panel to the driver board"),
        may("stands", Shape::Table(&yard::STANDS), yard::STANDS_RULE, "where and how it stands"),
        may("circuit", Shape::Name, mains::CIRCUIT_RULE, "the circuit that feeds its mains strands"),
    ],
};

static BUTTON: Keys = Keys {
    what: "a button",
    keys: &[
        may("lamp", Shape::Flag, LAMP_RULE, "whether it has a lamp"),
        may("part", PART, PUSH_BUTTON_RULE, "the push-button"),
        may("at", yard::SPOT, yard::AT_RULE, "where it stands: across from the yard's left end, then depth"),
        may("lifted", yard::LIFTED, BUTTON_RULE, "its height above the ground"),
        may("cable", LENGTH, CABLE_RULE, "the way of the cable from the button to the controller"),
    ],
};

static SUPPLY: Keys = Keys {
    what: "the supply",
    keys: &[
        must("part", PART, "a part: what feeds everything"),
        may("circuit", Shape::Name, mains::CIRCUIT_RULE, "the circuit that feeds it"),
    ],
};

static BOARD_USE: Keys = Keys {
    what: "the driver board",
    keys: &[
        may("part", PART, BOARD_RULE, "the board that switches the low voltage, as many of it as are needed"),
        may(
            "first",
            Shape::List { of: &PART, least: 1, most: 32 },
            "none",
            "boards there are already, each named once, which come before all others in the chain",
        ),
    ],
};

static REGISTERS_USE: Keys = Keys {
    what: "the register board",
    keys: &[may("part", PART, REGISTERS_RULE, "the board whose outputs control the switch boxes")],
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
        may(
            "mains",
            Shape::Choice(&["120 V 60 Hz", "230 V 50 Hz"]),
            MAINS_RULE,
            "the mains of the house, for a display that uses it",
        ),
        may("place", Shape::Table(&yard::PLACE), yard::PLACE_RULE, "where it stands, and when it runs"),
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
        may("post", named(&yard::POST), "no posts", "posts that ropes are tied to"),
        may("span", named(&yard::SPAN), "no spans", "ropes between two posts, and what hangs from them"),
        may("object", named(&yard::OBJECT), "no objects", "lit things that hang from a span"),
        may("digits", named(&yard::DIGITS), "no digits", "digits that show a number of the rules"),
        may(
            "button",
            Shape::Named { keys: &BUTTON, names: Names::InRules, least: 0 },
            "no buttons",
            "the push-buttons",
        ),
        must("supply", Shape::Table(&SUPPLY), "the supply, read off its label, never guessed"),
        may("driver-board", Shape::Table(&BOARD_USE), BOARD_RULE, "what switches the lights"),
        may("register-board", Shape::Table(&REGISTERS_USE), REGISTERS_RULE, "what controls the switch boxes"),
        may(
            "switch-box",
            Shape::Table(&mains::SWITCH_BOX),
            mains::SWITCH_BOX_RULE,
            "what switches mains strands",
        ),
        may(
            "circuit",
            named(&mains::CIRCUIT),
            mains::CIRCUITS_RULE,
            "the circuits of the house that feed it",
        ),
        may("controller", Shape::Table(&CONTROLLER_USE), CONTROLLER_RULE, "what runs the rules"),
    ],
};
