//! Quiet findings: what is found of several things for one cause is said once, of the worst of them, naming them all.

use crate::note::share_used;
use finding::{Cure, Finding};

/// Most names that a verdict lists; all of them stand in what the finding concerns.
const MOST_NAMES: usize = 6;

/// Findings of one code that the same cures would put right become one. Their order stays that of the first of each.
pub(super) fn gather(findings: Vec<Finding>) -> Vec<Finding> {
    let mut groups: Vec<Vec<Finding>> = Vec::new();
    for finding in findings {
        match groups.iter_mut().find(|group| group.first().is_some_and(|first| alike(first, &finding))) {
            Some(group) => group.push(finding),
            None => groups.push(vec![finding]),
        }
    }
    groups.into_iter().filter_map(|group| one(&group)).collect()
}

/// Whether two findings have one cause: what would cure the one is what would cure the other.
fn alike(one: &Finding, other: &Finding) -> bool {
    let words = |finding: &Finding| -> Vec<String> {
        finding.cures.iter().map(|cure| unnamed(&cure.words, &finding.concerns)).collect()
    };
    one.code == other.code
        && one.severity == other.severity
        && one.stage == other.stage
        && one.withholds == other.withholds
        && words(one) == words(other)
}

/// A sentence without the names it is about.
fn unnamed(sentence: &str, names: &[String]) -> String {
    names.iter().fold(sentence.to_owned(), |left, name| left.replace(name.as_str(), "\u{0}"))
}

/// One finding for a group; none for an empty one.
fn one(group: &[Finding]) -> Option<Finding> {
    let share = |finding: &Finding| finding.working.as_ref().and_then(share_used).unwrap_or(0.0);
    let mut worst = group.first()?;
    for finding in group {
        if share(finding) > share(worst) {
            worst = finding;
        }
    }
    let mut gathered = worst.clone();
    if group.len() == 1 {
        return Some(gathered);
    }
    gathered.concerns = union(group.iter().flat_map(|finding| &finding.concerns));
    gathered.cures = cures(group);
    // All cases in one: nothing is left to tell apart, unless all tell the same apart.
    gathered.discriminator.clone_from(&group[0].discriminator);
    if group.iter().any(|finding| finding.discriminator != gathered.discriminator) {
        gathered.discriminator = None;
    }
    gathered.verdict.push_str(&tail(group, worst));
    Some(gathered)
}

/// How many more there are, and which.
fn tail(group: &[Finding], worst: &Finding) -> String {
    let bare = |finding: &Finding| unnamed(&finding.verdict, &finding.concerns);
    let same = group.iter().all(|finding| bare(finding) == bare(worst));
    // Where they differ in the names alone, the one that is said is not named twice.
    let said: Vec<&Finding> =
        group.iter().filter(|finding| !same || !std::ptr::eq(*finding, worst)).collect();
    let names = union(said.iter().flat_map(|finding| {
        let own: Vec<&str> = finding
            .concerns
            .iter()
            .filter(|name| !group.iter().all(|other| other.concerns.contains(name)))
            .map(String::as_str)
            .collect();
        (!own.is_empty()).then(|| own.join(" "))
    }));
    match (same, said.len()) {
        (true, more) => format!("; the same for {more} more{}", listed(&names)),
        (false, all) => format!("; the worst of {all}{}", listed(&names)),
    }
}

/// Names after a colon: the first of them, and how many others.
fn listed(names: &[String]) -> String {
    match names.len() {
        0 => String::new(),
        all if all <= MOST_NAMES + 1 => format!(": {}", names.join(", ")),
        all => format!(": {} and {} others", names[..MOST_NAMES].join(", "), all - MOST_NAMES),
    }
}

/// Everything once, in the order in which it comes.
fn union<T: Clone + PartialEq>(all: impl IntoIterator<Item = impl std::borrow::Borrow<T>>) -> Vec<T> {
    let mut kept: Vec<T> = Vec::new();
    for one in all {
        if !kept.contains(one.borrow()) {
            kept.push(one.borrow().clone());
        }
    }
    kept
}

/// The cures of all, each once: the same words with another value to change stay a cure of their own.
fn cures(group: &[Finding]) -> Vec<Cure> {
    union(group.iter().flat_map(|finding| &finding.cures))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may fail")]
mod tests {
    use super::*;
    use crate::note::{Also, finding, used, working};
    use finding::Severity;

    fn glows(name: &str, share: f64, cure: &str) -> Finding {
        let working = working("channel-current", Vec::new(), String::new(), None, Some(used(share, 1.0)));
        finding(
            "drive/glows",
            Severity::Caution,
            "switch",
            &[name, "box P"],
            format!("{name} glows at {share} A"),
        )
        .working(working)
        .cure(cure, None)
    }

    #[test]
    fn one_cause_is_said_once_of_the_worst_and_names_all() {
        let found = gather(vec![glows("a", 0.2, "x"), glows("b", 0.9, "x"), glows("c", 0.4, "x")]);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].verdict, "b glows at 0.9 A; the worst of 3: a, b, c");
        assert_eq!(found[0].concerns, ["a", "box P", "b", "c"]);
        assert_eq!(found[0].cures.len(), 1);
        assert!(found[0].working.as_ref().unwrap().margin.as_ref().unwrap().starts_with("90 %"));
    }

    #[test]
    fn another_cure_is_another_cause() {
        let found = gather(vec![glows("a", 0.2, "x"), glows("b", 0.2, "y")]);
        assert_eq!(found.len(), 2);
        assert_eq!(found[0].verdict, "a glows at 0.2 A");
    }

    #[test]
    fn what_differs_in_the_name_alone_is_told_as_the_same() {
        let many: Vec<Finding> = (1..=9).map(|number| glows(&format!("bunch {number}"), 0.2, "x")).collect();
        let found = gather(many);
        assert_eq!(found.len(), 1);
        assert_eq!(
            found[0].verdict,
            "bunch 1 glows at 0.2 A; the same for 8 more: bunch 2, bunch 3, bunch 4, bunch 5, bunch 6, bunch 7 and 2 others"
        );
        assert_eq!(found[0].concerns.len(), 10);
    }
}
