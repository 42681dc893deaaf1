//! Where the supply's current goes inside the controller's box, and how it comes back: the supply's two leads, and from
//! their terminals a pair to the controller and to every driver board.
//!
//! A low-side driver board lets the current of its lights out at its ground: that one goes straight to the terminals, since
//! the thin ground of the ribbon could not carry it.

use super::drop::{choose, lost, note_drop};
use super::paths::starts_at;
use super::{Input, Wiring, logic, next_label};
use crate::{Cable, Channel, Conductor, TERMINALS};

/// Thinnest wire behind the supply's fuse: 5 A on 18 AWG. Common practice.
const FEED_AWG: u32 = 18;

/// The way from the supply to the terminals.
const FEED_MM: f64 = logic::RIBBON_MM * 2.0;

/// The way from the terminals to a board or the controller, in the same box.
const INSIDE_MM: f64 = logic::RIBBON_MM;

/// Controllers make their 5 V of anything from here on at `VIN`; what gives less is joined to `5V`. Common practice.
const VIN_FROM_V: f64 = 7.0;

const PLUS: &str = "terminal +";
const MINUS: &str = "terminal -";

/// The terminal of a driver board that lights are fed from.
fn plus(board: &str) -> String {
    format!("{board} +")
}

/// The terminal that lights of these channels are fed from: that of the board that switches most of them.
pub(super) fn start(input: &Input<'_>, channels: &[&Channel]) -> String {
    let on = |board: usize| channels.iter().filter(|channel| channel.board == board).count();
    let most = (0..input.boards.len()).rev().max_by_key(|&board| on(board));
    let board = most.filter(|&board| on(board) > 0).and_then(|board| input.boards.get(board));
    board.map_or_else(|| PLUS.to_owned(), |board| plus(&board.label))
}

/// Current of all conductors that start at a terminal.
fn taken(wiring: &Wiring, terminal: &str) -> f64 {
    let conductors = wiring.cables.iter().flat_map(|cable| &cable.conductors);
    conductors.filter(|conductor| conductor.from == terminal).map(|conductor| conductor.current_a).sum()
}

/// Current that comes back at a channel's output.
fn returned(wiring: &Wiring, channel: &Channel) -> f64 {
    let conductors = wiring.cables.iter().flat_map(|cable| &cable.conductors);
    conductors.filter(|conductor| starts_at(conductor, &channel.label)).map(|one| one.current_a).sum()
}

/// A pair of the card: a board, what its lights take at its `+`, and what they give back at its ground.
struct Pair<'a> {
    board: &'a str,
    out_a: f64,
    back_a: f64,
    /// Where the lights of its first output are fed from.
    fed_at: String,
}

/// The driver boards that switch lights themselves.
fn pairs<'a>(input: &Input<'a>, wiring: &Wiring) -> Vec<Pair<'a>> {
    let mut pairs = Vec::new();
    for (index, board) in input.boards.iter().enumerate() {
        let own =
            || input.channels.iter().filter(|channel| channel.board == index && channel.outlet.is_none());
        let Some(first) = own().next() else { continue };
        let cable =
            wiring.cables.iter().find(|cable| cable.conductors.iter().any(|c| starts_at(c, &first.label)));
        let feed = cable.and_then(|cable| cable.conductors.iter().find(|c| c.from.ends_with(" +")));
        pairs.push(Pair {
            board: &board.label,
            out_a: taken(wiring, &plus(&board.label)),
            back_a: own().map(|channel| returned(wiring, channel)).sum(),
            fed_at: feed.map_or_else(String::new, |feed| feed.from.clone()),
        });
    }
    pairs
}

/// From the terminals to the controller and to every driver board, out and back.
pub(super) fn inside(input: &Input<'_>, wiring: &mut Wiring) -> Cable {
    // Whatever the controller feeds at 5 V comes back at its `GND`.
    let controller_a = input.controller_a + taken(wiring, "GND");
    let vin = if input.supply_v < VIN_FROM_V { "5V" } else { "VIN" };
    let volts = input.supply_v;
    let mut lines = vec![
        (format!("+{volts} V for the controller and all that it feeds"), PLUS, vin.to_owned(), controller_a),
        ("ground of the controller, return of 1".to_owned(), MINUS, "GND".to_owned(), controller_a),
    ];
    let pairs = pairs(input, wiring);
    for pair in &pairs {
        if pair.out_a > 0.0 {
            let carries = format!("+{volts} V for lights, to board {}", pair.board);
            lines.push((carries, PLUS, plus(pair.board), pair.out_a));
        }
        let carries = format!("ground of board {}, return of its lights", pair.board);
        lines.push((carries, MINUS, format!("{} lights GND", pair.board), pair.back_a));
    }
    let greatest = lines.iter().map(|line| line.3).fold(0.0, f64::max);
    let gauge = choose(volts, INSIDE_MM, greatest, greatest).min(FEED_AWG);
    let numbered: Vec<(u32, &str)> = (1..).zip(lines.iter().map(|line| line.2.as_str())).collect();
    let number =
        |terminal: &str| numbered.iter().find(|(_, to)| *to == terminal).map_or(1, |(number, _)| *number);
    let back_on = |to: &str| match to {
        "GND" => 1,
        to if to == vin => 2,
        to => pairs
            .iter()
            .find_map(|pair| {
                let ground = format!("{} lights GND", pair.board);
                if to == ground {
                    Some(number(&pair.fed_at))
                } else {
                    (to == plus(pair.board)).then(|| number(&ground))
                }
            })
            .unwrap_or(1),
    };
    let conductors = numbered
        .iter()
        .zip(&lines)
        .map(|((number, to), (carries, from, _, current_a))| Conductor {
            number: *number,
            carries: carries.clone(),
            from: (*from).to_owned(),
            to: (*to).to_owned(),
            current_a: *current_a,
            returns_on: back_on(to),
            drop_v: lost(gauge, INSIDE_MM, *current_a, *current_a),
        })
        .collect();
    let label = next_label(wiring);
    let current = (greatest, greatest);
    note_drop(volts, &label, gauge, INSIDE_MM, current, input.units, &mut wiring.findings);
    Cable {
        label,
        from: TERMINALS.into(),
        to: "controller and driver boards, inside the box".into(),
        length_mm: INSIDE_MM,
        size: format!("{gauge} AWG"),
        conductors,
    }
}

/// From the supply through its fuse to the terminals: everything that is lit comes back on it.
pub(super) fn feed(input: &Input<'_>, wiring: &mut Wiring) -> Cable {
    let all = taken(wiring, PLUS);
    let gauge = choose(input.supply_v, FEED_MM, all, all).min(FEED_AWG);
    let conductor = |number: u32, carries: String, from: &str, to: &str| Conductor {
        number,
        carries,
        from: from.into(),
        to: to.into(),
        current_a: all,
        returns_on: 3 - number,
        drop_v: lost(gauge, FEED_MM, all, all),
    };
    let fused = format!(
        "+{} V, through a fuse of 5 A or less at the supply (common practice for {FEED_AWG} AWG)",
        input.supply_v
    );
    let label = next_label(wiring);
    note_drop(input.supply_v, &label, gauge, FEED_MM, (all, all), input.units, &mut wiring.findings);
    Cable {
        label,
        from: format!("supply {}", input.supply),
        to: "controller box".into(),
        length_mm: FEED_MM,
        size: format!("{gauge} AWG"),
        conductors: vec![
            conductor(1, fused, "supply +", PLUS),
            conductor(2, "ground, return of everything".into(), "supply -", MINUS),
        ],
    }
}
