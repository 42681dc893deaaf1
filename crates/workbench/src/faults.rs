//! A fault as the page shows it: with the line it stands on.

use finding::Fault;
use serde_json::{Value, json};
use source::{Place, Text};

/// A fault with its line, so that the page can underline the words: the fault's own fields and `at` with `file`, `line`,
/// `column`, and the line's text `before`, `marked` and `after` the place. `at` is null when the place is in no text.
pub fn fault_json(fault: &Fault, texts: &[Text]) -> Value {
    let text = fault
        .place
        .as_ref()
        .and_then(|place| texts.iter().find(|text| text.name() == place.file).zip(Some(place)));
    json!({
        "code": fault.code,
        "severity": fault.severity,
        "message": fault.message,
        "expected": fault.expected,
        "hints": fault.hints,
        "file": fault.place.as_ref().map(|place| &place.file),
        "at": text.map(|(text, place)| line_of(text, place)),
    })
}

/// So many bytes of a line are shown before, at and after the place: a line of a megabyte helps nobody.
const MOST_SHOWN: usize = 400;

/// The first line of a place, cut into before, marked and after.
fn line_of(text: &Text, place: &Place) -> Value {
    let content = text.content();
    let start = floor(content, place.start);
    let end = floor(content, place.end).max(start);
    let from = content[..start].rfind('\n').map_or(0, |at| at + 1);
    let to = content[start..].find('\n').map_or(content.len(), |at| start + at);
    let end = ceiling(content, end.min(to).min(start + MOST_SHOWN));
    let from = ceiling(content, from.max(start.saturating_sub(MOST_SHOWN)));
    let to = floor(content, to.min(end + MOST_SHOWN));
    let at = text.line_column(start);
    json!({
        "file": text.name(),
        "line": at.line,
        "column": at.column,
        "before": &content[from..start],
        "marked": &content[start..end],
        "after": content[end..to].trim_end_matches('\r'),
    })
}

/// The nearest character border at or before a byte.
fn floor(content: &str, byte: usize) -> usize {
    let mut byte = byte.min(content.len());
    while !content.is_char_boundary(byte) {
        byte -= 1;
    }
    byte
}

/// The nearest character border at or after a byte.
fn ceiling(content: &str, byte: usize) -> usize {
    let mut byte = byte.min(content.len());
    while !content.is_char_boundary(byte) {
        byte += 1;
    }
    byte
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_line_is_cut_around_the_place() {
        let text = Text::new("a.rules", format!("{}here{}\n", "ä".repeat(5000), "ö".repeat(5000)));
        let start = 10_000;
        let fault = Fault::new("a/b", Some(Place::new("a.rules", start, start + 4)), "x");
        let at = &fault_json(&fault, std::slice::from_ref(&text))["at"];
        assert_eq!(at["marked"], "here");
        assert_eq!(at["column"], 5001);
        for side in ["before", "after"] {
            assert_eq!(at[side].as_str().unwrap().len(), MOST_SHOWN, "{side}");
        }
    }

    #[test]
    fn the_line_is_cut_at_the_place() {
        let text = Text::new("display.toml", "title = \"Fox\"\nheight = 6\nunits = \"in\"\n");
        let fault = Fault::new(
            "quantity/bare-number",
            Some(Place::new("display.toml", 23, 24)),
            "a length needs a unit",
        );
        let shown = fault_json(&fault, &[text]);
        assert_eq!(shown["at"]["line"], 2);
        assert_eq!(shown["at"]["column"], 10);
        assert_eq!(shown["at"]["before"], "height = ");
        assert_eq!(shown["at"]["marked"], "6");
        assert_eq!(shown["at"]["after"], "");
        assert_eq!(shown["severity"], "fault");
    }

    #[test]
    fn a_place_off_the_characters_or_over_lines_does_no_harm() {
        let text = Text::new("a", "zwölf\r\nelf");
        let at = |start, end| {
            fault_json(
                &Fault::new("x/y", Some(Place::new("a", start, end)), "m"),
                std::slice::from_ref(&text),
            )["at"]
                .clone()
        };
        // Byte 3 is inside the two bytes of `ö`.
        assert_eq!(at(3, 4)["before"], "zw");
        assert_eq!(at(0, 99)["marked"], "zwölf\r");
        assert_eq!(at(99, 99)["line"], 2);
        assert_eq!(fault_json(&Fault::new("x/y", Some(Place::new("b", 0, 1)), "m"), &[])["at"], Value::Null);
    }
}
