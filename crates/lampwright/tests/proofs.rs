//! `prove` as somebody uses it: how it ends, what it says, what it remembers, and plays against claims as files.
#![allow(clippy::disallowed_methods, reason = "tests run the program on real files")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests stand outside the test functions")]

mod support;

use serde_json::Value;
use std::fs;
use std::path::PathBuf;
use std::process::Output;
use support::{Fox, code, said};

fn printed(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn answers(output: &Output) -> Vec<Value> {
    let report: Value =
        serde_json::from_slice(&output.stdout).unwrap_or_else(|why| panic!("{why}: {}", said(output)));
    assert_eq!(report["format"], "lampwright-report");
    report["answers"].as_array().unwrap().clone()
}

fn kept(fox: &Fox) -> Vec<PathBuf> {
    let inside =
        |folder: PathBuf| fs::read_dir(folder).into_iter().flatten().map(|entry| entry.unwrap().path());
    // One folder for each form that was asked about.
    let mut paths: Vec<PathBuf> = inside(fox.folder().join(".lampwright/proofs")).flat_map(inside).collect();
    paths.sort();
    paths
}

/// Rules of a fox that nobody can wake again once it lies: the one way out of `asleep` is gone.
const STUCK: &str = "machine fox
  state sitting shows left lights wave
  state asleep
  sitting on press wave go asleep
";

fn stuck_fox() -> Fox {
    let fox = Fox::new();
    fs::write(fox.folder().join("waving-fox.rules"), STUCK).unwrap();
    fox
}

#[test]
fn a_proved_claim_ends_with_0_and_says_so() {
    let fox = Fox::new();
    let output = fox.run("prove", &["--claim", ".in-range"]);
    assert_eq!(code(&output), 0, "{}", said(&output));
    let words = printed(&output);
    assert!(words.starts_with("Proved: no number leaves its range"), "{words}");
    assert!(words.contains("1 proved, 0 refuted, 0 undecided."), "{words}");
}

/// One press in the first tick that a press can come in, tick 1, and nothing seen changes after it.
#[test]
fn a_refuted_claim_ends_with_2_and_shows_the_one_press() {
    let fox = stuck_fox();
    let output = fox.run("prove", &["--claim", ".stuck", "--json"]);
    assert_eq!(code(&output), 2, "{}", said(&output));
    let all = answers(&output);
    assert_eq!(all.len(), 1);
    assert_eq!(all[0]["claim"], ".stuck");
    assert_eq!(all[0]["verdict"]["is"], "refuted");
    let ticks = all[0]["verdict"]["trace"]["ticks"].as_array().unwrap();
    assert_eq!(ticks.len(), 2);
    assert_eq!(ticks[1]["p"], serde_json::json!([0]));
    let words = printed(&fox.run("prove", &["--claim", ".stuck"]));
    assert!(words.starts_with("Refuted: nothing can get stuck"), "{words}");
    let told = "    0.000 s: at first fox is sitting\n    \
                0.010 s: somebody presses wave; now fox is asleep\n    \
                0.010 s: here nothing seen can ever change again: fox is asleep\n";
    assert!(words.contains(told), "{words}");
    assert_eq!(all[0]["told"].as_array().unwrap().len(), 3);
}

#[test]
fn limits_that_are_reached_end_with_4_and_what_was_looked_at() {
    let fox = Fox::new();
    let output = fox.run("prove", &["--claim", ".home", "--limit", "8", "--json"]);
    assert_eq!(code(&output), 4, "{}", said(&output));
    assert_eq!(answers(&output)[0]["verdict"]["is"], "undecided");
    let words = printed(&fox.run("prove", &["--claim", ".home", "--limit", "8"]));
    assert!(words.contains("Undecided is not proved"), "{words}");
}

#[test]
fn an_unknown_claim_is_told_with_the_nearest_one_or_with_all() {
    let fox = Fox::new();
    let all = ".in-range, .answered, .flash fox, .flash, .home, .held wave, .alone wave, .stuck";
    for (asked, words) in [
        (".stuk", "fault: there is no claim `.stuk`; did you mean `.stuck`?\n".to_owned()),
        ("certainly", format!("fault: there is no claim `certainly`; known here: {all}\n")),
    ] {
        let output = fox.run("prove", &["--claim", asked]);
        assert_eq!(code(&output), 2);
        assert_eq!(String::from_utf8(output.stderr.clone()).unwrap(), words);
    }
    assert!(kept(&fox).is_empty());
}

#[test]
fn faults_of_the_description_end_with_2_before_anything_is_proved() {
    let fox = Fox::new();
    fs::write(fox.folder().join("waving-fox.rules"), "machine fox\n  state sitting shows lft\n").unwrap();
    let output = fox.run("prove", &[]);
    assert_eq!(code(&output), 2);
    assert!(said(&output).contains("lft"), "{}", said(&output));
}

/// What is kept is told again to the letter. What was cut off, emptied or edited is worked out again and put right.
#[test]
fn answers_are_kept_by_content_and_a_spoiled_one_is_not_believed() {
    let fox = stuck_fox();
    let asked = ["--claim", ".stuck", "--json"];
    let first = fox.run("prove", &asked);
    let files = kept(&fox);
    assert_eq!(files.len(), 1);
    assert_eq!(fox.run("prove", &asked).stdout, first.stdout);
    // Anything but the answer that was written: cut off, not ours, one letter changed.
    let whole = fs::read_to_string(&files[0]).unwrap();
    let half = whole[..whole.len() / 2].to_owned();
    let other = whole.replacen("refuted", "proved", 1);
    let letter = whole.replacen("stuck (", "struck (", 1);
    assert_ne!(letter, whole);
    for spoiled in [half, String::new(), "{}".into(), other, letter] {
        fs::write(&files[0], &spoiled).unwrap();
        assert_eq!(fox.run("prove", &asked).stdout, first.stdout, "{spoiled}");
        assert_eq!(fs::read_to_string(&files[0]).unwrap(), whole);
    }
    // Other limits and other rules are other questions.
    fox.run("prove", &["--claim", ".stuck", "--limit", "1000"]);
    assert_eq!(kept(&fox).len(), 2);
    fs::write(fox.folder().join("waving-fox.rules"), STUCK.replace("go asleep", "go sitting")).unwrap();
    assert_ne!(fox.run("prove", &asked).stdout, first.stdout);
    assert_eq!(kept(&fox).len(), 3);
}

/// An answer that was kept is taken as it stands: the file's time does not change; with `--afresh` it is written anew.
#[test]
fn a_kept_answer_is_not_worked_out_again_unless_asked() {
    let fox = stuck_fox();
    let asked = ["--claim", ".stuck"];
    fox.run("prove", &asked);
    let file = kept(&fox).remove(0);
    let inode = || {
        use std::os::unix::fs::MetadataExt;
        fs::metadata(&file).unwrap().ino()
    };
    let before = inode();
    fox.run("prove", &asked);
    assert_eq!(inode(), before);
    fox.run("prove", &[&asked[..], &["--afresh"]].concat());
    assert_ne!(inode(), before);
}

#[test]
fn the_play_against_a_claim_is_a_vector_that_the_referee_plays() {
    let fox = stuck_fox();
    let folder = fox.outer.path().join("against");
    let output = fox.run("prove", &["--claim", ".stuck", "--trace", folder.to_str().unwrap()]);
    assert_eq!(code(&output), 2);
    let text = fs::read_to_string(folder.join("stuck.trace.json")).unwrap();
    let vector: rules::vectors::Vector = serde_json::from_str(&text).unwrap();
    assert_eq!(vector.told.len(), 3, "the page tells what stands in the file");
    let mut again =
        rules::vectors::record(vector.name.as_str(), &vector.form, &vector.start(), &vector.ticks);
    again.told.clone_from(&vector.told);
    assert_eq!(again, vector);
    // Figures and spots alike are dark in the end: the fox lies.
    let last = &vector.expect.last().unwrap().frame;
    assert!(last.bytes().all(|digit| digit == b'0'), "{last}");
}

/// The plan knows how much of a field of view each change lights; nobody can flash the fox faster than its tail goes: at most
/// four changes of 300 ms fit into a second, two flashes. (WCAG 2.2, success criterion 2.3.1, allows three.)
#[test]
fn flashing_of_everything_seen_together_is_counted() {
    let fox = Fox::new();
    let output = fox.run("prove", &["--claim", ".flash", "--json"]);
    assert_eq!(code(&output), 0, "{}", said(&output));
    let words = answers(&output)[0]["words"].as_str().unwrap().to_owned();
    assert!(
        words.starts_with("Proved: no more than three flashes in any second in any field of view"),
        "{words}"
    );
    // A tail that goes to and fro every 50 ms, as long as the button is held, is ten flashes a second.
    let quick = fs::read_to_string(fox.folder().join("waving-fox.rules")).unwrap().replace("300 ms", "50 ms");
    fs::write(fox.folder().join("waving-fox.rules"), quick).unwrap();
    for claim in [".flash", ".flash fox"] {
        let output = fox.run("prove", &["--claim", claim, "--json"]);
        assert_ne!(code(&output), 0, "{claim}");
        assert_ne!(answers(&output)[0]["verdict"]["is"], "proved", "{claim}");
    }
}
