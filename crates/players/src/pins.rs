//! The whole firmware on the emulated controller, by its pins alone: buttons in, bits to the registers out.

use crate::host::folder;
use crate::limits::Reference;
use crate::script::{Script, bytes};
use crate::tools::{command, run, write};
use crate::watch::Monostable;
use emulated::{Controller, PinChange, SpiByte, cause};
use plan::Plan;
use rules::conditioner::Conditioner;
use rules::form::Form;
use rules::step::{Input, Start, begin_from, frame, step};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Cycles of the controller in a millisecond.
pub const CYCLES_A_MS: u64 = 16_000;
const LATCH: u8 = 2;
const DARK: u8 = 1;
const BEAT: u8 = 0;
/// The digits' own enable, on port D.
const DIM: u8 = 6;
/// The service jumper, on port C.
const JUMPER: u8 = 0;

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

/// What was shifted before each rising edge of the latch, with the cycle of the edge.
pub fn latched(spi: &[SpiByte], pins: &[PinChange]) -> Vec<(u64, Vec<u8>)> {
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

/// Port and bit of every button.
fn buttons(plan: &Plan) -> Vec<(char, u8)> {
    let pin = |port: &str| Some((port.chars().nth(1)?, port.get(2..)?.parse().ok()?));
    plan.buttons.iter().filter_map(|button| pin(&button.port)).collect()
}

/// What the boards get in a tick.
#[derive(Clone, Debug)]
pub struct Expected {
    /// As the rules have it.
    pub frame: Vec<u8>,
    /// Within the limits.
    pub allowed: Vec<u8>,
}

/// The bytes of every tick of a script, as the referee and the limits have them.
pub fn expected(plan: &Plan, form: &Form, script: &Script) -> Vec<Expected> {
    expected_from(plan, form, script, &Start::default())
}

/// The same from kept values and settings.
pub fn expected_from(plan: &Plan, form: &Form, script: &Script, start: &Start) -> Vec<Expected> {
    let mut conditioners = vec![Conditioner::new(form.tick_ms); form.buttons.len()];
    let mut limits = Reference::new(plan, form);
    let mut expected = Vec::new();
    let mut now = begin_from(form, start, &[]).situation;
    for (n, down) in script.iter().enumerate() {
        let seen: Vec<_> =
            conditioners.iter_mut().zip(down).map(|(button, down)| button.tick(*down)).collect();
        if n > 0 {
            let input = Input {
                pressed: seen.iter().map(|seen| seen.pressed).collect(),
                held: seen.iter().map(|seen| seen.held).collect(),
                picks: Vec::new(),
            };
            now = step(form, &now, &input).situation;
        }
        let wanted = crate::script::lit(plan, &frame(form, &now));
        let allowed = limits.tick(&wanted);
        expected.push(Expected { frame: bytes(plan, &wanted), allowed: bytes(plan, &allowed) });
    }
    expected
}

/// Sets all buttons.
///
/// # Errors
/// What the emulator says.
pub fn set(chip: &mut Controller, plan: &Plan, down: &[bool]) -> Result<(), String> {
    for ((port, bit), down) in buttons(plan).into_iter().zip(down) {
        chip.set_pin(port, bit, !down).map_err(|why| why.to_string())?;
    }
    Ok(())
}

/// A controller with all buttons up and the jumper open.
///
/// # Errors
/// What the emulator says.
pub fn powered(program: &Path, plan: &Plan) -> Result<Controller, String> {
    let mut chip = Controller::load(program).map_err(|why| why.to_string())?;
    set(&mut chip, plan, &vec![false; plan.buttons.len()])?;
    chip.set_pin('C', JUMPER, true).map_err(|why| why.to_string())?;
    Ok(chip)
}

/// Plays a script by the pins.
///
/// # Errors
/// The first thing that is not as the referee, the limits and the wiring have it.
pub fn plays_as_planned(program: &Path, plan: &Plan, form: &Form, script: &Script) -> Result<(), String> {
    let mut chip = powered(program, plan)?;
    plays_from(&mut chip, plan, (form, &Start::default()), script)
}

/// The same on a controller that may have been in use before, from what it has kept.
///
/// # Errors
/// As above.
pub fn plays_from(
    chip: &mut Controller,
    plan: &Plan,
    (form, start): (&Form, &Start),
    script: &Script,
) -> Result<(), String> {
    let expected = expected_from(plan, form, script, start);
    let different = expected.windows(2).filter(|pair| pair[0].allowed != pair[1].allowed).count();
    let enough = script.len() / 300;
    if form.tick_ms != 10 || different < enough {
        return Err(format!("the script changes the picture only {different} times"));
    }
    let dims = plan.controller.pins.iter().any(|pin| pin.does.starts_with("digits enable"));
    let mut watch = plan.watch.as_ref().map(|watch| Monostable::new(watch.shortest_ms));
    begins(chip, &expected[0].allowed)?;
    for (port, bit) in buttons(plan) {
        pulled_up(chip, port, bit)?;
    }
    pulled_up(chip, 'C', JUMPER)?;
    for (n, (down, wanted)) in script.iter().zip(&expected).enumerate().skip(1) {
        set(chip, plan, down)?;
        let from = chip.cycle();
        chip.run_cycles(10 * CYCLES_A_MS).map_err(|why| why.to_string())?;
        let (spi, pins) = chip.take_events();
        tick(&spi, &pins, wanted).map_err(|why| format!("tick {n}: {why}"))?;
        if watch.as_mut().is_some_and(|watch| !watch.take(&pins).is_empty()) {
            return Err(format!("tick {n}: the watch let go"));
        }
        if dims {
            dimmed(&pins, from).map_err(|why| format!("tick {n}: {why}"))?;
        }
    }
    Ok(())
}

/// What is seen of one tick.
fn tick(spi: &[SpiByte], pins: &[PinChange], wanted: &Expected) -> Result<(), String> {
    let sent = latched(spi, pins);
    let [(cycle, sent)] = sent.as_slice() else {
        return Err(format!("not one frame: {sent:?}"));
    };
    if *sent != wanted.allowed {
        return Err(format!("{sent:02x?} instead of {:02x?}", wanted.allowed));
    }
    if pins.iter().any(|pin| (pin.port, pin.bit, pin.level) == ('B', DARK, true)) {
        return Err("dark".to_owned());
    }
    let beats: Vec<&PinChange> = pins.iter().filter(|pin| (pin.port, pin.bit) == ('B', BEAT)).collect();
    match beats.as_slice() {
        [beat] if beat.cycle > *cycle => Ok(()),
        _ => Err(format!("not one beat after the frame: {beats:?}")),
    }
}

/// The digits' enable goes low and high faster than 200 times a second, and is low for the planned share of the time.
fn dimmed(pins: &[PinChange], from: u64) -> Result<(), String> {
    let own: Vec<&PinChange> = pins.iter().filter(|pin| (pin.port, pin.bit) == ('D', DIM)).collect();
    if own.len() < 4 {
        return Err(format!("the digits' enable does not go to and fro: {own:?} since {from}"));
    }
    let falls: Vec<usize> = (0..own.len()).filter(|&k| !own[k].level).collect();
    for pair in falls.windows(2) {
        let (low, period) =
            (own[pair[0] + 1].cycle - own[pair[0]].cycle, own[pair[1]].cycle - own[pair[0]].cycle);
        // Timer 0 through 64 in fast mode: 256 counts of 64 cycles (data sheet, "Fast PWM Mode": f / (N x 256)).
        if period.abs_diff(64 * 256) > 64 || 200 * period > 1000 * CYCLES_A_MS {
            return Err(format!("the digits' enable has a period of {period} cycles"));
        }
        let planned = period * u64::from(plan::DIGITS_PERCENT) / 100;
        if low.abs_diff(planned) > 2 * 64 {
            return Err(format!("digits are lit for {low} of {period} cycles"));
        }
    }
    Ok(())
}

/// From power to the middle of the first tick: zeros, then the first frame, and no light before it is whole.
fn begins(chip: &mut Controller, first_frame: &[u8]) -> Result<(), String> {
    let (mut spi, mut pins) = (Vec::new(), Vec::new());
    let fallen =
        |pins: &[PinChange]| pins.iter().any(|pin| (pin.port, pin.bit, pin.level) == ('B', DARK, false));
    for ms in 0.. {
        chip.run_cycles(CYCLES_A_MS).map_err(|why| why.to_string())?;
        let (more_spi, more_pins) = chip.take_events();
        spi.extend(more_spi);
        pins.extend(more_pins);
        // Before tick 0 the kept values are read; that may take a while.
        if fallen(&pins) && latched(&spi, &pins).len() > 1 || ms > 100 {
            break;
        }
    }
    chip.run_cycles(4 * CYCLES_A_MS).map_err(|why| why.to_string())?;
    chip.take_events();
    let first = latched(&spi, &pins);
    if first.len() != 2 {
        return Err(format!("not zeros and the first frame: {first:?}"));
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
    let digits = |pin: &&PinChange| (pin.port, pin.bit, pin.level) == ('D', DIM, false);
    if pins.iter().filter(digits).any(|pin| pin.cycle <= first[1].0) {
        return Err(format!("digits lit before the first whole frame: {pins:?}"));
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

/// Whether the registers' common enable lets them show: PORTB and DDRB (data sheet, "Register Summary").
pub fn is_lit(chip: &Controller) -> bool {
    chip.byte(0x25) & 1 << DARK == 0 && chip.byte(0x24) & 1 << DARK != 0
}

/// A start after which it runs for a while, and whether it is lit then.
fn start(chip: &mut Controller, (cause, run_ms, wanted, words): (u8, u64, bool, &str)) -> Result<(), String> {
    if cause & cause::POWER_ON != 0 {
        // Without power the working memory forgets: 2 KB from 0x100 (data sheet, "SRAM Data Memory").
        chip.write_memory(0x100, &[0xA5; 2048]);
    }
    chip.reset(cause);
    chip.take_events();
    chip.run_cycles(run_ms * CYCLES_A_MS).map_err(|why| why.to_string())?;
    let beats = chip.take_events().1.iter().filter(|pin| (pin.port, pin.bit) == ('B', BEAT)).count();
    let lit = is_lit(chip);
    if lit != wanted {
        return Err(format!("{words}: {}", if lit { "lit" } else { "dark" }));
    }
    // Dark means no beat either, so that the boards themselves go dark.
    if lit == (beats < 10) { Err(format!("{words}: {beats} beats")) } else { Ok(()) }
}

/// Three resets within a minute leave it dark, also when the supply is what fails, until somebody closes the jumper. The
/// program may have been given a shorter minute.
///
/// # Errors
/// The first reset after which it is lit and should not be, or the other way round.
pub fn counts_its_resets(program: &Path, plan: &Plan, minute_ms: u64) -> Result<(), String> {
    let mut chip = powered(program, plan)?;
    let jumper = |chip: &mut Controller, closed: bool, ms: u64| {
        chip.set_pin('C', JUMPER, !closed).map_err(|why| why.to_string())?;
        chip.run_cycles(ms * CYCLES_A_MS).map_err(|why| why.to_string())
    };
    // With a second between resets, three of them are well within a minute, also a short one.
    for one in [
        (cause::POWER_ON, 500, true, "power came up"),
        (cause::WATCHDOG, 1000, true, "once"),
        (cause::PIN, minute_ms + 1000, true, "two within a minute"),
        (cause::WATCHDOG, 1000, true, "the first two are more than a minute ago"),
        (cause::BROWN_OUT, 1000, true, "again two within a minute"),
        (cause::WATCHDOG, 1000, false, "the third within a minute"),
        (cause::PIN, minute_ms + 1000, false, "still dark, for longer than a minute"),
        (cause::POWER_ON, 500, false, "power was cycled, nobody came"),
    ] {
        start(&mut chip, one)?;
    }
    // A jumper that was forgotten is nobody: it must be seen open first.
    chip.set_pin('C', JUMPER, false).map_err(|why| why.to_string())?;
    start(&mut chip, (cause::POWER_ON, 3000, false, "the jumper was there before"))?;
    jumper(&mut chip, false, 1500)?;
    jumper(&mut chip, true, 1500)?;
    if !is_lit(&chip) {
        return Err("dark after somebody came".to_owned());
    }
    jumper(&mut chip, false, minute_ms + 1000)?;
    for one in [
        (cause::POWER_ON, 500, true, "an ordinary evening"),
        (cause::POWER_ON, 500, true, "the supply fails"),
        (cause::POWER_ON | cause::BROWN_OUT, 500, true, "the supply fails again"),
        (cause::POWER_ON, 500, false, "a failing supply cannot strobe"),
    ] {
        start(&mut chip, one)?;
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
    (script, minute_ms): (&Script, u64),
) -> Result<(), String> {
    let folder = folder();
    let program = build(project, folder.path(), false);
    plays_as_planned(&program, plan, form, script)?;
    counts_its_resets(&program, plan, minute_ms)
}
