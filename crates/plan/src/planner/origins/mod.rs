//! Where every value of the plan came from. Stages tell it of what they work out; here the rest is told: what was written,
//! what stands in the catalogue, what follows from an order.

mod electric;
mod yard;

use crate::{Origins, Panel, Plan};
use display::Display;
use finding::{Known, Origin};
use source::KeyPath;

/// The order in which channels, boards and cables are given out.
const ORDER: &str = "given out in the order of the description: panels, spans, buttons, digits";
/// Things that are counted from where they stand.
const COUNTED: &str = "counted in the plan";

/// Notes the origins of one entity's fields.
pub(super) struct At<'a> {
    origins: &'a mut Origins,
    place: String,
}

impl At<'_> {
    /// These fields came from there.
    fn are(&mut self, fields: &[&str], origin: &Origin) {
        for field in fields {
            self.origins.note(format!("{}/{field}", self.place), origin.clone());
        }
    }

    fn order(&mut self, fields: &[&str]) {
        self.are(fields, &Origin::Default(ORDER));
    }

    fn counted(&mut self, fields: &[&str]) {
        self.are(fields, &Origin::Default(COUNTED));
    }

    fn default(&mut self, fields: &[&str], rule: &'static str) {
        self.are(fields, &Origin::Default(rule));
    }

    fn worked(&mut self, fields: &[&str], formula: &'static str, inputs: &[&str]) {
        let inputs = inputs.iter().map(|input| (*input).to_owned()).collect();
        self.are(fields, &Origin::Worked { formula, inputs });
    }

    fn part(&mut self, field: &str, part: &str, of: &'static str) {
        self.are(&[field], &Origin::Catalogue { part: part.to_owned(), field: of });
    }

    fn known<T>(&mut self, field: &str, value: &Known<T>) {
        self.are(&[field], &value.origin);
    }
}

/// An entity at a place of the plan.
fn at<'a>(origins: &'a mut Origins, place: String) -> At<'a> {
    At { origins, place }
}

/// A value that the builder wrote under this key.
fn written(key: &str) -> Origin {
    Origin::Written { file: display::DESCRIPTION.to_owned(), path: KeyPath::dotted(key) }
}

/// The origins of a plan; those that stages told are there already.
pub(super) fn note(plan: &Plan, display: &Display, origins: &mut Origins) {
    let mut root = at(origins, String::new());
    root.default(&["version"], "grows when the shape of the plan changes");
    root.are(&["title"], &written("title"));
    root.are(&["units"], &display.units_origin);
    root.known("nearest_mm", &display.nearest);
    root.known("farthest_mm", &display.farthest);
    for (index, panel) in plan.panels.iter().enumerate() {
        self::panel(display, panel, at(origins, format!("/panels/{index}")));
        strands(display, panel, index, origins);
    }
    yard::note(plan, display, origins);
    electric::note(plan, display, origins);
}

fn panel(display: &Display, panel: &Panel, mut at: At<'_>) {
    let Some(asked) = display.panels.iter().find(|asked| asked.name == panel.name) else { return };
    let figure = &display.figures[asked.figure];
    at.are(&["figure", "poses", "bunches"], &written(&format!("figure.{}.drawing", figure.name)));
    at.known("mirrored", &asked.mirrored);
    at.known("height_mm", &figure.height);
    at.known("width_mm", &figure.height);
    match &figure.sheet {
        Some(sheet) => {
            at.known("sheet", sheet);
            at.part("thickness_mm", &sheet.value.name, "thickness");
            at.part("pieces", &sheet.value.name, "width");
        }
        None => at.default(&["sheet", "thickness_mm", "pieces"], "not known yet"),
    }
    let widest = figure.strands.iter().max_by(|a, b| a.value.hole.value.total_cmp(&b.value.hole.value));
    match widest {
        Some(strand) => at.part("hole_mm", &strand.value.name, "hole"),
        None => at.default(&["hole_mm"], "not known yet"),
    }
    at.worked(&["holes"], "row-length", &["lines of the drawing", "lamps of the strands"]);
    match &asked.stands {
        Some(stands) => {
            at.known("place/x_mm", &stands.at.x);
            at.known("place/y_mm", &stands.lifted);
            at.known("place/depth_mm", &stands.at.depth);
        }
        None => at.default(&["place"], "beside the panel before it, until it says where it stands"),
    }
    for index in 0..panel.bunches.len() {
        let own = format!("bunches/{index}");
        at.known(&format!("{own}/length_mm"), &figure.height);
        at.worked(&[&format!("{own}/spacing_mm")], "row-length", &["length of its lines", "holes"]);
        at.order(&[&format!("{own}/channel")]);
    }
}

fn strands(display: &Display, panel: &Panel, index: usize, origins: &mut Origins) {
    let figure = display.figures.iter().find(|figure| figure.name == panel.figure);
    for (run, strand) in panel.strands.iter().enumerate() {
        let mut at = at(origins, format!("/panels/{index}/strands/{run}"));
        let listed =
            figure.and_then(|figure| figure.strands.iter().find(|listed| listed.value.name == strand.part));
        if let Some(listed) = listed {
            at.known("part", listed);
        }
        at.part("lamps", &strand.part, "lamps");
        at.part("colour", &strand.part, "colour");
        at.worked(&["reach_mm"], "usable-lead", &["wire"]);
        at.worked(&["hops", "spare", "longest_hop_mm"], "parked-lamps", &["hop", "usable lead"]);
        at.order(&["bunch", "first_hole", "last_hole"]);
    }
}
