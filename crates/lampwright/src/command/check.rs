//! `lampwright check`: every fault and finding, nothing written.

use crate::ending::{Ending, Stop};
use crate::{report, showing};
use clap::Args;
use finding::Severity;
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
    let findings = plan.iter().flat_map(|plan| &plan.findings);
    let matter = findings.filter(|finding| finding.severity <= Severity::Caution).map(|finding| finding.code);
    if let Some(code) = reading.faults.iter().map(|fault| fault.code).chain(matter).next() {
        report::how_to_ask(code);
    }
    Ok(ending)
}
