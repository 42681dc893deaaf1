//! Faults as text for a terminal: full with underlines, or one line each.

use crate::{Fault, Severity};
use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use source::Text;

/// Whether to use colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Style {
    /// No escape codes.
    Plain,
    /// Colours for a terminal.
    Coloured,
}

/// A fault as `file:line:column: word: message`, for editors and scripts.
pub fn one_line(fault: &Fault, texts: &[Text]) -> String {
    let at = match &fault.place {
        Some(place) => match texts.iter().find(|text| text.name() == place.file) {
            Some(text) => {
                let at = text.line_column(place.start);
                format!("{}:{}:{}: ", place.file, at.line, at.column)
            }
            None => format!("{}: ", place.file),
        },
        None => String::new(),
    };
    let hint = fault.expected.iter().chain(&fault.hints).map(|hint| format!(" ({hint})")).collect::<String>();
    format!("{at}{}: {}{hint} [{}]", fault.severity.word(), fault.message, fault.code)
}

/// A fault with the line it stands on, underlined, what was expected and the hints.
pub fn render(fault: &Fault, texts: &[Text], style: Style) -> String {
    let Some((text, place)) = fault
        .place
        .as_ref()
        .and_then(|place| texts.iter().find(|text| text.name() == place.file).zip(Some(place)))
    else {
        return without_text(fault);
    };
    let level = match fault.severity {
        Severity::Danger => Level::ERROR.with_name("danger"),
        Severity::Fault => Level::ERROR.with_name("fault"),
        Severity::Caution => Level::WARNING.with_name("caution"),
        Severity::Note => Level::NOTE,
    };
    let (start, end) = on_characters(text.content(), place.start, place.end);
    let mut annotation = AnnotationKind::Primary.span(start..end);
    if let Some(expected) = &fault.expected {
        annotation = annotation.label(expected);
    }
    let snippet = Snippet::source(text.content()).path(text.name()).annotation(annotation);
    let mut report = level.primary_title(&fault.message).id(fault.code).element(snippet);
    for hint in &fault.hints {
        report = report.element(Level::HELP.message(hint));
    }
    let renderer = match style {
        Style::Plain => Renderer::plain(),
        Style::Coloured => Renderer::styled(),
    };
    renderer.render(&[report])
}

/// A fault about something that has no text to show, such as a missing file.
fn without_text(fault: &Fault) -> String {
    let at = fault.place.as_ref().map_or_else(String::new, |place| format!(" in {}", place.file));
    let head = format!("{}[{}]{at}: {}", fault.severity.word(), fault.code, fault.message);
    fault.expected.iter().chain(&fault.hints).fold(head, |all, hint| format!("{all}\n  = help: {hint}"))
}

/// The nearest character borders around a stretch, so that no reader's slip can break the underline.
fn on_characters(content: &str, start: usize, end: usize) -> (usize, usize) {
    let mut start = start.min(content.len());
    while !content.is_char_boundary(start) {
        start -= 1;
    }
    let mut end = end.clamp(start, content.len());
    while !content.is_char_boundary(end) {
        end += 1;
    }
    (start, end)
}

#[cfg(test)]
mod tests {
    use super::*;
    use source::Place;

    #[test]
    fn a_fault_is_underlined_where_it_stands() {
        let text = Text::new("display.toml", "title = \"Fox\"\nhieght = 48\n");
        let fault = Fault::new(
            "display/unknown-key",
            Some(Place::new("display.toml", 14, 20)),
            "there is no key `hieght`",
        )
        .expected("not known here")
        .hint("did you mean `height`?");
        let shown = render(&fault, std::slice::from_ref(&text), Style::Plain);
        assert!(shown.contains("display.toml:2:1"), "{shown}");
        assert!(shown.contains("^^^^^^ not known here"), "{shown}");
        assert!(shown.contains("did you mean `height`?"), "{shown}");
        assert!(one_line(&fault, &[text]).starts_with("display.toml:2:1: fault: there is no key"));
    }

    #[test]
    fn a_place_off_the_text_is_still_shown() {
        let text = Text::new("a", "\u{e9}");
        for (start, end) in [(0, 1), (1, 1), (5, 9), (2, 2)] {
            let fault = Fault::new("a/b", Some(Place::new("a", start, end)), "odd");
            assert!(render(&fault, std::slice::from_ref(&text), Style::Plain).contains("odd"));
        }
    }
}
