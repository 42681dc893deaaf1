//! Every code that `check` can show, gathered from the readers that give them, and the claims that `prove` makes without being asked.

use crate::showing;
use finding::{CodeGroup, Explained};

/// All codes, by what they are about.
pub(crate) fn groups() -> Vec<CodeGroup> {
    let mut groups = rules::codes::groups().to_vec();
    groups.extend([
        CodeGroup {
            title: "display.toml and parts.toml: how they are written",
            codes: parts::codes::WRITTEN,
        },
        CodeGroup { title: "display.toml: things that do not go together", codes: display::codes::TOGETHER },
        CodeGroup { title: "parts", codes: parts::codes::PARTS_CODES },
        CodeGroup { title: "drawings", codes: drawing::codes::CODES },
        CodeGroup { title: "files", codes: display::codes::FILES },
    ]);
    groups.extend(plan::codes::GROUPS);
    groups.push(prove::codes::CLAIMED);
    groups.push(CodeGroup { title: "this report", codes: showing::CODES });
    groups
}

/// What there is to say about a code, or about a claim whatever it is asked of.
pub(crate) fn find(code: &str) -> Option<&'static Explained> {
    let code = if code.starts_with('.') { prove::codes::kind(code) } else { code };
    codes().find(|known| known.code == code)
}

/// Codes that may be meant by one that is not known: what is spelled much like it, and what has its last word in it.
pub(crate) fn near(code: &str) -> Vec<&'static str> {
    let known: Vec<&'static str> = codes().map(|known| known.code).collect();
    let word = code.rsplit('/').next().unwrap_or_default();
    let last = |code: &&'static str| code.rsplit('/').next() == Some(word);
    let within = |code: &&'static str| word.chars().count() > 2 && code.contains(word);
    let mut near: Vec<&'static str> = finding::nearest(code, known.iter().copied()).into_iter().collect();
    for more in known.iter().filter(|code| last(code)).chain(known.iter().filter(|code| within(code))) {
        if !near.contains(more) {
            near.push(more);
        }
    }
    near.truncate(5);
    near
}

fn codes() -> impl Iterator<Item = &'static Explained> {
    groups().into_iter().flat_map(|group| group.codes).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_is_found_and_a_slip_finds_what_is_near() {
        assert_eq!(find("rules/tie").map(|known| known.code), Some("rules/tie"));
        assert!(find("tie").is_none() && find("rules/tie west").is_none());
        assert_eq!(find(".held west").map(|known| known.code), Some(".held"));
        assert_eq!(near(".hom"), [".home"]);
        assert_eq!(near("rules/tei"), ["rules/tie"]);
        assert_eq!(near("tie")[0], "rules/tie");
        assert!(near("unknown-pos").contains(&"rules/unknown-pose"));
        assert_eq!(near("x/qqqq"), Vec::<&str>::new());
    }
}
