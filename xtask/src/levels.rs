//! Which crate stands on which level. Dependencies go strictly down, but for the few edges named here.

/// Every crate of the workspace with its level.
pub(crate) const LEVELS: &[(&str, u8)] = &[
    ("source", 0),
    ("quantity", 0),
    ("geometry", 0),
    ("finding", 1),
    ("drawing", 1),
    ("reckoning", 2),
    ("parts", 2),
    ("rules", 2),
    ("display", 3),
    ("prove", 3),
    ("rehearse", 3),
    ("plan", 4),
    ("firmware", 5),
    ("book", 5),
    ("workbench", 6),
    ("lampwright", 7),
];

/// Tools and test crates: they may use anything, and nothing that users run may use them.
pub(crate) const TOOLS: &[&str] = &["emulated", "players", "xtask"];

/// Edges on one level: a drawing reports faults with the same records as everything else.
pub(crate) const SIDEWAYS: &[(&str, &str)] = &[("drawing", "finding")];

/// The level of a crate; none for tools and for crates nobody has placed.
fn level(name: &str) -> Option<u8> {
    LEVELS.iter().find(|(known, _)| *known == name).map(|(_, level)| *level)
}

/// Whether the table knows a crate.
pub(crate) fn knows(name: &str) -> bool {
    level(name).is_some() || TOOLS.contains(&name)
}

/// Why a crate may not depend on another, both of the workspace; none when it may.
pub(crate) fn objection(from: &str, to: &str) -> Option<String> {
    if TOOLS.contains(&from) || SIDEWAYS.contains(&(from, to)) {
        return None;
    }
    if TOOLS.contains(&to) {
        return Some(format!("{from} depends on {to}, which is for tests only"));
    }
    match (level(from), level(to)) {
        (Some(above), Some(below)) if above > below => None,
        (Some(above), Some(below)) => Some(format!("{from} (level {above}) depends on {to} (level {below})")),
        _ => Some(format!("{from} or {to} has no level in xtask/src/levels.rs")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn edges_go_down() {
        assert_eq!(objection("plan", "display"), None);
        assert_eq!(objection("drawing", "finding"), None);
        assert_eq!(objection("players", "plan"), None);
        for (from, to) in
            [("display", "plan"), ("finding", "drawing"), ("book", "firmware"), ("plan", "emulated")]
        {
            assert!(objection(from, to).is_some(), "{from} -> {to}");
        }
        assert!(objection("plan", "weather").is_some());
    }
}
