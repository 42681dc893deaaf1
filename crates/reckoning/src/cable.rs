//! A rope between two points, under its own weight and under any number of hung loads.
//!
//! Between two loads a rope that stretches hangs in an elastic catenary, which has a closed form in the slope: with pull `H`
//! (the level part of the tension, the same everywhere), weight `w` a metre of unstretched rope and stiffness `EA`, from
//! slope `p` to slope `q`
//!
//! - across: `H/w (asinh q - asinh p + H/EA (q - p))`
//! - up: `H/w (sqrt(1+q^2) - sqrt(1+p^2) + H/EA (q^2 - p^2)/2)`
//! - unstretched rope: `H/w (q - p)`
//!
//! and at a load `W` the slope grows by `W/H`. Loads are told by where they hang ACROSS, as a builder sets them out, so one
//! goes from left to right without guessing at lengths along the rope. Two nested searches remain, each of a quantity that
//! only ever grows: the slope at the left end so that the right end is met, and the pull so that sag or length is met. Both
//! stop on counts of steps.

use crate::shorthand::GRAVITY;
use uom::si::f64::{Force, Length, LinearMassDensity, Mass};
use uom::si::force::newton;
use uom::si::length::meter;
use uom::si::linear_mass_density::kilogram_per_meter;
use uom::si::mass::kilogram;

/// Steps of the search for the slope at the left end; every third at least halves what is left in doubt.
const SLOPE_STEPS: u32 = 150;
/// Steps of the search for the pull, on a scale of its logarithm.
const PULL_STEPS: u32 = 150;
/// The slackest and the tightest rope looked at, as a share of all the weight on it.
const LEAST_PULL: f64 = 1e-3;
const MOST_PULL: f64 = 1e6;
/// The same for the slackest, as a share of the rope's own weight: beyond it a catenary is so deep that its slopes lose
/// their digits.
const LEAST_PULL_OWN: f64 = 0.05;
/// Steps for the slope at the far end of a piece.
const PIECE_STEPS: u32 = 150;
/// Most loads on one rope that are taken.
pub const MOST_LOADS: usize = 500;

/// A weight hung from the rope.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Where it hangs, across from the left end.
    pub at: Length,
    /// Its mass.
    pub mass: Mass,
}

/// A rope to be hung.
#[derive(Clone, Debug, PartialEq)]
pub struct Rope {
    /// Across from the left end to the right one.
    pub span: Length,
    /// The right end above the left one; negative when it is lower.
    pub rise: Length,
    /// Mass of a length of it, unstretched.
    pub mass: LinearMassDensity,
    /// Force that would stretch it to double its length (EA); none for a rope that does not stretch.
    pub stiffness: Option<Force>,
    /// What hangs from it, in any order.
    pub loads: Vec<Load>,
}

/// What is known of how tight it hangs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Given {
    /// The greatest sag below the straight line between its ends, with everything hung.
    Sag(Length),
    /// How far below the left end the rope is at a place across, with everything hung.
    Drop {
        /// The place, across from the left end.
        at: Length,
        /// How far below the left end.
        below: Length,
    },
    /// The length of rope between its ends before it is stretched.
    Unstretched(Length),
    /// The level part of the tension.
    Pull(Force),
}

/// Why a rope does not hang as asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoShape {
    /// A value is not a number that makes sense there: span, sag, masses or places of loads.
    Senseless,
    /// The rope is shorter than the way between its ends and does not stretch.
    TooShort,
    /// Neither the rope nor anything on it weighs anything, so nothing says how it hangs.
    Weightless,
    /// No pull between a thousandth and a million times all the weight hangs it so.
    OutOfReach,
}

impl std::fmt::Display for NoShape {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str(match self {
            Self::Senseless => "span, sag, masses and places must be positive and lie between the ends",
            Self::TooShort => "the rope is shorter than the way between its ends",
            Self::Weightless => "neither the rope nor anything on it weighs anything",
            Self::OutOfReach => "no pull that makes sense hangs it so",
        })
    }
}

/// A place where a load hangs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Held {
    /// Across from the left end.
    pub at: Length,
    /// Above the left end; mostly negative.
    pub height: Length,
    /// Unstretched rope from the left end to here: where to mark it on the ground.
    pub along: Length,
    /// Tension on the left side of the load.
    pub tension_left: Force,
    /// Tension on the right side of the load.
    pub tension_right: Force,
}

/// A rope as it hangs.
#[derive(Clone, Debug, PartialEq)]
pub struct Hung {
    /// The level part of the tension, the same everywhere.
    pub pull: Force,
    /// Tension at the left end.
    pub left: Force,
    /// Tension at the right end.
    pub right: Force,
    /// What the left end carries downwards; negative when the rope lifts it.
    pub left_down: Force,
    /// What the right end carries downwards.
    pub right_down: Force,
    /// Unstretched rope between the ends.
    pub unstretched: Length,
    /// The same rope as it hangs, stretched.
    pub stretched: Length,
    /// Greatest sag below the straight line between the ends.
    pub sag: Length,
    /// Where that is, across from the left end.
    pub sag_at: Length,
    /// The lowest point above the left end (negative below it).
    pub lowest: Length,
    /// The loads in order from the left.
    pub held: Vec<Held>,
    pieces: Vec<Piece>,
    law: Law,
}

impl Hung {
    /// The greatest tension anywhere: it is at one of the ends.
    pub fn tension(&self) -> Force {
        if self.left > self.right { self.left } else { self.right }
    }

    /// How high the rope is above its left end at a place across; the nearer end's height beyond the ends.
    pub fn height_at(&self, at: Length) -> Length {
        Length::new::<meter>(height_at(self.law, &self.pieces, at.get::<meter>()))
    }

    /// The rope as a line of evenly spaced points for drawing: across, and above the left end.
    pub fn line(&self, points: u32) -> Vec<[Length; 2]> {
        let span: f64 = self.pieces.iter().map(|piece| piece.across).sum();
        let steps = points.max(2) - 1;
        (0..=steps)
            .map(|k| {
                let at = Length::new::<meter>(span * f64::from(k) / f64::from(steps));
                [at, self.height_at(at)]
            })
            .collect()
    }
}

fn height_at(law: Law, pieces: &[Piece], x: f64) -> f64 {
    let mut height = 0.0;
    for piece in pieces {
        if x < piece.from + piece.across {
            return height + law.piece(piece.p, (x - piece.from).max(0.0)).up;
        }
        height += piece.up;
    }
    height
}

/// One piece between two loads.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Piece {
    from: f64,
    across: f64,
    /// Slopes at its ends.
    p: f64,
    q: f64,
    up: f64,
    rope: f64,
}

/// What rules the shape of a piece: pull, weight a metre, pull over stiffness.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Law {
    pull: f64,
    weight: f64,
    give: f64,
}

impl Law {
    fn bend(self, p: f64) -> f64 {
        libm::asinh(p) + self.give * p
    }

    /// How `bend` grows with the slope.
    fn growth(self, p: f64) -> f64 {
        1.0 / libm::hypot(1.0, p) + self.give
    }

    /// The piece that begins with slope `p` and goes `across`.
    fn piece(self, p: f64, across: f64) -> Piece {
        let turn = self.weight * across / self.pull;
        if turn < 1e-9 {
            // Straight: the closed form would divide nothing by nothing.
            let rope = across / (self.growth(p));
            return Piece { from: 0.0, across, p, q: p, up: p * across, rope };
        }
        let q = self.far_slope(p, turn);
        let (hp, hq) = (libm::hypot(1.0, p), libm::hypot(1.0, q));
        let up = self.pull / self.weight * (q - p) * ((q + p) / (hq + hp) + self.give * (q + p) / 2.0);
        Piece { from: 0.0, across, p, q, up, rope: self.pull / self.weight * (q - p) }
    }

    /// The slope `q` with `bend(q) = bend(p) + turn`: Newton steps on `asinh q`, kept between bounds.
    fn far_slope(self, p: f64, turn: f64) -> f64 {
        // A rope that stretches bends less than one that does not, and never back.
        let (mut low, mut high) = (libm::asinh(p), libm::asinh(p) + turn);
        if self.give <= 0.0 {
            return libm::sinh(high);
        }
        let wanted = self.bend(p) + turn;
        let mut u = high;
        for step in 0..PIECE_STEPS {
            let off = u + self.give * libm::sinh(u) - wanted;
            if off > 0.0 {
                high = u;
            } else {
                low = u;
            }
            let next = kept(step, u - off / (1.0 + self.give * libm::cosh(u)), low, high);
            if next == u {
                break;
            }
            u = next;
        }
        libm::sinh(u)
    }

    fn tension(self, slope: f64) -> f64 {
        self.pull * libm::hypot(1.0, slope)
    }

    /// Length of a piece as it hangs, stretched: its rope and what the mean square of tension adds to it.
    fn stretched(self, piece: &Piece) -> f64 {
        let turn = piece.q - piece.p;
        if turn < 1e-9 {
            return piece.rope * (1.0 + self.give * libm::hypot(1.0, piece.p));
        }
        // Along the rope the tension is pull x hypot(1, slope), and slope grows evenly with unstretched length.
        let primitive = |p: f64| (p * libm::hypot(1.0, p) + libm::asinh(p)) / 2.0;
        piece.rope + self.pull / self.weight * self.give * (primitive(piece.q) - primitive(piece.p))
    }
}

/// A Newton step when it stays between the bounds; else, and at every third step, half way between them.
fn kept(step: u32, trial: f64, low: f64, high: f64) -> f64 {
    if step % 3 != 2 && trial >= low && trial <= high { trial } else { (low + high) / 2.0 }
}

/// The rope in plain metres, newtons and kilograms.
struct Plain {
    span: f64,
    rise: f64,
    weight: f64,
    stiffness: Option<f64>,
    /// Across and weight, from the left; loads at one place are one.
    loads: Vec<(f64, f64)>,
}

/// Hangs a rope.
///
/// ```
/// use reckoning::cable::{Given, Load, Rope, hang};
/// use uom::si::{f64::*, force::newton, length::meter, linear_mass_density::kilogram_per_meter, mass::kilogram};
/// let metres = Length::new::<meter>;
/// let rope = Rope {
///     span: metres(10.0),
///     rise: metres(0.0),
///     mass: LinearMassDensity::new::<kilogram_per_meter>(0.0),
///     stiffness: None,
///     loads: vec![Load { at: metres(5.0), mass: Mass::new::<kilogram>(10.0) }],
/// };
/// // W / (2 sin a): a tenth of the span in sag, two and a half times the weight in pull.
/// let hung = hang(&rope, Given::Sag(metres(1.0))).unwrap();
/// assert!((hung.pull.get::<newton>() - 2.5 * 98.0665).abs() < 1e-6);
/// ```
pub fn hang(rope: &Rope, given: Given) -> Result<Hung, NoShape> {
    let plain = plain(rope)?;
    let total = plain.weight * plain.span + plain.loads.iter().map(|load| load.1).sum::<f64>();
    let pull = match given {
        Given::Pull(pull) => in_bounds(pull.get::<newton>())?,
        _ if total <= 0.0 => return Err(NoShape::Weightless),
        Given::Sag(sag) => {
            let sag = in_bounds(sag.get::<meter>())?;
            plain.search(sag, |trial| deepest(trial, &plain).0)?
        }
        Given::Drop { at, below } => {
            let (at, below) = (at.get::<meter>(), below.get::<meter>());
            if !(at > 0.0 && at < plain.span) {
                return Err(NoShape::Senseless);
            }
            let chord = plain.rise / plain.span * at;
            let wanted = in_bounds(chord + below)?;
            plain.search(wanted, |trial| chord - trial.height_at(at))?
        }
        Given::Unstretched(length) => {
            let length = in_bounds(length.get::<meter>())?;
            if plain.stiffness.is_none() && length <= libm::hypot(plain.span, plain.rise) {
                return Err(NoShape::TooShort);
            }
            plain.search(length, Trial::rope)?
        }
    };
    Ok(plain.at_pull(pull).finish(&plain))
}

fn in_bounds(value: f64) -> Result<f64, NoShape> {
    if value.is_finite() && value > 0.0 { Ok(value) } else { Err(NoShape::Senseless) }
}

fn plain(rope: &Rope) -> Result<Plain, NoShape> {
    let span = in_bounds(rope.span.get::<meter>())?;
    let rise = rope.rise.get::<meter>();
    let weight = rope.mass.get::<kilogram_per_meter>() * GRAVITY;
    let stiffness = rope.stiffness.map(|stiffness| in_bounds(stiffness.get::<newton>())).transpose()?;
    let mut loads: Vec<(f64, f64)> = rope
        .loads
        .iter()
        .map(|load| (load.at.get::<meter>(), load.mass.get::<kilogram>() * GRAVITY))
        .collect();
    let sensible = |&(at, weight): &(f64, f64)| at > 0.0 && at < span && weight >= 0.0 && weight.is_finite();
    let sound = rise.is_finite()
        && weight >= 0.0
        && weight.is_finite()
        && loads.len() <= MOST_LOADS
        && loads.iter().all(sensible);
    if !sound {
        return Err(NoShape::Senseless);
    }
    loads.sort_by(|a, b| a.0.total_cmp(&b.0));
    Ok(Plain { span, rise, weight, stiffness, loads })
}

/// A rope at some pull: its pieces.
struct Trial {
    law: Law,
    pieces: Vec<Piece>,
}

impl Plain {
    /// The pull at which `measure`, which falls as the pull grows, is `wanted`. Sag goes nearly as 1 / pull, so that on
    /// logarithms of both a straight line is a good guess; every third step halves what is left in doubt.
    fn search(&self, wanted: f64, measure: impl Fn(&Trial) -> f64) -> Result<f64, NoShape> {
        let total = self.weight * self.span + self.loads.iter().map(|load| load.1).sum::<f64>();
        let excess = |pull: f64| {
            let ratio = measure(&self.at_pull(libm::exp(pull))) / wanted;
            if ratio > 0.0 { libm::log(ratio) } else { -100.0 }
        };
        let slackest = (LEAST_PULL * total).max(LEAST_PULL_OWN * self.weight * self.span);
        let (mut low, mut high) = (libm::log(slackest), libm::log(MOST_PULL * total));
        let (mut above, mut below) = (excess(low), excess(high));
        if above < 0.0 || below > 0.0 {
            return Err(NoShape::OutOfReach);
        }
        for step in 0..PULL_STEPS {
            let middle = kept(step, low + (high - low) * above / (above - below), low, high);
            let off = excess(middle);
            if off > 0.0 {
                (low, above) = (middle, off);
            } else {
                (high, below) = (middle, off);
            }
            if off.abs() < 1e-14 || high - low < 1e-14 {
                return Ok(libm::exp(middle));
            }
        }
        Ok(libm::exp((low + high) / 2.0))
    }

    /// The rope at a pull, with the slope at its left end such that its right end is met.
    fn at_pull(&self, pull: f64) -> Trial {
        let give = self.stiffness.map_or(0.0, |stiffness| pull / stiffness);
        let law = Law { pull, weight: self.weight, give };
        // Everything to the right of the left end bends it up by at most this much in all.
        let jumps = self.loads.iter().map(|load| load.1).sum::<f64>() / pull;
        let chord = self.rise / self.span;
        let turn = self.weight * self.span / pull;
        let mut high = libm::asinh(chord);
        let mut low = libm::asinh(libm::sinh(libm::asinh(chord - jumps) - turn) - jumps);
        let mut slope = chord - jumps / 2.0 - turn / 2.0;
        for step in 0..SLOPE_STEPS {
            let (up, growth) = self.far_end(law, slope);
            let off = up - self.rise;
            if off > 0.0 {
                high = libm::asinh(slope);
            } else {
                low = libm::asinh(slope);
            }
            let next = libm::sinh(kept(step, libm::asinh(slope - off / growth), low, high));
            if (next - slope).abs() <= 1e-15 * (1.0 + slope.abs()) {
                break;
            }
            slope = next;
        }
        Trial { law, pieces: self.walk(law, slope) }
    }

    fn walk(&self, law: Law, slope: f64) -> Vec<Piece> {
        let mut pieces = Vec::with_capacity(self.loads.len() + 1);
        let (mut p, mut from) = (slope, 0.0);
        let stops = self.loads.iter().copied().chain([(self.span, 0.0)]);
        for (to, weight) in stops {
            let piece = Piece { from, ..law.piece(p, to - from) };
            p = piece.q + weight / law.pull;
            from = to;
            pieces.push(piece);
        }
        pieces
    }

    /// Height of the right end for a slope at the left end, and how fast it grows with that slope.
    fn far_end(&self, law: Law, slope: f64) -> (f64, f64) {
        let (mut up, mut growth, mut share) = (0.0, 0.0, 1.0);
        for piece in self.walk(law, slope) {
            up += piece.up;
            // What a change of slope does is carried through a piece by the growth of its bend.
            let carried = share * law.growth(piece.p);
            growth += piece.rope * carried;
            share = carried / law.growth(piece.q);
        }
        (up, growth)
    }
}

impl Trial {
    fn rope(&self) -> f64 {
        self.pieces.iter().map(|piece| piece.rope).sum()
    }

    fn height_at(&self, x: f64) -> f64 {
        height_at(self.law, &self.pieces, x)
    }

    fn finish(&self, plain: &Plain) -> Hung {
        let (law, pieces) = (self.law, &self.pieces);
        let newtons = Force::new::<newton>;
        let metres = Length::new::<meter>;
        let slope_left = pieces.first().map_or(0.0, |piece| piece.p);
        let slope_right = pieces.last().map_or(0.0, |piece| piece.q);
        let (sag, sag_at) = deepest(self, plain);
        let (mut height, mut along) = (0.0, 0.0);
        let mut held = Vec::with_capacity(plain.loads.len());
        for (piece, next) in pieces.iter().zip(pieces.iter().skip(1)) {
            height += piece.up;
            along += piece.rope;
            held.push(Held {
                at: metres(next.from),
                height: metres(height),
                along: metres(along),
                tension_left: newtons(law.tension(piece.q)),
                tension_right: newtons(law.tension(next.p)),
            });
        }
        Hung {
            pull: newtons(law.pull),
            left: newtons(law.tension(slope_left)),
            right: newtons(law.tension(slope_right)),
            left_down: newtons(-law.pull * slope_left),
            right_down: newtons(law.pull * slope_right),
            unstretched: metres(self.rope()),
            stretched: metres(pieces.iter().map(|piece| law.stretched(piece)).sum()),
            sag: metres(sag),
            sag_at: metres(sag_at),
            lowest: metres(lowest(self)),
            held,
            pieces: pieces.clone(),
            law,
        }
    }

    /// The point of slope `slope` within the piece that contains it: across and up from the left end.
    fn where_slope(&self, slope: f64) -> (f64, f64) {
        let law = self.law;
        let (mut x, mut y) = (0.0, 0.0);
        for piece in &self.pieces {
            if piece.p >= slope {
                return (x, y);
            }
            if piece.q > slope {
                let across = law.pull / law.weight * (law.bend(slope) - law.bend(piece.p));
                let part = law.piece(piece.p, across.clamp(0.0, piece.across));
                return (x + part.across, y + part.up);
            }
            x += piece.across;
            y += piece.up;
        }
        (x, y)
    }
}

/// Greatest sag below the straight line between the ends, and where.
fn deepest(trial: &Trial, plain: &Plain) -> (f64, f64) {
    let chord = plain.rise / plain.span;
    let (x, y) = trial.where_slope(chord);
    (chord * x - y, x)
}

/// The lowest point above the left end.
fn lowest(trial: &Trial) -> f64 {
    trial.where_slope(0.0).1
}
