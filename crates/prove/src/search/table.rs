//! The set of situations met: an open-addressing table of packed words and nothing else.

/// A packed situation. Nothing met packs to 0, which marks a free place.
pub(super) trait Word: Copy + Ord + Default + std::hash::Hash {
    /// With a field put where the word is still 0.
    #[must_use]
    fn with(self, value: u32, shift: u32) -> Self;

    /// A field of less than 32 bits.
    fn field(self, shift: u32, mask: u32) -> u32;

    /// With a field put to 0.
    #[must_use]
    fn without(self, shift: u32, mask: u32) -> Self;

    /// Well mixed.
    fn mixed(self) -> u64;
}

/// A set of packed situations.
pub(super) trait Set<W> {
    /// Puts in what is new of a batch, in its order, and hands it on.
    fn meet(&mut self, batch: &[W], fresh: &mut Vec<W>);

    /// Whether another kind of set would take less memory.
    fn wasteful(&self) -> bool {
        false
    }
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

    fn without(self, shift: u32, mask: u32) -> Self {
        self & !(Self::from(mask) << shift)
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

    fn without(self, shift: u32, mask: u32) -> Self {
        self & !(Self::from(mask) << shift)
    }

    #[allow(clippy::cast_possible_truncation, reason = "both halves are taken")]
    fn mixed(self) -> u64 {
        mix(self as u64 ^ mix((self >> 64) as u64))
    }
}

/// Shards of the table, by the highest bits of the mixed word.
const SHARDS: u32 = 8;
/// Places of a shard at first.
const FIRST: usize = 16;

/// Linear probing in shards. Each grows alone, by a third when four fifths of it are taken: so a word takes at most five
/// thirds of its own size at most, and no moment needs the old and the new table at once.
pub(super) struct Table<W> {
    shards: Vec<Shard<W>>,
    /// Scratch: the words of a batch, mixed.
    mixed: Vec<u64>,
}

struct Shard<W> {
    places: Vec<W>,
    taken: usize,
}

impl<W: Word> Shard<W> {
    /// Where a word is looked for first: the high half of a product, so that any size will do.
    #[allow(clippy::cast_possible_truncation, reason = "the high half of 64 by 64 bits fits")]
    #[inline]
    fn home(&self, mixed: u64) -> usize {
        ((u128::from(mixed << SHARDS) * self.places.len() as u128) >> 64) as usize
    }

    /// Where the word is, or the free place for it.
    #[inline]
    fn place(&self, word: W, mixed: u64) -> usize {
        let mut at = self.home(mixed);
        while self.places[at] != word && self.places[at] != W::default() {
            at += 1;
            if at == self.places.len() {
                at = 0;
            }
        }
        at
    }

    fn grow(&mut self) {
        let size = self.places.len() + self.places.len() / 3;
        let old = std::mem::replace(&mut self.places, vec![W::default(); size]);
        for word in old.into_iter().filter(|word| *word != W::default()) {
            let place = self.place(word, word.mixed());
            self.places[place] = word;
        }
    }
}

impl<W: Word> Table<W> {
    pub(super) fn new() -> Self {
        let shard = || Shard { places: vec![W::default(); FIRST], taken: 0 };
        Self { shards: (0..1 << SHARDS).map(|_| shard()).collect(), mixed: Vec::new() }
    }
}

impl<W: Word> Set<W> for Table<W> {
    /// First every place is only read, with no branch between, so that the memory fetches many places at once; then each is
    /// looked at, by now in the cache.
    #[allow(clippy::cast_possible_truncation, reason = "the shard's bits alone are left")]
    fn meet(&mut self, batch: &[W], fresh: &mut Vec<W>) {
        self.mixed.clear();
        self.mixed.extend(batch.iter().map(|word| word.mixed()));
        let at = |mixed: u64| (mixed >> (u64::BITS - SHARDS)) as usize;
        let mut touched = 0_usize;
        for mixed in &self.mixed {
            let shard = &self.shards[at(*mixed)];
            touched += usize::from(shard.places[shard.home(*mixed)] == W::default());
        }
        std::hint::black_box(touched);
        for (word, mixed) in batch.iter().zip(&self.mixed) {
            let shard = &mut self.shards[at(*mixed)];
            let place = shard.place(*word, *mixed);
            if shard.places[place] == W::default() {
                shard.places[place] = *word;
                shard.taken += 1;
                fresh.push(*word);
                if shard.taken * 5 > shard.places.len() * 4 {
                    shard.grow();
                }
            }
        }
    }
}
