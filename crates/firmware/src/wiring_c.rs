//! `wiring.h` and `wiring.c`: which output is lit by what.

use crate::fit::Unfit;
use crate::names::Names;
use crate::writer::Writer;
use plan::{Board, Channel, LitBy, Plan};
use rules::form::Form;

/// Bytes that a board's register takes.
fn bytes(board: &Board) -> u32 {
    board.outputs.div_ceil(8)
}

/// The header.
pub(crate) fn header(plan: &Plan) -> String {
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
    out.function("void wiring_bits(const struct rules_frame *frame, uint8_t bits[WIRING_BYTES])");
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

/// Byte and bit of a channel.
fn place(plan: &Plan, channel: &Channel) -> Result<(u32, u32), Unfit> {
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
        LitBy::Segment { .. } => {
            Err(Unfit(format!("{} is a segment, which the program cannot light yet", channel.label)))
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
