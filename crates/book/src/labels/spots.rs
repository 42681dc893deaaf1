//! Places that are tried for a label, and what each costs.
//!
//! What is drawn does not move while numbers look for their places. So what it costs to lie on it is reckoned once for each
//! place, and a place that is dear already without the other numbers is not held against them.

use super::{CLASH, Surroundings, Wanted, half};

/// Directions tried around a hole.
const DIRECTIONS: usize = 24;
/// Distances tried, as a part of the type size beyond the nearest that clears the hole.
const DISTANCES: [f64; 4] = [0.15, 0.45, 0.9, 1.6];
/// What a type size of distance from the hole costs.
const FAR: f64 = 2.0;
/// What lying on another label, on a line, outside the drawing costs.
const ON_LABEL: f64 = 100.0;
const ON_LINE: f64 = 9.0;
const OUTSIDE: f64 = 200.0;
/// How far labels stay from holes, in millimetres.
const FROM_HOLES: f64 = 0.25;
/// Nearer to an edge than this a line is clipped to tell on which side it is.
const ROUNDING: f64 = 1e-6;

/// What is drawn near enough to a label to matter.
pub(super) struct Near {
    /// From left to right.
    holes: Vec<[f64; 2]>,
    lines: Vec<[[f64; 2]; 2]>,
}

impl Near {
    /// What lies within reach of any place tried for a label.
    pub(super) fn new(one: &Wanted, around: &Surroundings) -> Self {
        let reach = (2.0 * one.ems + 3.5) * around.type_mm + 2.0 * around.radius;
        let near = |hole: &[f64; 2]| is_closer([hole[0] - one.at[0], hole[1] - one.at[1]], reach);
        let touches = |line: &[[f64; 2]; 2]| crosses(*line, one.at, [reach, reach]);
        let mut holes: Vec<[f64; 2]> = around.holes.iter().copied().filter(near).collect();
        holes.sort_by(|a, b| a[0].total_cmp(&b[0]));
        Self { holes, lines: around.lines.iter().copied().filter(touches).collect() }
    }
}

/// A place for a label.
struct Spot {
    at: [f64; 2],
    /// What it costs to stand on this side of the hole.
    turned: f64,
    /// What its distance costs.
    far: f64,
    /// What it costs to lie on what is drawn; none while that has not been asked.
    drawn: Option<f64>,
}

impl Spot {
    /// The whole price, with what lying on things costs.
    fn price(&self, lying: f64) -> f64 {
        lying + self.turned + self.far
    }
}

/// The cheapest place so far.
#[derive(Clone, Copy)]
struct Best {
    price: f64,
    k: usize,
}

impl Best {
    /// Of places that cost the same the first one is taken.
    fn yields_to(self, price: f64, k: usize) -> bool {
        price < self.price || (price <= self.price && k < self.k)
    }
}

/// The places around one hole, as far as they have been tried.
pub(super) struct Spots<'a> {
    one: &'a Wanted,
    out: [f64; 2],
    reach: [f64; 2],
    near: Near,
    /// Ring by ring from the hole outwards.
    tried: Vec<Spot>,
    /// The one that was the cheapest when this was last asked.
    chosen: Option<usize>,
}

impl<'a> Spots<'a> {
    pub(super) fn new(one: &'a Wanted, out: [f64; 2], near: Near, around: &Surroundings) -> Self {
        Self { one, out, reach: half(one.ems, around.type_mm), near, tried: Vec::new(), chosen: None }
    }

    /// The cheapest place around the hole, and its price; `under` counts the labels that one there would lie on. Rings that
    /// cannot be cheaper than what was found are not tried.
    pub(super) fn cheapest(
        &mut self,
        around: &Surroundings,
        under: &dyn Fn([f64; 2]) -> usize,
    ) -> Option<(f64, [f64; 2])> {
        // What was the cheapest mostly still is; then hardly any other has to be held against the labels.
        let mut best = self.chosen.map(|k| Best { price: self.price(k, around, under), k });
        let mut begun = 0;
        for distance in DISTANCES {
            let clear = around.radius + distance * around.type_mm;
            let least = FAR * (clear + self.reach[0].min(self.reach[1])) / around.type_mm;
            if best.is_some_and(|best| best.price <= least) {
                break;
            }
            if self.tried.len() == begun {
                self.add_ring(clear, around);
            }
            let end = self.tried.len().min(begun + DIRECTIONS);
            for k in begun..end {
                if let Some(price) = self.cheaper(k, best, around, under) {
                    best = Some(Best { price, k });
                }
            }
            begun = end;
        }
        self.chosen = best.map(|best| best.k);
        best.map(|best| (best.price, self.tried[best.k].at))
    }

    fn add_ring(&mut self, clear: f64, around: &Surroundings) {
        for (sin, cos) in directions() {
            let [half_width, half_height] = self.reach;
            let at =
                [self.one.at[0] + cos * (clear + half_width), self.one.at[1] + sin * (clear + half_height)];
            let way = [at[0] - self.one.at[0], at[1] - self.one.at[1]];
            let far = libm::hypot(way[0], way[1]).max(1e-9);
            self.tried.push(Spot {
                at,
                turned: 3.0 * (1.0 - (way[0] * self.out[0] + way[1] * self.out[1]) / far),
                far: FAR * far / around.type_mm,
                drawn: None,
            });
        }
    }

    /// The price of a place, if it is to be preferred.
    fn cheaper(
        &mut self,
        k: usize,
        best: Option<Best>,
        around: &Surroundings,
        under: &dyn Fn([f64; 2]) -> usize,
    ) -> Option<f64> {
        let preferred = |price: f64| best.is_none_or(|best| best.yields_to(price, k));
        // Whatever it lies on only makes it dearer.
        if !preferred(self.tried[k].price(0.0)) {
            return None;
        }
        let drawn = self.drawn(k, around);
        if !preferred(self.tried[k].price(drawn)) {
            return None;
        }
        Some(self.price(k, around, under)).filter(|price| preferred(*price))
    }

    /// The price of a place.
    fn price(&mut self, k: usize, around: &Surroundings, under: &dyn Fn([f64; 2]) -> usize) -> f64 {
        let drawn = self.drawn(k, around);
        let spot = &self.tried[k];
        spot.price(drawn + times(under(spot.at), ON_LABEL))
    }

    /// What it costs to lie on what is drawn.
    fn drawn(&mut self, k: usize, around: &Surroundings) -> f64 {
        let spot = &self.tried[k];
        let drawn = spot.drawn.unwrap_or_else(|| self.on_what_is_drawn(spot.at, around));
        self.tried[k].drawn = Some(drawn);
        drawn
    }

    /// What it costs to lie on holes, on lines, outside.
    fn on_what_is_drawn(&self, at: [f64; 2], around: &Surroundings) -> f64 {
        let (reach, apart) = (self.reach, around.radius + FROM_HOLES);
        let from = self.near.holes.partition_point(|hole| hole[0] < at[0] - reach[0] - apart);
        let across = self.near.holes[from..].iter().take_while(|hole| hole[0] <= at[0] + reach[0] + apart);
        let on_holes = across.filter(|hole| is_closer(beyond(**hole, at, reach), apart)).count();
        let on_lines = self.near.lines.iter().filter(|line| crosses(**line, at, reach)).count();
        let inside =
            (0..2).all(|axis| at[axis] - reach[axis] > 0.0 && at[axis] + reach[axis] < around.size[axis]);
        times(on_holes, CLASH) + times(on_lines, ON_LINE) + if inside { 0.0 } else { OUTSIDE }
    }
}

/// Sine and cosine of the directions.
fn directions() -> [(f64, f64); DIRECTIONS] {
    std::array::from_fn(|step| {
        let share = |count: usize| f64::from(u32::try_from(count).unwrap_or(0));
        libm::sincos(share(step) * std::f64::consts::TAU / share(DIRECTIONS))
    })
}

/// A count times a weight.
fn times(count: usize, weight: f64) -> f64 {
    f64::from(u32::try_from(count).unwrap_or(u32::MAX)) * weight
}

/// How far a point lies beyond the sides of a rectangle around `at`.
fn beyond(point: [f64; 2], at: [f64; 2], reach: [f64; 2]) -> [f64; 2] {
    [((point[0] - at[0]).abs() - reach[0]).max(0.0), ((point[1] - at[1]).abs() - reach[1]).max(0.0)]
}

/// Distance from a point to a rectangle around `at`.
pub(super) fn near_rectangle(point: [f64; 2], at: [f64; 2], reach: [f64; 2]) -> f64 {
    let [x, y] = beyond(point, at, reach);
    libm::hypot(x, y)
}

/// Whether a way is shorter than a length; the root only where it is needed.
fn is_closer([x, y]: [f64; 2], length: f64) -> bool {
    x.abs() < length && y.abs() < length && ((x == 0.0 && y == 0.0) || libm::hypot(x, y) < length)
}

/// Whether a line touches a rectangle around `at` (clipping the line to it).
fn crosses(line: [[f64; 2]; 2], at: [f64; 2], reach: [f64; 2]) -> bool {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for axis in [0, 1] {
        let start = line[0][axis] - at[axis];
        let along = line[1][axis] - line[0][axis];
        let end = line[1][axis] - at[axis];
        let beyond = reach[axis] + ROUNDING;
        if (start > beyond && end > beyond) || (start < -beyond && end < -beyond) {
            return false;
        }
        if along.abs() < 1e-12 {
            if start.abs() > reach[axis] {
                return false;
            }
            continue;
        }
        let (a, b) = ((-reach[axis] - start) / along, (reach[axis] - start) / along);
        from = from.max(a.min(b));
        to = to.min(a.max(b));
    }
    from <= to
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_through_a_box_is_seen_and_one_beside_it_is_not() {
        assert!(crosses([[0.0, 0.0], [10.0, 10.0]], [5.0, 5.0], [1.0, 1.0]));
        assert!(!crosses([[0.0, 0.0], [10.0, 0.0]], [5.0, 5.0], [1.0, 1.0]));
        assert!(!crosses([[0.0, 5.0], [3.0, 5.0]], [5.0, 5.0], [1.0, 1.0]));
    }
}
