//! Which values a cure may change with one press.

use plan::Plan;

/// The keys that a cure's edit may write, names of the builder left out: how the display is made, and when it runs. Nothing of
/// the house, of a label, of the weather: such a press would clear a danger that is still there.
const MADE: [&str; 11] = [
    "digits height",
    "object hangers",
    "object strand",
    "panel stands guys",
    "place season off",
    "place season on",
    "place season to",
    "register-board part",
    "span hangs ends",
    "span hangs top",
    "span sag",
];

/// Looks at every cure of every finding of a plan.
#[track_caller]
pub(crate) fn only_of_what_is_made(plan: &Plan) {
    for finding in &plan.findings {
        for (path, _) in finding.cures.iter().filter_map(|cure| cure.edit.as_ref()) {
            let written = path.to_string();
            let mut keys: Vec<&str> = written.split('.').collect();
            if keys.len() > 2 && keys[0] != "place" {
                keys.remove(1);
            }
            assert!(MADE.contains(&keys.join(" ").as_str()), "{} edits {path}", finding.code);
        }
    }
}
