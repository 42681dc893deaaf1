//! Small things around vectors.

use rules::vectors::{TickOut, Vector};

/// Bytes as hex digits.
pub fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// A set of buttons as bits.
pub fn bits(set: &[usize]) -> u32 {
    set.iter().fold(0, |bits, &b| bits | 1 << b)
}

/// The first tick in which a player differs, with what came in and both results.
pub fn first_difference(vector: &Vector, got: &[TickOut]) -> Option<String> {
    let ticks = vector.expect.len().max(got.len());
    let differs = (0..ticks).find(|&n| got.get(n) != vector.expect.get(n))?;
    Some(format!(
        "{}: tick {differs}\n    in       {:?}\n    expected {:?}\n    got      {:?}",
        vector.name,
        vector.ticks.get(differs),
        vector.expect.get(differs),
        got.get(differs)
    ))
}
