//! `wiring.h` and `wiring.c`: which output is lit by what.

use crate::fit::Unfit;
use crate::names::Names;
use crate::writer::Writer;
use plan::{Board, Channel, LitBy, Plan};
use rules::form::Form;
use rules::hash::Fnv;
use std::collections::BTreeMap;

/// Bytes that a board's register takes.
pub(crate) fn bytes(board: &Board) -> u32 {
    board.outputs.div_ceil(8)
}

/// The header.
pub(crate) fn header(plan: &Plan, form: &Form) -> String {
    let count: u32 = plan.boards.iter().map(bytes).sum();
    let mut out = Writer::default();
    out.comment("From what is to be lit to the bits of the outputs.");
    out.line("#ifndef WIRING_H");
    out.line("#define WIRING_H");
    out.blank();
    out.line("#include \"rules.h\"");
    out.blank();
    out.comment("Bytes of all boards, nearest the controller first.");
    out.line(&format!("#define WIRING_BYTES {}", count.max(1)));
    out.blank();
    out.comment(
        "What the boards must be wired for: outputs, pins and what lights each output, in one number.",
    );
    out.line(&format!("#define WIRING_IDENTITY 0x{:08X}UL", identity(plan, form)));
    out.blank();
    out.comment("Output k is bit k % 8 of byte k / 8, board by board. Sent from the last byte to the first, highest bit first.");
    out.line("void wiring_bits(const struct rules_frame *frame, uint8_t bits[WIRING_BYTES]);");
    out.blank();
    out.line("#endif");
    out.finish()
}

/// The source.
pub(crate) fn wiring(plan: &Plan, form: &Form, names: &Names) -> Result<String, Unfit> {
    let mut out = Writer::default();
    out.comment("Which output is lit by what, in the order of the outputs.");
    out.line("#include \"wiring.h\"");
    out.blank();
    out.line("#include <string.h>");
    out.blank();
    let shown = shown(plan);
    if !shown.is_empty() {
        write_segments(&mut out);
    }
    out.function("void wiring_bits(const struct rules_frame *frame, uint8_t bits[WIRING_BYTES])");
    for (digits, places) in &shown {
        let name =
            names.digits.get(*digits).ok_or_else(|| Unfit("digits that the rules do not have".to_owned()))?;
        out.line(&format!("uint8_t lit_{digits}[{places}];"));
        out.line(&format!("segments(frame->number[{name}], frame->zeros[{name}], {places}, lit_{digits});"));
    }
    out.line("memset(bits, 0, WIRING_BYTES);");
    for channel in &plan.channels {
        let (byte, bit) = place(plan, channel)?;
        let test = test(channel, form, names)?;
        out.blank();
        out.comment(&format!("{}: {}", channel.label, channel.name));
        out.open(&format!("if ({test}) {{"));
        out.line(&format!("bits[{byte}] |= 1U << {bit};"));
        out.close("}");
    }
    out.line("(void)frame;");
    out.close("}");
    Ok(out.finish())
}

/// The digits that have segments, and how many places each has.
fn shown(plan: &Plan) -> BTreeMap<usize, u32> {
    let mut shown = BTreeMap::new();
    for channel in &plan.channels {
        if let LitBy::Segment { digits, place, .. } = channel.lit_by {
            let places = shown.entry(digits).or_insert(0);
            *places = (*places).max(place + 1);
        }
    }
    shown
}

/// The segments of a number's digits, from the one table there is.
fn write_segments(out: &mut Writer) {
    out.comment("The segments of 0 to 9: a is bit 0, then clockwise; g, in the middle, is bit 6.");
    let codes: Vec<String> = reckoning::segments::DIGITS.iter().map(|code| format!("0x{code:02X}")).collect();
    out.line(&format!("static const uint8_t codes[10] = {{ {} }};", codes.join(", ")));
    out.blank();
    out.comment("The segments of each place, the rightmost first. Places in front of the number stay dark unless zeros are wanted.");
    out.function("static void segments(int32_t number, bool zeros, uint8_t places, uint8_t *lit)");
    out.line("const bool blank = number < 0;");
    out.open("for (uint8_t k = 0; k < places; k++) {");
    out.line("const bool wanted = !blank && (k == 0 || number > 0 || zeros);");
    out.line("lit[k] = wanted ? codes[number % 10] : 0;");
    out.line("number /= 10;");
    out.close("}");
    out.end();
}

/// A fingerprint of what the boards and pins must be wired for.
fn identity(plan: &Plan, form: &Form) -> u32 {
    let mut hash = Fnv::default();
    let mut mix = |words: &str| {
        hash.bytes(words.as_bytes());
        hash.bytes(&[0]);
    };
    for pin in &plan.controller.pins {
        mix(&format!("{} {}", pin.port, pin.does));
    }
    for board in &plan.boards {
        mix(&format!("{} {}", board.label, board.outputs));
    }
    for channel in &plan.channels {
        let lit_by = match &channel.lit_by {
            LitBy::Poses { figure, poses } => {
                let figure = form.figures.get(*figure);
                let poses: Vec<&str> =
                    poses.iter().filter_map(|&pose| figure?.poses.get(pose).map(String::as_str)).collect();
                format!("{} {}", figure.map_or("", |figure| &figure.name), poses.join(" "))
            }
            LitBy::Spot { spot } => form.spots.get(*spot).cloned().unwrap_or_default(),
            LitBy::Segment { digits, place, segment } => format!("{digits} {place} {segment}"),
        };
        mix(&format!("{} {} {lit_by}", channel.board, channel.output));
    }
    hash.value()
}

/// Byte and bit of a channel.
pub(crate) fn place(plan: &Plan, channel: &Channel) -> Result<(u32, u32), Unfit> {
    let board = plan.boards.get(channel.board).filter(|board| channel.output < board.outputs);
    if board.is_none() {
        return Err(Unfit(format!("{} has no output on any board", channel.label)));
    }
    let before: u32 = plan.boards.iter().take(channel.board).map(bytes).sum();
    Ok((before + channel.output / 8, channel.output % 8))
}

fn test(channel: &Channel, form: &Form, names: &Names) -> Result<String, Unfit> {
    let unknown = || Unfit(format!("{} is lit by something the rules do not have", channel.label));
    match &channel.lit_by {
        LitBy::Segment { digits, place, segment } => {
            Ok(format!("(lit_{digits}[{place}] >> {segment} & 1U) != 0U"))
        }
        LitBy::Spot { spot } => {
            let name = names.spots.get(*spot).ok_or_else(unknown)?;
            Ok(format!("frame->level[{name}] > 127"))
        }
        LitBy::Poses { figure, poses } => {
            let name = names.figures.get(*figure).ok_or_else(unknown)?;
            let pose = format!("frame->pose[{name}]");
            if (0..form.figures[*figure].poses.len()).all(|pose| poses.contains(&pose)) {
                return Ok(format!("{pose} != POSE_DARK"));
            }
            let tests: Option<Vec<String>> = poses
                .iter()
                .map(|lit| names.poses[*figure].get(*lit).map(|lit| format!("{pose} == {lit}")))
                .collect();
            let tests = tests.ok_or_else(unknown)?;
            Ok(if tests.is_empty() { "false".to_owned() } else { tests.join(" || ") })
        }
    }
}
