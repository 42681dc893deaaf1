//! The keys of what stands and hangs in the yard: the place, stands, posts, spans, objects, digits.

use super::{CABLE_RULE, LENGTH, PART, VIEWERS_RULE, any, may, must, some};
use parts::reader::{Keys, Measure, Shape};

/// A distance from the yard's left end, or from the line on which the panels stand.
const OFFSET: Shape = any(Measure::Offset);
/// A place on the ground: across, then depth away from the viewers.
pub(super) const SPOT: Shape = Shape::List { of: &OFFSET, least: 2, most: 2 };
/// A height above the ground; 0 stands on it.
pub(super) const LIFTED: Shape = any(Measure::Length);

/// What a place says when it is left out.
pub(super) const PLACE_RULE: &str = VIEWERS_RULE;
/// Where something stands that does not say so.
pub(super) const AT_RULE: &str = "not said; nothing that needs it is worked out";
/// What holds for a panel that does not say how it stands.
pub(super) const STANDS_RULE: &str = "no stand is worked out";
/// How high the lower edge of something is that does not say so.
pub(crate) const LIFTED_RULE: &str = "its lower edge on the ground";
/// The guys of a panel that does not say how many.
pub(crate) const GUYS_RULE: &str = "no guys: ballast alone";
/// How a hung object hangs that does not say so.
pub(crate) const TILT_RULE: &str = "upright";
/// The hangers of an object that does not say how many.
pub(crate) const HANGERS_RULE: &str = "two hangers, which stop it spinning";
/// How far a rope sags that does not say so.
pub(crate) const SAG_RULE: &str = "5 %: a tight rope pulls its posts over";
/// The way of hung objects that do not say so.
pub(crate) const PATH_RULE: &str = "all at one height";
/// The end heights of a parabola that does not say so.
pub(crate) const ENDS_RULE: &str = "as high as in the middle";
const SITE_RULE: &str = "no season is worked out";
const GUST_RULE: &str = "no stand is worked out";
const FORM_RULE: &str = "a plain oval of its size";

static VIEWERS: Keys = Keys {
    what: "the table of viewers",
    keys: &[
        may("nearest", LENGTH, VIEWERS_RULE, "how near the nearest viewer stands"),
        may("farthest", LENGTH, VIEWERS_RULE, "how far the farthest viewer stands"),
    ],
};

static SEASON: Keys = Keys {
    what: "the season",
    keys: &[
        must("from", Shape::Date, "its first night"),
        must("to", Shape::Date, "its last night"),
        must("on", Shape::Words { most: 5 }, "when it goes on each night: `dusk` or a time like `17:30`"),
        must("off", Shape::Words { most: 5 }, "when it goes off each night: a time like `21:30`"),
    ],
};

pub(super) static PLACE: Keys = Keys {
    what: "the place",
    keys: &[
        may("viewers", Shape::Table(&VIEWERS), VIEWERS_RULE, "how near and how far people watch from"),
        may(
            "latitude",
            Shape::Number { least: -90.0, most: 90.0 },
            SITE_RULE,
            "its latitude, north of the equator",
        ),
        may(
            "longitude",
            Shape::Number { least: -180.0, most: 180.0 },
            SITE_RULE,
            "its longitude, east of Greenwich",
        ),
        may("timezone", Shape::Words { most: 40 }, SITE_RULE, "its time zone, e.g. `America/Detroit`"),
        may("season", Shape::Table(&SEASON), SITE_RULE, "from when to when it runs"),
        may("gust", some(Measure::Speed), GUST_RULE, "the three-second gust it must stand through"),
    ],
};

pub(super) static STANDS: Keys = Keys {
    what: "a stand",
    keys: &[
        must("at", SPOT, "the place of its lower left corner: across from the yard's left end, then depth"),
        must("base", LENGTH, "the depth of its base, from the front foot to the back foot"),
        may("guys", Shape::Whole { least: 0, most: 8 }, GUYS_RULE, "how many guys hold it"),
        may("lifted", LIFTED, LIFTED_RULE, "the height of the panel's lower edge above the ground"),
    ],
};

pub(super) static POST: Keys = Keys {
    what: "a post",
    keys: &[
        must("at", SPOT, "the place of its foot: across from the yard's left end, then depth"),
        must("height", LENGTH, "a height above the ground"),
    ],
};

static TIE: Keys = Keys {
    what: "the end of a span",
    keys: &[
        must("post", Shape::Name, "the post it is tied to"),
        must("height", LENGTH, "the height of the tie above the ground"),
    ],
};

static HANGS: Keys = Keys {
    what: "what hangs from a span",
    keys: &[
        must("object", Shape::Name, "the object that hangs from it"),
        must("count", Shape::Whole { least: 1, most: 64 }, "how many of them"),
        may("path", Shape::Choice(&["parabola", "level"]), PATH_RULE, "the line that their centres follow"),
        must("top", LENGTH, "how high their centres hang, in the middle of the span"),
        may("ends", LENGTH, ENDS_RULE, "how high the outermost centres hang"),
    ],
};

pub(super) static SPAN: Keys = Keys {
    what: "a span",
    keys: &[
        must("from", Shape::Table(&TIE), "the post at its left end and the height of the tie"),
        must("to", Shape::Table(&TIE), "the post at its right end and the height of the tie"),
        must("rope", PART, "the rope"),
        may("sag", some(Measure::Share), SAG_RULE, "how far the loaded rope hangs, as a share of its width"),
        must("hangs", Shape::Table(&HANGS), "what hangs from it"),
        may("cable", LENGTH, CABLE_RULE, "the way of the cable from the span to the driver board"),
    ],
};

pub(super) static OBJECT: Keys = Keys {
    what: "an object",
    keys: &[
        may("drawing", Shape::Name, FORM_RULE, "a drawing (SVG) of its outline, upright"),
        must("size", Shape::List { of: &LENGTH, least: 2, most: 2 }, "its width and its height, upright"),
        must("mass", some(Measure::Mass), "its mass with the lamps on it"),
        may("hangers", Shape::Whole { least: 1, most: 2 }, HANGERS_RULE, "how many lines it hangs from"),
        may(
            "tilt",
            any(Measure::Angle),
            TILT_RULE,
            "how far it is turned from upright, counter-clockwise as the viewers see it",
        ),
        must("strand", PART, "the strand that lights it"),
    ],
};

pub(super) static DIGITS: Keys = Keys {
    what: "the digits",
    keys: &[
        must("count", Shape::Whole { least: 1, most: 6 }, "how many digits stand side by side"),
        must("height", LENGTH, "the height of a digit"),
        may("at", SPOT, AT_RULE, "the place of their lower left corner: across, then depth"),
        may("lifted", LIFTED, LIFTED_RULE, "the height of their lower edge above the ground"),
        must("led", PART, "the LED of their segments"),
        may("cable", LENGTH, CABLE_RULE, "the way of the cable from the digits to the driver board"),
    ],
};
