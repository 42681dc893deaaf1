//! Random picks: one stream for each machine.
//!
//! The stream is Marsaglia's xorshift with the triple 13, 17, 5 (G. Marsaglia, "Xorshift RNGs", Journal of Statistical
//! Software 8(14), 2003, <https://doi.org/10.18637/jss.v008.i14>): three shifts, no multiplication, quick on an 8-bit
//! controller. A value is taken from the high end by multiplication, without rejection, so every pick costs the same.

use crate::hash::Fnv;

/// The start of a machine's stream: a hash of the seed (four bytes, least first) and the machine's name, never 0.
pub fn seed(seed: u32, machine: &str) -> u32 {
    let mut hash = Fnv::default();
    hash.bytes(&seed.to_le_bytes());
    hash.bytes(machine.as_bytes());
    if hash.value() == 0 { 1 } else { hash.value() }
}

/// The next word of a stream.
pub fn next(mut word: u32) -> u32 {
    word ^= word << 13;
    word ^= word >> 17;
    word ^= word << 5;
    word
}

/// A word of the stream as a whole number from `lo` to `hi`: the high half of `word * (hi - lo + 1)`.
pub fn within(word: u32, lo: i32, hi: i32) -> i32 {
    let values = u64::from(lo.abs_diff(hi.max(lo))) + 1;
    let above = (u64::from(word) * values) >> 32;
    lo.saturating_add(i32::try_from(above).unwrap_or(0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Marsaglia 2003, section 4: the example start 2463534242. Its first three words are from memory of published
    /// listings of that generator.
    #[test]
    fn the_stream_is_marsaglias() {
        let first = next(2_463_534_242);
        let second = next(first);
        assert_eq!([first, second, next(second)], [723_471_715, 2_497_366_906, 2_064_144_800]);
    }

    #[test]
    fn the_ends_of_a_range_are_reached_and_never_passed() {
        assert_eq!(within(0, -3, 3), -3);
        assert_eq!(within(u32::MAX, -3, 3), 3);
        assert_eq!(within(u32::MAX, 0, 65_535), 65_535);
        assert_eq!(within(12_345, 7, 7), 7);
    }
}
