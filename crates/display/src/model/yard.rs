//! What stands and hangs in the yard, as read.

use drawing::Drawing;
use finding::Known;
use parts::reader::Date;
use parts::{Led, Rope, Strand};
use quantity::{Angle, Length, Mass, Ratio, Velocity};
use serde::Serialize;

/// A place on the ground.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// Across, from the yard's left end as the viewers see it.
    pub x: Known<Length>,
    /// Away from the viewers, from the line on which the panels stand; nearer than it below zero.
    pub depth: Known<Length>,
}

/// Where and how a panel stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Stands {
    /// Its lower left corner.
    pub at: Spot,
    /// The depth of its base, from the front foot to the back foot.
    pub base: Known<Length>,
    /// How many guys hold it.
    pub guys: Known<u32>,
    /// The height of its lower edge above the ground.
    pub lifted: Known<Length>,
}

/// A post.
#[derive(Clone, Debug, PartialEq)]
pub struct Post {
    /// Its name.
    pub name: String,
    /// Its foot.
    pub at: Spot,
    /// Its height above the ground.
    pub height: Known<Length>,
}

/// The end of a span.
#[derive(Clone, Debug, PartialEq)]
pub struct Tie {
    /// The post, by position in [`crate::Display::posts`].
    pub post: usize,
    /// The height of the tie above the ground.
    pub height: Known<Length>,
}

/// The line that hung things follow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum HangsAlong {
    /// Highest in the middle, falling to both ends as a thrown thing does.
    Parabola,
    /// All at one height.
    Level,
}

/// What hangs from a span.
#[derive(Clone, Debug, PartialEq)]
pub struct Hangs {
    /// The object, by position in [`crate::Display::objects`].
    pub object: usize,
    /// How many of them.
    pub count: Known<u32>,
    /// The line that their centres follow.
    pub path: Known<HangsAlong>,
    /// How high their centres hang in the middle of the span.
    pub top: Known<Length>,
    /// How high the outermost centres hang.
    pub ends: Known<Length>,
}

/// A rope between two posts and what hangs from it.
#[derive(Clone, Debug, PartialEq)]
pub struct Span {
    /// Its name.
    pub name: String,
    /// Its left end.
    pub from: Tie,
    /// Its right end.
    pub to: Tie,
    /// The rope.
    pub rope: Known<Rope>,
    /// How far the loaded rope hangs below the straight line between its ties, as a share of its width.
    pub sag: Known<Ratio>,
    /// What hangs.
    pub hangs: Hangs,
    /// From the span to the driver board, along the way the cable takes.
    pub cable: Known<Length>,
}

/// A lit thing that hangs from a span.
#[derive(Clone, Debug, PartialEq)]
pub struct Object {
    /// Its name; also the name of its spots in the rules.
    pub name: String,
    /// Its outline, upright; a plain oval where there is none.
    pub drawing: Option<Drawing>,
    /// Its width and height, upright.
    pub size: [Known<Length>; 2],
    /// Its mass with the lamps on it.
    pub mass: Known<Mass>,
    /// How many lines it hangs from.
    pub hangers: Known<u32>,
    /// How far it is turned from upright, counter-clockwise as the viewers see it.
    pub tilt: Known<Angle>,
    /// The strand that lights it.
    pub strand: Known<Strand>,
}

/// Digits that show a number of the rules.
#[derive(Clone, Debug, PartialEq)]
pub struct Digits {
    /// Their name.
    pub name: String,
    /// How many stand side by side.
    pub count: Known<u32>,
    /// The height of a digit.
    pub height: Known<Length>,
    /// The place of their lower left corner; none where that is not written.
    pub at: Option<Spot>,
    /// The height of their lower edge above the ground.
    pub lifted: Known<Length>,
    /// The LED.
    pub led: Known<Led>,
    /// From the digits to the driver board, along the way the cable takes.
    pub cable: Known<Length>,
}

/// A time of day or the dusk of that day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Clock {
    /// At sunset.
    Dusk,
    /// So many minutes after midnight, by the local clock.
    At(u32),
}

/// From when to when a display runs.
#[derive(Clone, Debug, PartialEq)]
pub struct Season {
    /// Its first night.
    pub from: Known<Date>,
    /// Its last night.
    pub to: Known<Date>,
    /// When it goes on.
    pub on: Known<Clock>,
    /// When it goes off.
    pub off: Known<Clock>,
}

/// Where on the globe a display stands, when it runs, what wind it bears: facts that are never guessed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Site {
    /// Degrees north of the equator.
    pub latitude: Option<Known<f64>>,
    /// Degrees east of Greenwich.
    pub longitude: Option<Known<f64>>,
    /// The time zone's name.
    pub timezone: Option<Known<String>>,
    /// When it runs.
    pub season: Option<Season>,
    /// The three-second gust it must stand through.
    pub gust: Option<Known<Velocity>>,
}
