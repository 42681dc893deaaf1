//! The project's own commands: `cargo xtask tidy` and `cargo xtask ci`.
#![allow(clippy::disallowed_methods, reason = "a tool for the project's own files and programs")]
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a tool that reports on the terminal")]

mod binaries;
mod ci;
mod compiler;
mod install;
mod levels;
mod manifests;
mod texts;
mod tidy;

use std::path::{Path, PathBuf};
use std::process::ExitCode;

const USAGE: &str = "\
cargo xtask tidy    levels of the crates, headers, lengths, words that do not belong
cargo xtask ci      installs what is missing, then every check and every test";

fn main() -> ExitCode {
    if std::env::var_os(compiler::AS_COMPILER).is_some() {
        let arguments: Vec<String> = std::env::args().skip(1).collect();
        return compiler::run(&arguments);
    }
    let root = root();
    match std::env::args().nth(1).as_deref() {
        Some("tidy") => {
            let complaints = tidy::complaints(&root);
            for complaint in &complaints {
                println!("{complaint}");
            }
            println!("tidy: {} complaints", complaints.len());
            if complaints.is_empty() { ExitCode::SUCCESS } else { ExitCode::FAILURE }
        }
        Some("ci") => ci::run(&root),
        _ => {
            println!("{USAGE}");
            ExitCode::FAILURE
        }
    }
}

/// The workspace's folder, from where this file was compiled.
fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().map(Path::to_owned).unwrap_or_default()
}
