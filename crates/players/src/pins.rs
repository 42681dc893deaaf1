//! The whole firmware of the waving fox on the emulated controller, by its pins alone: a button in, bits to the registers out.

use crate::host::folder;
use crate::tools::{command, run, write};
use emulated::{Controller, PinChange, SpiByte, cause};
use plan::{LitBy, Plan};
use rules::conditioner::Conditioner;
use rules::form::Form;
use rules::step::{Frame, Input, begin, frame, step};
use source::MemoryFiles;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

const CYCLES_A_MS: u64 = 16_000;
const LATCH: u8 = 2;
const DARK: u8 = 1;

/// The plan and the rules of the waving fox.
///
/// # Panics
/// Where the project's own display cannot be read.
#[allow(clippy::panic, reason = "a test cannot go on without its display")]
#[allow(clippy::disallowed_methods, reason = "tests read the project's own files")]
pub fn fox() -> (Plan, Form) {
    let own = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../displays/waving-fox");
    let mut files = MemoryFiles::default();
    for name in ["display.toml", "parts.toml", "waving-fox.rules", "art/fox.svg"] {
        let bytes = std::fs::read(own.join(name)).unwrap_or_else(|why| panic!("{name}: {why}"));
        files = files.with(name, bytes);
    }
    let (display, faults, _) = display::read(&files);
    let display = display.unwrap_or_else(|| panic!("the fox does not read: {faults:?}"));
    (plan::plan(&display), display.form)
}

/// Compiles a project with its own Makefile, and only the program for the controller unless `checks` are wanted.
///
/// # Panics
/// Where it does not compile.
pub fn build(project: &BTreeMap<String, String>, folder: &Path, checks: bool) -> PathBuf {
    for (name, text) in project {
        write(&folder.join(name), text);
    }
    let wanted: &[&str] = if checks { &["all", "host-check"] } else { &["display.elf"] };
    run(command("make").current_dir(folder).args(wanted));
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
            // The fox has no digits; a channel of one would show as a difference.
            LitBy::Segment { .. } => false,
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
            let since = std::mem::replace(&mut from, edge.cycle);
            let sent = spi.iter().filter(|sent| sent.cycle > since && sent.cycle <= edge.cycle);
            (edge.cycle, sent.map(|sent| sent.byte).collect())
        })
        .collect()
}

/// Port and bit of the fox's button.
fn button(plan: &Plan) -> Option<(char, u8)> {
    let port = &plan.buttons.first()?.port;
    Some((port.chars().nth(1)?, port.get(2..)?.parse().ok()?))
}

/// Whether the scripted person has the button down in a tick: taps, holds, chatter and long waits.
fn down(n: usize) -> bool {
    matches!(n, 20..=28 | 200..=201 | 203 | 205..=240 | 900..=1100 | 2700..=2705)
        || (3000..3400).contains(&n) && n % 37 < 9
}

/// The bytes of every tick of the script, as the referee has them.
fn expected(plan: &Plan, form: &Form, ticks: usize) -> Vec<Vec<u8>> {
    let mut conditioner = Conditioner::new(form.tick_ms);
    conditioner.tick(false);
    let mut now = begin(form, &[]).situation;
    let mut expected = vec![bytes(plan, &frame(form, &now))];
    for n in 1..=ticks {
        let seen = conditioner.tick(down(n));
        let input = Input { pressed: vec![seen.pressed], held: vec![seen.held], picks: Vec::new() };
        now = step(form, &now, &input).situation;
        expected.push(bytes(plan, &frame(form, &now)));
    }
    expected
}

/// Plays the script for so many ticks by the pins.
///
/// # Errors
/// The first thing that is not as the referee and the wiring have it.
pub fn plays_as_planned(program: &Path, plan: &Plan, form: &Form, ticks: usize) -> Result<(), String> {
    let expected = expected(plan, form, ticks);
    let different = expected.windows(2).filter(|pair| pair[0] != pair[1]).count();
    let enough = ticks / 300;
    if form.tick_ms != 10 || different < enough {
        return Err(format!("the script changes the picture only {different} times"));
    }
    let (port, bit) = button(plan).ok_or("the fox has no button")?;
    let mut chip = Controller::load(program).map_err(|why| why.to_string())?;
    chip.set_pin(port, bit, true).map_err(|why| why.to_string())?;
    begins(&mut chip, &expected[0])?;
    pulled_up(&chip, port, bit)?;
    for (n, wanted) in expected.iter().enumerate().skip(1) {
        chip.set_pin(port, bit, !down(n)).map_err(|why| why.to_string())?;
        chip.run_cycles(10 * CYCLES_A_MS).map_err(|why| why.to_string())?;
        let (spi, pins) = chip.take_events();
        let sent = latched(&spi, &pins);
        if sent.len() != 1 || sent[0].1 != *wanted {
            return Err(format!("tick {n}: {sent:?} instead of {wanted:?}"));
        }
        if pins.iter().any(|pin| (pin.port, pin.bit, pin.level) == ('B', DARK, true)) {
            return Err(format!("dark in tick {n}"));
        }
    }
    Ok(())
}

/// The first 5 ms: zeros, then the first frame, and no light before it is whole. Levels are set in the middle of ticks.
fn begins(chip: &mut Controller, first_frame: &[u8]) -> Result<(), String> {
    chip.run_cycles(5 * CYCLES_A_MS).map_err(|why| why.to_string())?;
    let (spi, pins) = chip.take_events();
    let first = latched(&spi, &pins);
    if first.len() != 2 {
        return Err(format!("not zeros and the first frame within 5 ms: {first:?}"));
    }
    if first[0].1.is_empty() || first[0].1.iter().any(|byte| *byte != 0) {
        return Err(format!("not zeros at first: {first:?}"));
    }
    if first[1].1 != first_frame {
        return Err(format!("tick 0: {first:?} instead of {first_frame:?}"));
    }
    // DORD, CPOL and CPHA of SPCR (data sheet, "SPCR - SPI Control Register"). The emulator hands on whole bytes, so that
    // their order of bits and the edge they are taken on can only be seen here. A register takes its bits on rising edges.
    let control = chip.byte(0x4C);
    if control & 0b0010_1100 != 0 {
        return Err(format!("not the highest bit first on rising edges: SPCR is {control:08b}"));
    }
    let dark = |level| move |pin: &&PinChange| (pin.port, pin.bit, pin.level) == ('B', DARK, level);
    if !pins.iter().any(|pin| dark(true)(&pin) && pin.cycle < first[0].0) {
        return Err(format!("not dark while it begins: {pins:?}"));
    }
    if pins.iter().find(dark(false)).is_none_or(|pin| pin.cycle <= first[1].0) {
        return Err(format!("lit before the first whole frame: {pins:?}"));
    }
    Ok(())
}

/// The button's pin is an input that the controller itself pulls up (data sheet, "I/O-Ports": DDxn 0, PORTxn 1).
fn pulled_up(chip: &Controller, port: char, bit: u8) -> Result<(), String> {
    // DDRx and PORTx (data sheet, "Register Summary").
    let (direction, level) = match port {
        'B' => (0x24, 0x25),
        'C' => (0x27, 0x28),
        _ => (0x2A, 0x2B),
    };
    let is = |address: u16| chip.byte(address) & 1 << bit != 0;
    if is(direction) || !is(level) { Err(format!("P{port}{bit} is not pulled up")) } else { Ok(()) }
}

/// Three resets within a minute leave it dark, until its power is cycled. The program may have been given a shorter minute.
///
/// # Errors
/// The first reset after which it is lit and should not be, or the other way round.
pub fn counts_its_resets(program: &Path, plan: &Plan, minute_ms: u64) -> Result<(), String> {
    let (port, bit) = button(plan).ok_or("the fox has no button")?;
    let mut chip = Controller::load(program).map_err(|why| why.to_string())?;
    chip.set_pin(port, bit, true).map_err(|why| why.to_string())?;
    // With a second between resets, three of them are well within a minute, also a short one.
    let resets: [(u8, u64, bool, &str); 8] = [
        (cause::POWER_ON, 500, true, "power came up"),
        (cause::WATCHDOG, 1000, true, "once"),
        (cause::PIN, minute_ms + 1000, true, "two within a minute"),
        (cause::WATCHDOG, 1000, true, "the first two are more than a minute ago"),
        (cause::BROWN_OUT, 1000, true, "again two within a minute"),
        (cause::WATCHDOG, 1000, false, "the third within a minute"),
        (cause::PIN, 500, false, "still dark"),
        (cause::POWER_ON, 500, true, "power was cycled"),
    ];
    for (cause, run_ms, wanted, words) in resets {
        chip.reset(cause);
        chip.run_cycles(run_ms * CYCLES_A_MS).map_err(|why| why.to_string())?;
        // PORTB and DDRB (data sheet, "Register Summary"): an output at low lets the registers show.
        let lit = chip.byte(0x25) & 1 << DARK == 0 && chip.byte(0x24) & 1 << DARK != 0;
        if lit != wanted {
            return Err(format!("{words}: {}", if lit { "lit" } else { "dark" }));
        }
    }
    Ok(())
}

/// Both checks of a project, in a folder of their own.
///
/// # Errors
/// What the first of them that fails has found.
pub fn checked(
    project: &BTreeMap<String, String>,
    plan: &Plan,
    form: &Form,
    (ticks, minute_ms): (usize, u64),
) -> Result<(), String> {
    let folder = folder();
    let program = build(project, folder.path(), false);
    plays_as_planned(&program, plan, form, ticks)?;
    counts_its_resets(&program, plan, minute_ms)
}
