//! A drawing on paper: lines and dots as one vector picture, words set by the typesetter over it.
//!
//! Everything is in millimetres of paper, y down. Words stay words, so that they can be searched and read aloud; the
//! rest is one picture, which the typesetter takes at once instead of shape by shape.

use serde_json::{Value, json};
use std::fmt::Write as _;

/// Dark ink.
pub(crate) const INK: &str = "#22293a";
/// What is there but not meant.
pub(crate) const FAINT: &str = "#9a937f";
/// Surfaces: a post, a person, a box.
pub(crate) const PALE: &str = "#ded8ca";

/// A line's width in millimetres, its colour and its dashes.
#[derive(Clone, Copy)]
pub(crate) struct Pen {
    mm: f64,
    ink: &'static str,
    dash: Option<&'static str>,
}

/// A plain line in dark ink.
pub(crate) const fn pen(mm: f64) -> Pen {
    Pen { mm, ink: INK, dash: None }
}

impl Pen {
    /// Its faint sister.
    pub(crate) const fn faint(self) -> Self {
        Self { ink: FAINT, ..self }
    }

    /// Its dashed sister.
    pub(crate) const fn dashed(self) -> Self {
        Self { dash: Some("2.2 1.6"), ..self }
    }
}

/// How a word stands at its point.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Stand {
    /// Its middle on the point.
    Middle,
    /// It begins at the point.
    Right,
    /// Its middle on the point, read from the right.
    Upright,
}

/// A word of a drawing.
pub(crate) struct Word {
    /// The point.
    pub(crate) at: [f64; 2],
    /// The words.
    pub(crate) text: String,
    /// Size of the type in points.
    pub(crate) pt: f64,
    /// How it stands.
    pub(crate) stand: Stand,
    /// Light on a filled disc.
    pub(crate) disc: bool,
    /// Heavy type.
    pub(crate) bold: bool,
    /// On a white ground, so that lines behind it break off.
    pub(crate) clear: bool,
}

impl Word {
    /// Words in the middle of their point, on white.
    pub(crate) fn new(at: [f64; 2], text: impl Into<String>, pt: f64) -> Self {
        Self { at, text: text.into(), pt, stand: Stand::Middle, disc: false, bold: false, clear: true }
    }

    /// Standing so.
    pub(crate) fn stand(self, stand: Stand) -> Self {
        Self { stand, ..self }
    }

    /// In heavy type.
    pub(crate) fn bold(self) -> Self {
        Self { bold: true, ..self }
    }

    /// On a filled disc.
    pub(crate) fn disc(self) -> Self {
        Self { disc: true, bold: true, clear: false, ..self }
    }

    /// With nothing behind it.
    pub(crate) fn bare(self) -> Self {
        Self { clear: false, ..self }
    }
}

/// A drawing under way.
pub(crate) struct Plate {
    size: [f64; 2],
    alt: String,
    body: String,
    words: Vec<Value>,
}

/// A number for the picture: a thousandth of a millimetre is finer than any printer.
fn number(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// The attributes of a pen.
fn stroke(pen: Pen) -> String {
    let dash = pen.dash.map_or_else(String::new, |dash| format!(" stroke-dasharray=\"{dash}\""));
    format!(
        "fill=\"none\" stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\"{dash}",
        pen.ink,
        number(pen.mm)
    )
}

impl Plate {
    /// An empty drawing; `alt` says what it shows to those who cannot see it.
    pub(crate) fn new(size: [f64; 2], alt: impl Into<String>) -> Self {
        Self { size, alt: alt.into(), body: String::new(), words: Vec::new() }
    }

    /// A line through points.
    pub(crate) fn line(&mut self, points: &[[f64; 2]], pen: Pen) {
        self.lines(std::iter::once(points), pen);
    }

    /// Several lines of one pen.
    pub(crate) fn lines<'a>(&mut self, lines: impl IntoIterator<Item = &'a [[f64; 2]]>, pen: Pen) {
        let mut way = String::new();
        for line in lines {
            for (k, [x, y]) in line.iter().enumerate() {
                let _ = write!(way, "{}{} {}", if k == 0 { 'M' } else { 'L' }, number(*x), number(*y));
            }
        }
        if !way.is_empty() {
            let _ = write!(self.body, "<path d=\"{way}\" {}/>", stroke(pen));
        }
    }

    /// A filled shape without an edge.
    pub(crate) fn fill(&mut self, points: &[[f64; 2]], ink: &str) {
        let corners: Vec<String> =
            points.iter().map(|[x, y]| format!("{},{}", number(*x), number(*y))).collect();
        let _ = write!(self.body, "<polygon points=\"{}\" fill=\"{ink}\"/>", corners.join(" "));
    }

    /// A rectangle from its upper left corner.
    pub(crate) fn rectangle(&mut self, at: [f64; 2], size: [f64; 2], pen: Pen) {
        let [x, y] = at;
        let [right, low] = [x + size[0], y + size[1]];
        self.line(&[[x, y], [right, y], [right, low], [x, low], [x, y]], pen);
    }

    /// Rings or dots of one size.
    pub(crate) fn rounds(&mut self, centres: &[[f64; 2]], radius: f64, fill: &str, edge: Option<Pen>) {
        if centres.is_empty() {
            return;
        }
        let Some(pen) = edge else { return self.dots(centres, radius, fill) };
        let edge = format!(" stroke=\"{}\" stroke-width=\"{}\"", pen.ink, number(pen.mm));
        let _ = write!(self.body, "<g fill=\"{fill}\"{edge}>");
        for [x, y] in centres {
            let _ = write!(
                self.body,
                "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"/>",
                number(*x),
                number(*y),
                number(radius)
            );
        }
        self.body.push_str("</g>");
    }

    /// Filled dots, as one line of next to no length each with round ends: a drawing of a thousand stays small.
    fn dots(&mut self, centres: &[[f64; 2]], radius: f64, ink: &str) {
        let mut way = String::new();
        for [x, y] in centres {
            let _ = write!(way, "M{} {}h0.005", number(*x), number(*y));
        }
        let width = number(2.0 * radius);
        let _ = write!(
            self.body,
            "<path d=\"{way}\" fill=\"none\" stroke=\"{ink}\" stroke-width=\"{width}\" stroke-linecap=\"round\"/>"
        );
    }

    /// A word.
    pub(crate) fn word(&mut self, word: Word) {
        let stand = match word.stand {
            Stand::Middle => "middle",
            Stand::Right => "right",
            Stand::Upright => "upright",
        };
        self.words.push(json!({
            "at": word.at, "text": Value::String(word.text), "pt": word.pt, "stand": stand,
            "disc": word.disc, "bold": word.bold, "clear": word.clear,
        }));
    }

    /// A dimension across, its measure in a gap of the line or, where that is too short, along it.
    pub(crate) fn across(&mut self, y: f64, [from, to]: [f64; 2], measure: &str, pt: f64) {
        self.line(&[[from, y], [to, y]], pen(0.2));
        for x in [from, to] {
            self.line(&[[x, y - 2.0], [x, y + 2.0]], pen(0.2));
            self.line(&[[x - 1.0, y + 1.0], [x + 1.0, y - 1.0]], pen(0.35));
        }
        let wide = width_mm(measure, pt);
        let word = if (to - from).abs() > wide + 3.0 {
            Word::new([(from + to) / 2.0, y], measure, pt)
        } else {
            Word::new([(from + to) / 2.0, y + 0.9 + 0.2 * pt], measure, pt).bare()
        };
        self.word(word);
    }

    /// A dimension upright.
    pub(crate) fn upright(&mut self, x: f64, [from, to]: [f64; 2], measure: &str, pt: f64) {
        self.line(&[[x, from], [x, to]], pen(0.2));
        for y in [from, to] {
            self.line(&[[x - 2.0, y], [x + 2.0, y]], pen(0.2));
            self.line(&[[x - 1.0, y + 1.0], [x + 1.0, y - 1.0]], pen(0.35));
        }
        let wide = width_mm(measure, pt);
        let middle = (from + to) / 2.0;
        let word = if (to - from).abs() > wide + 3.0 {
            Word::new([x, middle], measure, pt).stand(Stand::Upright)
        } else {
            Word::new([x + 0.9 + 0.2 * pt, middle], measure, pt).stand(Stand::Upright).bare()
        };
        self.word(word);
    }

    /// The drawing for the typesetter.
    pub(crate) fn done(self) -> Value {
        let [width, height] = self.size.map(|side| side.max(1.0));
        let picture = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\">{}</svg>",
            self.body,
            w = number(width),
            h = number(height),
        );
        json!({ "size": [width, height], "alt": self.alt, "picture": picture, "words": self.words })
    }
}

/// About as wide as this will be set.
pub(crate) fn width_mm(text: &str, pt: f64) -> f64 {
    let letters = u32::try_from(text.chars().count()).unwrap_or(0);
    f64::from(letters) * 0.56 * pt * crate::drawing::POINT_MM
}
