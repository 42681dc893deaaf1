//! Random rules through all four players. They are left behind as files, so that a browser can play them too.

use players::host::Watch;
use players::tools::write;
use players::{disagreements, random_rules};
use rules::form::Form;
use rules::vectors::{Vector, record};
use std::path::Path;

const RULE_SETS: u32 = 200;
const TICKS: usize = 150;

/// Whether the forms of all rule sets together use a construct, by a piece of their JSON.
const CONSTRUCTS: [&str; 48] = [
    r#""on":"always""#,
    r#""on":"press""#,
    r#""on":"message""#,
    r#""on":"timer""#,
    r#""do":"set""#,
    r#""do":"start""#,
    r#""do":"stop""#,
    r#""do":"send""#,
    r#""do":"press""#,
    r#""op":"const""#,
    r#""op":"number""#,
    r#""op":"in""#,
    r#""op":"running""#,
    r#""op":"due""#,
    r#""op":"held""#,
    r#""op":"pressed""#,
    r#""op":"pick""#,
    r#""op":"not""#,
    r#""op":"neg""#,
    r#""f":"add""#,
    r#""f":"sub""#,
    r#""f":"mul""#,
    r#""f":"div""#,
    r#""f":"rem""#,
    r#""f":"min""#,
    r#""f":"max""#,
    r#""f":"lt""#,
    r#""f":"and""#,
    r#""f":"or""#,
    r#""w":32"#,
    r#""kept":true"#,
    r#""zeros":true,"flash":{"timer""#,
    r#""zeros":false,"flash":null"#,
    r#""cycle":true"#,
    r#""how":"first""#,
    r#""how":"alternately""#,
    r#""how":"random""#,
    r#""remembers":[{"button""#,
    r#""side":1"#,
    r#""op":"setting""#,
    r#""op":"left""#,
    r#""op":"spot""#,
    r#""op":"draw""#,
    r#""each":true"#,
    r#""do":"play""#,
    r#""says":"never""#,
    r#""says":"always""#,
    r#""says":"leads""#,
];

#[test]
fn random_rules_play_the_same_everywhere() {
    let written: Vec<(String, Form)> = (0..RULE_SETS).map(random_rules::rules).collect();
    let forms: String = written.iter().map(|(_, form)| serde_json::to_string(form).unwrap()).collect();
    let unused: Vec<&str> = CONSTRUCTS.into_iter().filter(|piece| !forms.contains(piece)).collect();
    assert!(unused.is_empty(), "no rule set uses {unused:?}");
    let vectors: Vec<Vector> = (0..RULE_SETS)
        .zip(&written)
        .map(|(seed, (_, form))| {
            record(
                format!("random {seed}"),
                form,
                &random_rules::start(form, seed),
                &random_rules::people(form, seed, TICKS),
            )
        })
        .collect();
    leave_behind(&vectors);
    // Watching at run time is slow to compile; a quarter of the rule sets has it.
    let (watched, rest) = vectors.split_at(vectors.len() / 4);
    let mut wrong = disagreements(watched, Watch::Everything);
    wrong.extend(disagreements(rest, Watch::Warnings));
    if let Some(first) = wrong.first() {
        let named = (0..RULE_SETS).find(|seed| {
            let name = format!("random {seed}:");
            first.contains(&name)
        });
        let text =
            named.and_then(|seed| written.get(usize::try_from(seed).unwrap())).map(|(text, _)| text.as_str());
        panic!("{} differ; the first: {first}\n{}", wrong.len(), text.unwrap_or_default());
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

/// The rule sets must do something: most of them move, or they prove nothing.
#[test]
fn random_rules_are_alive() {
    let mut lively = 0;
    for seed in 0..RULE_SETS {
        let (_, form) = random_rules::rules(seed);
        let vector =
            record("", &form, &random_rules::start(&form, seed), &random_rules::people(&form, seed, TICKS));
        let mut frames: Vec<&str> = vector.expect.iter().map(|out| out.frame.as_str()).collect();
        frames.sort_unstable();
        frames.dedup();
        lively += u32::from(frames.len() >= 5);
    }
    assert!(lively >= RULE_SETS * 8 / 10, "only {lively} of {RULE_SETS} show five frames or more");
}
