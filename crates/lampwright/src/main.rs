//! The command line: the only place that touches files, clock, environment and network.
//!
//! `check` says what is wrong and `explain` what a code means, `build` writes the recipe, `workbench` shows it while it is edited, `new` starts one.
//! The ending of every command is an [`Ending`]; its number is what scripts rely on.
#![allow(clippy::disallowed_methods, reason = "this crate is where files, network and threads belong")]

mod beside;
mod command;
mod editing;
mod ending;
mod explained;
mod flashing;
mod folder_files;
mod followable;
mod games;
mod proofs;
mod rehearsals;
mod rehearsing;
mod report;
mod showing;
mod tuning;
mod value;
mod whole_folder;

use clap::{Parser, Subcommand};
use ending::{Ending, Stop};
use std::process::ExitCode;

/// What the program is, for `--help`.
const AFTER_HELP: &str = "\
Examples:
  lampwright new my-fox            start a display of your own
  lampwright workbench my-fox      see it, play it, and watch it follow your edits
  lampwright check my-fox          every fault, with its place
  lampwright explain rules/tie     what a code means, and how it is put right
  lampwright tidy my-fox           the rules laid out, meaning the same
  lampwright prove my-fox          what holds in every play, or a play against it
  lampwright rehearse my-fox       what becomes of it when people play
  lampwright build my-fox          write the whole recipe to my-fox/recipe
  lampwright reckon                the trade's formulas, to use alone

Ends with 0 when nothing stops, 1 when files or the system failed, 2 when what was written has faults,
3 when a danger withholds part of the recipe, 4 when a claim could not be decided.

Lampwright plans; it does not certify. Local codes and licensed practice decide.";

/// Turns one plain description of a playable light display into a checked recipe for building and running it.
#[derive(Debug, Parser)]
#[command(name = "lampwright", version, about, after_help = AFTER_HELP, arg_required_else_help = true)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
    /// Everything as JSON on standard output, for scripts and editors.
    #[arg(long, global = true)]
    json: bool,
}

#[derive(Debug, Subcommand)]
enum Command {
    Check(command::check::Arguments),
    Explain(command::explain::Arguments),
    Prove(command::prove::Arguments),
    Rehearse(command::rehearse::Arguments),
    Build(command::build::Arguments),
    Workbench(command::workbench::Arguments),
    New(command::new::Arguments),
    Reckon(command::reckon::Arguments),
    Tidy(command::tidy::Arguments),
}

fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(usage) => return explain_usage(&usage),
    };
    let json = arguments.json;
    let ended = match arguments.command {
        Command::Check(arguments) => command::check::run(&arguments, json),
        Command::Explain(arguments) => command::explain::run(&arguments, json),
        Command::Prove(arguments) => command::prove::run(&arguments, json),
        Command::Rehearse(arguments) => command::rehearse::run(&arguments, json),
        Command::Build(arguments) => command::build::run(&arguments, json),
        Command::Workbench(arguments) => command::workbench::run(&arguments, json),
        Command::New(arguments) => command::new::run(&arguments, json),
        Command::Reckon(arguments) => command::reckon::run(&arguments, json),
        Command::Tidy(arguments) => command::tidy::run(&arguments, json),
    };
    match ended {
        Ok(ending) => ending.code(),
        // Whoever read our output has heard enough.
        Err(Stop::BrokenPipe) => Ending::Nothing.code(),
        Err(Stop::Faults(words)) => stopped(Ending::Faults, "fault", &words, json),
        Err(Stop::System(words)) => stopped(Ending::System, "lampwright", &words, json),
    }
}

/// Says why a command could not go on.
fn stopped(ending: Ending, who: &str, words: &str, as_json: bool) -> ExitCode {
    let report = serde_json::json!({
        "format": "lampwright-report", "version": 1, "ending": ending.word(), "message": words,
    });
    // Where standard output is gone, the words still go to the error stream.
    if !as_json || report::json(&report).is_err() {
        report::line(&format!("{who}: {words}"));
    }
    ending.code()
}

/// Prints help or a wrong use. A wrong use ends with 1, since 2 says that the description has faults.
fn explain_usage(usage: &clap::Error) -> ExitCode {
    // Nothing can be told to somebody whose screen is gone.
    let _ = usage.print();
    if usage.use_stderr() { Ending::System.code() } else { Ending::Nothing.code() }
}
