//! `lampwright prove`: what holds in every play of a display's rules.

use crate::beside::TRACE;
use crate::ending::{Ending, Stop};
use crate::proofs::Proofs;
use crate::{flashing, report, showing};
use clap::Args;
use display::Display;
use finding::suggestion;
use plan::Planner;
use prove::{Answer, Engine, Limits, Verdict};
use rules::form::Form;
use rules::vectors::Moment;
use std::cell::LazyCell;
use std::collections::BTreeMap;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::thread;
use tempfile::NamedTempFile;

const AFTER_HELP: &str = "\
Examples:
  lampwright prove my-fox
  lampwright prove my-fox --claim .answered --claim .stuck
  lampwright prove my-fox --limit 20000000 --memory 4096
  lampwright prove my-fox --trace against --json

Ends with 0 when every claim is proved, 2 when one is refuted (or the description has faults), 4 when none is refuted
but some could not be decided within the limits.

Answers are kept in .lampwright/proofs in the display's folder, by the content of the rules, the claim, the limits and this
program's version; deleting it costs nothing but time.

What is proved are the rules, not the lamps: local codes and licensed practice decide.";

/// Answers every claim of the rules, and some that are made without being asked; shows a play against what does not hold.
#[derive(Debug, Args)]
#[command(after_help = AFTER_HELP)]
pub(crate) struct Arguments {
    /// The display's folder, with display.toml in it.
    folder: PathBuf,
    /// Only this claim; may be given more than once. Those made without being asked begin with a dot.
    #[arg(long, value_name = "NAME")]
    claim: Vec<String>,
    /// Most situations to remember for one claim; a quarter as many sets of timer values, ten times as many ticks.
    #[arg(long, default_value_t = 2_000_000, value_name = "SITUATIONS")]
    limit: u64,
    /// Most memory for one claim, in MiB, as reckoned from what is stored; two claims are looked at at a time.
    #[arg(long, default_value_t = 1024, value_name = "MIB")]
    memory: u64,
    /// Writes each play against a claim into this folder, in the form of the test vectors. The page offers those that lie in the
    /// display's own folder.
    #[arg(long, value_name = "FOLDER")]
    trace: Option<PathBuf>,
    /// Looks again at what was answered before.
    #[arg(long)]
    afresh: bool,
}

/// Runs the command.
pub(crate) fn run(arguments: &Arguments, as_json: bool) -> Result<Ending, Stop> {
    let reading = showing::read(&arguments.folder)?;
    let Some(display) = reading.sound() else { return reading.refuse(as_json) };
    let form = &display.form;
    let names = wanted(form, &arguments.claim)?;
    let answers = answers(display, &names, arguments)?;
    if let Some(folder) = &arguments.trace {
        write_traces(form, &answers, folder)?;
    }
    let ending = ending(&answers);
    if as_json {
        report::json(&serde_json::json!({
            "format": "lampwright-report", "version": 1, "ending": ending.word(), "answers": answers,
        }))?;
    } else {
        tell(form, &answers)?;
    }
    Ok(ending)
}

/// The claims asked for, in the order of the rules; all when none is named.
fn wanted(form: &Form, asked: &[String]) -> Result<Vec<String>, Stop> {
    let names = flashing::names(form);
    for claim in asked {
        if !names.contains(claim) {
            let hint = suggestion(claim, names.iter().map(String::as_str));
            let hint = hint.map_or_else(String::new, |hint| format!("; {hint}"));
            return Err(Stop::Faults(format!("there is no claim `{claim}`{hint}")));
        }
    }
    Ok(names.into_iter().filter(|name| asked.is_empty() || asked.contains(name)).collect())
}

fn answers(display: &Display, names: &[String], arguments: &Arguments) -> Result<Vec<Answer>, Stop> {
    let form = &display.form;
    let plan = LazyCell::new(|| Planner::new().plan(display));
    let limits = Limits {
        situations: arguments.limit,
        sets: arguments.limit / 4,
        steps: arguments.limit.saturating_mul(10),
        bytes: arguments.memory.saturating_mul(1 << 20),
    };
    let proofs = Proofs::of(&arguments.folder, form, &limits)?;
    // Drawn on the error stream, and only where that is a terminal.
    let bar = indicatif::ProgressBar::new_spinner();
    let mut answers: BTreeMap<usize, Answer> = BTreeMap::new();
    let in_silence = prove::names_in_silence(form);
    let (mut played, mut silent) = (Vec::new(), Vec::new());
    for (at, name) in names.iter().enumerate() {
        let kept = || (!arguments.afresh).then(|| proofs.known(name)).flatten();
        match flashing::counted(name, form, || &plan).or_else(kept) {
            Some(answer) => drop(answers.insert(at, answer)),
            None if in_silence.contains(name) => silent.push((at, name)),
            None => played.push((at, name)),
        }
    }
    let look = |claims: &[(usize, &String)]| {
        let mut shared = prove::Known::default();
        let mut found = Vec::new();
        for (at, name) in claims {
            let (how, wanted) = ((&limits, Engine::Both), |claim: &str| claim == *name);
            let one = prove::prove_knowing(form, how, &wanted, &mut shared, &mut |progress| {
                let place = format!("{} of {}", at + 1, names.len());
                bar.set_message(format!("{place}: {name} ({} looked at)", progress.covered));
                bar.tick();
            });
            one.iter().for_each(|answer| proofs.keep(answer));
            found.extend(one.into_iter().map(|answer| (*at, answer)));
        }
        found
    };
    // What one claim has looked through serves others of its kind; so each kind has a processor.
    let (one, other) = thread::scope(|scope| {
        let other = scope.spawn(|| look(&silent));
        (look(&played), other.join())
    });
    bar.finish_and_clear();
    answers.extend(one);
    answers.extend(other.map_err(|_| Stop::System("looking at the claims about silence broke off".into()))?);
    Ok(answers.into_values().collect())
}

/// Claim by claim, what fails with the play against it; then how many stand how.
fn tell(form: &Form, answers: &[Answer]) -> Result<(), Stop> {
    for answer in answers {
        report::print(&format!("{}\n", report::for_the_width(&answer.words)))?;
        for line in moments(form, answer) {
            report::print(&format!("{}\n", report::for_the_width(&line)))?;
        }
    }
    let count = |is: fn(&Verdict) -> bool| answers.iter().filter(|answer| is(&answer.verdict)).count();
    let proved = count(|verdict| matches!(verdict, Verdict::Proved { .. }));
    let refuted = count(|verdict| matches!(verdict, Verdict::Refuted { .. }));
    let undecided = answers.len() - proved - refuted;
    report::print(&format!("\n{proved} proved, {refuted} refuted, {undecided} undecided.\n"))?;
    let unasked =
        answers.iter().filter(|answer| !answer.proved()).find(|answer| answer.claim.starts_with('.'));
    if let Some(answer) = unasked {
        let kind = prove::codes::kind(&answer.claim);
        report::print(&format!("What a claim means, and what helps: lampwright explain {kind}\n"))?;
    }
    if undecided > 0 {
        let words = "Undecided is not proved: nothing against it was found in what was looked at. More may be decided with a \
                     higher --limit and --memory.\n";
        report::print(&format!("{}\n", report::for_the_width(words.trim_end())))?;
    }
    Ok(())
}

/// The play against a claim, a line for each moment.
pub(super) fn moments(form: &Form, answer: &Answer) -> Vec<String> {
    let line = |moment: &Moment| {
        let ms = (moment.tick as u64).saturating_mul(u64::from(form.tick_ms));
        format!("    {}.{:03} s: {}", ms / 1000, ms % 1000, moment.words)
    };
    answer.told.iter().map(line).collect()
}

/// One file for each refuted claim, named after it.
fn write_traces(form: &Form, answers: &[Answer], folder: &Path) -> Result<(), Stop> {
    let doing = || Stop::doing(format!("cannot write into {}", folder.display()));
    fs::create_dir_all(folder).map_err(doing())?;
    for answer in answers {
        if let Some(trace) = answer.trace() {
            let mut vector = trace.vector(answer.claim.as_str(), form);
            vector.told.clone_from(&answer.told);
            let text = serde_json::to_string(&vector).map_err(|why| Stop::System(why.to_string()))?;
            let mut fresh = NamedTempFile::new_in(folder).map_err(doing())?;
            fresh.write_all((text + "\n").as_bytes()).map_err(doing())?;
            fresh.persist(folder.join(file_name(&answer.claim))).map_err(|why| doing()(why.error))?;
        }
    }
    Ok(())
}

/// A claim's name as a file's: `.flash fox` is `flash-fox.trace.json`.
fn file_name(claim: &str) -> String {
    format!("{}{TRACE}", claim.trim_start_matches('.').replace(' ', "-"))
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
