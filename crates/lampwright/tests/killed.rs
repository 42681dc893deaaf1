//! A build killed at any moment leaves the earlier recipe or the new one, whole.
#![allow(clippy::disallowed_methods, reason = "tests run the program on real files")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests stand outside the test functions")]

mod support;

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::process::Stdio;
use std::time::{Duration, Instant};
use support::{Fox, code, contents, names, program};

/// The files of a recipe.
type Contents = BTreeMap<PathBuf, Vec<u8>>;

/// Moments at which a build is killed, spread evenly over how long one takes.
const MOMENTS: u32 = 22;
/// And over its last part, in which files are written and folders change their names.
const LATE_MOMENTS: u32 = 6;
/// So many builds must really have been running when they were killed.
const KILLED: u32 = 25;

#[test]
fn the_earlier_recipe_stays_whole() {
    let fox = Fox::new();
    assert_eq!(code(&fox.run("build", &[])), 0);
    let earlier = contents(&fox.recipe());
    fox.change("display.toml", "title = \"", "title = \"Other ");
    let aside = Fox::new();
    aside.change("display.toml", "title = \"", "title = \"Other ");
    let (writes, lasts) = measured(&aside);
    let later = contents(&aside.recipe());
    assert!(earlier != later, "the two recipes must differ for this to show anything");
    let even = (1..=MOMENTS).map(|k| lasts.mul_f64((f64::from(k) - 0.5) / f64::from(MOMENTS)));
    let late =
        (0..LATE_MOMENTS).map(|k| writes + (lasts - writes).mul_f64(f64::from(k) / f64::from(LATE_MOMENTS)));
    let moments: Vec<Duration> = even.chain(late).collect();
    let (mut killed, mut tried) = (0, 0);
    // A build may be quicker than the one measured; moments are tried again until enough builds were killed.
    while killed < KILLED || tried < moments.len() {
        assert!(tried < 3 * moments.len(), "only {killed} of {tried} builds were killed before their end");
        let wait = moments[tried % moments.len()];
        killed += u32::from(kill_after(&fox, wait));
        tried += 1;
        let now = contents(&fox.recipe());
        if now != earlier && now != later {
            let (older, newer) = (different(&now, &earlier), different(&now, &later));
            panic!(
                "killed after {wait:?}: unlike the earlier recipe in {older:?}, unlike the new one in {newer:?}"
            );
        }
    }
    assert_eq!(code(&fox.run("build", &[])), 0);
    assert!(contents(&fox.recipe()) == later, "the last build is not the new recipe");
    let left: Vec<_> = names(&fox.folder()).into_iter().filter(|name| name.starts_with('.')).collect();
    assert_eq!(left, Vec::<String>::new(), "left lying about");
}

/// The files in which two recipes differ.
fn different<'a>(one: &'a Contents, other: &'a Contents) -> Vec<&'a PathBuf> {
    one.keys().chain(other.keys()).filter(|path| one.get(*path) != other.get(*path)).collect()
}

/// When a build begins to write, and how long it lasts.
fn measured(fox: &Fox) -> (Duration, Duration) {
    let mut build = program();
    build.arg("build").arg(fox.folder()).stdout(Stdio::null()).stderr(Stdio::null());
    let begun = Instant::now();
    let mut build = build.spawn().unwrap();
    let mut writes = None;
    loop {
        if let Some(status) = build.try_wait().unwrap() {
            assert_eq!(status.code(), Some(0));
            return (writes.unwrap(), begun.elapsed());
        }
        if writes.is_none() && names(&fox.folder()).iter().any(|name| name.starts_with('.')) {
            writes = Some(begun.elapsed());
        }
        std::thread::sleep(Duration::from_millis(1));
    }
}

/// Builds and kills the build after a while; whether it was still running.
fn kill_after(fox: &Fox, wait: Duration) -> bool {
    let mut build = program();
    build.arg("build").arg(fox.folder()).stdout(Stdio::null()).stderr(Stdio::null());
    let mut build = build.spawn().unwrap();
    std::thread::sleep(wait);
    let running = build.try_wait().unwrap().is_none();
    if running {
        build.kill().unwrap();
    }
    build.wait().unwrap();
    running
}

#[test]
fn a_build_that_cannot_write_leaves_the_earlier_recipe() {
    let fox = Fox::new();
    assert_eq!(code(&fox.run("build", &[])), 0);
    let earlier = contents(&fox.recipe());
    // A limit of one block on the size of a file stands for a full disk.
    let command = format!("ulimit -f 1; trap '' XFSZ; exec '{}' build fox", env!("CARGO_BIN_EXE_lampwright"));
    let mut shell = std::process::Command::new("sh");
    let output = shell.args(["-c", &command]).current_dir(fox.outer.path()).output().unwrap();
    assert_eq!(code(&output), 1, "{}", support::said(&output));
    assert!(contents(&fox.recipe()) == earlier, "the earlier recipe is not whole");
}
