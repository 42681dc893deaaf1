//! Plain search and search over sets answer every claim of random small rules alike, and every refutation is a play of the
//! referee that goes against the claim. The two share the tick, the claims' observers and nothing else.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a test that cannot read its own rules must stop; it says how much it compared"
)]

mod common;

use common::{rules, rules_of_many_values};
use prove::{Answer, Engine, Limits, Trace, Verdict, prove_with};
use rules::form::{Claimed, Form};
use rules::step::Start;
use rules::vectors::play;

/// Rule sets that are compared. `LAMPWRIGHT_AGREEMENT` in the environment asks for another number.
const RULES: u32 = 150;

/// Whether the referee's own run of a trace goes against a claim of the simplest kind; none for other kinds. Written anew
/// here, with the frame bytes and situations of the referee alone.
fn goes_against(form: &Form, claim: &str, trace: &Trace) -> Option<bool> {
    let run = play(form, &Start { kept: trace.kept.clone(), settings: trace.settings.clone() }, &trace.ticks);
    assert_eq!(run.len(), trace.ticks.len());
    if let Some(name) = claim.strip_prefix(".flash") {
        let figure = form.figures.iter().position(|figure| figure.name == name.trim());
        let poses: Vec<Vec<Option<usize>>> = run
            .iter()
            .map(|(_, frame)| match figure {
                Some(figure) => vec![frame.poses[figure]],
                None => frame.poses.clone(),
            })
            .collect();
        let changes: Vec<usize> = (1..poses.len()).filter(|at| poses[*at] != poses[at - 1]).collect();
        let second = usize::try_from(1000 / form.tick_ms).unwrap();
        return Some(changes.windows(8).any(|eight| eight[7] - eight[0] <= second));
    }
    let written = form.claims.iter().find(|one| one.name == claim)?;
    let Claimed::Never { .. } = written.claim else { return None };
    // The condition as a transition of a machine that is asked in the next tick would be another reading; the reader's own
    // text is asked instead: a form with the claim as a light that is lit while it is true.
    let mut lit = form.clone();
    let Claimed::Never { what } = written.claim.clone() else { return None };
    for state in &mut lit.machines[0].states {
        state.lights = vec![rules::form::Lights {
            first: 0,
            count: 1,
            index: None,
            each: false,
            level: rules::form::Expr { w: 16, node: rules::form::Node::Const { v: 255 } },
            when: Some(what.clone()),
        }];
    }
    for machine in &mut lit.machines[1..] {
        machine.states.iter_mut().for_each(|state| state.lights.clear());
    }
    let run = play(&lit, &Start { kept: trace.kept.clone(), settings: trace.settings.clone() }, &trace.ticks);
    Some(run.last().is_some_and(|(_, frame)| frame.spots[0] == 255))
}

fn word(answer: &Answer) -> &'static str {
    match answer.verdict {
        Verdict::Proved { .. } => "proved",
        Verdict::Refuted { .. } => "refuted",
        Verdict::Undecided { .. } => "undecided",
    }
}

/// Whole situations by tabulated moves: the same verdict, the same numbers of situations and of ticks worked out, refutations
/// of the same length. A limit may stop one of the two a little earlier; then nothing is compared.
fn same(plain: &Answer, quick: &Answer, seed: u32, text: &str) -> bool {
    assert_eq!(plain.claim, quick.claim);
    match (&plain.verdict, &quick.verdict) {
        (Verdict::Proved { covered }, Verdict::Proved { covered: other }) => {
            assert_eq!(covered, other, "seed {seed}: {}\n{text}", plain.words);
            true
        }
        (Verdict::Refuted { trace }, Verdict::Refuted { trace: other }) => {
            assert_eq!(trace.ticks.len(), other.ticks.len(), "seed {seed}: {}\n{text}", plain.words);
            true
        }
        (Verdict::Undecided { why, .. }, _) | (_, Verdict::Undecided { why, .. }) => {
            assert!(!why.contains("referee"), "seed {seed}: {}\n{}\n{text}", plain.words, quick.words);
            false
        }
        _ => panic!("seed {seed}: plain {}, quick {}\n{text}", plain.words, quick.words),
    }
}

#[test]
#[allow(clippy::disallowed_methods, reason = "a longer run is asked for in the environment")]
fn both_searches_answer_alike() {
    let count =
        std::env::var("LAMPWRIGHT_AGREEMENT").ok().and_then(|count| count.parse().ok()).unwrap_or(RULES);
    let limits = Limits { situations: 15_000, sets: 15_000, steps: 200_000, ..Limits::default() };
    let (mut proved, mut refuted, mut undecided, mut checked, mut alike) = (0, 0, 0, 0, 0);
    // Claims that sets answer in ways of their own.
    let mut kinds = [".answered", ".flash", ".home", ".held", ".alone", ".stuck"].map(|kind| (kind, 0_u32));
    for seed in 1..=count {
        let (text, form) = if seed % 2 == 0 { rules_of_many_values(seed) } else { rules(seed) };
        let plain = prove_with(&form, &limits, Engine::Plain, &mut |_| {});
        let quick = prove_with(&form, &limits, Engine::Quick, &mut |_| {});
        assert_eq!(plain.len(), quick.len());
        for (plain, quick) in plain.iter().zip(&quick) {
            alike += i32::from(same(plain, quick, seed, &text));
        }
        let sets = prove_with(&form, &limits, Engine::Sets, &mut |_| {});
        assert_eq!(plain.len(), sets.len());
        for (plain, sets) in plain.iter().zip(&sets) {
            assert_eq!(plain.claim, sets.claim);
            for answer in [plain, sets] {
                if let Verdict::Undecided { why, .. } = &answer.verdict {
                    assert!(!why.contains("referee"), "seed {seed}: {}\n{text}", answer.words);
                }
                if let Some(against) =
                    answer.trace().and_then(|trace| goes_against(&form, &answer.claim, trace))
                {
                    assert!(against, "seed {seed}: {}\n{text}", answer.words);
                    checked += 1;
                }
            }
            match (word(plain), word(sets)) {
                ("proved", "proved") => {
                    proved += 1;
                    if let Some(of) = kinds.iter_mut().find(|(kind, _)| plain.claim.starts_with(*kind)) {
                        of.1 += 1;
                    }
                    // What sets say of the longest wait is at least what it is.
                    assert!(
                        sets.bound_ticks >= plain.bound_ticks,
                        "seed {seed}: {}\n{}\n{text}",
                        plain.words,
                        sets.words
                    );
                }
                ("refuted", "refuted") => refuted += 1,
                ("undecided", _) | (_, "undecided") => undecided += 1,
                (a, b) => panic!(
                    "seed {seed}, {}: plain {a}, sets {b}\n{}\n{}\n{text}",
                    plain.claim, plain.words, sets.words
                ),
            }
        }
    }
    println!(
        "{count} rule sets: {proved} claims proved and {refuted} refuted by both, {undecided} not compared; {checked} plays checked by other means; {alike} answers of the quick search the same in every count; proved by both of each kind: {kinds:?}"
    );
    assert!(proved > 2 * i64::from(count) && refuted > i64::from(count) / 2 && checked > count / 2);
    assert!(alike > 5 * i32::try_from(count).unwrap());
    assert!(kinds.iter().all(|(_, proved)| *proved > 0), "{kinds:?}");
}
