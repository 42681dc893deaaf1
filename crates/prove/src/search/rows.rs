//! The set of situations met, by rows: one field of a word is the place of a bit, all others together find the row.
//!
//! Where many values of one field go with the same rest, that is a fraction of the memory of whole words, so that it stays in
//! the processor's caches. Where few do, it is more; then the search begins anew with whole words.

use super::table::{Set, Word};

/// More values of a field than this make a row too long.
const MOST_VALUES: u32 = 1 << 10;
/// Situations before which a wasteful set is not worth beginning anew.
const FEW: usize = 1 << 16;

pub(super) struct Rows<W> {
    /// Where the field is, and how many values fit it.
    shift: u32,
    mask: u32,
    /// 64 bits each.
    words_in_row: usize,
    /// Open addressing, at most half taken: the rest of a word, with its row.
    rests: Vec<(W, u32)>,
    rows: Vec<u64>,
    taken: usize,
    met: usize,
    /// Scratch: for each word of a batch where its 64 bits are.
    places: Vec<usize>,
}

impl<W: Word> Rows<W> {
    /// By this field, if it is short enough. The rest of a word is never 0: some other field is numbered from 1.
    pub(super) fn new(shift: u32, mask: u32) -> Option<Self> {
        (mask < MOST_VALUES).then(|| Self {
            shift,
            mask,
            words_in_row: mask as usize / 64 + 1,
            rests: vec![(W::default(), 0); 1 << 10],
            rows: Vec::new(),
            taken: 0,
            met: 0,
            places: Vec::new(),
        })
    }

    /// How many values its field can have.
    pub(super) fn values(&self) -> u32 {
        self.mask
    }

    #[allow(clippy::cast_possible_truncation, reason = "the high half of 64 by 64 bits fits")]
    #[inline]
    fn place(&self, rest: W) -> usize {
        let mut at = ((u128::from(rest.mixed()) * self.rests.len() as u128) >> 64) as usize;
        loop {
            let known = self.rests[at].0;
            if known == rest || known == W::default() {
                return at;
            }
            at += 1;
            if at == self.rests.len() {
                at = 0;
            }
        }
    }

    /// The row of a rest, made where there is none.
    #[inline]
    fn row(&mut self, rest: W) -> usize {
        let mut place = self.place(rest);
        if self.rests[place].0 == W::default() {
            if self.taken * 2 >= self.rests.len() {
                let size = self.rests.len() * 2;
                let old = std::mem::replace(&mut self.rests, vec![(W::default(), 0); size]);
                for one in old.into_iter().filter(|one| one.0 != W::default()) {
                    let place = self.place(one.0);
                    self.rests[place] = one;
                }
                place = self.place(rest);
            }
            self.rests[place] = (rest, u32::try_from(self.taken).unwrap_or(u32::MAX));
            self.taken += 1;
            self.rows.resize(self.taken * self.words_in_row, 0);
        }
        self.rests[place].1 as usize
    }
}

impl<W: Word> Set<W> for Rows<W> {
    fn meet(&mut self, batch: &[W], fresh: &mut Vec<W>) {
        let mut places = std::mem::take(&mut self.places);
        places.clear();
        let mut last = (W::default(), 0);
        for word in batch {
            let rest = word.without(self.shift, self.mask);
            if rest != last.0 {
                last = (rest, self.row(rest) * self.words_in_row);
            }
            places.push(last.1 + (word.field(self.shift, self.mask) / 64) as usize);
        }
        for (word, place) in batch.iter().zip(&places) {
            let bit = 1_u64 << (word.field(self.shift, self.mask) % 64);
            let bits = &mut self.rows[*place];
            if *bits & bit == 0 {
                *bits |= bit;
                self.met += 1;
                fresh.push(*word);
            }
        }
        self.places = places;
    }

    /// Whether whole words would take less.
    fn wasteful(&self) -> bool {
        let bytes = self.rests.len() * size_of::<(W, u32)>() + self.rows.len() * 8;
        self.met > FEW && bytes > self.met * size_of::<W>() * 3 / 2
    }
}
