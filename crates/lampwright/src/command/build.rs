//! `lampwright build`: the whole recipe in one folder, or the folder as it was.

use crate::ending::{Ending, Stop};
use crate::whole_folder::{self, Contents};
use crate::{rehearsing, report, showing};
use clap::Args;
use display::Display;
use finding::Sheet;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use plan::{Plan, Planner};
use serde::Serialize;
use serde_json::json;
use std::io::{self, IsTerminal};
use std::path::PathBuf;

const AFTER_HELP: &str = "\
Examples:
  lampwright build my-fox
  lampwright build my-fox --out fox-recipe
  lampwright build my-fox --json | python3 -m json.tool

The folder is replaced whole or not at all. Ends with 2 and writes nothing when what was written has faults;
ends with 3 when a danger withholds part of the recipe: the rest is written, with a page that says why.";

/// Writes the recipe: book, templates, tables, the program.
#[derive(Debug, Args)]
#[command(after_help = AFTER_HELP)]
pub(crate) struct Arguments {
    /// The display's folder, with display.toml in it.
    folder: PathBuf,
    /// Where the recipe goes; `recipe` in the display's folder unless said otherwise.
    #[arg(long)]
    out: Option<PathBuf>,
}

/// Runs the command.
pub(crate) fn run(arguments: &Arguments, as_json: bool) -> Result<Ending, Stop> {
    let out = arguments.out.clone().unwrap_or_else(|| arguments.folder.join("recipe"));
    whole_folder::may_replace(&out)?;
    let progress = progress();
    progress.set_message("reading");
    let reading = showing::read(&arguments.folder)?;
    progress.set_message("planning");
    // People play while it is planned: neither waits for the other.
    let (planned, beside) = std::thread::scope(|scope| {
        let playing = scope.spawn(|| reading.sound().map(|display| rehearsing::beside(&reading, display)));
        let planned = reading.plan(&mut Planner::new());
        (planned, playing.join().ok().flatten().unwrap_or_default())
    });
    let plan = planned.as_ref().map(|(_, plan)| plan);
    let ending = showing::ending(plan);
    let mut files = Vec::new();
    if let (Some((display, plan)), true) = (&planned, ending != Ending::Faults) {
        progress.set_message("printing");
        let contents = contents(display, plan, &beside)?;
        progress.set_message("writing");
        whole_folder::replace(&out, &contents)?;
        files.extend(contents.into_keys());
    }
    progress.finish_and_clear();
    if as_json {
        let mut summary = reading.to_json(plan, ending);
        summary["out"] = json!(out);
        summary["files"] = json!(files);
        report::json(&summary)?;
        return Ok(ending);
    }
    report::faults(&reading.faults, &reading.texts);
    if let Some(plan) = plan {
        report::findings(plan);
    }
    if files.is_empty() {
        report::line("Nothing was written.");
    } else {
        report::paragraph(&format!("Written to {}: {}.", out.display(), written(&files)));
    }
    report::line(&format!("To see and play it: lampwright workbench {}", arguments.folder.display()));
    Ok(ending)
}

/// A line that says what is being done, on a terminal only.
fn progress() -> ProgressBar {
    let target =
        if io::stderr().is_terminal() { ProgressDrawTarget::stderr() } else { ProgressDrawTarget::hidden() };
    let progress = ProgressBar::with_draw_target(None, target);
    progress.enable_steady_tick(std::time::Duration::from_millis(100));
    if let Ok(style) = ProgressStyle::with_template("{spinner} {msg} ...") {
        progress.set_style(style);
    }
    progress
}

/// What was written, a folder at a time: `book.pdf, firmware/ (9 files)`.
fn written(files: &[String]) -> String {
    let mut groups: Vec<(&str, usize)> = Vec::new();
    for file in files {
        let top = file.find('/').map_or(file.as_str(), |slash| &file[..=slash]);
        match groups.last_mut() {
            Some((name, count)) if *name == top => *count += 1,
            _ => groups.push((top, 1)),
        }
    }
    let words = groups.into_iter().map(|(name, count)| {
        if name.ends_with('/') {
            format!("{name} ({})", report::count(count, "file"))
        } else {
            name.to_owned()
        }
    });
    words.collect::<Vec<_>>().join(", ")
}

/// Every file of the recipe that no danger withholds.
fn contents(display: &Display, plan: &Plan, beside: &book::Beside) -> Result<Contents, Stop> {
    let mut contents =
        book::recipe_with(plan, &display.form, beside).map_err(|why| Stop::System(why.to_string()))?;
    if !plan.withholds(Sheet::Firmware) {
        let project = firmware::project(plan, &display.form).map_err(|why| Stop::Faults(why.to_string()))?;
        for (path, text) in project {
            contents.insert(format!("firmware/{path}"), text.into_bytes());
        }
        contents.insert("form.json".into(), pretty(&display.form)?);
    }
    contents.insert("plan.json".into(), pretty(&showing::followable(plan)?)?);
    Ok(contents)
}

fn pretty(value: &impl Serialize) -> Result<Vec<u8>, Stop> {
    let mut bytes =
        serde_json::to_vec_pretty(value).map_err(|why| Stop::System(format!("cannot write JSON: {why}")))?;
    bytes.push(b'\n');
    Ok(bytes)
}
