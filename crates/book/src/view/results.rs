//! Findings with their workings, the stops of the path, and why something is withheld.

use finding::{Finding, Severity, Sheet, Working};
use plan::{Plan, StageState, Stop};
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// One finding with its place among all.
fn finding((place, found): (usize, &Finding)) -> Value {
    json!({
        "place": format!("finding-{place}"),
        "word": found.severity.word(), "code": found.code, "stage": found.stage,
        "concerns": found.concerns.join(", "), "verdict": found.verdict,
        "working": found.working.as_ref().map(working),
        "cures": found.cures.iter().map(|cure| cure.words.clone()).collect::<Vec<_>>(),
        "withholds": found.withholds.iter().map(|sheet| sheet.title()).collect::<Vec<_>>(),
    })
}

/// A working as lines on a slip of paper.
fn working(working: &Working) -> Value {
    json!({
        "formula": working.written,
        "values": working.values.iter()
            .map(|value| json!({ "name": value.name, "shown": value.shown, "origin": value.origin.to_string() }))
            .collect::<Vec<_>>(),
        "result": working.result, "limit": working.limit, "margin": working.margin, "source": working.source,
    })
}

/// All findings: first what wants something done, then the notes.
pub(super) fn findings(plan: &Plan) -> Value {
    let split = |note: bool| -> Vec<Value> {
        plan.findings
            .iter()
            .enumerate()
            .filter(|(_, found)| (found.severity == Severity::Note) == note)
            .map(finding)
            .collect()
    };
    json!({ "to_mend": split(false), "notes": split(true) })
}

/// The dangers that withhold a sheet.
pub(super) fn why(plan: &Plan, sheet: Sheet) -> Vec<Value> {
    plan.findings
        .iter()
        .enumerate()
        .filter(|(_, found)| found.withholds.contains(&sheet))
        .map(finding)
        .collect()
}

/// The findings of each stage in short, to stand on the stage's own page; their workings are at the end.
pub(super) fn by_stage(plan: &Plan) -> Value {
    let mut stages: BTreeMap<&str, Vec<Value>> = BTreeMap::new();
    for (place, found) in plan.findings.iter().enumerate() {
        let place = format!("finding-{place}");
        stages.entry(found.stage).or_default().push(json!({
            "place": place, "word": found.severity.word(), "verdict": found.verdict,
            "concerns": found.concerns.join(", "), "mild": found.severity == Severity::Note,
        }));
    }
    json!(stages)
}

/// A stop of the path: its news, and the shape that says how it stands.
pub(super) fn stop(plan: &Plan, stop: &Stop) -> Value {
    let worst =
        plan.findings.iter().filter(|found| found.stage == stop.name).map(|found| found.severity).min();
    let shape = match (&stop.state, worst) {
        (StageState::Pending, _) => "ring",
        (_, Some(Severity::Danger)) => "square",
        (StageState::Blocked { .. }, _) | (_, Some(Severity::Fault | Severity::Caution)) => "triangle",
        _ => "stone",
    };
    json!({ "name": stop.name, "news": stop.news, "sentence": stop.sentence, "shape": shape })
}
