//! `lampwright check`: every fault and finding, nothing written.

use crate::ending::{Ending, Stop};
use crate::{report, showing};
use clap::Args;
use plan::Planner;
use std::path::PathBuf;

const AFTER_HELP: &str = "\
Examples:
  lampwright check my-fox
  lampwright check my-fox --json | python3 -m json.tool

Ends with 0 when nothing stops, 2 when what was written has faults, 3 when a danger withholds sheets.";

/// Reads a display and says what is wrong, with its place; writes nothing.
#[derive(Debug, Args)]
#[command(after_help = AFTER_HELP)]
pub(crate) struct Arguments {
    /// The display's folder, with display.toml in it.
    folder: PathBuf,
}

/// Runs the command.
pub(crate) fn run(arguments: &Arguments, as_json: bool) -> Result<Ending, Stop> {
    let reading = showing::read(&arguments.folder)?;
    let plan = reading.plan(&mut Planner::new()).map(|(_, plan)| plan);
    let ending = showing::ending(plan.as_ref());
    if as_json {
        report::json(&reading.to_json(plan.as_ref(), ending))?;
        return Ok(ending);
    }
    report::faults(&reading.faults, &reading.texts);
    if let Some(plan) = &plan {
        report::findings(plan);
    }
    Ok(ending)
}
