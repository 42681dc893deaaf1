//! What is lit at once: everything in the self-test, and in the game the poses that draw most.

use crate::{Channel, LitBy};
use std::collections::BTreeMap;

/// Everything lit at once, in the measure that `of` gives for a channel.
pub(crate) fn all<'a>(channels: impl Iterator<Item = &'a Channel>, of: impl Fn(&Channel) -> f64) -> f64 {
    channels.map(of).sum()
}

/// The most that the game can light: of every figure the pose that draws most, every spot, every digit at eight.
pub(crate) fn worst<'a>(channels: impl Iterator<Item = &'a Channel>, of: impl Fn(&Channel) -> f64) -> f64 {
    let mut other = 0.0;
    let mut figures: BTreeMap<usize, BTreeMap<usize, f64>> = BTreeMap::new();
    for channel in channels {
        match &channel.lit_by {
            LitBy::Poses { figure, poses } => {
                let drawn = figures.entry(*figure).or_default();
                for pose in poses {
                    *drawn.entry(*pose).or_default() += of(channel);
                }
            }
            LitBy::Spot { .. } | LitBy::Segment { .. } => other += of(channel),
        }
    }
    let figures = figures.values().map(|poses| poses.values().copied().fold(0.0, f64::max));
    other + figures.sum::<f64>()
}
