//! The generator against published answers and the spreads against their distribution functions.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic, reason = "test code: a panic is a failed test")]

use rehearse::chance::Chance;

fn bytes(chance: &mut Chance, words: usize) -> String {
    (0..words).flat_map(|_| chance.word().to_le_bytes()).map(|byte| format!("{byte:02x}")).collect()
}

/// Test vector TC1 (key and nonce all zero, 256-bit key, 8 rounds) of "Test Vectors for the Stream Cipher ChaCha",
/// draft-strombergson-chacha-test-vectors: the first block of the key stream. Written from memory of that draft, then compared with
/// the same vector in the tests of several implementations of other make.
#[test]
fn the_stream_is_chacha_with_eight_rounds() {
    assert_eq!(
        bytes(&mut Chance::new(0, 0), 16),
        "3e00ef2f895f40d67f5bb8e81f09a5a12c840ec3ce9a7f3b181be188ef711a1e\
         984ce172b9216f419f445367456d5619314a42a3da86b001387bfdb80e0cfe42"
    );
}

#[test]
fn streams_and_seeds_differ_and_come_again() {
    let first = |seed, stream| Chance::new(seed, stream).bits();
    let mut seen: Vec<u64> =
        (0..50).flat_map(|seed| (0..50).map(move |stream| first(seed, stream))).collect();
    seen.sort_unstable();
    seen.dedup();
    assert_eq!(seen.len(), 2500);
    assert_eq!(first(7, 9), first(7, 9));
}

/// Pearson's chi-square over 100 classes: 99 degrees of freedom, upper 0.1 % point 148.2 (chi-square table: 149.4 for 100).
#[test]
fn even_numbers_fill_their_classes_evenly() {
    let mut chance = Chance::new(1, 2);
    for draw in [0, 1] {
        let mut classes = [0_u32; 100];
        for _ in 0..100_000 {
            let class = if draw == 0 {
                let unit = chance.unit();
                (1..100).filter(|edge| unit >= f64::from(*edge) / 100.0).count()
            } else {
                chance.one_of(100)
            };
            classes[class] += 1;
        }
        let square: f64 = classes.iter().map(|count| (f64::from(*count) - 1000.0).powi(2) / 1000.0).sum();
        assert!(square < 148.2, "{square}");
    }
}

/// Kolmogorov and Smirnov: for n values the greatest distance stays below 1.95 / sqrt(n) in 999 of 1000 samples (table).
fn fits(mut values: Vec<f64>, distribution: impl Fn(f64) -> f64) {
    values.sort_by(f64::total_cmp);
    let n = values.len() as f64;
    let distance = values.iter().enumerate().fold(0.0_f64, |greatest, (at, value)| {
        let (below, above) = (at as f64 / n, (at + 1) as f64 / n);
        let wanted = distribution(*value);
        greatest.max((wanted - below).abs()).max((above - wanted).abs())
    });
    assert!(distance < 1.95 / n.sqrt(), "{distance} of {n}");
}

#[test]
fn normal_and_exponential_numbers_fit_their_distributions() {
    let mut chance = Chance::new(3, 4);
    fits((0..50_000).map(|_| chance.normal()).collect(), |x| 0.5 * libm::erfc(-x / std::f64::consts::SQRT_2));
    fits((0..50_000).map(|_| chance.exponential()).collect(), |x| 1.0 - libm::exp(-x));
    fits((0..50_000).map(|_| chance.between(3.0, 5.0)).collect(), |x| (x - 3.0) / 2.0);
}

/// A check that could not fail would be worth nothing: a normal spread a twentieth too wide is refused.
#[test]
#[should_panic(expected = "of 50000")]
fn a_wrong_spread_is_noticed() {
    let mut chance = Chance::new(3, 4);
    let wide = (0..50_000).map(|_| 1.05 * chance.normal()).collect();
    fits(wide, |x| 0.5 * libm::erfc(-x / std::f64::consts::SQRT_2));
}
