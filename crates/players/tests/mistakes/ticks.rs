//! Mistakes in what a tick does: timers, ways, messages, presses, ties.

use super::changes::{Mistake, after_step, in_functions, is_call, lines, swapped, word};

/// All of them.
pub(crate) const TICKS: &[Mistake] = &[
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
        name: "tick 0 enters no state",
        make: |c| {
            in_functions(c, "void rules_begin", |body| {
                lines(body, |l| is_call(l, "enter_"), |_| String::new())
            })
        },
    },
    Mistake {
        name: "dwell timers run one tick longer",
        make: |c| {
            in_functions(c, "static void enter_", |body| {
                lines(
                    body,
                    |l| l.starts_with("    now") && l.contains(" = RUNNING("),
                    |l| l.replace("RUNNING(", "RUNNING(1 + "),
                )
            })
        },
    },
    Mistake {
        name: "a timer may run for no tick",
        make: |c| lines(c, |l| l.contains("RUNNING(hold"), |l| l.replace(", 1, ", ", 0, ")),
    },
    Mistake {
        name: "a due timer runs",
        make: |c| c.replace("    return timer > TIMER_DUE;", "    return timer >= TIMER_DUE;"),
    },
    Mistake {
        name: "a timer that is off is due",
        make: |c| c.replace("return timer == TIMER_DUE;", "return timer <= TIMER_DUE;"),
    },
    Mistake {
        name: "flashing goes round one tick too soon",
        make: |c| {
            c.replace("== TIMER_DUE) { (timer) = RUNNING(ticks);", "== TIMER_DUE) { (timer) = (ticks);")
        },
    },
    Mistake {
        name: "a state without a way that can go tries the ways of the next",
        make: |c| {
            in_functions(c, "static void step_", |body| {
                body.replace("        break;\n    }\n    case", "    }\n    case")
            })
        },
    },
    Mistake {
        name: "messages heard from their first sender only",
        make: |c| {
            lines(
                c,
                |l| l.contains(" || then.sent."),
                |l| l.split(" || then.sent.").map(|part| part.trim_start_matches(word)).collect(),
            )
        },
    },
    Mistake {
        name: "messages heard from all their senders together only",
        make: |c| c.replace(" || then.sent.", " && then.sent."),
    },
    Mistake {
        name: "buttons that are down count as pressed",
        make: |c| c.replace("pressed = pressed_now |", "pressed = pressed_now | held_now |"),
    },
    Mistake { name: "`held` asks for the edge", make: |c| c.replace("is_in(held, ", "is_in(pressed, ") },
    Mistake {
        name: "a turn goes to the side before",
        make: |c| {
            lines(c, |l| l.contains("(favoured + 1U) %"), |l| l.replace("favoured + 1U", "favoured + 2U"))
        },
    },
    Mistake {
        name: "the side before is next in a tie",
        make: |c| {
            c.replace(
                "from = (uint8_t)((from + 1U) % count);",
                "from = (uint8_t)((from + count - 1U) % count);",
            )
        },
    },
    Mistake {
        name: "a picked side is counted from 0",
        make: |c| {
            lines(
                c,
                |l| l.contains("first_tied(tied, (uint8_t)(pick("),
                |l| l.replace(") - 1)", ") - 0) % 2"),
            )
        },
    },
    Mistake {
        name: "the first side ties with nobody",
        make: |c| {
            lines(c, |l| l.contains("const uint8_t tied"), |l| l.replacen(" ? 1U : 0U", " ? 0U : 0U", 1))
        },
    },
    Mistake {
        name: "another press does not begin anew",
        make: |c| {
            c.replace(
                "if (is_pressed) { (timer) = RUNNING",
                "if ((is_pressed) && (timer) <= TIMER_DUE) { (timer) = RUNNING",
            )
        },
    },
];
