//! One drawn element to a curve.

use geometry::{BezPath, Shape};
use kurbo::{Circle, Ellipse, Line, Point, RoundedRect};
use roxmltree::Node;
use std::str::FromStr;
use svgtypes::{Length, LengthUnit, NumberListParser, SimplePathSegment, SimplifyingPathParser};

/// Circles and rounded corners are turned into curves this exactly, as a share of their size.
const EXACT: f64 = 1e-5;

/// What is wrong with an element: the attribute, if it is one, and the words.
pub(crate) struct Wrong {
    pub(crate) code: &'static str,
    pub(crate) attribute: Option<&'static str>,
    pub(crate) message: String,
}

/// The elements that draw a line.
pub(crate) const DRAWN: [&str; 7] = ["path", "line", "polyline", "polygon", "circle", "ellipse", "rect"];

/// The curve of an element that is one of [`DRAWN`], in its own coordinates.
pub(crate) fn curve(node: Node<'_, '_>) -> Result<BezPath, Wrong> {
    match node.tag_name().name() {
        "path" => path(node.attribute("d").unwrap_or_default()),
        "line" => {
            let [x1, y1, x2, y2] = numbers(node, ["x1", "y1", "x2", "y2"])?;
            Ok(Line::new((x1, y1), (x2, y2)).to_path(EXACT))
        }
        "polyline" => points(node, false),
        "polygon" => points(node, true),
        "circle" => {
            let [x, y, r] = numbers(node, ["cx", "cy", "r"])?;
            let r = size(r, "r")?;
            Ok(Circle::new((x, y), r).to_path(r * EXACT))
        }
        "ellipse" => {
            let [x, y, rx, ry] = numbers(node, ["cx", "cy", "rx", "ry"])?;
            let (rx, ry) = (size(rx, "rx")?, size(ry, "ry")?);
            Ok(Ellipse::new((x, y), (rx, ry), 0.0).to_path(rx.min(ry) * EXACT))
        }
        _ => rectangle(node),
    }
}

fn rectangle(node: Node<'_, '_>) -> Result<BezPath, Wrong> {
    let [x, y, width, height] = numbers(node, ["x", "y", "width", "height"])?;
    let (width, height) = (size(width, "width")?, size(height, "height")?);
    let [rx, ry] = numbers(node, ["rx", "ry"])?;
    // A corner given in one direction only is round.
    let radius = match (node.has_attribute("rx"), node.has_attribute("ry")) {
        (true, false) => rx,
        (false, true) => ry,
        _ => rx.min(ry),
    };
    if radius > 0.0 {
        return Ok(RoundedRect::new(x, y, x + width, y + height, radius).to_path(radius * EXACT));
    }
    Ok(kurbo::Rect::new(x, y, x + width, y + height).to_path(EXACT))
}

/// A size above zero.
fn size(value: f64, attribute: &'static str) -> Result<f64, Wrong> {
    if value > 0.0 {
        return Ok(value);
    }
    let message = format!("`{attribute}` must be more than nothing");
    Err(Wrong { code: "drawing/no-size", attribute: Some(attribute), message })
}

/// The numbers of some attributes; one that is missing is 0.
pub(crate) fn numbers<const N: usize>(
    node: Node<'_, '_>,
    names: [&'static str; N],
) -> Result<[f64; N], Wrong> {
    let mut found = [0.0; N];
    for (number, name) in found.iter_mut().zip(names) {
        if let Some(value) = node.attribute(name) {
            *number = length(value.trim()).ok_or_else(|| Wrong {
                code: "drawing/bad-number",
                attribute: Some(name),
                message: format!("`{name}` is not a number that can be drawn: `{}`", shortened(value)),
            })?;
        }
    }
    Ok(found)
}

/// A length in the drawing's own units (96 to the inch, as CSS has it).
fn length(value: &str) -> Option<f64> {
    let length = Length::from_str(value).ok()?;
    let scale = match length.unit {
        LengthUnit::None | LengthUnit::Px => 1.0,
        LengthUnit::In => 96.0,
        LengthUnit::Cm => 96.0 / 2.54,
        LengthUnit::Mm => 96.0 / 25.4,
        LengthUnit::Pt => 96.0 / 72.0,
        LengthUnit::Pc => 16.0,
        _ => return None,
    };
    Some(length.number * scale).filter(|number| number.is_finite())
}

pub(crate) fn shortened(value: &str) -> String {
    let cut: String = value.chars().take(40).collect();
    if cut.len() < value.len() { format!("{cut}...") } else { cut }
}

fn points(node: Node<'_, '_>, closed: bool) -> Result<BezPath, Wrong> {
    let value = node.attribute("points").unwrap_or_default();
    let wrong = |message| Wrong { code: "drawing/bad-number", attribute: Some("points"), message };
    let numbers: Vec<f64> = NumberListParser::from(value)
        .collect::<Result<_, _>>()
        .map_err(|why| wrong(format!("`points` cannot be read: {why}")))?;
    if numbers.len() % 2 == 1 {
        return Err(wrong("`points` needs two numbers for every point".to_owned()));
    }
    let points = numbers.chunks_exact(2).map(|pair| Point::new(pair[0], pair[1]));
    let mut path = BezPath::new();
    for (index, point) in points.enumerate() {
        if index == 0 { path.move_to(point) } else { path.line_to(point) }
    }
    if closed && !numbers.is_empty() {
        path.close_path();
    }
    Ok(path)
}

fn path(data: &str) -> Result<BezPath, Wrong> {
    let mut path = BezPath::new();
    for piece in SimplifyingPathParser::from(data) {
        let piece = piece.map_err(|why| Wrong {
            code: "drawing/bad-path",
            attribute: Some("d"),
            message: format!("this path cannot be read: {why}"),
        })?;
        match piece {
            SimplePathSegment::MoveTo { x, y } => path.move_to((x, y)),
            SimplePathSegment::LineTo { x, y } => path.line_to((x, y)),
            SimplePathSegment::CurveTo { x1, y1, x2, y2, x, y } => path.curve_to((x1, y1), (x2, y2), (x, y)),
            SimplePathSegment::Quadratic { x1, y1, x, y } => path.quad_to((x1, y1), (x, y)),
            SimplePathSegment::ClosePath => path.close_path(),
        }
    }
    Ok(path)
}
