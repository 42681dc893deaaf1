//! Random small rule sets that are their own mirror image: two machines that exist once a side, and one between them, each of
//! whose lines for the one side stands there for the other, too.

use super::{Dice, interface};
use rules::form::Form;
use source::Text;
use std::fmt::Write;

/// The same for the other side.
fn image(line: &str) -> String {
    line.replace("west", "WEST").replace("east", "west").replace("WEST", "east")
}

fn text(dice: &mut Dice) -> String {
    let mut text = "sides west, east\ntick 50 ms\n".to_owned();
    player(dice, &mut text);
    hub(dice, &mut text);
    for n in 0..4 {
        let (one, other) = (truth(dice), truth(dice));
        let claim = match dice.pick(0, 3) {
            0 => format!("never {one} and {other} and {} and {}", image(&one), image(&other)),
            1 => format!("never {one} and {other} or {} and {}", image(&one), image(&other)),
            2 => format!("always {one} or {other} or {} or {}", image(&other), image(&one)),
            // Of one side alone: no mirror.
            _ => format!("never {one} and {other}"),
        };
        writeln!(text, "claim claim{n} {claim}").unwrap();
    }
    text
}

fn player(dice: &mut Dice, text: &mut String) {
    text.push_str("machine p per side\n  number n 0..2\n  timer t\n");
    if dice.chance(25) {
        writeln!(text, "  remember button for {} ms", dice.ms(3)).unwrap();
    }
    text.push_str("  state s0\n  state s1\n  state s2\n  enter s1 do send hello\n");
    for _ in 0..dice.pick(2, 5) {
        let from = dice.one(&["s0", "s1", "s2", "s0, s2", "any"]);
        let after = format!("after {} ms", dice.ms(5));
        let cue = dice.one(&[
            "on press button",
            "on timer t",
            "on message hello from p.other",
            "on message go from hub",
            &after,
        ]);
        let condition = match dice.pick(0, 5) {
            0 => format!(" if p.other is {}", dice.one(&["s0", "s1", "s2"])),
            1 => format!(" if n {} {}", dice.one(&["=", "<"]), dice.pick(0, 2)),
            2 => format!(" if p.other.n > {}", dice.pick(0, 1)),
            3 => " if held button".to_owned(),
            _ => String::new(),
        };
        let deed = match dice.pick(0, 6) {
            0 => " do n = min(n + 1, 2)".to_owned(),
            1 => " do n = n + 1".to_owned(),
            2 => format!(" do start t for {} ms", dice.ms(4)),
            3 => format!(" do start t for pick 50 ms..{} ms", dice.ms(4)),
            4 => " do n = pick 0..2".to_owned(),
            5 => " do n = 0, press button".to_owned(),
            _ => String::new(),
        };
        let end = dice.one(&["stay", "go s0", "go s1", "go s2"]);
        writeln!(text, "  {from} {cue}{condition}{deed} {end}").unwrap();
    }
    writeln!(text, "  any after {} ms go s0", dice.ms(6)).unwrap();
}

fn hub(dice: &mut Dice, text: &mut String) {
    let ties = dice.one(&["alternately", "at random"]);
    writeln!(
        text,
        "machine hub\n  number west 0..2\n  number east 0..2\n  ties {ties}\n  state calm\n  state west-up\n  state east-up"
    )
    .unwrap();
    let mut lines = Vec::new();
    for _ in 0..dice.pick(1, 3) {
        let from = dice.one(&["calm", "west-up", "east-up"]);
        let cue = dice.one(&[
            "on press west",
            "on message hello from p.west",
            "on press west if west < 2",
            "on message hello if p.west is s1 and p.east is s0",
        ]);
        let deed = dice.one(&[
            " do west = min(west + 1, 2)",
            " do west = 0, east = 0",
            " do send go",
            " do east = west, west = min(east + 1, 2)",
            "",
        ]);
        let end = dice.one(&["stay", "go calm", "go west-up", "go east-up"]);
        lines.push(format!("  {from} {cue}{deed} {end}"));
    }
    let place = usize::try_from(dice.pick(0, i32::try_from(lines.len()).unwrap())).unwrap();
    let end = dice.one(&["calm", "east-up"]);
    lines.insert(place, format!("  west-up after {} ms go {end}", dice.ms(5)));
    let mut images: Vec<String> = lines.iter().map(|line| image(line)).collect();
    // Now and then a line has no image, or they or what they do stand in another order, and the rules are not their own.
    match dice.pick(0, 9) {
        0 => drop(images.pop()),
        1 | 2 => images.rotate_left(1),
        3 => images.iter_mut().for_each(|line| {
            *line =
                line.replace("west = east, east = min(west + 1, 2)", "east = min(west + 1, 2), west = east");
        }),
        _ => {}
    }
    // Line by line, the order is the same for both sides; all of one side first, it often is not.
    let by_line = dice.chance(60);
    for (nth, line) in lines.iter().enumerate() {
        let image = if by_line { images.get(nth).map_or("", String::as_str) } else { "" };
        writeln!(text, "{line}\n{image}").unwrap();
    }
    if !by_line {
        writeln!(text, "{}", images.join("\n")).unwrap();
    }
}

fn truth(dice: &mut Dice) -> String {
    match dice.pick(0, 3) {
        0 => format!("p.west is {}", dice.one(&["s0", "s1", "s2"])),
        1 => format!("p.west.n >= {}", dice.pick(1, 2)),
        2 => format!("hub.west {} {}", dice.one(&["=", ">="]), dice.pick(1, 2)),
        _ => format!("hub is {}", dice.one(&["west-up", "east-up"])),
    }
}

/// Rules that read without a fault.
pub(crate) fn rules(seed: u32) -> (String, Form) {
    let mut dice = Dice(rules::random::seed(seed, "mirrored"));
    loop {
        let text = text(&mut dice);
        let (form, faults) = rules::read(&Text::new("mirrored.rules", text.clone()), &interface());
        if !faults.iter().any(finding::Fault::stops) {
            return (text, form);
        }
    }
}
