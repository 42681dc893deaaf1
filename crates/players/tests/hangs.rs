//! A program that hangs, on the emulated controller with the watch of the plan behind its heartbeat: everything is dark within
//! 200 ms (our threshold), whatever the program's pins say, and whether the watchdog bites or not.

#![allow(clippy::unwrap_used, reason = "helpers of tests stand outside the test functions")]

use emulated::Controller;
use plan::Plan;
use players::host::folder;
use players::pins::{self, CYCLES_A_MS};
use players::script;
use players::watch::Monostable;
use std::collections::BTreeMap;

/// Everything is dark so long after the last beat, at the latest.
const DARK_MS: u64 = 200;
/// The tick in which the program hangs.
const HANGS_AT: &str = "    static uint16_t ticks_so_far;\n        if (++ticks_so_far == 100U) {\n            @HANG@\n        }\n        WORKING(1);\n";

/// Ways to hang: what the loop does, and whether the watchdog is fed meanwhile.
const HANGS: [(&str, &str); 4] = [
    ("an endless loop", "for (;;) { }"),
    ("an endless loop that feeds the watchdog", "for (;;) { wdt_reset(); }"),
    ("shifting that never ends", "SPCR = 0; for (;;) { while ((SPSR & _BV(SPIF)) == 0) { } }"),
    (
        "shifting without a heartbeat",
        "static uint8_t all[WIRING_BYTES]; for (;;) { send(all); wdt_reset(); }",
    ),
];

fn hanging(right: &BTreeMap<String, String>, hang: &str) -> BTreeMap<String, String> {
    let mut wrong = right.clone();
    let main = wrong.get_mut("main.c").unwrap();
    assert!(main.contains("        WORKING(1);\n"));
    *main = main.replacen("        WORKING(1);\n", &HANGS_AT.replace("@HANG@", hang), 1);
    wrong
}

/// The last beat before the hang, and whether the boards are held on between `DARK_MS` after it and the watchdog's bite.
fn lit_after(chip: &mut Controller, plan: &Plan) -> bool {
    let watch = plan.watch.as_ref().unwrap();
    let (mut longest, mut shortest) = (Monostable::new(watch.longest_ms), Monostable::new(watch.shortest_ms));
    let mut last_beat = 0;
    let mut lit_before = 0;
    for _ in 0..1600 {
        chip.run_cycles(CYCLES_A_MS).unwrap();
        let (_, pins) = chip.take_events();
        let mut beats = pins.iter().filter(|pin| (pin.port, pin.bit) == ('B', 0)).map(|pin| pin.cycle);
        let let_go = shortest.take(&pins);
        longest.take(&pins);
        last_beat = beats.next_back().unwrap_or(last_beat);
        let quiet = chip.cycle() - last_beat;
        if last_beat > 0 && quiet < 15 * CYCLES_A_MS {
            assert!(let_go.is_empty(), "the watch let go while the program beat");
            lit_before += u32::from(pins::is_lit(chip) && shortest.holds(chip.cycle()));
        }
        if last_beat > 0 && quiet >= DARK_MS * CYCLES_A_MS {
            assert!(lit_before > 500, "it never played: lit for {lit_before} ms");
            return pins::is_lit(chip) && longest.holds(chip.cycle());
        }
    }
    // It went on beating.
    assert!(lit_before > 500);
    true
}

fn program_lit_after(project: &BTreeMap<String, String>, plan: &Plan) -> bool {
    let folder = folder();
    let program = pins::build(project, folder.path(), false);
    let mut chip = pins::powered(&program, plan).unwrap();
    lit_after(&mut chip, plan)
}

#[test]
fn whatever_hangs_is_dark_within_a_fifth_of_a_second() {
    for (plan, form) in [script::fox(), script::club()] {
        let right = firmware::project(&plan, &form).unwrap();
        for (name, hang) in HANGS {
            assert!(!program_lit_after(&hanging(&right, hang), &plan), "{}: {name}", plan.title);
        }
        assert!(program_lit_after(&right, &plan), "{}: the program that does not hang", plan.title);
    }
}

/// Only what beats in its endless loop stays lit, so that the check above can fail.
#[test]
fn a_loop_that_beats_would_be_found() {
    let (plan, form) = script::fox();
    let right = firmware::project(&plan, &form).unwrap();
    let beats = "for (;;) { wait_for_tick(); wdt_reset(); PORTB ^= _BV(BEAT); }";
    assert!(program_lit_after(&hanging(&right, beats), &plan));
}

/// Held in reset no pin is driven: no beat rises, so that the longest pulse runs out.
#[test]
fn a_controller_held_in_reset_is_dark() {
    let (plan, form) = script::fox();
    let folder = folder();
    let program = pins::build(&firmware::project(&plan, &form).unwrap(), folder.path(), false);
    let mut chip = pins::powered(&program, &plan).unwrap();
    let mut watch = Monostable::new(plan.watch.as_ref().unwrap().longest_ms);
    chip.run_cycles(500 * CYCLES_A_MS).unwrap();
    watch.take(&chip.take_events().1);
    let reset_at = chip.cycle();
    assert!(watch.holds(reset_at));
    assert!(!watch.holds(reset_at + DARK_MS * CYCLES_A_MS));
}
