//! The path: every stop in the builder's order, with its news in a few words and how far it has come.

mod reach;
mod words;

use crate::{Plan, StageState, Stop};
use display::Display;
use finding::Severity;
use reach::{Reach, reach};

pub(crate) use reach::troubles;

/// The stops, in the builder's order.
const NAMES: [&str; 16] = [
    "idea",
    "draw",
    "drill",
    "string",
    "hang",
    "digits",
    "switch",
    "wire",
    "power",
    "shelter",
    "buy",
    "program",
    "try",
    "put up",
    "run",
    "take down",
];

/// The stops of a plan.
pub(crate) fn stops(plan: &Plan, display: &Display) -> Vec<Stop> {
    NAMES.iter().map(|name| stop(plan, display, name)).collect()
}

fn stop(plan: &Plan, display: &Display, name: &'static str) -> Stop {
    let here = plan.findings.iter().filter(|finding| finding.stage == name);
    let severe: Vec<_> = here.filter(|finding| finding.severity <= Severity::Fault).collect();
    let mut by: Vec<String> = severe.iter().map(|finding| finding.code.to_owned()).collect();
    by.dedup();
    let (news, sentence) = words::words(plan, display, name);
    let state = state(reach(plan, display, name), by);
    let news = match &state {
        StageState::Blocked { .. } if severe.iter().any(|finding| finding.severity == Severity::Danger) => {
            "sheets withheld".to_owned()
        }
        StageState::Blocked { by } => format!("{} to mend", by.len()),
        StageState::Pending => "not asked for yet".to_owned(),
        StageState::Partial | StageState::Ready => news,
    };
    Stop { name, news, sentence, state }
}

/// Blocked by a severe finding, or by faults where nothing could be worked out.
fn state(reach: Reach, findings: Vec<String>) -> StageState {
    if !findings.is_empty() {
        return StageState::Blocked { by: findings };
    }
    match (reach.done, reach.left_out.is_empty()) {
        (true, true) => StageState::Ready,
        (true, false) => StageState::Partial,
        (false, true) => StageState::Pending,
        (false, false) => StageState::Blocked { by: reach.left_out },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_done_is_pending_unless_a_fault_keeps_it_so() {
        let reach =
            |done, left: &[&str]| Reach { done, left_out: left.iter().map(|l| (*l).to_owned()).collect() };
        let blocked = |by: &str| StageState::Blocked { by: vec![by.to_owned()] };
        assert_eq!(state(reach(true, &[]), vec![]), StageState::Ready);
        assert_eq!(state(reach(true, &["key/missing"]), vec![]), StageState::Partial);
        assert_eq!(state(reach(false, &[]), vec![]), StageState::Pending);
        assert_eq!(state(reach(false, &["key/missing"]), vec![]), blocked("key/missing"));
        assert_eq!(state(reach(true, &["key/missing"]), vec!["x/y".into()]), blocked("x/y"));
    }
}
