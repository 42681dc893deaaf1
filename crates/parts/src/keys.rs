//! The keys of `parts.toml` and of the catalogue: the single place where they stand.

use crate::reader::{Key, Keys, Measure, Names, Need, Shape};

/// A key that must be written for a part the catalogue does not know.
const fn must(name: &'static str, shape: Shape, words: &'static str) -> Key {
    Key { name, shape, need: Need::Written, words }
}

/// A key that may be left out.
const fn may(name: &'static str, shape: Shape, rule: &'static str, words: &'static str) -> Key {
    Key { name, shape, need: Need::Default(rule), words }
}

const LENGTH: Shape = Shape::Quantity { measure: Measure::Length, zero: false };
const LEAD: Shape = Shape::Quantity { measure: Measure::Length, zero: true };
const CURRENT: Shape = Shape::Quantity { measure: Measure::Current, zero: false };
const VOLTAGE: Shape = Shape::Quantity { measure: Measure::Voltage, zero: false };
const POWER: Shape = Shape::Quantity { measure: Measure::Power, zero: false };
const WORDS: Shape = Shape::Words { most: 400 };
const PIN: Shape = Shape::Words { most: 24 };

/// How a part without `source` is described.
const SOURCE_RULE: &str = "the builder's own reading";

/// Colour of a strand whose colour is not written.
pub(crate) const COLOUR: &str = "#ffd9a0";
/// Hole of a strand whose hole is not written.
pub(crate) const HOLE: &str = "5/16 in";

static STRAND: Keys = Keys {
    what: "a strand",
    keys: &[
        must("lamps", Shape::Whole { least: 1, most: 1000 }, "the number of lamps on it"),
        must("pitch", LENGTH, "the wire between two neighbouring lamps"),
        must("lead", LEAD, "the wire from the plug to the first lamp"),
        may(
            "hole",
            LENGTH,
            "5/16 in, which takes most 5 mm lamps with their holders",
            "the hole a lamp is pushed into",
        ),
        must("voltage", VOLTAGE, "the supply voltage on its label"),
        may("current", CURRENT, "worked out from `power`", "the current on its label, all lamps lit"),
        may("power", POWER, "worked out from `current`", "the power on its label, if it gives no current"),
        may("colour", Shape::Words { most: 32 }, "warm white", "the colour of its lamps, as `#rrggbb`"),
        may("have", Shape::Whole { least: 0, most: 10_000 }, "none", "how many are on the shelf"),
        may("source", WORDS, SOURCE_RULE, "where the ratings were read"),
    ],
};

static SHEET: Keys = Keys {
    what: "a sheet",
    keys: &[
        must("width", LENGTH, "its width as sold"),
        must("height", LENGTH, "its height as sold"),
        must("thickness", LENGTH, "its thickness"),
        must("wood-based", Shape::Flag, "whether it is wood-based"),
        may("source", WORDS, SOURCE_RULE, "where the ratings were read"),
    ],
};

static SUPPLY: Keys = Keys {
    what: "a supply",
    keys: &[
        must("voltage", VOLTAGE, "its output voltage"),
        must("current", CURRENT, "its greatest continuous output current"),
        may(
            "listed",
            Shape::Words { most: 80 },
            "not listed as a current-limited, isolated supply",
            "the listing printed on it, e.g. `UL 1310 Class 2` or `SELV`",
        ),
        may("source", WORDS, SOURCE_RULE, "where the ratings were read"),
    ],
};

static BOARD: Keys = Keys {
    what: "a driver board",
    keys: &[
        must("outputs", Shape::Whole { least: 1, most: 64 }, "the number of its outputs"),
        must("output-current", CURRENT, "the greatest continuous current of one output"),
        must("total-current", CURRENT, "the greatest continuous current of the whole board"),
        must("voltage", VOLTAGE, "the greatest supply voltage"),
        may("source", WORDS, SOURCE_RULE, "where the ratings were read"),
    ],
};

static CONTROLLER: Keys = Keys {
    what: "a controller",
    keys: &[
        must("chip", Shape::Words { most: 40 }, "the microcontroller on it"),
        must("clock-hz", Shape::Whole { least: 1_000_000, most: 600_000_000 }, "its clock in hertz"),
        must("current", CURRENT, "the current it draws itself, from the 12 V side"),
        must(
            "button-pins",
            Shape::List { of: &PIN, least: 1, most: 32 },
            "the pins free for buttons, each as label and port, e.g. `D2 PD2`",
        ),
        may("source", WORDS, SOURCE_RULE, "where the ratings were read"),
    ],
};

/// Tables under names of parts.
const fn named(keys: &'static Keys) -> Shape {
    Shape::Named { keys, names: Names::OfParts, least: 0 }
}

/// The keys of `parts.toml`.
pub static PARTS: Keys = Keys {
    what: "the shelf",
    keys: &[
        may("strand", named(&STRAND), "only the catalogue's", "light strings as sold"),
        may("sheet", named(&SHEET), "only the catalogue's", "sheets to drill"),
        may("supply", named(&SUPPLY), "only the catalogue's", "supplies"),
        may("driver-board", named(&BOARD), "only the catalogue's", "boards that switch low voltage"),
        may("controller", named(&CONTROLLER), "only the catalogue's", "controller boards"),
    ],
};
