//! The generated C on this machine.

use crate::recording::bits;
use crate::tools::{command, run, write};
use rules::vectors::{TickOut, Vector};
use std::io::Write;
use std::path::Path;
use std::process::Stdio;

/// The program around the rules.
const HARNESS: &str = include_str!("../c/host_harness.c");
/// How they include the rules.
const INCLUDE: &str = "#include \"rules.h\"";
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

/// What is known of rules outside their own file: in a program of many, each has its own.
const OUTSIDE: [&str; 10] = [
    "main",
    "rules_begin",
    "rules_begin_from",
    "rules_fingerprint",
    "rules_frame_bytes",
    "rules_kept",
    "rules_show",
    "rules_step",
    "rules_trial",
    "rules_usual",
];

/// Rules as C, and what is to be played with them.
#[derive(Clone, Copy, Debug)]
pub struct Job<'a> {
    /// `rules.h`.
    pub header: &'a str,
    /// `rules.c`.
    pub source: &'a str,
    /// What comes in, and what has to come out.
    pub vector: &'a Vector,
}

/// Compiles rules and plays the ticks.
///
/// # Errors
/// Where the program stops before its end, with its own words.
///
/// # Panics
/// Where the compiler is missing or refuses the C.
pub fn play(header: &str, source: &str, vector: &Vector, watch: Watch) -> Result<Vec<TickOut>, String> {
    let only = Job { header, source, vector };
    play_all(&[only], watch).pop().unwrap_or_else(|| Err("nothing was played".to_owned()))
}

/// The same for many, in one program: a fifth of the time is linking, and it is done once.
///
/// # Panics
/// Where the compiler is missing or refuses the C.
pub fn play_all(jobs: &[Job<'_>], watch: Watch) -> Vec<Result<Vec<TickOut>, String>> {
    let folder = folder();
    let program = compile(folder.path(), jobs, watch);
    jobs.iter().enumerate().map(|(k, job)| drive(&program, k, job.vector)).collect()
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

fn compile(folder: &Path, jobs: &[Job<'_>], watch: Watch) -> String {
    let mut gcc = command("gcc");
    gcc.current_dir(folder).args(["-DLAMPWRIGHT_TRIAL", "-o", "play", "main.c"]);
    for (k, job) in jobs.iter().enumerate() {
        let own: String = OUTSIDE.iter().map(|name| format!("#define {name} {name}_{k}\n")).collect();
        write(&folder.join(format!("rules_{k}.h")), &format!("{own}{}", job.header));
        let include = format!("#include \"rules_{k}.h\"");
        write(&folder.join(format!("rules_{k}.c")), &job.source.replace(INCLUDE, &include));
        write(&folder.join(format!("harness_{k}.c")), &HARNESS.replace(INCLUDE, &include));
        gcc.args([format!("rules_{k}.c"), format!("harness_{k}.c")]);
    }
    write(&folder.join("main.c"), &main_c(jobs.len()));
    match watch {
        // Not optimised: half the time to compile, and nothing is optimised away before it is watched.
        Watch::Everything => {
            gcc.args(STRICT).args(["-O0", "-fsanitize=undefined,address", "-fno-sanitize-recover=all"])
        }
        Watch::Warnings => gcc.args(STRICT).arg("-O0"),
        Watch::Nothing => gcc.args(["-std=c11", "-O0"]),
    };
    run(&mut gcc);
    folder.join("play").to_string_lossy().into_owned()
}

/// A program that plays the rules whose number it is given.
fn main_c(count: usize) -> String {
    let all = || 0..count;
    let declared: String = all().map(|k| format!("int main_{k}(void);\n")).collect();
    let cases: String = all().map(|k| format!("    case {k}:\n        return main_{k}();\n")).collect();
    format!(
        "#include <stdlib.h>\n{declared}\nint main(int count, char **words)\n{{\n    switch (count > 1 ? atoi(words[1]) : -1) \
         {{\n{cases}    default:\n        return 1;\n    }}\n}}\n"
    )
}

#[allow(clippy::panic, reason = "a test cannot go on when its program fails")]
fn drive(program: &str, rules: usize, vector: &Vector) -> Result<Vec<TickOut>, String> {
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
    let started = command(program)
        .arg(rules.to_string())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn();
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
