//! Claims about flashing that the plan answers by its own count: it knows how much of the light within one field of view each
//! figure, lamp and digit can change, and counts over all plays. Where its count does not settle a claim, the search is asked.

use finding::Severity;
use plan::{Flashes, Plan, changes_in_a_second};
use prove::{Answer, Covered, Verdict};
use reckoning::flash::CHANGES_ALLOWED;
use rules::form::Form;

/// The claim about everything in one field of view.
const ALL: &str = ".flash";
/// The claim about one figure, with its name behind.
const ONE: &str = ".flash ";
/// What the plan finds about everything together.
const FOUND: &str = "flash/all-together";

/// The names of all claims about a display: the search's, and the one about everything seen together.
pub(crate) fn names(form: &Form) -> Vec<String> {
    let mut names = prove::names(form);
    if !names.iter().any(|name| name == ALL) {
        let behind = names.iter().rposition(|name| name.starts_with(ONE)).map(|at| at + 1);
        if let Some(at) = behind {
            names.insert(at, ALL.into());
        }
    }
    names
}

/// The answer to a claim by the plan's count; none where that does not settle it, or the claim is about something else. The
/// plan, which only one of the claims needs, is that of a sound display with this form.
pub(crate) fn counted<'a>(claim: &str, form: &Form, plan: impl FnOnce() -> &'a Plan) -> Option<Answer> {
    if claim != ALL {
        return one_figure(claim, form);
    }
    let found = plan().findings.iter().find(|found| found.code == FOUND);
    let words = match found {
        Some(found) if found.severity == Severity::Note => found.verdict.clone(),
        None if !form.figures.is_empty() => "Nothing changes enough of the light in any field of view".into(),
        found => return unsettled(form, found.map(|found| found.verdict.as_str())),
    };
    Some(proved(
        claim,
        &format!("no more than three flashes in any second in any field of view (`{claim}`). {words}"),
    ))
}

/// Where the search is not asked about everything together, the count has the last word.
fn unsettled(form: &Form, found: Option<&str>) -> Option<Answer> {
    let asked = prove::names(form).iter().any(|name| name == ALL);
    let why = found.unwrap_or("how often it changes is not told by the rules' states").to_owned();
    (!asked).then(|| Answer {
        claim: ALL.into(),
        words: format!(
            "Undecided: no more than three flashes in any second in any field of view. Why: {why}"
        ),
        verdict: Verdict::Undecided { covered: Covered::default(), why },
        bound_ticks: None,
        told: Vec::new(),
    })
}

/// No more changes in any second than make three flashes, whatever else is seen beside the figure.
fn one_figure(claim: &str, form: &Form) -> Option<Answer> {
    let name = claim.strip_prefix(ONE)?;
    let figure = form.figures.iter().position(|figure| figure.name == name)?;
    let most = changes_in_a_second(form, &[Flashes::Figure { figure }]).first().copied().flatten()?;
    (most <= CHANGES_ALLOWED).then(|| {
        let words = format!(
            "no more than three flashes in any second of {name} (`{claim}`). Whoever presses when, its picture changes at most {most} times in any second"
        );
        proved(claim, &words)
    })
}

fn proved(claim: &str, words: &str) -> Answer {
    Answer {
        claim: claim.into(),
        verdict: Verdict::Proved { covered: Covered::default() },
        bound_ticks: None,
        told: Vec::new(),
        words: format!("Proved: {words}. Counted over all plays in parts of the rules"),
    }
}
