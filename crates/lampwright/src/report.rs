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

/// Colour only on a terminal, and not where `NO_COLOR` says no (<https://no-color.org>) or the terminal cannot.
fn style() -> Style {
    match anstream::AutoStream::choice(&io::stderr()) {
        anstream::ColorChoice::Never => Style::Plain,
        _ if io::stderr().is_terminal() => Style::Coloured,
        _ => Style::Plain,
    }
}

/// Shows every fault with its line, then how many there are.
pub(crate) fn faults(faults: &[Fault], texts: &[Text]) {
    let style = style();
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
        line(&one_finding(finding));
    }
    if matter.is_empty() {
        line(&format!("{}: this check found nothing that stops.", plan.title));
    }
    if !quiet.is_empty() {
        line(&format!("{} more in the book.", count(quiet.len(), "note")));
    }
    if !plan.withheld.is_empty() {
        let sheets: Vec<&str> = plan.withheld.iter().map(|sheet| sheet.title()).collect();
        line(&format!("Withheld because of danger: {}.", sheets.join(", ")));
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
