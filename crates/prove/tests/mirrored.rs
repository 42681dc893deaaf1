//! Situations that are each other's mirror image are merged: on random rules that are their own mirror image every answer is
//! that of the search that merges nothing, every play has as many ticks, and what is looked at is at least half and never more.
//! A pair has two members, so that no sound merging can come to less than half.
#![allow(clippy::panic, clippy::print_stdout, reason = "it says how much it compared")]

mod common;

use prove::{Answer, Engine, Limits, Verdict, prove_some};

/// Rule sets that are compared.
const RULES: u32 = 1200;

#[test]
fn merging_mirror_images_changes_no_answer() {
    let limits = Limits { situations: 30_000, sets: 0, steps: 1_000_000, ..Limits::default() };
    let wanted = |name: &str| !name.starts_with('.') || name == ".in-range";
    let (mut proved, mut refuted, mut merged, mut all, mut once) = (0, 0, 0, 0, 0);
    for seed in 1..=RULES {
        let (text, form) = common::mirrored::rules(seed);
        let by = |engine| prove_some(&form, &limits, engine, &wanted, &mut |_| {});
        for (one, mirrored) in by(Engine::Quick).iter().zip(&by(Engine::Mirrored)) {
            let about = || format!("seed {seed}: {}\n{}\n{text}", one.words, mirrored.words);
            match (&one.verdict, &mirrored.verdict) {
                (Verdict::Proved { covered }, Verdict::Proved { covered: less }) => {
                    assert!(less.situations <= covered.situations, "{}", about());
                    assert!(less.situations * 2 >= covered.situations, "{}", about());
                    merged += u32::from(less.situations < covered.situations);
                    (all, once) = (all + covered.situations, once + less.situations);
                    proved += 1;
                }
                (Verdict::Refuted { trace }, Verdict::Refuted { trace: other }) => {
                    assert_eq!(trace.ticks.len(), other.ticks.len(), "{}", about());
                    refuted += 1;
                }
                (Verdict::Undecided { why, .. }, _) | (_, Verdict::Undecided { why, .. }) => {
                    assert!(!why.contains("referee"), "{}", about());
                    if let Verdict::Undecided { why, .. } = &mirrored.verdict {
                        assert!(!why.contains("referee"), "{}", about());
                    }
                }
                _ => panic!("{}", about()),
            }
        }
    }
    println!(
        "{RULES} rule sets: {proved} claims proved and {refuted} refuted by both; in {merged} mirror images were merged; {all} situations, {once} with mirror images once"
    );
    assert!(merged > RULES / 2 && refuted > RULES && once * 10 < all * 9);
}

/// Whose turn it is, is the other side's in the mirror. Worked out by hand: nobody ties before somebody leads, so that west is
/// favoured when both press then; west leading comes to 2 and 0, east leading to 1 and 1, and neither is the other's image.
#[test]
fn a_turn_is_turned_round() {
    let text = "sides west, east
tick 50 ms
machine hub
  number west 0..2
  number east 0..2
  ties alternately
  state calm
  calm on press west if west + east = 0 and not pressed east do west = 1 stay
  calm on press east if west + east = 0 and not pressed west do east = 1 stay
  calm on press west if west + east = 1 and pressed east do west = west + 1 stay
  calm on press east if west + east = 1 and pressed west do east = east + 1 stay
claim even never hub.west = 1 and hub.east = 1
claim more never hub.west + hub.east > 2
";
    let answers = mirrored(text);
    assert_eq!(answers[0].trace().map(|trace| trace.ticks.len()), Some(3), "{}", answers[0].words);
    // 0 and 0; 1 and 0; 0 and 1; 2 and 0; 1 and 1.
    let Verdict::Proved { covered } = answers[1].verdict else { panic!("{}", answers[1].words) };
    assert_eq!(covered.situations, 5);
}

/// The east's stores stand in the other order than the image of the west's, and each reads what the other writes: no mirror. Both
/// numbers are kept, so that each of the nine pairs is a start.
#[test]
fn the_order_of_stores_that_read_each_other_counts() {
    let answers = mirrored(
        "sides west, east
tick 50 ms
machine hub
  number west 0..2 kept
  number east 0..2 kept
  ties at random
  state calm
  calm on press west do west = min(west + 1, 2), east = max(east, west) stay
  calm on press east do west = max(west, east), east = min(east + 1, 2) stay
claim sum never hub.west + hub.east > 4
",
    );
    let Verdict::Proved { covered } = answers[0].verdict else { panic!("{}", answers[0].words) };
    assert_eq!(covered.situations, 9);
}

/// Answers to the written claims.
fn mirrored(text: &str) -> Vec<Answer> {
    let (form, faults) = rules::read(&source::Text::new("one.rules", text.to_owned()), &common::interface());
    assert!(!faults.iter().any(finding::Fault::stops), "{faults:?}");
    let wanted = |name: &str| !name.starts_with('.');
    prove_some(&form, &Limits::default(), Engine::Mirrored, &wanted, &mut |_| {})
}
