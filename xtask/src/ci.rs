//! `cargo xtask ci`: every check and every test, from a clean clone. All steps run; one that fails makes the whole fail.

use crate::binaries::{self, Built};
use crate::{compiler, install, tidy};
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode, Stdio};
use std::time::Instant;

/// A step and how it went.
struct Ran {
    name: &'static str,
    passed: bool,
    seconds: f64,
}

/// Runs everything and says how it went.
pub(crate) fn run(root: &Path) -> ExitCode {
    let target = target(root);
    let mut ran = Vec::new();
    step(&mut ran, "install what is missing", || {
        install::missing(root).map_err(|why| println!("{why}")).is_ok()
    });
    step(&mut ran, "tidy", || {
        let complaints = tidy::complaints(root);
        complaints.iter().for_each(|complaint| println!("{complaint}"));
        complaints.is_empty()
    });
    step(&mut ran, "format", || succeeds(cargo(root, &["fmt", "--all", "--check"])));
    let mut built = Vec::new();
    let compiler = match compiler::settled_copy(&target) {
        Ok(compiler) => compiler,
        Err(why) => {
            println!("cannot copy this program into {}: {why}", target.display());
            return ExitCode::FAILURE;
        }
    };
    step(&mut ran, "compile: lints, documentation, tests", || {
        compile(root, (&compiler, &target), &mut built)
    });
    // What an earlier run left behind must not stand in for what this one should write.
    let vectors = target.join("random-vectors");
    let _ = std::fs::remove_dir_all(&vectors);
    step(&mut ran, "tests", || binaries::run(&built, |command| prepare(command, root)));
    step(&mut ran, "examples in the documentation", || {
        let mut examples = cargo(root, &["test", "--workspace", "--doc", "--locked", "--no-fail-fast"]);
        compiler::through_here(&mut examples, &compiler, &target);
        succeeds(examples)
    });
    step(&mut ran, "browser tests", || browser(root, &vectors, &built));
    println!();
    for step in &ran {
        println!("{:>7.1} s  {}  {}", step.seconds, if step.passed { "passed" } else { "FAILED" }, step.name);
    }
    let failed = ran.iter().filter(|step| !step.passed).count();
    println!("{} passed, {failed} failed", ran.len() - failed);
    if failed == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

fn step(ran: &mut Vec<Ran>, name: &'static str, work: impl FnOnce() -> bool) {
    println!("== {name}");
    let begun = Instant::now();
    let passed = work();
    ran.push(Ran { name, passed, seconds: begun.elapsed().as_secs_f64() });
}

/// Where cargo builds.
fn target(root: &Path) -> PathBuf {
    let folder = std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| root.join("target"), PathBuf::from);
    std::path::absolute(&folder).unwrap_or(folder)
}

fn cargo(root: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    command.args(arguments).current_dir(root);
    prepare(&mut command, root);
    command
}

fn prepare(command: &mut Command, root: &Path) {
    command.env("LAMPWRIGHT_PYTHON", install::python(root));
}

/// Compiles everything there is, with every lint, and looks at the documentation on the way.
fn compile(root: &Path, (compiler, target): (&Path, &Path), built: &mut Vec<Built>) -> bool {
    // `--keep-going`: one crate that does not compile must not hide another's faults.
    let mut build = cargo(root, &["build", "--workspace", "--all-targets", "--keep-going", "--locked"]);
    build.arg("--message-format=json-render-diagnostics").stderr(Stdio::inherit());
    compiler::through_here(&mut build, compiler, target);
    match build.output() {
        Ok(done) => {
            built.extend(binaries::built(&String::from_utf8_lossy(&done.stdout)));
            done.status.success()
        }
        Err(why) => {
            println!("{build:?}: {why}");
            false
        }
    }
}

/// The page's tests in a real browser, with the program that was built and the vectors that the tests have written.
fn browser(root: &Path, vectors: &Path, built: &[Built]) -> bool {
    let folder = root.join("tests/browser");
    let mut files: Vec<_> = std::fs::read_dir(&folder)
        .into_iter()
        .flatten()
        .filter_map(Result::ok)
        .map(|entry| entry.path())
        .filter(|path| path.to_str().is_some_and(|path| path.ends_with(".test.mjs")))
        .collect();
    files.sort();
    let program = built.iter().find(|built| built.name == "lampwright: lampwright" && !built.is_test);
    let (false, Some(program)) = (files.is_empty(), program) else {
        println!("{} holds no *.test.mjs, or the program was not built", folder.display());
        return false;
    };
    let mut node = Command::new("node");
    node.arg("--test").args(&files).current_dir(root);
    node.env("LAMPWRIGHT_BINARY", &program.program).env("LAMPWRIGHT_RANDOM_VECTORS", vectors);
    succeeds(node)
}

fn succeeds(mut command: Command) -> bool {
    match command.status() {
        Ok(status) => status.success(),
        Err(why) => {
            println!("{command:?}: {why}");
            false
        }
    }
}
