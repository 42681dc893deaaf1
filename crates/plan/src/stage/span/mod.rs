//! Hang: a rope between two posts as it hangs with everything on it, where each hanger is tied and how long it is cut, and
//! whether rope, posts and the people below can bear it.
//!
//! Rope and hangers depend on each other: a hanger is as long as the loaded rope is high, and weighs something itself. Two
//! rounds settle that to less than a knot.

mod judge;
mod object;
mod wind;

#[cfg(test)]
mod tests;

use crate::note::{worked, works_out};
use crate::{Hanger, Hung, Origins, Span};
use finding::{Finding, Known, Origin};
use object::Held;
use quantity::Units;
use reckoning::cable::{self, Given, Load, NoShape, Rope};
use reckoning::flight::parabola_height;
use serde::Serialize;
use uom::si::f64::{Force, Length, LinearMassDensity, Mass};
use uom::si::force::newton;
use uom::si::length::millimeter;
use uom::si::linear_mass_density::kilogram_per_meter;
use uom::si::mass::kilogram;

/// Rope for each tie to a post: turns and knot. Common practice.
const TIE_MM: f64 = 1000.0;
/// Line for each knot of a hanger. Common practice.
const KNOT_MM: f64 = 150.0;
/// Mass of a metre of cable tied along the rope for each lamp circuit it feeds, two conductors of 22 AWG. From memory.
const CABLE_KG_PER_M: f64 = 0.012;
/// A hanger shorter than this cannot be tied. Common practice.
const SHORTEST_HANGER_MM: f64 = 30.0;
/// Points of the rope for drawing.
const POINTS: u32 = 65;

/// A rope or line off the reel.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Line {
    pub(crate) part: String,
    /// Load at which a new, unknotted piece breaks.
    pub(crate) breaking_n: f64,
    pub(crate) kg_per_m: f64,
    /// How much longer it gets at a tenth of its breaking load, as a share.
    pub(crate) stretch: f64,
    pub(crate) source: String,
}

impl Line {
    /// Force that would stretch it to double its length; none for a line that does not stretch.
    fn stiffness_n(&self) -> Option<f64> {
        (self.stretch > 0.0).then(|| 0.1 * self.breaking_n / self.stretch)
    }
}

/// Sags that a cure may ask for, in percent of the width.
const SAGS: std::ops::RangeInclusive<u32> = 3..=20;

/// An end of the rope.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct End {
    pub(crate) post: String,
    /// Across, in the yard.
    pub(crate) x_mm: f64,
    /// The tie above the ground.
    pub(crate) tie_mm: Known<f64>,
}

/// What hangs: so many of one object.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Object {
    pub(crate) name: String,
    /// Width and height, upright.
    pub(crate) size_mm: [f64; 2],
    pub(crate) mass_kg: Known<f64>,
    pub(crate) hangers: u32,
    pub(crate) tilt_deg: Known<f64>,
    /// Its outline about its centre, upright, y up; an oval where none is drawn.
    pub(crate) outline_mm: Vec<Vec<[f64; 2]>>,
    pub(crate) strand: String,
    pub(crate) strand_v: f64,
    pub(crate) colour: String,
    pub(crate) lamps: u32,
    /// The spot of each, by position in the machine form.
    pub(crate) spots: Vec<usize>,
}

/// What the stage takes.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Input {
    pub(crate) span: String,
    pub(crate) ends: [End; 2],
    pub(crate) rope: Line,
    pub(crate) hanger: Line,
    /// Sag of the loaded rope as a share of its width.
    pub(crate) sag: Known<f64>,
    /// Whether the centres follow a parabola; else they hang level.
    pub(crate) parabola: bool,
    /// Heights of the centres in the middle and at the outermost.
    pub(crate) top_mm: Known<f64>,
    pub(crate) outer_mm: Known<f64>,
    pub(crate) object: Object,
    pub(crate) units: Units,
}

/// What the stage gives.
#[derive(Clone, Debug, Default, Serialize)]
pub(crate) struct Hanging {
    /// None where the rope cannot hang as asked.
    pub(crate) span: Option<Span>,
    /// Pull at the left and at the right post: newtons, degrees above the level, newton metres at the foot.
    pub(crate) pulls: Vec<Pull>,
    pub(crate) origins: Origins,
    pub(crate) findings: Vec<Finding>,
}

/// What the rope does to one post.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct Pull {
    pub(crate) post: String,
    pub(crate) tie_mm: f64,
    /// Along the yard, towards its right end.
    pub(crate) across_n: f64,
    /// Upwards: what it does not carry is below zero.
    pub(crate) up_n: f64,
}

pub(crate) fn work(input: &Input) -> Hanging {
    let (held, rope) = match settle(input) {
        Ok(settled) => settled,
        Err(why) => return Hanging { findings: vec![judge::no_shape(input, why)], ..Hanging::default() },
    };
    let span = assemble(input, &held, &rope);
    let pulls = pulls(input, &rope);
    let findings = judge::all(input, &span, &held, &pulls);
    Hanging { span: Some(span), pulls, origins: origins(input), findings }
}

fn millimetres(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

/// The objects on their hangers and the loaded rope, gone over until both agree.
fn settle(input: &Input) -> Result<(Vec<Held>, cable::Hung), NoShape> {
    let mut held = placed(input);
    let mut hung = cable::hang(&rope(input, &held, 1.0), given(input))?;
    for _ in 0..2 {
        for object in &mut held {
            for line in &mut object.lines {
                let rope = input.ends[0].tie_mm.value
                    + hung.height_at(millimetres(line.bottom_mm[0] - input.ends[0].x_mm)).get::<millimeter>();
                line.length_mm = reckoning::hang::hanger(millimetres(rope), millimetres(line.bottom_mm[1]))
                    .get::<millimeter>();
                line.top_mm = [line.bottom_mm[0], rope];
            }
        }
        hung = cable::hang(&rope(input, &held, 1.0), given(input))?;
    }
    Ok((held, hung))
}

fn width_mm(input: &Input) -> f64 {
    input.ends[1].x_mm - input.ends[0].x_mm
}

fn given(input: &Input) -> Given {
    Given::Sag(millimetres(input.sag.value * width_mm(input)))
}

/// Where every object's centre hangs, its hangers without lengths yet.
fn placed(input: &Input) -> Vec<Held> {
    let count = input.object.spots.len();
    (0..count).map(|index| object::held(input, index, centre(input, index))).collect()
}

/// The centre of an object: evenly spaced across with half a space at the ends of the rope, so that equal steps across are
/// equal steps in time for a thing thrown.
fn centre(input: &Input, index: usize) -> [f64; 2] {
    let count = counted(input.object.spots.len());
    let pitch = width_mm(input) / (count + 1.0);
    let x = input.ends[0].x_mm + pitch * (counted(index) + 1.0);
    if !input.parabola || input.object.spots.len() < 2 {
        return [x, input.top_mm.value];
    }
    let rise = millimetres(input.top_mm.value - input.outer_mm.value);
    let above =
        parabola_height(rise, millimetres(pitch * counted(index)), millimetres(pitch * (count - 1.0)));
    [x, input.outer_mm.value + above.get::<millimeter>()]
}

fn counted(count: usize) -> f64 {
    f64::from(u32::try_from(count).unwrap_or(u32::MAX))
}

/// The rope with its loads; `heavier` makes everything on it heavier by that factor.
fn rope(input: &Input, held: &[Held], heavier: f64) -> Rope {
    let loads = held.iter().flat_map(|object| {
        object.lines.iter().map(move |line| Load {
            at: millimetres(line.bottom_mm[0] - input.ends[0].x_mm),
            mass: Mass::new::<kilogram>(
                heavier
                    * (input.object.mass_kg.value * line.share
                        + input.hanger.kg_per_m * line.length_mm.max(0.0) / 1000.0),
            ),
        })
    });
    let cable = CABLE_KG_PER_M * counted(held.len());
    Rope {
        span: millimetres(width_mm(input)),
        rise: millimetres(input.ends[1].tie_mm.value - input.ends[0].tie_mm.value),
        mass: LinearMassDensity::new::<kilogram_per_meter>(heavier * (input.rope.kg_per_m + cable)),
        stiffness: input.rope.stiffness_n().map(Force::new::<newton>),
        loads: loads.collect(),
    }
}

fn pulls(input: &Input, rope: &cable::Hung) -> Vec<Pull> {
    let across = rope.pull.get::<newton>();
    let ends = input.ends.iter().zip([(across, rope.left_down), (-across, rope.right_down)]);
    ends.map(|(end, (across_n, down))| Pull {
        post: end.post.clone(),
        tie_mm: end.tie_mm.value,
        across_n,
        up_n: -down.get::<newton>(),
    })
    .collect()
}

fn assemble(input: &Input, held: &[Held], rope: &cable::Hung) -> Span {
    let left = &input.ends[0];
    let hung: Vec<Hung> = held
        .iter()
        .map(|object| {
            let hangers = object.lines.iter().map(|line| Hanger {
                label: line.label.clone(),
                along_mm: along_mm(rope, line.bottom_mm[0] - left.x_mm),
                top_mm: line.top_mm,
                bottom_mm: line.bottom_mm,
                length_mm: line.length_mm,
                cut_mm: line.length_mm + 2.0 * KNOT_MM,
            });
            let hangers: Vec<Hanger> = hangers.collect();
            object.hung(input, hangers)
        })
        .collect();
    let unstretched = rope.unstretched.get::<millimeter>();
    let lowest = hung.iter().map(Hung::lowest_mm).fold(f64::INFINITY, f64::min);
    let rope_lowest = left.tie_mm.value + rope.lowest.get::<millimeter>();
    Span {
        name: input.span.clone(),
        from: left.post.clone(),
        to: input.ends[1].post.clone(),
        rope: input.rope.part.clone(),
        rope_mm: unstretched,
        cut_mm: unstretched + 2.0 * TIE_MM,
        sag_mm: rope.sag.get::<millimeter>(),
        shape_mm: rope
            .line(POINTS)
            .iter()
            .map(|[x, y]| [left.x_mm + x.get::<millimeter>(), left.tie_mm.value + y.get::<millimeter>()])
            .collect(),
        tension_n: [rope.left.get::<newton>(), rope.right.get::<newton>()],
        working_load_n: working_load_n(&input.rope),
        headroom_mm: lowest.min(rope_lowest),
        hung,
    }
}

/// Where a hanger is tied along the unstretched rope: neighbours may overlap, so it is looked up by its place across.
fn along_mm(rope: &cable::Hung, across_mm: f64) -> f64 {
    let off = |held: &cable::Held| (held.at.get::<millimeter>() - across_mm).abs();
    let nearest = rope.held.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
    nearest.map_or(0.0, |held| held.along.get::<millimeter>())
}

/// What a knotted line may carry over people.
fn working_load_n(line: &Line) -> f64 {
    use reckoning::rope::{FACTOR_OVER_PEOPLE, KNOT_LEAVES, working_load};
    working_load(Force::new::<newton>(line.breaking_n), KNOT_LEAVES, FACTOR_OVER_PEOPLE).get::<newton>()
}

/// Where the values of the result came from.
fn origins(input: &Input) -> Origins {
    let mut origins = Origins::default();
    let loads = ["sag", "mass of each object", "mass of the rope", "stretch of the rope"];
    works_out(&mut origins, &["/rope_mm", "/cut_mm"], "loaded-rope-length", &loads);
    works_out(&mut origins, &["/tension_n", "/shape_mm"], "loaded-rope-tension", &loads);
    works_out(&mut origins, &["/working_load_n"], "working-load", &["breaking load", "knot", "factor"]);
    works_out(&mut origins, &["/headroom_mm"], "headroom", &["height of its middle", "reaches below"]);
    works_out(&mut origins, &["/hung"], "hanger-length", &["loaded rope", "wanted"]);
    origins.note("/sag_mm", input.sag.origin.clone());
    for index in 0..input.object.spots.len() {
        origins.note(format!("/hung/{index}/tilt_deg"), input.object.tilt_deg.origin.clone());
        origins.note(format!("/hung/{index}/mass_kg"), input.object.mass_kg.origin.clone());
        origins.note(format!("/hung/{index}/at_mm"), path_origin(input));
    }
    origins
}

fn path_origin(input: &Input) -> Origin {
    if input.parabola { worked("hanger-length", &["top", "ends"]) } else { input.top_mm.origin.clone() }
}

impl Hung {
    /// The lowest point of its outline, above the ground.
    fn lowest_mm(&self) -> f64 {
        let below = self.lines_mm.iter().flatten().chain(&self.lamps_mm).map(|point| point[1]);
        self.at_mm[1] + below.fold(0.0, f64::min)
    }
}
