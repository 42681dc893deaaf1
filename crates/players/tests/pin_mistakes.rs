//! Deliberate mistakes around the rules: wiring, buttons and the main program. The fox's pins must show every one of them.

#![allow(clippy::print_stdout, reason = "the table of mistakes is read when one of them is not found")]
#![allow(clippy::unwrap_used, reason = "helpers of tests stand outside the test functions")]

use players::{in_two, pins, script};

/// Ticks of the script that a mistake may take to show; they hold a tap, chatter and a hold.
const TICKS: usize = 400;
/// The minute that resets are counted in, shortened for these trials.
const MINUTE: (&str, &str, u64) = ("#define TICKS_A_MINUTE 6000U", "#define TICKS_A_MINUTE 500U", 5000);

/// A mistake: its name, the file, the words replaced and what is put there.
type Mistake = (&'static str, &'static str, &'static str, &'static str);

const MISTAKES: [Mistake; 26] = [
    ("bits in the other order", "main.c", "_BV(MSTR) | _BV(SPR0)", "_BV(MSTR) | _BV(SPR0) | _BV(DORD)"),
    (
        "latch before the shift",
        "main.c",
        "    for (uint8_t k = WIRING_BYTES; k > 0; k--) {\n        SPDR = bits[k - 1];\n        while ((SPSR & _BV(SPIF)) == 0) {\n        }\n    }\n    PORTB |= _BV(LATCH);\n    PORTB &= (uint8_t)~_BV(LATCH);\n",
        "    PORTB |= _BV(LATCH);\n    PORTB &= (uint8_t)~_BV(LATCH);\n    for (uint8_t k = WIRING_BYTES; k > 0; k--) {\n        SPDR = bits[k - 1];\n        while ((SPSR & _BV(SPIF)) == 0) {\n        }\n    }\n",
    ),
    ("latch never lowered", "main.c", "    PORTB &= (uint8_t)~_BV(LATCH);\n", ""),
    (
        "last bit still on its way at the latch",
        "main.c",
        "        while ((SPSR & _BV(SPIF)) == 0) {\n        }\n",
        "",
    ),
    ("lamp at another output", "wiring.c", "|= 1U << 3;", "|= 1U << 4;"),
    ("two outputs changed over", "wiring.c", "|= 1U << 1;", "|= 1U << 5;"),
    ("lamp lit when it is dark", "wiring.c", "] > 127", "] < 127"),
    ("lamp never lit", "wiring.c", "] > 127", "] > 127 && false"),
    ("clock the other way round", "main.c", "_BV(MSTR) | _BV(SPR0)", "_BV(MSTR) | _BV(SPR0) | _BV(CPOL)"),
    ("a pose's test turned round", "wiring.c", " == ", " != "),
    (
        "outputs kept from the frame before",
        "wiring.c",
        "    memset(bits, 0, WIRING_BYTES);\n",
        "    if (bits[0] == 0) {\n        memset(bits, 0, WIRING_BYTES);\n    }\n",
    ),
    ("button the wrong way round", "main.c", ")) == 0) {\n        down |=", ")) != 0) {\n        down |="),
    ("no pull-up", "main.c", "    PORTD |= _BV(", "    PORTD &= (uint8_t)~_BV("),
    ("lit from the beginning", "main.c", "    PORTB = _BV(DARK);\n", "    PORTB = 0;\n"),
    ("lit before the first frame", "main.c", "    show();\n    light();\n", "    light();\n    show();\n"),
    ("never lit", "main.c", "    PORTB &= (uint8_t)~_BV(DARK);\n", ""),
    ("no zeros at first", "main.c", "    send(nothing);\n", "    (void)nothing;\n"),
    (
        "a tick one count in a hundred too long",
        "main.c",
        "#define TICK_COUNTS 20000U",
        "#define TICK_COUNTS 20200U",
    ),
    (
        "resets forgotten without power",
        "guard.c",
        "uint8_t starts = read_count();",
        "uint8_t starts = power_came_up ? RESTED : read_count();",
    ),
    ("dark after the second reset", "guard.c", "#define MOST_STARTS 3U", "#define MOST_STARTS 2U"),
    ("resets never counted", "guard.c", "        write_count(starts);\n", ""),
    ("reset count not cleared after a minute", "main.c", "            guard_minute();\n", ""),
    (
        "lit again without anybody",
        "main.c",
        "        wait_for_somebody();\n",
        "        if (is_jumper_closed()) {\n            wait_for_somebody();\n        }\n",
    ),
    ("a forgotten jumper is somebody", "service.c", "} else if (open_for >= SECOND) {", "} else if (true) {"),
    ("beat stands still", "main.c", "    PORTB ^= _BV(BEAT);\n", ""),
    (
        "beat before the frame",
        "main.c",
        "    send(bits);\n    PORTB ^= _BV(BEAT);",
        "    PORTB ^= _BV(BEAT);\n    send(bits);",
    ),
];

#[test]
fn every_deliberate_mistake_shows_at_the_pins() {
    let (plan, form) = script::fox();
    let mut right = firmware::project(&plan, &form).unwrap();
    let main = right.get_mut("main.c").unwrap();
    assert!(main.contains(MINUTE.0));
    *main = main.replace(MINUTE.0, MINUTE.1);
    let script = script::taps(TICKS);
    let within = (&script, MINUTE.2);
    assert_eq!(pins::checked(&right, &plan, &form, within), Ok(()), "without any mistake");
    let outcomes = in_two(&MISTAKES, |(name, file, from, to)| {
        let mut wrong = right.clone();
        let text = wrong.get_mut(*file).unwrap();
        if !text.contains(from) {
            return (*name, Err("stands nowhere in the C".to_owned()));
        }
        *text = text.replace(from, to);
        (*name, Ok(pins::checked(&wrong, &plan, &form, within)))
    });
    for (name, outcome) in &outcomes {
        println!("{name:45} {outcome:?}");
    }
    let missed: Vec<&str> = outcomes
        .iter()
        .filter(|(_, outcome)| !matches!(outcome, Ok(Err(_))))
        .map(|(name, _)| *name)
        .collect();
    assert!(missed.is_empty(), "not shown: {missed:?}");
}
