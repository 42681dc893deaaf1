//! How long a large rules text takes to be read and checked, beside the `toml` crate on a text of the same size in the same
//! run. Run by hand with `cargo bench -p rules --bench read`.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "a measurement run by hand reads the clock and says what it saw"
)]

use rules::interface::{FigureName, Interface, SpotName};
use source::Text;
use std::fmt::Write;
use std::time::{Duration, Instant};

const MACHINES: usize = 200;
const STATES: usize = 10;
const BUTTONS: usize = 8;
/// Both are timed so many times in turn; the middle counts.
const ROUNDS: usize = 15;

/// Machines that answer presses, time, their own timers and their neighbours' messages and states.
fn rules() -> String {
    let mut text = String::from("constant pause = 300 ms from 100 ms to 900 ms\n");
    for m in 0..MACHINES {
        let before = (m + MACHINES - 1) % MACHINES;
        let button = m % BUTTONS;
        writeln!(
            text,
            "condition free{m} = m{m} is s0 and m{m}.n < 50\nmachine m{m}\n  number n 0..99\n  timer t"
        )
        .unwrap();
        for s in 0..STATES {
            writeln!(text, "  state s{s} shows f{m} p{s} lights lamp{m} when n > {s}").unwrap();
        }
        for s in 0..STATES {
            let next = (s + 1) % STATES;
            // Half of the states are busy: what a press of the button meets there is looked at.
            let cause =
                if s % 2 == 0 { format!("on press b{button} if") } else { "when not free0 and".to_owned() };
            writeln!(text, "  s{s} {cause} n < {} do n = min(n + 1, 99), send hop{m} go s{next}", 40 + s)
                .unwrap();
            writeln!(text, "  s{s} on message hop{before} if m{before} is s{next} or m{before}.n * 2 > {s} do start t for pause stay")
                .unwrap();
            writeln!(text, "  s{s} when free{before} and n = {s} do n = max(n - 1, 0) go s0").unwrap();
            writeln!(text, "  s{s} on timer t go s{next}\n  s{s} after {} ms go s{next}", 200 + 10 * s)
                .unwrap();
        }
        writeln!(text, "claim low{m} never m{m}.n > 98 and m{m} is s0").unwrap();
    }
    text
}

fn display() -> Interface {
    let figure =
        |m| FigureName { name: format!("f{m}"), poses: (0..STATES).map(|s| format!("p{s}")).collect() };
    let lamp = |m| SpotName { name: format!("lamp{m}"), count: 1, dims: false };
    Interface {
        figures: (0..MACHINES).map(figure).collect(),
        buttons: (0..BUTTONS).map(|b| format!("b{b}")).collect(),
        spots: (0..MACHINES).map(lamp).collect(),
        ..Interface::default()
    }
}

/// Tables with a few words, numbers and lists each, as long as the rules.
fn toml(bytes: usize) -> String {
    let mut text = String::new();
    let mut at = 0;
    while text.len() < bytes {
        writeln!(text, "[machine.m{at}]\nname = \"waits for a press\"\nfirst = {at}\nafter = [100, 200, 300]\nlit = true\n")
            .unwrap();
        at += 1;
    }
    text
}

fn timed<T>(work: impl FnOnce() -> T) -> Duration {
    let begun = Instant::now();
    let made = work();
    let took = begun.elapsed();
    drop(made);
    took
}

fn middle(mut times: Vec<Duration>) -> f64 {
    times.sort_unstable();
    times[times.len() / 2].as_secs_f64() * 1000.0
}

fn main() {
    // `cargo test --all-targets` starts benchmarks too, to see that they are whole.
    let rounds = if std::env::args().any(|argument| argument == "--bench") { ROUNDS } else { 1 };
    let (text, display) = (Text::new("large.rules", rules()), display());
    let other = toml(text.content().len());
    let (form, faults) = rules::read(&text, &display);
    assert!(faults.is_empty(), "{faults:#?}");
    assert_eq!(form.machines.len(), MACHINES);
    let (mut ours, mut theirs) = (Vec::new(), Vec::new());
    for _ in 0..rounds {
        ours.push(timed(|| rules::read(&text, &display)));
        theirs.push(timed(|| other.parse::<toml::Table>().unwrap()));
    }
    let (ours, theirs) = (middle(ours), middle(theirs));
    println!(
        "{MACHINES} machines, {} states, {} bytes: read and checked in {ours:.1} ms; toml reads {} bytes in {theirs:.1} ms; {:.2} times as long",
        MACHINES * STATES,
        text.content().len(),
        other.len(),
        ours / theirs
    );
}
