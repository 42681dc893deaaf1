//! The watch on the heartbeat: wired pin by pin so that nothing is lit unless the program beats and lets it.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail")]

mod common;

use common::{flagship, fox};
use finding::{Severity, Sheet};
use plan::{Chip, Plan, Watch, plan};
use source::MemoryFiles;

/// Inputs of the two chips by pin (data sheets, function tables): none of them may be left open.
const INPUTS: [&[u32]; 2] = [&[3, 4, 5, 11, 12, 13, 14], &[1, 2, 4, 5, 9, 10, 12, 13]];

fn to(chip: &Chip, pin: u32) -> &str {
    &chip.pins.iter().find(|one| one.pin == pin).unwrap().to
}

/// The level of a pin's net, given what drives the watch's terminals; what nothing drives is where its resistor pulls it.
fn level(watch: &Watch, net: &str, driven: &[(&str, bool)], not_q: bool) -> bool {
    let net = net.split(',').next().unwrap();
    match net {
        "5V" => return true,
        "GND" => return false,
        "U1 pin 7" => return not_q,
        _ => {}
    }
    if let Some((_, level)) = driven.iter().find(|(terminal, _)| *terminal == net) {
        return *level;
    }
    let pull = watch.small.iter().find(|part| part.from == net && part.what.starts_with("quarter-watt"));
    pull.unwrap_or_else(|| panic!("nothing holds {net}")).to == "5V"
}

/// What an output of the gates gives: the or of its two inputs (74HC32 function table).
fn gate(watch: &Watch, [a, b]: [u32; 2], driven: &[(&str, bool)], not_q: bool) -> bool {
    let chip = &watch.chips[1];
    level(watch, to(chip, a), driven, not_q) || level(watch, to(chip, b), driven, not_q)
}

#[track_caller]
fn lets_nothing_through_without_a_beat(plan: &Plan, digits: bool) {
    let watch = plan.watch.as_ref().unwrap();
    assert_eq!(watch.chips.iter().map(|chip| chip.pins.len()).collect::<Vec<_>>(), [16, 14]);
    for (chip, inputs) in watch.chips.iter().zip(INPUTS) {
        assert!(chip.pins.iter().map(|pin| pin.pin).eq((1..).take(chip.pins.len())));
        for pin in inputs {
            assert!(!to(chip, *pin).starts_with("open"), "{} pin {pin} is open", chip.label);
        }
    }
    // Triggered by a rising edge at A with B high and no reset (74HC4538 function table); without a driver no edge comes.
    let monostable = &watch.chips[0];
    assert_eq!((to(monostable, 3), to(monostable, 5)), ("5V", "5V"));
    assert!(!level(watch, to(monostable, 4), &[], true));
    let mut gates = vec![([1, 2], "enable in")];
    if digits {
        gates.push(([4, 5], "digits enable in"));
    }
    for (inputs, terminal) in gates {
        // A board is on while its line is low: only with a pulse (not Q low) and the controller's word.
        for (driven, not_q, high) in [
            (Some(false), false, false),
            (Some(true), false, true),
            (None, false, true),
            (Some(false), true, true),
            (None, true, true),
        ] {
            let driven: Vec<(&str, bool)> = driven.map(|level| (terminal, level)).into_iter().collect();
            assert_eq!(gate(watch, inputs, &driven, not_q), high, "{terminal}: {driven:?}, not Q {not_q}");
        }
    }
}

#[test]
fn nothing_is_lit_without_a_beat_and_the_controllers_word() {
    lets_nothing_through_without_a_beat(&plan(&fox().0), false);
    lets_nothing_through_without_a_beat(&plan(&flagship().0), true);
}

/// Every board's enable line comes from the watch, by way of boards; the controller's pins reach no board past it.
#[test]
fn every_line_to_the_boards_passes_the_watch() {
    for plan in [plan(&fox().0), plan(&flagship().0)] {
        let watch = plan.watch.as_ref().unwrap();
        let to_boards = plan.cables.iter().filter(|cable| cable.to.starts_with("board "));
        let conductors: Vec<_> = to_boards.flat_map(|cable| &cable.conductors).collect();
        for pin in plan.controller.pins.iter().map(|pin| pin.pin.as_str()).chain(["5V", "GND"]) {
            assert!(conductors.iter().all(|conductor| conductor.from != pin), "{pin} reaches a board");
        }
        for board in &plan.boards {
            let own = format!("{} enable", board.label);
            let mut at = own.clone();
            for _ in 0..=plan.boards.len() {
                let from = conductors.iter().find(|conductor| conductor.to == at);
                at = from.unwrap_or_else(|| panic!("nothing feeds {at}")).from.clone();
                if at.starts_with("W ") {
                    break;
                }
            }
            let hold = watch.holds.iter().find(|hold| hold.boards.contains(&board.label)).unwrap();
            assert!(
                at.ends_with("enable out") && hold.by.iter().any(|step| step.starts_with(&at)),
                "{own}: {at}"
            );
        }
        let into: Vec<&str> =
            plan.cables.iter().flat_map(|cable| &cable.conductors).map(|c| c.to.as_str()).collect();
        for terminal in ["W beat", "W enable in", "W 5V", "W GND"] {
            assert_eq!(into.iter().filter(|to| **to == terminal).count(), 1, "{terminal}");
        }
        assert!(plan.signal_paths.iter().all(|path| path.by.contains(&"watch W".to_owned())));
        assert!(plan.trials.iter().any(|trial| trial.expected == "every lamp dark within 0.2 s"));
    }
}

/// tW = 0.7 x REXT x CEXT (Nexperia 74HC4538), 150 kohm and 1 uF: 105 ms. Off by 10, 5 and 15 %: 76.3 and 139.5 ms.
#[test]
fn its_pulse_outlasts_the_beat_and_ends_in_time() {
    let plan = plan(&flagship().0);
    let watch = plan.watch.unwrap();
    assert_eq!((watch.resistor_ohm, watch.capacitor_uf, watch.beat_ms), (150_000.0, 1.0, 20.0));
    let near = |ours: f64, theirs: f64| (ours - theirs).abs() < 0.05;
    assert!(near(watch.shortest_ms, 105.0 * 0.9 * 0.95 * 0.85), "{}", watch.shortest_ms);
    assert!(near(watch.longest_ms, 105.0 * 1.1 * 1.05 * 1.15), "{}", watch.longest_ms);
    let note = plan.findings.iter().find(|finding| finding.code == "wire/heartbeat").unwrap();
    assert_eq!(note.severity, Severity::Note);
}

/// The fox with another tick: a beat is two of them.
fn fox_of(tick: &str) -> Plan {
    let rules = include_str!("../../../displays/waving-fox/waving-fox.rules");
    let files = MemoryFiles::default()
        .with("display.toml", include_str!("../../../displays/waving-fox/display.toml"))
        .with("waving-fox.rules", format!("tick {tick}\n{rules}"))
        .with("art/fox.svg", include_str!("../../../displays/waving-fox/art/fox.svg"));
    let (display, faults, _) = display::read(&files);
    assert!(faults.iter().all(|fault| !fault.stops()), "{faults:?}");
    plan(&display.unwrap())
}

#[test]
fn a_beat_that_comes_too_seldom_withholds_program_and_wiring() {
    let slow = fox_of("50 ms");
    let found = slow.findings.iter().find(|finding| finding.code == "wire/beat-too-slow").unwrap();
    assert!(found.verdict.contains("every 100 ms") && found.verdict.contains("76 ms"), "{}", found.verdict);
    assert!(slow.withholds(Sheet::Firmware) && slow.withholds(Sheet::Wiring));
    // A beat of 40 ms asks for 80: 0.7 x 160 kohm x 1 uF is 112 ms, at the least 81.4; the E24 series has 160.
    let slower = fox_of("20 ms");
    assert_eq!(slower.watch.as_ref().unwrap().resistor_ohm, 160_000.0);
    for right in [slower, fox_of("10 ms")] {
        assert!(
            !right.withholds(Sheet::Firmware)
                && right.findings.iter().all(|f| f.code != "wire/beat-too-slow")
        );
    }
}
