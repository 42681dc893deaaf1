//! Runs the test programs that cargo has built, several at a time: cargo itself runs one after the other, and most of them
//! keep one processor busy, or wait.

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::Instant;

/// A program that was built.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Built {
    /// The package and the target, to be read.
    pub(crate) name: String,
    /// The program.
    pub(crate) program: PathBuf,
    /// The folder of its package, in which it runs.
    pub(crate) folder: PathBuf,
    /// Whether it is a test.
    pub(crate) is_test: bool,
}

/// These take longest, the longest first: what starts early does not run on alone at the end.
const LONG: [&str; 14] = [
    "readback",
    "random",
    "killed",
    "mistakes",
    "fox_pins",
    "club_pins",
    "club_pin_mistakes",
    "recipe",
    "pin_mistakes",
    "agreement",
    "limits",
    "vectors",
    "hostile",
    "danger",
];

/// The programs among cargo's messages (`--message-format=json`, one message a line).
pub(crate) fn built(messages: &str) -> Vec<Built> {
    messages.lines().filter_map(|line| serde_json::from_str(line).ok()).filter_map(|it| one(&it)).collect()
}

fn one(message: &Value) -> Option<Built> {
    let program = PathBuf::from(message["executable"].as_str()?);
    let folder = Path::new(message["manifest_path"].as_str()?).parent()?.to_owned();
    let target = &message["target"];
    let name = format!("{}: {}", folder.file_name()?.to_str()?, target["name"].as_str()?);
    let is_bench = target["kind"].as_array()?.iter().any(|kind| kind == "bench");
    let is_test = message["profile"]["test"] == true && !is_bench;
    Some(Built { name, program, folder, is_test })
}

/// Runs the tests among the programs; whether all of them passed.
pub(crate) fn run(built: &[Built], prepare: impl Fn(&mut Command) + Sync) -> bool {
    let rank = |test: &Built| LONG.iter().position(|long| test.name.ends_with(&format!(": {long}")));
    let mut tests: Vec<&Built> = built.iter().filter(|built| built.is_test).collect();
    tests.sort_by_key(|test| rank(test).unwrap_or(LONG.len()));
    if tests.is_empty() {
        println!("there are no tests");
        return false;
    }
    let (next, passed) = (AtomicUsize::new(0), AtomicBool::new(true));
    let at_once = std::thread::available_parallelism().map_or(2, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..at_once {
            scope.spawn(|| {
                while let Some(test) = tests.get(next.fetch_add(1, Ordering::Relaxed)) {
                    if !run_one(test, &prepare) {
                        passed.store(false, Ordering::Relaxed);
                    }
                }
            });
        }
    });
    passed.into_inner()
}

/// Runs one program and prints all it said in one piece.
fn run_one(test: &Built, prepare: &impl Fn(&mut Command)) -> bool {
    let begun = Instant::now();
    let mut command = Command::new(&test.program);
    command.current_dir(&test.folder).env("CARGO_MANIFEST_DIR", &test.folder);
    prepare(&mut command);
    let (passed, said) = match command.output() {
        Ok(done) => {
            let said = [done.stdout, done.stderr].concat();
            (done.status.success(), String::from_utf8_lossy(&said).into_owned())
        }
        Err(why) => (false, why.to_string()),
    };
    let seconds = begun.elapsed().as_secs_f64();
    let counted = said.lines().filter_map(|line| line.strip_prefix("test result: ")).next_back();
    if passed {
        println!("{seconds:>7.1} s  {}  {}", test.name, counted.unwrap_or_default());
    } else {
        println!("{seconds:>7.1} s  {}  FAILED\n{said}", test.name);
    }
    passed
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn programs_are_found_among_cargo_s_messages() {
        let messages = concat!(
            r#"{"reason":"compiler-artifact","manifest_path":"/p/crates/plan/Cargo.toml","target":{"kind":["lib"],"name":"plan"},"profile":{"test":true},"executable":"/t/plan-1"}"#,
            "\n",
            r#"{"reason":"compiler-artifact","manifest_path":"/p/crates/plan/Cargo.toml","target":{"kind":["bench"],"name":"speed"},"profile":{"test":true},"executable":"/t/speed-1"}"#,
            "\n",
            r#"{"reason":"compiler-artifact","manifest_path":"/p/crates/plan/Cargo.toml","target":{"kind":["lib"],"name":"plan"},"profile":{"test":false},"executable":null}"#,
            "\nnot JSON\n",
            r#"{"reason":"build-finished","success":true}"#,
        );
        let found = built(messages);
        let named: Vec<_> = found.iter().map(|it| (it.name.as_str(), it.is_test)).collect();
        assert_eq!(named, [("plan: plan", true), ("plan: speed", false)]);
        assert_eq!(found[0].folder, Path::new("/p/crates/plan"));
    }

    #[test]
    fn a_program_that_fails_or_is_missing_fails_all() {
        let program =
            |path: &str| Built { name: path.into(), program: path.into(), folder: "/".into(), is_test: true };
        assert!(run(&[program("/bin/true")], |_| {}));
        assert!(!run(&[program("/bin/true"), program("/bin/false")], |_| {}));
        assert!(!run(&[program("/bin/no-such-program")], |_| {}));
        assert!(!run(&[], |_| {}));
    }
}
