//! Chance: one published generator with a stream of its own for everybody, and the spreads that people need.
//!
//! The generator is ChaCha with eight rounds (D. J. Bernstein, "ChaCha, a variant of Salsa20", 2008; the construction with
//! twenty rounds is RFC 8439), which has 2^64 independent streams by design: a game's numbers do not depend on which other
//! games are played, in which order, or on how many processors. Spreads are worked out with `libm`, which is the same on
//! every platform, so that the same seed gives the same bytes everywhere.

use chacha20::ChaCha8Rng;
use chacha20::rand_core::{Rng, SeedableRng};

/// A stream of random numbers.
#[derive(Debug)]
pub struct Chance {
    stream: ChaCha8Rng,
    spare: Option<f64>,
}

impl Chance {
    /// The stream with this number, of this seed.
    pub fn new(seed: u64, stream: u64) -> Self {
        let mut key = [0; 32];
        for (place, byte) in key.iter_mut().zip(seed.to_le_bytes()) {
            *place = byte;
        }
        let mut generator = ChaCha8Rng::from_seed(key);
        generator.set_stream(stream);
        Self { stream: generator, spare: None }
    }

    /// 64 random bits.
    pub fn bits(&mut self) -> u64 {
        self.stream.next_u64()
    }

    /// 32 random bits.
    pub fn word(&mut self) -> u32 {
        self.stream.next_u32()
    }

    /// Evenly from 0 up to but not including 1, in steps of 2^-53.
    pub fn unit(&mut self) -> f64 {
        const STEP: f64 = 1.0 / 9_007_199_254_740_992.0;
        (self.bits() >> 11) as f64 * STEP
    }

    /// Evenly from `lo` up to but not including `hi`.
    pub fn between(&mut self, lo: f64, hi: f64) -> f64 {
        lo + (hi - lo) * self.unit()
    }

    /// Whether something of this probability happens.
    pub fn happens(&mut self, probability: f64) -> bool {
        self.unit() < probability
    }

    /// One of so many, from 0.
    pub fn one_of(&mut self, count: usize) -> usize {
        let wide = u128::from(self.bits()) * count.max(1) as u128;
        usize::try_from(wide >> 64).unwrap_or(0)
    }

    /// Normal with mean 0 and deviation 1 (G. E. P. Box and M. E. Muller, 1958).
    pub fn normal(&mut self) -> f64 {
        if let Some(spare) = self.spare.take() {
            return spare;
        }
        let radius = libm::sqrt(-2.0 * libm::log(1.0 - self.unit()));
        let (sine, cosine) = libm::sincos(core::f64::consts::TAU * self.unit());
        self.spare = Some(radius * sine);
        radius * cosine
    }

    /// Exponential with mean 1.
    pub fn exponential(&mut self) -> f64 {
        -libm::log(1.0 - self.unit())
    }
}
