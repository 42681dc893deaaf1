//! The whole firmware of the waving fox on the emulated controller, by its pins alone: a button in, bits to the registers out.
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests stand outside the test functions")]
#![allow(clippy::disallowed_methods, reason = "tests read the project's own files")]

use emulated::{Controller, PinChange, SpiByte, cause};
use plan::{LitBy, Plan};
use players::host::folder;
use players::tools::{command, run, write};
use rules::conditioner::Conditioner;
use rules::form::Form;
use rules::step::{Frame, Input, begin, frame, step};
use source::MemoryFiles;
use std::path::{Path, PathBuf};

const CYCLES_A_MS: u64 = 16_000;
const LATCH: u8 = 2;
const DARK: u8 = 1;

fn fox() -> (Plan, Form) {
    let own = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../displays/waving-fox");
    let mut files = MemoryFiles::default();
    for name in ["display.toml", "parts.toml", "waving-fox.rules", "art/fox.svg"] {
        files = files.with(name, std::fs::read(own.join(name)).unwrap());
    }
    let (display, faults, _) = display::read(&files);
    let display = display.unwrap_or_else(|| panic!("the fox does not read: {faults:?}"));
    (plan::plan(&display), display.form)
}

fn build(plan: &Plan, form: &Form, folder: &Path) -> PathBuf {
    for (name, text) in firmware::project(plan, form).unwrap() {
        write(&folder.join(name), &text);
    }
    run(command("make").current_dir(folder).args(["all", "host-check"]));
    folder.join("display.elf")
}

/// The bytes as they go out: the last board first, the highest output first.
fn bytes(plan: &Plan, frame: &Frame) -> Vec<u8> {
    let mut boards: Vec<Vec<u8>> =
        plan.boards.iter().map(|board| vec![0; (board.outputs as usize).div_ceil(8)]).collect();
    for channel in &plan.channels {
        let lit = match &channel.lit_by {
            LitBy::Poses { figure, poses } => frame.poses[*figure].is_some_and(|pose| poses.contains(&pose)),
            LitBy::Spot { spot } => frame.spots[*spot] > 127,
            LitBy::Segment { .. } => panic!("the fox has no digits"),
        };
        let output = channel.output as usize;
        boards[channel.board][output / 8] |= u8::from(lit) << (output % 8);
    }
    boards.into_iter().flatten().rev().collect()
}

/// What was shifted before each rising edge of the latch, with the cycle of the edge.
fn latched(spi: &[SpiByte], pins: &[PinChange]) -> Vec<(u64, Vec<u8>)> {
    let mut from = 0;
    pins.iter()
        .filter(|pin| (pin.port, pin.bit, pin.level) == ('B', LATCH, true))
        .map(|edge| {
            let bytes = spi
                .iter()
                .filter(|sent| sent.cycle > from && sent.cycle <= edge.cycle)
                .map(|sent| sent.byte)
                .collect();
            from = edge.cycle;
            (edge.cycle, bytes)
        })
        .collect()
}

fn button(plan: &Plan) -> (char, u8) {
    let port = &plan.buttons[0].port;
    (port.chars().nth(1).unwrap(), port[2..].parse().unwrap())
}

/// Whether the scripted person has the button down in a tick: taps, holds, chatter and long waits.
fn down(n: usize) -> bool {
    matches!(n, 20..=28 | 200..=201 | 203 | 205..=240 | 900..=1100 | 2700..=2705)
        || (3000..3400).contains(&n) && n % 37 < 9
}

#[test]
fn the_fox_plays_by_its_pins_as_the_referee_says() {
    let (plan, form) = fox();
    assert_eq!(form.tick_ms, 10);
    let folder = folder();
    let mut chip = Controller::load(&build(&plan, &form, folder.path())).unwrap();
    let (port, bit) = button(&plan);
    chip.set_pin(port, bit, true).unwrap();

    let mut conditioner = Conditioner::new(form.tick_ms);
    conditioner.tick(false);
    let mut now = begin(&form, &[]).situation;
    let mut expected = vec![bytes(&plan, &frame(&form, &now))];
    for n in 1..=6000 {
        let seen = conditioner.tick(down(n));
        now = step(
            &form,
            &now,
            &Input { pressed: vec![seen.pressed], held: vec![seen.held], picks: Vec::new() },
        )
        .situation;
        expected.push(bytes(&plan, &frame(&form, &now)));
    }
    let different = expected.windows(2).filter(|pair| pair[0] != pair[1]).count();
    assert!(different > 20, "the script changes the picture only {different} times");

    // The level of tick n is set in the middle between ticks n - 1 and n.
    chip.run_cycles(5 * CYCLES_A_MS).unwrap();
    let (spi, pins) = chip.take_events();
    let first = latched(&spi, &pins);
    assert_eq!(first.len(), 2, "zeros and the first frame within 5 ms: {first:?}");
    assert!(first[0].1.iter().all(|byte| *byte == 0) && !first[0].1.is_empty(), "{first:?}");
    assert_eq!(first[1].1, expected[0], "tick 0");
    let lit = pins
        .iter()
        .find(|pin| (pin.port, pin.bit, pin.level) == ('B', DARK, false) && pin.cycle > first[0].0);
    assert!(lit.is_some_and(|pin| pin.cycle > first[1].0), "lit before the first whole frame: {pins:?}");

    for (n, wanted) in expected.iter().enumerate().skip(1) {
        chip.set_pin(port, bit, !down(n)).unwrap();
        chip.run_cycles(5 * CYCLES_A_MS + CYCLES_A_MS * 5).unwrap();
        let (spi, pins) = chip.take_events();
        let sent = latched(&spi, &pins);
        assert_eq!(sent.iter().map(|(_, bytes)| bytes).collect::<Vec<_>>(), [wanted], "tick {n}");
        assert!(
            !pins.iter().any(|pin| (pin.port, pin.bit, pin.level) == ('B', DARK, true)),
            "dark in tick {n}"
        );
    }
}

/// Three resets within a minute leave it dark, until its power is cycled.
#[test]
fn three_resets_within_a_minute_leave_it_dark() {
    let (plan, form) = fox();
    let folder = folder();
    let mut chip = Controller::load(&build(&plan, &form, folder.path())).unwrap();
    let (port, bit) = button(&plan);
    chip.set_pin(port, bit, true).unwrap();
    let mut lit_after = |cause: u8, run_ms: u64| {
        chip.reset(cause);
        chip.run_cycles(run_ms * CYCLES_A_MS).unwrap();
        // PORTB and DDRB (data sheet, "Register Summary"): an output at low lets the registers show.
        chip.byte(0x25) & 1 << DARK == 0 && chip.byte(0x24) & 1 << DARK != 0
    };
    assert!(lit_after(cause::POWER_ON, 500));
    assert!(lit_after(cause::WATCHDOG, 1000));
    assert!(lit_after(cause::PIN, 61_000), "two within a minute");
    assert!(lit_after(cause::WATCHDOG, 1000), "the first two are more than a minute ago");
    assert!(lit_after(cause::BROWN_OUT, 1000));
    assert!(!lit_after(cause::WATCHDOG, 1000), "the third within a minute");
    assert!(!lit_after(cause::PIN, 500), "still dark");
    assert!(lit_after(cause::POWER_ON, 500), "power was cycled");
}
