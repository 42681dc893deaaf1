//! Buy: what is needed against what is on the shelf.

use crate::{Board, Button, Cable, Panel, PartLine};
use std::collections::BTreeMap;

/// Everything worked out so far that asks for a part.
pub(crate) struct Input<'a> {
    pub(crate) panels: &'a [Panel],
    pub(crate) boards: &'a [Board],
    pub(crate) cables: &'a [Cable],
    pub(crate) buttons: &'a [Button],
    pub(crate) supply: &'a str,
    pub(crate) controller: &'a str,
    /// Strands on the shelf.
    pub(crate) have: &'a BTreeMap<String, u32>,
}

pub(crate) fn work(input: &Input<'_>) -> Vec<PartLine> {
    let mut lines = Vec::new();
    let strands =
        count(input.panels.iter().flat_map(|panel| &panel.strands).map(|strand| strand.part.as_str()));
    for (part, needed) in strands {
        // One whole identical strand of each kind: next year's has other bases. Common practice.
        lines.push(line(
            part,
            "strand, only ever used whole",
            needed,
            1,
            input.have.get(part).copied().unwrap_or(0),
            "strand",
        ));
    }
    for (sheet, needed) in count(input.panels.iter().map(|panel| panel.sheet.as_str())) {
        lines.push(line(sheet, "sheet to cut and drill", needed, 0, 0, "sheet"));
    }
    for (board, needed) in count(input.boards.iter().map(|board| board.part.as_str())) {
        lines.push(line(board, "driver board, low voltage", needed, 1, 0, "piece"));
    }
    lines.push(line(input.controller, "controller", 1, 0, 0, "piece"));
    lines.push(line(input.supply, "supply", 1, 0, 0, "piece"));
    for button in input.buttons {
        let what = if button.lamp.is_some() { "push-button with a 12 V lamp" } else { "push-button" };
        lines.push(line(&format!("button {}", button.name), what, 1, 1, 0, "piece"));
    }
    let mut metres: BTreeMap<(String, usize), f64> = BTreeMap::new();
    for cable in input.cables {
        *metres.entry((cable.size.clone(), cable.conductors.len())).or_default() += cable.length_mm / 1000.0;
    }
    for ((size, conductors), metres) in metres {
        // A metre more for ends and mistakes. Common practice.
        let needed = whole_up(metres);
        lines.push(line(&format!("cable, {conductors} x {size}"), "outdoor cable", needed, 1, 0, "m"));
    }
    lines
}

fn count<'a>(names: impl Iterator<Item = &'a str>) -> BTreeMap<&'a str, u32> {
    let mut counted = BTreeMap::new();
    for name in names {
        *counted.entry(name).or_insert(0) += 1;
    }
    counted
}

fn line(part: &str, what: &str, needed: u32, spare: u32, have: u32, unit: &str) -> PartLine {
    PartLine {
        part: part.to_owned(),
        what: what.to_owned(),
        needed,
        spare,
        have,
        buy: (needed + spare).saturating_sub(have),
        unit: unit.to_owned(),
    }
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to the range of a count first"
)]
fn whole_up(metres: f64) -> u32 {
    libm::ceil(metres.clamp(0.0, 1e6)) as u32
}
