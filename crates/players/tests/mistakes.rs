//! Deliberate mistakes of the C generator: the committed vectors must find every one of them.
//!
//! A mistake is made in the C of every vector where its words occur. It has to occur somewhere, and some vector has to show
//! it: on this machine, or, for what only 16 bits show, on the emulated controller.

#![allow(clippy::print_stdout, reason = "the table of mistakes is read when one of them is not found")]

use players::host::Watch;
use players::recording::first_difference;
use players::tools::read;
use players::{chip, host, in_two};
use rules::form::Form;
use rules::step::Start;
use rules::vectors::{TickIn, Vector, record};
use std::path::Path;

/// A mistake: its name, and what it changes in the C of a rule set.
struct Mistake {
    name: &'static str,
    make: fn(&str) -> String,
}

/// Lines that fit are changed.
fn lines(c: &str, fits: impl Fn(&str) -> bool, change: impl Fn(&str) -> String) -> String {
    c.lines().map(|line| if fits(line) { change(line) } else { line.to_owned() } + "\n").collect()
}

/// Swaps two neighbouring lines where both fit.
fn swapped(c: &str, first: impl Fn(&str) -> bool, second: impl Fn(&str) -> bool) -> String {
    let mut lines: Vec<&str> = c.lines().collect();
    let mut at = 0;
    while at + 1 < lines.len() {
        if first(lines[at]) && second(lines[at + 1]) {
            lines.swap(at, at + 1);
            at += 1;
        }
        at += 1;
    }
    lines.iter().map(|line| format!("{line}\n")).collect()
}

fn is_call(line: &str, prefix: &str) -> bool {
    line.trim_start().starts_with(prefix) && line.ends_with("();")
}

fn after_step(c: &str, change: impl Fn(&str) -> String) -> String {
    match c.split_once("void rules_step(") {
        Some((before, step)) => format!("{before}void rules_step({}", change(step)),
        None => c.to_owned(),
    }
}

/// A stored value without what holds it to its range.
fn unheld(line: &str) -> String {
    let within = |line: &str| {
        let (before, after) = line.split_once("hold_wide(")?;
        Some(format!("{before}{};", after.split_once(',')?.0))
    };
    within(line).unwrap_or_else(|| line.to_owned())
}

const MISTAKES: [Mistake; 52] = [
    Mistake {
        name: "foreign values as written so far",
        make: |c| {
            lines(
                c,
                |l| l.contains("if (") && l.contains("then.") && !l.contains("TIMER_DUE"),
                |l| l.replace("then.", "now."),
            )
        },
    },
    Mistake {
        name: "foreign values stored as written so far",
        make: |c| {
            lines(
                c,
                |l| l.contains(" = ") && l.contains("then.") && l.trim_start().starts_with("now."),
                |l| l.replace("then.", "now."),
            )
        },
    },
    Mistake {
        name: "due not taken away by firing",
        make: |c| {
            lines(c, |l| l.ends_with("= TIMER_OFF;") && l.starts_with("            "), |_| String::new())
        },
    },
    Mistake {
        name: "dwell timers not stopped on leaving",
        make: |c| lines(c, |l| l.ends_with("= TIMER_OFF;") && l.starts_with("    now"), |_| String::new()),
    },
    Mistake {
        name: "exit actions left out",
        make: |c| lines(c, |l| is_call(l, "leave_"), |_| String::new()),
    },
    Mistake {
        name: "entry before the actions of the way",
        make: |c| swapped(c, |l| l.starts_with("            now."), |l| is_call(l, "enter_")),
    },
    Mistake {
        name: "actions of the way before exit",
        make: |c| {
            swapped(
                c,
                |l| is_call(l, "            leave_") || is_call(l, "leave_"),
                |l| l.starts_with("            now."),
            )
        },
    },
    Mistake { name: "a timer counts in its own tick", make: |c| c.replace("((ticks) + 1)", "((ticks) + 0)") },
    Mistake {
        name: "timers count after the snapshot",
        make: |c| {
            after_step(c, |step| {
                step.replace("    count_timers();\n    then = now;", "    then = now;\n    count_timers();")
            })
        },
    },
    Mistake {
        name: "a due timer lost after a tick",
        make: |c| c.replace("if ((timer) > TIMER_DUE)", "if ((timer) >= TIMER_DUE)"),
    },
    Mistake {
        name: "`<=` for `<`",
        make: |c| {
            lines(
                c,
                |l| l.trim_start().starts_with("if (") && l.contains(" < "),
                |l| l.replace(" < ", " <= "),
            )
        },
    },
    Mistake {
        name: "`>=` for `>`",
        make: |c| {
            lines(
                c,
                |l| {
                    l.trim_start().starts_with("if (")
                        && l.contains(" > ")
                        && !l.contains("TIMER_DUE")
                        && !l.contains("level > *spot")
                },
                |l| l.replace(" > ", " >= "),
            )
        },
    },
    Mistake {
        name: "operands of a wide operation not cast",
        make: |c| {
            lines(
                c,
                |l| l.contains("(int32_t)now.") || l.contains("(int32_t)then."),
                |l| l.replace("(int32_t)now.", "now.").replace("(int32_t)then.", "then."),
            )
        },
    },
    Mistake {
        name: "stores not held to their range",
        make: |c| {
            c.replace(
                "return value < least ? least : value > most ? most : value;",
                "(void)least;\n    (void)most;\n    return value;",
            )
        },
    },
    Mistake {
        name: "stores held from above only",
        make: |c| c.replace("value < least ? least : value > most", "(void)least, value > most"),
    },
    Mistake {
        name: "picks by remainder",
        make: |c| {
            c.replace(
                "return ((word >> 16) * count + (low >> 16)) >> 16;",
                "(void)low;\n    return word % count;",
            )
        },
    },
    Mistake {
        name: "picks one value short",
        make: |c| {
            c.replace("(uint32_t)(most - least) + 1U);", "(uint32_t)(most - least) + (most == least));")
        },
    },
    Mistake {
        name: "a stream with other shifts",
        make: |c| c.replace("word ^= word >> 17;", "word ^= word >> 15;"),
    },
    Mistake {
        name: "given picks not held to their range",
        make: |c| c.replace("hold_wide(rules_trial.value[site], least, most)", "rules_trial.value[site]"),
    },
    Mistake { name: "messages heard in their own tick", make: |c| c.replace("then.sent.", "now.sent.") },
    Mistake {
        name: "messages never vanish",
        make: |c| c.replace("    memset(&now.sent, 0, sizeof now.sent);\n", ""),
    },
    Mistake {
        name: "simulated presses count as held",
        make: |c| after_step(c, |step| step.replace("held = held_now;", "held = held_now | pressed;")),
    },
    Mistake {
        name: "simulated presses not heard",
        make: |c| c.replace("pressed = pressed_now | now.simulated;", "pressed = pressed_now;"),
    },
    Mistake { name: "simulated presses never vanish", make: |c| c.replace("    now.simulated = 0;\n", "") },
    Mistake {
        name: "a row's index from 0",
        make: |c| lines(c, |l| l.contains("light(&frame"), |l| l.replace(" - 1], ", " - 0], ")),
    },
    Mistake {
        name: "the last light wins, not the brightest",
        make: |c| c.replace("if (level > *spot)", "if (true)"),
    },
    Mistake {
        name: "remainder for quotient",
        make: |c| {
            lines(c, |l| l.trim_start().starts_with("now.") && l.contains(" / "), |l| l.replace(" / ", " % "))
        },
    },
    Mistake {
        name: "kept values not taken",
        make: |c| lines(c, |l| l.contains("hold_wide(start->kept["), |_| String::new()),
    },
    Mistake {
        name: "kept values not held to their range",
        make: |c| lines(c, |l| l.contains("hold_wide(start->kept["), unheld),
    },
    Mistake {
        name: "settings not taken",
        make: |c| lines(c, |l| l.contains("hold_wide(start->setting["), |_| String::new()),
    },
    Mistake {
        name: "settings not held to their range",
        make: |c| lines(c, |l| l.contains("hold_wide(start->setting["), unheld),
    },
    Mistake {
        name: "flashing begins dark",
        make: |c| lines(c, |l| l.contains("write_digits(&"), |l| l.replace(") > ", ") <= ")),
    },
    Mistake {
        name: "flashing digits flash once",
        make: |c| {
            lines(
                c,
                |l| l.contains("COUNT_AGAIN(now"),
                |l| l.split(", ").next().unwrap_or(l).replace("COUNT_AGAIN", "COUNT") + ");",
            )
        },
    },
    Mistake {
        name: "zeros lit while dark",
        make: |c| c.replace("*zeros = lit && with_zeros;", "*zeros = with_zeros;"),
    },
    Mistake {
        name: "the last machine's writing seen, not the first's",
        make: |c| swapped(c, |l| l.starts_with("    write_"), |l| l.starts_with("    write_")),
    },
    Mistake {
        name: "every tie for the first side",
        make: |c| {
            lines(
                c,
                |l| l.contains("favoured = first_tied("),
                |l| l.replace("first_tied(tied, ", "first_tied(tied, 0 * "),
            )
        },
    },
    Mistake {
        name: "turns never change",
        make: |c| lines(c, |l| l.contains("(favoured + 1U) %"), |_| String::new()),
    },
    Mistake {
        name: "turns change without a tie",
        make: |c| c.replace("return (sides & (sides - 1U)) != 0;", "return sides != 0;"),
    },
    Mistake {
        name: "in a tie all ways can go",
        make: |c| {
            c.replace(
                "return favoured == NO_TIE || favoured == side;",
                "(void)favoured, (void)side;\n    return true;",
            )
        },
    },
    Mistake {
        name: "a press lost in a tie stays remembered",
        make: |c| {
            lines(
                c,
                |l| {
                    l.ends_with("= TIMER_OFF;")
                        && l.starts_with("                now")
                        && l.contains("remember_")
                },
                |_| String::new(),
            )
        },
    },
    Mistake {
        name: "remembered presses never used up",
        make: |c| {
            lines(
                c,
                |l| {
                    l.ends_with("= TIMER_OFF;") && l.starts_with("            now") && l.contains("remember_")
                },
                |_| String::new(),
            )
        },
    },
    Mistake {
        name: "remembered presses never forgotten",
        make: |c| c.replace(" else if (is_due(timer)) { (timer) = TIMER_OFF; }", ""),
    },
    Mistake {
        name: "remembered presses one tick short",
        make: |c| {
            c.replace(
                "if (is_pressed) { (timer) = RUNNING(ticks); }",
                "if (is_pressed) { (timer) = (ticks); }",
            )
        },
    },
    Mistake {
        name: "remembered presses not heard",
        make: |c| c.replace("return timer != TIMER_OFF;", "(void)timer;\n    return false;"),
    },
    Mistake {
        name: "a row's last spot left out",
        make: |c| lines(c, |l| l.contains(" spot = 1; spot <= "), |l| l.replace("spot <= ", "spot < ")),
    },
    Mistake {
        name: "values stay in their bag",
        make: |c| c.replace("    *bag &= ~((uint32_t)1 << bit);\n", ""),
    },
    Mistake {
        name: "given draws not looked for in the bag",
        make: |c| c.replace("while ((*bag >> bit & 1U) == 0) {", "while (false) {"),
    },
    Mistake {
        name: "seconds left rounded down",
        make: |c| lines(c, |l| l.contains("write_digits(&"), |l| l.replace("+ 999", "+ 0")),
    },
    Mistake {
        name: "one tick more left than there is",
        make: |c| c.replace("(int32_t)(timer - 1U) : 0", "(int32_t)timer : 0"),
    },
    Mistake {
        name: "sounds never end",
        make: |c| c.replace("    memset(now.playing, 0, sizeof now.playing);\n", ""),
    },
    Mistake {
        name: "sounds not in the frame",
        make: |c| c.replace("    memcpy(frame->sound, now.playing, sizeof frame->sound);\n", ""),
    },
    Mistake {
        name: "digits keep their number where a state writes",
        make: |c| lines(c, |l| l.starts_with("    write_") && l.ends_with("(frame);"), |_| String::new()),
    },
];

/// What came of a mistake.
struct Outcome {
    name: &'static str,
    applies: usize,
    found: Option<String>,
}

fn hunt(mistake: &Mistake, vectors: &[(Vector, String, String)]) -> Outcome {
    let wrong: Vec<_> = vectors
        .iter()
        .map(|(vector, header, source)| (vector, header, source, (mistake.make)(source)))
        .filter(|(_, _, source, wrong)| wrong.trim_end() != source.trim_end())
        .collect();
    let on_host = wrong.iter().find(|(vector, header, _, wrong)| {
        host::play(header, wrong, vector, Watch::Nothing)
            .map_or(true, |got| first_difference(vector, &got).is_some())
    });
    let found = on_host.map(|(vector, ..)| format!("{} on this machine", vector.name)).or_else(|| {
        wrong
            .iter()
            .find(|(vector, header, _, wrong)| {
                chip::play(header, wrong, vector, Watch::Nothing)
                    .map_or(true, |got| first_difference(vector, &got).is_some())
            })
            .map(|(vector, ..)| format!("{} on the emulated controller", vector.name))
    });
    println!("{:45} in {:3} vectors: {}", mistake.name, wrong.len(), found.as_deref().unwrap_or("NOT FOUND"));
    Outcome { name: mistake.name, applies: wrong.len(), found }
}

#[test]
fn every_deliberate_mistake_is_found() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../vectors");
    let mut paths: Vec<_> = std::fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let mut vectors: Vec<(Vector, String, String)> = paths
        .iter()
        .filter(|path| path.extension().is_some_and(|end| end == "json"))
        .map(|path| {
            let vector: Vector = serde_json::from_str(&read(path)).unwrap();
            let (header, source) = firmware::rules_c(&vector.form).unwrap();
            (vector, header, source)
        })
        .collect();
    // A dim light behind a bright one stands in the form at its edges.
    let form: Form = serde_json::from_str(include_str!("written/edges.json")).unwrap();
    let taps: Vec<TickIn> = (0..300_usize)
        .map(|n| TickIn { pressed: if n % 17 == 5 { vec![0] } else { Vec::new() }, ..TickIn::default() })
        .collect();
    let (header, source) = firmware::rules_c(&form).unwrap();
    vectors.push((record("edges", &form, &Start::default(), &taps), header, source));
    let outcomes = in_two(&MISTAKES, |mistake| hunt(mistake, &vectors));
    let mut missed = Vec::new();
    for outcome in &outcomes {
        if outcome.applies == 0 || outcome.found.is_none() {
            missed.push(outcome.name);
        }
    }
    assert!(missed.is_empty(), "no vector shows: {missed:?}");
}
