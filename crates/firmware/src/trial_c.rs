//! What only a trial sees: given and noted picks, the fingerprint of the situation, the bytes of a frame.

use crate::core_c::picks;
use crate::names::Names;
use crate::writer::Writer;
use rules::form::Form;

/// Random picks, with the places where a trial can look in.
const PICK: &str = include_str!("templates/pick.c");

/// The trial's part of `rules.h`.
pub(crate) fn write_trial_header(form: &Form, out: &mut Writer) {
    out.line("#ifdef LAMPWRIGHT_TRIAL");
    out.comment("For trials only: the whole situation in one number, and a frame as bytes.");
    out.line("uint32_t rules_fingerprint(void);");
    out.line("uint16_t rules_frame_bytes(const struct rules_frame *frame, uint8_t *bytes);");
    out.line(&format!(
        "#define RULES_FRAME_BYTES {}",
        form.figures.len() + form.spots.len() + 5 * form.digits.len() + form.sounds.len()
    ));
    out.line(&format!("#define RULES_PICK_SITES {}", form.pick_sites));
    if form.pick_sites > 0 {
        out.blank();
        out.comment("Values given to picking places, and what was picked in the last tick.");
        out.open("struct rules_trial {");
        out.line("bool given[RULES_PICK_SITES];");
        out.line("int32_t value[RULES_PICK_SITES];");
        out.line("uint16_t picked;");
        out.line("uint16_t picked_site[RULES_PICK_SITES];");
        out.line("int32_t picked_value[RULES_PICK_SITES];");
        out.close("};");
        out.line("extern struct rules_trial rules_trial;");
    }
    out.line("#endif");
    out.blank();
}

/// The trial's part of `rules.c`, and the picks.
pub(crate) fn write_trial(form: &Form, names: &Names, out: &mut Writer) {
    if form.pick_sites > 0 {
        for line in PICK.lines() {
            out.line(line);
        }
        out.blank();
    }
    out.line("#ifdef LAMPWRIGHT_TRIAL");
    out.comment("FNV-1a over the bytes of a value, least first.");
    out.function("static uint32_t mix(uint32_t hash, uint32_t value, uint8_t count)");
    out.open("while (count-- > 0) {");
    out.line("hash = (hash ^ (value & 0xFFU)) * 16777619UL;");
    out.line("value >>= 8;");
    out.close("}");
    out.line("return hash;");
    out.end();
    write_fingerprint(form, names, out);
    write_bytes(form, out);
    out.line("#endif");
    out.blank();
}

fn write_fingerprint(form: &Form, names: &Names, out: &mut Writer) {
    if form.machines.iter().any(|machine| !machine.timers.is_empty()) {
        out.comment("A timer: its ticks left, then 0 off, 1 running, 2 due.");
        out.function("static uint32_t mix_timer(uint32_t hash, uint32_t timer)");
        out.line("hash = mix(hash, timer > TIMER_DUE ? timer - 1U : 0U, 4);");
        out.line("return mix(hash, timer > TIMER_DUE ? 1U : timer == TIMER_DUE ? 2U : 0U, 1);");
        out.end();
    }
    out.function("uint32_t rules_fingerprint(void)");
    out.line("uint32_t hash = 2166136261UL;");
    for (machine, own) in form.machines.iter().zip(&names.machines) {
        let of = |field: &str| format!("now.{}.{field}", own.name);
        out.line(&format!("hash = mix(hash, {}, 2);", of("state")));
        for number in &own.numbers {
            out.line(&format!("hash = mix(hash, (uint32_t)(int32_t){}, 4);", of(number)));
        }
        for timer in &own.timers {
            out.line(&format!("hash = mix_timer(hash, {});", of(timer)));
        }
        let stream = if picks(machine) {
            of("stream")
        } else {
            format!("0x{:08X}UL", rules::random::seed(form.seed, &machine.name))
        };
        out.line(&format!("hash = mix(hash, {stream}, 4);"));
    }
    for message in &names.messages {
        out.line(&format!("hash = mix(hash, now.sent.{message}, 1);"));
    }
    for button in &names.buttons {
        out.line(&format!("hash = mix(hash, (now.simulated & {button}) != 0U, 1);"));
    }
    if !form.sounds.is_empty() {
        out.open("for (uint16_t k = 0; k < RULES_SOUNDS; k++) {");
        out.line("hash = mix(hash, now.playing[k], 1);");
        out.close("}");
    }
    for (setting, _) in &names.settings {
        out.line(&format!("hash = mix(hash, (uint32_t)(int32_t)settings.{setting}, 4);"));
    }
    out.line("return hash;");
    out.end();
}

fn write_bytes(form: &Form, out: &mut Writer) {
    out.function("uint16_t rules_frame_bytes(const struct rules_frame *frame, uint8_t *bytes)");
    out.line("uint8_t *end = bytes;");
    for (array, count) in [("pose", form.figures.len()), ("level", form.spots.len())] {
        if count > 0 {
            out.open(&format!("for (uint16_t k = 0; k < {count}; k++) {{"));
            out.line(&format!("*end++ = frame->{array}[k];"));
            out.close("}");
        }
    }
    if !form.digits.is_empty() {
        out.open("for (uint16_t k = 0; k < RULES_DIGITS; k++) {");
        out.open("for (uint8_t shift = 0; shift < 32; shift += 8) {");
        out.line("*end++ = (uint8_t)((uint32_t)frame->number[k] >> shift);");
        out.close("}");
        out.close("}");
    }
    for (array, count) in [("zeros", form.digits.len()), ("sound", form.sounds.len())] {
        if count > 0 {
            out.open(&format!("for (uint16_t k = 0; k < {count}; k++) {{"));
            out.line(&format!("*end++ = frame->{array}[k] ? 1 : 0;"));
            out.close("}");
        }
    }
    out.line("(void)frame;");
    out.line("return (uint16_t)(end - bytes);");
    out.end();
}
