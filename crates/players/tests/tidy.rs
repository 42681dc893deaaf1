//! Rules laid out are the same game: random rules and the displays of this project, with blanks thrown about.
#![allow(missing_docs, reason = "a test")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "test code: a panic is a failed test")]
#![allow(clippy::disallowed_methods, reason = "tests read the displays")]

use finding::Fault;
use players::random_rules::{self, Dice};
use rules::form::Form;
use rules::tidy::tidied;
use source::{FileFault, Files, Text};
use std::fs;
use std::path::{Path, PathBuf};

/// A text with other blanks where there are some already, and blank lines.
fn shaken(text: &str, dice: &mut Dice) -> String {
    let mut out = String::new();
    for line in text.lines() {
        let (code, comment) = line.split_at(line.find('#').unwrap_or(line.len()));
        out.push_str(&" ".repeat(usize::try_from(dice.pick(0, 6)).unwrap()));
        for word in code.split_whitespace() {
            out.push_str(word);
            out.push_str(["  ", " ", "\t", " "][usize::try_from(dice.pick(0, 3)).unwrap()]);
        }
        out.push_str(comment);
        out.push_str(["\n", "\n\n\n", " \n"][usize::try_from(dice.pick(0, 2)).unwrap()]);
    }
    out
}

#[test]
fn random_rules_laid_out_have_the_same_form() {
    for seed in 0..300 {
        let (text, form) = random_rules::rules(seed);
        let shaken = shaken(&text, &mut Dice::new(seed));
        let first = tidied(&Text::new("random.rules", shaken));
        assert!(first.left.is_empty(), "{text}");
        let (same, faults) =
            rules::read(&Text::new("random.rules", first.content.clone()), &random_rules::interface(seed));
        assert!(!faults.iter().any(Fault::stops), "{text}");
        assert_eq!(form, same, "{text}");
        // Blanks and empty lines apart, it comes out however it was written.
        let again = tidied(&Text::new("random.rules", first.content.clone()));
        assert_eq!(first, again, "{text}");
    }
}

/// A display's folder whose rules have other blanks.
struct Folder {
    path: PathBuf,
    rules: Option<String>,
}

impl Files for Folder {
    fn read(&self, path: &str) -> Result<Vec<u8>, FileFault> {
        match &self.rules {
            Some(rules) if path.ends_with(".rules") => Ok(rules.clone().into_bytes()),
            _ => fs::read(self.path.join(path)).map_err(|_| FileFault::Missing),
        }
    }

    fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(&self.path).unwrap();
        let mut names: Vec<String> =
            entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }
}

impl Folder {
    /// The form and the rules' text.
    fn form(&self) -> (Form, String) {
        let (display, faults, texts) = display::read(self);
        assert!(!faults.iter().any(Fault::stops), "{faults:#?}");
        let text = texts.iter().find(|text| text.name().ends_with(".rules")).unwrap();
        (display.unwrap().form, text.content().to_owned())
    }
}

#[test]
fn the_displays_are_laid_out_and_stay_the_same_games() {
    let displays = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../displays");
    let mut games = 0;
    for entry in fs::read_dir(displays).unwrap() {
        let mut folder = Folder { path: entry.unwrap().path(), rules: None };
        let (form, text) = folder.form();
        assert_eq!(tidied(&Text::new("a.rules", text.clone())).content, text, "lampwright tidy changes it");
        for seed in 0..20 {
            let content = tidied(&Text::new("a.rules", shaken(&text, &mut Dice::new(seed)))).content;
            folder.rules = Some(content);
            assert_eq!(folder.form().0, form, "{}", folder.path.display());
        }
        games += 1;
    }
    assert!(games >= 4, "only {games} displays");
}
