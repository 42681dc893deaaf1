//! Buy: what is needed against what is on the shelf, with spares.

mod wired;
mod yard;

use crate::{PartLine, Plan};
use quantity::Units;
use std::collections::BTreeMap;

/// Spares of small things, as a share of what is needed: a tenth. Common practice.
const SMALL_SPARE: u32 = 10;
/// Rope and line that is bought beyond what is cut, as a share: a tenth. Common practice.
const LINE_SPARE: u32 = 10;

/// Parts by name, with what they are, how many, and in which unit.
#[derive(Default)]
struct List<'a> {
    lines: Vec<PartLine>,
    have: BTreeMap<&'a str, u32>,
}

/// What is bought besides what the plan shows.
pub(crate) struct Also<'a> {
    /// How many of each part are on the shelf, by name.
    pub(crate) have: BTreeMap<&'a str, u32>,
    /// The kind of resistor of each of the plan's digits.
    pub(crate) resistors: Vec<&'a str>,
    /// The button, as in the catalogue.
    pub(crate) button: &'a str,
    /// All parts there are.
    pub(crate) shelf: &'a parts::Shelf,
    /// Boards of the builder's own.
    pub(crate) own: Vec<&'a str>,
    /// The line of hangers; empty where they are cut from the rope itself.
    pub(crate) hanger: &'a str,
    /// Channels on outlets, and the way from the box to their strands.
    pub(crate) outlets_mm: Vec<(usize, f64)>,
}

/// The parts list of a plan whose other parts are done.
pub(crate) fn work(plan: &Plan, also: &Also<'_>) -> Vec<PartLine> {
    let mut list = List { lines: Vec::new(), have: also.have.clone() };
    strands(plan, &mut list);
    let sheets = plan.panels.iter().flat_map(|panel| panel.pieces.iter().map(|_| panel.sheet.as_str()));
    list.each(counted(sheets), "sheet to cut and drill", 0, "sheet");
    // What a builder has soldered last year cannot be bought again.
    let (own, sold) = plan
        .boards
        .iter()
        .map(|board| board.part.as_str())
        .partition::<Vec<_>, _>(|part| also.own.contains(part));
    list.each(counted(own.into_iter()), "board of your own", 0, "piece");
    list.each(counted(sold.into_iter()), "board, low voltage", 1, "piece");
    list.each(
        counted(plan.switch_boxes.iter().map(|part| part.part.as_str())),
        "complete, listed switch box; never opened",
        0,
        "piece",
    );
    list.add(&plan.controller.part, "controller", 1, 1, "piece");
    list.add(&plan.supply.part, "supply", 1, 0, "piece");
    for circuit in &plan.circuits {
        let (length, unit) = reel(plan, circuit.cord.length_mm);
        let part = format!("cord, {}, {length} {unit}", circuit.cord.size);
        list.add(&part, "listed outdoor cord, whole", 1, 0, "piece");
    }
    buttons(plan, also, &mut list);
    digits(plan, also, &mut list);
    wired::add(plan, also, &mut list);
    yard::add(plan, also, &mut list);
    list.each(
        counted(plan.enclosures.iter().map(|cover| cover.part.as_str())),
        "box, roof or cover",
        0,
        "piece",
    );
    wired::small(plan, &mut list);
    list.lines
}

fn strands(plan: &Plan, list: &mut List<'_>) {
    let on_panels = plan.panels.iter().flat_map(|panel| &panel.strands).map(|strand| strand.part.as_str());
    let hung = plan.spans.iter().flat_map(|span| &span.hung).map(|hung| hung.strand.as_str());
    // One whole identical strand of each kind: next year's has other bases. Common practice.
    list.each(counted(on_panels.chain(hung)), "strand, only ever used whole", 1, "strand");
}

fn buttons(plan: &Plan, also: &Also<'_>, list: &mut List<'_>) {
    let lit = whole(plan.buttons.iter().filter(|button| button.lamp.is_some()).count());
    let all = whole(plan.buttons.len());
    if lit > 0 {
        list.add(also.button, "push-button with a 12 V lamp", lit, 1, "piece");
    }
    if all > lit {
        list.add("push-button", "push-button without a lamp", all - lit, 1, "piece");
    }
}

fn digits(plan: &Plan, also: &Also<'_>, list: &mut List<'_>) {
    for (digits, kind) in plan.digits.iter().zip(&also.resistors) {
        let segments = digits.count * 7;
        let leds = segments * digits.leds_in_series * digits.rows;
        list.add(&digits.led, "LED for digits", leds, leds.div_ceil(SMALL_SPARE), "piece");
        let rows = segments * digits.rows;
        let part = format!("{kind} {:.0} ohm", digits.resistor_ohm);
        list.add(&part, "resistor, one for each row of LEDs", rows, rows.div_ceil(SMALL_SPARE), "piece");
    }
}

/// A length off the reel in the builder's units, rounded up.
fn reel(plan: &Plan, length_mm: f64) -> (u32, &'static str) {
    let unit = match plan.units {
        Units::Inches => "ft",
        Units::Millimetres => "m",
    };
    (up(length_mm / reel_mm(plan)), unit)
}

/// The length that reels are counted in.
fn reel_mm(plan: &Plan) -> f64 {
    match plan.units {
        Units::Inches => 304.8,
        Units::Millimetres => 1000.0,
    }
}

impl List<'_> {
    /// Small things, a tenth of them spare.
    fn small(&mut self, part: &str, what: &str, needed: u32) {
        self.add(part, what, needed, needed.div_ceil(SMALL_SPARE), "piece");
    }

    /// A length off the reel and what is cut besides, against what is left on the shelf.
    fn length(
        &mut self,
        plan: &Plan,
        part: &str,
        what: &str,
        (needed_mm, spare_mm): (f64, f64),
        have_mm: f64,
    ) {
        let ((needed, unit), (spare, _)) = (reel(plan, needed_mm), reel(plan, spare_mm));
        let per = reel_mm(plan);
        let have = down(have_mm / per);
        if let Some(line) = self.lines.iter_mut().find(|line| line.part == part && line.unit == unit) {
            line.needed += needed;
            line.spare += spare;
            line.buy = (line.needed + line.spare).saturating_sub(have);
            if !line.what.contains(what) {
                line.what = format!("{}; {what}", line.what);
            }
            return;
        }
        self.add(part, what, needed, spare, unit);
        if let Some(line) = self.lines.last_mut().filter(|line| line.part == part) {
            line.have = have;
            line.buy = (line.needed + line.spare).saturating_sub(have);
        }
    }

    /// Every part of a kind.
    fn each(&mut self, counted: BTreeMap<&str, u32>, what: &str, spare: u32, unit: &str) {
        for (part, needed) in counted {
            self.add(part, what, needed, spare, unit);
        }
    }

    /// One line; a part that is there already is added to.
    fn add(&mut self, part: &str, what: &str, needed: u32, spare: u32, unit: &str) {
        if needed == 0 || part.is_empty() {
            return;
        }
        let have = self.have.get(part).copied().unwrap_or(0);
        match self.lines.iter_mut().find(|line| line.part == part && line.unit == unit) {
            Some(line) => {
                line.needed += needed;
                line.spare = line.spare.max(spare);
                line.buy = (line.needed + line.spare).saturating_sub(have);
                if !line.what.contains(what) {
                    line.what = format!("{}; {what}", line.what);
                }
            }
            None => self.lines.push(PartLine {
                part: part.to_owned(),
                what: what.to_owned(),
                needed,
                spare,
                have,
                buy: (needed + spare).saturating_sub(have),
                unit: unit.to_owned(),
            }),
        }
    }
}

fn counted<'a>(names: impl Iterator<Item = &'a str>) -> BTreeMap<&'a str, u32> {
    let mut counted = BTreeMap::new();
    for name in names {
        *counted.entry(name).or_insert(0) += 1;
    }
    counted
}

fn whole(count: usize) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to the range of a count first"
)]
fn up(length: f64) -> u32 {
    libm::ceil(length.clamp(0.0, 1e6) - 1e-9) as u32
}

/// A count, rounded down.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to the range of a count first"
)]
fn down(length: f64) -> u32 {
    libm::floor(length.clamp(0.0, 1e6) + 1e-9) as u32
}
