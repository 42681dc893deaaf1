//! Other programs: compilers and Node.

use std::path::Path;
use std::process::Command;

/// A program to start.
#[allow(
    clippy::disallowed_methods,
    reason = "this crate runs in tests only, and compilers are what it tests with"
)]
pub fn command(program: &str) -> Command {
    Command::new(program)
}

/// Runs a program to its end and gives what it printed.
///
/// # Panics
/// Where the program is missing or fails: a test cannot go on without it.
#[allow(clippy::panic, reason = "a missing or failing tool ends the test, with its own words")]
pub fn run(command: &mut Command) -> String {
    let name = command.get_program().to_string_lossy().into_owned();
    match command.output() {
        Err(why) => {
            panic!("{name} could not be started ({why}); `cargo xtask ci` installs what the tests need")
        }
        Ok(done) if !done.status.success() => {
            panic!(
                "{name} failed:\n{}\n{}",
                String::from_utf8_lossy(&done.stdout),
                String::from_utf8_lossy(&done.stderr)
            )
        }
        Ok(done) => String::from_utf8_lossy(&done.stdout).into_owned(),
    }
}

/// Writes a file for a test.
///
/// # Panics
/// Where it cannot be written.
#[allow(clippy::disallowed_methods, reason = "tests write their programs into a temporary folder")]
#[allow(clippy::panic, reason = "a test cannot go on without its files")]
pub fn write(path: &Path, text: &str) {
    if let Err(why) = std::fs::write(path, text) {
        panic!("{}: {why}", path.display());
    }
}

/// Reads a file of the project.
///
/// # Panics
/// Where it cannot be read.
#[allow(clippy::disallowed_methods, reason = "tests read the project's own files")]
#[allow(clippy::panic, reason = "a test cannot go on without its files")]
pub fn read(path: &Path) -> String {
    match std::fs::read_to_string(path) {
        Ok(text) => text,
        Err(why) => panic!("{}: {why}", path.display()),
    }
}
