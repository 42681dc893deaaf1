//! The set of situations met: an open-addressing table of packed words and nothing else.

/// A packed situation. Nothing met packs to 0, which marks a free place.
pub(super) trait Word: Copy + Eq + Default + std::hash::Hash {
    /// With a field put where the word is still 0.
    #[must_use]
    fn with(self, value: u32, shift: u32) -> Self;

    /// A field of less than 32 bits.
    fn field(self, shift: u32, mask: u32) -> u32;

    /// Well mixed.
    fn mixed(self) -> u64;
}

/// The odd constant is the golden ratio's fraction in 64 bits (Knuth's multiplicative hashing).
const GOLDEN: u64 = 0x9e37_79b9_7f4a_7c15;

fn mix(word: u64) -> u64 {
    let word = (word ^ (word >> 32)).wrapping_mul(GOLDEN);
    (word ^ (word >> 29)).wrapping_mul(0xbf58_476d_1ce4_e5b9)
}

impl Word for u64 {
    fn with(self, value: u32, shift: u32) -> Self {
        self | Self::from(value) << shift
    }

    #[allow(clippy::cast_possible_truncation, reason = "the mask has 32 bits")]
    fn field(self, shift: u32, mask: u32) -> u32 {
        (self >> shift) as u32 & mask
    }

    fn mixed(self) -> u64 {
        mix(self)
    }
}

impl Word for u128 {
    fn with(self, value: u32, shift: u32) -> Self {
        self | Self::from(value) << shift
    }

    #[allow(clippy::cast_possible_truncation, reason = "the mask has 32 bits")]
    fn field(self, shift: u32, mask: u32) -> u32 {
        (self >> shift) as u32 & mask
    }

    #[allow(clippy::cast_possible_truncation, reason = "both halves are taken")]
    fn mixed(self) -> u64 {
        mix(self as u64 ^ mix((self >> 64) as u64))
    }
}

/// Linear probing. It grows by half when four fifths are taken, so that each word takes at most twice its own size.
pub(super) struct Table<W> {
    places: Vec<W>,
    taken: usize,
}

impl<W: Word> Table<W> {
    pub(super) fn new() -> Self {
        Self { places: vec![W::default(); 1 << 12], taken: 0 }
    }

    /// Where a word is looked for first: the high half of a product, so that any size will do.
    #[allow(clippy::cast_possible_truncation, reason = "the high half of 64 by 64 bits fits")]
    fn home(&self, word: W) -> usize {
        ((u128::from(word.mixed()) * self.places.len() as u128) >> 64) as usize
    }

    /// Makes room for so many more.
    pub(super) fn reserve(&mut self, more: usize) {
        if (self.taken + more) * 5 <= self.places.len() * 4 {
            return;
        }
        let mut size = self.places.len();
        while (self.taken + more) * 5 > size * 4 {
            size += size / 2;
        }
        let old = std::mem::replace(&mut self.places, vec![W::default(); size]);
        for word in old.into_iter().filter(|word| *word != W::default()) {
            let place = self.place(word, self.home(word));
            self.places[place] = word;
        }
    }

    /// Where the word is, or the free place for it.
    fn place(&self, word: W, home: usize) -> usize {
        let mut at = home;
        while self.places[at] != word && self.places[at] != W::default() {
            at += 1;
            if at == self.places.len() {
                at = 0;
            }
        }
        at
    }

    /// Puts in what is new of a batch, in its order, and hands it on. First every place is only read, with no branch
    /// between, so that the memory fetches many places at once; then each is looked at, by now in the cache.
    pub(super) fn meet(&mut self, batch: &[W], homes: &mut Vec<usize>, fresh: &mut Vec<W>) {
        self.reserve(batch.len());
        homes.clear();
        homes.extend(batch.iter().map(|word| self.home(*word)));
        let touched = homes.iter().filter(|home| self.places[**home] == W::default()).count();
        std::hint::black_box(touched);
        for (word, home) in batch.iter().zip(homes.iter()) {
            let place = self.place(*word, *home);
            if self.places[place] == W::default() {
                self.places[place] = *word;
                self.taken += 1;
                fresh.push(*word);
            }
        }
    }
}
