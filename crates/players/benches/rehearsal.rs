//! Rehearsed games of club passing against the same games, press by press, in the generated C compiled with -O2 and stepping
//! every tick: games a second on one processor. Run by hand with `cargo bench -p players --bench rehearsal`; both sides come
//! to the same fingerprints at the end of every game, or it ends with a panic. The C only steps; the rehearsal plays the
//! people, too.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "a measurement run by hand"
)]

use players::tools::{command, run, write};
use players::{host, script};
use rehearse::{Cast, Ready, Script};
use std::fmt::Write as _;
use std::io::Write as _;
use std::process::Stdio;
use std::time::Instant;

const GAMES: u64 = 300;
const ROUNDS: usize = 5;

fn main() {
    // `cargo test --all-targets` starts benchmarks too, to see that they are whole.
    if !std::env::args().any(|argument| argument == "--bench") {
        return;
    }
    let form = script::club().1;
    let ready = Ready::new(&form).unwrap();
    let folder = host::folder();
    let (header, source) = firmware::rules_c(&form).unwrap();
    write(&folder.path().join("rules.h"), &header);
    write(&folder.path().join("rules.c"), &source);
    write(&folder.path().join("bench.c"), include_str!("../c/bench_harness.c"));
    let mut gcc = command("gcc");
    gcc.current_dir(folder.path()).args(["-std=c11", "-O2", "-flto", "-DLAMPWRIGHT_TRIAL"]);
    run(gcc.args(["-o", "bench", "rules.c", "bench.c"]));
    let program = folder.path().join("bench").to_string_lossy().into_owned();
    println!("party        s of play   C games/s   rehearsed games/s   ratio (best of {ROUNDS})");
    for key in ["five", "adult", "five+five", "adult+adult"] {
        let cast = Cast::read(key, 2).unwrap();
        let (mut quickest, mut compiled, mut ticks) = (f64::MAX, f64::MAX, 0);
        for _ in 0..ROUNDS {
            let begun = Instant::now();
            let games: Vec<Script> = (0..GAMES).map(|number| ready.script(&cast, 1, number)).collect();
            quickest = quickest.min(begun.elapsed().as_secs_f64());
            compiled = compiled.min(replay(&program, &games));
            ticks = games.iter().map(|game| game.ticks).sum();
        }
        let play = ticks as f64 / 100.0 / GAMES as f64;
        let (c, own) = (GAMES as f64 / compiled, GAMES as f64 / quickest);
        println!("{key:<12} {play:>9.0}   {c:>9.0}   {own:>17.0}   {:>5.2}", own / c);
    }
}

/// Seconds that the C takes; the fingerprints must be the same.
fn replay(program: &str, games: &[Script]) -> f64 {
    let mut text = format!("{}\n", games.len());
    for game in games {
        writeln!(text, "{} {}", game.ticks, game.presses.len()).unwrap();
        for (tick, pressed, held) in &game.presses {
            writeln!(text, "{tick} {pressed} {held}").unwrap();
        }
    }
    let mut child = command(program).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
    child.stdin.take().unwrap().write_all(text.as_bytes()).unwrap();
    let done = child.wait_with_output().unwrap();
    let printed = String::from_utf8(done.stdout).unwrap();
    let mut lines = printed.lines();
    let nanoseconds: f64 = lines.next().unwrap().parse().unwrap();
    for (game, line) in games.iter().zip(lines) {
        assert_eq!(line.parse::<u32>().unwrap(), game.fingerprint, "after {} ticks", game.ticks);
    }
    nanoseconds / 1e9
}
