//! `rules.h` and `rules.c`: the rules as C11 that runs on any machine.

use crate::fit::{Unfit, buttons_type, field_type, timer_type};
use crate::machine_c::write_machine;
use crate::names::Names;
use crate::trial_c::{write_trial, write_trial_header};
use crate::writer::Writer;
use rules::form::{Form, Machine};

/// The helpers every rule set shares.
const HELPERS: &str = include_str!("templates/helpers.c");

/// The header and the source of the rules, or why they cannot be written for the controller.
pub fn rules_c(form: &Form) -> Result<(String, String), Unfit> {
    crate::fit::check(form)?;
    let names = Names::of(form);
    Ok((header(form, &names), source(form, &names)))
}

fn header(form: &Form, names: &Names) -> String {
    let mut out = Writer::default();
    out.comment("The rules of this display: what the rest of the program may use of them.");
    out.line("#ifndef RULES_H");
    out.line("#define RULES_H");
    out.blank();
    out.line("#include <stdbool.h>");
    out.line("#include <stdint.h>");
    out.blank();
    out.comment("Length of a tick in milliseconds.");
    out.line(&format!("#define RULES_TICK_MS {}", form.tick_ms));
    for (what, count) in [
        ("BUTTONS", form.buttons.len()),
        ("FIGURES", form.figures.len()),
        ("SPOTS", form.spots.len()),
        ("DIGITS", form.digits.len()),
        ("SOUNDS", form.sounds.len()),
        ("KEPT", names.kept.len()),
        ("SETTINGS", names.settings.len()),
    ] {
        out.line(&format!("#define RULES_{what} {count}"));
    }
    out.blank();
    header_names(form, names, &mut out);
    out.comment("A set of buttons, one bit for each.");
    out.line(&format!("typedef {} rules_buttons;", buttons_type(form)));
    out.blank();
    frame_type(form, &mut out);
    crate::start_c::write_header(names, &mut out);
    out.comment("One tick: the buttons pressed since the last one, and those that are down.");
    out.line("void rules_step(rules_buttons pressed_now, rules_buttons held_now);");
    out.blank();
    out.comment("What is to be lit after the last tick.");
    out.line("void rules_show(struct rules_frame *frame);");
    out.blank();
    write_trial_header(form, &mut out);
    out.line("#endif");
    out.finish()
}

fn header_names(form: &Form, names: &Names, out: &mut Writer) {
    for (k, name) in names.buttons.iter().enumerate() {
        out.line(&format!("#define {name} ((rules_buttons)1U << {k})"));
    }
    if !names.buttons.is_empty() {
        out.blank();
    }
    constants("Figures, in the order of the frame.", &names.figures, 0, out);
    out.comment("Poses of each figure; a figure without one is dark.");
    out.line("#define POSE_DARK 0");
    out.blank();
    for (figure, poses) in form.figures.iter().zip(&names.poses) {
        constants(&format!("Poses of {}.", figure.name), poses, 1, out);
    }
    constants("Spots, in the order of the frame.", &names.spots, 0, out);
    constants("Digits, in the order of the frame.", &names.digits, 0, out);
    constants("Sounds, in the order of the frame.", &names.sounds, 0, out);
}

/// An enumeration that counts from `first`.
pub(crate) fn constants(words: &str, names: &[String], first: u32, out: &mut Writer) {
    if names.is_empty() {
        return;
    }
    out.comment(words);
    out.open("enum {");
    for (k, name) in names.iter().enumerate() {
        let start = if k == 0 && first != 0 { format!(" = {first}") } else { String::new() };
        out.line(&format!("{name}{start},"));
    }
    out.close("};");
    out.blank();
}

fn frame_type(form: &Form, out: &mut Writer) {
    out.comment(
        "What is lit: for each figure its pose, for each spot its level, for each digits their number; and which sounds begin.",
    );
    out.open("struct rules_frame {");
    if !form.figures.is_empty() {
        out.line("uint8_t pose[RULES_FIGURES];");
    }
    if !form.spots.is_empty() {
        out.line("uint8_t level[RULES_SPOTS];");
    }
    if !form.digits.is_empty() {
        out.line("int32_t number[RULES_DIGITS]; /* -1 is blank */");
        out.line("bool zeros[RULES_DIGITS]; /* whether leading zeros are lit */");
    }
    if !form.sounds.is_empty() {
        out.line("bool sound[RULES_SOUNDS]; /* whether it begins now */");
    }
    if [form.figures.len(), form.spots.len(), form.digits.len(), form.sounds.len()] == [0; 4] {
        out.line("uint8_t nothing;");
    }
    out.close("};");
    out.blank();
}

fn source(form: &Form, names: &Names) -> String {
    let mut out = Writer::default();
    out.comment("The rules of this display, worked out in ticks. Every name is the builder's own.");
    out.line("#include \"rules.h\"");
    out.blank();
    out.line("#include <string.h>");
    out.blank();
    for line in HELPERS.lines() {
        out.line(line);
    }
    out.blank();
    situation(form, names, &mut out);
    write_trial(form, names, &mut out);
    for m in 0..form.machines.len() {
        write_machine(form, names, m, &mut out);
    }
    crate::start_c::write_begin(form, names, &mut out);
    write_count(form, names, &mut out);
    write_step(form, names, &mut out);
    write_show(form, names, &mut out);
    out.finish()
}

fn situation(form: &Form, names: &Names, out: &mut Writer) {
    for (machine, own) in form.machines.iter().zip(&names.machines) {
        constants(&format!("States of {}.", machine.name), &own.states, 0, out);
        out.comment(&format!("Machine {}.", machine.name));
        out.open(&format!("struct {} {{", own.name));
        out.line(if machine.states.len() > 256 { "uint16_t state;" } else { "uint8_t state;" });
        for (i, (number, name)) in machine.numbers.iter().zip(&own.numbers).enumerate() {
            let kind = field_type(machine, i);
            out.line(&format!("{kind} {name}; /* number {} to {} */", number.min, number.max));
        }
        for (t, name) in own.timers.iter().enumerate() {
            let words = crate::writer::harmless(&machine.timers[t].name);
            out.line(&format!("{} {name}; /* timer {words} */", timer_type(machine, t)));
        }
        if picks(machine) {
            out.line("uint32_t stream; /* of random picks */");
        }
        out.close("};");
        out.blank();
    }
    if !form.messages.is_empty() {
        out.comment("Messages sent in a tick; they are heard in the next.");
        out.open("struct sent {");
        for name in &names.messages {
            out.line(&format!("bool {name} : 1;"));
        }
        out.close("};");
        out.blank();
    }
    out.comment("Everything the next tick depends on.");
    out.open("struct situation {");
    for own in &names.machines {
        out.line(&format!("struct {} {};", own.name, own.name));
    }
    if !form.messages.is_empty() {
        out.line("struct sent sent;");
    }
    out.line("rules_buttons simulated; /* pressed by the rules themselves */");
    if !form.sounds.is_empty() {
        out.line("bool playing[RULES_SOUNDS]; /* sounds that begin */");
    }
    out.close("};");
    out.blank();
    out.comment("As written in this tick, and as it was frozen at the start of the tick: each machine writes only its own part");
    out.comment("of `now`, and looks at the others in `then`.");
    out.line("static struct situation now;");
    out.line("static struct situation then;");
    out.blank();
    crate::start_c::write_settings(form, names, out);
    out.comment("The buttons of this tick.");
    out.line("static rules_buttons pressed;");
    out.line("static rules_buttons held;");
    out.blank();
}

/// Whether a machine picks at random anywhere.
pub(crate) fn picks(machine: &Machine) -> bool {
    use rules::form::{Node, Ties};
    let picks = |action: &rules::form::Action| match crate::fit::stored(action) {
        Some(value) => matches!(value.node, Node::Pick { .. } | Node::Draw { .. }),
        None => false,
    };
    matches!(machine.ties, Some(Ties::Random { .. })) || crate::fit::actions(machine).any(picks)
}

/// In a trial, what was picked is noted anew in every tick.
pub(crate) fn trial_line(form: &Form, out: &mut Writer) {
    if form.pick_sites > 0 {
        out.line("NOTE_NO_PICKS();");
    }
}

fn write_count(form: &Form, names: &Names, out: &mut Writer) {
    if form.machines.iter().all(|machine| machine.timers.is_empty()) {
        return;
    }
    out.comment("Running timers lose one tick.");
    out.function("static void count_timers(void)");
    for (machine, own) in form.machines.iter().zip(&names.machines) {
        for (timer, name) in machine.timers.iter().zip(&own.timers) {
            if timer.cycle {
                out.line(&format!(
                    "COUNT_AGAIN(now.{}.{name}, {});",
                    own.name,
                    crate::machine_c::ticks(timer.max)
                ));
            } else {
                out.line(&format!("COUNT(now.{}.{name});", own.name));
            }
        }
    }
    out.end();
}

fn write_step(form: &Form, names: &Names, out: &mut Writer) {
    out.function("void rules_step(rules_buttons pressed_now, rules_buttons held_now)");
    out.line("pressed = pressed_now | now.simulated;");
    out.line("held = held_now;");
    if form.machines.iter().any(|machine| !machine.timers.is_empty()) {
        out.line("count_timers();");
    }
    out.line("then = now;");
    if !form.messages.is_empty() {
        out.line("memset(&now.sent, 0, sizeof now.sent);");
    }
    out.line("now.simulated = 0;");
    if !form.sounds.is_empty() {
        out.line("memset(now.playing, 0, sizeof now.playing);");
    }
    trial_line(form, out);
    for (machine, own) in form.machines.iter().zip(&names.machines) {
        if crate::step_c::steps(machine) {
            out.line(&format!("step_{}();", own.name));
        }
    }
    out.end();
}

fn write_show(form: &Form, names: &Names, out: &mut Writer) {
    out.function("void rules_show(struct rules_frame *frame)");
    out.line("memset(frame, 0, sizeof *frame);");
    for name in &names.digits {
        out.line(&format!("frame->number[{name}] = -1;"));
    }
    for (machine, own) in form.machines.iter().zip(&names.machines) {
        for (number, name) in machine.numbers.iter().zip(&own.numbers) {
            if let Some(digits) = number.shown_on {
                out.line(&format!("frame->number[{}] = now.{}.{name};", names.digits[digits], own.name));
            }
        }
    }
    for (machine, own) in form.machines.iter().zip(&names.machines) {
        if crate::machine_c::shows(machine) {
            out.line(&format!("show_{}(frame);", own.name));
        }
    }
    // The first machine writes last, so that what it writes stays.
    for (machine, own) in form.machines.iter().zip(&names.machines).rev() {
        if crate::machine_c::writes(machine) {
            out.line(&format!("write_{}(frame);", own.name));
        }
    }
    if !form.sounds.is_empty() {
        out.line("memcpy(frame->sound, now.playing, sizeof frame->sound);");
    }
    out.close("}");
}
