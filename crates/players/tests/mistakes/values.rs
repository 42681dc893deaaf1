//! Mistakes in what values come to, and in what is shown.

use super::changes::{Mistake, asks, in_functions, lines, swapped, unheld};

/// All of them.
pub(crate) const VALUES: &[Mistake] = &[
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
        name: "zeros lit while dark",
        make: |c| c.replace("*zeros = lit && with_zeros;", "*zeros = with_zeros;"),
    },
    Mistake {
        name: "the last machine's writing seen, not the first's",
        make: |c| swapped(c, |l| l.starts_with("    write_"), |l| l.starts_with("    write_")),
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
    Mistake {
        name: "numbers not shown on digits",
        make: |c| lines(c, |l| l.starts_with("    frame->number[") && l.contains("now."), |_| String::new()),
    },
    Mistake {
        name: "poses not shown",
        make: |c| lines(c, |l| l.starts_with("        frame->pose["), |_| String::new()),
    },
    Mistake {
        name: "lights on whether or not they may be",
        make: |c| {
            in_functions(c, "static void show_", |body| {
                lines(body, |l| l.trim_start().starts_with("if ("), |l| l.replacen("if (", "if (true || ", 1))
            })
        },
    },
    Mistake {
        name: "a state lights what the next one lights, too",
        make: |c| {
            in_functions(c, "static void show_", |body| {
                lines(body, |l| l.starts_with("        break;"), |_| String::new())
            })
        },
    },
    Mistake {
        name: "levels not held to their range",
        make: |c| lines(c, |l| l.contains("(uint8_t)hold"), |l| l.replace(", 0, 255)", ", -32767, 32767)")),
    },
    Mistake {
        name: "a row's index not held to its ends",
        make: |c| {
            lines(
                c,
                |l| l.contains("light(&frame") && l.contains("+ hold"),
                |l| {
                    l.replacen("+ hold(", "+ (", 1)
                        .replacen("+ hold_wide(", "+ (", 1)
                        .replacen(", 1, ", " + 0 * ", 1)
                },
            )
        },
    },
    Mistake {
        name: "flashing dark one tick less",
        make: |c| lines(c, |l| l.contains("write_digits(&"), |l| l.replace(") > ", ") >= ")),
    },
    Mistake {
        name: "zeros never lit",
        make: |c| c.replace("*zeros = lit && with_zeros;", "*zeros = false;"),
    },
    Mistake { name: "either for both", make: |c| lines(c, asks, |l| l.replace(" && ", " || ")) },
    Mistake { name: "both for either", make: |c| lines(c, asks, |l| l.replace(" || ", " && ")) },
    Mistake { name: "`not` left out", make: |c| lines(c, asks, |l| l.replace("(!", "(")) },
    Mistake { name: "`>` for `<`", make: |c| lines(c, asks, |l| l.replace(" < ", " > ")) },
    Mistake { name: "`<` for `<=`", make: |c| lines(c, asks, |l| l.replace(" <= ", " < ")) },
    Mistake { name: "`>` for `>=`", make: |c| lines(c, asks, |l| l.replace(" >= ", " > ")) },
    Mistake {
        name: "the greater for the lesser",
        make: |c| c.replace("return a < b ? a : b;", "return a > b ? a : b;"),
    },
    Mistake {
        name: "the lesser for the greater",
        make: |c| c.replace("return a > b ? a : b;", "return a < b ? a : b;"),
    },
    Mistake {
        name: "the lesser of wide numbers in 16 bits",
        make: |c| {
            c.replace(
                "int32_t lesser_wide(int32_t a, int32_t b)",
                "int16_t lesser_wide(int16_t a, int16_t b)",
            )
        },
    },
    Mistake {
        name: "wide numbers compared in 16 bits",
        make: |c| {
            c.replace("bool is_same_wide(int32_t a, int32_t b)", "bool is_same_wide(int16_t a, int16_t b)")
        },
    },
    Mistake {
        name: "wide numbers held in 16 bits",
        make: |c| {
            c.replace(
                "hold_wide(int32_t value, int32_t least, int32_t most)",
                "hold_wide(int16_t value, int16_t least, int16_t most)",
            )
        },
    },
    Mistake {
        name: "everything equal",
        make: |c| c.replace("    return a == b;", "    return (void)a, (void)b, true;"),
    },
    Mistake {
        name: "difference for sum",
        make: |c| lines(c, |l| l.contains(" = hold"), |l| l.replace(" + ", " - ")),
    },
    Mistake {
        name: "sum for difference",
        make: |c| lines(c, |l| l.contains(" = hold"), |l| l.replace(" - ", " + ")),
    },
    Mistake {
        name: "sum for product",
        make: |c| lines(c, |l| l.contains(" = hold"), |l| l.replace(" * ", " + ")),
    },
    Mistake {
        name: "signs left out",
        make: |c| lines(c, |l| l.contains(" = hold"), |l| l.replace("(-", "(")),
    },
    Mistake {
        name: "all streams begin alike",
        make: |c| {
            lines(
                c,
                |l| l.contains(".stream = 0x"),
                |l| {
                    l.split_once("0x")
                        .map_or_else(String::new, |(before, _)| format!("{before}0x12345678UL;"))
                },
            )
        },
    },
    Mistake {
        name: "a bag is filled before its last value is drawn",
        make: |c| c.replace("    if (*bag == 0) {", "    if ((*bag & (*bag - 1U)) == 0) {"),
    },
    Mistake {
        name: "given draws looked for downward",
        make: |c| {
            c.replace(
                "bit = (uint8_t)((bit + 1U) % values);",
                "bit = (uint8_t)((bit + values - 1U) % values);",
            )
        },
    },
    Mistake {
        name: "numbers begin with 0",
        make: |c| {
            in_functions(c, "void rules_begin", |body| {
                lines(
                    body,
                    |l| l.starts_with("    now.") && !l.contains("stream") && !l.contains("start->"),
                    |_| String::new(),
                )
            })
        },
    },
];
