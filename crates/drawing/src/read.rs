//! Walks a drawing and gathers the curves of every named group, with every fault it has.

use crate::guard::{byte_at, too_deep};
use crate::shape::{DRAWN, Wrong, curve, numbers, shortened};
use crate::{Drawing, PoseDrawing};
use finding::Fault;
use geometry::{Affine, Shape};
use roxmltree::{Document, Error, Node, ParsingOptions};
use source::{Place, Text};
use std::collections::BTreeMap;
use std::str::FromStr;

const MOST_ELEMENTS: usize = 10_000;
const MOST_CURVE_POINTS: usize = 200_000;
const MOST_FAULTS: usize = 100;
const FARTHEST: f64 = 1e6;
const DEEPEST_USE: usize = 16;
const SVG: &str = "http://www.w3.org/2000/svg";
/// Elements that draw nothing by themselves.
const SILENT: [&str; 8] = ["defs", "title", "desc", "metadata", "style", "script", "symbol", "clipPath"];

/// Reads a drawing: every group with an id directly under the root is a pose. All faults are found, not only the first.
///
/// ```
/// let text = source::Text::new("fox.svg", r#"<svg xmlns="http://www.w3.org/2000/svg"><g id="left"><path d="M0 0H9"/></g></svg>"#);
/// let (drawing, faults) = drawing::read_svg(&text);
/// assert!(faults.is_empty());
/// assert_eq!(drawing.poses[0].name, "left");
/// ```
pub fn read_svg(text: &Text) -> (Drawing, Vec<Fault>) {
    if let Some(at) = too_deep(text.content()) {
        let place = Place::new(text.name(), at, at + 1);
        let fault = Fault::new("drawing/too-deep", Some(place), "groups are nested more than 64 deep");
        return (Drawing::default(), vec![fault.hint("ungroup, or flatten the drawing")]);
    }
    let nodes_limit = u32::try_from(MOST_ELEMENTS * 8).unwrap_or(u32::MAX);
    let options = ParsingOptions { allow_dtd: false, nodes_limit, ..ParsingOptions::default() };
    match Document::parse_with_options(text.content(), options) {
        Ok(document) => Reader::new(text, &document).read(document.root_element()),
        Err(error) => (Drawing::default(), vec![not_xml(text, &error)]),
    }
}

fn not_xml(text: &Text, error: &Error) -> Fault {
    let content = text.content();
    let whole =
        |at: usize, length: usize| Some(Place::new(text.name(), at, (at + length).min(content.len())));
    match error {
        Error::DtdDetected => {
            let at = content.find("<!DOCTYPE").unwrap_or(0);
            Fault::new("drawing/doctype", whole(at, 9), "a drawing may not define its own entities")
                .hint("delete the DOCTYPE, or save as plain SVG")
        }
        Error::NodesLimitReached => too_many(whole(0, 0)),
        _ => {
            let at = byte_at(text, error.pos().row, error.pos().col);
            Fault::new("drawing/not-xml", whole(at, 0), format!("this is not an SVG drawing: {error}"))
        }
    }
}

fn too_many(place: Option<Place>) -> Fault {
    Fault::new("drawing/too-many-elements", place, "the drawing has more than 10000 elements")
        .hint("trace with fewer, longer lines")
}

/// Where in the walk an element stands.
#[derive(Clone, Copy)]
struct Here {
    transform: Affine,
    uses: usize,
}

struct Reader<'t, 'd> {
    text: &'t Text,
    by_id: BTreeMap<&'d str, Node<'d, 'd>>,
    faults: Vec<Fault>,
    elements: usize,
    points: usize,
    /// A limit was reached: nothing more is read.
    stopped: bool,
    /// The elements being used, outermost first.
    using: Vec<roxmltree::NodeId>,
}

impl<'t, 'd> Reader<'t, 'd> {
    fn new(text: &'t Text, document: &'d Document<'d>) -> Self {
        let mut reader = Self {
            text,
            by_id: BTreeMap::new(),
            faults: Vec::new(),
            elements: 0,
            points: 0,
            stopped: false,
            using: Vec::new(),
        };
        for node in document.descendants().filter(|node| is_svg(*node)) {
            if let Some(id) = node.attribute("id") {
                if reader.by_id.contains_key(id) {
                    let place = reader.value_place(node, "id");
                    let message = format!("the id `{}` is given twice", shortened(id));
                    reader.fault(Fault::new("drawing/duplicate-id", place, message));
                } else {
                    reader.by_id.insert(id, node);
                }
            }
        }
        reader
    }

    fn read(mut self, root: Node<'d, 'd>) -> (Drawing, Vec<Fault>) {
        let mut drawing = Drawing::default();
        if root.tag_name().name() != "svg" || !is_svg(root) {
            let place = self.tag_place(root);
            self.fault(
                Fault::new("drawing/not-svg", place, "this is XML, but not an SVG drawing").expected("<svg>"),
            );
            return (drawing, self.faults);
        }
        let mut groups = 0;
        for child in root.children().filter(|child| is_svg(*child) && !is_hidden(*child)) {
            match child.tag_name().name() {
                "g" => {
                    groups += 1;
                    drawing.poses.extend(self.pose(child));
                }
                name if SILENT.contains(&name) => {}
                name => {
                    let message =
                        format!("<{}> stands outside the groups and belongs to no pose", shortened(name));
                    let fault = Fault::new("drawing/outside-groups", self.tag_place(child), message);
                    self.fault(fault.hint("move it into the group of its pose"));
                }
            }
        }
        if groups == 0 {
            let fault = Fault::new("drawing/no-groups", self.tag_place(root), "the drawing has no groups");
            self.fault(fault.expected("one group per pose, such as <g id=\"left\">"));
        }
        (drawing, self.faults)
    }

    fn pose(&mut self, group: Node<'d, 'd>) -> Option<PoseDrawing> {
        let Some(name) = group.attribute("id") else {
            let fault = Fault::new("drawing/group-without-id", self.tag_place(group), "this group has no id");
            self.fault(fault.hint("name it after its pose: <g id=\"left\">"));
            return None;
        };
        if !is_name(name) {
            let message = format!("`{}` cannot be the name of a pose", shortened(name));
            let better: String =
                name.trim().chars().map(|c| if is_name_character(c) { c } else { '-' }).collect();
            let fault = Fault::new("drawing/bad-name", self.value_place(group, "id"), message);
            self.fault(
                fault.expected("letters, digits, - and _").hint(format!("write `{}`", shortened(&better))),
            );
            return None;
        }
        let mut pose = PoseDrawing { name: name.to_owned(), lines: Vec::new() };
        let before = self.faults.len();
        self.element(group, Here { transform: Affine::IDENTITY, uses: 0 }, &mut pose);
        self.check_size(group, &pose, before);
        Some(pose)
    }

    fn check_size(&mut self, group: Node<'d, 'd>, pose: &PoseDrawing, before: usize) {
        let name = &pose.name;
        if pose.lines.is_empty() {
            // What could not be read has been told already.
            if self.faults.len() == before && !self.stopped {
                let message = format!("the pose `{name}` has no lines");
                self.fault(Fault::new("drawing/empty-pose", self.tag_place(group), message));
            }
            return;
        }
        let boxes = pose.lines.iter().map(Shape::bounding_box);
        let whole = boxes.reduce(|a, b| a.union(b)).unwrap_or_default();
        if whole.width().max(whole.height()) <= 0.0 {
            let message = format!("the pose `{name}` is a single point");
            self.fault(Fault::new("drawing/no-size", self.tag_place(group), message));
        }
    }

    /// Reads one element and what is in it. The depth of the text was limited before, that of `use` is limited here.
    fn element(&mut self, node: Node<'d, 'd>, here: Here, pose: &mut PoseDrawing) {
        if self.stopped || !is_svg(node) || is_hidden(node) {
            return;
        }
        self.elements += 1;
        if self.elements > MOST_ELEMENTS {
            self.stopped = true;
            return self.faults.push(too_many(self.tag_place(node)));
        }
        let Some(here) = self.moved(node, here) else { return };
        match node.tag_name().name() {
            "g" | "a" | "switch" => node.children().for_each(|child| self.element(child, here, pose)),
            "use" => self.used(node, here, pose),
            name if DRAWN.contains(&name) => self.drawn(node, here, pose),
            name if SILENT.contains(&name) => {}
            name => {
                let message = format!("<{}> is not a line", shortened(name));
                let fault = Fault::new("drawing/not-a-line", self.tag_place(node), message);
                self.fault(fault.hint("convert to a path"));
            }
        }
    }

    fn moved(&mut self, node: Node<'d, 'd>, here: Here) -> Option<Here> {
        let Some(value) = node.attribute("transform") else { return Some(here) };
        if let Ok(t) = svgtypes::Transform::from_str(value) {
            let own = Affine::new([t.a, t.b, t.c, t.d, t.e, t.f]);
            return Some(Here { transform: here.transform * own, ..here });
        }
        let message = format!("this transform cannot be read: `{}`", shortened(value));
        self.fault(Fault::new("drawing/bad-transform", self.value_place(node, "transform"), message));
        None
    }

    fn used(&mut self, node: Node<'d, 'd>, here: Here, pose: &mut PoseDrawing) {
        let attribute = node.attributes().find(|attribute| attribute.name() == "href");
        let place = attribute.map(|attribute| self.place(attribute.range_value()));
        let place = place.or_else(|| self.tag_place(node));
        let value = attribute.map(|attribute| attribute.value()).unwrap_or_default();
        let Some(id) = value.strip_prefix('#') else {
            let message = format!("`{}` leads out of this file", shortened(value));
            return self.fault(
                Fault::new("drawing/external", place, message).expected("#id of an element in this file"),
            );
        };
        let Some(&target) = self.by_id.get(id) else {
            let hint = finding::suggestion(id, self.by_id.keys().copied());
            let message = format!("there is no element with the id `{}`", shortened(id));
            return self.fault(Fault::new("drawing/unknown-id", place, message).maybe_hint(hint));
        };
        if self.using.contains(&target.id()) || node.ancestors().any(|above| above == target) {
            return self.fault(Fault::new("drawing/use-cycle", place, format!("`{id}` uses itself")));
        }
        if here.uses >= DEEPEST_USE {
            return self.fault(Fault::new(
                "drawing/too-deep",
                place,
                "elements use each other more than 16 deep",
            ));
        }
        match numbers(node, ["x", "y"]) {
            Ok([x, y]) => {
                let transform = here.transform * Affine::translate((x, y));
                self.using.push(target.id());
                self.element(target, Here { transform, uses: here.uses + 1 }, pose);
                self.using.pop();
            }
            Err(wrong) => self.wrong(node, wrong),
        }
    }

    fn drawn(&mut self, node: Node<'d, 'd>, here: Here, pose: &mut PoseDrawing) {
        let mut path = match curve(node) {
            Ok(path) => path,
            Err(wrong) => return self.wrong(node, wrong),
        };
        self.points += path.elements().len();
        if self.points > MOST_CURVE_POINTS {
            self.stopped = true;
            let fault = Fault::new(
                "drawing/too-many-points",
                self.tag_place(node),
                "the lines have more than 200000 points",
            );
            return self.faults.push(fault.hint("simplify the paths"));
        }
        path.apply_affine(here.transform);
        // Control points bound the curve; a box is not asked, since one NaN would be lost in it.
        let points = path.elements().iter().flat_map(|piece| corners(*piece));
        if points
            .flat_map(|point| [point.x, point.y])
            .any(|value| !value.is_finite() || value.abs() > FARTHEST)
        {
            let message = "this line leads farther than a million units from the origin";
            return self.fault(Fault::new("drawing/too-far", self.tag_place(node), message));
        }
        if path.segments().next().is_some() {
            pose.lines.push(path);
        }
    }

    fn wrong(&mut self, node: Node<'d, 'd>, wrong: Wrong) {
        let place = wrong.attribute.and_then(|name| self.value_place(node, name));
        let place = place.or_else(|| self.tag_place(node));
        self.fault(Fault::new(wrong.code, place, wrong.message));
    }

    fn fault(&mut self, fault: Fault) {
        if self.faults.len() < MOST_FAULTS && !self.faults.contains(&fault) {
            self.faults.push(fault);
        }
    }

    fn place(&self, range: std::ops::Range<usize>) -> Place {
        Place::new(self.text.name(), range.start, range.end)
    }

    /// The value of an attribute, when it has it.
    fn value_place(&self, node: Node<'d, 'd>, name: &str) -> Option<Place> {
        node.attribute_node(name).map(|attribute| self.place(attribute.range_value()))
    }

    /// The start of an element: `<` and its name.
    fn tag_place(&self, node: Node<'d, 'd>) -> Option<Place> {
        let range = node.range();
        let tag = self.text.content().get(range.clone()).unwrap_or_default();
        let end = tag.find(|c: char| c.is_whitespace() || c == '>' || c == '/').unwrap_or(tag.len());
        Some(self.place(range.start..range.start + end))
    }
}

fn corners(piece: kurbo::PathEl) -> Vec<geometry::Point> {
    match piece {
        kurbo::PathEl::MoveTo(a) | kurbo::PathEl::LineTo(a) => vec![a],
        kurbo::PathEl::QuadTo(a, b) => vec![a, b],
        kurbo::PathEl::CurveTo(a, b, c) => vec![a, b, c],
        kurbo::PathEl::ClosePath => Vec::new(),
    }
}

fn is_svg(node: Node<'_, '_>) -> bool {
    node.is_element() && node.tag_name().namespace().is_none_or(|namespace| namespace == SVG)
}

/// Whether it is switched off, by attribute or in its style.
fn is_hidden(node: Node<'_, '_>) -> bool {
    let in_style = |style: &str| {
        let mut parts = style.split(';').filter_map(|part| part.split_once(':'));
        parts.any(|(key, value)| key.trim() == "display" && value.trim() == "none")
    };
    node.attribute("display") == Some("none") || node.attribute("style").is_some_and(in_style)
}

fn is_name_character(c: char) -> bool {
    c.is_alphanumeric() || c == '-' || c == '_'
}

fn is_name(name: &str) -> bool {
    name.starts_with(char::is_alphabetic) && name.chars().all(is_name_character)
}
