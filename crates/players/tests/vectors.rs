//! The committed vectors through all four players.
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests stand outside the test functions")]

use players::disagreements;
use players::host::Watch;
use players::tools::read;
use rules::vectors::{Vector, record};
use std::path::Path;

fn committed() -> Vec<Vector> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../vectors");
    let mut paths: Vec<_> = std::fs::read_dir(&folder)
        .unwrap_or_else(|why| panic!("{}: {why}", folder.display()))
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|end| end == "json"))
        .collect();
    paths.sort();
    paths.iter().map(|path| serde_json::from_str(&read(path)).unwrap()).collect()
}

#[test]
fn committed_vectors_play_the_same_everywhere() {
    let vectors = committed();
    assert!(!vectors.is_empty(), "there are no vectors to play");
    for vector in &vectors {
        assert_eq!(
            record(vector.name.as_str(), &vector.form, &vector.start(), &vector.ticks).expect,
            vector.expect,
            "the referee: {}",
            vector.name
        );
    }
    assert_eq!(disagreements(&vectors, Watch::Everything), Vec::<String>::new());
}
