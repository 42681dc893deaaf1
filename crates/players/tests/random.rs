//! Random rules through all four players. They are left behind as files, so that a browser can play them too.

use players::constructs::{Construct, ONLY_READ, PLAYED, altered, of};
use players::host::Watch;
use players::tools::write;
use players::{disagreements, in_two, random_rules};
use rules::vectors::{Vector, record};
use std::collections::BTreeSet;
use std::path::Path;
use std::sync::LazyLock;

const RULE_SETS: u32 = 500;
const TICKS: usize = 150;
/// In so many rule sets at least each construct stands, and, where it is played, changes the play.
const AT_LEAST: usize = 20;

/// All rule sets as text, and played by random people.
static SETS: LazyLock<Vec<(String, Vector)>> = LazyLock::new(|| {
    let seeds: Vec<u32> = (0..RULE_SETS).collect();
    in_two(&seeds, |&seed| {
        let (text, form) = random_rules::rules(seed);
        let people = random_rules::people(&form, seed, TICKS);
        (text, record(format!("random {seed}"), &form, &random_rules::start(&form, seed), &people))
    })
});

#[test]
fn random_rules_play_the_same_everywhere() {
    let vectors: Vec<Vector> = SETS.iter().map(|(_, vector)| vector.clone()).collect();
    leave_behind(&vectors);
    // Watching at run time is slow to compile; a quarter of the rule sets has it.
    let (watched, rest) = vectors.split_at(vectors.len() / 4);
    let mut wrong = disagreements(watched, Watch::Everything);
    wrong.extend(disagreements(rest, Watch::Warnings));
    if let Some(first) = wrong.first() {
        let is_named = |vector: &Vector| first.contains(&format!("{}:", vector.name));
        let text = SETS.iter().find(|(_, vector)| is_named(vector)).map_or("", |(text, _)| text.as_str());
        panic!("{} differ; the first: {first}\n{text}", wrong.len());
    }
}

/// Writes the vectors where `tests/browser` looks for them, in place of those of an earlier run.
#[allow(clippy::disallowed_methods, reason = "a test leaves files for the tests of the page")]
#[allow(clippy::unwrap_used, reason = "helpers of tests stand outside the test functions")]
fn leave_behind(vectors: &[Vector]) {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).with_file_name("random-vectors");
    if folder.exists() {
        std::fs::remove_dir_all(&folder).unwrap();
    }
    std::fs::create_dir_all(&folder).unwrap();
    for (n, vector) in vectors.iter().enumerate() {
        write(&folder.join(format!("{n:03}.json")), &serde_json::to_string(vector).unwrap());
    }
}

/// The words and signs that the grammar names are those of `docs/GRAMMAR.md`.
#[test]
fn random_rules_use_every_word_of_the_grammar() {
    let grammar = include_str!("../../../docs/GRAMMAR.md");
    let ebnf = grammar.split("```").nth(1).unwrap();
    let named: BTreeSet<&str> = ebnf.split('"').skip(1).step_by(2).collect();
    assert!(named.contains("alternately") && named.contains("!=") && named.len() > 80, "{named:?}");
    let text: String = SETS.iter().map(|(text, _)| text.as_str()).collect();
    let words: BTreeSet<&str> =
        text.split(|c: char| !(c.is_ascii_alphanumeric() || "_-".contains(c))).collect();
    let is_sign = |word: &str| !word.contains(|c: char| c.is_ascii_alphabetic());
    let unused: Vec<&&str> = named
        .iter()
        .filter(|word| if is_sign(word) { !text.contains(**word) } else { !words.contains(**word) })
        .collect();
    assert!(unused.is_empty(), "no rule set uses {unused:?}");
    // A minute is written like the lesser of two.
    assert!(
        text.split_whitespace().any(|word| word.trim_end_matches(',') == "min"),
        "no rule set waits a minute"
    );
}

/// A construct is exercised where the referee plays otherwise without it.
#[test]
fn random_rules_exercise_every_construct() {
    let sets: Vec<_> = SETS.iter().map(|(_, vector)| (vector, of(&vector.form))).collect();
    let all: Vec<Construct> = PLAYED.iter().chain(ONLY_READ).copied().collect();
    let seldom = in_two(&all, |construct| {
        let with = || sets.iter().filter(|(_, parts)| parts.contains(construct));
        let matters = |vector: &Vector| {
            let form = altered(&vector.form, *construct);
            record("", &form, &vector.start(), &vector.ticks).expect != vector.expect
        };
        let stands = with().count();
        let exercised = with().filter(|(vector, _)| matters(vector)).take(AT_LEAST).count();
        let enough = stands >= AT_LEAST && (exercised >= AT_LEAST || ONLY_READ.contains(construct));
        (!enough).then(|| format!("{construct:?} stands in {stands} rule sets and matters in {exercised}"))
    });
    assert_eq!(seldom.into_iter().flatten().collect::<Vec<_>>(), Vec::<String>::new());
}

/// The rule sets must do something: most of them move, or they prove nothing.
#[test]
fn random_rules_are_alive() {
    let mut lively = 0;
    for (_, vector) in SETS.iter() {
        let frames: BTreeSet<&str> = vector.expect.iter().map(|out| out.frame.as_str()).collect();
        lively += u32::from(frames.len() >= 5);
    }
    assert!(lively >= RULE_SETS * 8 / 10, "only {lively} of {RULE_SETS} show five frames or more");
}
