//! `lampwright prove`: what holds in every play of a display's rules.

use crate::ending::{Ending, Stop};
use crate::{report, showing};
use clap::Args;
use finding::Fault;
use prove::{Answer, Limits, Verdict};
use std::path::PathBuf;

const AFTER_HELP: &str = "\
Examples:
  lampwright prove my-fox
  lampwright prove my-fox --limit 20000000 --json

Ends with 0 when every claim is proved, 2 when one is refuted (or the description has faults), 4 when none is refuted
but some could not be decided within the limit.

What is proved are the rules, not the lamps: local codes and licensed practice decide.";

/// Answers every claim of the rules, and some that are made without being asked; shows a play against what does not hold.
#[derive(Debug, Args)]
#[command(after_help = AFTER_HELP)]
pub(crate) struct Arguments {
    /// The display's folder, with display.toml in it.
    folder: PathBuf,
    /// Most situations to remember for one claim; a quarter as many sets of timer values, ten times as many ticks.
    #[arg(long, default_value_t = 2_000_000)]
    limit: u64,
    /// Most memory for one claim, in MiB, as reckoned from what is stored.
    #[arg(long, default_value_t = 1024)]
    memory: u64,
}

/// Runs the command.
pub(crate) fn run(arguments: &Arguments, as_json: bool) -> Result<Ending, Stop> {
    let reading = showing::read(&arguments.folder)?;
    let display = match &reading.display {
        Some(display) if !reading.faults.iter().any(Fault::stops) => display,
        _ => {
            if as_json {
                report::json(&reading.to_json(None, Ending::Faults))?;
            } else {
                report::faults(&reading.faults, &reading.texts);
            }
            return Ok(Ending::Faults);
        }
    };
    let limits = Limits {
        situations: arguments.limit,
        sets: arguments.limit / 4,
        steps: arguments.limit.saturating_mul(10),
        bytes: arguments.memory.saturating_mul(1 << 20),
    };
    let bar = indicatif::ProgressBar::new_spinner();
    let answers = prove::prove(&display.form, &limits, &mut |progress| {
        bar.set_message(format!(
            "{} of {}: {} ({} looked at)",
            progress.at + 1,
            progress.of,
            progress.claim,
            progress.covered
        ));
        bar.tick();
    });
    bar.finish_and_clear();
    let ending = ending(&answers);
    if as_json {
        report::json(&serde_json::json!({
            "format": "lampwright-report", "version": 1, "ending": ending.word(), "answers": answers,
        }))?;
        return Ok(ending);
    }
    for answer in &answers {
        report::print(&format!("{}\n", answer.words))?;
        for moment in answer.trace().iter().flat_map(|trace| prove::moments(&display.form, trace)) {
            report::print(&format!("    {moment}\n"))?;
        }
    }
    Ok(ending)
}

fn ending(answers: &[Answer]) -> Ending {
    if answers.iter().any(|answer| matches!(answer.verdict, Verdict::Refuted { .. })) {
        Ending::Faults
    } else if answers.iter().all(Answer::proved) {
        Ending::Nothing
    } else {
        Ending::Undecided
    }
}
