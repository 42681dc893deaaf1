//! `cargo xtask ci`: every check and every test, from a clean clone. All steps run; one that fails makes the whole fail.

use crate::{install, tidy};
use std::path::Path;
use std::process::{Command, ExitCode};
use std::time::Instant;

/// A step and how it went.
struct Ran {
    name: &'static str,
    passed: bool,
    seconds: f64,
}

/// Runs everything and says how it went.
pub(crate) fn run(root: &Path) -> ExitCode {
    let mut ran = Vec::new();
    step(&mut ran, "install what is missing", || {
        install::missing(root).map_err(|why| println!("{why}")).is_ok()
    });
    step(&mut ran, "tidy", || {
        let complaints = tidy::complaints(root);
        complaints.iter().for_each(|complaint| println!("{complaint}"));
        complaints.is_empty()
    });
    for (name, arguments) in CARGO_STEPS {
        step(&mut ran, name, || cargo(root, arguments));
    }
    step(&mut ran, "browser tests", || browser(root));
    println!();
    for step in &ran {
        println!("{:>7.1} s  {}  {}", step.seconds, if step.passed { "passed" } else { "FAILED" }, step.name);
    }
    let failed = ran.iter().filter(|step| !step.passed).count();
    println!("{} passed, {failed} failed", ran.len() - failed);
    if failed == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

const CARGO_STEPS: &[(&str, &[&str])] = &[
    ("format", &["fmt", "--all", "--check"]),
    ("clippy", &["clippy", "--workspace", "--all-targets", "--locked", "--", "-D", "warnings"]),
    // `--no-fail-fast`: one failing crate must not hide another's failures.
    ("tests", &["test", "--workspace", "--locked", "--no-fail-fast"]),
    ("documentation", &["doc", "--workspace", "--no-deps", "--document-private-items", "--locked"]),
];

fn step(ran: &mut Vec<Ran>, name: &'static str, work: impl FnOnce() -> bool) {
    println!("== {name}");
    let begun = Instant::now();
    let passed = work();
    ran.push(Ran { name, passed, seconds: begun.elapsed().as_secs_f64() });
}

fn cargo(root: &Path, arguments: &[&str]) -> bool {
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    succeeds(command.args(arguments).current_dir(root).env("RUSTDOCFLAGS", "-D warnings"), root)
}

/// The page's tests in a real browser. The program they start is built by the tests before.
fn browser(root: &Path) -> bool {
    let folder = root.join("tests/browser");
    let mut files: Vec<_> = std::fs::read_dir(&folder)
        .into_iter()
        .flatten()
        .filter_map(Result::ok)
        .map(|entry| entry.path())
        .filter(|path| path.to_str().is_some_and(|path| path.ends_with(".test.mjs")))
        .collect();
    files.sort();
    if files.is_empty() {
        println!("{} holds no *.test.mjs", folder.display());
        return false;
    }
    succeeds(Command::new("node").arg("--test").args(&files).current_dir(root), root)
}

fn succeeds(command: &mut Command, root: &Path) -> bool {
    match command.env("LAMPWRIGHT_PYTHON", install::python(root)).status() {
        Ok(status) => status.success(),
        Err(why) => {
            println!("{command:?}: {why}");
            false
        }
    }
}
