//! The words for people in sources: every string with a space in it, outside comments, attributes, tests, the registry and the schema.

use std::collections::BTreeSet;
use std::path::Path;

/// Every such string below a folder.
pub(crate) fn sentences(folder: &Path) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for entry in std::fs::read_dir(folder).unwrap().map(Result::unwrap) {
        let path = entry.path();
        if path.is_dir() && !path.ends_with("codes") {
            found.extend(sentences(&path));
        } else if path.extension().is_some_and(|it| it == "rs")
            && !path.ends_with("codes.rs")
            && !path.ends_with("form/schema.rs")
        {
            let content = std::fs::read_to_string(&path).unwrap();
            let own = content.split("#[cfg(test)]").next().unwrap_or_default();
            found.extend(strings(own).into_iter().filter(|words| words.trim().contains(' ')));
        }
    }
    found
}

/// The string literals of a source.
fn strings(source: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut rest = source;
    while let Some(at) = rest.find(['"', '/', '\'']) {
        let (before, here) = rest.split_at(at);
        if here.starts_with("//") {
            rest = here.split_once('\n').map_or("", |(_, after)| after);
        } else if let Some(after) = here.strip_prefix("'\"'") {
            rest = after;
        } else if let Some(inside) = here.strip_prefix('"') {
            let (words, after) = string(inside);
            if !["reason = ", "title = "].iter().any(|attribute| before.ends_with(attribute)) {
                found.push(words);
            }
            rest = after;
        } else {
            rest = &here[1..];
        }
    }
    found
}

/// A string up to its closing mark, and what comes after it.
fn string(source: &str) -> (String, &str) {
    let mut words = String::new();
    let mut chars = source.char_indices();
    while let Some((at, c)) = chars.next() {
        match c {
            '"' => return (words, &source[at + 1..]),
            '\\' => match chars.next() {
                // A line that goes on: the end of the line and what indents the next one are not part of it.
                Some((_, '\n')) => {
                    while chars.clone().next().is_some_and(|(_, c)| c.is_whitespace()) {
                        chars.next();
                    }
                }
                Some((_, 'n')) => words.push('\n'),
                Some((_, other)) => words.push(other),
                None => {}
            },
            c => words.push(c),
        }
    }
    (words, "")
}

/// Whether a string with places to fill in can be found, filled in, in some words.
pub(crate) fn fits(sentence: &str, words: &str) -> bool {
    let mut fixed = Vec::new();
    let mut rest = sentence;
    while let Some((before, after)) = rest.split_once('{') {
        fixed.push(before);
        rest = after.split_once('}').map_or("", |(_, after)| after);
    }
    fixed.push(rest);
    let mut left = words;
    fixed.iter().all(|piece| match left.find(piece) {
        Some(at) => {
            left = &left[at + piece.len()..];
            true
        }
        None => false,
    })
}

#[test]
fn strings_are_found_where_they_stand() {
    let source = "// \"not this\"\nlet a = \"one {x} two\"; f('\"', \"it's \\\"three\\\"\"); g(\"four \\\n      five\")";
    assert_eq!(strings(source), ["one {x} two", "it's \"three\"", "four five"]);
    assert!(fits("one {x} two", "was one 17 two"));
    assert!(!fits("one {x} two", "two 17 one"));
}
