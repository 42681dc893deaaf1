//! What is soldered: every pin of the two chips, the small parts beside them, and which boards each gate holds on.
//!
//! Pins and their levels are those of the makers' data sheets (74HC4538: pins 1 and 15 hard to ground, no input open; 74HC32).

use super::LABEL;
use crate::{Board, Chip, ChipPin, Hold, SmallPart};

/// A line that nothing drives is pulled to where it lets nothing be lit.
const PULL: &str = "quarter-watt 10000 ohm";
/// Between the supply's pins of a chip.
const BYPASS: &str = "capacitor-100nf";

type Pins<'a> = &'a [(u32, &'a str, &'a str)];

fn chip(label: &str, part: &str, pins: Pins<'_>) -> Chip {
    let pin = |&(pin, name, to): &(u32, &str, &str)| ChipPin { pin, name: name.into(), to: to.into() };
    Chip { label: label.into(), part: part.into(), pins: pins.iter().map(pin).collect() }
}

/// The monostable and the gates; the second gate is for the digits, where there are any.
pub(super) fn chips(digits: bool) -> Vec<Chip> {
    let monostable = [
        (1, "CX1", "GND"),
        (2, "RX1/CX1", "RT and CT"),
        (3, "RESET1", "5V"),
        (4, "A1", "beat, and R1"),
        (5, "B1", "5V"),
        (6, "Q1", "open: 5 V while it beats"),
        (7, "not Q1", "U2 pins 2 and 5"),
        (8, "GND", "GND"),
        (9, "not Q2", "open"),
        (10, "Q2", "open"),
        (11, "B2", "5V"),
        (12, "A2", "GND"),
        (13, "RESET2", "GND"),
        (14, "RX2/CX2", "R2"),
        (15, "CX2", "GND"),
        (16, "VCC", "5V, and CA"),
    ];
    let (second, own, out) = if digits {
        ("U1 pin 7", "digits enable in, and R4", "digits enable out")
    } else {
        ("GND", "GND", "open")
    };
    let gates = [
        (1, "1A", "enable in, and R3"),
        (2, "1B", "U1 pin 7"),
        (3, "1Y", "enable out"),
        (4, "2A", own),
        (5, "2B", second),
        (6, "2Y", out),
        (7, "GND", "GND"),
        (8, "3Y", "open"),
        (9, "3A", "GND"),
        (10, "3B", "GND"),
        (11, "4Y", "open"),
        (12, "4A", "GND"),
        (13, "4B", "GND"),
        (14, "VCC", "5V, and CB"),
    ];
    let mut monostable = chip("U1", "monostable-74hc4538", &monostable);
    if !digits && let Some(pin) = monostable.pins.iter_mut().find(|pin| pin.pin == 7) {
        pin.to = "U2 pin 2".into();
    }
    vec![monostable, chip("U2", "or-gate-74hc32", &gates)]
}

/// The small parts, with both their ends.
pub(super) fn small(resistor_ohm: f64, digits: bool) -> Vec<SmallPart> {
    let part = |label: &str, what: &str, from: &str, to: &str, does: &str| SmallPart {
        label: label.into(),
        what: what.into(),
        from: from.into(),
        to: to.into(),
        does: does.into(),
    };
    let timing = format!("quarter-watt {resistor_ohm:.0} ohm");
    let mut small = vec![
        part("RT", &timing, "U1 pin 2", "5V", "sets the pulse, with CT"),
        part("CT", "capacitor-1uf-film", "U1 pin 2", "GND", "sets the pulse, with RT: film, no ceramic"),
        part("R1", PULL, "beat", "GND", "no beat while nothing drives D8"),
        part("R2", PULL, "U1 pin 14", "5V", "the half that is not used stays still"),
        part("R3", PULL, "enable in", "5V", "dark while nothing drives D9"),
    ];
    if digits {
        small.push(part("R4", PULL, "digits enable in", "5V", "dark while nothing drives D6"));
    }
    small.push(part("CA", BYPASS, "U1 pin 16", "U1 pin 8", "supply, close to the chip"));
    small.push(part("CB", BYPASS, "U2 pin 14", "U2 pin 7", "supply, close to the chip"));
    small
}

/// Which boards each gate holds on, and the way from them to the controller.
pub(super) fn holds(boards: &[Board], digits: &[bool]) -> Vec<Hold> {
    let of = |wanted: bool| -> Vec<String> {
        let own = boards.iter().zip(digits).filter(|(_, digits)| **digits == wanted);
        own.map(|(board, _)| board.label.clone()).collect()
    };
    let hold = |boards: Vec<String>, gate: u32, line: &str, pin: &str| {
        let first = boards.first().cloned().unwrap_or_default();
        let by = vec![
            format!("board {first} enable"),
            format!("{LABEL} {line} out: U2 pin {gate}, low is on"),
            format!("{LABEL} {line} in: pin {pin}, low is on"),
            "U1 pin 7: low while it beats".to_owned(),
            format!("{LABEL} beat: pin D8"),
        ];
        Hold { boards, by }
    };
    let lines = [(of(false), 3, "enable", "D9"), (of(true), 6, "digits enable", "D6")];
    let held = lines.into_iter().filter(|(boards, ..)| !boards.is_empty());
    held.map(|(boards, gate, line, pin)| hold(boards, gate, line, pin)).collect()
}
