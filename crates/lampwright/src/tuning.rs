//! The constants of the rules: tried with other values without writing, and kept by an exact change of their bytes.

use crate::folder_files::FolderFiles;
use display::Display;
use finding::Fault;
use rules::form::Form;
use rules::interface::Interface;
use serde_json::{Value, json};
use source::{FileFault, Files, KeyPath, Step, Text, replace_exactly};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use workbench::{Change, Refused, Trier};

/// How the name of a file with rules ends.
const RULES: &str = ".rules";

/// Whether a file's name is one of rules.
pub(crate) fn is_rules(file: &str) -> bool {
    file.len() > RULES.len() && file.ends_with(RULES)
}

/// The key path under which the page knows a constant.
fn path_of(name: &str) -> KeyPath {
    KeyPath::root().key("constant").key(name)
}

/// The rules after one constant has changed; refused where anything else would change, or the value does not fit.
pub(crate) fn changed(text: &Text, change: &Change) -> Result<String, Refused> {
    let name = match change.path.0.as_slice() {
        [Step::Key(_), Step::Key(name)] if change.path == path_of(name) => name,
        _ => {
            return Err(Refused::NoSuchPlace("only a constant of the rules can be changed from here".into()));
        }
    };
    let place = rules::constant_place(text, name)
        .ok_or_else(|| Refused::NoSuchPlace(format!("the rules have no constant `{name}`")))?;
    if !is_value(&change.new) {
        return Err(Refused::Unfit(format!("`{}` is no number and no time", change.new)));
    }
    let after = replace_exactly(text, &place, &change.expected, &change.new)
        .map_err(|_| Refused::Changed(format!("`{name}` is now {}", text.at(&place))))?;
    let new = Text::new(text.name(), after.clone());
    let stands = rules::constant_place(&new, name).is_some_and(|place| new.at(&place) == change.new);
    // Without the display every name is unknown, before and after alike: what counts is that no fault is added.
    let faults =
        |text: &Text| rules::read(text, &Interface::default()).1.iter().filter(|one| one.stops()).count();
    if !stands || faults(&new) > faults(text) {
        return Err(Refused::Unfit(format!("`{name}` cannot be {}", change.new)));
    }
    Ok(after)
}

/// Whether this is spelled like a whole number, with or without a unit of time.
fn is_value(words: &str) -> bool {
    let (number, unit) = words.split_once(' ').unwrap_or((words, "ms"));
    let digits = number.strip_prefix('-').unwrap_or(number);
    (1..=10).contains(&digits.len()) && digits.bytes().all(|byte| byte.is_ascii_digit()) && unit == "ms"
}

/// A folder whose rules have other constants than on the disk.
struct Tuned<'a> {
    files: &'a FolderFiles,
    constants: &'a BTreeMap<String, String>,
}

impl Files for Tuned<'_> {
    fn read(&self, path: &str) -> Result<Vec<u8>, FileFault> {
        let bytes = self.files.read(path)?;
        let Ok(words) = String::from_utf8(bytes.clone()) else { return Ok(bytes) };
        if !is_rules(path) {
            return Ok(bytes);
        }
        let tuned = self.constants.iter().fold(Text::new(path, words), |text, (name, new)| {
            let Some(place) = rules::constant_place(&text, name) else { return text };
            let after = replace_exactly(&text, &place, text.at(&place), new);
            after.map(|after| Text::new(path, after)).unwrap_or(text)
        });
        Ok(tuned.content().as_bytes().to_vec())
    }

    fn names(&self) -> Vec<String> {
        self.files.names()
    }
}

/// A display with its faults and texts.
type Read = (Option<Display>, Vec<Fault>, Vec<Text>);

/// Reads this folder with other constants in its rules.
pub(crate) fn tuned(folder: &Path, constants: &BTreeMap<String, String>) -> Result<Read, Refused> {
    if let Some(unfit) = constants.values().find(|value| !is_value(value)) {
        return Err(Refused::Unfit(format!("`{unfit}` is no number and no time")));
    }
    let files = FolderFiles::open(folder).map_err(|why| Refused::System(why.to_string()))?;
    Ok(display::read(&Tuned { files: &files, constants }))
}

/// Reads the rules of this folder with other constants.
pub(crate) fn trier(folder: &Path) -> Trier {
    let folder: PathBuf = folder.to_owned();
    Arc::new(move |constants| {
        let (display, faults, texts) = tuned(&folder, constants)?;
        let about_rules = |fault: &&Fault| fault.place.as_ref().is_some_and(|place| is_rules(&place.file));
        let faults: Vec<Value> =
            faults.iter().filter(about_rules).map(|fault| workbench::fault_json(fault, &texts)).collect();
        Ok(json!({ "form": display.map(|display| display.form), "faults": faults }))
    })
}

/// The text of the rules among those of a description.
pub(crate) fn rules_text(texts: &[Text]) -> Option<&Text> {
    texts.iter().find(|text| is_rules(text.name()))
}

/// Where the tunable constants stand, as cures say it.
pub(crate) fn constants(form: &Form, texts: &[Text]) -> Vec<Value> {
    let Some(text) = rules_text(texts) else { return Vec::new() };
    let stands = |name: &str| {
        let place = rules::constant_place(text, name)?;
        let line = text.line_column(place.start).line;
        Some(
            json!({ "name": name, "path": path_of(name), "file": text.name(), "line": line, "text": text.at(&place) }),
        )
    };
    form.sliders.iter().filter_map(|slider| stands(&slider.name)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const RULES_TEXT: &str = "constant slow = 500 ms from 200 ms to 900 ms   # keep\nconstant few = 3\n";

    fn change(name: &str, expected: &str, new: &str) -> Change {
        Change { file: "a.rules".into(), path: path_of(name), expected: expected.into(), new: new.into() }
    }

    #[test]
    fn a_constant_is_changed_and_no_other_byte() {
        let text = Text::new("a.rules", RULES_TEXT);
        let after = changed(&text, &change("slow", "500 ms", "620 ms")).unwrap();
        assert_eq!(after, RULES_TEXT.replace("500 ms", "620 ms"));
        assert_eq!(
            changed(&Text::new("a.rules", after), &change("slow", "620 ms", "500 ms")).unwrap(),
            RULES_TEXT
        );
    }

    #[test]
    fn what_does_not_fit_is_refused() {
        let text = Text::new("a.rules", RULES_TEXT);
        let ask = |name, expected, new| changed(&text, &change(name, expected, new));
        assert!(matches!(ask("slow", "400 ms", "620 ms"), Err(Refused::Changed(_))));
        assert!(matches!(ask("fast", "500 ms", "620 ms"), Err(Refused::NoSuchPlace(_))));
        for new in ["625 ms", "1000 ms", "620", "620 s", "600 ms # x", "600 ms\nconstant x = 1", ""] {
            assert!(matches!(ask("slow", "500 ms", new), Err(Refused::Unfit(_))), "{new:?}");
        }
        let other = Change { path: KeyPath::dotted("machine.slow"), ..change("slow", "500 ms", "620 ms") };
        assert!(matches!(changed(&text, &other), Err(Refused::NoSuchPlace(_))));
    }

    #[test]
    fn rules_are_tried_without_writing_them() {
        let folder = tempfile::tempdir().unwrap();
        let rules = "constant slow = 500 ms from 200 ms to 900 ms\nmachine one\n  state a\n  state b\n  a after slow go b\n";
        std::fs::write(folder.path().join("a.rules"), rules).unwrap();
        std::fs::write(folder.path().join("display.toml"), "title = \"A\"\nrules = \"a.rules\"\n").unwrap();
        let tried =
            |value: &str| trier(folder.path())(&BTreeMap::from([("slow".to_owned(), value.to_owned())]));
        let read = tried("620 ms").unwrap();
        assert_eq!(read["form"]["sliders"][0]["value"], 620);
        assert_eq!(read["form"]["machines"][0]["states"][0]["dwells"][0]["ticks"], 62);
        assert_eq!(tried("1000 ms").unwrap()["faults"][0]["code"], "rules/limits");
        assert!(matches!(tried("1 s\n"), Err(Refused::Unfit(_))));
        assert_eq!(std::fs::read_to_string(folder.path().join("a.rules")).unwrap(), rules);
    }
}
