//! Answers in plain words.

use crate::answer::{Covered, Verdict};
use crate::claims::Question;
use crate::model::Who;
use rules::form::Form;

/// One sentence for an answer.
pub(crate) fn words(
    form: &Form,
    claim: &str,
    question: &Question,
    verdict: &Verdict,
    bound: Option<u64>,
) -> String {
    let claim = in_words(claim);
    match verdict {
        Verdict::Proved { covered } => {
            let bound = bound.map_or(String::new(), |ticks| format!(" within {}", time(form, ticks)));
            match question {
                Question::HoldingUnread => {
                    format!(
                        "Proved: {claim}. No rule asks whether it is held, so a stuck button is one that nobody presses"
                    )
                }
                _ => format!("Proved: {claim}{bound}. {} looked at", looked(*covered)),
            }
        }
        Verdict::Refuted { trace } => {
            let at = time(form, trace.ticks.len().saturating_sub(1) as u64);
            let presses: usize = trace.ticks.iter().map(|tick| tick.pressed.len()).sum();
            let presses = if presses == 1 { "1 press".to_owned() } else { format!("{presses} presses") };
            match question {
                Question::Home(Who::Holding(_)) => {
                    format!(
                        "Refuted: {claim}. After {presses} and with the button stuck, play never comes home"
                    )
                }
                Question::Home(_) => format!(
                    "Refuted: {claim}. After {presses} and nobody pressing any more, play need never come home"
                ),
                Question::Alone(button) => format!(
                    "Refuted: {claim}. After {presses}, {} waits for ever and no press would count",
                    form.buttons[*button]
                ),
                Question::NeverStuck => format!(
                    "Refuted: {claim}. {at} after the start, with {presses}, nothing seen can ever change again"
                ),
                _ => format!("Refuted: {claim}. It fails {at} after the start, with {presses}"),
            }
        }
        Verdict::Undecided { covered, why } => {
            format!(
                "Undecided: {claim}. Why: {why}; {} looked at, and nothing against it was found",
                looked(*covered)
            )
        }
    }
}

/// A claim in plain words, with the name to look it up by; of one that the rules make, the name alone.
pub fn in_words(claim: &str) -> String {
    let (kind, of) = claim.split_once(' ').unwrap_or((claim, ""));
    let words = match kind {
        ".in-range" => "no number leaves its range".to_owned(),
        ".digits" => "no number is too wide for its digits".to_owned(),
        ".answered" => "every press that counts is answered within 100 ms".to_owned(),
        ".flash" if of.is_empty() => {
            "no more than three flashes in any second, all figures together".to_owned()
        }
        ".flash" => format!("no more than three flashes in any second of {of}"),
        ".home" => "with nobody pressing, play comes home".to_owned(),
        ".held" => format!("with button {of} stuck down, play comes home"),
        ".alone" => format!("whoever is alone at button {of} gets a turn by waiting"),
        ".stuck" => "nothing can get stuck".to_owned(),
        _ => return format!("`{claim}`"),
    };
    format!("{words} (`{claim}`)")
}

fn looked(covered: Covered) -> String {
    let parts = [(covered.situations, "situations"), (covered.sets, "sets of timer values")];
    let parts: Vec<String> =
        parts.iter().filter(|(count, _)| *count > 0).map(|(count, what)| format!("{count} {what}")).collect();
    if parts.is_empty() { "nothing".into() } else { parts.join(" and ") }
}

/// So many ticks in seconds, to the thousandth.
pub(crate) fn time(form: &Form, ticks: u64) -> String {
    let ms = ticks.saturating_mul(u64::from(form.tick_ms));
    format!("{}.{:03} s", ms / 1000, ms % 1000)
}
