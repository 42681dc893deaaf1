//! One object on its hangers: how it is turned, where it is held, where its lamps are.

use super::Input;
use crate::{Hanger, Hung};
use reckoning::hang::two_hangers;
use uom::si::angle::degree;
use uom::si::f64::{Angle, Length};
use uom::si::length::millimeter;

/// Where an object may be held, from its middle, in shares of width and height: the shoulders first, since what is held
/// above its middle hangs steadiest; then its sides; then the ends of its long axis, which hold whatever the tilt.
const FIXINGS: [[[f64; 2]; 2]; 3] =
    [[[-0.35, 0.25], [0.35, 0.25]], [[-0.4, 0.0], [0.4, 0.0]], [[0.0, -0.4], [0.0, 0.4]]];
/// The lighter of two hangers carries at least this share: with less it goes slack in the least wind. Common practice.
const LEAST_SHARE: f64 = 0.2;

/// A hanger without its cut.
#[derive(Clone, Debug)]
pub(super) struct Drop {
    pub(super) label: String,
    /// Share of the object's weight.
    pub(super) share: f64,
    pub(super) bottom_mm: [f64; 2],
    pub(super) top_mm: [f64; 2],
    pub(super) length_mm: f64,
}

/// An object where it hangs.
#[derive(Clone, Debug)]
pub(super) struct Held {
    pub(super) index: usize,
    pub(super) at_mm: [f64; 2],
    pub(super) lines: Vec<Drop>,
}

/// An object at a place, with where its hangers meet it.
pub(super) fn held(input: &Input, index: usize, at_mm: [f64; 2]) -> Held {
    let name = named(input, index);
    let drop = |label: String, share: f64, fixing: [f64; 2]| {
        let bottom_mm = [at_mm[0] + fixing[0], at_mm[1] + fixing[1]];
        Drop { label, share, bottom_mm, top_mm: bottom_mm, length_mm: 0.0 }
    };
    let lines = match (input.object.hangers, two(input)) {
        (2, Some((fixings, shares))) => {
            let sides = ["left", "right"];
            (0..2).map(|side| drop(format!("{name} {}", sides[side]), shares[side], fixings[side])).collect()
        }
        // One line ends above the middle, so that the object hangs straight under it.
        _ => vec![drop(name.clone(), 1.0, [0.0, top_of(input)])],
    };
    Held { index, at_mm, lines }
}

/// The name of one of the objects, as the rules count them.
pub(super) fn named(input: &Input, index: usize) -> String {
    if input.object.spots.len() == 1 {
        input.object.name.clone()
    } else {
        format!("{}.{}", input.object.name, index + 1)
    }
}

/// The two fixings of a tilted object and what each carries; none where two lines cannot hold it.
pub(super) fn two(input: &Input) -> Option<([[f64; 2]; 2], [f64; 2])> {
    let [width, height] = input.object.size_mm;
    let mm = Length::new::<millimeter>;
    let tilt = Angle::new::<degree>(input.object.tilt_deg.value);
    FIXINGS.iter().find_map(|pair| {
        let fixings = pair.map(|[across, up]| [mm(across * width), mm(up * height)]);
        let held = two_hangers(fixings, tilt)?;
        let steady = held.shares.iter().all(|share| *share >= LEAST_SHARE);
        steady.then(|| (held.fixings.map(|point| point.map(|v| v.get::<millimeter>())), held.shares))
    })
}

/// The top of the turned outline on the line through its middle, roughly: half its height as it hangs.
fn top_of(input: &Input) -> f64 {
    let turned = input.object.outline_mm.iter().flatten().map(|point| turn(input, *point)[1]);
    turned.fold(0.0, f64::max)
}

fn turn(input: &Input, [x, y]: [f64; 2]) -> [f64; 2] {
    let tilt = input.object.tilt_deg.value.to_radians();
    let (sin, cos) = (libm::sin(tilt), libm::cos(tilt));
    [x * cos - y * sin, x * sin + y * cos]
}

impl Held {
    /// The object as the plan tells it; its channel is given by the wiring.
    pub(super) fn hung(&self, input: &Input, hangers: Vec<Hanger>) -> Hung {
        let object = &input.object;
        let line_kg: f64 = hangers.iter().map(|hanger| hanger.cut_mm / 1000.0 * input.hanger.kg_per_m).sum();
        Hung {
            name: named(input, self.index),
            object: object.name.clone(),
            spot: object.spots.get(self.index).copied().unwrap_or(0),
            at_mm: self.at_mm,
            tilt_deg: object.tilt_deg.value,
            mass_kg: object.mass_kg.value + line_kg,
            lines_mm: object
                .outline_mm
                .iter()
                .map(|line| line.iter().map(|point| turn(input, *point)).collect())
                .collect(),
            lamps_mm: lamps(&object.outline_mm, object.lamps)
                .into_iter()
                .map(|point| turn(input, point))
                .collect(),
            strand: object.strand.clone(),
            colour: object.colour.clone(),
            channel: 0,
            hangers,
        }
    }
}

/// So many lamps evenly along the lines, half a space from where they begin: a strand's count decides the holes of a small
/// object (common practice).
fn lamps(lines: &[Vec<[f64; 2]>], count: u32) -> Vec<[f64; 2]> {
    let apart = |a: [f64; 2], b: [f64; 2]| libm::hypot(b[0] - a[0], b[1] - a[1]);
    let steps: Vec<([f64; 2], [f64; 2], f64)> = lines
        .iter()
        .flat_map(|line| line.windows(2).map(|pair| (pair[0], pair[1], apart(pair[0], pair[1]))))
        .collect();
    let total: f64 = steps.iter().map(|step| step.2).sum();
    if total <= 0.0 {
        return Vec::new();
    }
    let spacing = total / f64::from(count.max(1));
    let (mut found, mut gone, mut wanted) = (Vec::new(), 0.0, spacing / 2.0);
    for (from, to, length) in steps {
        while wanted <= gone + length && found.len() < usize::try_from(count).unwrap_or(usize::MAX) {
            let share = if length > 0.0 { (wanted - gone) / length } else { 0.0 };
            found.push([from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])]);
            wanted += spacing;
        }
        gone += length;
    }
    found
}
