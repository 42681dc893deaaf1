//! Tick 0 as C: kept values and settings come in, kept values go out.

use crate::core_c::{constants, picks, trial_line};
use crate::expr::constant;
use crate::fit::number_type;
use crate::names::Names;
use crate::writer::Writer;
use rules::form::Form;

/// The header's part.
pub(crate) fn write_header(names: &Names, out: &mut Writer) {
    constants("Kept values, in the order of `rules_start` and of `rules_kept`.", &names.kept, 0, out);
    let places: Vec<String> = names.settings.iter().map(|(_, place)| place.clone()).collect();
    constants("Settings, in the order of `rules_start`.", &places, 0, out);
    if is_given(names) {
        out.comment("What tick 0 starts from; values out of range count as the nearest one in it.");
        out.open("struct rules_start {");
        if !names.kept.is_empty() {
            out.line("int32_t kept[RULES_KEPT];");
        }
        if !names.settings.is_empty() {
            out.line("int32_t setting[RULES_SETTINGS];");
        }
        out.close("};");
        out.blank();
        out.comment("As the rules say where nothing was kept or set.");
        out.line("void rules_usual(struct rules_start *start);");
        out.blank();
        out.comment("Tick 0 from kept values and settings: enters the first states.");
        out.line("void rules_begin_from(const struct rules_start *start);");
        out.blank();
    }
    if !names.kept.is_empty() {
        out.comment("The kept values as they are after a tick.");
        out.line("void rules_kept(int32_t kept[RULES_KEPT]);");
        out.blank();
    }
    out.comment("Tick 0 as the rules say: enters the first states.");
    out.line("void rules_begin(void);");
    out.blank();
}

/// Whether tick 0 takes anything from outside.
fn is_given(names: &Names) -> bool {
    !(names.kept.is_empty() && names.settings.is_empty())
}

/// The settings in force.
pub(crate) fn write_settings(form: &Form, names: &Names, out: &mut Writer) {
    if names.settings.is_empty() {
        return;
    }
    out.comment("What was set before play.");
    out.open("static struct {");
    for (setting, (name, _)) in form.settings.iter().zip(&names.settings) {
        out.line(&format!("{} {name};", number_type(setting.min, setting.max)));
    }
    out.close("} settings;");
    out.blank();
}

/// Tick 0.
pub(crate) fn write_begin(form: &Form, names: &Names, out: &mut Writer) {
    let given = is_given(names);
    let head = "void rules_begin_from(const struct rules_start *start)";
    out.function(if given { head } else { "void rules_begin(void)" });
    out.line("memset(&now, 0, sizeof now);");
    for (machine, own) in form.machines.iter().zip(&names.machines) {
        for (number, name) in machine.numbers.iter().zip(&own.numbers) {
            if number.start != 0 && !number.kept {
                out.line(&format!("now.{}.{name} = {};", own.name, constant(number.start)));
            }
        }
        if picks(machine) {
            let seed = rules::random::seed(form.seed, &machine.name);
            out.line(&format!("now.{}.stream = 0x{seed:08X}UL;", own.name));
        }
    }
    for ((m, i), place) in form.kept().into_iter().zip(&names.kept) {
        let (number, own) = (&form.machines[m].numbers[i], &names.machines[m]);
        let held = format!("start->kept[{place}], {}, {}", constant(number.min), constant(number.max));
        out.line(&format!("now.{}.{} = hold_wide({held});", own.name, own.numbers[i]));
    }
    for (setting, (name, place)) in form.settings.iter().zip(&names.settings) {
        let held = format!("start->setting[{place}], {}, {}", constant(setting.min), constant(setting.max));
        out.line(&format!("settings.{name} = hold_wide({held});"));
    }
    out.line("pressed = 0;");
    out.line("held = 0;");
    out.line("then = now;");
    trial_line(form, out);
    for own in &names.machines {
        if let Some(first) = own.states.first() {
            out.line(&format!("enter_{}();", first.to_lowercase()));
        }
    }
    out.end();
    if given {
        write_usual(form, names, out);
    }
    write_kept(form, names, out);
}

fn write_usual(form: &Form, names: &Names, out: &mut Writer) {
    out.function("void rules_usual(struct rules_start *start)");
    for ((m, i), place) in form.kept().into_iter().zip(&names.kept) {
        out.line(&format!("start->kept[{place}] = {};", constant(form.machines[m].numbers[i].start)));
    }
    for (setting, (_, place)) in form.settings.iter().zip(&names.settings) {
        out.line(&format!("start->setting[{place}] = {};", constant(setting.start)));
    }
    out.end();
    out.function("void rules_begin(void)");
    out.line("struct rules_start start;");
    out.line("rules_usual(&start);");
    out.line("rules_begin_from(&start);");
    out.end();
}

fn write_kept(form: &Form, names: &Names, out: &mut Writer) {
    if names.kept.is_empty() {
        return;
    }
    out.function("void rules_kept(int32_t kept[RULES_KEPT])");
    for ((m, i), place) in form.kept().into_iter().zip(&names.kept) {
        let own = &names.machines[m];
        out.line(&format!("kept[{place}] = now.{}.{};", own.name, own.numbers[i]));
    }
    out.end();
}
