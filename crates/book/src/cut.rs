//! Cutting files, 1:1 in millimetres, seen from the FRONT: SVG and DXF R12.

use crate::BookFault;
use dxf::entities::{Circle, Entity, EntityType, Line, Text};
use dxf::enums::AcadVersion;
use dxf::{Drawing, Point};
use plan::Panel;
use svg::node::element;

/// Height of the numbers.
const NUMBER_MM: f64 = 5.0;

/// How far a number stands off its hole.
const OFF_MM: f64 = 1.0;

/// The panel as SVG: one user unit is one millimetre, y down as SVG has it.
pub(crate) fn svg(panel: &Panel) -> Vec<u8> {
    let (width, height) = (number(panel.width_mm), number(panel.height_mm));
    let mut outline = group("outline");
    outline = outline.add(
        element::Rectangle::new()
            .set("x", "0")
            .set("y", "0")
            .set("width", width.clone())
            .set("height", height.clone()),
    );
    let mut holes = group("holes");
    let mut numbers = element::Group::new()
        .set("id", "numbers")
        .set("font-family", "sans-serif")
        .set("font-size", number(NUMBER_MM));
    for hole in &panel.holes {
        let (x, y) = (hole.x_mm, panel.height_mm - hole.y_mm);
        holes = holes.add(
            element::Circle::new()
                .set("cx", number(x))
                .set("cy", number(y))
                .set("r", number(panel.hole_mm / 2.0)),
        );
        let [right, up] = beside(panel.hole_mm);
        numbers = numbers.add(
            element::Text::new(hole.number.to_string()).set("x", number(x + right)).set("y", number(y - up)),
        );
    }
    let document = svg::Document::new()
        .set("width", format!("{width}mm"))
        .set("height", format!("{height}mm"))
        .set("viewBox", format!("0 0 {width} {height}"))
        .add(element::Title::new(format!("{}, from the FRONT", panel.name)))
        .add(outline)
        .add(holes)
        .add(numbers);
    format!("{document}\n").into_bytes()
}

/// A group drawn in hairlines.
fn group(id: &str) -> element::Group {
    element::Group::new().set("id", id).set("fill", "none").set("stroke", "#000").set("stroke-width", "0.2")
}

/// Where a number starts: right and up of the hole's centre.
fn beside(hole_mm: f64) -> [f64; 2] {
    let off = hole_mm / 2.0 * std::f64::consts::FRAC_1_SQRT_2 + OFF_MM;
    [off, off]
}

/// A number with four decimals at most.
fn number(value: f64) -> String {
    let text = format!("{value:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// The panel as DXF R12: lines, circles and texts only, y up, millimetres (R12 carries no unit).
pub(crate) fn dxf(panel: &Panel) -> Result<Vec<u8>, BookFault> {
    let mut drawing = Drawing::new();
    drawing.header.version = AcadVersion::R12;
    let (width, height) = (panel.width_mm, panel.height_mm);
    let corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)];
    for (k, from) in corners.iter().enumerate() {
        let to = corners[(k + 1) % 4];
        let line = Line::new(Point::new(from.0, from.1, 0.0), Point::new(to.0, to.1, 0.0));
        add(&mut drawing, "OUTLINE", EntityType::Line(line));
    }
    for hole in &panel.holes {
        let centre = Point::new(hole.x_mm, hole.y_mm, 0.0);
        add(&mut drawing, "HOLES", EntityType::Circle(Circle::new(centre, panel.hole_mm / 2.0)));
        let [right, up] = beside(panel.hole_mm);
        let text = Text {
            location: Point::new(hole.x_mm + right, hole.y_mm + up, 0.0),
            text_height: NUMBER_MM,
            value: hole.number.to_string(),
            ..Text::default()
        };
        add(&mut drawing, "NUMBERS", EntityType::Text(text));
    }
    let mut bytes = Vec::new();
    drawing.save(&mut bytes).map_err(|fault| BookFault::Cutting(fault.to_string()))?;
    sections_of_r12(&bytes)
}

/// Adds something on a layer.
fn add(drawing: &mut Drawing, layer: &str, what: EntityType) {
    let mut entity = Entity::new(what);
    entity.common.layer = layer.to_owned();
    drawing.add_entity(entity);
}

/// What R12 needs of the file: `$ACADVER` and the entities. The writer's header carries the time of day, which would
/// make every run's bytes different, and its tables carry marks that came with R13 and stop strict readers. R12 needs no
/// section but ENTITIES (ezdxf documentation, "DXF file structure"); a layer named there exists.
fn sections_of_r12(bytes: &[u8]) -> Result<Vec<u8>, BookFault> {
    let text = std::str::from_utf8(bytes).map_err(|fault| BookFault::Cutting(fault.to_string()))?;
    let lines: Vec<&str> = text.lines().collect();
    let mut kept = String::with_capacity(text.len());
    kept.push_str("  0\r\nSECTION\r\n  2\r\nHEADER\r\n  9\r\n$ACADVER\r\n  1\r\nAC1009\r\n  0\r\nENDSEC\r\n");
    kept.push_str("  0\r\nSECTION\r\n");
    let mut inside = false;
    for pair in lines.chunks(2) {
        let [code, value] = pair else {
            return Err(BookFault::Cutting("a group code without its value".to_owned()));
        };
        let (trimmed, end) = (code.trim(), value.trim() == "ENDSEC");
        inside = inside || (trimmed == "2" && value.trim() == "ENTITIES");
        if inside {
            for line in [code, value] {
                kept.push_str(line);
                kept.push_str("\r\n");
            }
        }
        inside = inside && !(trimmed == "0" && end);
    }
    kept.push_str("  0\r\nEOF\r\n");
    Ok(kept.into_bytes())
}
