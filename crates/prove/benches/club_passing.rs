//! The club passing's rules as they are, presses free at any tick: how far the set search comes, run by hand with
//! `cargo bench -p prove --bench club_passing`. It takes minutes and up to 2 GiB; `LAMPWRIGHT_STEPS` is how many ticks are tried.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "a measurement run by hand reads its rules, the clock and says what it saw"
)]

use prove::{Engine, Limits, moments, prove_with};
use rules::interface::{DigitsName, FigureName, Interface, SpotName};
use source::Text;
use std::path::PathBuf;
use std::time::Instant;

const SIDES: [&str; 2] = ["west", "east"];

fn form() -> rules::form::Form {
    let path =
        PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../displays/club-passing/club-passing.rules");
    let text = Text::new("club-passing.rules", std::fs::read_to_string(path).unwrap());
    let poses = ["ready", "holding", "reaching", "throwing", "dropped"].map(str::to_owned).to_vec();
    let spot = |name: &str, count| SpotName { name: name.to_owned(), count, dims: false };
    let interface = Interface {
        figures: SIDES.map(|side| FigureName { name: side.to_owned(), poses: poses.clone() }).to_vec(),
        buttons: SIDES.map(str::to_owned).to_vec(),
        spots: vec![spot("club", 7), spot("west", 1), spot("east", 1)],
        digits: vec![DigitsName { name: "rally".to_owned(), count: 2 }],
        ..Interface::default()
    };
    let (form, faults) = rules::read(&text, &interface);
    assert!(faults.is_empty(), "{faults:?}");
    form
}

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
        if let Some(trace) = answer.trace() {
            moments(&form, trace).iter().for_each(|moment| println!("    {moment}"));
        }
        assert!(answer.claim.starts_with('.') || answer.trace().is_none(), "{}", answer.words);
    }
}
