//! Quick play against the referee's vectors: every construct at its edges, tick by tick.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic, reason = "test code: a panic is a failed test")]

use rehearse::quick::{Play, Rules};
use rules::hash::{fingerprint, frame_bytes};
use rules::step::frame;
use rules::vectors::{TickIn, Vector};
use std::path::PathBuf;

#[allow(clippy::disallowed_methods, reason = "tests read the committed vectors")]
fn vectors() -> Vec<Vector> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../vectors");
    let mut paths: Vec<PathBuf> =
        std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|extension| extension == "json"));
    paths.sort();
    paths.iter().map(|path| serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()).collect()
}

fn bits(buttons: &[usize]) -> u64 {
    buttons.iter().fold(0, |all, button| all | 1 << button)
}

/// The referee's vectors without those that give picks, which no person can.
#[test]
fn every_tick_of_every_vector_is_the_referees() {
    let gives = |vector: &Vector| vector.ticks.iter().any(|tick: &TickIn| !tick.picks.is_empty());
    let vectors = vectors();
    let free: Vec<&Vector> = vectors.iter().filter(|vector| !gives(vector)).collect();
    assert!(free.len() >= 50, "{} vectors", free.len());
    for vector in free {
        let rules = Rules::new(&vector.form).unwrap();
        let mut play = Play::begin(&rules, &vector.start(), vector.form.seed);
        for (n, (tick, expected)) in vector.ticks.iter().zip(&vector.expect).enumerate() {
            if n > 0 {
                play.step(bits(&tick.pressed), bits(&tick.held));
            }
            let situation = play.situation();
            let seen = frame_bytes(&vector.form, &frame(&vector.form, &situation));
            let seen: String = seen.iter().map(|byte| format!("{byte:02x}")).collect();
            assert_eq!(seen, expected.frame, "{} tick {n}", vector.name);
            assert_eq!(fingerprint(&situation), expected.hash, "{} tick {n}", vector.name);
        }
    }
}
