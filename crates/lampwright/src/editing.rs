//! Changes that the page asks for: one value of one file, written whole or not at all, and noted in a journal.

use cap_std::ambient_authority;
use cap_std::fs::{Dir, OpenOptions};
use display::{DESCRIPTION, Edit, EditFault, SHELF, place_of};
use serde_json::{Value, json};
use source::{KeyPath, MAX_FILE_BYTES, PatchFault, Text};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use workbench::{Change, Editor, Refused};

/// The folder for what we keep about a display, inside the display's folder.
const KEPT: &str = ".lampwright";
/// One line for every change, begun or done, so that each can be looked up and taken back later.
const JOURNAL: &str = ".lampwright/edits.jsonl";
/// The new text until it takes the place of the old one.
const FRESH: &str = ".lampwright/fresh";
/// The files whose values may be changed.
const FILES: [&str; 2] = [DESCRIPTION, SHELF];

/// Makes changes in this folder, one after the other.
pub(crate) fn editor(folder: &Path) -> Editor {
    let folder: PathBuf = folder.to_owned();
    let turn = Mutex::new(());
    Arc::new(move |change| {
        let _mine = turn.lock().map_err(|_| Refused::System("an earlier change went wrong".into()))?;
        let folder = Dir::open_ambient_dir(&folder, ambient_authority()).map_err(|why| system(&why))?;
        make(&folder, change)
    })
}

/// Adds to every cure with an edit what stands there now, so that the page can show both and ask for exactly this change.
pub(crate) fn say_what_stands(plan: &mut Value, texts: &[Text]) {
    let Some(findings) = plan["findings"].as_array_mut() else { return };
    let cures = findings.iter_mut().filter_map(|finding| finding["cures"].as_array_mut()).flatten();
    for cure in cures {
        cure["stands"] = serde_json::from_value::<KeyPath>(cure["edit"][0].clone())
            .ok()
            .and_then(|path| standing(&path, texts))
            .unwrap_or(Value::Null);
    }
}

/// File, line and text of what stands at a path.
fn standing(path: &KeyPath, texts: &[Text]) -> Option<Value> {
    let texts = FILES.iter().filter_map(|name| texts.iter().find(|text| text.name() == *name));
    let (text, place) = texts.filter_map(|text| Some((text, place_of(text, path)?))).next()?;
    let line = text.line_column(place.start).line;
    Some(json!({ "file": text.name(), "line": line, "text": text.at(&place) }))
}

fn make(folder: &Dir, change: &Change) -> Result<(), Refused> {
    let of_rules = crate::tuning::is_rules(&change.file);
    if !of_rules && !FILES.contains(&change.file.as_str()) {
        return Err(Refused::NoSuchPlace(format!("{} is no file of the description", change.file)));
    }
    let before = read(folder, &change.file)?;
    let text = Text::new(&change.file, before.clone());
    let after = if of_rules { crate::tuning::changed(&text, change)? } else { described(&text, change)? };
    folder.create_dir_all(KEPT).map_err(|why| system(&why))?;
    note(folder, change, "begun").map_err(|why| system(&why))?;
    // Whoever saved in an editor a moment ago keeps what was saved.
    if read(folder, &change.file)? != before {
        return Err(Refused::Changed(format!("{} was saved meanwhile", change.file)));
    }
    replace(folder, &change.file, &after).map_err(|why| system(&why))?;
    note(folder, change, "done").map_err(|why| system(&why))
}

/// A text of the description after a change.
fn described(text: &Text, change: &Change) -> Result<String, Refused> {
    let edit = Edit { path: change.path.clone(), expected: change.expected.clone(), new: change.new.clone() };
    display::apply(text, &edit).map_err(|fault| refusal(&fault))
}

/// The whole text of a regular file: a link may lead to what is none of ours.
fn read(folder: &Dir, file: &str) -> Result<String, Refused> {
    let missing = |why: &io::Error| match why.kind() {
        io::ErrorKind::NotFound => Refused::NoSuchPlace(format!("there is no {file}")),
        _ => system(why),
    };
    let about = folder.symlink_metadata(file).map_err(|why| missing(&why))?;
    if !about.is_file() || about.len() > MAX_FILE_BYTES as u64 {
        return Err(Refused::Unfit(format!("{file} is not a file that can be changed from here")));
    }
    let mut text = String::new();
    let opened = folder.open(file).map_err(|why| missing(&why))?;
    opened.take(MAX_FILE_BYTES as u64).read_to_string(&mut text).map_err(|why| system(&why))?;
    Ok(text)
}

/// Puts a text in the place of a file in one step, with the rights that the file had.
fn replace(folder: &Dir, file: &str, text: &str) -> io::Result<()> {
    let rights = folder.metadata(file)?.permissions();
    let mut fresh = folder.create(FRESH)?;
    fresh.write_all(text.as_bytes())?;
    fresh.set_permissions(rights)?;
    fresh.sync_all()?;
    folder.rename(FRESH, folder, file)?;
    folder.open(".")?.sync_all()
}

fn note(folder: &Dir, change: &Change, state: &str) -> io::Result<()> {
    let mut journal = folder.open_with(JOURNAL, OpenOptions::new().create(true).append(true))?;
    let line = json!({ "state": state, "change": change });
    writeln!(journal, "{line}")?;
    journal.sync_all()
}

fn refusal(fault: &EditFault) -> Refused {
    let words = fault.to_string();
    match fault {
        EditFault::NoSuchPath => Refused::NoSuchPlace(words),
        EditFault::Patch(PatchFault::Changed(_)) => Refused::Changed(words),
        _ => Refused::Unfit(words),
    }
}

fn system(why: &io::Error) -> Refused {
    Refused::System(why.to_string())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "test code: helpers outside of tests stop a test the same way")]
    use super::*;
    use std::fs;

    const TEXT: &str = "title = \"Fox\" # keep\n\n[figure.fox]\nheight = \"4 ft\"\n";

    fn folder() -> tempfile::TempDir {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join(DESCRIPTION), TEXT).unwrap();
        folder
    }

    fn change(expected: &str, new: &str) -> Change {
        Change {
            file: DESCRIPTION.into(),
            path: KeyPath::dotted("figure.fox.height"),
            expected: expected.into(),
            new: new.into(),
        }
    }

    #[test]
    fn a_change_and_its_undoing_leave_every_byte_and_two_lines_each_in_the_journal() {
        let folder = folder();
        let editor = editor(folder.path());
        editor(&change("\"4 ft\"", "\"5 ft\"")).unwrap();
        let text = || fs::read_to_string(folder.path().join(DESCRIPTION)).unwrap();
        assert_eq!(text(), TEXT.replace("4 ft", "5 ft"));
        editor(&change("\"5 ft\"", "\"4 ft\"")).unwrap();
        assert_eq!(text(), TEXT);
        let journal = fs::read_to_string(folder.path().join(JOURNAL)).unwrap();
        let states =
            journal.lines().map(|line| serde_json::from_str::<Value>(line).unwrap()["state"].clone());
        assert_eq!(states.collect::<Vec<_>>(), ["begun", "done", "begun", "done"]);
        assert!(!folder.path().join(FRESH).exists());
    }

    #[test]
    fn what_does_not_fit_changes_nothing() {
        let folder = folder();
        let editor = editor(folder.path());
        let other = |file: &str, path: &str| Change {
            file: file.into(),
            path: KeyPath::dotted(path),
            ..change("\"4 ft\"", "\"5 ft\"")
        };
        assert!(matches!(editor(&change("\"3 ft\"", "\"5 ft\"")), Err(Refused::Changed(_))));
        assert!(matches!(editor(&change("\"4 ft\"", "5 ft")), Err(Refused::Unfit(_))));
        assert!(matches!(editor(&change("\"4 ft\"", "1\nsheet = \"x\"")), Err(Refused::Unfit(_))));
        assert!(matches!(editor(&other(DESCRIPTION, "figure.cat.height")), Err(Refused::NoSuchPlace(_))));
        for file in ["../display.toml", "/etc/hostname", "art/fox.svg", SHELF] {
            assert!(
                matches!(editor(&other(file, "figure.fox.height")), Err(Refused::NoSuchPlace(_))),
                "{file}"
            );
        }
        assert_eq!(fs::read_to_string(folder.path().join(DESCRIPTION)).unwrap(), TEXT);
    }

    #[test]
    fn a_link_is_left_alone() {
        let folder = folder();
        let elsewhere = tempfile::tempdir().unwrap();
        let target = elsewhere.path().join("kept.toml");
        fs::write(&target, TEXT).unwrap();
        fs::remove_file(folder.path().join(DESCRIPTION)).unwrap();
        std::os::unix::fs::symlink(&target, folder.path().join(DESCRIPTION)).unwrap();
        assert!(matches!(editor(folder.path())(&change("\"4 ft\"", "\"5 ft\"")), Err(Refused::Unfit(_))));
        assert_eq!(fs::read_to_string(&target).unwrap(), TEXT);
    }

    #[test]
    fn a_cure_is_told_what_stands_where_it_would_write() {
        let cure = |path: &str| json!({ "words": "taller", "edit": [KeyPath::dotted(path), "\"5 ft\""] });
        let mut plan = json!({ "findings": [{ "cures": [
            cure("figure.fox.height"), cure("figure.cat.height"), { "words": "talk", "edit": null },
        ] }] });
        say_what_stands(&mut plan, &[Text::new(DESCRIPTION, TEXT)]);
        let cures = &plan["findings"][0]["cures"];
        assert_eq!(cures[0]["stands"], json!({ "file": DESCRIPTION, "line": 4, "text": "\"4 ft\"" }));
        assert_eq!((&cures[1]["stands"], &cures[2]["stands"]), (&Value::Null, &Value::Null));
    }
}
