//! The Plan: everything worked out, as plain data. Whatever is printed, drawn, generated or shown reads this and works out
//! nothing of its own.
//!
//! Lengths end in `_mm`, currents in `_a`, voltages in `_v`. Points are in millimetres on the panel's FRONT, origin at the
//! lower left corner of the sheet, x to the right, y up.

mod digits;
mod flash;
mod mains;
mod origins;
mod season;
mod span;
mod watch;
mod work;
mod yard;

pub use digits::{DIGITS_PERCENT, DigitsUse};
pub use flash::{FieldShare, FlashField, Flashes};
pub use mains::{CircuitUse, CordUse, Outlet, SwitchBoxUse, TAP_SOCKETS};
pub use origins::Origins;
pub use season::{Night, Season};
pub use span::{Hanger, Hung, Span};
pub use watch::{Chip, ChipPin, Hold, SmallPart, Watch};
pub use work::{Enclosure, RigLine, SignalPath, Step, Trial};
pub use yard::{Guy, Place, Post, Stand};

use finding::{Finding, Severity, Sheet};
use quantity::Units;
use serde::Serialize;

/// The whole plan of a display.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Plan {
    /// Always `lampwright-plan`.
    pub format: &'static str,
    /// Grows when the shape of the plan changes.
    pub version: u32,
    /// The display's title.
    pub title: String,
    /// What reports print.
    pub units: Units,
    /// Nearest viewer.
    pub nearest_mm: f64,
    /// Farthest viewer.
    pub farthest_mm: f64,
    /// The panels.
    pub panels: Vec<Panel>,
    /// How the panels are held up; one for each panel of a display that says where it stands.
    pub stands: Vec<Stand>,
    /// The posts.
    pub posts: Vec<Post>,
    /// The spans.
    pub spans: Vec<Span>,
    /// The digits, in the order of the frame.
    pub digits: Vec<DigitsUse>,
    /// The buttons, in the order of the rules' input bits.
    pub buttons: Vec<Button>,
    /// The channels, in the order of the description. Board and output say where each is switched.
    pub channels: Vec<Channel>,
    /// The driver boards in the chain, nearest the controller first.
    pub boards: Vec<Board>,
    /// The switch boxes.
    pub switch_boxes: Vec<SwitchBoxUse>,
    /// The circuits of the house that feed the display.
    pub circuits: Vec<CircuitUse>,
    /// The controller and what each of its pins does.
    pub controller: ControllerUse,
    /// What holds the outputs on as long as the program beats; none where there is nothing to hold.
    pub watch: Option<Watch>,
    /// The supply.
    pub supply: SupplyUse,
    /// The cables.
    pub cables: Vec<Cable>,
    /// Bags, boxes and covers.
    pub enclosures: Vec<Enclosure>,
    /// When it runs; none where no season is written.
    pub season: Option<Season>,
    /// Fields of view in which the program keeps lights from flashing together.
    pub flashing: Vec<FlashField>,
    /// The put-up card, in order.
    pub put_up: Vec<Step>,
    /// The test sheet.
    pub trials: Vec<Trial>,
    /// The way from every light to its controller pin.
    pub signal_paths: Vec<SignalPath>,
    /// The kitchen-table rig: one LED for each output.
    pub rig: Vec<RigLine>,
    /// What to buy or take from the shelf.
    pub parts: Vec<PartLine>,
    /// The stops of the path that this plan covers, in the builder's order.
    pub stops: Vec<Stop>,
    /// Every result of a check, worst first.
    pub findings: Vec<Finding>,
    /// The parts of the recipe that a danger withholds.
    pub withheld: Vec<Sheet>,
    /// Where every value came from.
    pub origins: Origins,
}

impl Plan {
    /// Whether a danger withholds this part of the recipe.
    pub fn withholds(&self, sheet: Sheet) -> bool {
        self.withheld.contains(&sheet)
    }

    /// The findings that keep the plan from being built at all: not dangers, but things that cannot work as they stand.
    pub fn unbuildable(&self) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(|finding| finding.severity == Severity::Fault)
    }
}

/// A panel: the sheet, the bunches on it, its holes and how they are strung.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Panel {
    /// Its name; also the name of the figure in the rules.
    pub name: String,
    /// The figure drawn on it.
    pub figure: String,
    /// Whether the figure is drawn mirrored. Lines and holes below are as they come out on THIS panel's front.
    pub mirrored: bool,
    /// The panel whose holes, turned over, are these: the two sheets are drilled face to face. None for a panel of its own.
    pub twin_of: Option<String>,
    /// The lower left corner of its front in the yard.
    pub place: Place,
    /// The sheets it is made of, from below; a single one that covers it for a panel without a joint.
    pub pieces: Vec<Piece>,
    /// Width of the sheet after cutting.
    pub width_mm: f64,
    /// Height of the sheet after cutting.
    pub height_mm: f64,
    /// Thickness of the sheet.
    pub thickness_mm: f64,
    /// The sheet it is cut from.
    pub sheet: String,
    /// Diameter of the holes.
    pub hole_mm: f64,
    /// The poses, in the order of the rules, and the bunches each lights (by position).
    pub poses: Vec<Pose>,
    /// The bunches: light that always switches together.
    pub bunches: Vec<Bunch>,
    /// The holes, in order of their numbers; `holes[k].number == k + 1`. Numbers follow the threading.
    pub holes: Vec<Hole>,
    /// The strands, in order of their holes.
    pub strands: Vec<StrandRun>,
}

/// A sheet of a panel: a rectangle of it, in its own millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Piece {
    /// Its left edge.
    pub x_mm: f64,
    /// Its lower edge.
    pub y_mm: f64,
    /// Its width.
    pub width_mm: f64,
    /// Its height.
    pub height_mm: f64,
}

/// One picture a figure can show.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pose {
    /// Its name.
    pub name: String,
    /// The bunches lit, by position.
    pub bunches: Vec<usize>,
}

/// Light that always switches together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Bunch {
    /// Its name: `always`, or the poses it is lit in joined by ` + `.
    pub name: String,
    /// The poses it is lit in, by position.
    pub poses: Vec<usize>,
    /// Its lines as polylines for drawing.
    pub lines_mm: Vec<Vec<[f64; 2]>>,
    /// Total length of its lines.
    pub length_mm: f64,
    /// Greatest spacing of neighbouring holes along its lines.
    pub spacing_mm: f64,
    /// Its channel, by position in [`Plan::channels`].
    pub channel: usize,
}

/// A hole for one lamp.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Hole {
    /// Its number on the panel, from 1.
    pub number: usize,
    /// Across, from the left edge of the front.
    pub x_mm: f64,
    /// Up, from the bottom edge.
    pub y_mm: f64,
    /// Its bunch, by position.
    pub bunch: usize,
}

/// One strand and its way through the holes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StrandRun {
    /// Its label, e.g. `F1`.
    pub label: String,
    /// The part.
    pub part: String,
    /// Its colour, as a CSS colour.
    pub colour: String,
    /// Its bunch, by position.
    pub bunch: usize,
    /// Lamps on the strand: holes plus parked lamps.
    pub lamps: u32,
    /// Number of its first hole.
    pub first_hole: usize,
    /// Number of its last hole.
    pub last_hole: usize,
    /// Every hop between lamps in order.
    pub hops: Vec<Hop>,
    /// Lamps left over after the last hole, spread behind the panel.
    pub spare: u32,
    /// Longest wire used between two neighbouring lamps.
    pub longest_hop_mm: f64,
    /// Longest hop that may be used: nine tenths of the wire between lamps.
    pub reach_mm: f64,
}

/// From one hole to the next.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Hop {
    /// Number of the hole it leaves.
    pub from: usize,
    /// Number of the hole it reaches.
    pub to: usize,
    /// Straight distance.
    pub length_mm: f64,
    /// Lamps parked behind the panel on the way.
    pub parked: u32,
}

/// A button and its pin.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Button {
    /// Its name.
    pub name: String,
    /// Label of its pin on the controller board.
    pub pin: String,
    /// Port and bit on the chip, e.g. `PD2`.
    pub port: String,
    /// The channel of its lamp, by position in [`Plan::channels`].
    pub lamp: Option<usize>,
    /// Where it stands.
    pub place: Place,
}

/// What lights a channel.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "by", rename_all = "lowercase")]
pub enum LitBy {
    /// Poses of a figure: both by position in the machine form.
    Poses {
        /// The figure.
        figure: usize,
        /// The poses that light it.
        poses: Vec<usize>,
    },
    /// A spot, by position in the machine form. On above level 127.
    Spot {
        /// The spot.
        spot: usize,
    },
    /// A segment of digits, by position in the machine form.
    Segment {
        /// The digits.
        digits: usize,
        /// Which of them, 0 for the rightmost.
        place: u32,
        /// The segment: 0 for a to 6 for g.
        segment: u32,
    },
}

/// One independently switched output.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Channel {
    /// Its label on board and wire, e.g. `A1`.
    pub label: String,
    /// What it switches, in the builder's names, e.g. `fox always`.
    pub name: String,
    /// What lights it.
    pub lit_by: LitBy,
    /// The board, by position.
    pub board: usize,
    /// The output on the board, as the bit of its registers, from 0. What is written beside it is in [`Board::labels`].
    pub output: u32,
    /// The outlet that the output turns on; none where the output switches the light itself.
    pub outlet: Option<Outlet>,
    /// Voltage of the light.
    pub voltage_v: f64,
    /// Current when lit.
    pub current_a: f64,
    /// The verdict on switching it, in one sentence.
    pub verdict: String,
}

/// A driver board in the chain.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Board {
    /// Its letter.
    pub label: String,
    /// The part.
    pub part: String,
    /// Outputs on it.
    pub outputs: u32,
    /// What is written beside each output, by bit.
    pub labels: Vec<String>,
    /// Current with every channel on it lit.
    pub current_a: f64,
}

impl Board {
    /// What is written beside an output: its label, or its number from 1 where it has none.
    pub fn beside(&self, output: u32) -> String {
        let label = usize::try_from(output).ok().and_then(|output| self.labels.get(output));
        label.cloned().unwrap_or_else(|| (u64::from(output) + 1).to_string())
    }
}

/// The controller and its pins.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ControllerUse {
    /// The part.
    pub part: String,
    /// The chip.
    pub chip: String,
    /// Its clock.
    pub clock_hz: u32,
    /// What each used pin does.
    pub pins: Vec<PinUse>,
}

/// What one pin does.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PinUse {
    /// Label on the board, e.g. `D11`.
    pub pin: String,
    /// Port and bit, e.g. `PB3`.
    pub port: String,
    /// What it does, e.g. `register data`.
    pub does: String,
}

/// The supply and what is asked of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SupplyUse {
    /// The part.
    pub part: String,
    /// Output voltage.
    pub voltage_v: f64,
    /// Greatest continuous current.
    pub rated_a: f64,
    /// Current with everything lit at once.
    pub needed_a: f64,
    /// Its listing.
    pub listed: Option<String>,
}

/// Where the wires inside the controller's box start: a [`Cable`] from here is single wires, in no sheath.
pub const TERMINALS: &str = "terminals";

/// A cable.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Cable {
    /// Its label, e.g. `C1`.
    pub label: String,
    /// Where it starts.
    pub from: String,
    /// Where it ends.
    pub to: String,
    /// Its length.
    pub length_mm: f64,
    /// Wire size, e.g. `18 AWG`.
    pub size: String,
    /// Its conductors.
    pub conductors: Vec<Conductor>,
}

/// One conductor of a cable.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Conductor {
    /// Its number in the cable, from 1.
    pub number: u32,
    /// What it carries, e.g. `A1 fox always`.
    pub carries: String,
    /// Terminal where the cable starts.
    pub from: String,
    /// Terminal where the cable ends.
    pub to: String,
    /// Greatest current.
    pub current_a: f64,
    /// The conductor its current comes back on, or goes out on, by number.
    pub returns_on: u32,
    /// Voltage lost out and back at that current.
    pub drop_v: f64,
}

/// One line of the parts list.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartLine {
    /// The part, as in catalogue or shelf.
    pub part: String,
    /// What it is, in words.
    pub what: String,
    /// How many are needed, spares left out.
    pub needed: u32,
    /// How many spares.
    pub spare: u32,
    /// How many are on the shelf.
    pub have: u32,
    /// How many are to be bought.
    pub buy: u32,
    /// Unit, e.g. `strand`, `m`.
    pub unit: String,
}

/// How far a stage has come.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "is", rename_all = "lowercase")]
pub enum StageState {
    /// Worked out.
    Ready,
    /// Worked out for a part of it.
    Partial,
    /// It cannot go on until these findings (codes) are cured.
    Blocked {
        /// The codes.
        by: Vec<String>,
    },
    /// Not asked for yet.
    Pending,
}

/// One stop of the path.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Stop {
    /// Its name in small letters: `idea`, `draw`, `drill`, `string`, `switch`, `wire`, `power`, `buy`, `program`.
    pub name: &'static str,
    /// Its news in at most six words.
    pub news: String,
    /// One or two sentences a builder would say.
    pub sentence: String,
    /// How far it has come.
    pub state: StageState,
}
