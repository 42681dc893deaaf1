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
    let level = match fault.severity {
        Severity::Danger => Level::ERROR.with_name("danger"),
        Severity::Fault => Level::ERROR.with_name("fault"),
        Severity::Caution => Level::WARNING.with_name("caution"),
        Severity::Note => Level::NOTE,
    };
    let mut group = level.primary_title(&fault.message).id(fault.code);
    let text = fault.place.as_ref().and_then(|place| texts.iter().find(|text| text.name() == place.file).zip(Some(place)));
    let mut elements = Vec::new();
    if let Some((text, place)) = text {
        let (start, end) = on_characters(text.content(), place.start, place.end);
        let mut annotation = AnnotationKind::Primary.span(start..end);
        if let Some(expected) = &fault.expected {
            annotation = annotation.label(expected);
        }
        elements.push(Snippet::source(text.content()).path(text.name()).annotation(annotation));
    }
    let mut report = None;
    if let Some(snippet) = elements.pop() {
        report = Some(group.element(snippet));
    } else {
        if let Some(expected) = &fault.expected {
            group = group.id(fault.code);
            report = Some(group.element(Level::NOTE.message(expected)));
        }
        if report.is_none() {
            let words = match &fault.place {
                Some(place) => format!("in {}", place.file),
                None => "in this display".to_owned(),
            };
            let line = format!("{}[{}]: {} ({words})", fault.severity.word(), fault.code, fault.message);
            return fault.hints.iter().fold(line, |all, hint| format!("{all}\n  help: {hint}"));
        }
    }
    let Some(mut report) = report else { return one_line(fault, texts) };
    for hint in &fault.hints {
        report = report.element(Level::HELP.message(hint));
    }
    let renderer = match style {
        Style::Plain => Renderer::plain(),
        Style::Coloured => Renderer::styled(),
    };
    renderer.render(&[report])
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
