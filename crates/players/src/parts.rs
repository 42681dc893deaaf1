//! Single files of the firmware on this machine, with a small program around each.

use crate::host::folder;
use crate::tools::{command, run, write};
use std::collections::BTreeMap;
use std::io::Write;
use std::process::Stdio;

/// The program around `limits.c`.
pub const LIMITS: (&str, &[&str]) = (include_str!("../c/limits_harness.c"), &["limits.c"]);
/// The program around `guard.c` and `store.c`.
pub const STORE: (&str, &[&str]) = (include_str!("../c/store_harness.c"), &["guard.c", "store.c"]);

/// Compiles files of a project with a program around them, watched at run time, feeds it and gives what it prints.
///
/// # Panics
/// Where it does not compile or does not end well.
#[allow(clippy::panic, reason = "a test cannot go on when its program fails")]
pub fn play(project: &BTreeMap<String, String>, (harness, files): (&str, &[&str]), input: String) -> String {
    let folder = folder();
    for (name, text) in project {
        write(&folder.path().join(name), text);
    }
    write(&folder.path().join("harness.c"), harness);
    let mut gcc = command("gcc");
    // No warnings: deliberate mistakes leave things unused. The project's own check of its files asks for all of them.
    gcc.current_dir(folder.path()).args([
        "-std=c11",
        "-w",
        "-O1",
        "-fsanitize=undefined,address",
        "-fno-sanitize-recover=all",
        "-o",
        "play",
    ]);
    gcc.arg("harness.c");
    run(gcc.args(files));
    let program = folder.path().join("play");
    let started = command(&program.to_string_lossy()).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn();
    let mut child = started.unwrap_or_else(|why| panic!("{why}"));
    let mut way_in = child.stdin.take().unwrap_or_else(|| panic!("no way in"));
    let writer = std::thread::spawn(move || way_in.write_all(input.as_bytes()));
    let done = child.wait_with_output().unwrap_or_else(|why| panic!("{why}"));
    let _ = writer.join();
    if !done.status.success() {
        panic!("the program stopped: {}", String::from_utf8_lossy(&done.stderr));
    }
    String::from_utf8_lossy(&done.stdout).into_owned()
}
