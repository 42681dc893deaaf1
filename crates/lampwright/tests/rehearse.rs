//! `lampwright rehearse` on the displays, with few games.
#![allow(clippy::disallowed_methods, reason = "tests run the program on real files")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests stand outside the test functions")]

mod support;

use std::path::{Path, PathBuf};
use std::process::Output;
use support::{Fox, code, json, program, said};

fn club() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../displays/club-passing")
}

fn rehearse(more: &[&str]) -> Output {
    program().arg("rehearse").arg(club()).args(more).output().unwrap()
}

#[test]
fn the_same_seed_gives_the_same_bytes_and_another_gives_others() {
    let bytes = |threads: &str, seed: &str| {
        let mut program = program();
        program.arg("rehearse").arg(club()).args(["--games", "12", "--json", "--seed", seed]);
        let done = program.env("RAYON_NUM_THREADS", threads).output().unwrap();
        assert_eq!(code(&done), 0, "{}", said(&done));
        done.stdout
    };
    let one = bytes("1", "5");
    assert!(one == bytes("4", "5"), "other bytes on other processors");
    assert!(one != bytes("1", "6"), "the seed does nothing");
}

#[test]
fn the_verdict_stands_in_words_and_in_json() {
    let few = ["--games", "10", "--people", "five,five+adult"];
    let done = rehearse(&few);
    assert_eq!(code(&done), 0, "{}", said(&done));
    let words = String::from_utf8(done.stdout).unwrap();
    for wanted in [
        "Five-year-olds: half of them bring `rally` to",
        "A five-year-old and an adult",
        "an hour",
        "assumed",
    ] {
        assert!(words.contains(wanted), "{wanted} in {words}");
    }
    let numbers = String::from_utf8(rehearse(&[&few[..], &["--numbers"]].concat()).stdout).unwrap();
    assert!(
        numbers.contains("`patient`, written as 900 ms") && numbers.contains("first success within 7 s"),
        "{numbers}"
    );
    let report = json(&rehearse(&[&few[..], &["--json"]].concat()));
    let rehearsal = &report["rehearsal"];
    assert_eq!(rehearsal["format"], "lampwright-rehearsal");
    assert_eq!(rehearsal["scores"], serde_json::json!(["rally"]));
    let parties: Vec<&str> =
        rehearsal["parties"].as_array().unwrap().iter().map(|party| party["key"].as_str().unwrap()).collect();
    assert_eq!(parties, ["five", "five+adult"]);
    let names: Vec<&str> =
        rehearsal["constants"].as_array().unwrap().iter().map(|one| one["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["slowest", "fastest", "patient", "strict"]);
    for constant in rehearsal["constants"].as_array().unwrap() {
        let points = constant["points"].as_array().unwrap();
        assert!(points.len() > 2, "{constant}");
        assert!(
            points.iter().any(|point| point["value"] == constant["value"]),
            "the written value is tried too"
        );
    }
    let quick = json(&rehearse(&[&few[..], &["--json", "--quick"]].concat()));
    assert_eq!(quick["rehearsal"]["constants"], serde_json::json!([]));
    assert_eq!(quick["rehearsal"]["parties"], rehearsal["parties"]);
}

#[test]
fn what_cannot_be_rehearsed_is_said_in_words() {
    let fox = Fox::new();
    let done = fox.run("rehearse", &["--games", "5"]);
    assert_eq!(code(&done), 0, "{}", said(&done));
    assert!(String::from_utf8(done.stdout).unwrap().contains("times to press in a minute"));
    let pair = fox.run("rehearse", &["--people", "five+five"]);
    assert_eq!(code(&pair), 1);
    assert!(said(&pair).contains("prompts for one person"), "{}", said(&pair));
    let nobody = fox.run("rehearse", &["--people", "six"]);
    assert_eq!(code(&nobody), 1);
    assert!(said(&nobody).contains("five, ten, adult, older"));
    assert_eq!(code(&fox.run("rehearse", &["--games", "0"])), 1);
    fox.change("waving-fox.rules", "prompt wag press wave when fox is sitting or fox is glowing", "");
    let bare = fox.run("rehearse", &[]);
    assert_eq!(code(&bare), 2);
    assert!(said(&bare).contains("`prompt "), "{}", said(&bare));
    fox.change("waving-fox.rules", "machine fox", "machine");
    let broken = fox.run("rehearse", &["--json"]);
    assert_eq!(code(&broken), 2);
    assert_eq!(json(&broken)["ending"], "faults");
}
