//! Many values into few: means, middles, parts, each with how far it can be trusted.

use crate::chance::Chance;
use crate::rehearsal::{Estimate, Share, Spread};

/// How often a sample is drawn anew from itself.
const RESAMPLES: usize = 1000;
/// The stream of that, which no visit uses. It is the same for every sample, so that what is told of the same games in two
/// places has the same interval in both.
const STREAM: u64 = u64::MAX;
/// Two-sided 95 in 100 of a standard normal (table value).
const Z: f64 = 1.959_964;

/// To four places: more digits mean nothing here, and every reader of the JSON gets the very same number.
pub(crate) fn rounded(value: f64) -> f64 {
    libm::round(value * 1e4) / 1e4
}

/// A part of a whole with Wilson's interval (E. B. Wilson, 1927).
pub(crate) fn share(count: u64, of: u64) -> Share {
    if of == 0 {
        return Share::default();
    }
    let (n, value) = (of as f64, count as f64 / of as f64);
    let middle = value + Z * Z / (2.0 * n);
    let half = Z * libm::sqrt(value * (1.0 - value) / n + Z * Z / (4.0 * n * n));
    let whole = 1.0 + Z * Z / n;
    Share {
        count,
        of,
        value,
        low: ((middle - half) / whole).max(0.0),
        high: ((middle + half) / whole).min(1.0),
    }
}

pub(crate) fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / (values.len().max(1) as f64)
}

/// The value that so great a part lies at or below; 0 of nothing. Values must be in order.
pub(crate) fn quantile(ordered: &[f64], part: f64) -> f64 {
    let rank = libm::ceil(part * ordered.len() as f64).max(1.0);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "whole, from 1 to a count")]
    let rank = rank as usize;
    ordered.get(rank - 1).copied().unwrap_or(0.0)
}

/// The value in the middle, of two the lesser; 0 of nothing.
fn middle(values: &mut [f64]) -> f64 {
    let at = (values.len().max(1) - 1) / 2;
    if values.is_empty() { 0.0 } else { *values.select_nth_unstable_by(at, f64::total_cmp).1 }
}

/// The mean with its interval.
pub(crate) fn mean_estimate(values: &[f64], seed: u64) -> Estimate {
    bootstrap(values, seed, &mut |drawn| mean(drawn))
}

/// The value in the middle with its interval.
pub(crate) fn median_estimate(values: &[f64], seed: u64) -> Estimate {
    bootstrap(values, seed, &mut middle)
}

/// What is worked out of a sample, with its interval: percentiles of what comes of samples drawn anew from the sample
/// (B. Efron, 1979).
pub(crate) fn bootstrap(values: &[f64], seed: u64, of: &mut dyn FnMut(&mut [f64]) -> f64) -> Estimate {
    let mut chance = Chance::new(seed, STREAM);
    let mut drawn = values.to_vec();
    let value = of(&mut drawn);
    if values.len() < 2 {
        let value = rounded(value);
        return Estimate { value, low: value, high: value };
    }
    let mut found: Vec<f64> = (0..RESAMPLES)
        .map(|_| {
            drawn.iter_mut().for_each(|place| *place = values[chance.one_of(values.len())]);
            of(&mut drawn)
        })
        .collect();
    found.sort_by(f64::total_cmp);
    let (low, high) = (quantile(&found, 0.025), quantile(&found, 0.975));
    Estimate { value: rounded(value), low: rounded(low), high: rounded(high) }
}

/// How values are spread.
pub(crate) fn spread(values: &[f64], seed: u64) -> Spread {
    let mut ordered = values.to_vec();
    ordered.sort_by(f64::total_cmp);
    let mut counts: Vec<(i64, u64)> = Vec::new();
    for value in &ordered {
        #[allow(clippy::cast_possible_truncation, reason = "scores and seconds are far below 2^53")]
        let whole = libm::floor(*value) as i64;
        match counts.last_mut() {
            Some((last, count)) if *last == whole => *count += 1,
            _ => counts.push((whole, 1)),
        }
    }
    Spread {
        count: ordered.len() as u64,
        mean: mean_estimate(&ordered, seed),
        median: median_estimate(&ordered, seed),
        tenth: rounded(quantile(&ordered, 0.1)),
        ninetieth: rounded(quantile(&ordered, 0.9)),
        counts,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// R. G. Newcombe, "Two-sided confidence intervals for the single proportion", Statistics in Medicine 17 (1998), table I,
    /// method 3 (score method without continuity correction). Values from memory of that table.
    #[test]
    fn wilsons_interval_is_as_published() {
        for (count, of, low, high) in [
            (81, 263, 0.2553, 0.3662),
            (15, 148, 0.0624, 0.1605),
            (0, 20, 0.0, 0.1611),
            (1, 29, 0.0061, 0.1718),
        ] {
            let found = share(count, of);
            assert!((found.low - low).abs() < 6e-5 && (found.high - high).abs() < 6e-5, "{found:?}");
        }
        assert_eq!(share(0, 0), Share::default());
    }

    /// The mean of a normal sample has the interval mean +/- 1.96 s / sqrt(n) (central limit theorem).
    #[test]
    fn a_bootstrapped_mean_has_the_interval_of_theory() {
        let mut chance = Chance::new(7, 0);
        let values: Vec<f64> = (0..400).map(|_| 100.0 + 20.0 * chance.normal()).collect();
        let found = mean_estimate(&values, 7);
        let variance =
            values.iter().map(|value| (value - found.value) * (value - found.value)).sum::<f64>() / 399.0;
        let half = 1.96 * libm::sqrt(variance / 400.0);
        let (low, high) = (found.value - found.low, found.high - found.value);
        assert!(
            (low / half - 1.0).abs() < 0.12 && (high / half - 1.0).abs() < 0.12,
            "{low} {high} for {half}"
        );
    }

    /// Order statistics of 1 to 9: the fifth is the middle.
    #[test]
    fn middles_and_tenths_are_order_statistics() {
        let values: Vec<f64> = [9, 1, 8, 2, 7, 3, 6, 4, 5].map(f64::from).to_vec();
        let found = spread(&values, 1);
        assert_eq!((found.median.value, found.tenth, found.ninetieth), (5.0, 1.0, 9.0));
        assert_eq!(found.counts, (1..=9).map(|value| (value, 1)).collect::<Vec<_>>());
        assert_eq!(spread(&[], 1).median.value, 0.0);
    }
}
