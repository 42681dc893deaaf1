//! The page names the studies that the people stand on, and the displays' rules name the page.

#![allow(missing_docs, clippy::unwrap_used, reason = "test code: a panic is a failed test")]
#![allow(clippy::disallowed_methods, reason = "sources and pages are read")]

mod common;

use std::fs;

fn page() -> String {
    fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/REHEARSAL.md")).unwrap()
}

#[test]
fn every_author_and_journal_that_a_value_stands_on_is_on_the_page() {
    let people = fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/src/people.rs")).unwrap();
    let header: Vec<&str> = people.lines().filter_map(|line| line.strip_prefix("//!")).collect();
    let header = header.join(" ");
    let (page, mut names) = (page(), 0);
    for cited in header.split('(').skip(1).filter_map(|rest| rest.split(')').next()) {
        for name in cited.split(|c: char| !c.is_alphabetic()) {
            if name.chars().count() > 2 && name.starts_with(char::is_uppercase) {
                assert!(page.contains(name), "{name} of ({cited}) is not on the page");
                names += 1;
            }
        }
    }
    assert!(names > 20, "{names}");
}

#[test]
fn rules_that_go_by_published_times_say_where_the_studies_are_named() {
    for display in ["club-passing", "firefly-pond", "penalty-kick"] {
        let rules = common::text(display);
        assert!(rules.contains("published"), "{display}");
        assert!(rules.contains("docs/REHEARSAL.md"), "{display}");
    }
}
