//! What is seen at once: for every place that people look from and every way they look, the share of the light that counts
//! as flashing (a quarter of a field of ten degrees) which each thing can change.
//!
//! Distances are taken in steps and ways to look on a grid; each field stands for all between it and its neighbours, so it
//! is as wide as the widest of them and its light counts as from the nearest.

use reckoning::flash::{FIELD_DEGREES, MOST_SR};
use serde::Serialize;

/// Steps from the nearest to the farthest distance.
const DISTANCES: u32 = 16;
/// Ways to look, as a share of a field's radius.
const GRID: f64 = 0.25;
/// Most ways to look from one distance.
const MOST_WAYS: f64 = 40_000.0;

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
    let mut fields: Vec<Field> = Vec::new();
    let ratio = (farthest_mm / nearest_mm).max(1.0);
    let at = |step: u32| nearest_mm * libm::pow(ratio, f64::from(step) / f64::from(DISTANCES));
    for step in 0..DISTANCES {
        let (near, far) = (at(step), at(step + 1));
        let radius = far * libm::tan((FIELD_DEGREES / 2.0).to_radians());
        for shares in ways_to_look(lights, near, radius) {
            add(&mut fields, Field { distance_mm: near, shares });
        }
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

/// Lamps by their place, for one distance.
struct Placed {
    light: usize,
    lamps: usize,
    mm2: f64,
}

fn ways_to_look(lights: &[Light], near: f64, radius: f64) -> Vec<Vec<f64>> {
    let counts = MOST_SR * near * near;
    let mut placed: Vec<([f64; 2], Placed)> = Vec::new();
    for (light, one) in lights.iter().enumerate() {
        // What stands nearer is seen larger.
        let scale = near / (near - one.nearer_mm).max(near * 0.1);
        for (lamps, group) in one.lamps.iter().enumerate() {
            let mm2 = group.each_mm2 * scale.max(1.0) * scale.max(1.0);
            placed.extend(group.at_mm.iter().map(|at| (*at, Placed { light, lamps, mm2 })));
        }
    }
    placed.sort_by(|a, b| a.0[0].total_cmp(&b.0[0]));
    let (Some(first), Some(last)) = (placed.first(), placed.last()) else { return Vec::new() };
    let (left, right) = (first.0[0], last.0[0]);
    let low = placed.iter().map(|(at, _)| at[1]).fold(f64::INFINITY, f64::min);
    let high = placed.iter().map(|(at, _)| at[1]).fold(f64::NEG_INFINITY, f64::max);
    let coarse = libm::sqrt((right - left + 1.0) * (high - low + 1.0) / MOST_WAYS);
    let step = (GRID * radius).max(coarse);
    // Wide enough for every field whose middle is nearer to this point of the grid than to another.
    let reach = radius + step * core::f64::consts::FRAC_1_SQRT_2;
    let mut all = Vec::new();
    let mut x = left;
    while x <= right + step {
        let from = placed.partition_point(|(at, _)| at[0] < x - reach);
        let to = placed.partition_point(|(at, _)| at[0] <= x + reach);
        let mut y = low;
        while from < to && y <= high + step {
            let inside = placed[from..to].iter().filter(|(at, _)| {
                let (across, up) = (at[0] - x, at[1] - y);
                across * across + up * up <= reach * reach
            });
            let shares = shares(lights, inside.map(|(_, placed)| placed), counts);
            if shares.iter().any(|share| *share > 0.0) {
                all.push(shares);
            }
            y += step;
        }
        x += step;
    }
    all
}

/// The share of each light from its lamps that are seen.
fn shares<'a>(lights: &[Light], seen: impl Iterator<Item = &'a Placed>, counts: f64) -> Vec<f64> {
    let mut areas: Vec<Vec<f64>> = lights.iter().map(|light| vec![0.0; light.lamps.len()]).collect();
    for placed in seen {
        areas[placed.light][placed.lamps] += placed.mm2;
    }
    let share = |(light, areas): (&Light, &Vec<f64>)| {
        let sum = |some: &[usize]| some.iter().filter_map(|lamps| areas.get(*lamps)).sum::<f64>();
        // Light that moves from one place to another flashes in both: the greater counts.
        let most = light.changes.iter().map(|[on, off]| sum(on).max(sum(off))).fold(0.0, f64::max);
        (most / counts).min(1.0)
    };
    lights.iter().zip(&areas).map(share).collect()
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
