//! Mistakes of twenty kinds, planted one at a time into the rules of the project's own displays: reader, plan or prover must
//! say so. What each does to the play is said beside it and follows from the rules; that the displays are without is said by the
//! prover's own tests, and of what `check` says at the end of this file.
#![allow(clippy::disallowed_methods, reason = "tests run the program on real files")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests stand outside the test functions")]

use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// A mistake, the display it is planted into, the text it takes the place of, and what must be said of it.
struct Planted {
    kind: &'static str,
    display: &'static str,
    right: &'static str,
    wrong: &'static str,
    /// A claim that must be refuted, or a code that `check` must give.
    told: &'static str,
}

const CLUB: &str = "club-passing";
const FOX: &str = "waving-fox";
const KICK: &str = "penalty-kick";
const POND: &str = "firefly-pond";

/// What the prover must refute.
const REFUTED: [Planted; 12] = [
    Planted {
        kind: "a press that is lit and lost: the hand is out, and nothing listens",
        display: CLUB,
        right: "holding, last-chance on press button",
        wrong: "last-chance on press button",
        told: "answered",
    },
    Planted {
        kind: "an unfair tie: two who press at once are both handed a club",
        display: CLUB,
        right: " and not pressed other.button and juggler.other is not offering",
        wrong: "",
        told: "one-hand",
    },
    Planted {
        kind: "a condition forgotten: whoever presses throws what is not there",
        display: CLUB,
        right: "on press other.button if other-open ",
        wrong: "on press other.button ",
        told: "one-club",
    },
    Planted {
        kind: "one too far: the seventh spot of the way back has number 8 of 7",
        display: CLUB,
        right: "club[8 - club.west.at]",
        wrong: "club[9 - club.west.at]",
        told: ".in-range",
    },
    Planted {
        kind: "no answer: a press only counts, and nothing is seen of it",
        display: FOX,
        right: "sitting on press wave  do swings = 5                          go right",
        wrong: "sitting on press wave  do swings = 5                          stay",
        told: ".answered",
    },
    Planted {
        kind: "a late answer: half a second after the press",
        display: FOX,
        right: "  sitting on press wave  do swings = 5                          go right\n",
        wrong: "  sitting on press wave  do start restless for 500 ms  stay\n  sitting on timer restless  do swings = 5  go right\n",
        told: ".answered",
    },
    Planted {
        kind: "less than nothing: none left, the button held, and one is taken off",
        display: FOX,
        right: "right       after 300 ms if swings > 0 or held wave  do swings = max(swings - 1, 0)",
        wrong: "right       after 300 ms if swings > 0 or held wave  do swings = swings - 1",
        told: ".in-range",
    },
    Planted {
        kind: "stuck: asleep, and neither a press nor time leads out",
        display: FOX,
        right: "  asleep, glowing on press wave      do swings = 5  go right\n  asleep, glowing on timer restless  do swings = 5  go right\n  asleep          after 1400 ms                     go glowing\n",
        wrong: "",
        told: ".stuck",
    },
    Planted {
        kind: "whose turn it is, asked of one only: both may act",
        display: KICK,
        right: "(match.turn = 2 and aimed) or (match.turn = 1 and to-keep)",
        wrong: "(match.turn = 2 and aimed) or to-keep",
        told: "one-acts",
    },
    Planted {
        kind: "the wrong number stored: the keeper dives left and is booked in the middle",
        display: KICK,
        right: "on press west if flying and match.turn = 2  do dived = 1",
        wrong: "on press west if flying and match.turn = 2  do dived = 2",
        told: "straight",
    },
    Planted {
        kind: "the general way before the special one: the frog misses whatever it meets",
        display: POND,
        right: "  sitting  on press tongue if over-frog  do send caught  go catching\n  sitting  on press tongue                               go missing\n",
        wrong: "  sitting  on press tongue                               go missing\n  sitting  on press tongue if over-frog  do send caught  go catching\n",
        told: "caught",
    },
    Planted {
        kind: "one of two forgets: the frog has it, and it hovers on",
        display: POND,
        right: "  flying on press tongue if frog is sitting and at = middle                                go away\n",
        wrong: "",
        told: "lit-counts",
    },
];

/// What `check` must say.
const SAID: [Planted; 9] = [
    Planted {
        kind: "flashing: a picture for 20 ms",
        display: CLUB,
        right: "throwing    after 250 ms",
        wrong: "throwing    after 20 ms",
        told: "flash/fast-step",
    },
    Planted {
        kind: "one spot lit by two machines",
        display: CLUB,
        right: "machine person per side\n  state away\n",
        wrong: "machine person per side\n  state away  lights button\n",
        told: "rules/spot-shared",
    },
    Planted {
        kind: "too wide for its digits",
        display: CLUB,
        right: "number rally 0..99 ",
        wrong: "number rally 0..999 ",
        told: "rules/digits-narrow",
    },
    Planted {
        kind: "a message that nobody sends any more",
        display: CLUB,
        right: "  offering    on press button           do send served   go throwing\n",
        wrong: "",
        told: "rules/message-unsent",
    },
    Planted {
        kind: "a message that nobody hears any more",
        display: KICK,
        right: "  on   on message ended                                                             go idle\n",
        wrong: "",
        told: "rules/message-unheard",
    },
    Planted {
        kind: "a state that nothing leads to",
        display: KICK,
        right: "  swinging  after 400 ms         go kicked\n",
        wrong: "  swinging  after 400 ms         go waiting\n",
        told: "rules/unreachable",
    },
    Planted {
        kind: "a claim that says nothing",
        display: POND,
        right: "always frog is not catching or not over-frog",
        wrong: "always frog is not catching or frog is catching",
        told: "rules/claim-settled",
    },
    Planted {
        kind: "a name misspelt",
        display: FOX,
        right: "glowing         after 600 ms                      go asleep",
        wrong: "glowing         after 600 ms                      go aslepe",
        told: "rules/unknown-state",
    },
    Planted {
        kind: "a time that is no whole number of ticks",
        display: FOX,
        right: "glowing         after 600 ms",
        wrong: "glowing         after 605 ms",
        told: "rules/whole-ticks",
    },
];

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap().map(Result::unwrap) {
        let (path, to) = (entry.path(), to.join(entry.file_name()));
        if path.is_dir() { copy(&path, &to) } else { fs::copy(&path, &to).map(drop).unwrap() }
    }
}

/// A display with a mistake in it.
fn planted(mistake: &Planted, folder: &Path) -> PathBuf {
    let to = folder.join(mistake.display);
    copy(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../displays").join(mistake.display), &to);
    let rules = to.join(format!("{}.rules", mistake.display));
    let text = fs::read_to_string(&rules).unwrap();
    assert!(text.contains(mistake.right), "{}: the rules no longer say {}", mistake.kind, mistake.right);
    fs::write(&rules, text.replace(mistake.right, mistake.wrong)).unwrap();
    to
}

fn run(arguments: &[&str], folder: &Path) -> String {
    let mut program = Command::new(env!("CARGO_BIN_EXE_lampwright"));
    let ran = program.args(arguments).arg(folder).output().unwrap();
    String::from_utf8(ran.stdout).unwrap()
}

/// The codes that `check` gives.
fn codes(folder: &Path) -> Vec<String> {
    let told = run(&["check", "--json"], folder);
    let report: Value = serde_json::from_str(&told).unwrap_or_else(|why| panic!("{why}: {told}"));
    let all = ["faults", "findings"].into_iter().filter_map(|list| report[list].as_array()).flatten();
    all.filter_map(|one| Some(one["code"].as_str()?.to_owned())).collect()
}

#[test]
fn what_only_play_shows_is_refuted() {
    for mistake in &REFUTED {
        let folder = tempfile::tempdir().unwrap();
        let told = run(&["prove", "--claim", mistake.told], &planted(mistake, folder.path()));
        assert!(told.starts_with("Refuted: "), "{}: {told}", mistake.kind);
        assert!(
            told.lines().next().unwrap().contains(&format!("`{}`", mistake.told)),
            "{}: {told}",
            mistake.kind
        );
    }
}

#[test]
fn what_can_be_read_off_is_said_and_only_then() {
    for mistake in &SAID {
        let folder = tempfile::tempdir().unwrap();
        let found = codes(&planted(mistake, folder.path()));
        assert!(found.iter().any(|code| code == mistake.told), "{}: {found:?}", mistake.kind);
        let sound = Planted { wrong: mistake.right, ..*mistake };
        let none = tempfile::tempdir().unwrap();
        let found = codes(&planted(&sound, none.path()));
        assert!(!found.iter().any(|code| code == mistake.told), "{} is said without it", mistake.told);
    }
}
