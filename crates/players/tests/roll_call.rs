//! The roll call behind the service jumper, on the emulated controller, by its pins alone.

#![allow(clippy::print_stdout, reason = "the table of mistakes is read when one of them is not found")]
#![allow(clippy::unwrap_used, reason = "helpers of tests stand outside the test functions")]

use plan::Plan;
use players::host::folder;
use players::limits::{MOST_CHANGES, Reference};
use players::roll::{Bench, called_as_the_sheet_says};
use players::script::{Play, bytes, club, display, fox, people, taps};
use players::{in_two, pins};
use rules::form::Form;
use rules::step::Start;
use std::collections::BTreeMap;

fn checked(project: &BTreeMap<String, String>, plan: &Plan, form: &Form) -> Result<(), String> {
    let folder = folder();
    called_as_the_sheet_says(&pins::build(project, folder.path(), false), plan, form)
}

#[test]
fn the_foxs_roll_is_called_one_after_the_other() {
    let (plan, form) = fox();
    assert_eq!(plan.buttons.len(), 1);
    assert_eq!(checked(&firmware::project(&plan, &form).unwrap(), &plan, &form), Ok(()));
}

/// Two buttons, digits, lamps of buttons, and mains strands whose relays rest.
#[test]
fn the_flagships_roll_is_called_one_after_the_other() {
    let (plan, form) = club();
    assert_eq!(plan.buttons.len(), 2);
    assert_eq!(checked(&firmware::project(&plan, &form).unwrap(), &plan, &form), Ok(()));
}

/// A jumper that was there when the power came up is not somebody at the controller: the game is played as ever.
#[test]
fn a_forgotten_jumper_does_nothing() {
    let (plan, form) = fox();
    let folder = folder();
    let program = pins::build(&firmware::project(&plan, &form).unwrap(), folder.path(), false);
    let mut bench = Bench::begin(&program, &plan).unwrap();
    bench.jumper(true).unwrap();
    let script = taps(1200);
    assert_eq!(pins::plays_from(&mut bench.chip, &plan, (&form, &Start::default()), &script), Ok(()));
}

/// Pressed as fast as can be: one output at most, and no figure more often than three flashes in any second.
#[test]
fn a_hurried_roll_call_is_held_within_the_limits() {
    let (plan, form) = club();
    let folder = folder();
    let program = pins::build(&firmware::project(&plan, &form).unwrap(), folder.path(), false);
    let mut bench = Bench::begin(&program, &plan).unwrap();
    bench.arm(None).unwrap();
    let mut sent = Vec::new();
    for _ in 0..30 {
        bench.hold(Some(0)).unwrap();
        sent.extend(bench.frames(50).unwrap());
        bench.hold(None).unwrap();
        sent.extend(bench.frames(50).unwrap());
    }
    let lit = |sent: &Vec<u8>| sent.iter().map(|byte| byte.count_ones()).sum::<u32>();
    assert!(sent.iter().all(|sent| lit(sent) <= 1), "more than one output is lit");
    assert!(sent.iter().any(|sent| lit(sent) == 1), "nothing was called");
    for group in &Reference::new(&plan, &form).groups {
        let own: Vec<bool> = (0..plan.channels.len()).map(|k| group.channels.contains(&k)).collect();
        let mask = bytes(&plan, &own);
        let seen =
            |sent: &Vec<u8>| -> Vec<u8> { sent.iter().zip(&mask).map(|(sent, own)| sent & own).collect() };
        let changes: Vec<usize> = (1..sent.len()).filter(|&n| seen(&sent[n]) != seen(&sent[n - 1])).collect();
        for from in &changes {
            let within = changes.iter().filter(|n| (*from..from + 100).contains(n)).count();
            assert!(within <= MOST_CHANGES, "{:?} changes {within} times in a second", group.of);
        }
    }
}

/// A supply that gives less than all its lights would take: all together is as much as it gives.
#[test]
fn all_together_takes_no_more_than_the_supply_gives() {
    let (mut plan, form) = club();
    let low: Vec<usize> = (0..plan.channels.len()).filter(|&k| plan.channels[k].outlet.is_none()).collect();
    let amperes = |lit: &[usize]| lit.iter().map(|&k| plan.channels[k].current_a).sum::<f64>();
    let gives = amperes(&low) * 0.6;
    plan.supply.rated_a = plan.supply.needed_a - amperes(&low) + gives;
    let folder = folder();
    let program = pins::build(&firmware::project(&plan, &form).unwrap(), folder.path(), false);
    let mut bench = Bench::begin(&program, &plan).unwrap();
    bench.arm(None).unwrap();
    bench.hold(Some(1)).unwrap();
    let sent = bench.frames(3000).unwrap();
    let sent = sent.last().unwrap();
    let is_lit = |k: &usize| {
        let only: Vec<bool> = (0..plan.channels.len()).map(|other| other == *k).collect();
        bytes(&plan, &only).iter().zip(sent).any(|(own, sent)| own & sent != 0)
    };
    let lit: Vec<usize> = low.iter().copied().filter(is_lit).collect();
    assert!(amperes(&lit) <= gives + 0.001 * lit.len() as f64, "{} A of {gives} A", amperes(&lit));
    assert!(amperes(&lit) > gives * 0.5, "hardly anything is lit");
}

/// What a game has kept is not lost by a roll call: the best rally so far stands when the game begins anew.
#[test]
fn the_game_that_begins_anew_remembers() {
    let (plan, form) = club();
    let folder = folder();
    let program = pins::build(&firmware::project(&plan, &form).unwrap(), folder.path(), false);
    let mut bench = Bench::begin(&program, &plan).unwrap();
    let script = people(&form, Play::Well, 1500, 3);
    pins::plays_from(&mut bench.chip, &plan, (&form, &Start::default()), &script).unwrap();
    bench.arm(None).unwrap();
    // Long enough in the roll call that what stays has been written: the game itself stands still.
    bench.frames(6000).unwrap();
    let record = |chip: &emulated::Controller| {
        let memory = chip.eeprom(16, 1008);
        let slots = memory.chunks_exact(8).filter(|slot| slot[..2] != [0xFF, 0xFF]);
        slots.max_by_key(|slot| u16::from_le_bytes([slot[0], slot[1]])).map(|slot| slot[2..6].to_vec())
    };
    let best = record(&bench.chip).unwrap();
    let best = i32::from_le_bytes([best[0], best[1], best[2], best[3]]);
    assert!(best > 0, "nothing was kept");
    let start = Start { kept: vec![Some(best)], settings: Vec::new() };
    assert_eq!(bench.leaves(&form, &start, None), Ok(()));
    bench.frames(6000).unwrap();
    assert_eq!(record(&bench.chip).unwrap(), best.to_le_bytes().to_vec());
}

/// The fox with two settings and its one button: held for a second and let go, a step; held for two, the next setting; after
/// the last one the roll call.
#[test]
fn one_button_reaches_every_setting_and_then_the_roll_call() {
    let files = ["display.toml", "parts.toml", "waving-fox.rules", "art/fox.svg"];
    let (plan, form) = display("waving-fox", &files, |name, text| {
        let with = "setting tempo 1..4 = 3\nsetting pause 1..9 = 5\n\nmachine fox";
        if name.ends_with(".rules") { text.replacen("machine fox", with, 1) } else { text }
    });
    assert_eq!((plan.buttons.len(), form.settings.len(), form.kept().len()), (1, 2, 0));
    let folder = folder();
    let program = pins::build(&firmware::project(&plan, &form).unwrap(), folder.path(), true);
    let mut bench = Bench::begin(&program, &plan).unwrap();
    bench.frames(1500).unwrap();
    bench.jumper(true).unwrap();
    bench.frames(1500).unwrap();
    let mut hold = |ms: u64| {
        bench.hold(Some(0)).unwrap();
        let sent = bench.frames(ms).unwrap();
        bench.hold(None).unwrap();
        bench.frames(300).unwrap();
        sent
    };
    hold(500); // too short for anything
    hold(1300); // tempo 4
    hold(3500); // to the pause, once, however long
    hold(1300); // pause 6
    hold(1300); // pause 7
    bench.frames(6000).unwrap();
    // Sequence, two values, sum: twelve bytes a record, from byte 16 on.
    let memory = bench.chip.eeprom(16, 1008);
    let records = memory.chunks_exact(12).filter(|slot| slot[..2] != [0xFF, 0xFF]);
    let newest = records.max_by_key(|slot| u16::from_le_bytes([slot[0], slot[1]])).unwrap();
    let value = |at: usize| i32::from_le_bytes([newest[at], newest[at + 1], newest[at + 2], newest[at + 3]]);
    assert_eq!((value(2), value(6)), (4, 7));
    // Past the last one.
    bench.hold(Some(0)).unwrap();
    bench.frames(3500).unwrap();
    bench.is_dark("held since before the roll call", 300).unwrap();
    bench.hold(None).unwrap();
    bench.frames(300).unwrap();
    assert_eq!(bench.calls(0, (&plan.channels[0].label, &[0])), Ok(()));
    bench.frames(1500).unwrap();
    let start = Start { kept: Vec::new(), settings: vec![Some(4), Some(7)] };
    assert_eq!(bench.leaves(&form, &start, None), Ok(()));
}

/// A mistake: its name, the file, the words replaced and what is put there.
type Mistake = (&'static str, &'static str, &'static str, &'static str);

/// Shown by a display with one button.
const MISTAKES: [Mistake; 11] = [
    ("lit without anybody who holds", "service.c", "|| held == 0) {", "|| held == 255U) {"),
    ("lit once the jumper is out", "service.c", "if (!armed || !begun ||", "if (!begun ||"),
    ("never on to the next", "service.c", "at != CALLED ? at + 1U : 0U", "at != CALLED ? at : 0U"),
    ("two at once", "service.c", "at == k || at == CALLED", "at == k || at == k + 1 || at == CALLED"),
    ("never all together", "service.c", "at == k || at == CALLED", "at == k"),
    ("another order", "service.c", "1U << output % 8U", "1U << (7U - output % 8U)"),
    ("armed at once", "service.c", "armed = closed_for >= SECOND", "armed = closed_for >= 1U"),
    ("what was held before counts", "service.c", "!armed || !begun ||", "!armed ||"),
    (
        "the game goes on where it was",
        "main.c",
        "#else\n    rules_begin();\n#endif\n    buttons_begin();",
        "#endif\n    buttons_begin();",
    ),
    (
        "the game plays on meanwhile",
        "main.c",
        "        call(held);\n",
        "        call(held);\n        rules_step(pressed, held);\n        show();\n",
    ),
    (
        "a beat stays out",
        "main.c",
        "static void call(rules_buttons held)\n{\n",
        "static void call(rules_buttons held)\n{\n    return;\n",
    ),
];

#[test]
fn every_deliberate_mistake_of_the_roll_call_shows() {
    let (plan, form) = fox();
    let right = firmware::project(&plan, &form).unwrap();
    let outcomes = in_two(&MISTAKES, |(name, file, from, to)| {
        let mut wrong = right.clone();
        let text = wrong.get_mut(*file).unwrap();
        if !text.contains(from) {
            return (*name, Err("stands nowhere in the C".to_owned()));
        }
        *text = text.replacen(from, to, 1);
        (*name, Ok(checked(&wrong, &plan, &form)))
    });
    let missed: Vec<_> = outcomes.iter().filter(|(_, outcome)| !matches!(outcome, Ok(Err(_)))).collect();
    println!("{outcomes:#?}");
    assert!(missed.is_empty(), "not shown: {missed:?}");
}
