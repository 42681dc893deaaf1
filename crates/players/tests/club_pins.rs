//! The firmware of the flagship on the emulated controller, by its pins alone.

#![allow(clippy::unwrap_used, reason = "helpers of tests stand outside the test functions")]

use plan::{FieldShare, FlashField, Flashes, Plan};
use players::host::folder;
use players::script::{CLUB, Play, club, display, people};
use players::tools::{command, run};
use players::{pins, script};
use rules::form::Form;
use rules::step::Start;
use std::path::Path;

#[test]
fn the_flagship_plays_by_its_pins_as_the_referee_says() {
    let (plan, form) = club();
    let folder = folder();
    let program = pins::build(&firmware::project(&plan, &form).unwrap(), folder.path(), true);
    let script = people(&form, Play::Well, 8000, 7);
    for (n, tick) in pins::expected(&plan, &form, &script).iter().enumerate() {
        assert_eq!(tick.frame, tick.allowed, "tick {n}: a limit is reached in an ordinary game");
    }
    assert_eq!(pins::plays_as_planned(&program, &plan, &form, &script), Ok(()));
}

#[test]
fn wild_presses_are_held_within_the_limits() {
    let (plan, form) = club();
    let folder = folder();
    let program = pins::build(&firmware::project(&plan, &form).unwrap(), folder.path(), false);
    let script = people(&form, Play::Wildly, 6000, 11);
    assert_eq!(pins::plays_as_planned(&program, &plan, &form, &script), Ok(()));
}

/// Both figures in one field of view: what each may do alone is held back together, and the pins show it.
#[test]
fn figures_close_together_are_held_within_one_limit() {
    let (mut plan, form) = club();
    let share = |figure| FieldShare { of: Flashes::Figure { figure }, share: 1.0 };
    plan.flashing = vec![FlashField { distance_mm: 3000.0, shares: vec![share(0), share(1)] }];
    let folder = folder();
    let program = pins::build(&firmware::project(&plan, &form).unwrap(), folder.path(), true);
    let script = people(&form, Play::Wildly, 3000, 11);
    let apart = pins::expected(&Plan { flashing: Vec::new(), ..plan.clone() }, &form, &script);
    let together = pins::expected(&plan, &form, &script);
    assert!(apart.iter().zip(&together).any(|(one, other)| one.allowed != other.allowed));
    assert_eq!(pins::plays_as_planned(&program, &plan, &form, &script), Ok(()));
}

/// One record as the store lays it out: sequence, value, and the CRC-16 that begins with the layout's number.
fn record(store: &str, sequence: u16, value: i32) -> Vec<u8> {
    let layout = store.lines().find_map(|line| line.strip_prefix("#define LAYOUT ")).unwrap();
    let mut bytes = sequence.to_le_bytes().to_vec();
    bytes.extend(value.to_le_bytes());
    let mut sum: u16 = layout.trim_end_matches('U').parse().unwrap();
    // CRC-16/IBM-3740's polynomial 0x1021, highest bit first (catalogue of parametrised CRC algorithms).
    for byte in &bytes {
        sum ^= u16::from(*byte) << 8;
        for _ in 0..8 {
            sum = if sum & 0x8000 != 0 { sum << 1 ^ 0x1021 } else { sum << 1 };
        }
    }
    bytes.extend(sum.to_le_bytes());
    bytes
}

#[test]
fn the_best_rally_of_last_night_is_there_before_tick_0() {
    let (plan, form) = club();
    let folder = folder();
    let project = firmware::project(&plan, &form).unwrap();
    let program = pins::build(&project, folder.path(), false);
    let script = people(&form, Play::Badly, 6000, 3);
    let kept = |best| Start { kept: vec![Some(best)], settings: Vec::new() };
    let shown = |best| -> Vec<Vec<u8>> {
        let ticks = pins::expected_from(&plan, &form, &script, &kept(best));
        ticks.into_iter().map(|tick| tick.allowed).collect()
    };
    assert!(shown(76) != shown(77), "the script never shows the best rally");
    let mut chip = pins::powered(&program, &plan).unwrap();
    chip.write_eeprom(16 + 8 * 5, &record(&project["store.c"], 12, 76));
    chip.write_eeprom(16 + 8 * 6, &record(&project["store.c"], 13, 77));
    assert_eq!(pins::plays_from(&mut chip, &plan, (&form, &kept(77)), &script), Ok(()));
}

#[test]
fn a_new_best_rally_is_written_once_it_stays() {
    let (plan, form) = club();
    let folder = folder();
    let project = firmware::project(&plan, &form).unwrap();
    let program = pins::build(&project, folder.path(), false);
    let script = people(&form, Play::Well, 3000, 3);
    let mut now = rules::step::begin(&form, &[]).situation;
    let mut chip = pins::powered(&program, &plan).unwrap();
    assert_eq!(pins::plays_from(&mut chip, &plan, (&form, &Start::default()), &script), Ok(()));
    let mut conditioners = [
        rules::conditioner::Conditioner::new(form.tick_ms),
        rules::conditioner::Conditioner::new(form.tick_ms),
    ];
    for (n, down) in script.iter().enumerate() {
        let seen: Vec<_> = conditioners.iter_mut().zip(down).map(|(one, down)| one.tick(*down)).collect();
        if n > 0 {
            let input = rules::step::Input {
                pressed: seen.iter().map(|seen| seen.pressed).collect(),
                held: seen.iter().map(|seen| seen.held).collect(),
                picks: Vec::new(),
            };
            now = rules::step::step(&form, &now, &input).situation;
        }
    }
    let best = rules::step::kept(&form, &now)[0];
    assert!(best > 0);
    let memory = chip.eeprom(16, 1008);
    let last = (0..126).filter_map(|slot| {
        let bytes = &memory[8 * slot..8 * slot + 8];
        let sequence = u16::from_le_bytes([bytes[0], bytes[1]]);
        let value = i32::from_le_bytes([bytes[2], bytes[3], bytes[4], bytes[5]]);
        (record(&project["store.c"], sequence, value) == bytes).then_some((sequence, value))
    });
    assert_eq!(last.max().map(|(_, value)| value), Some(best));
}

/// Bytes of program and of working memory, as `avr-size` counts them.
fn size(program: &Path) -> (u32, u32) {
    let table = run(command("avr-size").arg(program));
    let numbers: Vec<u32> =
        table.lines().nth(1).unwrap().split_whitespace().filter_map(|word| word.parse().ok()).collect();
    (numbers[0] + numbers[1], numbers[1] + numbers[2])
}

/// An ATmega328P has 32 KB of program memory, of which a boot loader takes up to 2 KB (boot section of 1024 words), and
/// 2 KB of working memory (data sheet); 512 bytes of it are left for the stack.
#[test]
fn the_flagship_fits_and_keeps_its_time() {
    let (plan, form) = club();
    // As many fields of view as the plan ever gives, everything in each of them.
    let mut crowded = plan.clone();
    let figures = (0..form.figures.len()).map(|figure| Flashes::Figure { figure });
    let spots = (0..form.spots.len()).map(|spot| Flashes::Spot { spot });
    let all = figures.chain(spots).chain([Flashes::Digits { digits: 0 }]);
    let shares: Vec<FieldShare> = all.map(|of| FieldShare { of, share: 0.25 }).collect();
    crowded.flashing = vec![FlashField { distance_mm: 3000.0, shares }; 12];
    for plan in [plan, crowded] {
        let (flash, memory, most) = measured(&plan, &form);
        println!(
            "{} fields: {flash} bytes of program, {memory} of working memory, {most} cycles in the longest of 1500 ticks",
            plan.flashing.len()
        );
        assert!(flash < 30 * 1024, "{flash} bytes of program");
        assert!(memory <= 2048 - 512, "{memory} bytes of working memory");
        // A tick is 160 000 cycles.
        assert!(most < 80_000, "{most} cycles");
        assert!(most > 1000, "{most} cycles: nothing was measured");
    }
}

/// Bytes of program and of working memory, and cycles of the longest of many ticks in which buttons are pressed wildly.
fn measured(plan: &Plan, form: &Form) -> (u32, u32, u64) {
    let folder = folder();
    for (name, text) in firmware::project(plan, form).unwrap() {
        players::tools::write(&folder.path().join(name), &text);
    }
    run(command("make").current_dir(folder.path()).args(["display.elf", "CC=avr-gcc -DLAMPWRIGHT_TRIAL"]));
    let program = folder.path().join("display.elf");
    let (flash, memory) = size(&program);
    let mut chip = pins::powered(&program, plan).unwrap();
    let script = people(form, Play::Wildly, 1500, 23);
    let mut most = 0;
    // GPIOR0 (data sheet, "Register Summary") is 1 while a tick is worked on.
    for down in &script {
        pins::set(&mut chip, plan, down).unwrap();
        chip.run_until(0x3E, 1, 2_000_000).unwrap();
        let from = chip.cycle();
        chip.run_until(0x3E, 0, 2_000_000).unwrap();
        most = most.max(chip.cycle() - from);
    }
    (flash, memory, most)
}

#[test]
fn a_clock_that_is_divided_leaves_it_dark() {
    let (plan, form) = club();
    let folder = folder();
    let program = pins::build(&firmware::project(&plan, &form).unwrap(), folder.path(), false);
    let mut chip = pins::powered(&program, &plan).unwrap();
    // CLKPR (data sheet, "Register Summary"): 3 divides by eight, as the fuse CKDIV8 has it.
    chip.write_memory(0x61, &[3]);
    chip.run_cycles(500 * pins::CYCLES_A_MS).unwrap();
    assert!(!pins::is_lit(&chip));
    chip.write_memory(0x61, &[0]);
    chip.run_cycles(500 * pins::CYCLES_A_MS).unwrap();
    assert!(pins::is_lit(&chip), "it is the clock that kept it dark");
}

/// With a setting: the jumper seen open for a second and closed for one, a button held for a second shows the next value on the digits.
#[test]
fn settings_are_stepped_behind_the_jumper_only() {
    let (plan, form) = display("club-passing", &CLUB, |name, text| {
        if name.ends_with(".rules") {
            text.replace("sides west, east", "sides west, east\nsetting tempo 1..4 = 3")
        } else {
            text
        }
    });
    let folder = folder();
    let program = pins::build(&firmware::project(&plan, &form).unwrap(), folder.path(), false);
    let mut chip = pins::powered(&program, &plan).unwrap();
    let mut units = |jumper: bool, held: bool, ms: u64| {
        chip.set_pin('C', 0, !jumper).unwrap();
        pins::set(&mut chip, &plan, &[held, false]).unwrap();
        chip.run_cycles(ms * pins::CYCLES_A_MS).unwrap();
        let (spi, pins) = chip.take_events();
        pins::latched(&spi, &pins).last().unwrap().1.clone()
    };
    let lit = |number: i32| {
        let digits = |channel: &plan::Channel| matches!(channel.lit_by, plan::LitBy::Segment { .. });
        let mut frame = rules::step::frame(&form, &rules::step::begin(&form, &[]).situation);
        frame.digits[0] = Some(number);
        let all: Vec<bool> = plan
            .channels
            .iter()
            .zip(script::lit(&plan, &frame))
            .map(|(channel, lit)| lit && digits(channel))
            .collect();
        let mask: Vec<bool> = plan.channels.iter().map(digits).collect();
        (script::bytes(&plan, &all), script::bytes(&plan, &mask))
    };
    let shows = |sent: &[u8], number: i32| {
        let (wanted, mask) = lit(number);
        sent.iter().zip(&mask).zip(&wanted).all(|((sent, mask), wanted)| sent & mask == *wanted)
    };
    units(false, false, 1200);
    assert!(shows(&units(true, false, 1200), 3), "the setting as the rules have it");
    assert!(shows(&units(true, true, 1200), 4), "a step");
    assert!(shows(&units(true, true, 1000), 1), "around");
    units(false, true, 3000);
    assert!(shows(&units(true, false, 1200), 1), "nothing without the jumper");
}
