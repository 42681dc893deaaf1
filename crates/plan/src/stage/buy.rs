//! Buy: what is needed against what is on the shelf, with spares.

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
}

/// The parts list of a plan whose other parts are done.
pub(crate) fn work(plan: &Plan, also: &Also<'_>) -> Vec<PartLine> {
    let mut list = List { lines: Vec::new(), have: also.have.clone() };
    strands(plan, &mut list);
    let sheets = plan.panels.iter().flat_map(|panel| panel.pieces.iter().map(|_| panel.sheet.as_str()));
    list.each(counted(sheets), "sheet to cut and drill", 0, "sheet");
    list.each(counted(plan.boards.iter().map(|board| board.part.as_str())), "board, low voltage", 1, "piece");
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
    cables(plan, &mut list);
    hanging(plan, &mut list);
    list.each(
        counted(plan.enclosures.iter().map(|cover| cover.part.as_str())),
        "box, roof or cover",
        0,
        "piece",
    );
    small(plan, &mut list);
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

fn cables(plan: &Plan, list: &mut List<'_>) {
    let mut lengths: BTreeMap<(String, usize), f64> = BTreeMap::new();
    for cable in &plan.cables {
        *lengths.entry((cable.size.clone(), cable.conductors.len())).or_default() += cable.length_mm;
    }
    for ((size, conductors), length_mm) in lengths {
        let (needed, unit) = reel(plan, length_mm);
        // A metre more for ends and mistakes. Common practice.
        let (spare, _) = reel(plan, 1000.0);
        list.add(&format!("cable, {conductors} x {size}"), "outdoor cable, low voltage", needed, spare, unit);
    }
}

fn hanging(plan: &Plan, list: &mut List<'_>) {
    let mut line = |part: &str, what: &str, length_mm: f64| {
        let (needed, unit) = reel(plan, length_mm);
        list.add(part, what, needed, needed.div_ceil(LINE_SPARE), unit);
    };
    for span in &plan.spans {
        line(&span.rope, "rope of a span", span.cut_mm);
        let hangers = span.hung.iter().flat_map(|hung| &hung.hangers);
        line("hanger line", "thin line for hangers", hangers.map(|hanger| hanger.cut_mm).sum());
    }
    let guys = plan.stands.iter().flat_map(|stand| &stand.guys);
    line("guy line", "line for guys", guys.map(|guy| guy.cut_mm).sum());
    let stakes = whole(plan.stands.iter().map(|stand| stand.guys.len()).sum());
    list.add("stake", "ground stake, pull-tested", stakes, 1, "piece");
}

/// A length off the reel in the builder's units, rounded up.
fn reel(plan: &Plan, length_mm: f64) -> (u32, &'static str) {
    match plan.units {
        Units::Inches => (up(length_mm / 304.8), "ft"),
        Units::Millimetres => (up(length_mm / 1000.0), "m"),
    }
}

/// Glands for every cable that leaves a box, a label for every cable and strand, a fuse for the supply.
fn small(plan: &Plan, list: &mut List<'_>) {
    let cables = whole(
        plan.cables
            .iter()
            .filter(|cable| cable.from != "controller" && !cable.from.starts_with("board "))
            .count(),
    );
    list.add("gland", "cable gland for a low-voltage box", cables, 1, "piece");
    let strands: usize = plan.panels.iter().map(|panel| panel.strands.len()).sum();
    let labels = whole(2 * plan.cables.len() + strands);
    list.add("label", "printed label, outdoor", labels, labels.div_ceil(SMALL_SPARE), "piece");
    list.add("fuse-holder", "inline fuse holder with a fuse, 12 V", 1, 1, "piece");
    let unused: u32 = plan
        .switch_boxes
        .iter()
        .enumerate()
        .map(|(index, part)| {
            let used = plan.channels.iter().filter_map(|channel| channel.outlet.as_ref());
            part.outlets.saturating_sub(whole(used.filter(|outlet| outlet.switch_box == index).count()))
        })
        .sum();
    if unused > 0 {
        list.add("plug-cap", "cap for an unused outlet", unused, 0, "piece");
    }
}

impl List<'_> {
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
