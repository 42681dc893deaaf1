//! Deliberate mistakes in what only a display with digits has. The flagship's pins must show every one of them.

#![allow(clippy::print_stdout, reason = "the table of mistakes is read when one of them is not found")]
#![allow(clippy::unwrap_used, reason = "helpers of tests stand outside the test functions")]

use players::host::folder;
use players::script::{Play, club, people};
use players::{in_two, pins};

/// A mistake: its name, the file, the words replaced and what is put there.
type Mistake = (&'static str, &'static str, &'static str, &'static str);

const MISTAKES: [Mistake; 11] = [
    ("segments from g to a", "wiring.c", "lit_0[0] >> 0 & 1U", "lit_0[0] >> 6 & 1U"),
    ("two digits changed over", "wiring.c", "lit_0[0] >>", "lit_0[1] >>"),
    (
        "blank shows zeros",
        "wiring.c",
        "const bool wanted = !blank && (k == 0 || number > 0 || zeros);",
        "const bool wanted = blank || k == 0 || number > 0 || zeros;",
    ),
    ("zeros in front", "wiring.c", "(k == 0 || number > 0 || zeros)", "(k == 0 || number >= 0 || zeros)"),
    ("zero is dark", "wiring.c", "(k == 0 || number > 0 || zeros)", "(number > 0 || zeros)"),
    ("six without its tail", "wiring.c", "0x7D", "0x7C"),
    ("dimmed the wrong way round", "main.c", "_BV(COM0A1) | _BV(COM0A0) |", "_BV(COM0A1) |"),
    ("dimmed too little", "main.c", "#define DIM_LEVEL 102U", "#define DIM_LEVEL 191U"),
    ("dimmed slowly", "main.c", "TCCR0B = _BV(CS01) | _BV(CS00);", "TCCR0B = _BV(CS02) | _BV(CS00);"),
    ("digits lit from the beginning", "main.c", "    PORTD |= _BV(DIM);\n", ""),
    ("digits never lit", "main.c", "    TCCR0B = _BV(CS01) | _BV(CS00);\n", ""),
];

#[test]
fn every_deliberate_mistake_with_digits_shows_at_the_pins() {
    let (plan, form) = club();
    let right = firmware::project(&plan, &form).unwrap();
    // Practice, in which the rally goes up to above six and comes down again; then a bout that ends, so that the best rally
    // is shown and goes dark between its flashes.
    let scripts = [people(&form, Play::Well, 2400, 7), people(&form, Play::Badly, 6000, 3)];
    let checked = |project: &_| {
        let folder = folder();
        let program = pins::build(project, folder.path(), false);
        scripts.iter().try_for_each(|script| pins::plays_as_planned(&program, &plan, &form, script))
    };
    assert_eq!(checked(&right), Ok(()), "without any mistake");
    let outcomes = in_two(&MISTAKES, |(name, file, from, to)| {
        let mut wrong = right.clone();
        let text = wrong.get_mut(*file).unwrap();
        if !text.contains(from) {
            return (*name, Err("stands nowhere in the C".to_owned()));
        }
        *text = text.replace(from, to);
        (*name, Ok(checked(&wrong)))
    });
    let missed: Vec<_> = outcomes.iter().filter(|(_, outcome)| !matches!(outcome, Ok(Err(_)))).collect();
    println!("{outcomes:#?}");
    assert!(missed.is_empty(), "not shown: {missed:?}");
}
