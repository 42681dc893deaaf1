//! What the builder reads on the terminal.

use anstream::stream::IsTerminal;
use finding::{Fault, Finding, Severity, Style, render};
use plan::Plan;
use source::Text;
use std::io::{self, Write};

/// Writes one line to the error stream, where all words to the builder go.
pub(crate) fn line(words: &str) {
    // Nothing can be told to somebody whose screen is gone.
    let _ = writeln!(io::stderr(), "{words}");
}

/// Writes lines that are broken between words where a terminal is narrower; what is piped stays as it is.
pub(crate) fn paragraph(words: &str) {
    let width = if io::stderr().is_terminal() { columns() } else { usize::MAX };
    for words in words.lines() {
        line(&broken(words, width));
    }
}

/// The width of the terminal, within what can be read.
fn columns() -> usize {
    let columns = rustix::termios::tcgetwinsize(io::stderr()).map_or(80, |size| size.ws_col);
    usize::from(columns).clamp(40, 110)
}

/// A line broken between words; what follows stands two columns further in than its beginning.
fn broken(words: &str, width: usize) -> String {
    let indent = words.len() - words.trim_start().len();
    let mut out = " ".repeat(indent);
    let mut at = indent;
    for (n, word) in words.split_whitespace().enumerate() {
        let long = word.chars().count();
        if n > 0 && at + 1 + long > width {
            out.push('\n');
            out.push_str(&" ".repeat(indent + 2));
            at = indent + 2;
        } else if n > 0 {
            out.push(' ');
            at += 1;
        }
        out.push_str(word);
        at += long;
    }
    out
}

/// Colour only on a terminal, and not where `NO_COLOR` says no (<https://no-color.org>) or the terminal cannot.
pub(crate) fn style(stream: &impl anstream::stream::RawStream) -> Style {
    match anstream::AutoStream::choice(stream) {
        anstream::ColorChoice::Never => Style::Plain,
        _ if stream.is_terminal() => Style::Coloured,
        _ => Style::Plain,
    }
}

/// How to ask what the codes above mean, with one of them as the example.
pub(crate) fn how_to_ask(code: &str) {
    paragraph(&format!("What a code means, and how it is put right: lampwright explain {code}"));
}

/// Shows every fault with its line, then how many there are.
pub(crate) fn faults(faults: &[Fault], texts: &[Text]) {
    let style = style(&io::stderr());
    for fault in faults {
        line(&render(fault, texts, style));
        line("");
    }
    let stopping = faults.iter().filter(|fault| fault.stops()).count();
    if stopping > 0 {
        line(&format!(
            "{} in what was written; nothing can be planned until then.",
            count(stopping, "fault")
        ));
    }
}

/// Shows the findings that matter, worst first, and counts the rest.
pub(crate) fn findings(plan: &Plan) {
    let (matter, quiet): (Vec<&Finding>, Vec<&Finding>) =
        plan.findings.iter().partition(|finding| finding.severity <= Severity::Caution);
    for finding in &matter {
        paragraph(&one_finding(finding));
    }
    if matter.is_empty() {
        line(&format!("{}: this check found nothing that stops.", plan.title));
    }
    if !quiet.is_empty() {
        line(&format!("{} more in the book.", count(quiet.len(), "note")));
    }
    if !plan.withheld.is_empty() {
        let sheets: Vec<&str> = plan.withheld.iter().map(|sheet| sheet.title()).collect();
        paragraph(&format!("Withheld because of danger: {}.", sheets.join(", ")));
    }
}

/// A finding with the result of its working and its cures.
fn one_finding(finding: &Finding) -> String {
    let about = if finding.concerns.is_empty() {
        String::new()
    } else {
        format!(" ({})", finding.concerns.join(", "))
    };
    let mut words = format!("{}[{}]{about}: {}", finding.severity.word(), finding.code, finding.verdict);
    if let Some(working) = &finding.working {
        words.push_str(&format!("\n    {} = {}", working.written, working.result));
        if let Some(limit) = &working.limit {
            words.push_str(&format!("; limit {limit}"));
        }
        words.push_str(&format!("\n    source: {}", working.source));
    }
    for cure in &finding.cures {
        words.push_str(&format!("\n    cure: {}", cure.words));
    }
    words
}

/// `1 fault`, `2 faults`.
pub(crate) fn count(number: usize, what: &str) -> String {
    format!("{number} {what}{}", if number == 1 { "" } else { "s" })
}

/// Words for standard output, broken between words where that is a terminal; what is piped stays as it is.
pub(crate) fn for_the_width(words: &str) -> String {
    let narrow = io::stdout().is_terminal();
    if narrow { broken(words, columns()) } else { words.to_owned() }
}

/// Prints what was asked for to standard output.
pub(crate) fn print(words: &str) -> io::Result<()> {
    let mut out = io::stdout().lock();
    out.write_all(words.as_bytes())?;
    out.flush()
}

/// Writes a JSON value to standard output.
pub(crate) fn json(value: &serde_json::Value) -> io::Result<()> {
    let mut out = io::stdout().lock();
    serde_json::to_writer_pretty(&mut out, value)?;
    writeln!(out)?;
    out.flush()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_break_between_words_and_hang() {
        assert_eq!(broken("one two three", 80), "one two three");
        assert_eq!(broken("one two three", 8), "one two\n  three");
        assert_eq!(broken("    cure: take another", 15), "    cure: take\n      another");
        assert_eq!(broken("unbreakable-by-far", 4), "unbreakable-by-far");
        assert_eq!(broken("", 10), "");
    }
}
