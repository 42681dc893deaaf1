//! The formulas that this plan relies on: those of its workings, and those by which its values were worked out.

use finding::Origin;
use plan::Plan;
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// Each by name: in words, and where it was read.
pub(super) fn relied_on(plan: &Plan) -> Value {
    let mut named: BTreeMap<&str, (String, String)> = BTreeMap::new();
    for working in plan.findings.iter().filter_map(|found| found.working.as_ref()) {
        named.entry(working.formula).or_insert_with(|| (working.written.clone(), working.source.clone()));
    }
    let inner = plan.findings.iter().filter_map(|found| found.working.as_ref()).flat_map(|w| &w.values);
    let origins = plan.origins.iter().map(|(_, origin)| origin).chain(inner.map(|value| &value.origin));
    for origin in origins {
        if let Origin::Worked { formula, .. } = origin {
            named.entry(formula).or_default();
        }
    }
    named
        .into_iter()
        .map(|(name, (written, source))| {
            let known = reckoning::formula(name);
            json!({
                "name": name,
                "written": known.map_or(written, |formula| formula.written.to_owned()),
                "source": known.map_or(source, |formula| formula.source.to_owned()),
                "example": known.and_then(|formula| formula.examples.first()).map(|example| example.source),
            })
        })
        .collect()
}
