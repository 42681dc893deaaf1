//! Any text as rules, played by any people: whatever reads without a fault is played without a panic, all values stay within
//! what the form says of them, and the form comes back from JSON. The text ends at the first zero byte; behind it is one byte
//! a tick, over and over, for what people do.
#![no_main]

use libfuzzer_sys::fuzz_target;
use rules::form::Form;
use rules::interface::{DigitsName, FigureName, Interface, SpotName};
use rules::step::{Clock, Input, Outcome, Pick, Start, begin_from, frame, step};
use source::Text;

/// What people do where the input says nothing, or nothing more.
const USUAL: [u8; 11] = [0x01, 0, 0x08, 0x92, 0x70, 0, 0, 0x80, 0xC0, 0x1C, 0];

fuzz_target!(|input: &[u8]| {
    let end = input.iter().position(|byte| *byte == 0).unwrap_or(input.len());
    let Ok(content) = std::str::from_utf8(&input[..end]) else { return };
    let people: Vec<u8> = input[end..].iter().skip(1).chain(&USUAL).copied().collect();
    let (form, faults) = rules::read(&Text::new("fuzz.rules", content), &interface());
    if faults.iter().any(finding::Fault::stops) {
        return;
    }
    let json = serde_json::to_string(&form).expect("a form can be written");
    assert_eq!(serde_json::from_str::<Form>(&json).expect("what was written can be read"), form);
    play(&form, people.iter().copied().cycle());
});

fn play(form: &Form, mut people: impl Iterator<Item = u8>) {
    let mut next = || people.next().unwrap_or_default();
    let mut values = |count: usize| (0..count).map(|_| any(next(), next())).collect::<Vec<_>>();
    let start = Start { kept: values(form.kept().len()), settings: values(form.settings.len()) };
    let mut outcome = begin_from(form, &start, &[]);
    hold(form, &outcome);
    for _ in 0..200 {
        let byte = next();
        let flags =
            |from: usize| (0..form.buttons.len()).map(|b| u32::from(byte) >> (from + b) & 1 != 0).collect();
        let mut picks = Vec::new();
        if byte & 0x80 != 0 && form.pick_sites > 0 {
            let site = u32::from(next()) % form.pick_sites;
            picks.extend(any(next(), next()).map(|value| Pick { site, value }));
        }
        outcome = step(form, &outcome.situation, &Input { pressed: flags(0), held: flags(2), picks });
        hold(form, &outcome);
    }
}

/// A value, now and then none, now and then out of every range.
fn any(byte: u8, other: u8) -> Option<i32> {
    match byte {
        0..64 => None,
        64..224 => Some(i32::from(byte) - 100),
        224..240 => Some(i32::from(other) << (byte & 15)),
        _ => Some(-(i32::from(other) << (byte & 15))),
    }
}

/// Everything is within what the form says of it.
fn hold(form: &Form, Outcome { situation, picked }: &Outcome) {
    for (machine, being) in form.machines.iter().zip(&situation.machines) {
        assert!(being.state < machine.states.len());
        for (number, value) in machine.numbers.iter().zip(&being.numbers) {
            assert!(
                (number.min..=number.max).contains(value),
                "{} of {}: {value}",
                number.name,
                machine.name
            );
        }
        for (timer, clock) in machine.timers.iter().zip(&being.timers) {
            if let Clock::Running(left) = clock {
                assert!((1..=timer.max).contains(left), "{} of {}: {left}", timer.name, machine.name);
            }
        }
    }
    for (setting, value) in form.settings.iter().zip(&situation.settings) {
        assert!((setting.min..=setting.max).contains(value), "{}: {value}", setting.name);
    }
    for (k, pick) in picked.iter().enumerate() {
        assert!(pick.site < form.pick_sites);
        assert!(picked[..k].iter().all(|before| before.site != pick.site), "place {} picks twice", pick.site);
    }
    for (digits, shown) in form.digits.iter().zip(frame(form, situation).digits) {
        if let Some(number) = shown {
            assert!((0..10_i64.pow(digits.count)).contains(&number.into()), "{}: {number}", digits.name);
        }
    }
}

/// As in the tests of random rules, whose texts are the seeds.
fn interface() -> Interface {
    let poses = |name: &str| {
        let front = if name == "fox" { "fox-" } else { "" };
        FigureName { name: name.into(), poses: ["low", "high"].map(|pose| format!("{front}{pose}")).into() }
    };
    let spot = |name: &str, count, dims| SpotName { name: name.into(), count, dims };
    let mut spots = vec![spot("club", 7, true), spot("lamp", 1, false), spot("glow", 1, true)];
    spots.extend(["west", "east", "north"].map(|side| spot(side, 1, false)));
    Interface {
        figures: ["fox", "west", "east", "north"].map(poses).into(),
        buttons: ["west", "east", "north", "start"].map(str::to_owned).into(),
        spots,
        digits: vec![
            DigitsName { name: "rally".into(), count: 2 },
            DigitsName { name: "extra".into(), count: 5 },
        ],
        sounds: ["splash", "ring"].map(str::to_owned).into(),
    }
}
