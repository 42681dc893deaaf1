//! What stands and hangs in the yard: posts, spans, stands, the season, what is made out from afar.

use super::Planner;
use crate::stage::{season, sight, span, stand};
use crate::{Origins, Panel, Place, Post, Season, Span, Stand};
use display::{Clock, Display, HangsAlong, Spot};
use finding::{Finding, Known, Origin};
use geometry::Shape;
use kurbo::{Affine, BezPath, Ellipse, PathEl};
use uom::si::angle::degree;
use uom::si::electric_potential::volt;
use uom::si::f64::{Length, Mass, MassDensity};
use uom::si::force::newton;
use uom::si::length::{meter, millimeter};
use uom::si::mass::kilogram;
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::ratio::ratio;
use uom::si::velocity::meter_per_second;

/// Density of a wood-based sheet. From memory: plywood 600, hardboard 900; the heavier asks for more.
const SHEET_KG_PER_M3: f64 = 900.0;

/// The line hangers are cut from, where the shelf has it.
pub(super) const HANGER: &str = "polyester-3mm";

/// How finely curves of outlines are told.
const FLAT_MM: f64 = 0.5;

/// What the yard comes to.
#[derive(Default)]
pub(super) struct Yard {
    pub(super) posts: Vec<Post>,
    pub(super) spans: Vec<Span>,
    pub(super) stands: Vec<Stand>,
    pub(super) season: Option<Season>,
    pub(super) findings: Vec<Finding>,
    /// Origins by their places in the plan.
    pub(super) origins: Origins,
}

/// Millimetres of a known length.
pub(super) fn mm(length: &Known<Length>) -> f64 {
    length.value.get::<millimeter>()
}

/// A known length as known millimetres.
fn known_mm(length: &Known<Length>) -> Known<f64> {
    Known::new(mm(length), length.origin.clone())
}

/// A place on the ground, lifted by so much.
pub(super) fn place(spot: &Spot, lifted_mm: f64) -> Place {
    Place { x_mm: mm(&spot.x), y_mm: lifted_mm, depth_mm: mm(&spot.depth) }
}

impl Planner {
    /// Spans first, since posts are told with what the ropes do to them.
    pub(super) fn yard(&mut self, display: &Display, panels: &[Panel]) -> Yard {
        let mut yard = Yard::default();
        let mut pulls = Vec::new();
        for asked in &display.spans {
            let Some(input) = span_input(display, asked) else { continue };
            let hanging = self.memory.stage("span", &asked.name, &input, span::work);
            yard.findings.extend(hanging.findings.iter().cloned());
            pulls.extend(hanging.pulls.iter().cloned());
            if let Some(span) = &hanging.span {
                yard.origins.adopt(&format!("/spans/{}", yard.spans.len()), &hanging.origins);
                yard.spans.push(span.clone());
            }
        }
        yard.posts = display.posts.iter().map(|post| told_post(post, &pulls)).collect();
        for panel in panels {
            self.stand(display, panel, &mut yard);
        }
        yard
    }

    fn stand(&mut self, display: &Display, panel: &Panel, yard: &mut Yard) {
        let Some(asked) = display.panels.iter().find(|asked| asked.name == panel.name) else { return };
        let Some(stands) = &asked.stands else { return };
        let input = stand::Input {
            panel: panel.name.clone(),
            size_mm: [panel.width_mm, panel.height_mm],
            lifted_mm: mm(&stands.lifted),
            sheet_kg: sheet_kg(panel),
            lamps: panel.strands.iter().map(|strand| strand.lamps).sum(),
            base_mm: known_mm(&stands.base),
            guys: stands.guys.clone(),
            gust_m_s: display
                .site
                .gust
                .as_ref()
                .map(|gust| Known::new(gust.value.get::<meter_per_second>(), gust.origin.clone())),
            units: display.units,
        };
        let standing = self.memory.stage("stand", &panel.name, &input, stand::work);
        yard.findings.extend(standing.findings.iter().cloned());
        if let Some(stand) = &standing.stand {
            yard.origins.adopt(&format!("/stands/{}", yard.stands.len()), &standing.origins);
            yard.stands.push(stand.clone());
        }
    }

    /// The nights, when a season is written.
    pub(super) fn season(&mut self, display: &Display, watts: f64, yard: &mut Yard) {
        let site = &display.site;
        let Some(asked) = &site.season else { return };
        let day = |date: &Known<display::Date>| {
            let value = (i32::from(date.value.year), u32::from(date.value.month), u32::from(date.value.day));
            Known::new(value, date.origin.clone())
        };
        let when = |clock: &Known<Clock>| {
            let value = match clock.value {
                Clock::Dusk => season::When::Dusk,
                Clock::At(minutes) => season::When::At(i64::from(minutes)),
            };
            Known::new(value, clock.origin.clone())
        };
        let input = season::Input {
            latitude: site.latitude.clone(),
            longitude: site.longitude.clone(),
            timezone: site.timezone.clone(),
            from: day(&asked.from),
            to: day(&asked.to),
            on: when(&asked.on),
            off: when(&asked.off),
            watts,
            units: display.units,
        };
        let running = self.memory.stage("season", "nights", &input, season::work);
        yard.findings.extend(running.findings.iter().cloned());
        yard.origins.adopt("/season", &running.origins);
        yard.season.clone_from(&running.season);
    }

    /// What the farthest viewer makes out of digits and poses.
    pub(super) fn sight(&mut self, display: &Display, panels: &[Panel], yard: &mut Yard) {
        // Twins show the same poses.
        let told: Vec<&Panel> = panels
            .iter()
            .enumerate()
            .filter(|(index, panel)| !panels[..*index].iter().any(|other| other.figure == panel.figure))
            .map(|(_, panel)| panel)
            .collect();
        let input = sight::Input {
            nearest_mm: mm(&display.nearest),
            farthest_mm: known_mm(&display.farthest),
            digits: display
                .digits
                .iter()
                .map(|digits| sight::Digits {
                    name: digits.name.clone(),
                    height_mm: known_mm(&digits.height),
                    lifted_mm: mm(&digits.lifted),
                })
                .collect(),
            figures: told.iter().filter_map(|panel| following(display, panel)).collect(),
            units: display.units,
        };
        let found = self.memory.stage("sight", "farthest", &input, sight::work);
        yard.findings.extend(found.iter().cloned());
    }
}

/// A panel's figure with the pairs of poses that follow each other in some machine of the rules.
fn following<'a>(display: &'a Display, panel: &'a Panel) -> Option<sight::Figure<'a>> {
    let form = &display.form;
    let figure = form.figures.iter().position(|figure| figure.name == panel.name)?;
    let shown = |machine: &rules::form::Machine, state: usize| {
        let shows = machine.states.get(state)?.pose.as_ref()?;
        (shows.figure == figure).then_some(shows.pose)
    };
    let mut pairs: Vec<[usize; 2]> = Vec::new();
    for machine in &form.machines {
        for (index, state) in machine.states.iter().enumerate() {
            let to = state.transitions.iter().filter_map(|transition| shown(machine, transition.go?));
            let from = shown(machine, index);
            pairs.extend(to.filter_map(|to| Some([from?.min(to), from?.max(to)])));
        }
    }
    pairs.sort_unstable();
    pairs.dedup();
    pairs.retain(|[a, b]| a != b && panel.poses.len() > *b);
    Some(sight::Figure {
        panel: &panel.name,
        bunches: panel.bunches.iter().map(|bunch| bunch.lines_mm.as_slice()).collect(),
        poses: panel.poses.iter().map(|pose| (pose.name.as_str(), pose.bunches.as_slice())).collect(),
        pairs,
    })
}

fn sheet_kg(panel: &Panel) -> Known<f64> {
    let length = Length::new::<millimeter>;
    let density = MassDensity::new::<kilogram_per_cubic_meter>(SHEET_KG_PER_M3);
    let (width, height) = (length(panel.width_mm), length(panel.height_mm));
    let mass: Mass = reckoning::panel::sheet_mass(width, height, length(panel.thickness_mm), density);
    let inputs = ["width", "height", "thickness", "density 900 kg/m3, from memory"].map(str::to_owned);
    Known::new(mass.get::<kilogram>(), Origin::Worked { formula: "sheet-mass", inputs: inputs.to_vec() })
}

fn line(rope: &parts::Rope) -> span::Line {
    span::Line {
        part: rope.name.clone(),
        breaking_n: rope.breaking.get::<newton>(),
        kg_per_m: rope.mass_per_metre.get::<kilogram>(),
        stretch: rope.stretch.get::<ratio>(),
        source: rope.source.clone(),
    }
}

fn span_input(display: &Display, asked: &display::Span) -> Option<span::Input> {
    let object = display.objects.get(asked.hangs.object)?;
    let end = |tie: &display::Tie| {
        let post = display.posts.get(tie.post)?;
        Some(span::End { post: post.name.clone(), x_mm: mm(&post.at.x), tie_mm: known_mm(&tie.height) })
    };
    let size_mm = [mm(&object.size[0]), mm(&object.size[1])];
    let count = usize::try_from(asked.hangs.count.value).ok()?;
    let spot = |index: usize| {
        let name = if count == 1 { object.name.clone() } else { format!("{}.{}", object.name, index + 1) };
        display.form.spots.iter().position(|spot| *spot == name).unwrap_or(0)
    };
    let strand = &object.strand.value;
    Some(span::Input {
        span: asked.name.clone(),
        ends: [end(&asked.from)?, end(&asked.to)?],
        rope: line(&asked.rope.value),
        hanger: line(display.shelf.ropes.get(HANGER).unwrap_or(&asked.rope.value)),
        sag: Known::new(asked.sag.value.get::<ratio>(), asked.sag.origin.clone()),
        parabola: asked.hangs.path.value == HangsAlong::Parabola,
        top_mm: known_mm(&asked.hangs.top),
        outer_mm: known_mm(&asked.hangs.ends),
        object: span::Object {
            name: object.name.clone(),
            size_mm,
            mass_kg: Known::new(object.mass.value.get::<kilogram>(), object.mass.origin.clone()),
            hangers: object.hangers.value,
            tilt_deg: Known::new(object.tilt.value.get::<degree>(), object.tilt.origin.clone()),
            outline_mm: outline(object, size_mm),
            strand: strand.name.clone(),
            strand_v: strand.voltage.get::<volt>(),
            colour: strand.colour.clone(),
            lamps: strand.lamps,
            spots: (0..count).map(spot).collect(),
        },
        units: display.units,
    })
}

/// The outline of an object about its middle, upright, y up, at its true size.
fn outline(object: &display::Object, [width, height]: [f64; 2]) -> Vec<Vec<[f64; 2]>> {
    let drawn: Vec<BezPath> = object
        .drawing
        .iter()
        .flat_map(|drawing| drawing.poses.iter().flat_map(|pose| pose.lines.iter().cloned()))
        .collect();
    let bounds = drawn.iter().map(Shape::bounding_box).reduce(|all, one| all.union(one));
    let lines = match bounds {
        Some(bounds) if bounds.width() > 0.0 && bounds.height() > 0.0 => {
            let place = Affine::scale_non_uniform(width / bounds.width(), -height / bounds.height())
                * Affine::translate(-bounds.center().to_vec2());
            drawn.into_iter().map(|line| place * line).collect()
        }
        _ => vec![Ellipse::new((0.0, 0.0), (width / 2.0, height / 2.0), 0.0).to_path(FLAT_MM)],
    };
    lines.iter().flat_map(flat).collect()
}

/// The pieces of a path as lines of points.
fn flat(path: &BezPath) -> Vec<Vec<[f64; 2]>> {
    let mut lines: Vec<Vec<[f64; 2]>> = Vec::new();
    kurbo::flatten(path, FLAT_MM, |element| match element {
        PathEl::MoveTo(point) => lines.push(vec![[point.x, point.y]]),
        PathEl::LineTo(point) => {
            if let Some(line) = lines.last_mut() {
                line.push([point.x, point.y]);
            }
        }
        PathEl::ClosePath => {
            if let Some(line) = lines.last_mut()
                && let Some(&first) = line.first()
            {
                line.push(first);
            }
        }
        PathEl::QuadTo(..) | PathEl::CurveTo(..) => {}
    });
    lines.retain(|line| line.len() > 1);
    lines
}

/// A post with everything that is tied to it.
fn told_post(post: &display::Post, pulls: &[span::Pull]) -> Post {
    let here = || pulls.iter().filter(|pull| pull.post == post.name);
    let across: f64 = here().map(|pull| pull.across_n).sum();
    let up: f64 = here().map(|pull| pull.up_n).sum();
    let moment: f64 = here().map(|pull| pull.across_n * pull.tie_mm / 1000.0).sum();
    let tie = here().map(|pull| pull.tie_mm).fold(0.0, f64::max);
    let height = post.height.value.get::<meter>() * 1000.0;
    Post {
        name: post.name.clone(),
        place: place(&post.at, 0.0),
        tie_mm: if tie > 0.0 { tie } else { height },
        pull_n: libm::hypot(across, up),
        pull_deg: libm::atan2(up, across.abs()).to_degrees(),
        moment_nm: moment.abs(),
    }
}
