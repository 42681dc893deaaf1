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
const OUTPUT_LABEL: Shape = Shape::Words { most: 12 };
const PIN: Shape = Shape::Words { most: 24 };

/// How a part without `source` is described.
const SOURCE_RULE: &str = "the builder's own reading";

/// How many there are already.
const HAVE: Key = may("have", Shape::Whole { least: 0, most: 10_000 }, "none", "how many are on the shelf");
/// Where it was read.
const SOURCE: Key = may("source", WORDS, SOURCE_RULE, "where the ratings were read");
const LISTING: Shape = Shape::Words { most: 80 };
const LEAKAGE: Key = may(
    "leakage",
    CURRENT,
    "0.25 mA, as two-wire equipment may",
    "what it lets leak to earth on the mains side",
);
const SIZE: Key =
    must("size", Shape::Quantity { measure: Measure::WireSize, zero: false }, "the size of its wires");
const MASS: Shape = Shape::Quantity { measure: Measure::Mass, zero: false };

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
        may("light", Shape::Choice(&["led", "filament"]), "LEDs", "what its lamps are"),
        may(
            "in-series",
            Shape::Whole { least: 1, most: 1000 },
            "not known",
            "lamps in one row, one after the other",
        ),
        may("lamp-voltage", VOLTAGE, "not known", "the voltage of one lamp"),
        may(
            "wave",
            Shape::Choice(&["full", "half"]),
            "not known",
            "whether a mains strand uses both half waves or blinks with one",
        ),
        may("listed", LISTING, "not listed", "the listing on its tag, e.g. `UL 588`"),
        HAVE,
        SOURCE,
    ],
};

static SHEET: Keys = Keys {
    what: "a sheet",
    keys: &[
        must("width", LENGTH, "its width as sold"),
        must("height", LENGTH, "its height as sold"),
        must("thickness", LENGTH, "its thickness"),
        may("mass", MASS, "worked out from its size", "the mass of the whole sheet"),
        must("wood-based", Shape::Flag, "whether it is wood-based"),
        HAVE,
        SOURCE,
    ],
};

static SUPPLY: Keys = Keys {
    what: "a supply",
    keys: &[
        must("voltage", VOLTAGE, "its output voltage"),
        must("current", CURRENT, "its greatest continuous output current"),
        may(
            "listed",
            LISTING,
            "not listed as a current-limited, isolated supply",
            "the listing printed on it, e.g. `UL 1310 Class 2` or `SELV`",
        ),
        LEAKAGE,
        HAVE,
        SOURCE,
    ],
};

static BOARD: Keys = Keys {
    what: "a driver board",
    keys: &[
        must(
            "outputs",
            Shape::CountOrLabels { most: 64, of: &OUTPUT_LABEL },
            "the number of its outputs, or, where they are soldered in another order, what is written beside them in the \
             order of the register's bits",
        ),
        must("output-current", CURRENT, "the greatest continuous current of one output"),
        must("total-current", CURRENT, "the greatest continuous current of the whole board"),
        must("voltage", VOLTAGE, "the greatest supply voltage"),
        may("switch", Shape::Choice(&["mosfet", "darlington"]), "MOSFETs", "what switches an output"),
        HAVE,
        SOURCE,
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
        HAVE,
        SOURCE,
    ],
};

static REGISTERS: Keys = Keys {
    what: "a register board",
    keys: &[
        must("outputs", Shape::Whole { least: 1, most: 64 }, "the number of its outputs"),
        must("output-current", CURRENT, "the greatest current of one output at which its levels hold"),
        must("total-current", CURRENT, "the greatest current of all outputs together"),
        must("voltage", VOLTAGE, "the voltage of its levels"),
        HAVE,
        SOURCE,
    ],
};

static SWITCH_BOX: Keys = Keys {
    what: "a switch box",
    keys: &[
        must("outlets", Shape::Whole { least: 1, most: 32 }, "the number of its outlets"),
        must("voltage", VOLTAGE, "the mains voltage it is made for"),
        must("outlet-current", CURRENT, "the greatest current of one outlet"),
        must("total-current", CURRENT, "the greatest current of the whole box"),
        must("switching", Shape::Choice(&["relay", "triac"]), "what switches an outlet"),
        may(
            "least-current",
            CURRENT,
            "none, as for relays",
            "the least load current that stays on, effective",
        ),
        may(
            "off-leakage",
            CURRENT,
            "none, as for relays",
            "the current through an outlet that is off, effective",
        ),
        must("control-voltage", VOLTAGE, "the voltage of its control inputs"),
        must("control-current", CURRENT, "the current that one control input takes"),
        must("isolated", Shape::Flag, "whether its sheet says that the inputs are isolated from the mains"),
        LEAKAGE,
        may("listed", LISTING, "not listed", "the listing on the whole, closed box"),
        HAVE,
        SOURCE,
    ],
};

static LED: Keys = Keys {
    what: "an LED",
    keys: &[
        must("voltage", VOLTAGE, "its forward voltage at its current"),
        must("current", CURRENT, "the current it is driven with"),
        may("hole", LENGTH, "5 mm", "the hole it is pushed into"),
        may("colour", Shape::Words { most: 32 }, "warm white", "the colour of its light, as `#rrggbb`"),
        HAVE,
        SOURCE,
    ],
};

static RESISTOR: Keys = Keys {
    what: "a kind of resistor",
    keys: &[must("power", POWER, "the greatest power of one"), HAVE, SOURCE],
};

static CORD: Keys = Keys {
    what: "a cord",
    keys: &[
        SIZE,
        must("length", LENGTH, "its length"),
        must("current", CURRENT, "the current it may carry"),
        must("voltage", VOLTAGE, "the mains voltage it is made for"),
        may("listed", LISTING, "not listed", "the listing for use outdoors printed on it"),
        HAVE,
        SOURCE,
    ],
};

static BUTTON: Keys = Keys {
    what: "a push-button",
    keys: &[
        may("lamp-voltage", VOLTAGE, "it has no lamp", "the voltage of its lamp"),
        may("lamp-current", CURRENT, "it has no lamp", "the current of its lamp"),
        must("hole", LENGTH, "the hole it is mounted in"),
        HAVE,
        SOURCE,
    ],
};

static CABLE: Keys = Keys {
    what: "a cable off the reel",
    keys: &[
        must("conductors", Shape::Whole { least: 1, most: 64 }, "the number of its conductors"),
        SIZE,
        must("outdoor", Shape::Flag, "whether it bears sun and rain"),
        may("have", LEAD, "none", "how much is on the shelf"),
        SOURCE,
    ],
};

static ROPE: Keys = Keys {
    what: "a rope",
    keys: &[
        must("diameter", LENGTH, "its diameter"),
        must(
            "breaking",
            Shape::Quantity { measure: Measure::Force, zero: false },
            "the load at which a new piece breaks, printed on the pack",
        ),
        must("mass-per-metre", MASS, "the mass of one metre: weigh ten and divide"),
        must(
            "stretch",
            Shape::Quantity { measure: Measure::Share, zero: true },
            "how much longer it gets at a tenth of its breaking load",
        ),
        may("have", LEAD, "none", "how much is on the shelf"),
        SOURCE,
    ],
};

static COVER: Keys = Keys {
    what: "a box, bag or cover",
    keys: &[
        must("width", LENGTH, "its inner width"),
        must("height", LENGTH, "its inner height"),
        must("depth", LENGTH, "its inner depth"),
        must("drilled", Shape::Flag, "whether it may be drilled; a listed mains box never is"),
        HAVE,
        SOURCE,
    ],
};

static HARDWARE: Keys = Keys {
    what: "hardware",
    keys: &[
        must("what", Shape::Words { most: 80 }, "what it is"),
        may("pack", Shape::Whole { least: 1, most: 10_000 }, "sold by the piece", "how many come in a pack"),
        HAVE,
        SOURCE,
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
        may("register-board", named(&REGISTERS), "only the catalogue's", "boards of registers only"),
        may(
            "switch-box",
            named(&SWITCH_BOX),
            "only the catalogue's",
            "listed boxes that switch mains outlets",
        ),
        may("led", named(&LED), "only the catalogue's", "single LEDs for digits"),
        may("resistor", named(&RESISTOR), "only the catalogue's", "kinds of resistor"),
        may("cord", named(&CORD), "only the catalogue's", "extension cords"),
        may("push-button", named(&BUTTON), "only the catalogue's", "push-buttons"),
        may("cable", named(&CABLE), "only the catalogue's", "cables off the reel"),
        may("rope", named(&ROPE), "only the catalogue's", "ropes and lines"),
        may("cover", named(&COVER), "only the catalogue's", "boxes, bags and covers"),
        may("hardware", named(&HARDWARE), "only the catalogue's", "ties, glands, screws"),
    ],
};
