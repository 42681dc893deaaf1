//! What is found for one claim serves others, and changes no answer: asked forwards, backwards, or each for itself, claims have the
//! same answers to the letter, with the same counts of what was looked at, also where limits are met on the way.

mod common;

use common::rules;
use prove::{Answer, Engine, Known, Limits, names, prove_knowing, prove_with};
use rules::form::Form;

/// Rule sets that are asked.
const RULES: u32 = 25;

fn one_by_one(
    form: &Form,
    limits: &Limits,
    names: &[String],
    known: &mut dyn FnMut(&mut Known),
) -> Vec<Answer> {
    let mut shared = Known::default();
    let answers = names.iter().flat_map(|name| {
        known(&mut shared);
        let wanted = |claim: &str| claim == name;
        prove_knowing(form, (limits, Engine::Sets), &wanted, &mut shared, &mut |_| {})
    });
    answers.collect()
}

#[test]
fn what_others_have_found_changes_no_answer() {
    let (mut proved, mut stopped) = (0, 0);
    for seed in 1..=RULES {
        let (text, form) = rules(seed);
        for sets in [40, 200, 1000, 5000] {
            let limits = Limits { sets, steps: 40 * sets, ..Limits::default() };
            let mut names = names(&form);
            let alone = one_by_one(&form, &limits, &names, &mut |known| *known = Known::default());
            let forwards = prove_with(&form, &limits, Engine::Sets, &mut |_| {});
            assert_eq!(alone, forwards, "seed {seed}, {sets} sets\n{text}");
            names.reverse();
            let mut backwards = one_by_one(&form, &limits, &names, &mut |_| {});
            backwards.reverse();
            assert_eq!(alone, backwards, "seed {seed}, {sets} sets\n{text}");
            proved += alone.iter().filter(|answer| answer.proved()).count();
            stopped += alone.iter().filter(|answer| answer.words.contains("limit")).count();
        }
    }
    assert!(proved > 400 && stopped > 80, "{proved} proved, {stopped} stopped by a limit");
}
