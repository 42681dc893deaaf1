//! Situations per second of the search over whole situations, held against SPIN's checker on the same model in the same run:
//! by tabulated moves, with mirror images merged, and by the referee of searches on a part. Run by hand with
//! `cargo bench -p prove --bench plain`; it wants `spin`, `gcc` and up to 3 GB. `LAMPWRIGHT_SITUATIONS` is where the referee stops.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "a measurement run by hand reads the clock, starts programs and says what it saw"
)]

use prove::promela::{Presses, model};
use prove::{Covered, Engine, Limits, Verdict, prove_some};
use rules::form::Form;
use rules::interface::Interface;
use source::Text;
use std::path::Path;
use std::process::Command;
use std::time::Instant;

/// Two players who swing and rest, a ball that goes eight places either way, scores and the clock of the bout. Each side is the
/// other's mirror image.
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
  number gone 1..8 = 1
  state east
  state west
  east after 300 ms if gone < 8 do gone = gone + 1 go east
  east after 300 ms if player.east is swinging do gone = 1 go west
  east after 300 ms do gone = 1, send missed go east
  west after 300 ms if gone < 8 do gone = gone + 1 go west
  west after 300 ms if player.west is swinging do gone = 1 go east
  west after 300 ms do gone = 1, send missed go west
machine score
  number west 0..6
  number east 0..6
  state counting
  counting on message missed if ball is east and west < 6 do west = west + 1 stay
  counting on message missed if ball is west and east < 6 do east = east + 1 stay
machine round
  state going
  going after 1 s go going
claim both never score.west > 6 or score.east > 6
";

/// What SPIN's checker is compiled with: all exact, no claim about cycles, no reduction (there is one process).
const WAYS: [&[&str]; 5] = [
    &["-O2", "-DSAFETY", "-DNOREDUCE"],
    &["-O2", "-DSAFETY", "-DNOREDUCE", "-DMEMLIM=8000", "-DVECTORSZ=64", "-DNOBOUNDCHECK"],
    &["-O3", "-march=native", "-DSAFETY", "-DNOREDUCE", "-DMEMLIM=8000", "-DVECTORSZ=64"],
    &["-O2", "-DSAFETY", "-DNOREDUCE", "-DMEMLIM=8000", "-DVECTORSZ=64", "-DCOLLAPSE"],
    &["-O2", "-DSAFETY", "-DNOREDUCE", "-DMEMLIM=8000", "-DVECTORSZ=64", "-DSPACE"],
];

fn millions(count: f64) -> f64 {
    count / 1e6
}

fn count(count: u64) -> f64 {
    f64::from(u32::try_from(count).unwrap())
}

/// Bytes of memory this process has had at most, by the system's own reckoning.
fn most_bytes() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM"))?;
    Some(line.split_whitespace().nth(1)?.parse::<u64>().ok()? * 1024)
}

/// Seconds of a processor that this program, or the programs it has waited for, have taken: what others do meanwhile on the
/// machine is not in it. (Linux; a hundred ticks a second.)
fn processor_seconds(children: bool) -> f64 {
    let stat = std::fs::read_to_string("/proc/self/stat").unwrap();
    let fields: Vec<&str> = stat.rsplit(')').next().unwrap().split_whitespace().collect();
    let at = if children { 13 } else { 11 };
    (fields[at].parse::<f64>().unwrap() + fields[at + 1].parse::<f64>().unwrap()) / 100.0
}

/// Situations and situations a second of a processor.
fn ours(form: &Form, engine: Engine, situations: u64) -> (u64, f64) {
    let limits = Limits { situations, sets: 0, steps: u64::MAX, bytes: 4 << 30 };
    // The most so far begins anew.
    std::fs::write("/proc/self/clear_refs", "5").unwrap();
    let before = most_bytes();
    let (begun, processor) = (Instant::now(), processor_seconds(false));
    let answer = prove_some(form, &limits, engine, &|name| name == "both", &mut |_| {}).remove(0);
    let (elapsed, seconds) = (begun.elapsed().as_secs_f64(), processor_seconds(false) - processor);
    let covered = match &answer.verdict {
        Verdict::Proved { covered } | Verdict::Undecided { covered, .. } => *covered,
        Verdict::Refuted { .. } => Covered::default(),
    };
    let found = count(covered.situations);
    let each =
        before.zip(most_bytes()).map_or(0.0, |(before, after)| count(after.saturating_sub(before)) / found);
    println!(
        "{engine:?}: {:.2} million situations, {:.2} million ticks in {seconds:.2} s of a processor ({elapsed:.2} s): {:.2} million situations a second, {each:.1} bytes each at most, everything counted ({})",
        millions(found),
        millions(count(covered.steps)),
        millions(found) / seconds,
        answer.words
    );
    (covered.situations, found / seconds)
}

fn ran(command: &mut Command) -> String {
    let ran = command.output().unwrap();
    let said = String::from_utf8_lossy(&ran.stdout).into_owned();
    assert!(ran.status.success(), "{said}{}", String::from_utf8_lossy(&ran.stderr));
    said
}

fn number(said: &str, mark: &str, behind: bool) -> f64 {
    let line = said.lines().find(|line| line.contains(mark)).unwrap_or_else(|| panic!("{mark}: {said}"));
    let (before, after) = line.split_once(mark).unwrap();
    let word = if behind { after.split_whitespace().next() } else { before.split_whitespace().last() };
    word.unwrap().parse().unwrap()
}

/// States and states a second of a processor of SPIN's checker, the best of all ways to compile it.
fn spins(form: &Form) -> (f64, f64) {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("spin-bench");
    std::fs::create_dir_all(&folder).unwrap();
    let mut best = (0.0, 0.0);
    std::fs::write(folder.join("model.pml"), model(form, "both", Presses::Heard).unwrap()).unwrap();
    ran(Command::new("spin").args(["-a", "model.pml"]).current_dir(&folder));
    for way in WAYS {
        ran(Command::new("gcc").arg("-w").args(way).args(["-o", "pan", "pan.c"]).current_dir(&folder));
        let mut pan = Command::new(folder.join("pan"));
        let processor = processor_seconds(true);
        let said = ran(pan.args(["-n", "-w25", "-m200000"]).current_dir(&folder));
        assert!(said.contains("errors: 0") && !said.contains("too small"), "{said}");
        let seconds = processor_seconds(true) - processor;
        let states = number(&said, "states, stored", false);
        let elapsed = number(&said, "elapsed time", true);
        let each = number(&said, "total actual memory usage", false) * 1_048_576.0 / states;
        println!(
            "SPIN, {}: {states} states in {seconds:.2} s of a processor ({elapsed} s): {:.2} million states a second, {each:.0} bytes each",
            way.join(" "),
            millions(states) / seconds
        );
        if states / seconds > best.1 {
            best = (states, states / seconds);
        }
    }
    best
}

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
    let (situations, speed) = ours(&form, Engine::Quick, 50_000_000);
    let (states, reference) = spins(&form);
    // Before its first tick the checker has one state of its own.
    assert!((states - 1.0 - count(situations)).abs() < 0.5, "{states} states, {situations} situations");
    println!("the same situations; {:.1} times the states a second of SPIN at its best", speed / reference);
    // Each situation that is looked at stands for its image, too: the same claim in less time.
    let (once, speed_once) = ours(&form, Engine::Mirrored, 50_000_000);
    let whole = speed_once * count(situations) / count(once);
    println!(
        "mirror images once: {:.2} million; the whole at {:.1} times SPIN's pace",
        millions(count(once)),
        whole / reference
    );
    ours(&form, Engine::Plain, most.unwrap_or(500_000));
}
