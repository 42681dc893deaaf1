//! `explain` as somebody uses it, and that what it says of each code is so.
#![allow(
    clippy::disallowed_methods,
    reason = "tests run the program on real files and read the sources they are about"
)]
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests stand outside the test functions")]

mod support;

use finding::{CodeGroup, Explained};
use source::MemoryFiles;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::Output;
use support::{Fox, code, json, program, said};

fn explain(arguments: &[&str]) -> Output {
    program().arg("explain").args(arguments).output().unwrap()
}

fn printed(output: &Output) -> String {
    assert_eq!(code(output), 0, "{}", said(output));
    String::from_utf8(output.stdout.clone()).unwrap()
}

/// What the readers say about their own codes.
fn all() -> Vec<&'static Explained> {
    let parts: [&[&Explained]; 6] = [
        parts::codes::WRITTEN,
        parts::codes::PARTS_CODES,
        display::codes::FILES,
        display::codes::TOGETHER,
        drawing::codes::CODES,
        prove::codes::CLAIMED.codes,
    ];
    let of = |groups: &[CodeGroup]| groups.iter().flat_map(|group| group.codes).copied().collect::<Vec<_>>();
    [of(&rules::codes::groups()), of(plan::codes::GROUPS), parts.concat()].concat()
}

#[test]
fn bare_it_lists_every_code_on_a_line() {
    let page = printed(&explain(&[]));
    let listed: BTreeMap<&str, &str> =
        page.lines().filter_map(|line| line.strip_prefix("  ")?.split_once(' ')).collect();
    for known in all() {
        assert_eq!(
            listed.get(known.code).map(|meaning| meaning.trim()),
            Some(known.meaning),
            "{}",
            known.code
        );
    }
    assert_eq!(listed.len(), all().len() + 1, "and the one of the report itself");
    let groups = json(&explain(&["--json"]))["groups"].clone();
    let told = groups.as_array().unwrap().iter().flat_map(|group| group["codes"].as_array().unwrap());
    assert_eq!(told.count(), listed.len());
}

#[test]
fn a_code_of_the_rules_is_told_with_its_example_underlined_and_put_right() {
    let page = printed(&explain(&["rules/whole-ticks"]));
    for words in [
        "A time is no whole number of ticks.",
        "    sitting after 25 ms go waving\n",
        "fault[rules/whole-ticks]: 25 ms is no whole number of ticks of 10 ms",
        " --> example.rules:4:15",
        "^^^^^ expected 20 ms or 30 ms",
        "Put right:",
        "    sitting after 30 ms go waving\n",
    ] {
        assert!(page.contains(words), "{words} in\n{page}");
    }
    let told = json(&explain(&["rules/whole-ticks", "--json"]));
    assert_eq!(told["code"], "rules/whole-ticks");
    assert!(told["example"]["right"].as_str().unwrap().contains("30 ms"));
    assert!(told["example"]["shown"].as_str().unwrap().contains("^^^^^ expected 20 ms or 30 ms"));
}

#[test]
fn every_code_can_be_asked_for() {
    for known in all() {
        let page = printed(&explain(&[known.code]));
        assert!(page.starts_with(known.code) && page.contains(known.meaning) && page.contains(known.more));
        let Some(example) = known.example else { continue };
        for line in example.wrong.lines().chain(example.right.lines()) {
            assert!(page.contains(&format!("    {line}\n")), "{line} in\n{page}");
        }
        let shown = format!("[{}]: ", known.code);
        assert_eq!(page.contains(&shown), known.code.starts_with("rules/"), "{page}");
    }
}

#[test]
fn a_claim_that_nobody_wrote_is_told_whatever_it_is_asked_of_with_a_play_against_it() {
    for asked in [&[".held west"][..], &[".held", "west"], &[".held"]] {
        let page = printed(&explain(asked));
        assert!(page.starts_with(".held\n\nThe same as `.home`"), "{page}");
        // One press wakes the fox, and the finger stays down.
        let shown = "    0.010 s: somebody presses wave; now fox is waving\n";
        assert!(page.contains("Refuted: with button wave stuck down") && page.contains(shown), "{page}");
        assert!(page.contains("and so on for ever, as from "), "{page}");
    }
    let fox = Fox::new();
    let said = printed(&fox.run("prove", &["--claim", ".in-range"]));
    assert!(!said.contains("lampwright explain"), "{said}");
}

#[test]
fn an_unknown_code_is_answered_with_what_is_near() {
    for (asked, near) in [
        ("rules/whole-tick", "did you mean rules/whole-ticks?"),
        ("whole-ticks", "rules/whole-ticks"),
        ("Rules/Tie", "rules/tie"),
        (".homee", "did you mean .home?"),
        ("x/qqqq", "`lampwright explain` lists them"),
    ] {
        let output = explain(&[asked]);
        assert_eq!(code(&output), 1, "{}", said(&output));
        assert!(said(&output).contains(near), "{}", said(&output));
        assert!(output.stdout.is_empty());
    }
    assert_eq!(code(&explain(&["a", "b"])), 1);
}

#[test]
fn check_says_once_how_to_ask_and_only_where_there_is_something_to_ask() {
    let fox = Fox::new();
    let words = |output: &Output| String::from_utf8(output.stderr.clone()).unwrap();
    fox.change("waving-fox.rules", "after 600 ms", "after 600");
    fox.change("waving-fox.rules", "do swings = 6", "do swing = 6");
    let told = words(&fox.run("check", &[]));
    assert_eq!(told.matches("lampwright explain").count(), 1, "{told}");
    // The first one in the text is the example.
    assert!(told.trim_end().ends_with("lampwright explain rules/unknown-number"), "{told}");
    let fox = Fox::new();
    let told = words(&fox.run("check", &[]));
    let matters = told.contains("caution[") || told.contains("danger[");
    assert_eq!(told.contains("lampwright explain"), matters, "{told}");
}

/// The texts of a display that comes with the program.
fn display_files(name: &str) -> BTreeMap<String, String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../displays").join(name);
    let mut files = BTreeMap::new();
    for inner in ["", "art"] {
        for entry in std::fs::read_dir(folder.join(inner)).unwrap().map(Result::unwrap) {
            if entry.path().is_file() {
                let name = Path::new(inner).join(entry.file_name()).to_str().unwrap().to_owned();
                files.insert(name, std::fs::read_to_string(entry.path()).unwrap());
            }
        }
    }
    files
}

fn codes_of(files: &BTreeMap<String, String>) -> BTreeSet<&'static str> {
    let memory = files
        .iter()
        .fold(MemoryFiles::default(), |files, (name, text)| files.with(name.clone(), text.as_bytes()));
    display::read(&memory).1.iter().map(|fault| fault.code).collect()
}

/// An example that is not rules is a piece of a display that comes with the program: written wrong there, it gives the code.
#[test]
fn the_examples_of_descriptions_and_drawings_are_so() {
    let displays = ["waving-fox", "club-passing"].map(display_files);
    let mut tried = 0;
    for known in
        all().into_iter().filter(|known| known.code.contains('/') && !known.code.starts_with("rules/"))
    {
        let Some(example) = known.example else { continue };
        let with = displays.iter().find_map(|files| {
            files.iter().find(|(_, text)| text.contains(example.right)).map(|(name, _)| (files, name))
        });
        let (files, name) =
            with.unwrap_or_else(|| panic!("{}: {} is in no display", known.code, example.right));
        assert!(!codes_of(files).contains(known.code));
        let mut broken = files.clone();
        let text = broken.get_mut(name).unwrap();
        *text = text.replacen(example.right, example.wrong, 1);
        let found = codes_of(&broken);
        assert!(found.contains(known.code), "{} in {name}: {found:?}", known.code);
        tried += 1;
    }
    assert!(tried > 35, "{tried} examples");
}

#[test]
fn the_displays_that_come_with_the_program_lose_no_press() {
    for name in ["club-passing", "firefly-pond", "penalty-kick", "waving-fox"] {
        assert!(!codes_of(&display_files(name)).contains("rules/press-lost"), "{name}");
    }
}

/// Lines that settle who goes first although no two ever could: without them the reader does not ask who is favoured.
fn needless_ties(files: &BTreeMap<String, String>, rules: &str) -> Vec<String> {
    let text = &files[rules];
    let ties = text.lines().filter(|line| line.trim_start().starts_with("ties "));
    let needless = ties.filter(|line| {
        let mut without = files.clone();
        without.insert(rules.to_owned(), text.replacen(*line, "", 1));
        !codes_of(&without).contains("rules/tie")
    });
    needless.map(|line| line.trim().to_owned()).collect()
}

#[test]
fn no_display_settles_a_tie_that_cannot_arise() {
    for display in ["club-passing", "firefly-pond", "penalty-kick", "waving-fox"] {
        let files = display_files(display);
        let rules = format!("{display}.rules");
        assert!(!codes_of(&files).contains("rules/tie"), "{display}");
        assert_eq!(needless_ties(&files, &rules), Vec::<String>::new(), "{display}");
    }
    // Such a line is found where it stands: only one of the two can keep at a time.
    let mut files = display_files("penalty-kick");
    let rules = files.get_mut("penalty-kick.rules").unwrap();
    *rules = rules.replacen("machine keeper\n", "machine keeper\n  ties alternately\n", 1);
    assert_eq!(needless_ties(&files, "penalty-kick.rules"), ["ties alternately"]);
}

/// Every text like `area/word` in the sources whose area is one of codes, where it is not about something else.
fn written(folder: &Path, areas: &BTreeSet<&str>, found: &mut BTreeMap<String, PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap().map(Result::unwrap) {
        let path = entry.path();
        if path.is_dir() {
            written(&path, areas, found);
            continue;
        }
        let skipped = ["codes.rs", "tests.rs"].iter().any(|name| path.ends_with(name));
        if skipped || path.extension().is_none_or(|it| it != "rs") {
            continue;
        }
        let text = std::fs::read_to_string(&path).unwrap();
        let own = text.split("#[cfg(test)]\nmod tests {").next().unwrap();
        for (behind, word) in own.split('"').zip(own.split('"').skip(1)) {
            let Some((area, name)) = word.split_once('/') else { continue };
            let plain = |text: &str| {
                !text.is_empty()
                    && text.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
            };
            let made = behind.trim_end().ends_with("Fault::new(") || behind.trim_end().ends_with("finding(");
            if plain(area) && plain(name) && (areas.contains(area) || made) {
                found.insert(word.to_owned(), path.clone());
            }
        }
    }
}

/// Paths of values, which look like codes.
const NO_CODES: [&str; 1] = ["cord/size"];

#[test]
fn every_code_in_the_sources_can_be_explained_and_none_is_explained_that_nobody_gives() {
    let areas: BTreeSet<&str> =
        all().iter().filter_map(|known| known.code.split_once('/')).map(|(area, _)| area).collect();
    let mut found = BTreeMap::new();
    let crates = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    for name in ["quantity", "drawing", "parts", "display", "plan", "book", "firmware"] {
        written(&crates.join(name).join("src"), &areas, &mut found);
    }
    found.retain(|word, path| {
        !NO_CODES.contains(&word.as_str()) && !word.starts_with("rules/") && !path.ends_with("note.rs")
    });
    let known: BTreeSet<&str> = all()
        .iter()
        .map(|known| known.code)
        .filter(|code| code.contains('/') && !code.starts_with("rules/"))
        .collect();
    let unknown: Vec<_> = found.iter().filter(|(word, _)| !known.contains(word.as_str())).collect();
    assert!(unknown.is_empty(), "not explained: {unknown:#?}");
    let idle: Vec<_> = known.iter().filter(|code| !found.contains_key(**code)).collect();
    assert!(idle.is_empty(), "explained, and nowhere given: {idle:?}");
}

#[test]
fn every_code_is_explained_once_in_whole_sentences() {
    let mut seen = BTreeSet::new();
    for known in all() {
        assert!(seen.insert(known.code), "{} is there twice", known.code);
        for words in [known.meaning, known.more] {
            assert!(words.ends_with('.') && !words.contains("  ") && !words.contains('\n'), "{words}");
        }
        assert!(known.meaning.chars().count() < 130, "{}", known.meaning);
    }
}
