//! Switch: which output switches what, through which outlet, with a verdict for every channel.
//!
//! Low voltage is switched by driver boards. Mains strands hang on outlets of complete, listed boxes, whose low-voltage
//! inputs are controlled by register boards; the boxes come first in the chain. Nothing on the mains side is drawn.

mod low;
mod mains;

use crate::note::{rating, works_out};
use crate::{Board, Channel, LitBy, Origins, Outlet, SwitchBoxUse};
use finding::{Finding, Origin, Sheet};
use serde::Serialize;

/// From here on a voltage is mains to us: above what Class 2 and SELV supplies give.
pub(crate) const MAINS_V: f64 = reckoning::supply::MAINS_FROM_V;

/// What a danger of switching withholds.
const SWITCHED: [Sheet; 2] = [Sheet::Wiring, Sheet::Firmware];

/// A load that wants a channel.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Load {
    pub(crate) name: String,
    pub(crate) lit_by: LitBy,
    /// The strand or lamp, how many, the current of one, its voltage.
    pub(crate) part: String,
    pub(crate) copies: u32,
    pub(crate) each_a: f64,
    pub(crate) voltage_v: f64,
    /// What must be known of a mains strand.
    pub(crate) mains: Option<MainsLoad>,
}

/// What is known of a mains strand.
#[derive(Clone, Debug, Default, Serialize)]
pub(crate) struct MainsLoad {
    /// The circuit that feeds it; none where none is named.
    pub(crate) circuit: Option<String>,
    /// Whether the lights around it change: a figure of several poses.
    pub(crate) moves: bool,
    pub(crate) filament: bool,
    /// Voltage of its lamps in a row together; none where it is not known.
    pub(crate) threshold_v: Option<f64>,
    /// Whether it uses one half wave only; none where it is not known.
    pub(crate) half_wave: Option<bool>,
    pub(crate) listed: Option<String>,
}

/// A board that outputs are taken from.
#[derive(Clone, Debug, Default, Serialize)]
pub(crate) struct BoardKind {
    pub(crate) part: String,
    /// What is written beside each output, by bit.
    pub(crate) labels: Vec<String>,
    pub(crate) output_a: f64,
    pub(crate) total_a: f64,
    pub(crate) voltage_v: f64,
    /// Whether its outputs are Darlington switches.
    pub(crate) darlington: bool,
    pub(crate) source: String,
}

/// A box that mains outlets are taken from.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct BoxKind {
    pub(crate) part: String,
    pub(crate) outlets: u32,
    pub(crate) voltage_v: f64,
    pub(crate) outlet_a: f64,
    pub(crate) total_a: f64,
    pub(crate) triac: bool,
    pub(crate) least_a: f64,
    pub(crate) off_leakage_a: f64,
    pub(crate) control_v: f64,
    pub(crate) control_a: f64,
    pub(crate) isolated: bool,
    pub(crate) listed: Option<String>,
    pub(crate) source: String,
}

/// What the stage takes.
#[derive(Serialize)]
pub(crate) struct Input<'a> {
    pub(crate) loads: &'a [Load],
    /// Boards there are already: each is used before a further `board` is taken.
    pub(crate) first: Vec<BoardKind>,
    pub(crate) board: &'a BoardKind,
    pub(crate) register: &'a BoardKind,
    pub(crate) switch_box: Option<&'a BoxKind>,
    /// Voltage of the house's mains; none for low voltage only.
    pub(crate) mains_v: Option<f64>,
    pub(crate) supply: &'a str,
    pub(crate) supply_v: f64,
}

/// What the stage gives.
#[derive(Clone, Debug, Default, Serialize)]
pub(crate) struct Drive {
    /// In the order of the loads.
    pub(crate) channels: Vec<Channel>,
    /// Register boards first, then driver boards.
    pub(crate) boards: Vec<Board>,
    pub(crate) switch_boxes: Vec<SwitchBoxUse>,
    /// The current that every channel takes from its board: of the load itself, or of the outlet's input.
    pub(crate) board_a: Vec<f64>,
    /// Where it came from, by place in the plan.
    pub(crate) origins: Origins,
    pub(crate) findings: Vec<Finding>,
}

pub(crate) fn work(input: &Input<'_>) -> Drive {
    let mut drive = Drive::default();
    let outlets = mains::outlets(input, &mut drive);
    let mut kinds = Vec::new();
    let mut places = vec![(0, 0); input.loads.len()];
    for side in [Side::Mains, Side::Low, Side::Digits] {
        // Boards of one's own come first where the light may be anything; digits have an enable line of their own.
        let mut seats = match side {
            Side::Mains => Seats { first: [].iter(), board: input.register, left: Vec::new() },
            Side::Low => Seats { first: input.first.iter(), board: input.board, left: Vec::new() },
            Side::Digits => Seats { first: [].iter(), board: input.board, left: Vec::new() },
        };
        for (index, load) in input.loads.iter().enumerate().filter(|(_, load)| side_of(load) == side) {
            places[index] = seats.next(&mut drive.boards, &mut kinds);
            let taken = if side == Side::Mains {
                input.switch_box.map_or(0.0, |kind| kind.control_a)
            } else {
                current(load)
            };
            drive.boards[places[index].0].current_a += taken;
        }
    }
    for ((load, place), outlet) in input.loads.iter().zip(places).zip(outlets) {
        let channel = channel(input, load, (place, kinds[place.0]), outlet, &mut drive);
        drive.channels.push(channel);
    }
    low::boards(input, &kinds, &mut drive);
    if input.loads.iter().any(is_mains) {
        mains::boxes(input, &mut drive);
    }
    drive.origins = origins(input, &drive);
    drive
}

fn origins(input: &Input<'_>, drive: &Drive) -> Origins {
    let mut origins = Origins::default();
    for (index, load) in input.loads.iter().enumerate() {
        let current = format!("/channels/{index}/current_a");
        works_out(&mut origins, &[&current], "channel-current", &["strands", "strand current"]);
        origins.note(format!("/channels/{index}/voltage_v"), rating(&load.part, "voltage"));
    }
    for index in 0..drive.boards.len() {
        works_out(&mut origins, &[&format!("/boards/{index}/current_a")], "total-current", &["channels"]);
    }
    for (index, part) in drive.switch_boxes.iter().enumerate() {
        works_out(
            &mut origins,
            &[&format!("/switch_boxes/{index}/current_a")],
            "total-current",
            &["channels"],
        );
        origins.note(format!("/switch_boxes/{index}"), rating(&part.part, "outlets"));
        origins.note(
            format!("/switch_boxes/{index}/shortest_ms"),
            Origin::Default("twice what small relays take to operate; nothing for a triac"),
        );
    }
    origins
}

/// What a board is for. Digits have boards of their own, because their enable line dims them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Side {
    Mains,
    Low,
    Digits,
}

fn side_of(load: &Load) -> Side {
    match load.lit_by {
        _ if is_mains(load) => Side::Mains,
        LitBy::Segment { .. } => Side::Digits,
        _ => Side::Low,
    }
}

/// Whether a load is fed by the mains.
pub(crate) fn is_mains(load: &Load) -> bool {
    load.voltage_v >= MAINS_V
}

/// Current of a load with all its strands.
fn current(load: &Load) -> f64 {
    reckoning::load::channel_current(load.copies, reckoning::of::amperes(load.each_a)).value
}

fn channel(
    input: &Input<'_>,
    load: &Load,
    ((board, output), kind): ((usize, u32), &BoardKind),
    outlet: Option<Outlet>,
    drive: &mut Drive,
) -> Channel {
    let label = format!("{}{}", drive.boards[board].label, drive.boards[board].beside(output));
    let verdict = if is_mains(load) {
        mains::verdict(input, load, outlet.as_ref(), drive)
    } else {
        low::verdict(input, load, &label, kind, &mut drive.findings)
    };
    drive.board_a.push(if is_mains(load) {
        input.switch_box.map_or(0.0, |kind| kind.control_a)
    } else {
        current(load)
    });
    Channel {
        label,
        name: load.name.clone(),
        lit_by: load.lit_by.clone(),
        board,
        output,
        outlet,
        voltage_v: load.voltage_v,
        current_a: current(load),
        verdict,
    }
}

/// The outputs that are handed out, board after board.
struct Seats<'a> {
    first: std::slice::Iter<'a, BoardKind>,
    board: &'a BoardKind,
    /// The bits of the last board that are still free, the next one last.
    left: Vec<u32>,
}

impl<'a> Seats<'a> {
    /// The next output: board by position, bit from 0. Outputs are taken as they are labelled, whatever bit that is.
    fn next(&mut self, boards: &mut Vec<Board>, kinds: &mut Vec<&'a BoardKind>) -> (usize, u32) {
        let bit = self.left.pop().unwrap_or_else(|| {
            let kind = self.first.next().unwrap_or(self.board);
            self.left = by_label(&kind.labels);
            self.left.reverse();
            boards.push(Board {
                label: letter(boards.len()),
                part: kind.part.clone(),
                outputs: u32::try_from(kind.labels.len()).unwrap_or(u32::MAX),
                labels: kind.labels.clone(),
                current_a: 0.0,
            });
            kinds.push(kind);
            self.left.pop().unwrap_or(0)
        });
        (boards.len() - 1, bit)
    }
}

/// The bits of outputs in the order of their labels: numbers by size, then words.
fn by_label(labels: &[String]) -> Vec<u32> {
    let mut bits: Vec<(u32, &String, u32)> =
        labels.iter().zip(0..).map(|(label, bit)| (label.parse().unwrap_or(u32::MAX), label, bit)).collect();
    bits.sort();
    bits.into_iter().map(|(_, _, bit)| bit).collect()
}

/// A to Z, then AA, AB, ...
fn letter(index: usize) -> String {
    let last = char::from(b'A' + u8::try_from(index % 26).unwrap_or(0));
    if index < 26 { last.to_string() } else { format!("{}{last}", letter(index / 26 - 1)) }
}
