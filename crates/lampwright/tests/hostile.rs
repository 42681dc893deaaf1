//! Files that no builder would write: bombs, endless numbers, wrong encodings, devices, ways out of the folder.
//!
//! Each is answered with a fault that names the limit or the place, exit code 2, no panic and nothing written, in less than
//! [`MEMORY_KIB`] of address space and [`SECONDS`] of time.
#![allow(clippy::disallowed_methods, reason = "tests run the program on real files")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests stand outside the test functions")]

mod bombs;
mod support;

use bombs::{BOMBS, Bomb, What};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::os::unix::fs::symlink;
use std::process::{Command, Output};
use std::time::{Duration, Instant};
use support::{Fox, code, names};

/// Address space that a check may take, in KiB; beyond it an allocation fails and the program would end by a signal.
const MEMORY_KIB: u32 = 512 * 1024;
/// A check may take this long, also when the tests are not optimised and the machine is busy.
const SECONDS: u64 = 60;
/// A report must not be longer than what was read.
const MOST_PRINTED: usize = 8 * 1024 * 1024;

fn lay(fox: &Fox, file: &str, what: &What) {
    let path = fox.folder().join(file);
    if let What::Change(from, to) = what {
        return fox.change(file, from, to);
    }
    fs::remove_file(&path).unwrap();
    match what {
        What::Bytes(bytes) => fs::write(path, bytes()).unwrap(),
        What::Sparse(length) => fs::File::create(path).unwrap().set_len(*length).unwrap(),
        What::Link(to) => symlink(to, path).unwrap(),
        What::Folder => fs::create_dir(path).unwrap(),
        What::Pipe => {
            let (kind, mode) = (rustix::fs::FileType::Fifo, rustix::fs::Mode::RUSR);
            rustix::fs::mknodat(rustix::fs::CWD, path, kind, mode, 0).unwrap();
        }
        What::Change(..) => {}
    }
}

/// The program under a limit of its memory.
fn limited(fox: &Fox, command: &str, more: &str) -> Output {
    let program = env!("CARGO_BIN_EXE_lampwright");
    let line = format!("ulimit -v {MEMORY_KIB}; exec '{program}' {command} fox {more}");
    Command::new("sh").args(["-c", &line]).current_dir(fox.outer.path()).output().unwrap()
}

/// What is wrong with how a bomb is answered.
fn complaint(bomb: &Bomb) -> Option<String> {
    let (name, file, what, expected) = bomb;
    let fox = Fox::new();
    lay(&fox, file, what);
    let before = names(&fox.folder());
    let begun = Instant::now();
    let json = limited(&fox, "check", "--json");
    let lasted = begun.elapsed();
    let said = String::from_utf8_lossy(&json.stderr).into_owned();
    if json.status.code() != Some(2) || said.contains("panicked") {
        return Some(format!("{name}: {:?} {}", json.status, &said[..said.len().min(400)]));
    }
    if lasted > Duration::from_secs(SECONDS) || json.stdout.len() > MOST_PRINTED {
        return Some(format!("{name}: took {lasted:?} and printed {} bytes", json.stdout.len()));
    }
    let report: Value = serde_json::from_slice(&json.stdout).unwrap();
    let faults = report["faults"].as_array().unwrap();
    let found: BTreeSet<&str> = faults.iter().filter_map(|fault| fault["code"].as_str()).collect();
    if !found.contains(expected) {
        return Some(format!("{name}: expected {expected}, found {found:?}"));
    }
    let in_a_file = |fault: &Value| fault["at"]["file"].is_string() || fault["file"].is_string();
    let placed = faults
        .iter()
        .any(|fault| fault["code"] == *expected && (expected.starts_with("file/") || in_a_file(fault)));
    if !placed {
        return Some(format!("{name}: {expected} does not say in which file"));
    }
    let built = limited(&fox, "build", "");
    let said = String::from_utf8_lossy(&built.stderr).into_owned();
    if code(&built) != 2 || said.contains("panicked") || said.len() > MOST_PRINTED {
        return Some(format!("{name}: build ended with {:?}, {} bytes of words", built.status, said.len()));
    }
    (names(&fox.folder()) != before).then(|| format!("{name}: something was written"))
}

#[test]
fn every_bomb_is_a_fault_and_nothing_is_written() {
    assert!(BOMBS.len() >= 60, "{} bombs", BOMBS.len());
    let next = std::sync::atomic::AtomicUsize::new(0);
    let complaints = std::sync::Mutex::new(Vec::new());
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(|| {
                while let Some(bomb) = BOMBS.get(next.fetch_add(1, std::sync::atomic::Ordering::Relaxed)) {
                    let found = complaint(bomb);
                    complaints.lock().unwrap().extend(found);
                }
            });
        }
    });
    let complaints = complaints.into_inner().unwrap();
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
}

/// The limit itself must bite, or the test above shows nothing about memory.
#[test]
fn the_limit_of_memory_is_one() {
    let line = "ulimit -v 20000; exec '".to_owned() + env!("CARGO_BIN_EXE_lampwright") + "' check fox";
    let fox = Fox::new();
    let output = Command::new("sh").args(["-c", &line]).current_dir(fox.outer.path()).output().unwrap();
    assert_ne!(output.status.code(), Some(0), "{output:?}");
    assert_eq!(code(&limited(&fox, "check", "")), 0);
}
