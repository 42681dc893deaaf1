//! What the farthest viewer makes out: digits tall enough to read, and poses far enough apart to be seen to move.

use crate::note::{Also, finding, rewrite, value, working};
use finding::{Finding, Known, Origin, Severity};
use quantity::{Show, Units};
use reckoning::sight::{
    CHARACTER_LEAST_MINUTES, CHARACTER_MINUTES, POSE_MINUTES, angle_of, lamp_digit_height,
};
use serde::Serialize;
use uom::si::angle::minute;
use uom::si::f64::{Angle, Length};
use uom::si::length::millimeter;

/// Points of a line closer than this are one, for telling how far two poses are apart.
const STEP_MM: f64 = 10.0;

/// Digits to be read.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Digits {
    pub(crate) name: String,
    pub(crate) height_mm: Known<f64>,
    /// Their lower edge above the ground.
    pub(crate) lifted_mm: f64,
}

/// A figure on one panel and which of its poses follow each other.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Figure<'a> {
    pub(crate) panel: &'a str,
    /// The lines of each bunch.
    pub(crate) bunches: Vec<&'a [Vec<[f64; 2]>]>,
    /// The name of each pose and the bunches lit in it.
    pub(crate) poses: Vec<(&'a str, &'a [usize])>,
    /// Poses that follow each other, by position.
    pub(crate) pairs: Vec<[usize; 2]>,
}

/// What the stage takes.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Input<'a> {
    pub(crate) nearest_mm: f64,
    pub(crate) farthest_mm: Known<f64>,
    pub(crate) digits: Vec<Digits>,
    pub(crate) figures: Vec<Figure<'a>>,
    pub(crate) units: Units,
}

pub(crate) fn work(input: &Input<'_>) -> Vec<Finding> {
    let digits = input.digits.iter().filter_map(|digits| small(input, digits));
    let poses = input.figures.iter().flat_map(|figure| moves(input, figure));
    digits.chain(poses).collect()
}

fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

fn minutes(size_mm: f64, distance_mm: f64) -> f64 {
    angle_of(mm(size_mm), mm(distance_mm)).get::<minute>()
}

fn small(input: &Input<'_>, digits: &Digits) -> Option<Finding> {
    let height = digits.height_mm.value;
    let seen = minutes(height, input.farthest_mm.value);
    let careful = lamp_digit_height(mm(digits.lifted_mm), mm(input.farthest_mm.value)).get::<millimeter>();
    let (severity, limit, source) = if seen < CHARACTER_LEAST_MINUTES {
        (Severity::Fault, CHARACTER_LEAST_MINUTES, "ISO 9241-3: 16 minutes of arc at least, 20 preferred")
    } else if seen < CHARACTER_MINUTES {
        (Severity::Caution, CHARACTER_MINUTES, "ISO 9241-3: 20 minutes of arc preferred")
    } else {
        return None;
    };
    let needed =
        reckoning::legible::size_seen(mm(input.farthest_mm.value), Angle::new::<minute>(CHARACTER_MINUTES));
    Some(
        finding(
            "sight/digits-small",
            severity,
            "digits",
            &[&digits.name],
            format!(
                "From {} the digits of {} are {seen:.0} minutes of arc tall; {CHARACTER_MINUTES:.0} read well",
                mm(input.farthest_mm.value).show(input.units),
                digits.name
            ),
        )
        .working(working(
            "angle-of",
            vec![
                value("height", mm(height).show(input.units), digits.height_mm.origin.clone()),
                value(
                    "farthest viewer",
                    mm(input.farthest_mm.value).show(input.units),
                    input.farthest_mm.origin.clone(),
                ),
                value(
                    "height by the careful rule",
                    mm(careful).show(input.units),
                    Origin::Default("California Building Code 11B-703.8.4, signs made of lamps"),
                ),
            ],
            format!("{seen:.1} minutes"),
            Some((format!("{limit:.0} minutes"), source.into())),
            None,
        ))
        .cure(
            &format!("Make them {} tall", needed.show(input.units)),
            rewrite(&digits.height_mm.origin, format!("\"{:.0} mm\"", libm::ceil(needed.get::<millimeter>()))),
        ),
    )
}

/// What is to be said of the pairs of poses of a figure.
fn moves(input: &Input<'_>, figure: &Figure<'_>) -> Vec<Finding> {
    let bunches: Vec<Vec<[f64; 2]>> = figure.bunches.iter().map(|lines| points(lines)).collect();
    let pose = |index: usize| -> Option<Pose<'_>> {
        let (name, lit) = figure.poses.get(index)?;
        let lit = lit.iter().filter_map(|bunch| bunches.get(*bunch));
        Some(Pose { name, points: Spread::new(lit.flatten().copied()) })
    };
    let poses: Vec<Option<Pose<'_>>> = (0..figure.poses.len())
        .map(|index| figure.pairs.iter().any(|pair| pair.contains(&index)).then(|| pose(index)).flatten())
        .collect();
    let told = |index: usize| poses.get(index).and_then(Option::as_ref);
    figure.pairs.iter().filter_map(|[a, b]| close(input, figure.panel, [told(*a)?, told(*b)?])).collect()
}

/// A pose and points along its lines.
struct Pose<'a> {
    name: &'a str,
    points: Spread,
}

fn close(input: &Input<'_>, panel: &str, [first, second]: [&Pose<'_>; 2]) -> Option<Finding> {
    let apart = first.points.farthest(&second.points).max(second.points.farthest(&first.points));
    let seen = minutes(apart, input.farthest_mm.value);
    // What does not move at all is told by another check.
    if apart <= 0.0 || seen >= POSE_MINUTES {
        return None;
    }
    let needed =
        reckoning::legible::size_seen(mm(input.farthest_mm.value), Angle::new::<minute>(POSE_MINUTES));
    Some(
        finding(
            "sight/poses-close",
            Severity::Caution,
            "draw",
            &[panel, first.name, second.name],
            format!(
                "Between {} and {} nothing moves more than {}; from {} that is flicker, not motion",
                first.name,
                second.name,
                mm(apart).show(input.units),
                mm(input.farthest_mm.value).show(input.units)
            ),
        )
        .working(working(
            "angle-of",
            vec![
                value(
                    "shift",
                    mm(apart).show(input.units),
                    Origin::Default("greatest distance of one pose's lines from the other's"),
                ),
                value(
                    "farthest viewer",
                    mm(input.farthest_mm.value).show(input.units),
                    input.farthest_mm.origin.clone(),
                ),
            ],
            format!("{seen:.1} minutes"),
            Some((format!("{POSE_MINUTES:.0} minutes"), "common practice".into())),
            None,
        ))
        .cure(&format!("Draw the limb's ends at least {} apart", needed.show(input.units)), None),
    )
}

fn points(lines: &[Vec<[f64; 2]>]) -> Vec<[f64; 2]> {
    let mut kept: Vec<[f64; 2]> = Vec::new();
    for line in lines {
        let mut last: Option<[f64; 2]> = None;
        for point in line {
            if last.is_none_or(|last| libm::hypot(point[0] - last[0], point[1] - last[1]) >= STEP_MM) {
                kept.push(*point);
                last = Some(*point);
            }
        }
        kept.extend(line.last());
    }
    kept
}

/// Points from left to right.
struct Spread(Vec<[f64; 2]>);

impl Spread {
    fn new(points: impl Iterator<Item = [f64; 2]>) -> Self {
        let mut all: Vec<[f64; 2]> = points.collect();
        all.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
        Self(all)
    }

    /// How far the farthest of these points is from the nearest of those.
    fn farthest(&self, those: &Self) -> f64 {
        let mut most = 0.0;
        for point in &self.0 {
            let squared = those.nearest(point, most);
            if squared.is_finite() {
                most = squared.max(most);
            }
        }
        let distance = libm::sqrt(most);
        // Points are this far apart along the lines: less than that says nothing.
        if distance <= STEP_MM { 0.0 } else { distance }
    }

    /// The square of the distance to the nearest point; once one is no farther than `enough`, that one may do.
    fn nearest(&self, point: &[f64; 2], enough: f64) -> f64 {
        let (mut left, mut right) = {
            let right = self.0.partition_point(|other| other[0] < point[0]);
            (self.0[..right].iter().rev(), self.0[right..].iter())
        };
        let mut least = f64::INFINITY;
        // From its own column outwards to both sides, until a column alone is farther than the nearest.
        let mut look = |other: Option<&[f64; 2]>| {
            let Some(other) = other else { return false };
            let across = (point[0] - other[0]).powi(2);
            least = least.min(across + (point[1] - other[1]).powi(2));
            across < least && least > enough
        };
        while look(right.next()) {}
        while look(left.next()) {}
        least
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

    use super::*;

    fn by<T>(value: T) -> Known<T> {
        let path = source::KeyPath::dotted("digits.rally.height");
        Known::new(value, Origin::Written { file: "display.toml".into(), path })
    }

    fn input<'a>(height_mm: f64, figures: Vec<Figure<'a>>) -> Input<'a> {
        Input {
            nearest_mm: 3000.0,
            // A hundred feet.
            farthest_mm: by(30_480.0),
            digits: vec![Digits { name: "rally".into(), height_mm: by(height_mm), lifted_mm: 1500.0 }],
            figures,
            units: Units::Inches,
        }
    }

    #[test]
    fn digits_are_held_to_twenty_minutes() {
        // ISO 9241-3 at 100 ft: 20 minutes are 6.98 in, 16 are 5.59 in.
        for (inches, severity) in [
            (7.0, None),
            (6.9, Some(Severity::Caution)),
            (5.6, Some(Severity::Caution)),
            (5.5, Some(Severity::Fault)),
        ] {
            let found = work(&input(inches * 25.4, Vec::new()));
            assert_eq!(found.first().map(|found| found.severity), severity, "{inches} in");
        }
        let found = work(&input(100.0, Vec::new())).remove(0);
        let (_, text) = found.cures[0].edit.clone().unwrap();
        let taller: f64 = text.trim_matches('"').trim_end_matches(" mm").parse().unwrap();
        assert!(work(&input(taller, Vec::new())).is_empty());
    }

    #[test]
    fn a_limb_that_barely_moves_is_said() {
        // Ten minutes at 100 ft are 88.7 mm.
        let low: Vec<[f64; 2]> = (0..=50).map(|k| [f64::from(k) * 10.0, 0.0]).collect();
        for (shift, said) in [(80.0, true), (95.0, false)] {
            let high: Vec<[f64; 2]> = low.iter().map(|p| [p[0], p[1] + shift]).collect();
            let figure = Figure {
                panel: "fox",
                bunches: vec![std::slice::from_ref(&low), std::slice::from_ref(&high)],
                poses: vec![("left", &[0]), ("right", &[1])],
                pairs: vec![[0, 1]],
            };
            let found = work(&input(200.0, vec![figure]));
            assert_eq!(found.iter().any(|found| found.code == "sight/poses-close"), said, "{shift} mm");
        }
    }

    #[test]
    fn the_farthest_is_found_as_by_looking_at_every_pair() {
        let scattered = |seed: u32| -> Vec<[f64; 2]> {
            // Far enough apart that no distance is as good as none.
            let place = |k: u32| f64::from((k * k * 31 + k * seed * 17 + seed * 7) % 997) * 40.0;
            (0..200).map(|k| [place(k), place(k + 1000)]).collect()
        };
        for seed in 0..20 {
            let (these, those) = (scattered(seed), scattered(seed + 100));
            let nearest = |point: &[f64; 2]| {
                let apart = those.iter().map(|other| libm::hypot(point[0] - other[0], point[1] - other[1]));
                apart.fold(f64::INFINITY, f64::min)
            };
            let expected = these.iter().map(nearest).fold(0.0, f64::max);
            let found = Spread::new(these.iter().copied()).farthest(&Spread::new(those.iter().copied()));
            assert!((found - expected).abs() < 1e-9, "{found} against {expected}");
        }
        assert_eq!(Spread::new(scattered(0).into_iter()).farthest(&Spread(Vec::new())), 0.0);
    }
}
