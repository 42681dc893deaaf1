//! What the page shows beside the rules: where their constants stand, plays that were written down, and kept answers of proof.

use crate::folder_files::FolderFiles;
use crate::showing::Reading;
use crate::{flashing, proofs, tuning};
use plan::Plan;
use prove::{Answer, Verdict};
use rules::form::Form;
use serde_json::{Value, json};
use source::{Files, Text};
use std::collections::BTreeMap;
use std::path::Path;

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

/// As the page reads it. The plan is that of the display as far as it could be read.
pub(crate) fn shown(reading: &Reading, plan: Option<&Plan>, folder: &Path) -> Value {
    let form = reading.display.as_ref().map(|display| &display.form);
    let (answers, unasked) = form.map(|form| answered(form, reading, plan)).unwrap_or_default();
    let unasked: Vec<Value> =
        unasked.iter().map(|claim| json!({ "claim": claim, "words": prove::in_words(claim) })).collect();
    let traces = reading.beside.traces.iter().filter_map(|(name, bytes)| {
        let trace: Value = serde_json::from_slice(bytes).ok()?;
        Some(json!({ "file": name, "trace": trace }))
    });
    json!({
        "constants": form.map(|form| tuning::constants(form, &reading.texts)),
        "traces": traces.collect::<Vec<_>>(),
        "claims": form.map(|form| written(form, &reading.texts)),
        "answers": answers,
        "unasked": unasked,
        // What has faults is not proved: `prove` would refuse it.
        "ask": reading.sound().map(|_| format!("lampwright prove {}", quoted(folder))),
    })
}

/// What the rules claim, as they are written: with the conditions' names, which the form no longer has.
fn written(form: &Form, texts: &[Text]) -> Vec<Value> {
    let Some(text) = tuning::rules_text(texts) else { return Vec::new() };
    let said = |name: &str| Some(text.at(&rules::claim_place(text, name)?).trim());
    let claims = form.claims.iter().filter_map(|claim| Some((&claim.name, said(&claim.name)?)));
    claims.map(|(name, said)| json!({ "name": name, "says": said })).collect()
}

/// Every claim as `prove` would find it answered: by the plan's count, else by what was kept; and those without an answer.
fn answered(form: &Form, reading: &Reading, plan: Option<&Plan>) -> (Vec<Answer>, Vec<String>) {
    let mut kept = decisive(&reading.beside.answers);
    let plan = plan.filter(|_| reading.sound().is_some());
    let (mut answers, mut unasked) = (Vec::new(), Vec::new());
    for claim in flashing::names(form) {
        let counted = plan.and_then(|plan| flashing::counted(&claim, form, || plan));
        match counted.or_else(|| kept.remove(&claim)) {
            Some(answer) => answers.push(answer),
            None => unasked.push(claim),
        }
    }
    (answers, unasked)
}

/// A path as a shell takes it for one word.
fn quoted(path: &Path) -> String {
    let path = path.to_string_lossy();
    let plain = |letter: char| letter.is_alphanumeric() || "/._-".contains(letter);
    let bare = !path.is_empty() && !path.starts_with('-') && path.chars().all(plain);
    if bare { path.into_owned() } else { format!("'{}'", path.replace('\'', "'\\''")) }
}

/// One answer for each claim: of several under different limits one that decides.
fn decisive(kept: &[Vec<u8>]) -> BTreeMap<String, Answer> {
    let mut all: BTreeMap<String, Answer> = BTreeMap::new();
    for answer in kept.iter().filter_map(|bytes| proofs::believed(bytes)) {
        let decides = !matches!(answer.verdict, Verdict::Undecided { .. });
        if decides || !all.contains_key(&answer.claim) {
            all.insert(answer.claim.clone(), answer);
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::proofs::Proofs;
    use crate::showing;
    use plan::Planner;
    use prove::{Covered, Limits};
    use tempfile::TempDir;

    /// The first game in a folder, with something in its rules said otherwise.
    fn game((from, to): (&str, &str)) -> TempDir {
        let folder = tempfile::tempdir().unwrap();
        for (path, bytes) in crate::games::game(crate::games::FIRST).unwrap().files {
            let path = folder.path().join(path);
            std::fs::create_dir_all(path.parent().unwrap()).unwrap();
            std::fs::write(path, bytes).unwrap();
        }
        let rules = folder.path().join("waving-fox.rules");
        let changed = std::fs::read_to_string(&rules).unwrap().replace(from, to);
        std::fs::write(rules, changed).unwrap();
        folder
    }

    fn shown_of(folder: &TempDir) -> Value {
        let reading = showing::read(folder.path()).unwrap();
        let planned = reading.plan_so_far(&mut Planner::new());
        shown(&reading, planned.as_ref().map(|(_, plan)| plan), Path::new("a fox's"))
    }

    fn names(claims: &Value) -> Vec<&str> {
        claims.as_array().unwrap().iter().map(|one| one["claim"].as_str().unwrap()).collect()
    }

    fn words(shown: &Value, claim: &str) -> Option<String> {
        let mut answers = shown["answers"].as_array().unwrap().iter();
        answers.find(|one| one["claim"] == claim)?["words"].as_str().map(str::to_owned)
    }

    /// The fox's tail makes two flashes in a second (four changes of 300 ms); WCAG 2.2, success criterion 2.3.1, allows three.
    /// What a tail of 50 ms would make, the count does not settle: ten.
    #[test]
    fn what_the_plan_counts_is_shown_without_asking_and_all_else_is_said_to_be_unasked() {
        let fox = shown_of(&game(("", "")));
        assert_eq!(names(&fox["answers"]), [".flash fox", ".flash"]);
        assert!(words(&fox, ".flash").unwrap().starts_with("Proved: no more than three flashes"), "{fox}");
        assert_eq!(
            names(&fox["unasked"]),
            [".in-range", ".answered", ".home", ".held wave", ".alone wave", ".stuck"]
        );
        assert_eq!(fox["unasked"][5]["words"], "nothing can get stuck (`.stuck`)");
        assert_eq!(fox["ask"], "lampwright prove 'a fox'\\''s'");
        let quick = shown_of(&game(("300 ms", "50 ms")));
        assert!(names(&quick["unasked"]).contains(&".flash fox"), "{quick}");
        assert!(words(&quick, ".flash").is_some_and(|words| words.starts_with("Undecided")), "{quick}");
        // With a fault in the description nothing is counted, and `prove` would refuse to be asked.
        let slip = shown_of(&game(("lights wave", "lights wawe")));
        assert_eq!((&slip["answers"], &slip["ask"]), (&json!([]), &Value::Null));
        assert!(names(&slip["unasked"]).contains(&".flash"), "{slip}");
    }

    /// What `prove` keeps and writes is what the page is shown; answers about other rules are not.
    #[test]
    fn plays_and_kept_answers_about_these_rules_are_shown() {
        let folder = game(("", ""));
        assert_eq!(words(&shown_of(&folder), ".stuck"), None);
        let form = showing::read(folder.path()).unwrap().display.unwrap().form;
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
        let now = shown_of(&folder);
        assert_eq!(words(&now, ".stuck").unwrap(), "2");
        assert!(!names(&now["unasked"]).contains(&".stuck"));
        assert_eq!(now["traces"], json!([{ "file": "a.trace.json", "trace": { "ticks": [] } }]));
        let rules = folder.path().join("waving-fox.rules");
        let changed = std::fs::read_to_string(&rules).unwrap().replace("15 s", "16 s");
        std::fs::write(rules, changed).unwrap();
        assert_eq!(words(&shown_of(&folder), ".stuck"), None);
    }
}
