//! Deliberate mistakes in the searches: the rules worked out by hand, or the comparison of the searches on random rules, must show
//! every one of them, and nothing without one.
//!
//! The crate's source is copied, each mistake put beside what is right, behind a question which of them is made; so all are
//! compiled once, and the product knows nothing of them. (Mutant schemata: R. Untch, A. Offutt, M. Harrold, "Mutation analysis
//! using mutant schemata", ISSTA 1993; from memory.)

#![allow(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "it copies and compiles a crate; the table of mistakes is read when one of them is not found"
)]

#[path = "mistakes/list.rs"]
mod list;

use list::Mistake;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::Mutex;

/// The tests that are asked, the quickest first.
const TESTS: [&str; 3] = ["by_hand", "seeded", "agreement"];
/// Random rule sets of which one must show a mistake that the others do not.
const RULES: &str = "60";
/// Which mistake is made, counted from 1.
const WHICH: &str = "LAMPWRIGHT_MISTAKE";

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap().map(Result::unwrap) {
        let to = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copy(&entry.path(), &to);
        } else {
            put(&to, &fs::read_to_string(entry.path()).unwrap());
        }
    }
}

/// Writes a file, unless it says so already: what is as it was need not be compiled again.
fn put(path: &Path, text: &str) {
    if fs::read_to_string(path).ok().as_deref() != Some(text) {
        fs::write(path, text).unwrap();
    }
}

/// The crate with all mistakes in it, below a folder.
fn make(folder: &Path, mistakes: &[&Mistake]) {
    let own = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut sources: BTreeMap<&str, String> = BTreeMap::new();
    for (nth, mistake) in (1..).zip(mistakes) {
        let read = || fs::read_to_string(own.join("src").join(mistake.file)).unwrap();
        let text = sources.entry(mistake.file).or_insert_with(read);
        assert_eq!(text.matches(mistake.from).count(), 1, "{}: {}", mistake.file, mistake.from);
        let (to, from) = (mistake.to, mistake.from);
        *text = text.replace(from, &format!("(if crate::mistake::made({nth}) {{ {to} }} else {{ {from} }})"));
    }
    let lib = sources.entry("lib.rs").or_insert_with(|| fs::read_to_string(own.join("src/lib.rs")).unwrap());
    lib.push_str("\nmod mistake;\n");
    let asked = format!(
        "static WHICH: std::sync::LazyLock<u32> = std::sync::LazyLock::new(|| \
         std::env::var(\"{WHICH}\").ok().and_then(|which| which.parse().ok()).unwrap_or(0));\n\
         pub(crate) fn made(which: u32) -> bool {{ *WHICH == which }}\n"
    );
    sources.insert("mistake.rs", asked);
    // Files with mistakes are written once only, so that nothing is compiled again without need.
    let whole = folder.join("whole");
    copy(&own.join("src"), &whole);
    for (file, text) in &sources {
        fs::write(whole.join(file), text).unwrap();
    }
    copy(&whole, &folder.join("src"));
    copy(&own.join("tests/common"), &folder.join("tests/common"));
    for test in TESTS {
        let file = format!("tests/{test}.rs");
        put(&folder.join(&file), &fs::read_to_string(own.join(&file)).unwrap());
    }
    let beside = |name: &str| format!("{name} = {{ path = {:?} }}\n", own.join("..").join(name));
    let manifest = format!(
        "[package]\nname = \"prove\"\nversion = \"0.0.0\"\nedition = \"2024\"\n\n[workspace]\n\n[dependencies]\n\
         serde = {{ version = \"1\", features = [\"derive\"] }}\n{}{}\n[dev-dependencies]\nserde_json = \"1\"\n{}\n\
         [profile.dev]\nopt-level = 2\ndebug = false\n\n[profile.dev.package.\"*\"]\nopt-level = 0\n\n\
         [profile.dev.package.rules]\nopt-level = 2\n",
        beside("rules"),
        beside("finding"),
        beside("source"),
    );
    put(&folder.join("Cargo.toml"), &manifest);
    put(&folder.join("Cargo.lock"), &fs::read_to_string(own.join("../../Cargo.lock")).unwrap());
}

/// Compiles it; the program of each test.
fn compile(folder: &Path) -> Vec<PathBuf> {
    let mut cargo = Command::new(env!("CARGO"));
    cargo.current_dir(folder).args(["test", "--no-run", "--offline", "--message-format", "json"]);
    for test in TESTS {
        cargo.args(["--test", test]);
    }
    cargo
        .env_remove("RUSTC_WRAPPER")
        .env_remove("RUSTC_WORKSPACE_WRAPPER")
        .env_remove("RUSTFLAGS")
        .env("CARGO_TARGET_DIR", folder.join("target"));
    let ran = cargo.stderr(Stdio::piped()).output().unwrap();
    assert!(ran.status.success(), "{}", String::from_utf8_lossy(&ran.stderr));
    let told = String::from_utf8(ran.stdout).unwrap();
    let told: Vec<serde_json::Value> = told.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    let program = |test: &&str| {
        let mut of = told.iter().filter(|one| one["target"]["name"] == **test);
        PathBuf::from(of.find_map(|one| one["executable"].as_str()).unwrap())
    };
    TESTS.iter().map(program).collect()
}

/// The test that fails with this mistake; 0 is none.
fn shown_by(folder: &Path, programs: &[PathBuf], which: usize) -> Option<&'static str> {
    TESTS.into_iter().zip(programs).find_map(|(test, program)| {
        let mut run = Command::new(program);
        run.current_dir(folder)
            .env(WHICH, which.to_string())
            .env("RUST_BACKTRACE", "0")
            .env("LAMPWRIGHT_AGREEMENT", RULES);
        let passed = run.stdout(Stdio::null()).stderr(Stdio::null()).status().unwrap().success();
        (!passed).then_some(test)
    })
}

#[test]
fn every_deliberate_mistake_is_found() {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("prove-mistakes");
    let mistakes = list::all();
    make(&folder, &mistakes);
    let programs = compile(&folder);
    let (next, found) = (Mutex::new(0..=mistakes.len()), Mutex::new(BTreeMap::new()));
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(|| {
                while let Some(which) = { next.lock().unwrap().next() } {
                    let test = shown_by(&folder, &programs, which);
                    let name = which.checked_sub(1).map_or("no mistake", |at| mistakes[at].name);
                    println!("{name:45} {}", test.unwrap_or("NOT FOUND"));
                    found.lock().unwrap().insert(which, test);
                }
            });
        }
    });
    let found = found.into_inner().unwrap();
    assert_eq!(found[&0], None, "without a mistake the tests pass");
    let missed = mistakes.iter().zip(1..).filter(|(_, which)| found[which].is_none());
    let missed: Vec<&str> = missed.map(|(mistake, _)| mistake.name).collect();
    assert!(missed.is_empty(), "nothing shows: {missed:?}");
}
