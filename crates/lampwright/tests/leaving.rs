//! No path that a builder writes leads out of the display's folder, and no folder of somebody else is overwritten.
#![allow(clippy::disallowed_methods, reason = "tests run the program on real files")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests stand outside the test functions")]

mod support;

use std::fs;
use std::os::unix::fs::symlink;
use support::{Fox, code, json, names, program, said};

const DRAWING: &str = "art/fox.svg";

/// Faults that a check gives when the drawing is looked for at this path.
fn faults_with_drawing_at(fox: &Fox, path: &str) -> Vec<serde_json::Value> {
    fox.change("display.toml", DRAWING, path);
    let output = fox.run("check", &["--json"]);
    assert_eq!(code(&output), 2, "{path}: {}", said(&output));
    fox.change("display.toml", path, DRAWING);
    json(&output)["faults"].as_array().unwrap().clone()
}

#[test]
fn paths_that_lead_out_are_faults_though_the_file_is_there() {
    let fox = Fox::new();
    let outside = fox.outer.path().join("outside.svg");
    fs::copy(fox.folder().join(DRAWING), &outside).unwrap();
    symlink("../outside.svg", fox.folder().join("near.svg")).unwrap();
    symlink(&outside, fox.folder().join("far.svg")).unwrap();
    symlink("..", fox.folder().join("up")).unwrap();
    symlink("/dev/zero", fox.folder().join("endless.svg")).unwrap();
    for path in
        ["../outside.svg", outside.to_str().unwrap(), "near.svg", "far.svg", "up/outside.svg", "endless.svg"]
    {
        let faults = faults_with_drawing_at(&fox, path);
        let words = faults[0].to_string();
        assert!(words.contains("leads out of the display's folder"), "{path}: {words}");
        assert_eq!(faults[0]["at"]["file"], "display.toml", "{path}");
    }
}

#[test]
fn a_link_that_stays_inside_is_followed() {
    let fox = Fox::new();
    symlink(DRAWING, fox.folder().join("inside.svg")).unwrap();
    fox.change("display.toml", DRAWING, "inside.svg");
    assert_eq!(code(&fox.run("check", &[])), 0);
}

#[test]
fn pipes_and_files_beyond_the_limit_are_faults_at_once() {
    let fox = Fox::new();
    let (kind, mode) = (rustix::fs::FileType::Fifo, rustix::fs::Mode::RUSR);
    rustix::fs::mknodat(rustix::fs::CWD, fox.folder().join("pipe.svg"), kind, mode, 0).unwrap();
    fs::File::create(fox.folder().join("big.svg")).unwrap().set_len(1 << 40).unwrap();
    for (path, words) in [("pipe.svg", "not a regular file"), ("big.svg", "the limit is")] {
        let faults = faults_with_drawing_at(&fox, path);
        assert!(faults[0].to_string().contains(words), "{path}: {faults:?}");
    }
}

#[test]
fn a_folder_of_somebody_else_is_left_alone() {
    let fox = Fox::new();
    let letters = fox.outer.path().join("letters");
    fs::create_dir_all(&letters).unwrap();
    fs::write(letters.join("letter.txt"), "Dear").unwrap();
    for out in [letters.clone(), letters.join("letter.txt"), fox.folder()] {
        let before = support::contents(fox.outer.path());
        let output = fox.run("build", &["--out", out.to_str().unwrap()]);
        assert_eq!(code(&output), 1, "{}", said(&output));
        assert!(said(&output).contains("left alone"), "{}", said(&output));
        assert!(support::contents(fox.outer.path()) == before, "{out:?}: something was written");
    }
    let made = program().arg("new").arg(&letters).output().unwrap();
    assert_eq!(code(&made), 1);
    assert_eq!(names(&letters), ["letter.txt"]);
    assert_eq!(names(fox.outer.path()), ["fox", "letters"]);
}
