//! Random small rule sets, the same for every test that compares answers on them.
#![allow(clippy::unwrap_used, reason = "a test that cannot make its rules must stop")]
#![allow(dead_code, reason = "not every test uses all of it")]

pub(crate) mod mirrored;

use rules::form::Form;
use rules::interface::{DigitsName, FigureName, Interface, SpotName};
use source::Text;
use std::fmt::Write;

pub(crate) struct Dice(pub(crate) u32);

impl Dice {
    pub(crate) fn pick(&mut self, lo: i32, hi: i32) -> i32 {
        self.0 = rules::random::next(self.0);
        rules::random::within(self.0, lo, hi)
    }

    pub(crate) fn one<'a>(&mut self, of: &[&'a str]) -> &'a str {
        of[usize::try_from(self.pick(0, i32::try_from(of.len()).unwrap() - 1)).unwrap()]
    }

    pub(crate) fn chance(&mut self, percent: i32) -> bool {
        self.pick(1, 100) <= percent
    }

    pub(crate) fn ms(&mut self, most: i32) -> i32 {
        50 * self.pick(1, most)
    }
}

pub(crate) fn interface() -> Interface {
    let figure = |name: &str| FigureName {
        name: name.into(),
        poses: vec![format!("{name}-low"), format!("{name}-high")],
    };
    Interface {
        figures: vec![figure("fox"), figure("owl")],
        buttons: ["west", "east"].map(str::to_owned).into(),
        spots: vec![SpotName { name: "lamp".into(), count: 3, dims: true }],
        digits: vec![DigitsName { name: "board".into(), count: 1 }],
        sounds: Vec::new(),
    }
}

const STATES: [&str; 3] = ["s0", "s1", "s2"];

/// A small rule set: two machines of three states, a timer and a number each.
fn text(dice: &mut Dice) -> String {
    let mut text = "sides west, east\ntick 50 ms\n".to_owned();
    for (own, figure) in [("a", "fox"), ("b", "owl")] {
        machine(dice, &mut text, own, figure);
    }
    for n in 0..3 {
        let (what, to, ms) = (truth(dice, false), truth(dice, false), dice.ms(6));
        let claim = match dice.pick(0, 4) {
            0 => format!("never {what} and {to}"),
            1 => format!("always {what} or {to}"),
            2 => format!("when {what} leads to {to} within {ms} ms"),
            3 => format!("on message hello-a leads to {to} within {ms} ms"),
            _ => format!("on press west if {what} leads to {to} within {ms} ms"),
        };
        writeln!(text, "claim claim{n} {claim}").unwrap();
    }
    text
}

fn machine(dice: &mut Dice, text: &mut String, own: &str, figure: &str) {
    let kept = if dice.chance(20) { " kept" } else { "" };
    let shown = if own == "a" && dice.chance(40) { " shown on board" } else { "" };
    writeln!(
        text,
        "machine {own}\n  number n 0..2{shown}{kept}\n  timer t\n  ties {}",
        dice.one(&["west", "alternately", "at random"])
    )
    .unwrap();
    if dice.chance(25) {
        writeln!(text, "  remember west for {} ms", dice.ms(3)).unwrap();
    }
    let bag = dice.chance(20);
    if bag {
        text.push_str("  bag few of 0..2\n");
    }
    for state in STATES {
        let pose = if dice.chance(80) {
            format!(" shows {figure}-{}", dice.one(&["low", "high"]))
        } else {
            String::new()
        };
        let light = if dice.chance(30) { " lights lamp[n + 1]" } else { "" };
        writeln!(text, "  state {state}{pose}{light}").unwrap();
    }
    writeln!(text, "  enter s1 do send hello-{own}").unwrap();
    for _ in 0..dice.pick(2, 6) {
        let from = dice.one(&["s0", "s1", "s2", "s0, s2", "any"]);
        let after = format!("after {} ms", dice.ms(5));
        let cue = dice.one(&[
            "on press west",
            "on press east",
            "on timer t",
            "on message hello-a",
            "on message hello-b",
            "when",
            &after,
            &after,
        ]);
        let condition = if cue == "when" {
            format!(" {}", truth(dice, true))
        } else if dice.chance(40) {
            format!(" if {}", truth(dice, true))
        } else {
            String::new()
        };
        let deeds = if dice.chance(60) { format!(" do {}", deed(dice, bag)) } else { String::new() };
        let end = dice.one(&["stay", "go s0", "go s1", "go s2"]);
        writeln!(text, "  {from} {cue}{condition}{deeds} {end}").unwrap();
    }
    if dice.chance(80) {
        let ms = if dice.chance(20) { 1100 } else { dice.ms(5) };
        writeln!(text, "  any after {ms} ms go s0").unwrap();
    }
}

fn deed(dice: &mut Dice, bag: bool) -> String {
    match dice.pick(0, 8) {
        0 => "n = n + 1".into(),
        1 => "n = min(n + 1, 2)".into(),
        2 => "n = 0".into(),
        3 => format!("start t for {} ms", dice.ms(5)),
        4 => format!("start t for pick 50 ms..{} ms", dice.ms(5)),
        5 => "n = pick 0..2".into(),
        6 => format!("press {}", dice.one(&["west", "east"])),
        7 if bag => "n = draw few".into(),
        7 => "stop t".into(),
        _ => "start t for n + 1".into(),
    }
}

fn truth(dice: &mut Dice, inputs: bool) -> String {
    let (machine, not) = (dice.one(&["a", "b"]), dice.one(&["", "not "]));
    match dice.pick(0, 6) {
        0 if inputs => format!("held {}", dice.one(&["west", "east"])),
        1 if inputs => format!("pressed {}", dice.one(&["west", "east"])),
        2 => format!("{machine}.t is {not}{}", dice.one(&["running", "due", "off"])),
        3 | 4 => format!("{machine}.n {} {}", dice.one(&["=", "!=", "<", ">="]), dice.pick(0, 2)),
        _ => format!("{machine} is {not}{}", dice.one(&STATES)),
    }
}

/// Rules that read without a fault.
pub(crate) fn rules(seed: u32) -> (String, Form) {
    rules_with("0..2", seed)
}

/// The same with numbers of many values, of which few are told apart.
pub(crate) fn rules_of_many_values(seed: u32) -> (String, Form) {
    rules_with("0..9", seed)
}

fn rules_with(range: &str, seed: u32) -> (String, Form) {
    let mut dice = Dice(rules::random::seed(seed, "agreement"));
    loop {
        let text = text(&mut dice).replace("number n 0..2", &format!("number n {range}"));
        let (form, faults) = rules::read(&Text::new("random.rules", text.clone()), &interface());
        if !faults.iter().any(finding::Fault::stops) {
            return (text, form);
        }
    }
}
