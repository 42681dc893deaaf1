//! The path: a stop for every stage the plan covers, with its news in a few words.

use crate::note::amperes;
use crate::{Plan, StageState, Stop};
use finding::Severity;

/// The stops, in the builder's order.
pub(crate) fn stops(plan: &Plan, states: usize, ticks_ms: u32) -> Vec<Stop> {
    let holes: usize = plan.panels.iter().map(|panel| panel.holes.len()).sum();
    let bunches: usize = plan.panels.iter().map(|panel| panel.bunches.len()).sum();
    let strands: usize = plan.panels.iter().map(|panel| panel.strands.len()).sum();
    let poses: usize = plan.panels.iter().map(|panel| panel.poses.len()).sum();
    let parked: u32 =
        plan.panels.iter().flat_map(|p| &p.strands).flat_map(|s| &s.hops).map(|hop| hop.parked).sum();
    let spare: u32 = plan.panels.iter().flat_map(|p| &p.strands).map(|s| s.spare).sum();
    let conductors: usize = plan.cables.iter().map(|cable| cable.conductors.len()).sum();
    let buy: u32 = plan.parts.iter().filter(|line| line.unit == "strand").map(|line| line.buy).sum();
    let needed = amperes(plan.supply.needed_a);
    let all = [
        (
            "idea",
            format!("{states} states, ticks of {ticks_ms} ms"),
            "The rules are read and can be played. Hold the button and watch.".to_owned(),
        ),
        (
            "draw",
            format!("{poses} poses, {bunches} bunches"),
            format!("{bunches} bunches show all {poses} poses: what is common to several poses is strung once."),
        ),
        (
            "drill",
            format!("{holes} holes"),
            "Drill from the front, with a board behind the sheet. Holes are numbered in the order in which they are strung.".to_owned(),
        ),
        (
            "string",
            format!("{strands} strands, {parked} lamps parked"),
            format!("Start at the plug and follow the numbers, working from the back. {spare} lamps stay over and are spread behind the panel, never bunched."),
        ),
        (
            "switch",
            format!("{} channels", plan.channels.len()),
            "All switching is on the low-voltage side. Nothing here opens or switches mains.".to_owned(),
        ),
        (
            "wire",
            format!("{} cables, {conductors} conductors", plan.cables.len()),
            "Every conductor has the one its current comes back on beside it.".to_owned(),
        ),
        (
            "power",
            format!("{needed} of {}", amperes(plan.supply.rated_a)),
            format!("With everything lit at once the display draws {needed} at {} V.", plan.supply.voltage_v),
        ),
        ("buy", format!("{buy} strands to buy"), "One whole strand of each kind is spare: next year's will differ.".to_owned()),
        (
            "program",
            "the same game, in C".to_owned(),
            "The program in the firmware folder is the game played here, tick for tick.".to_owned(),
        ),
    ];
    all.into_iter().map(|(name, news, sentence)| stop(plan, name, news, sentence)).collect()
}

fn stop(plan: &Plan, name: &'static str, news: String, sentence: String) -> Stop {
    let mut here = plan.findings.iter().filter(|finding| finding.stage == name);
    let worst = here.clone().map(|finding| finding.severity).min();
    let by: Vec<String> = here
        .by_ref()
        .filter(|finding| finding.severity <= Severity::Fault)
        .map(|finding| finding.code.to_owned())
        .collect();
    let count = by.len();
    let (news, state) = match worst {
        Some(Severity::Danger) => ("sheets withheld".to_owned(), StageState::Blocked { by }),
        Some(Severity::Fault) => (format!("{count} to mend"), StageState::Blocked { by }),
        _ => (news, StageState::Ready),
    };
    Stop { name, news, sentence, state }
}
