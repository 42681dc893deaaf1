//! Situations per second of the search over whole situations: by tabulated moves, and by the referee of searches on a part of
//! the same model. Run by hand with `cargo bench -p prove --bench plain`. `LAMPWRIGHT_SITUATIONS` is where the referee stops.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "a measurement run by hand reads the clock and says what it saw"
)]

use prove::{Engine, Limits, Verdict, prove_some};
use rules::interface::Interface;
use source::Text;
use std::time::Instant;

/// Two players who swing and rest, a ball on eight places, scores and the clock of the bout.
const RULES: &str = "sides west, east
tick 50 ms
machine player per side
  state idle
  state swinging
  state resting
  idle on press button go swinging
  swinging after 250 ms go resting
  resting after 750 ms go idle
machine ball
  number at 1..8 = 1
  state east
  state west
  east after 300 ms if at < 8 do at = at + 1 go east
  east after 300 ms if player.east is swinging go west
  east after 300 ms do at = 1, send missed-east go east
  west after 300 ms if at > 1 do at = at - 1 go west
  west after 300 ms if player.west is swinging go east
  west after 300 ms do at = 8, send missed-west go west
machine score
  number west 0..3
  number east 0..3
  state counting
  counting on message missed-east if west < 3 do west = west + 1 stay
  counting on message missed-west if east < 3 do east = east + 1 stay
machine bout
  state going
  going after 1 s go going
claim both never score.west > 3 or score.east > 3
";

fn main() {
    // `cargo test --all-targets` starts benchmarks too, to see that they are whole.
    if !std::env::args().any(|argument| argument == "--bench") {
        return;
    }
    let interface =
        Interface { buttons: ["west", "east"].map(str::to_owned).to_vec(), ..Interface::default() };
    let (form, faults) = rules::read(&Text::new("plain.rules", RULES), &interface);
    assert!(!faults.iter().any(finding::Fault::stops), "{faults:?}");
    let most = std::env::var("LAMPWRIGHT_SITUATIONS").ok().and_then(|most| most.parse().ok());
    for (engine, situations) in [(Engine::Quick, 50_000_000), (Engine::Plain, most.unwrap_or(500_000))] {
        let limits = Limits { situations, sets: 0, steps: u64::MAX, bytes: 4 << 30 };
        let begun = Instant::now();
        let answer = prove_some(&form, &limits, engine, &|name| name == "both", &mut |_| {}).remove(0);
        let seconds = begun.elapsed().as_secs_f64();
        let covered = match &answer.verdict {
            Verdict::Proved { covered } | Verdict::Undecided { covered, .. } => *covered,
            Verdict::Refuted { .. } => prove::Covered::default(),
        };
        let millions = |count: u64| f64::from(u32::try_from(count).unwrap()) / 1e6;
        println!(
            "{engine:?}: {:.2} million situations, {:.2} million ticks in {seconds:.2} s: {:.2} million situations a second ({})",
            millions(covered.situations),
            millions(covered.steps),
            millions(covered.situations) / seconds,
            answer.words
        );
    }
}
