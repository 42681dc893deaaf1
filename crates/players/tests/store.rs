//! What outlasts power: kept values, settings, the count of starts and the wiring's identity, over a memory that fails.

#![allow(clippy::print_stdout, reason = "the table of mistakes is read when one of them is not found")]
#![allow(clippy::unwrap_used, reason = "helpers of tests stand outside the test functions")]

use players::script::{CLUB, display};
use players::{in_two, parts};
use std::collections::BTreeMap;

/// The flagship with a setting beside its kept value; the harness stands for the rules: 7 kept, setting 3 of 1 to 4.
fn project() -> BTreeMap<String, String> {
    let (plan, form) = display("club-passing", &CLUB, |name, text| {
        if name.ends_with(".rules") {
            text.replace("sides west, east", "sides west, east\nsetting tempo 1..4 = 3")
        } else {
            text
        }
    });
    assert_eq!((form.settings.len(), form.kept().len()), (1, 1));
    firmware::project(&plan, &form).unwrap()
}

/// Commands and what they must print; none prints nothing.
type Story = Vec<(String, Option<String>)>;

/// A day in the life of the memory: what is printed follows from what the limits and the store promise.
fn story() -> Story {
    let mut story: Story = Vec::new();
    let mut say = |command: &str, prints: Option<&str>| {
        story.push((command.to_owned(), prints.map(str::to_owned)));
    };
    say("start 1", Some("0 7 3"));
    // A value that does not stay is not written; one that stays for five seconds is.
    say("run 400 8", None);
    say("run 400 9", None);
    say("start 0", Some("0 7 3"));
    say("run 600 12", None);
    say("start 0", Some("0 12 3"));
    say("run 10 12", None);
    // A third reset within the minute: dark, whatever else happens, until somebody comes.
    say("start 0", Some("1 12 3"));
    say("start 1", Some("1 12 3"));
    say("came", None);
    say("start 1", Some("0 12 3"));
    say("minute", None);
    say("run 10 12", None);
    // Settings go round from the greatest to the least, and the kept value goes with them.
    say("step", None);
    say("run 600 12", None);
    say("start 1", Some("0 12 4"));
    say("step", None);
    say("run 600 13", None);
    say("start 1", Some("0 13 1"));
    // Count 3 by now; a quiet minute, then an ordinary evening and three failures of the supply.
    say("minute", None);
    say("run 10 13", None);
    for why in ["0 13 1", "0 13 1", "0 13 1", "1 13 1"] {
        say("start 1", Some(why));
    }
    say("came", None);
    // A reset without power counts from the first on.
    say("minute", None);
    say("run 10 13", None);
    for why in ["0 13 1", "0 13 1", "1 13 1"] {
        say("start 0", Some(why));
    }
    say("came", None);
    story
}

/// Power cut at every byte of a record: the value before it or the new one, never a third.
fn cut_story(after: usize) -> (String, [String; 2]) {
    let commands = format!(
        "start 1\nrun 600 20\nrun 600 21\nminute\nrun 10 21\ncut {after}\nrun 600 22\nwhole\nstart 1\nrun 600 30\nminute\nrun 10 30\nstart 1\n"
    );
    (commands, ["0 21 3".to_owned(), "0 22 3".to_owned()])
}

fn checked(project: &BTreeMap<String, String>) -> Result<(), String> {
    let story = story();
    let commands: Vec<&str> = story.iter().map(|(command, _)| command.as_str()).collect();
    let got = parts::play(project, parts::STORE, commands.join("\n"));
    let wanted: Vec<&str> = story.iter().filter_map(|(_, prints)| prints.as_deref()).collect();
    let got: Vec<&str> = got.lines().collect();
    if got != wanted {
        return Err(format!("{got:?} instead of {wanted:?}"));
    }
    for after in 0..=13 {
        let (commands, either) = cut_story(after);
        let got = parts::play(project, parts::STORE, commands);
        let got: Vec<&str> = got.lines().collect();
        // Twelve bytes: the sequence, two values, the sum.
        let wanted = &either[usize::from(after > 11)];
        if got != ["0 7 3", wanted, "0 30 3"] {
            return Err(format!("cut after {after} bytes: {got:?}"));
        }
    }
    wear(project)
}

/// Three hundred records wear no byte more than a few times: eighty-four places of twelve bytes share them.
fn wear(project: &BTreeMap<String, String>) -> Result<(), String> {
    let mut commands = "start 1\n".to_owned();
    for value in 0..300 {
        commands.push_str(&format!("run 600 {}\n", 100 + value));
    }
    commands.push_str("count\n");
    let got = parts::play(project, parts::STORE, commands);
    let most: Option<u32> = got.lines().last().and_then(|line| line.split(' ').nth(1)?.parse().ok());
    // 300 / 84 is under 4.
    if most == Some(4) { Ok(()) } else { Err(got) }
}

#[test]
fn what_is_kept_outlasts_power_and_resets_are_counted() {
    assert_eq!(checked(&project()), Ok(()));
}

#[test]
fn another_wiring_stays_dark_until_somebody_comes() {
    let project = project();
    let line = |text: &str| text.lines().find(|line| line.contains("WIRING_IDENTITY")).unwrap().to_owned();
    let own = line(&project["wiring.h"]);
    let other = |wiring: &str| {
        let mut other = project.clone();
        other.insert("wiring.h".to_owned(), project["wiring.h"].replace(&own, wiring));
        // The memory is the other program's, told by its commands: only the identity differs.
        let harness = parts::STORE.0.replace("memset(memory, 0xFF, sizeof memory);", "memset(memory, 0xFF, sizeof memory);\n    for (int k = 0; k < 4; k++) {\n        memory[2 + k] = (uint8_t)(0x12345678UL >> 8 * k);\n        memory[6 + k] = (uint8_t)(memory[2 + k] ^ 0xFFU);\n    }");
        let commands = "start 1\nminute\nrun 10 7\nstart 1\ncame\nstart 1\n".to_owned();
        parts::play(&other, (&harness, parts::STORE.1), commands)
    };
    assert_eq!(other("#define WIRING_IDENTITY 0x12345678UL"), "0 7 3\n0 7 3\n0 7 3\n");
    assert_eq!(other("#define WIRING_IDENTITY 0x12345679UL"), "2 7 3\n2 7 3\n0 7 3\n");
    // Two outputs changed over are another wiring; other rules with the same lights are not.
    let (mut plan, form) = players::script::club();
    let before = firmware::project(&plan, &form).unwrap()["wiring.h"].clone();
    let mut quicker = form.clone();
    quicker.seed += 1;
    assert_eq!(firmware::project(&plan, &quicker).unwrap()["wiring.h"], before);
    let (one, other) = (plan.channels[0].output, plan.channels[1].output);
    (plan.channels[0].output, plan.channels[1].output) = (other, one);
    assert_ne!(line(&firmware::project(&plan, &form).unwrap()["wiring.h"]), line(&before));
}

const MISTAKES: [(&str, &str, &str, &str); 12] = [
    ("the older copy counts", "store.c", "(number - sequence) <= 0", "(number - sequence) > 0"),
    ("always in the same place", "store.c", "(slot + 1U) % SLOTS", "slot % SLOTS"),
    ("sum not looked at", "store.c", " && get(SUM_AT, 2) == sum_of()", ""),
    ("written at once", "store.c", "stayed >= STAY", "stayed >= 1U"),
    ("never written", "store.c", "    written = 0;\n", ""),
    ("written while the memory is busy", "store.c", "        if (memory_ready()) {", "        if (true) {"),
    ("setting beyond its greatest", "store.c", ">= greatest[setting]", "> greatest[setting]"),
    ("count of resets never begins anew", "guard.c", "    resting = 2;\n", ""),
    ("one reset more", "guard.c", "#define MOST_STARTS 3U", "#define MOST_STARTS 4U"),
    ("power coming up counts twice", "guard.c", "starts == RESTED && !power_came_up", "starts == RESTED"),
    (
        "power coming up starts anew",
        "guard.c",
        "uint8_t starts = read_count();",
        "uint8_t starts = power_came_up ? RESTED : read_count();",
    ),
    (
        "somebody changes nothing",
        "guard.c",
        "    write_count(1);\n    write_identity();",
        "    write_identity();",
    ),
];

#[test]
fn every_deliberate_mistake_in_the_store_shows() {
    let right = project();
    let outcomes = in_two(&MISTAKES, |(name, file, from, to)| {
        let mut wrong = right.clone();
        let text = wrong.get_mut(*file).unwrap();
        if !text.contains(from) {
            return (*name, Err("stands nowhere in the C".to_owned()));
        }
        *text = text.replacen(from, to, 1);
        (*name, Ok(checked(&wrong).err()))
    });
    let missed: Vec<_> = outcomes.iter().filter(|(_, outcome)| !matches!(outcome, Ok(Some(_)))).collect();
    println!("{outcomes:#?}");
    assert!(missed.is_empty(), "not shown: {missed:?}");
}
