//! A short open path through points, with as few hops beyond a given reach as can be found.
//!
//! A hop longer than `reach` needs extra stops on its way, one for every further `reach`. The path is improved by
//! exchanges of two and three links among near neighbours, then kicked locally and improved again, keeping what is no
//! worse. The work is counted, never timed, and the kicks come from a fixed sequence: equal input gives equal output.

mod costs;
mod round;

use crate::distance;
use costs::{Costs, nearest_first, shortest_links};
use kurbo::Point;
use round::Round;

/// Even few points get the kicks of this many.
const LEAST_KICKED: usize = 24;

/// An order of points and its length.
#[derive(Clone, Debug, PartialEq)]
pub struct Threading {
    /// The points by position, first to last.
    pub order: Vec<usize>,
    /// The length of the path.
    pub length: f64,
}

/// The extra stops that a hop needs: none within reach, one up to twice the reach, and so on.
///
/// ```
/// use geometry::extra_stops;
/// assert_eq!((extra_stops(90.0, 90.0), extra_stops(91.0, 90.0), extra_stops(181.0, 90.0)), (0, 1, 2));
/// assert_eq!(extra_stops(1e9, f64::INFINITY), 0);
/// ```
pub fn extra_stops(hop: f64, reach: f64) -> u32 {
    let wires = (hop / reach - 1e-9).ceil();
    if wires.is_finite() && wires > 1.0 { saturating(wires) - 1 } else { 0 }
}

/// A whole number as `u32`, the largest one when it does not fit.
fn saturating(value: f64) -> u32 {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "`as` saturates, which is what is wanted"
    )]
    let whole = value as u32;
    whole
}

/// An open path through all points: fewest extra stops first, then least length, then a start close to `start_near`.
///
/// `effort` is the number of kicks for every point; 20 is enough for about half a per cent at 200 points. A reach that is not above zero
/// counts as no limit.
///
/// ```
/// use geometry::{Point, thread};
/// let points = [3.0, 0.0, 2.0, 1.0].map(|x| Point::new(x, 0.0));
/// let way = thread(&points, Point::new(-1.0, 0.0), 1.5, 10);
/// assert_eq!(way.order, [1, 3, 2, 0]);
/// assert_eq!(way.length, 3.0);
/// ```
pub fn thread(points: &[Point], start_near: Point, reach: f64, effort: u32) -> Threading {
    if points.len() < 3 {
        return short_path(points, start_near);
    }
    let costs = Costs::new(points, start_near, reach);
    let mut best: Option<(f64, Vec<usize>)> = None;
    for seed in [nearest_first(&costs), shortest_links(&costs), (0..costs.places).collect()] {
        let mut round = Round::new(&costs, seed);
        round.improve_all();
        let cost = round.cost();
        if best.as_ref().is_none_or(|(least, _)| cost < *least) {
            best = Some((cost, round.order));
        }
    }
    let seed = best.map(|(_, order)| order).unwrap_or_default();
    let mut round = Round::new(&costs, seed);
    round.kick(usize::try_from(effort).unwrap_or(usize::MAX).saturating_mul(points.len().max(LEAST_KICKED)));
    let order = costs.open(&round.order);
    let length = order.windows(2).map(|pair| distance(points[pair[0]], points[pair[1]])).sum();
    Threading { order, length }
}

fn short_path(points: &[Point], start_near: Point) -> Threading {
    let mut order: Vec<usize> = (0..points.len()).collect();
    order.sort_by(|&a, &b| distance(points[a], start_near).total_cmp(&distance(points[b], start_near)));
    let length = order.windows(2).map(|pair| distance(points[pair[0]], points[pair[1]])).sum();
    Threading { order, length }
}
