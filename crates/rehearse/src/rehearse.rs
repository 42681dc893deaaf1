//! A whole rehearsal: every sort of party, and what the constants do to them.

use crate::people::GROUNDS;
use crate::quick::Unfit;
use crate::rehearsal::{Bouts, Constant, Estimate, FORMAT, Party, Point, Rehearsal, Tried, VERSION};
use crate::run::{Cast, Ready};
use crate::summary::{bootstrap, mean, mean_estimate, median_estimate, share, spread};
use crate::verdict;
use crate::visit::{BOUTS, Bout, Visit};
use rayon::prelude::*;
use rules::form::Form;
use std::sync::atomic::{AtomicU64, Ordering};
use uom::si::f64::Time;
use uom::si::time::second;

/// From the end of a bout to the start of the next party's (common practice).
pub(crate) const SWAP_S: f64 = 15.0;
/// Passers-by should grasp it within this.
pub(crate) const SEVEN_S: f64 = 7.0;

/// The same rules with one constant changed.
#[derive(Clone, Debug)]
pub struct Variant {
    /// The constant.
    pub name: String,
    /// Its value in this variant, in its unit.
    pub value: i64,
    /// The rules with it.
    pub form: Form,
}

/// What to rehearse.
#[derive(Debug)]
pub struct Order<'a> {
    /// The rules as written.
    pub form: &'a Form,
    /// The same with one constant changed at a time.
    pub variants: &'a [Variant],
    /// Who comes.
    pub casts: &'a [Cast],
    /// How many parties of each sort.
    pub games: u64,
    /// Of all chance.
    pub seed: u64,
}

/// Rehearses; `progress` hears, from any thread, how many of how many visits are over.
///
/// # Errors
/// Where the rules have no prompts or cannot be rehearsed.
pub fn rehearse(order: &Order, progress: &(dyn Fn(u64, u64) + Sync)) -> Result<Rehearsal, Unfit> {
    let ready = Ready::new(order.form)?;
    let tried = if order.variants.is_empty() { 0 } else { order.variants.len() as u64 + 1 };
    let focused = order.casts.len().min(2) as u64;
    let all = order.games * order.casts.len() as u64 + order.games * tried * focused;
    let over = AtomicU64::new(0);
    let done = || progress(over.fetch_add(1, Ordering::Relaxed) + 1, all);
    let played: Vec<Vec<Visit>> =
        order.casts.iter().map(|cast| ready.visits(cast, (order.seed, order.games, BOUTS), &done)).collect();
    let summed = |(at, visits): (usize, &Vec<Visit>)| party(&ready, &order.casts[at], visits, order.seed);
    let parties: Vec<Party> = played.par_iter().enumerate().map(summed).collect();
    let mut rehearsal = Rehearsal {
        format: FORMAT.to_owned(),
        version: VERSION,
        seed: order.seed,
        games: order.games,
        scores: ready.scores.iter().map(|score| score.name.clone()).collect(),
        bouts: order.form.bout.is_some(),
        parties,
        constants: Vec::new(),
        verdict: Vec::new(),
        grounds: GROUNDS.map(str::to_owned).to_vec(),
    };
    if tried > 0 {
        let focus = verdict::focus(&rehearsal);
        let focus: Vec<&Cast> = focus.into_iter().filter_map(|at| order.casts.get(at)).collect();
        rehearsal.constants = constants(order, &ready, &focus, &done)?;
    }
    rehearsal.verdict = verdict::verdict(&rehearsal, &ready);
    Ok(rehearsal)
}

fn party(ready: &Ready, cast: &Cast, visits: &[Visit], seed: u64) -> Party {
    let seconds = |ticks: u64| seconds(ready, ticks);
    let persons = visits.iter().flat_map(|visit| &visit.first_hits);
    let first_hits: Vec<f64> = persons.clone().flatten().map(|ticks| seconds(*ticks)).collect();
    let (everybody, quick) =
        (persons.count() as u64, first_hits.iter().filter(|hit| **hit <= SEVEN_S).count() as u64);
    let freed: Vec<f64> = visits.iter().filter_map(|visit| visit.freed).map(seconds).collect();
    let order =
        |order: usize| -> Vec<&Bout> { visits.iter().filter_map(|visit| visit.bouts.get(order)).collect() };
    let (first, fifth) = (order(0), order(BOUTS - 1));
    Party {
        key: cast.key.clone(),
        who: cast.words(),
        first_success_s: spread(&first_hits, seed),
        within_seven: share(quick, everybody),
        without_success: share(everybody - first_hits.len() as u64, everybody),
        free_again_s: (!freed.is_empty()).then(|| spread(&freed, seed)),
        games_an_hour: games_an_hour(ready, &first, seed),
        first: bouts(ready, &first, seed),
        fifth: (!fifth.is_empty()).then(|| bouts(ready, &fifth, seed)),
    }
}

/// Whole bouts in an hour; those that people walked out of are left out.
fn games_an_hour(ready: &Ready, bouts: &[&Bout], seed: u64) -> Estimate {
    let whole: Vec<f64> =
        bouts.iter().filter(|bout| bout.ended || bout.endless).map(|bout| length(ready, bout)).collect();
    let played =
        if whole.is_empty() { bouts.iter().map(|bout| length(ready, bout)).collect() } else { whole };
    let time = |seconds: f64| Time::new::<second>(seconds);
    let an_hour = |seconds: f64| reckoning::people::games_an_hour(time(seconds), time(0.0), time(SWAP_S));
    bootstrap(&played, seed, &mut |drawn| an_hour(mean(drawn)))
}

fn seconds(ready: &Ready, ticks: u64) -> f64 {
    ticks as f64 * ready.tick_ms / 1000.0
}

fn length(ready: &Ready, bout: &Bout) -> f64 {
    seconds(ready, bout.ticks)
}

/// A part of two counts, for each bout that has any.
fn parts(bouts: &[&Bout], of: impl Fn(&Bout) -> (u32, u32)) -> Vec<f64> {
    let some = bouts.iter().map(|bout| of(bout)).filter(|(_, whole)| *whole > 0);
    some.map(|(part, whole)| f64::from(part) / f64::from(whole)).collect()
}

fn hit(bout: &Bout) -> (u32, u32) {
    (bout.hits, bout.hits + bout.missed)
}

fn empty(bout: &Bout) -> (u32, u32) {
    (bout.empty, bout.hits + bout.empty)
}

fn bouts(ready: &Ready, bouts: &[&Bout], seed: u64) -> Bouts {
    let values = |of: &dyn Fn(&Bout) -> f64| bouts.iter().map(|bout| of(bout)).collect::<Vec<f64>>();
    let scored = |at: usize| values(&|bout| f64::from(bout.scores[at]));
    let endless = bouts.iter().filter(|bout| bout.endless).count() as u64;
    Bouts {
        count: bouts.len() as u64,
        scores: (0..ready.scores.len()).map(|at| spread(&scored(at), seed)).collect(),
        hit: mean_estimate(&parts(bouts, hit), seed),
        empty: mean_estimate(&parts(bouts, empty), seed),
        length_s: mean_estimate(&values(&|bout| length(ready, bout)), seed),
        together: mean_estimate(&values(&|bout| f64::from(bout.together)), seed),
        broken_off: share(endless, bouts.len() as u64),
    }
}

/// First bouts at each value of each constant, the same people each time.
fn constants(
    order: &Order,
    ready: &Ready,
    focus: &[&Cast],
    done: &(dyn Fn() + Sync),
) -> Result<Vec<Constant>, Unfit> {
    let point = |ready: &Ready, value: i64| Point {
        value,
        parties: focus
            .iter()
            .map(|cast| {
                tried(ready, cast, &ready.visits(cast, (order.seed, order.games, 1), done), order.seed)
            })
            .collect(),
    };
    let written = point(ready, 0);
    let mut constants = Vec::new();
    for slider in &order.form.sliders {
        let mut points = vec![Point { value: slider.value, ..written.clone() }];
        for variant in order.variants.iter().filter(|variant| variant.name == slider.name) {
            points.push(point(&Ready::new(&variant.form)?, variant.value));
        }
        points.sort_by_key(|point| point.value);
        points.dedup_by_key(|point| point.value);
        let unit = match slider.unit {
            rules::form::Unit::Ms => "ms",
            rules::form::Unit::Number => "",
        };
        constants.push(Constant {
            name: slider.name.clone(),
            unit: unit.to_owned(),
            value: slider.value,
            points,
        });
    }
    Ok(constants)
}

fn tried(ready: &Ready, cast: &Cast, visits: &[Visit], seed: u64) -> Tried {
    let first: Vec<&Bout> = visits.iter().filter_map(|visit| visit.bouts.first()).collect();
    let scores = first.iter().filter_map(|bout| bout.scores.first());
    let scores: Vec<f64> = scores.map(|score| f64::from(*score)).collect();
    let first_hits: Vec<f64> = visits
        .iter()
        .flat_map(|visit| &visit.first_hits)
        .flatten()
        .map(|ticks| seconds(ready, *ticks))
        .collect();
    Tried {
        key: cast.key.clone(),
        score: median_estimate(&scores, seed),
        mean_score: mean_estimate(&scores, seed),
        hit: mean_estimate(&parts(&first, hit), seed),
        empty: mean_estimate(&parts(&first, empty), seed),
        games_an_hour: games_an_hour(ready, &first, seed),
        first_success_s: median_estimate(&first_hits, seed),
    }
}
