//! What the page shows beside the rules: where their constants stand, plays that were written down, and kept answers of proof.

use crate::folder_files::FolderFiles;
use crate::showing::Reading;
use crate::{proofs, tuning};
use prove::{Answer, Verdict};
use rules::form::Form;
use serde_json::{Value, json};
use source::Files;
use std::collections::BTreeMap;

/// How the name of a file with a play ends, as `prove --trace` writes it.
pub(crate) const TRACE: &str = ".trace.json";
/// So many plays are offered; a folder full of them must not drown the page.
const MOST_TRACES: usize = 50;

/// Files that lie beside the description, as they are.
#[derive(Default)]
pub(crate) struct Beside {
    traces: Vec<(String, Vec<u8>)>,
    answers: Vec<Vec<u8>>,
}

/// The plays in a folder, and the answers about this form.
pub(crate) fn found(files: &FolderFiles, form: Option<&Form>) -> Beside {
    let names = files.names().into_iter().filter(|name| name.ends_with(TRACE)).take(MOST_TRACES);
    let traces = names.filter_map(|name| files.read(&name).ok().map(|bytes| (name, bytes))).collect();
    let kept = form.and_then(proofs::folder_of).map(|folder| files.within(&folder)).unwrap_or_default();
    Beside { traces, answers: kept.iter().filter_map(|name| files.read(name).ok()).collect() }
}

/// As the page reads it.
pub(crate) fn shown(reading: &Reading) -> Value {
    let form = reading.display.as_ref().map(|display| &display.form);
    let traces = reading.beside.traces.iter().filter_map(|(name, bytes)| {
        let trace: Value = serde_json::from_slice(bytes).ok()?;
        Some(json!({ "file": name, "trace": trace }))
    });
    json!({
        "constants": form.map(|form| tuning::constants(form, &reading.texts)),
        "traces": traces.collect::<Vec<_>>(),
        "answers": answers(&reading.beside.answers),
    })
}

/// One answer for each claim: of several under different limits one that decides.
fn answers(kept: &[Vec<u8>]) -> Vec<Answer> {
    let mut all: BTreeMap<String, Answer> = BTreeMap::new();
    for answer in kept.iter().filter_map(|bytes| proofs::believed(bytes)) {
        let decides = !matches!(answer.verdict, Verdict::Undecided { .. });
        if decides || !all.contains_key(&answer.claim) {
            all.insert(answer.claim.clone(), answer);
        }
    }
    all.into_values().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::proofs::Proofs;
    use crate::showing;
    use prove::{Covered, Limits};

    /// What `prove` keeps and writes is what the page is shown; answers about other rules are not.
    #[test]
    fn plays_and_kept_answers_about_these_rules_are_shown() {
        let folder = tempfile::tempdir().unwrap();
        for (path, bytes) in crate::games::game(crate::games::FIRST).unwrap().files {
            let path = folder.path().join(path);
            std::fs::create_dir_all(path.parent().unwrap()).unwrap();
            std::fs::write(path, bytes).unwrap();
        }
        let reading = || showing::read(folder.path()).unwrap();
        assert_eq!(shown(&reading())["answers"], json!([]));
        let form = reading().display.unwrap().form;
        let answer = |limit: u64, verdict| {
            let limits = Limits { sets: limit, ..Limits::default() };
            let (claim, words) = (".stuck".into(), format!("{limit}"));
            let answer = Answer { claim, verdict, bound_ticks: None, words, told: Vec::new() };
            Proofs::of(folder.path(), &form, &limits).unwrap().keep(&answer);
        };
        answer(1, Verdict::Undecided { covered: Covered::default(), why: "enough".into() });
        answer(2, Verdict::Proved { covered: Covered::default() });
        answer(3, Verdict::Undecided { covered: Covered::default(), why: "enough".into() });
        std::fs::write(folder.path().join("a.trace.json"), "{\"ticks\":[]}").unwrap();
        let now = shown(&reading());
        assert_eq!(now["answers"][0]["words"], "2");
        assert_eq!(now["traces"], json!([{ "file": "a.trace.json", "trace": { "ticks": [] } }]));
        let rules = folder.path().join("waving-fox.rules");
        let changed = std::fs::read_to_string(&rules).unwrap().replace("15 s", "16 s");
        std::fs::write(rules, changed).unwrap();
        assert_eq!(shown(&reading())["answers"], json!([]));
    }
}
