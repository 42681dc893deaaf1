//! The generated C on this machine.

use crate::recording::bits;
use crate::tools::{command, run, write};
use rules::vectors::{TickOut, Vector};
use std::io::Write;
use std::path::Path;
use std::process::Stdio;

/// The program around the rules.
const HARNESS: &str = include_str!("../c/host_harness.c");
/// How the C of a player is compiled everywhere.
pub const STRICT: [&str; 4] = ["-std=c11", "-Wall", "-Wextra", "-Werror"];

/// How much the compiler watches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Watch {
    /// Undefined behaviour and addresses, at run time.
    Everything,
    /// Warnings, at compile time.
    Warnings,
    /// Nothing, not even warnings: quickest to compile.
    Nothing,
}

/// Compiles rules and plays the ticks.
///
/// # Errors
/// Where the program stops before its end, with its own words.
///
/// # Panics
/// Where the compiler is missing or refuses the C.
pub fn play(header: &str, source: &str, vector: &Vector, watch: Watch) -> Result<Vec<TickOut>, String> {
    let folder = folder();
    let program = compile(folder.path(), header, source, watch);
    drive(&program, vector)
}

/// A temporary folder.
///
/// # Panics
/// Where there can be none.
#[allow(clippy::panic, reason = "a test cannot go on without its folder")]
pub fn folder() -> tempfile::TempDir {
    match tempfile::tempdir() {
        Ok(folder) => folder,
        Err(why) => panic!("no temporary folder: {why}"),
    }
}

fn compile(folder: &Path, header: &str, source: &str, watch: Watch) -> String {
    write(&folder.join("rules.h"), header);
    write(&folder.join("rules.c"), source);
    write(&folder.join("host_harness.c"), HARNESS);
    let mut gcc = command("gcc");
    gcc.current_dir(folder).arg("-DLAMPWRIGHT_TRIAL");
    match watch {
        // Not optimised: half the time to compile, and nothing is optimised away before it is watched.
        Watch::Everything => {
            gcc.args(STRICT).args(["-O0", "-fsanitize=undefined,address", "-fno-sanitize-recover=all"])
        }
        Watch::Warnings => gcc.args(STRICT).arg("-O0"),
        Watch::Nothing => gcc.args(["-std=c11", "-O0"]),
    };
    run(gcc.args(["-o", "play", "rules.c", "host_harness.c"]));
    folder.join("play").to_string_lossy().into_owned()
}

#[allow(clippy::panic, reason = "a test cannot go on when its program fails")]
fn drive(program: &str, vector: &Vector) -> Result<Vec<TickOut>, String> {
    let values = vector.values();
    let mut lines = values.len().to_string();
    for value in values {
        lines.push_str(&format!(" {} {}", u8::from(value.is_some()), value.unwrap_or(0)));
    }
    lines.push('\n');
    for tick in &vector.ticks {
        lines.push_str(&format!("{} {} {}", bits(&tick.pressed), bits(&tick.held), tick.picks.len()));
        for (site, value) in &tick.picks {
            lines.push_str(&format!(" {site} {value}"));
        }
        lines.push('\n');
    }
    let started =
        command(program).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn();
    let mut child = started.unwrap_or_else(|why| panic!("{program}: {why}"));
    let mut input = child.stdin.take().unwrap_or_else(|| panic!("no way in"));
    let writer = std::thread::spawn(move || input.write_all(lines.as_bytes()));
    let done = child.wait_with_output().unwrap_or_else(|why| panic!("{program}: {why}"));
    // The program may end early; what is missing from its output shows that.
    let _ = writer.join();
    if !done.status.success() {
        return Err(format!("the C program stopped: {}", String::from_utf8_lossy(&done.stderr)));
    }
    Ok(String::from_utf8_lossy(&done.stdout).lines().map(parse).collect())
}

#[allow(clippy::panic, reason = "the harness prints nothing else")]
fn parse(line: &str) -> TickOut {
    let mut words = line.split(' ');
    let frame = words.next().unwrap_or_default().strip_prefix('f').unwrap_or_default().to_owned();
    let numbers: Vec<i64> =
        words.map(|word| word.parse().unwrap_or_else(|_| panic!("not a number: {word} in {line}"))).collect();
    let number = |n: i64| u32::try_from(n).unwrap_or_else(|_| panic!("out of range in {line}"));
    let picked = numbers[1..]
        .chunks(2)
        .map(|pair| {
            (number(pair[0]), i32::try_from(pair[1]).unwrap_or_else(|_| panic!("out of range in {line}")))
        })
        .collect();
    TickOut { frame, hash: number(numbers[0]), picked }
}
