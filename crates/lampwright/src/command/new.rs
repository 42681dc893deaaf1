//! `lampwright new`: a display of one's own, begun from a game that works.

use crate::ending::{Ending, Stop};
use crate::games::{FIRST, GAMES, game};
use crate::report;
use clap::Args;
use serde_json::json;
use std::fs::{self, File, Permissions};
use std::io::{ErrorKind, Write};
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};

const AFTER_HELP: &str = "\
Examples:
  lampwright new my-fox
  lampwright new --list
  lampwright new garden/fox --game waving-fox";

/// Starts a display in a new folder, from a game that works.
#[derive(Debug, Args)]
#[command(after_help = AFTER_HELP)]
pub(crate) struct Arguments {
    /// The folder to make; it may exist if it is empty.
    #[arg(required_unless_present = "list")]
    folder: Option<PathBuf>,
    /// The game to begin with.
    #[arg(long, value_name = "NAME", default_value = FIRST)]
    game: String,
    /// The games there are, a line each; nothing is made.
    #[arg(long, conflicts_with = "folder")]
    list: bool,
}

/// Runs the command.
pub(crate) fn run(arguments: &Arguments, as_json: bool) -> Result<Ending, Stop> {
    let Some(folder) = &arguments.folder else { return list(as_json) };
    let game = game(&arguments.game)?;
    refuse_unless_free(folder)?;
    let parent = match folder.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let doing = || Stop::doing(format!("cannot make {}", folder.display()));
    fs::create_dir_all(parent).map_err(doing())?;
    let fresh = tempfile::Builder::new()
        .prefix(".lampwright-new-")
        .permissions(Permissions::from_mode(0o777))
        .tempdir_in(parent)
        .map_err(doing())?;
    for (path, bytes) in game.files {
        write(&fresh.path().join(path), bytes).map_err(doing())?;
    }
    // The system itself refuses this rename when the folder has been filled meanwhile.
    fs::rename(fresh.path(), folder).map_err(doing())?;
    // There is nothing left under the old name that would want removing.
    let _ = fresh.keep();
    if as_json {
        let files: Vec<&str> = game.files.iter().map(|(path, _)| *path).collect();
        report::json(&json!({
            "format": "lampwright-new", "version": 1, "ending": Ending::Nothing.word(), "folder": folder,
            "game": game.name, "files": files,
        }))?;
        return Ok(Ending::Nothing);
    }
    report::line(&format!("Made {} from the game {}.", folder.display(), game.name));
    report::line(&format!("To see and play it: lampwright workbench {}", folder.display()));
    Ok(Ending::Nothing)
}

/// The games there are.
fn list(as_json: bool) -> Result<Ending, Stop> {
    if as_json {
        let games: Vec<_> =
            GAMES.iter().map(|game| json!({ "name": game.name, "about": game.about })).collect();
        report::json(&json!({
            "format": "lampwright-games", "version": 1, "ending": Ending::Nothing.word(), "games": games,
        }))?;
        return Ok(Ending::Nothing);
    }
    let wide = GAMES.iter().map(|game| game.name.len()).max().unwrap_or(0);
    let lines: String = GAMES.iter().map(|game| format!("{:wide$}  {}\n", game.name, game.about)).collect();
    report::print(&lines)?;
    Ok(Ending::Nothing)
}

/// Only a folder that is not there yet or holds nothing is free.
fn refuse_unless_free(folder: &Path) -> Result<(), Stop> {
    if folder.file_name().is_none() && fs::symlink_metadata(folder).is_err() {
        return Err(Stop::System(format!("{} is no name for a folder", folder.display())));
    }
    match fs::read_dir(folder).map(|mut entries| entries.next().is_none()) {
        Ok(true) => Ok(()),
        Ok(false) => Err(Stop::System(format!("{} is not empty, so it is left alone", folder.display()))),
        Err(why) if why.kind() == ErrorKind::NotFound => Ok(()),
        Err(why) => Err(Stop::System(format!("cannot use {}: {why}", folder.display()))),
    }
}

fn write(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    if let Some(above) = path.parent() {
        fs::create_dir_all(above)?;
    }
    let mut file = File::create(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}
