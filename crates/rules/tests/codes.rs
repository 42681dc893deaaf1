//! The registry of codes: what it says of each is so, and nothing gives a code that it does not know.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic, reason = "test code: a panic is a failed test")]
#![allow(clippy::disallowed_methods, reason = "tests read the sources they are about")]

use finding::{Explained, Fault};
use source::Text;
use std::collections::BTreeSet;
use std::path::Path;

fn all() -> Vec<&'static Explained> {
    rules::codes::groups().iter().flat_map(|group| group.codes).copied().collect()
}

fn faults(example: &str) -> Vec<Fault> {
    rules::read(&Text::new("example.rules", example), &rules::codes::example_display()).1
}

#[test]
fn every_wrong_example_gives_its_code_and_no_other_stop() {
    for known in all() {
        let Some(example) = known.example else { continue };
        let found = faults(example.wrong);
        assert!(found.iter().any(|fault| fault.code == known.code), "{}: {found:#?}", known.code);
        let others: Vec<&Fault> =
            found.iter().filter(|fault| fault.stops() && fault.code != known.code).collect();
        assert!(others.is_empty(), "{}: {others:#?}", known.code);
    }
}

#[test]
fn no_right_example_stops_or_gives_the_code() {
    for known in all() {
        let Some(example) = known.example else { continue };
        let found = faults(example.right);
        let bad: Vec<&Fault> =
            found.iter().filter(|fault| fault.stops() || fault.code == known.code).collect();
        assert!(bad.is_empty(), "{}: {bad:#?}", known.code);
        assert_ne!(example.wrong, example.right);
    }
}

#[test]
fn every_code_is_there_once_with_whole_sentences() {
    let mut seen = BTreeSet::new();
    for known in all() {
        assert!(seen.insert(known.code), "{} is there twice", known.code);
        let name = known.code.strip_prefix("rules/").unwrap();
        assert!(name.chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{name}");
        for words in [known.meaning, known.more] {
            assert!(
                words.ends_with('.') && words.starts_with(char::is_uppercase) || words.starts_with('`'),
                "{words}"
            );
            assert!(!words.contains('\n') && !words.contains("  "), "{words}");
        }
        assert!(known.meaning.len() < 130, "{}: {}", known.code, known.meaning);
    }
    let without: Vec<&str> =
        all().iter().filter(|known| known.example.is_none()).map(|known| known.code).collect();
    assert_eq!(without, ["rules/too-many"], "every other code has an example");
}

/// A fault takes a code as plain text too; in the reader only the registry may make use of that.
#[test]
fn no_source_of_the_reader_makes_a_code_of_its_own() {
    let sources = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut read = 0;
    let mut folders = vec![sources.clone()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap().map(Result::unwrap) {
            let path = entry.path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            read += 1;
            let content = std::fs::read_to_string(&path).unwrap();
            let made = content.contains("Fault::new(") || content.contains("\"rules/");
            assert!(!made || path == sources.join("codes.rs"), "{}", path.display());
        }
    }
    assert!(read > 30, "{read} sources");
}
