//! What the tests of the program share: a copy of the waving fox, running the program, and the hash of a whole folder.
#![allow(clippy::disallowed_methods, reason = "tests run the program on real files")]
#![allow(dead_code, reason = "each test file uses its own part of this")]

use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use tempfile::TempDir;

/// A folder of its own with a copy of the waving fox in `fox`.
pub(crate) struct Fox {
    /// Holds the display's folder and nothing else.
    pub outer: TempDir,
}

impl Fox {
    /// The waving fox as `new` gives it.
    pub(crate) fn new() -> Self {
        let outer = tempfile::tempdir().unwrap();
        copy(
            &Path::new(env!("CARGO_MANIFEST_DIR")).join("../../displays/waving-fox"),
            &outer.path().join("fox"),
        );
        Self { outer }
    }

    /// The display's folder.
    pub(crate) fn folder(&self) -> PathBuf {
        self.outer.path().join("fox")
    }

    /// Where `build` writes.
    pub(crate) fn recipe(&self) -> PathBuf {
        self.folder().join("recipe")
    }

    /// Replaces words in a file; they must stand there exactly once.
    pub(crate) fn change(&self, file: &str, from: &str, to: &str) {
        let path = self.folder().join(file);
        let text = fs::read_to_string(&path).unwrap();
        assert_eq!(text.matches(from).count(), 1, "{from:?} in {file}");
        fs::write(path, text.replacen(from, to, 1)).unwrap();
    }

    /// Runs a command of the program on the display.
    pub(crate) fn run(&self, command: &str, more: &[&str]) -> Output {
        program().arg(command).arg(self.folder()).args(more).output().unwrap()
    }
}

/// The program.
pub(crate) fn program() -> Command {
    let mut program = Command::new(env!("CARGO_BIN_EXE_lampwright"));
    program.env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE");
    program
}

/// The exit code; a test that is killed by a signal has none, and fails here.
pub(crate) fn code(output: &Output) -> i32 {
    output.status.code().unwrap_or_else(|| panic!("ended by a signal: {output:?}"))
}

/// What was said on the error stream; never a panic.
pub(crate) fn said(output: &Output) -> String {
    let said = String::from_utf8(output.stderr.clone()).unwrap();
    assert!(!said.contains("panicked"), "{said}");
    said
}

/// What was printed, as JSON.
pub(crate) fn json(output: &Output) -> Value {
    said(output);
    serde_json::from_slice(&output.stdout).unwrap_or_else(|why| panic!("{why}: {output:?}"))
}

/// Every file below a folder with its bytes.
pub(crate) fn contents(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    for entry in fs::read_dir(folder).into_iter().flatten() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(
                contents(&path)
                    .into_iter()
                    .map(|(inner, bytes)| (Path::new(path.file_name().unwrap()).join(inner), bytes)),
            );
        } else {
            found.insert(path.file_name().unwrap().into(), fs::read(&path).unwrap());
        }
    }
    found
}

/// The names directly in a folder, sorted.
pub(crate) fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).into_iter().flatten();
    let mut names: Vec<String> =
        entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        if entry.file_name() == "recipe" {
            continue;
        }
        let to = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &to);
        } else {
            fs::copy(entry.path(), to).unwrap();
        }
    }
}
