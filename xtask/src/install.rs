//! Installs what the checks need and the machine lacks. Nothing is touched that is there already.

use std::path::{Path, PathBuf};
use std::process::Command;

/// A Debian package and what shows that it is there.
struct Needed {
    package: &'static str,
    shown_by: Shown,
}

enum Shown {
    /// A program on the search path.
    Program(&'static str),
    /// One of these files; `*` stands for one folder's name.
    File(&'static [&'static str]),
}

const NEEDED: &[Needed] = &[
    Needed { package: "gcc", shown_by: Shown::Program("gcc") },
    Needed { package: "make", shown_by: Shown::Program("make") },
    Needed { package: "pkg-config", shown_by: Shown::Program("pkg-config") },
    Needed { package: "gcc-avr", shown_by: Shown::Program("avr-gcc") },
    Needed {
        package: "avr-libc",
        shown_by: Shown::File(&["/usr/lib/avr/include/avr/io.h", "/usr/avr/include/avr/io.h"]),
    },
    Needed { package: "libelf-dev", shown_by: Shown::File(&["/usr/include/libelf.h"]) },
    Needed { package: "libzstd-dev", shown_by: Shown::File(&["/usr/include/zstd.h"]) },
    Needed { package: "zlib1g-dev", shown_by: Shown::File(&["/usr/include/zlib.h"]) },
    Needed {
        package: "libclang-dev",
        shown_by: Shown::File(&[
            "/usr/lib/*/libclang.so",
            "/usr/lib/*/lib/libclang.so",
            "/usr/lib/*/libclang-*.so",
        ]),
    },
    Needed { package: "nodejs", shown_by: Shown::Program("node") },
    Needed { package: "npm", shown_by: Shown::Program("npm") },
    Needed { package: "chromium", shown_by: Shown::Program("chromium") },
    Needed { package: "poppler-utils", shown_by: Shown::Program("pdftotext") },
    Needed { package: "ngspice", shown_by: Shown::Program("ngspice") },
    Needed { package: "spin", shown_by: Shown::Program("spin") },
    Needed { package: "python3", shown_by: Shown::Program("python3") },
    Needed {
        package: "python3-venv",
        shown_by: Shown::File(&["/usr/lib/*/ensurepip/__init__.py", "/usr/share/doc/python3-venv"]),
    },
];

/// The programs that tests hold our files against.
const PYTHON_PACKAGES: &[&str] = &["ezdxf", "pypdf", "pdfplumber", "moorpy", "astral", "jsonschema"];

/// Installs system packages, npm packages and Python packages that are missing.
pub(crate) fn missing(root: &Path) -> Result<(), String> {
    let packages: Vec<&str> =
        NEEDED.iter().filter(|needed| !is_there(&needed.shown_by)).map(|it| it.package).collect();
    if !packages.is_empty() {
        println!("installing: {}", packages.join(" "));
        run(Command::new("apt-get").args(["update", "-qq"]))?;
        let mut install = Command::new("apt-get");
        install.args(["install", "-y", "-qq", "--no-install-recommends"]).args(&packages);
        run(install.env("DEBIAN_FRONTEND", "noninteractive"))?;
    }
    if root.join("package-lock.json").exists() && !root.join("node_modules").exists() {
        run(Command::new("npm").args(["ci", "--no-audit", "--no-fund"]).current_dir(root))?;
    }
    venv(root)
}

/// The Python that has the reference programs.
pub(crate) fn python(root: &Path) -> PathBuf {
    root.join("target/venv/bin/python3")
}

fn venv(root: &Path) -> Result<(), String> {
    let python = python(root);
    let has_all = || {
        let imports = format!("import {}", PYTHON_PACKAGES.join(", "));
        Command::new(&python).args(["-c", &imports]).output().is_ok_and(|ran| ran.status.success())
    };
    if has_all() {
        return Ok(());
    }
    run(Command::new("python3").args(["-m", "venv"]).arg(root.join("target/venv")))?;
    run(Command::new(&python).args(["-m", "pip", "install", "--quiet"]).args(PYTHON_PACKAGES))
}

fn is_there(shown_by: &Shown) -> bool {
    match shown_by {
        Shown::Program(name) => on_path(name),
        Shown::File(patterns) => patterns.iter().any(|pattern| matches(pattern)),
    }
}

/// Whether the search path has a program.
fn on_path(name: &str) -> bool {
    let path = std::env::var_os("PATH").unwrap_or_default();
    std::env::split_paths(&path).any(|folder| folder.join(name).is_file())
}

/// Whether a file of this pattern exists; each `*` stands for any letters within one name.
fn matches(pattern: &str) -> bool {
    let mut found = vec![PathBuf::from("/")];
    for part in pattern.split('/').filter(|part| !part.is_empty()) {
        found = found.iter().flat_map(|folder| inside(folder, part)).collect();
    }
    !found.is_empty()
}

fn inside(folder: &Path, part: &str) -> Vec<PathBuf> {
    let Some((before, after)) = part.split_once('*') else {
        let path = folder.join(part);
        return if path.exists() { vec![path] } else { Vec::new() };
    };
    let entries = std::fs::read_dir(folder).into_iter().flatten().filter_map(Result::ok);
    let fits = |name: &str| name.len() >= part.len() - 1 && name.starts_with(before) && name.ends_with(after);
    entries.filter(|entry| entry.file_name().to_str().is_some_and(fits)).map(|entry| entry.path()).collect()
}

fn run(command: &mut Command) -> Result<(), String> {
    match command.status() {
        Ok(status) if status.success() => Ok(()),
        Ok(status) => Err(format!("{command:?} ended with {status}")),
        Err(why) => Err(format!("{command:?}: {why}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn patterns_find_what_is_there_and_nothing_else() {
        assert!(matches("/usr/*/"));
        assert!(matches("/u*r/lib"));
        assert!(!matches("/usr/no-such-*/x"));
        assert!(!matches("/usr/lib/no-such-file"));
        assert!(on_path("sh"));
        assert!(!on_path("no-such-program"));
    }
}
