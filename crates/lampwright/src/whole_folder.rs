//! Replacing a folder whole or not at all.
//!
//! The new content is written into a folder beside the old one, brought to the disk, and then exchanged with it in one
//! step of the file system. Whoever is killed on the way leaves the earlier folder whole; what is left lying about is
//! removed by the next run, which knows it by its name and by the marker file inside.

use crate::ending::Stop;
use rustix::fs::{CWD, RenameFlags, renameat_with};
use rustix::io::Errno;
use std::collections::BTreeMap;
use std::fs::{self, File, Permissions};
use std::io::Write;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};

/// The file that says a folder is ours to replace.
pub(crate) const MARKER: &str = "made-by-lampwright.txt";
const MARKER_TEXT: &str = "\
This folder was made by `lampwright build`, which replaces it whole each time.
Keep files of your own somewhere else.
";
/// Folders being written beside the one they will replace.
const FRESH: &str = ".recipe-new-";
/// The earlier folder while it steps aside, where the file system cannot exchange two folders.
const EARLIER: &str = ".recipe-earlier-";

/// Files by their path inside the folder (`/` between folders).
pub(crate) type Contents = BTreeMap<String, Vec<u8>>;

/// Says why a folder may not be replaced, before any work is done for it.
pub(crate) fn may_replace(out: &Path) -> Result<(), Stop> {
    let about = match fs::symlink_metadata(out) {
        Ok(about) => about,
        Err(why) if why.kind() == std::io::ErrorKind::NotFound => return Ok(()),
        Err(why) => return Err(Stop::System(format!("cannot look at {}: {why}", out.display()))),
    };
    if !about.is_dir() {
        return Err(Stop::System(format!("{} is not a folder, so it is left alone", out.display())));
    }
    if is_ours(out) || is_empty(out)? {
        return Ok(());
    }
    Err(Stop::System(format!(
        "{} holds files that lampwright did not make ({MARKER} is not there), so it is left alone; name another folder with --out",
        out.display()
    )))
}

/// Puts a folder with exactly these contents at `out`, in place of an earlier one of ours.
pub(crate) fn replace(out: &Path, contents: &Contents) -> Result<(), Stop> {
    let (parent, name) = split(out)?;
    fs::create_dir_all(&parent).map_err(Stop::doing(format!("cannot make {}", parent.display())))?;
    // Two builds side by side would sweep up each other's folders: the second waits.
    let lock = File::open(&parent).map_err(Stop::doing(format!("cannot open {}", parent.display())))?;
    lock.lock().map_err(Stop::doing(format!("cannot lock {}", parent.display())))?;
    sweep(&parent)?;
    may_replace(out)?;
    let fresh = tempfile::Builder::new()
        .prefix(FRESH)
        .permissions(Permissions::from_mode(0o777))
        .tempdir_in(&parent)
        .map_err(Stop::doing(format!("cannot write in {}", parent.display())))?
        .keep();
    let written = write_all(&fresh, contents)
        .and_then(|()| exchange(&parent, &fresh, out, &name))
        .and_then(|()| sync(&parent));
    // Now the earlier folder stands where the fresh one was written, or a half-written one does, or nothing.
    let removed = remove_ours(&fresh);
    written?;
    removed.map_err(|why| match why {
        Stop::System(why) => Stop::System(format!("the recipe is written, but {why}")),
        other => other,
    })
}

/// Removes what killed runs left in `parent`, and brings back a folder that had only stepped aside.
fn sweep(parent: &Path) -> Result<(), Stop> {
    let entries = fs::read_dir(parent).map_err(Stop::doing(format!("cannot list {}", parent.display())))?;
    for entry in entries.filter_map(Result::ok) {
        let (path, name) = (entry.path(), entry.file_name());
        let Some(name) = name.to_str() else { continue };
        if !entry.file_type().is_ok_and(|kind| kind.is_dir()) {
            continue;
        }
        if let Some(out) = name.strip_prefix(EARLIER).map(|out| parent.join(out)) {
            if is_ours(&path) && !out.exists() {
                fs::rename(&path, &out)
                    .map_err(Stop::doing(format!("cannot bring back {}", out.display())))?;
            } else {
                remove_ours(&path)?;
            }
        } else if name.starts_with(FRESH) {
            remove_ours(&path)?;
        }
    }
    Ok(())
}

/// Removes a left-over folder if it is ours; one without the marker goes only when it is empty.
fn remove_ours(path: &Path) -> Result<(), Stop> {
    if !is_ours(path) {
        // Not empty and not marked: somebody else's, whatever its name.
        let _ = fs::remove_dir(path);
        return Ok(());
    }
    // The marker goes last, so that a sweep that is killed can be taken up again.
    for entry in fs::read_dir(path).map_err(Stop::doing(format!("cannot list {}", path.display())))? {
        let entry = entry?;
        if entry.file_name() == MARKER {
            continue;
        }
        let is_folder = entry.file_type()?.is_dir();
        let removed =
            if is_folder { fs::remove_dir_all(entry.path()) } else { fs::remove_file(entry.path()) };
        removed.map_err(Stop::doing(format!("cannot remove {}", entry.path().display())))?;
    }
    fs::remove_dir_all(path).map_err(Stop::doing(format!("cannot remove {}", path.display())))
}

fn write_all(folder: &Path, contents: &Contents) -> Result<(), Stop> {
    // The marker first: from here on the folder can be known as ours.
    write_one(&folder.join(MARKER), MARKER_TEXT.as_bytes())?;
    let mut folders = std::collections::BTreeSet::from([folder.to_owned()]);
    for (path, bytes) in contents {
        let inside = path.split('/').all(|part| !part.is_empty() && part != "." && part != "..");
        if !inside || path == MARKER {
            return Err(Stop::System(format!("the recipe names a file {path:?} that cannot be written")));
        }
        let file = folder.join(path);
        if let Some(above) = file.parent() {
            fs::create_dir_all(above).map_err(Stop::doing(format!("cannot make {}", above.display())))?;
            folders
                .extend(above.ancestors().take_while(|above| above.starts_with(folder)).map(Path::to_owned));
        }
        write_one(&file, bytes)?;
    }
    folders.iter().rev().try_for_each(|folder| sync(folder))
}

fn write_one(path: &Path, bytes: &[u8]) -> Result<(), Stop> {
    let written = File::create(path).and_then(|mut file| {
        file.write_all(bytes)?;
        file.sync_all()
    });
    written.map_err(Stop::doing(format!("cannot write {}", path.display())))
}

fn sync(folder: &Path) -> Result<(), Stop> {
    File::open(folder)
        .and_then(|folder| folder.sync_all())
        .map_err(Stop::doing(format!("cannot bring {} to the disk", folder.display())))
}

fn exchange(parent: &Path, fresh: &Path, out: &Path, name: &str) -> Result<(), Stop> {
    let failed = |why: Errno| Stop::System(format!("cannot put the recipe at {}: {why}", out.display()));
    if !out.exists() {
        return fs::rename(fresh, out)
            .map_err(Stop::doing(format!("cannot put the recipe at {}", out.display())));
    }
    match renameat_with(CWD, fresh, CWD, out, RenameFlags::EXCHANGE) {
        Ok(()) => Ok(()),
        Err(Errno::INVAL | Errno::NOSYS | Errno::OPNOTSUPP) => step_aside(parent, fresh, out, name),
        Err(why) => Err(failed(why)),
    }
}

/// The way of two renames; a run killed between them leaves the earlier folder beside, and [`sweep`] brings it back.
fn step_aside(parent: &Path, fresh: &Path, out: &Path, name: &str) -> Result<(), Stop> {
    let doing = || Stop::doing(format!("cannot put the recipe at {}", out.display()));
    let aside = parent.join(format!("{EARLIER}{name}"));
    fs::rename(out, &aside).map_err(doing())?;
    if let Err(why) = fs::rename(fresh, out) {
        fs::rename(&aside, out).map_err(doing())?;
        return Err(doing()(why));
    }
    remove_ours(&aside)
}

fn is_ours(folder: &Path) -> bool {
    fs::symlink_metadata(folder.join(MARKER)).is_ok_and(|about| about.is_file())
}

fn is_empty(folder: &Path) -> Result<bool, Stop> {
    let mut entries =
        fs::read_dir(folder).map_err(Stop::doing(format!("cannot list {}", folder.display())))?;
    Ok(entries.next().is_none())
}

/// The folder that holds `out`, and the name of `out` in it.
fn split(out: &Path) -> Result<(PathBuf, String), Stop> {
    let name = out.file_name().and_then(|name| name.to_str());
    let name = name.ok_or_else(|| Stop::System(format!("{} is no name for a folder", out.display())))?;
    let parent = match out.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    };
    Ok((parent, name.to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn contents(word: &str) -> Contents {
        Contents::from([("a.txt".into(), word.into()), ("deep/b.txt".into(), word.into())])
    }

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn a_folder_is_replaced_whole_and_nothing_is_left_beside() {
        let parent = tempfile::tempdir().unwrap();
        let out = parent.path().join("recipe");
        replace(&out, &Contents::from([("gone.txt".into(), b"x".to_vec())])).unwrap();
        replace(&out, &contents("new")).unwrap();
        assert_eq!(names(parent.path()), ["recipe"]);
        assert_eq!(names(&out), ["a.txt", "deep", MARKER]);
        assert_eq!(fs::read_to_string(out.join("deep/b.txt")).unwrap(), "new");
    }

    #[test]
    fn a_folder_of_somebody_else_is_left_alone() {
        let parent = tempfile::tempdir().unwrap();
        let out = parent.path().join("recipe");
        fs::create_dir_all(&out).unwrap();
        may_replace(&out).unwrap();
        fs::write(out.join("letters.txt"), "mine").unwrap();
        assert!(matches!(may_replace(&out), Err(Stop::System(_))));
        assert!(matches!(replace(&out, &contents("x")), Err(Stop::System(_))));
        assert_eq!(names(&out), ["letters.txt"]);
        assert_eq!(names(parent.path()), ["recipe"]);
    }

    #[test]
    fn left_overs_go_only_when_they_carry_the_marker() {
        let parent = tempfile::tempdir().unwrap();
        for name in [".recipe-new-dead", ".recipe-new-yours", ".recipe-new-empty"] {
            fs::create_dir_all(parent.path().join(name)).unwrap();
        }
        fs::write(parent.path().join(".recipe-new-dead").join(MARKER), "").unwrap();
        fs::write(parent.path().join(".recipe-new-dead/half"), "").unwrap();
        fs::write(parent.path().join(".recipe-new-yours/letters.txt"), "").unwrap();
        replace(&parent.path().join("recipe"), &contents("x")).unwrap();
        assert_eq!(names(parent.path()), [".recipe-new-yours", "recipe"]);
    }

    #[test]
    fn a_folder_that_had_stepped_aside_comes_back() {
        let parent = tempfile::tempdir().unwrap();
        let out = parent.path().join("recipe");
        replace(&out, &contents("earlier")).unwrap();
        // What a run killed between its two renames leaves.
        fs::rename(&out, parent.path().join(".recipe-earlier-recipe")).unwrap();
        sweep(parent.path()).unwrap();
        assert_eq!(fs::read_to_string(out.join("a.txt")).unwrap(), "earlier");
        assert_eq!(names(parent.path()), ["recipe"]);
    }

    #[test]
    fn two_renames_do_what_an_exchange_does() {
        let parent = tempfile::tempdir().unwrap();
        let out = parent.path().join("recipe");
        replace(&out, &contents("earlier")).unwrap();
        let fresh = parent.path().join(".recipe-new-x");
        fs::create_dir_all(&fresh).unwrap();
        write_all(&fresh, &contents("later")).unwrap();
        step_aside(parent.path(), &fresh, &out, "recipe").unwrap();
        assert_eq!(fs::read_to_string(out.join("a.txt")).unwrap(), "later");
        assert_eq!(names(parent.path()), ["recipe"]);
    }

    #[test]
    fn no_file_is_written_outside_its_folder() {
        let parent = tempfile::tempdir().unwrap();
        for path in ["../out.txt", "/out.txt", "a//b", "./a", ""] {
            let bad = Contents::from([(path.into(), Vec::new())]);
            assert!(replace(&parent.path().join("recipe"), &bad).is_err(), "{path}");
        }
        assert_eq!(names(parent.path()), Vec::<String>::new());
    }
}
