//! Everything that any sheet tells the builder to use is on the parts list: the plan and the list are walked together.
#![allow(clippy::panic, clippy::unwrap_used, reason = "a test may fail")]

mod common;

use common::flagship;
use plan::{PartLine, Plan, plan};
use std::collections::BTreeMap;

/// What the put-up card asks for that is nobody's purchase for this display: tools, people, paper, the site.
const NOT_BOUGHT: [&str; 12] = [
    "a second person",
    "the weather forecast",
    "post",
    "spirit level",
    "ladder",
    "two ladders",
    "mallet",
    "spring balance",
    "screwdriver",
    "test sheet",
    "drip loops",
    "panel",
];

/// Where on the list the other things stand that the card asks for.
const ASKED: [(&str, &[&str]); 14] = [
    ("taps", &["outdoor-tap"]),
    ("base", &["base"]),
    ("ballast", &["ballast-bag"]),
    ("guys", &["polyester-8mm"]),
    ("stakes", &["stake"]),
    ("rope", &["polyester-6mm"]),
    ("hangers", &["polyester-3mm"]),
    ("marked tape", &["tape"]),
    ("digits", &["digits-board"]),
    ("boxes", &["box-12x10x6in", "box-8x6x4in", "shelter-24x16x16in"]),
    ("cable ties", &["tie"]),
    ("cables", &["cable-8x18"]),
    ("labels", &["label"]),
    ("plug covers", &["plug-cover"]),
];

fn needed(plan: &Plan, part: &str) -> u32 {
    plan.parts.iter().filter(|line| line.part == part).map(|line| line.needed).sum()
}

#[track_caller]
fn has(plan: &Plan, part: &str, count: usize) {
    assert!(needed(plan, part) as usize >= count, "{count} of {part} wanted: {}", needed(plan, part));
}

#[test]
fn every_named_part_is_listed_as_often_as_it_is_used() {
    let plan = plan(&flagship().0);
    let mut used: BTreeMap<&str, usize> = BTreeMap::new();
    let mut use_one = |part| *used.entry(part).or_default() += 1;
    for panel in &plan.panels {
        panel.pieces.iter().for_each(|_| use_one(&panel.sheet));
        panel.strands.iter().for_each(|strand| use_one(&strand.part));
    }
    plan.spans.iter().flat_map(|span| &span.hung).for_each(|hung| use_one(&hung.strand));
    plan.boards.iter().for_each(|board| use_one(&board.part));
    plan.switch_boxes.iter().for_each(|part| use_one(&part.part));
    plan.enclosures.iter().for_each(|cover| use_one(&cover.part));
    use_one(&plan.controller.part);
    use_one(&plan.supply.part);
    for (part, count) in used {
        has(&plan, part, count);
    }
    for digits in &plan.digits {
        let segments = digits.channels.iter().map(Vec::len).sum::<usize>();
        has(&plan, &digits.led, segments * (digits.leds_in_series * digits.rows) as usize);
        let ohms = format!("{:.0} ohm", digits.resistor_ohm);
        let lines: Vec<&PartLine> = plan.parts.iter().filter(|line| line.part.ends_with(&ohms)).collect();
        assert!(lines.iter().any(|line| line.needed as usize >= segments * digits.rows as usize), "{ohms}");
    }
}

/// A foot is 304.8 mm (international yard and pound agreement of 1959).
#[test]
fn ropes_and_cables_are_as_long_as_they_are_cut() {
    let plan = plan(&flagship().0);
    let feet = |mm: f64| mm / 304.8;
    for span in &plan.spans {
        assert!(f64::from(needed(&plan, &span.rope)) >= feet(span.cut_mm), "{}", span.rope);
        let hangers: f64 = span.hung.iter().flat_map(|hung| &hung.hangers).map(|hanger| hanger.cut_mm).sum();
        assert!(f64::from(needed(&plan, "polyester-3mm")) >= feet(hangers));
    }
    let guys: f64 = plan.stands.iter().flat_map(|stand| &stand.guys).map(|guy| guy.cut_mm).sum();
    assert!(f64::from(needed(&plan, "polyester-8mm")) >= feet(guys));
    has(&plan, "stake", plan.stands.iter().map(|stand| stand.guys.len()).sum());
    // Every cable comes off one reel, which has conductors enough of its size or thicker.
    let (shelf, _) = parts::catalogue();
    let mut reels: BTreeMap<&str, f64> = BTreeMap::new();
    // Inside the box single wires: each conductor of the card is one.
    let inside = plan.cables.iter().find(|cable| cable.from == plan::TERMINALS).unwrap();
    let wires: f64 = inside.conductors.iter().map(|_| inside.length_mm).sum();
    assert!(f64::from(needed(&plan, &format!("hook-up wire, {}, stranded", inside.size))) >= feet(wires));
    for cable in plan.cables.iter().filter(|cable| cable.from != plan::TERMINALS) {
        let for_it = |line: &&PartLine| {
            let list = line.what.rsplit(" for ").next().unwrap_or_default();
            line.what.contains("cable, low voltage") && list.split(", ").any(|label| label == cable.label)
        };
        let line = plan.parts.iter().find(for_it).unwrap_or_else(|| panic!("no reel for {}", cable.label));
        let kind = shelf.cables.get(&line.part).unwrap();
        assert!(kind.conductors as usize >= cable.conductors.len(), "{} off {}", cable.label, line.part);
        let size = quantity::wire_size(&cable.size).unwrap();
        assert!(kind.size.area_mm2() >= size.area_mm2() - 1e-9, "{} off {}", cable.label, line.part);
        *reels.entry(&line.part).or_default() += cable.length_mm;
    }
    for (reel, length_mm) in reels {
        assert!(f64::from(needed(&plan, reel)) >= feet(length_mm), "{reel}");
    }
}

#[test]
fn small_things_and_the_rig_are_counted() {
    let plan = plan(&flagship().0);
    has(&plan, "rig-led", plan.channels.len());
    for ohm in plan.rig.iter().map(|line| line.resistor_ohm) {
        let count = plan.rig.iter().filter(|line| (line.resistor_ohm - ohm).abs() < 0.5).count();
        has(&plan, &format!("quarter-watt {ohm:.0} ohm"), count);
    }
    // Both ends of every cable, and every strand.
    let strands: usize = plan.panels.iter().map(|panel| panel.strands.len()).sum();
    let outlets = plan.channels.iter().filter(|channel| channel.outlet.is_some()).count();
    has(&plan, "label", 2 * plan.cables.len() + 2 * outlets + strands + 7);
    has(&plan, "cord-16awg-25ft", outlets);
    has(&plan, "plug-cover", outlets);
    has(&plan, "connector", 7);
    for part in [
        "monostable-74hc4538",
        "or-gate-74hc32",
        "capacitor-1uf-film",
        "capacitor-100nf",
        "stripboard",
        "quarter-watt 150000 ohm",
        "quarter-watt 10000 ohm",
        "fuse-holder",
        "terminal-block",
        "capacitor-1uf",
        "quarter-watt 430 ohm",
        "quarter-watt 1000 ohm",
        "gland",
    ] {
        has(&plan, part, 1);
    }
    for line in &plan.parts {
        assert!(line.needed > 0 && !line.what.is_empty() && !line.unit.is_empty(), "{line:?}");
        assert_eq!(line.buy, (line.needed + line.spare).saturating_sub(line.have), "{}", line.part);
        assert_eq!(plan.parts.iter().filter(|other| other.part == line.part).count(), 1, "{}", line.part);
    }
}

/// One outlet has one socket: whatever feeds several strands wants a tap, and a circuit that feeds several things another one.
#[test]
fn every_mains_strand_has_a_socket_of_its_own() {
    let plan = plan(&flagship().0);
    let mut sockets = 0;
    let mut taps = plan.circuits.iter().filter(|circuit| circuit.feeds.len() > 1).count();
    let mut cords = Vec::new();
    for (index, channel) in plan.channels.iter().enumerate().filter(|(_, channel)| channel.outlet.is_some()) {
        let own = plan.panels.iter().flat_map(|panel| {
            panel.strands.iter().filter(move |strand| panel.bunches[strand.bunch].channel == index)
        });
        let own: Vec<&str> = own.map(|strand| strand.label.as_str()).collect();
        assert_eq!(plan.strands_of(channel), own, "{}", channel.name);
        assert!(!own.is_empty() && own.len() <= 3, "{}", channel.name);
        taps += usize::from(own.len() > 1);
        sockets += own.len();
        cords.push(plan.cord_of(channel).unwrap());
    }
    assert_eq!(sockets, plan.panels.iter().map(|panel| panel.strands.len()).sum::<usize>());
    assert_eq!(needed(&plan, "outdoor-tap") as usize, taps);
    cords.sort();
    cords.dedup();
    assert_eq!(cords.len(), needed(&plan, "cord-16awg-25ft") as usize, "each cord has a label of its own");
    // Plugged in before anything is fed, and parted after that.
    let at = |words: &str| plan.put_up.iter().position(|step| step.up.contains(words)).unwrap();
    let plugged = at("Plug strands, taps and cords P1 to Q6");
    assert!(plugged < at("test button") && plugged > at("Set the boxes"));
    let step = &plan.put_up[plugged];
    assert!(step.down.contains("mains cords") && step.caution.contains("unplugged"));
}

#[test]
fn what_the_put_up_card_asks_for_is_bought_or_borrowed() {
    let plan = plan(&flagship().0);
    for need in
        plan.put_up.iter().flat_map(|step| &step.needs).filter(|need| !NOT_BOUGHT.contains(&need.as_str()))
    {
        if need == "cord" {
            assert!(plan.parts.iter().any(|line| line.part.starts_with("cord, ")));
            continue;
        }
        let (_, listed) = ASKED
            .iter()
            .find(|(asked, _)| asked == need)
            .unwrap_or_else(|| panic!("nothing is said of {need}"));
        for part in *listed {
            has(&plan, part, 1);
        }
    }
}

/// Cable and rope on the shelf are counted by length.
#[test]
fn what_lies_on_the_shelf_is_not_bought_again() {
    let shelf = "[rope.polyester-6mm]\nhave = \"100 ft\"\n[cable.cable-8x18]\nhave = \"20 ft\"\n";
    let files =
        common::yard(include_str!("../../../displays/club-passing/display.toml")).with("parts.toml", shelf);
    let plan = plan(&display::read(&files).0.unwrap());
    let line = |part: &str| plan.parts.iter().find(|line| line.part == part).unwrap();
    assert_eq!((line("polyester-6mm").have, line("polyester-6mm").buy), (100, 0));
    let cable = line("cable-8x18");
    assert_eq!((cable.have, cable.buy), (20, cable.needed + cable.spare - 20));
}
