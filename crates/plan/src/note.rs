//! Short ways to write findings and workings.

use crate::Origins;
use finding::{Cure, Finding, Origin, Severity, Sheet, Value, Working};
use reckoning::formula;
use source::KeyPath;

/// A finding without working, cures or withheld sheets.
pub(crate) fn finding(
    code: &'static str,
    severity: Severity,
    stage: &'static str,
    concerns: &[&str],
    verdict: String,
) -> Finding {
    Finding {
        code,
        severity,
        stage,
        concerns: concerns.iter().map(|name| (*name).to_owned()).collect(),
        discriminator: None,
        verdict,
        working: None,
        cures: Vec::new(),
        withholds: Vec::new(),
    }
}

/// What is usually added to a finding.
pub(crate) trait Also: Sized {
    fn working(self, working: Working) -> Self;
    fn cure(self, words: &str, edit: Option<(KeyPath, String)>) -> Self;
    fn withholds(self, sheets: &[Sheet]) -> Self;
    fn about(self, discriminator: &str) -> Self;
}

impl Also for Finding {
    fn working(mut self, working: Working) -> Self {
        self.working = Some(working);
        self
    }

    fn cure(mut self, words: &str, edit: Option<(KeyPath, String)>) -> Self {
        self.cures.push(Cure { words: words.to_owned(), edit });
        self
    }

    fn withholds(mut self, sheets: &[Sheet]) -> Self {
        self.withholds = sheets.to_vec();
        self
    }

    fn about(mut self, discriminator: &str) -> Self {
        self.discriminator = Some(discriminator.to_owned());
        self
    }
}

/// A working of a registered formula; `limit` is what the result is held against and where that was read.
pub(crate) fn working(
    name: &'static str,
    values: Vec<Value>,
    result: String,
    limit: Option<(String, String)>,
    margin: Option<String>,
) -> Working {
    let registered = formula(name);
    let mut source = registered.map(|formula| formula.source.to_owned()).unwrap_or_default();
    if let Some((_, limit_source)) = &limit {
        source = format!("{source}; limit: {limit_source}");
    }
    Working {
        formula: name,
        written: registered.map(|formula| formula.written.to_owned()).unwrap_or_default(),
        values,
        result,
        limit: limit.map(|(limit, _)| limit),
        margin,
        source,
    }
}

/// One value of a working.
pub(crate) fn value(name: &str, shown: String, origin: Origin) -> Value {
    Value { name: name.to_owned(), shown, origin }
}

/// An origin for a value that another stage worked out.
pub(crate) fn worked(formula: &'static str, inputs: &[&str]) -> Origin {
    Origin::Worked { formula, inputs: inputs.iter().map(|name| (*name).to_owned()).collect() }
}

/// Notes that the values at these places of a stage's result (`/rope_mm`) came out of a registered formula.
///
/// A stage keeps an `origins: Origins` beside what it gives and calls this for each formula; the planner puts the place of
/// the result in front (`/spans/0`).
pub(crate) fn works_out(origins: &mut Origins, places: &[&str], formula: &'static str, inputs: &[&str]) {
    for place in places {
        origins.note(*place, worked(formula, inputs));
    }
}

/// The edit that writes something else where a value was written; none where nobody wrote it.
pub(crate) fn rewrite(origin: &Origin, text: String) -> Option<(KeyPath, String)> {
    match origin {
        Origin::Written { path, .. } => Some((path.clone(), text)),
        _ => None,
    }
}

/// Where a part's rating stands.
pub(crate) fn rating(part: &str, field: &'static str) -> Origin {
    Origin::Catalogue { part: part.to_owned(), field }
}

/// Amperes as printed.
pub(crate) fn amperes(value: f64) -> String {
    if value < 0.0995 { format!("{:.0} mA", value * 1000.0) } else { format!("{value:.2} A") }
}

/// Share of a limit that is used, as printed.
pub(crate) fn used(value: f64, limit: f64) -> String {
    format!("{:.0} % of the limit used", 100.0 * value / limit)
}
