//! A build killed at any moment leaves the earlier recipe or the new one, whole.
#![allow(clippy::disallowed_methods, reason = "tests run the program on real files")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests stand outside the test functions")]

mod support;

use std::process::Stdio;
use std::time::{Duration, Instant};
use support::{Fox, code, contents, names, program};

/// Moments at which a build is killed, spread over how long one takes.
const MOMENTS: u32 = 24;

#[test]
fn the_earlier_recipe_stays_whole() {
    let fox = Fox::new();
    assert_eq!(code(&fox.run("build", &[])), 0);
    let earlier = contents(&fox.recipe());
    fox.change("display.toml", "title = \"", "title = \"Other ");
    let aside = Fox::new();
    aside.change("display.toml", "title = \"", "title = \"Other ");
    let begun = Instant::now();
    assert_eq!(code(&aside.run("build", &[])), 0);
    let lasts = begun.elapsed();
    let later = contents(&aside.recipe());
    assert!(earlier != later, "the two recipes must differ for this to show anything");
    let mut killed = 0;
    for moment in 1..=MOMENTS {
        // A little beyond the end, since this build may take longer than the one measured.
        let wait = lasts.mul_f64(1.1) * moment / MOMENTS;
        killed += u32::from(kill_after(&fox, wait));
        let now = contents(&fox.recipe());
        assert!(now == earlier || now == later, "killed after {wait:?}: neither recipe is whole");
    }
    assert!(killed > 0, "no build was killed before its end");
    assert_eq!(code(&fox.run("build", &[])), 0);
    assert!(contents(&fox.recipe()) == later, "the last build is not the new recipe");
    let left: Vec<_> = names(&fox.folder()).into_iter().filter(|name| name.starts_with('.')).collect();
    assert_eq!(left, Vec::<String>::new(), "left lying about");
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
