//! Deliberate mistakes of the C generator: the committed vectors must find every one of them.
//!
//! A mistake is made in the C of every vector where its words occur. It has to occur somewhere, and some vector has to show
//! it: on this machine, or, for what only 16 bits show, on the emulated controller. A mistake that the compiler refuses ends
//! the test: it would not have needed vectors.

#![allow(clippy::print_stdout, reason = "the table of mistakes is read when one of them is not found")]

#[path = "mistakes/changes.rs"]
mod changes;
#[path = "mistakes/ticks.rs"]
mod ticks;
#[path = "mistakes/values.rs"]
mod values;

use changes::Mistake;
use players::host::{Job, Watch};
use players::recording::first_difference;
use players::tools::read;
use players::{chip, host, in_two};
use rules::vectors::{TickOut, Vector};
use std::path::Path;

/// So many vectors are tried in one program: a mistake is seldom found by the first, and often by one of the first.
const IN_ONE_PROGRAM: usize = 6;

/// What came of a mistake.
struct Outcome {
    name: &'static str,
    applies: usize,
    found: Option<String>,
}

fn hunt(mistake: &Mistake, vectors: &[(Vector, String, String)]) -> Outcome {
    let wrong: Vec<_> = vectors
        .iter()
        .map(|(vector, header, source)| (vector, header, source, (mistake.make)(source)))
        .filter(|(_, _, source, wrong)| wrong.trim_end() != source.trim_end())
        .map(|(vector, header, _, wrong)| (vector, header, wrong))
        .collect();
    let jobs: Vec<Job<'_>> =
        wrong.iter().map(|(vector, header, source)| Job { header, source, vector }).collect();
    let on_host = jobs.chunks(IN_ONE_PROGRAM).find_map(|jobs| {
        let played = host::play_all(jobs, Watch::Nothing);
        jobs.iter().zip(played).find(|(job, played)| differs(job.vector, played)).map(|(job, _)| job.vector)
    });
    let on_chip = || {
        let plays = |job: &Job<'_>| chip::play(job.header, job.source, job.vector, Watch::Nothing);
        jobs.iter().find(|job| differs(job.vector, &plays(job))).map(|job| job.vector)
    };
    let found = on_host.map(|vector| format!("{} on this machine", vector.name));
    let found =
        found.or_else(|| on_chip().map(|vector| format!("{} on the emulated controller", vector.name)));
    println!("{:45} in {:3} vectors: {}", mistake.name, jobs.len(), found.as_deref().unwrap_or("NOT FOUND"));
    Outcome { name: mistake.name, applies: jobs.len(), found }
}

/// Whether a player made something else of a vector, or broke off.
fn differs<E>(vector: &Vector, played: &Result<Vec<TickOut>, E>) -> bool {
    played.as_ref().map_or(true, |got| first_difference(vector, got).is_some())
}

#[test]
fn every_deliberate_mistake_is_found() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../vectors");
    let mut paths: Vec<_> = std::fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let vectors: Vec<(Vector, String, String)> = paths
        .iter()
        .filter(|path| path.extension().is_some_and(|end| end == "json"))
        .map(|path| {
            let vector: Vector = serde_json::from_str(&read(path)).unwrap();
            let (header, source) = firmware::rules_c(&vector.form).unwrap();
            (vector, header, source)
        })
        .collect();
    let mistakes: Vec<&Mistake> = ticks::TICKS.iter().chain(values::VALUES).collect();
    let outcomes = in_two(&mistakes, |mistake| hunt(mistake, &vectors));
    let mut missed = Vec::new();
    for outcome in &outcomes {
        if outcome.applies == 0 || outcome.found.is_none() {
            missed.push(outcome.name);
        }
    }
    assert!(missed.is_empty(), "no vector shows: {missed:?}");
}
