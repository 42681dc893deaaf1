//! Stands in for the compiler of the workspace's own crates: compiles with every lint, then checks the documentation.
//!
//! `cargo clippy`, `cargo doc` and `cargo test` each make all libraries once more in a way of their own. Here the tests are
//! compiled by clippy's compiler, which gives the same lints and real code, and rustdoc looks at each crate right after it,
//! so that libraries are compiled once. Cargo calls this program through `RUSTC_WORKSPACE_WRAPPER`.

use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};

/// Says that this program is called as the compiler.
pub(crate) const AS_COMPILER: &str = "LAMPWRIGHT_XTASK_AS_COMPILER";
/// Where the documentation is written.
const DOC_FOLDER: &str = "LAMPWRIGHT_XTASK_DOC";

/// Lets a cargo command compile the workspace's crates through a copy of this program.
pub(crate) fn through_here(cargo: &mut Command, copy: &Path, target: &Path) {
    cargo.env("RUSTC_WORKSPACE_WRAPPER", copy);
    cargo.env(AS_COMPILER, "1").env(DOC_FOLDER, target.join("doc"));
    // What `cargo clippy -- -D warnings` hands to clippy's compiler.
    cargo.env("CLIPPY_ARGS", "-D__CLIPPY_HACKERY__warnings__CLIPPY_HACKERY__");
}

/// This program under a path that the build does not write to; the same file stays in place, since its age counts. To be
/// made before anything is built: the build replaces the program that is running.
pub(crate) fn settled_copy(target: &Path) -> std::io::Result<PathBuf> {
    let own = std::fs::read(std::env::current_exe()?)?;
    let copy = target.join("xtask-as-compiler");
    if std::fs::read(&copy).ok().as_ref() != Some(&own) {
        let aside = target.join("xtask-as-compiler-new");
        std::fs::copy(std::env::current_exe()?, &aside)?;
        std::fs::rename(&aside, &copy)?;
    }
    Ok(copy)
}

/// Called by cargo: the compiler's path and its arguments.
pub(crate) fn run(arguments: &[String]) -> ExitCode {
    let Some(rustc) = arguments.first() else { return ExitCode::FAILURE };
    // Beside the compiler where cargo names a path, else from the search path, as cargo has it.
    let tool = |name: &str| Path::new(rustc).with_file_name(name);
    if !succeeds(Command::new(tool("clippy-driver")).args(arguments)) {
        return ExitCode::FAILURE;
    }
    let documented = documentation(&arguments[1..]).is_none_or(|arguments| {
        let folder = std::env::var_os(DOC_FOLDER).unwrap_or_else(|| "target/doc".into());
        let mut rustdoc = Command::new(tool("rustdoc"));
        rustdoc.args(arguments).args(["--document-private-items", "-D", "warnings", "-o"]).arg(folder);
        succeeds(&mut rustdoc)
    });
    if documented { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

fn succeeds(command: &mut Command) -> bool {
    match command.status() {
        Ok(status) => status.success(),
        Err(why) => {
            eprintln!("{command:?}: {why}");
            false
        }
    }
}

/// The arguments of rustdoc for a crate that is compiled with these; none for tests, build scripts and questions.
fn documentation(compiled: &[String]) -> Option<Vec<String>> {
    let mut all = Vec::new();
    let mut name = None;
    let mut arguments = compiled.iter();
    while let Some(argument) = arguments.next() {
        match argument.as_str() {
            "--test" | "-vV" | "-" => return None,
            "--crate-name" => {
                name = arguments.next().cloned();
                all.extend(["--crate-name".to_owned(), name.clone()?]);
            }
            "--crate-type" | "--cfg" | "--check-cfg" | "--extern" | "-L" | "--target" | "--edition" => {
                all.extend([argument.clone(), arguments.next()?.clone()]);
            }
            "-C" | "--out-dir" | "--emit" | "--cap-lints" | "--print" | "-o" => {
                arguments.next();
            }
            other if other.starts_with("--edition=") || other.starts_with("--crate-type=") => {
                all.push(other.to_owned());
            }
            other if other.starts_with('-') => {}
            source => all.push(source.to_owned()),
        }
    }
    // Nobody reads a program's documentation but those who work on it, so its words may link to what is private.
    if all.iter().any(|argument| argument == "bin") {
        all.push("--allow=rustdoc::private_intra_doc_links".to_owned());
    }
    name.filter(|name| name != "build_script_build" && name != "___").map(|_| all)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(line: &str) -> Option<String> {
        let arguments: Vec<String> = line.split(' ').map(str::to_owned).collect();
        documentation(&arguments).map(|arguments| arguments.join(" "))
    }

    #[test]
    fn a_crate_is_documented_with_what_it_is_compiled_with() {
        let compiled = "--crate-name plan --edition=2024 crates/plan/src/lib.rs --error-format=json --json=artifacts \
            --crate-type lib --emit=dep-info,metadata,link -C embed-bitcode=no --warn=missing_docs --check-cfg cfg(docsrs) \
            --out-dir target/deps -L dependency=target/deps --extern display=libdisplay.rmeta";
        let wanted = "--crate-name plan --edition=2024 crates/plan/src/lib.rs --crate-type lib --check-cfg cfg(docsrs) \
            -L dependency=target/deps --extern display=libdisplay.rmeta";
        assert_eq!(of(compiled).as_deref(), Some(wanted));
    }

    #[test]
    fn tests_build_scripts_and_questions_are_not() {
        for line in ["-vV", "- --crate-name ___ --print=cfg", "--crate-name plan --test src/lib.rs"] {
            assert_eq!(of(line), None, "{line}");
        }
        assert_eq!(of("--crate-name build_script_build build.rs --crate-type bin"), None);
    }
}
