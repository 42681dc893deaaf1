//! The page's player, under Node.

use crate::host::folder;
use crate::tools::{command, run, write};
use rules::vectors::Vector;
use std::path::Path;

/// Plays vectors; gives the first difference of each one that differs.
///
/// # Panics
/// Where Node is missing or the player fails.
pub fn differences(vectors: &[Vector]) -> Vec<String> {
    let folder = folder();
    for (k, vector) in vectors.iter().enumerate() {
        let text = serde_json::to_string(vector).unwrap_or_default();
        write(&folder.path().join(format!("{k:05}.json")), &text);
    }
    let own = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut node = command("node");
    node.arg(own.join("node/run.mjs")).arg(own.join("../../page/player.js")).arg(folder.path());
    let printed = run(&mut node);
    let played = printed.lines().filter(|line| line.starts_with("played ")).count();
    assert_eq!(played, vectors.len(), "the page's player did not come to its end:\n{printed}");
    printed.lines().filter(|line| line.starts_with("differs ")).map(str::to_owned).collect()
}
