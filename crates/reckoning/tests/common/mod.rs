//! A Python with the reference programs.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::disallowed_methods,
    dead_code,
    reason = "test helpers that run a program of another make"
)]

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// Runs a script of this folder with a JSON text on its standard input, and gives back the lines it prints.
pub(crate) fn reference(script: &str, packages: &[&str], input: &str) -> Vec<Vec<f64>> {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests").join(script);
    let mut run = Command::new(python(packages))
        .arg(&script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    run.stdin.take().unwrap().write_all(input.as_bytes()).unwrap();
    let ran = run.wait_with_output().unwrap();
    assert!(ran.status.success(), "{}", String::from_utf8_lossy(&ran.stderr));
    String::from_utf8(ran.stdout)
        .unwrap()
        .lines()
        .map(|line| line.split_whitespace().map(|word| word.parse().unwrap()).collect())
        .collect()
}

/// The Python named by `LAMPWRIGHT_PYTHON`, else one of our own under `target`; packages it lacks are installed.
fn python(packages: &[&str]) -> PathBuf {
    static ONE_AT_A_TIME: std::sync::Mutex<()> = std::sync::Mutex::new(());
    let _waiting = ONE_AT_A_TIME.lock();
    let venv = Path::new(env!("CARGO_TARGET_TMPDIR")).parent().unwrap().join("venv");
    let python = match std::env::var("LAMPWRIGHT_PYTHON") {
        Ok(named) => return PathBuf::from(named),
        Err(_) => venv.join("bin/python"),
    };
    let ready = |python: &Path| {
        let tried = Command::new(python).args(["-c", &format!("import {}", packages.join(", "))]).output();
        tried.is_ok_and(|tried| tried.status.success())
    };
    if !ready(&python) {
        if !python.exists() {
            let made = Command::new("python3").args(["-m", "venv"]).arg(&venv).status().unwrap();
            assert!(made.success(), "no virtual environment could be made");
        }
        let got = Command::new(&python).args(["-m", "pip", "install", "-q"]).args(packages).status().unwrap();
        assert!(got.success() && ready(&python), "{packages:?} could not be installed");
    }
    python
}
