//! The club passing's rules as they are, presses free at any tick: how far the set search comes, run by hand with
//! `cargo bench -p prove --bench club_passing`. It takes minutes and up to 2 GiB; `LAMPWRIGHT_STEPS` is how many ticks are tried.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "a measurement run by hand reads its rules, the clock and says what it saw"
)]

#[path = "../../rules/tests/common/club.rs"]
mod club;

use club::form;
use prove::{Engine, Limits, prove_with};
use std::time::Instant;

/// Ends with a panic when one of the claims that the rules themselves make is refuted.
fn main() {
    // `cargo test --all-targets` starts benchmarks too, to see that they are whole.
    if !std::env::args().any(|argument| argument == "--bench") {
        return;
    }
    let form = form();
    let steps =
        std::env::var("LAMPWRIGHT_STEPS").ok().and_then(|steps| steps.parse().ok()).unwrap_or(20_000_000);
    let limits = Limits { situations: 0, sets: 20_000_000, steps, bytes: 2 << 30 };
    let begun = Instant::now();
    let mut last = String::new();
    let answers = prove_with(&form, &limits, Engine::Sets, &mut |progress| {
        if progress.claim != last || progress.covered % 65_536 == 0 {
            println!("{:.1} s: {} {}", begun.elapsed().as_secs_f64(), progress.claim, progress.covered);
            last = progress.claim;
        }
    });
    println!("{:.1} s: end", begun.elapsed().as_secs_f64());
    for answer in &answers {
        println!("{}", answer.words);
        if let prove::Verdict::Undecided { covered, .. } | prove::Verdict::Proved { covered } =
            &answer.verdict
        {
            println!("    {covered:?}");
        }
        answer.told.iter().for_each(|moment| println!("    tick {}: {}", moment.tick, moment.words));
        assert!(answer.claim.starts_with('.') || answer.trace().is_none(), "{}", answer.words);
    }
}
