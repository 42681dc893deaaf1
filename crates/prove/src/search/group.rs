//! One group of machines, and what others see of it.

use super::dense::Dense;
use super::joint::{Heard, LOCAL_BITS, Move, Moves};
use crate::pack::QuickMap;

/// What a group, or the claim, sees of another group.
#[derive(Clone, Copy, Debug)]
pub(super) struct Source {
    pub(super) group: usize,
    pub(super) eye: usize,
}

/// A number for everything that one reader sees of one group, by local of the group.
pub(super) struct Eye {
    /// The group that reads, none for the claim; and under which field of its table.
    pub(super) reader: (Option<usize>, usize),
    /// Machine and view.
    pub(super) views: Vec<(usize, usize)>,
    pub(super) known: QuickMap<Vec<u32>, u32>,
    pub(super) by_local: Vec<u32>,
}

/// Machines that are looked up as one.
pub(super) struct Group {
    pub(super) machines: Vec<usize>,
    pub(super) locals: Vec<u128>,
    pub(super) index: QuickMap<u128, u32>,
    pub(super) listens: Vec<u64>,
    /// What each local becomes in the mirror, in the group that this one is sent to; 0 is not known yet.
    pub(super) mirrored: Vec<u32>,
    /// Who sees it.
    pub(super) eyes: Vec<usize>,
    pub(super) sources: Vec<Source>,
    pub(super) heard: Vec<Heard>,
    /// Under its local, what it sees, and the settings: one more than where its moves begin.
    pub(super) entries: Dense,
    /// The same where that table would be too large.
    pub(super) rare: QuickMap<Vec<u32>, u32>,
    pub(super) moves: Vec<Moves>,
    /// Where a move is the only one, worked out in one tick, and presses nothing: what the group is after it; else 0.
    pub(super) plain: Vec<u32>,
    pub(super) outs: Vec<Move>,
}

/// A machine's number at its place in the key of its group.
pub(super) fn put(local: u32, nth: usize) -> u128 {
    u128::from(local) << (LOCAL_BITS as usize * nth)
}

/// The number at a place in the key of a group.
#[allow(clippy::cast_possible_truncation, reason = "the mask has fewer than 32 bits")]
pub(super) fn taken(key: u128, nth: usize) -> u32 {
    (key >> (LOCAL_BITS as usize * nth)) as u32 & ((1 << LOCAL_BITS) - 1)
}
