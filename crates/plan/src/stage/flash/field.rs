//! What is seen at once: for every place that people look from and every way they look, the share of the light that counts
//! as flashing (a quarter of a field of ten degrees) which each thing can change.
//!
//! Distances are taken in steps and ways to look on a grid; each field stands for all between it and its neighbours, so it
//! is as wide as the widest of them and its light counts as from the nearest.

use rayon::prelude::*;
use reckoning::flash::{FIELD_DEGREES, MOST_SR};
use serde::Serialize;

/// Steps from the nearest to the farthest distance.
const DISTANCES: u32 = 16;
/// Ways to look, as a share of a field's radius.
const GRID: f64 = 0.25;
/// Most ways to look from one distance.
const MOST_WAYS: f64 = 40_000.0;
/// Most heights to look at.
const MOST_HEIGHTS: f64 = 4_000.0;

/// Lamps that change together, where they are and how much light each stands for.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Lamps {
    pub(crate) at_mm: Vec<[f64; 2]>,
    pub(crate) each_mm2: f64,
}

/// Something that is lit by the rules: a figure, a spot, digits.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Light {
    pub(crate) lamps: Vec<Lamps>,
    /// What may change at once: the lamps that go on, and those that go off, by position.
    pub(crate) changes: Vec<[Vec<usize>; 2]>,
    /// How far it stands before the line that distances are measured to.
    pub(crate) nearer_mm: f64,
    /// From nearer than this it is not looked at.
    pub(crate) least_mm: f64,
}

/// What can be seen at once.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Field {
    pub(crate) distance_mm: f64,
    /// For each light the greatest share of what counts that it can change at once, 1 at most.
    pub(crate) shares: Vec<f64>,
}

/// Every field in which something can be seen, the ones that hold no more than another left out.
pub(crate) fn fields(lights: &[Light], nearest_mm: f64, farthest_mm: f64) -> Vec<Field> {
    let ratio = (farthest_mm / nearest_mm).max(1.0);
    let at = |step: u32| nearest_mm * libm::pow(ratio, f64::from(step) / f64::from(DISTANCES));
    let from = |step: u32| {
        let (near, far) = (at(step), at(step + 1));
        let radius = far * libm::tan((FIELD_DEGREES / 2.0).to_radians());
        (near, ways_to_look(lights, near, radius))
    };
    // On every processor; they come in their order whoever is first.
    let all: Vec<(f64, Vec<Vec<f64>>)> = (0..DISTANCES).into_par_iter().map(from).collect();
    let mut fields: Vec<Field> = Vec::new();
    for (distance_mm, ways) in all {
        ways.into_iter().for_each(|shares| add(&mut fields, Field { distance_mm, shares }));
    }
    fields
}

/// Keeps a field unless another holds as much of everything.
fn add(fields: &mut Vec<Field>, field: Field) {
    let holds = |one: &Field, other: &Field| one.shares.iter().zip(&other.shares).all(|(a, b)| a >= b);
    if !fields.iter().any(|known| holds(known, &field)) {
        fields.retain(|known| !holds(&field, known));
        fields.push(field);
    }
}

/// The whole part of a number, from nothing to so much.
fn whole(number: f64, most: usize) -> usize {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "`as` saturates")]
    let whole = number as usize;
    whole.min(most)
}

/// A lamp at its place, for one distance.
struct Placed {
    at_mm: [f64; 2],
    /// Which of all lights' lamps, by position among them.
    lamps: usize,
    mm2: f64,
}

/// All lamps from the left to the right.
fn placed(lights: &[Light], near: f64) -> Vec<Placed> {
    let mut placed: Vec<Placed> = Vec::new();
    let mut lamps = 0;
    for one in lights {
        // What stands nearer is seen larger.
        let from = near.max(one.least_mm);
        let scale = (from / (from - one.nearer_mm).max(from * 0.1)).max(1.0) * near / from;
        for group in &one.lamps {
            let mm2 = group.each_mm2 * scale * scale;
            placed.extend(group.at_mm.iter().map(|at| Placed { at_mm: *at, lamps, mm2 }));
            lamps += 1;
        }
    }
    placed.sort_by(|a, b| a.at_mm[0].total_cmp(&b.at_mm[0]));
    placed
}

fn ways_to_look(lights: &[Light], near: f64, radius: f64) -> Vec<Vec<f64>> {
    let counts = MOST_SR * near * near;
    let placed = placed(lights, near);
    let (Some(first), Some(last)) = (placed.first(), placed.last()) else { return Vec::new() };
    let (left, right) = (first.at_mm[0], last.at_mm[0]);
    let low = placed.iter().map(|lamp| lamp.at_mm[1]).fold(f64::INFINITY, f64::min);
    let high = placed.iter().map(|lamp| lamp.at_mm[1]).fold(f64::NEG_INFINITY, f64::max);
    let coarse = libm::sqrt((right - left + 1.0) * (high - low + 1.0) / MOST_WAYS);
    let step = (GRID * radius).max(coarse).max((high - low) / MOST_HEIGHTS);
    // Wide enough for every field whose middle is nearer to this point of the grid than to another.
    let reach = radius + step * core::f64::consts::FRAC_1_SQRT_2;
    let kinds: usize = lights.iter().map(|light| light.lamps.len()).sum();
    let heights = whole((high - low) / step, usize::MAX - 2) + 2;
    let (mut all, mut seen): (Vec<Vec<f64>>, Vec<f64>) = (Vec::new(), Vec::new());
    let mut x = left;
    while x <= right + step {
        let from = placed.partition_point(|lamp| lamp.at_mm[0] < x - reach);
        let to = placed.partition_point(|lamp| lamp.at_mm[0] <= x + reach);
        // The area that is seen of each kind of lamps from every height.
        let mut areas = vec![0.0; kinds * heights];
        for lamp in &placed[from..to] {
            let across = lamp.at_mm[0] - x;
            let half = libm::sqrt((reach * reach - across * across).max(0.0));
            let from = whole(libm::ceil((lamp.at_mm[1] - half - low) / step), heights);
            let to = whole((lamp.at_mm[1] + half - low) / step + 1.0, heights);
            let own = lamp.lamps * heights;
            areas[own + from..own + to].iter_mut().for_each(|area| *area += lamp.mm2);
        }
        for height in 0..heights {
            seen.clear();
            seen.extend(areas.iter().skip(height).step_by(heights));
            if seen.iter().any(|area| *area > 0.0) {
                let shares = shares(lights, &seen, counts);
                if shares.iter().any(|share| *share > 0.0) && all.last() != Some(&shares) {
                    all.push(shares);
                }
            }
        }
        x += step;
    }
    all
}

/// The share of each light from the areas of its lamps that are seen.
fn shares(lights: &[Light], areas: &[f64], counts: f64) -> Vec<f64> {
    let mut rest = areas;
    let share = |light: &Light| {
        let (own, others) = rest.split_at(light.lamps.len().min(rest.len()));
        rest = others;
        // Most of what is looked past is dark.
        if own.iter().all(|area| *area <= 0.0) {
            return 0.0;
        }
        let sum = |some: &[usize]| some.iter().filter_map(|lamps| own.get(*lamps)).sum::<f64>();
        // Light that moves from one place to another flashes in both: the greater counts.
        let most = light.changes.iter().map(|[on, off]| sum(on).max(sum(off))).fold(0.0, f64::max);
        (most / counts).min(1.0)
    };
    lights.iter().map(share).collect()
}

/// The most changes in a second that can each fill what counts: of the greatest number for which the lights, each changing
/// no oftener than it can and no oftener than that, have enough to fill every one of them.
pub(crate) fn changes_together(changes: &[u32], shares: &[f64]) -> u32 {
    let most = changes.iter().copied().max().unwrap_or(0).saturating_mul(2).min(2_000);
    let filled = |times: u32| {
        let light = changes.iter().zip(shares).map(|(own, share)| f64::from((*own).min(times)) * share);
        light.sum::<f64>() + 1e-9 >= f64::from(times)
    };
    (1..=most).take_while(|times| filled(*times)).last().unwrap_or(0)
}
