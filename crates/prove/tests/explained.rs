//! What is said of the claims that are made without being asked is so: each wrong example breaks its claim, put right it keeps it.

#![allow(clippy::disallowed_methods, reason = "the page that lists them is read")]
#![allow(missing_docs, clippy::unwrap_used, clippy::panic, reason = "test code: a panic is a failed test")]

use prove::codes::{CLAIMED, kind};
use prove::{Limits, Verdict, names, prove};
use rules::form::Form;
use source::Text;
use std::collections::BTreeSet;

fn form(rules: &str) -> Form {
    let (form, faults) = rules::read(&Text::new("example.rules", rules), &rules::codes::example_display());
    assert!(!faults.iter().any(finding::Fault::stops), "{rules}: {faults:?}");
    form
}

#[test]
fn each_wrong_example_breaks_its_claim_and_put_right_it_keeps_it() {
    let mut tried = 0;
    for known in CLAIMED.codes {
        let Some(example) = known.example else { continue };
        let answers = |rules: &str| {
            let mut answers = prove(&form(rules), &Limits::default(), &mut |_| {});
            answers.retain(|answer| kind(&answer.claim) == known.code);
            answers
        };
        let wrong = answers(example.wrong);
        assert!(
            wrong.iter().any(|answer| matches!(answer.verdict, Verdict::Refuted { .. })),
            "{}: {wrong:#?}",
            known.code
        );
        let right = answers(example.right);
        assert!(!right.is_empty() && right.iter().all(prove::Answer::proved), "{}: {right:#?}", known.code);
        tried += 1;
    }
    assert_eq!(tried, CLAIMED.codes.len() - 1, "only what no readable rules can break has no example");
}

#[test]
fn every_claim_that_is_made_without_being_asked_is_explained_and_no_other() {
    let rules = "machine fox
number count 0..9 = 0 shown on rally
state sitting shows fox sitting
sitting on press wave do count = min(count + 1, 9) stay
claim low never fox.count = 10";
    let made: BTreeSet<String> = names(&form(rules)).iter().map(|name| kind(name).to_owned()).collect();
    let explained: BTreeSet<&str> = CLAIMED.codes.iter().map(|known| known.code).collect();
    let of_their_own: Vec<&str> =
        made.iter().map(String::as_str).filter(|name| !explained.contains(name)).collect();
    assert_eq!(of_their_own, ["low"]);
    assert!(explained.iter().all(|code| made.contains(*code)), "{explained:?} of {made:?}");
}

#[test]
fn the_page_of_the_claims_lists_each_as_it_is_explained() {
    let page = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/CLAIMS.md")).unwrap();
    let rows: Vec<&str> = page.lines().filter(|line| line.starts_with("| `.")).collect();
    let explained: Vec<String> =
        CLAIMED.codes.iter().map(|known| format!("| `{}` | {} |", known.code, known.meaning)).collect();
    assert_eq!(rows, explained);
}
