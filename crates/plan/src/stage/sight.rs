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

/// Two poses that follow each other on one panel: the lines of each.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Poses<'a> {
    pub(crate) panel: &'a str,
    pub(crate) names: [&'a str; 2],
    pub(crate) lines: [Vec<&'a [[f64; 2]]>; 2],
}

/// What the stage takes.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Input<'a> {
    pub(crate) nearest_mm: f64,
    pub(crate) farthest_mm: Known<f64>,
    pub(crate) digits: Vec<Digits>,
    pub(crate) poses: Vec<Poses<'a>>,
    pub(crate) units: Units,
}

pub(crate) fn work(input: &Input<'_>) -> Vec<Finding> {
    let digits = input.digits.iter().filter_map(|digits| small(input, digits));
    let poses = input.poses.iter().filter_map(|poses| close(input, poses));
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

fn close(input: &Input<'_>, poses: &Poses<'_>) -> Option<Finding> {
    let [first, second] = [&poses.lines[0], &poses.lines[1]].map(|lines| points(lines));
    let apart = farthest(&first, &second).max(farthest(&second, &first));
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
            &[poses.panel, poses.names[0], poses.names[1]],
            format!(
                "Between {} and {} nothing moves more than {}; from {} that is flicker, not motion",
                poses.names[0],
                poses.names[1],
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

fn points(lines: &[&[[f64; 2]]]) -> Vec<[f64; 2]> {
    let mut kept: Vec<[f64; 2]> = Vec::new();
    for line in lines {
        let mut last: Option<[f64; 2]> = None;
        for point in *line {
            if last.is_none_or(|last| libm::hypot(point[0] - last[0], point[1] - last[1]) >= STEP_MM) {
                kept.push(*point);
                last = Some(*point);
            }
        }
        kept.extend(line.last());
    }
    kept
}

/// How far the farthest of these points is from the nearest of those.
fn farthest(these: &[[f64; 2]], those: &[[f64; 2]]) -> f64 {
    let nearest = |point: &[f64; 2]| {
        let squared = those.iter().map(|other| (point[0] - other[0]).powi(2) + (point[1] - other[1]).powi(2));
        squared.fold(f64::INFINITY, f64::min)
    };
    let squared = these.iter().map(nearest).filter(|squared| squared.is_finite()).fold(0.0, f64::max);
    let distance = libm::sqrt(squared);
    // Points are this far apart along the lines: less than that says nothing.
    if distance <= STEP_MM { 0.0 } else { distance }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

    use super::*;

    fn by<T>(value: T) -> Known<T> {
        let path = source::KeyPath::dotted("digits.rally.height");
        Known::new(value, Origin::Written { file: "display.toml".into(), path })
    }

    fn input<'a>(height_mm: f64, poses: Vec<Poses<'a>>) -> Input<'a> {
        Input {
            nearest_mm: 3000.0,
            // A hundred feet.
            farthest_mm: by(30_480.0),
            digits: vec![Digits { name: "rally".into(), height_mm: by(height_mm), lifted_mm: 1500.0 }],
            poses,
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
            let poses =
                Poses { panel: "fox", names: ["left", "right"], lines: [vec![&low[..]], vec![&high[..]]] };
            let found = work(&input(200.0, vec![poses]));
            assert_eq!(found.iter().any(|found| found.code == "sight/poses-close"), said, "{shift} mm");
        }
    }
}
