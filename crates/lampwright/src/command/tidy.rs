//! `lampwright tidy`: the rules laid out, each file written whole or not at all.

use crate::ending::{Ending, Stop};
use crate::tuning::is_rules;
use crate::{report, showing};
use clap::Args;
use rules::tidy::tidied;
use serde_json::{Value, json};
use source::{MAX_FILE_BYTES, Text};
use std::collections::BTreeSet;
use std::fs;
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

const AFTER_HELP: &str = "\
Examples:
  lampwright tidy my-fox
  lampwright tidy my-fox/waving-fox.rules
  lampwright tidy my-fox --check      writes nothing, says what would change

Every word, number, sign and comment stays, and the game stays the same. A line that cannot be read is left as it is.
Ends with 0 when the rules are tidy, 2 when a line cannot be read, or when --check finds what would change.";

/// Lays the rules out: like parts below each other, one blank line at most.
#[derive(Debug, Args)]
#[command(after_help = AFTER_HELP)]
pub(crate) struct Arguments {
    /// The display's folder, or one file of rules.
    path: PathBuf,
    /// Writes nothing and says what would change.
    #[arg(long)]
    check: bool,
}

/// What became of one file.
struct Done {
    file: PathBuf,
    /// The first line that is, or would be, another.
    changes: Option<usize>,
    /// Lines that cannot be read.
    left: Vec<usize>,
}

/// Runs the command.
pub(crate) fn run(arguments: &Arguments, as_json: bool) -> Result<Ending, Stop> {
    let mut all = Vec::new();
    let mut writing = Vec::new();
    for file in files(&arguments.path)? {
        let before = read(&file)?;
        let after = tidied(&Text::new(file.to_string_lossy(), before.clone()));
        let changes = first_difference(&before, &after.content);
        if changes.is_some() && !arguments.check {
            writing.push((file.clone(), before, after.content));
        }
        all.push(Done { file, changes, left: after.left });
    }
    for (file, before, after) in writing {
        replace(&file, &before, &after)?;
    }
    let would = arguments.check && all.iter().any(|one| one.changes.is_some());
    let unread = all.iter().any(|one| !one.left.is_empty());
    let ending = if would || unread { Ending::Faults } else { Ending::Nothing };
    if as_json {
        report::json(&json!({
            "format": "lampwright-tidy", "version": 1, "ending": ending.word(), "written": !arguments.check,
            "files": all.iter().map(in_json).collect::<Vec<_>>(),
        }))?;
        return Ok(ending);
    }
    for one in &all {
        report::line(&in_words(one, arguments.check));
    }
    Ok(ending)
}

fn in_json(done: &Done) -> Value {
    json!({ "file": done.file.display().to_string(), "first_changed_line": done.changes, "lines_left": done.left })
}

fn in_words(done: &Done, check: bool) -> String {
    let file = done.file.display();
    let mut words = match (done.changes, check) {
        (None, _) => format!("{file}: tidy."),
        (Some(line), true) => format!("{file}: not tidy; line {line} is the first that would change."),
        (Some(_), false) => format!("{file}: laid out."),
    };
    let left: Vec<String> = done.left.iter().map(ToString::to_string).collect();
    match left.as_slice() {
        [] => {}
        [line] => words.push_str(&format!(
            " Line {line} cannot be read and is left as it is; `lampwright check` says why."
        )),
        lines => words.push_str(&format!(
            " Lines {} cannot be read and are left as they are; `lampwright check` says why.",
            lines.join(", ")
        )),
    }
    words
}

/// The files of rules that a path stands for: itself, or those that lie in a display's folder or that its description names.
fn files(path: &Path) -> Result<Vec<PathBuf>, Stop> {
    let about = fs::metadata(path).map_err(Stop::doing(format!("cannot find {}", path.display())))?;
    let rules = |name: &Path| name.to_str().is_some_and(is_rules);
    if !about.is_dir() {
        let refused = || Stop::System(format!("{} is no file of rules (NAME.rules)", path.display()));
        return if rules(path) { Ok(vec![path.to_owned()]) } else { Err(refused()) };
    }
    let mut found: BTreeSet<PathBuf> = BTreeSet::new();
    for entry in fs::read_dir(path).map_err(Stop::doing(format!("cannot list {}", path.display())))? {
        let entry = entry?;
        if rules(&entry.path()) && entry.file_type()?.is_file() {
            found.insert(entry.path());
        }
    }
    let named = showing::read(path)?.texts;
    found.extend(named.iter().filter(|text| is_rules(text.name())).map(|text| path.join(text.name())));
    if found.is_empty() {
        return Err(Stop::System(format!("there are no rules in {}", path.display())));
    }
    Ok(found.into_iter().collect())
}

/// The whole text of a regular file: a link may lead to what is none of ours.
fn read(file: &Path) -> Result<String, Stop> {
    let doing = || Stop::doing(format!("cannot read {}", file.display()));
    let about = fs::symlink_metadata(file).map_err(doing())?;
    if !about.is_file() {
        return Err(Stop::System(format!("{} is a link or no file, so it is left alone", file.display())));
    }
    if about.len() > MAX_FILE_BYTES as u64 {
        return Err(Stop::System(format!("{} is too large for rules", file.display())));
    }
    match fs::read_to_string(file) {
        Err(why) if why.kind() == ErrorKind::InvalidData => {
            Err(Stop::Faults(format!("{} is not UTF-8 text, so it is left as it is", file.display())))
        }
        read => read.map_err(doing()),
    }
}

/// The number of the first line that differs.
fn first_difference(before: &str, after: &str) -> Option<usize> {
    if before == after {
        return None;
    }
    let same = before.split_inclusive('\n').zip(after.split_inclusive('\n'));
    Some(same.take_while(|(before, after)| before == after).count() + 1)
}

/// Puts a text in the place of a file in one step, with the rights that the file had.
fn replace(file: &Path, before: &str, after: &str) -> Result<(), Stop> {
    let doing = || Stop::doing(format!("cannot write {}", file.display()));
    let parent = match file.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let rights = fs::metadata(file).map_err(doing())?.permissions();
    let mut fresh =
        tempfile::Builder::new().prefix(".lampwright-tidy-").tempfile_in(parent).map_err(doing())?;
    fresh.write_all(after.as_bytes()).map_err(doing())?;
    fresh.as_file().set_permissions(rights).map_err(doing())?;
    fresh.as_file().sync_all().map_err(doing())?;
    // Whoever saved in an editor a moment ago keeps what was saved.
    if read(file)? != before {
        return Err(Stop::System(format!("{} was saved meanwhile, so it is left as it is", file.display())));
    }
    fresh.persist(file).map_err(|why| doing()(why.error))?;
    fs::File::open(parent).and_then(|parent| parent.sync_all()).map_err(doing())
}
