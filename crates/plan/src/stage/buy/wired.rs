//! What current flows through: cables off the reel, cords for mains strands, joints, small parts, the kitchen-table rig.

use super::{Also, LINE_SPARE, List, SMALL_SPARE, whole};
use crate::{Cable, Plan, TAP_SOCKETS, TERMINALS};
use parts::{CableKind, Shelf};
use reckoning::button;
use std::collections::BTreeMap;
use uom::si::electric_potential::volt;
use uom::si::length::millimeter;

/// The resistors of buttons and rig carry milliwatts: the smallest kind that is sold.
const SMALL_RESISTOR: &str = "quarter-watt";

/// A cable is tied every so often along its way. Common practice.
const TIE_EVERY_MM: f64 = 450.0;

const LABEL: &str = "printed label, outdoor";
const TAP: &str = "listed outdoor tap, one plug to several sockets";

pub(super) fn add(plan: &Plan, also: &Also<'_>, list: &mut List<'_>) {
    reels(plan, also, list);
    joints(plan, list);
    mains(plan, also, list);
    button_lines(plan, list);
    watch(plan, list);
    rig(plan, list);
    ties(plan, list);
}

/// The reel that a cable is cut from: enough conductors, thick enough, and nothing more than that.
fn reel_for<'a>(shelf: &'a Shelf, cable: &Cable) -> Option<&'a CableKind> {
    let wanted_mm2 = quantity::wire_size(&cable.size).ok()?.area_mm2();
    let enough = |kind: &&CableKind| {
        kind.outdoor
            && usize::try_from(kind.conductors).is_ok_and(|conductors| conductors >= cable.conductors.len())
            && kind.size.area_mm2() >= wanted_mm2 - 1e-9
    };
    let copper = |kind: &CableKind| f64::from(kind.conductors) * kind.size.area_mm2();
    shelf.cables.values().filter(enough).min_by(|a, b| copper(a).total_cmp(&copper(b)))
}

fn reels(plan: &Plan, also: &Also<'_>, list: &mut List<'_>) {
    let mut reels: BTreeMap<String, (f64, Vec<&str>, f64)> = BTreeMap::new();
    let (inside, laid) = plan.cables.iter().partition::<Vec<_>, _>(|cable| cable.from == TERMINALS);
    for cable in laid {
        let kind = reel_for(also.shelf, cable);
        let name = kind.map_or_else(
            || format!("cable, {} x {}", cable.conductors.len(), cable.size),
            |kind| kind.name.clone(),
        );
        let reel = reels.entry(name).or_default();
        reel.0 += cable.length_mm;
        reel.1.push(&cable.label);
        reel.2 = kind.map_or(0.0, |kind| kind.have.get::<millimeter>());
    }
    for (name, (length_mm, labels, have_mm)) in reels {
        let what = format!("outdoor cable, low voltage, for {}", labels.join(", "));
        // A metre more for ends and mistakes. Common practice.
        list.length(plan, &name, &what, (length_mm, 1000.0), have_mm);
    }
    for cable in inside {
        let wires = cable.conductors.iter().map(|_| cable.length_mm).sum();
        let name = format!("hook-up wire, {}, stranded", cable.size);
        let what = format!("single wires of two colours inside the box, low voltage, for {}", cable.label);
        list.length(plan, &name, &what, (wires, 1000.0), 0.0);
    }
    if !plan.cables.is_empty() {
        let what =
            "block of joined terminals for the supply's leads, one for +, one for ground, 10 A or more";
        list.add("terminal-block", what, 2, 0, "piece");
    }
}

/// Low-voltage strands end in plugs of their own; whatever is fed from one cable is joined at its end.
fn joints(plan: &Plan, list: &mut List<'_>) {
    let low = |channel: usize| plan.channels.get(channel).is_some_and(|channel| channel.outlet.is_none());
    let panels = plan.panels.iter().flat_map(|panel| {
        panel.strands.iter().filter_map(|strand| panel.bunches.get(strand.bunch).map(|bunch| bunch.channel))
    });
    let hung = plan.spans.iter().flat_map(|span| &span.hung).map(|hung| hung.channel);
    let strands = whole(panels.chain(hung).filter(|channel| low(*channel)).count());
    list.small("connector", "outdoor plug and socket, 2 poles, 12 V, one for each strand", strands);
    let shared =
        plan.cables.iter().filter(|cable| cable.from == "driver board" && cable.conductors.len() > 2);
    list.small("splice", "sealed joint of one feed to several lights, 12 V", whole(shared.count()));
}

/// From each outlet in use a whole, listed cord to its strands, its joint covered; a tap where it feeds several, for no strand
/// is plugged into the end of another; and a tap where a circuit feeds several.
fn mains(plan: &Plan, also: &Also<'_>, list: &mut List<'_>) {
    let mut joints = 0;
    for (channel, length_mm) in &also.outlets_mm {
        let Some(channel) = plan.channels.get(*channel) else { continue };
        let volts = channel.voltage_v;
        let fits = |cord: &&parts::Cord| {
            cord.length.get::<millimeter>() >= *length_mm
                && (cord.voltage.get::<volt>() - volts).abs() < 0.1 * volts
                && cord.listed.is_some()
        };
        let size = |cord: &parts::Cord| (cord.length.get::<millimeter>(), cord.size.area_mm2());
        let mut cords: Vec<&parts::Cord> = also.shelf.cords.values().filter(fits).collect();
        cords.sort_by(|a, b| size(a).0.total_cmp(&size(b).0).then(size(a).1.total_cmp(&size(b).1)));
        let what = "listed outdoor cord, whole, from an outlet to its strands";
        match cords.first() {
            Some(cord) => list.add(&cord.name, what, 1, 0, "piece"),
            None => list.add("outdoor cord", what, 1, 0, "piece"),
        }
        list.add("label", LABEL, 2, 0, "piece");
        let strands = plan.strands_of(channel).len();
        if strands > TAP_SOCKETS {
            list.add(&format!("outdoor tap, {strands} sockets"), TAP, 1, 0, "piece");
        } else if strands > 1 {
            list.add("outdoor-tap", TAP, 1, 0, "piece");
        }
        joints += 1;
    }
    list.add("plug-cover", "box, roof or cover", joints, 0, "piece");
    let taps = whole(plan.circuits.iter().filter(|circuit| circuit.feeds.len() > 1).count());
    list.add("outdoor-tap", TAP, taps, 0, "piece");
}

/// The network of every button's line.
fn button_lines(plan: &Plan, list: &mut List<'_>) {
    let buttons = whole(plan.buttons.len());
    for (ohm, what) in
        [(button::PULL_UP_OHM, "pull-up of a button"), (button::SERIES_OHM, "resistor at a button's pin")]
    {
        list.small(&format!("{SMALL_RESISTOR} {ohm:.0} ohm"), what, buttons);
    }
    list.small("capacitor-1uf", "capacitor of 1 uF at a button's pin", buttons);
}

/// The watch on the heartbeat: its chips, what is soldered beside them, and the board they sit on.
fn watch(plan: &Plan, list: &mut List<'_>) {
    let Some(watch) = &plan.watch else { return };
    for chip in &watch.chips {
        list.add(&chip.part, &format!("chip {} of the watch, in a socket", chip.label), 1, 1, "piece");
    }
    let parts = watch.small.iter().map(|part| part.what.as_str());
    for (part, count) in super::counted(parts) {
        list.small(part, "of the watch", count);
    }
    list.add("stripboard", "board for the watch, with sockets of 16 and 14 pins", 1, 0, "piece");
}

/// The rig: an LED and a resistor for each output.
fn rig(plan: &Plan, list: &mut List<'_>) {
    list.small("rig-led", "red LED for the kitchen-table rig", whole(plan.rig.len()));
    let mut resistors: BTreeMap<String, u32> = BTreeMap::new();
    for line in &plan.rig {
        *resistors.entry(format!("{SMALL_RESISTOR} {:.0} ohm", line.resistor_ohm)).or_default() += 1;
    }
    for (part, count) in resistors {
        list.small(&part, "resistor for the kitchen-table rig", count);
    }
    if !plan.rig.is_empty() {
        list.add("breadboard", "board to plug the kitchen-table rig into", 1, 0, "piece");
    }
}

fn ties(plan: &Plan, list: &mut List<'_>) {
    let length_mm: f64 = plan.cables.iter().map(|cable| cable.length_mm).sum();
    let ties = super::up(length_mm / TIE_EVERY_MM);
    list.add("tie", "cable tie, outdoor", ties, ties.div_ceil(LINE_SPARE), "piece");
}

/// Glands for every cable that leaves a box, a label for every cable end and strand, a fuse for the supply, caps.
pub(super) fn small(plan: &Plan, list: &mut List<'_>) {
    let inside = |from: &str| {
        ["controller", TERMINALS].contains(&from) || from.starts_with("board ") || from.starts_with("watch ")
    };
    let leaves = |cable: &&Cable| !inside(&cable.from);
    let leaving: Vec<&Cable> = plan.cables.iter().filter(leaves).collect();
    // A button's cable leaves the controller's box and enters the button's.
    let into_buttons = leaving.iter().filter(|cable| cable.to.starts_with("button ")).count();
    list.add("gland", "cable gland for a low-voltage box", whole(leaving.len() + into_buttons), 1, "piece");
    let strands: usize = plan.panels.iter().map(|panel| panel.strands.len()).sum();
    let hung: usize = plan.spans.iter().map(|span| span.hung.len()).sum();
    let labels = whole(2 * plan.cables.len() + strands + hung);
    list.add("label", LABEL, labels, labels.div_ceil(SMALL_SPARE), "piece");
    if !plan.supply.part.is_empty() {
        list.add("fuse-holder", "inline fuse holder with a fuse, 12 V", 1, 1, "piece");
    }
    let unused: u32 = plan
        .switch_boxes
        .iter()
        .enumerate()
        .map(|(index, part)| {
            let used = plan.channels.iter().filter_map(|channel| channel.outlet.as_ref());
            part.outlets.saturating_sub(whole(used.filter(|outlet| outlet.switch_box == index).count()))
        })
        .sum();
    list.add("plug-cap", "cap for an unused outlet", unused, 0, "piece");
}
