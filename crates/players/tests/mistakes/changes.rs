//! How the C of a rule set is changed.

/// A mistake: its name, and what it changes in the C of a rule set.
pub(crate) struct Mistake {
    pub(crate) name: &'static str,
    pub(crate) make: fn(&str) -> String,
}

/// Lines that fit are changed.
pub(crate) fn lines(c: &str, fits: impl Fn(&str) -> bool, change: impl Fn(&str) -> String) -> String {
    c.lines().map(|line| if fits(line) { change(line) } else { line.to_owned() } + "\n").collect()
}

/// Swaps two neighbouring lines where both fit.
pub(crate) fn swapped(c: &str, first: impl Fn(&str) -> bool, second: impl Fn(&str) -> bool) -> String {
    let mut lines: Vec<&str> = c.lines().collect();
    let mut at = 0;
    while at + 1 < lines.len() {
        if first(lines[at]) && second(lines[at + 1]) {
            lines.swap(at, at + 1);
            at += 1;
        }
        at += 1;
    }
    lines.iter().map(|line| format!("{line}\n")).collect()
}

/// Changes every function whose head begins like this.
pub(crate) fn in_functions(c: &str, head: &str, change: impl Fn(&str) -> String) -> String {
    let start = format!("\n{head}");
    let mut parts = c.split(start.as_str());
    let mut changed = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let end = part.find("\n}\n").map_or(part.len(), |end| end + 1);
        changed.push_str(&start);
        changed.push_str(&change(&part[..end]));
        changed.push_str(&part[end..]);
    }
    changed
}

/// A line that asks something.
pub(crate) fn asks(line: &str) -> bool {
    line.trim_start().starts_with("if (") || line.contains("const bool way_")
}

/// A part of a name.
pub(crate) fn word(c: char) -> bool {
    c.is_ascii_alphanumeric() || c == '_'
}

pub(crate) fn is_call(line: &str, prefix: &str) -> bool {
    line.trim_start().starts_with(prefix) && line.ends_with("();")
}

pub(crate) fn after_step(c: &str, change: impl Fn(&str) -> String) -> String {
    match c.split_once("void rules_step(") {
        Some((before, step)) => format!("{before}void rules_step({}", change(step)),
        None => c.to_owned(),
    }
}

/// A stored value without what holds it to its range.
pub(crate) fn unheld(line: &str) -> String {
    let within = |line: &str| {
        let (before, after) = line.split_once("hold_wide(")?;
        Some(format!("{before}{};", after.split_once(',')?.0))
    };
    within(line).unwrap_or_else(|| line.to_owned())
}
