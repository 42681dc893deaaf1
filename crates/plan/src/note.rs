//! Short ways to write findings and workings.

use crate::Origins;
use finding::{Cure, Finding, Origin, Severity, Sheet, Value, Working};
use quantity::Units;
use reckoning::formula;
use source::KeyPath;
use uom::si::f64::Velocity;
use uom::si::velocity::{meter_per_second, mile_per_hour};

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
        let edit = edit.filter(|(path, _)| may_edit(path));
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

/// What an edit of a cure may change: how the display is to be made, and when it runs. `*` stands for any name.
///
/// Never what is there already or is read off a label: the house and its circuits, their devices and cords, the supply and
/// what switches mains, the weather, the people, a rating. Writing such a thing down puts nothing right, and one press would
/// clear a danger that is still there. Those cures are words.
const EDITED: [&[&str]; 11] = [
    &["digits", "*", "height"],
    &["object", "*", "hangers"],
    &["object", "*", "strand"],
    &["panel", "*", "stands", "guys"],
    &["place", "season", "on"],
    &["place", "season", "off"],
    &["place", "season", "to"],
    &["register-board", "part"],
    &["span", "*", "hangs", "ends"],
    &["span", "*", "hangs", "top"],
    &["span", "*", "sag"],
];

/// Whether a cure may edit what stands at this path.
fn may_edit(path: &KeyPath) -> bool {
    let fits = |keys: &&[&str]| {
        keys.len() == path.0.len()
            && keys.iter().zip(&path.0).all(
                |(key, step)| matches!(step, source::Step::Key(written) if *key == "*" || key == written),
            )
    };
    EDITED.iter().any(fits)
}

/// Where a part's rating stands.
pub(crate) fn rating(part: &str, field: &'static str) -> Origin {
    Origin::Catalogue { part: part.to_owned(), field }
}

/// Amperes as printed, with two figures at least: `0.45 mA`, `4.5 mA`, `40 mA`, `0.12 A`.
pub(crate) fn amperes(value: f64) -> String {
    let milli = value * 1000.0;
    match value {
        value if value >= 0.0995 => format!("{value:.2} A"),
        _ if milli >= 9.95 => format!("{milli:.0} mA"),
        _ if milli >= 0.995 => format!("{} mA", short(milli, 1)),
        _ if milli > 0.0 => format!("{} mA", short(milli, 2)),
        _ => "0 A".to_owned(),
    }
}

/// A small number without idle zeros; what would vanish keeps its first figure.
fn short(value: f64, decimals: usize) -> String {
    let shown = format!("{value:.decimals$}");
    let shown = shown.trim_end_matches('0').trim_end_matches('.');
    if shown == "0" { format!("{value:.1e}") } else { shown.to_owned() }
}

/// A speed in the builder's units, without decimals.
pub(crate) fn speed(m_s: f64, units: Units) -> String {
    match units {
        Units::Inches => {
            let mph = Velocity::new::<meter_per_second>(m_s).get::<mile_per_hour>();
            format!("{:.0} mph", libm::floor(mph))
        }
        Units::Millimetres => format!("{:.1} m/s", libm::floor(m_s * 10.0) / 10.0),
    }
}

/// Share of a limit that is used, as printed.
pub(crate) fn used(value: f64, limit: f64) -> String {
    format!("{:.0}{USED}", 100.0 * value / limit)
}

/// How a share of a limit ends.
const USED: &str = " % of the limit used";

/// The share that [`used`] has printed into a working, in percent; none for a working with another margin.
pub(crate) fn share_used(working: &Working) -> Option<f64> {
    working.margin.as_ref()?.strip_suffix(USED)?.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_currents_and_speeds_keep_their_figures() {
        let told: Vec<String> =
            [0.0, 0.000_45, 0.0045, 0.04, 0.12, 12.0, 0.000_001].map(amperes).into_iter().collect();
        assert_eq!(told, ["0 A", "0.45 mA", "4.5 mA", "40 mA", "0.12 A", "12.00 A", "1.0e-3 mA"]);
        // 1 mile is 1609.344 m: international yard and pound agreement of 1959.
        assert_eq!(speed(20.1168, Units::Inches), "45 mph");
        assert_eq!(speed(20.1168, Units::Millimetres), "20.1 m/s");
    }

    /// Every key of a description that is a fact of the site, of a label or of what keeps people from harm: a list of its own,
    /// against the one above.
    const FACTS: [&str; 24] = [
        "mains",
        "circuit.porch.breaker",
        "circuit.porch.ground-fault",
        "circuit.porch.cord.size",
        "circuit.porch.cord.length",
        "circuit.porch",
        "supply.part",
        "supply.circuit",
        "switch-box.part",
        "place.gust",
        "place.latitude",
        "place.viewers.nearest",
        "place.season.from",
        "place.season",
        "panel.west.circuit",
        "panel.west.stands.base",
        "panel.west.stands.at",
        "post.west.height",
        "object.club.mass",
        "object.club.size",
        "span.clubs.from.height",
        "span.clubs.rope",
        "strand.attic.current",
        "strand.attic.listed",
    ];

    #[test]
    fn no_cure_edits_a_fact() {
        for path in FACTS {
            let found = finding("test/test", Severity::Danger, "test", &[], String::new())
                .cure("write it down", Some((KeyPath::dotted(path), "x".into())));
            assert_eq!(found.cures[0].edit, None, "{path}");
        }
        for path in ["panel.west.stands.guys", "span.clubs.sag", "span.clubs.hangs.top", "place.season.to"] {
            assert!(may_edit(&KeyPath::dotted(path)), "{path}");
        }
        assert!(!may_edit(&KeyPath::dotted("span.clubs.hangs").index(0)) && !may_edit(&KeyPath::root()));
    }
}
