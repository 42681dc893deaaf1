//! Exit codes, `--json`, colours, a reader that goes away, and `new`.
#![allow(clippy::disallowed_methods, reason = "tests run the program on real files")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests stand outside the test functions")]

mod support;

use std::fs;
use std::io::Read;
use std::process::Stdio;
use support::{Fox, code, contents, json, names, program, said};

#[test]
fn what_new_makes_passes_its_check_and_builds() {
    let outer = tempfile::tempdir().unwrap();
    let run = |arguments: &[&str]| program().current_dir(outer.path()).args(arguments).output().unwrap();
    let made = run(&["new", "deep/my fox", "--game", "waving-fox"]);
    assert_eq!(code(&made), 0, "{}", said(&made));
    assert_eq!(names(outer.path()), ["deep"]);
    assert_eq!(names(&outer.path().join("deep")), ["my fox"]);
    let fox = Fox::new();
    assert!(
        contents(&outer.path().join("deep/my fox")) == contents(&fox.folder()),
        "new differs from the display"
    );
    let checked = run(&["check", "deep/my fox"]);
    assert_eq!(code(&checked), 0, "{}", said(&checked));
    assert_eq!(code(&run(&["new", "deep/my fox"])), 1);
    fs::create_dir_all(outer.path().join("empty")).unwrap();
    assert_eq!(code(&run(&["new", "empty"])), 0);
    assert_eq!(code(&run(&["build", "empty"])), 0);
}

#[test]
fn each_ending_has_its_number() {
    let fox = Fox::new();
    let missing = program().args(["check", "no-such-folder"]).output().unwrap();
    assert_eq!(code(&missing), 1);
    assert!(said(&missing).contains("no-such-folder"));
    assert_eq!(code(&program().arg("frobnicate").output().unwrap()), 1);
    assert_eq!(code(&program().arg("--help").output().unwrap()), 0);
    assert_eq!(code(&fox.run("check", &[])), 0);
    fs::remove_file(fox.folder().join("art/fox.svg")).unwrap();
    assert_eq!(code(&fox.run("check", &[])), 2);
    let build = fox.run("build", &[]);
    assert_eq!(code(&build), 2);
    assert!(said(&build).contains("Nothing was written"));
    assert!(!fox.recipe().exists());
    fs::remove_file(fox.folder().join("display.toml")).unwrap();
    assert_eq!(code(&fox.run("check", &[])), 2);
}

#[test]
fn every_command_explains_itself_with_examples() {
    for command in ["check", "build", "workbench", "new", "reckon", "tidy"] {
        let output = program().args([command, "--help"]).output().unwrap();
        let help = String::from_utf8(output.stdout.clone()).unwrap();
        assert_eq!(code(&output), 0);
        assert!(help.contains("Examples:") && help.contains(&format!("lampwright {command} ")), "{help}");
    }
}

#[test]
fn json_stands_alone_on_standard_output() {
    let fox = Fox::new();
    for (command, ending) in [("check", "nothing-stops"), ("build", "nothing-stops")] {
        let output = fox.run(command, &["--json"]);
        assert_eq!(json(&output)["ending"], ending);
        assert_eq!(said(&output), "");
    }
    fs::write(fox.folder().join("display.toml"), "title = [").unwrap();
    let report = json(&fox.run("check", &["--json"]));
    assert_eq!(report["ending"], "faults");
    assert_eq!(report["faults"][0]["at"]["line"], 1);
}

#[test]
fn what_is_piped_carries_no_colours() {
    let fox = Fox::new();
    fs::write(fox.folder().join("display.toml"), "title = [").unwrap();
    assert!(!said(&fox.run("check", &[])).contains('\u{1b}'));
}

#[test]
fn a_reader_that_goes_away_is_no_failure() {
    let fox = Fox::new();
    let mut check = program();
    check.arg("check").arg(fox.folder()).arg("--json").stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut check = check.spawn().unwrap();
    drop(check.stdout.take());
    let mut said = String::new();
    check.stderr.take().unwrap().read_to_string(&mut said).unwrap();
    assert_eq!(check.wait().unwrap().code(), Some(0));
    assert_eq!(said, "");
}
