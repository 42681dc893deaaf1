//! Where the stretches of a search have come to, many of them, kept in rows.

use std::cmp::Reverse;
use std::collections::BTreeMap;

/// A message from outside that may come at any tick.
pub(super) const ANY: u8 = u8::MAX;

/// Messages from outside that may still come, a byte for each.
type Left = [u8; 8];

/// Where a stretch has come to.
#[derive(Clone, Copy, Debug)]
pub(super) struct Label<'d> {
    pub(super) now: u16,
    pub(super) node: usize,
    pub(super) count: u32,
    pub(super) left: Left,
    /// When each clock may run down; 0 where it has already or is off.
    pub(super) due: &'d [u16],
}

impl Label<'_> {
    /// How often each message from outside may come, of eight at most.
    pub(super) fn left(tokens: &[u8]) -> Left {
        let mut left = [0; 8];
        left.iter_mut().zip(tokens).for_each(|(left, tokens)| *left = *tokens);
        left
    }

    /// Whether everything that can follow another label can follow this one, and counts no less.
    fn is_as_good(&self, other: &Label<'_>) -> bool {
        self.count >= other.count
            && self.now <= other.now
            && self.left.iter().zip(&other.left).all(|(own, theirs)| own >= theirs)
            && self.due.iter().zip(other.due).all(|(own, theirs)| own <= theirs)
    }
}

/// What is left of the messages from outside; none where one of these is used up.
pub(super) fn spend(mut left: Left, tokens: u8) -> Option<Left> {
    if tokens != 0 {
        for (at, left) in left.iter_mut().enumerate() {
            if tokens & 1 << at != 0 && *left != ANY {
                *left = left.checked_sub(1)?;
            }
        }
    }
    Some(left)
}

/// Labels without their clocks, which stand in a row each.
#[derive(Clone, Debug, Default)]
pub(super) struct Rows {
    heads: Vec<(u16, usize, u32, Left)>,
    due: Vec<u16>,
}

impl Rows {
    pub(super) fn add(&mut self, label: &Label<'_>) {
        self.heads.push((label.now, label.node, label.count, label.left));
        self.due.extend_from_slice(label.due);
    }

    fn label(&self, at: usize) -> Label<'_> {
        let (now, node, count, left) = self.heads[at];
        let clocks = self.due.len() / self.heads.len();
        Label { now, node, count, left, due: &self.due[at * clocks..(at + 1) * clocks] }
    }

    /// Whether one of these is as good as another label.
    pub(super) fn hold_as_good(&self, other: &Label<'_>) -> bool {
        (0..self.heads.len()).any(|at| self.label(at).is_as_good(other))
    }

    /// All of them, those that count most first, and each after every other that is as good as it.
    pub(super) fn best_first(&self) -> impl Iterator<Item = Label<'_>> {
        let worth = |at: &usize| {
            let label = self.label(*at);
            let left: u32 = label.left.iter().copied().map(u32::from).sum();
            let due: u32 = label.due.iter().copied().map(u32::from).sum();
            (Reverse(label.count), due, Reverse(left), label.node)
        };
        let mut order: Vec<usize> = (0..self.heads.len()).collect();
        order.sort_by_cached_key(worth);
        order.into_iter().map(|at| self.label(at))
    }
}

/// Labels that are to be gone on from, by time.
#[derive(Clone, Debug, Default)]
pub(super) struct Queue(BTreeMap<u16, Rows>);

impl Queue {
    pub(super) fn add(&mut self, label: &Label<'_>) {
        self.0.entry(label.now).or_default().add(label);
    }

    /// Takes all of the soonest.
    pub(super) fn soonest(&mut self) -> Option<Rows> {
        self.0.pop_first().map(|(_, rows)| rows)
    }
}
