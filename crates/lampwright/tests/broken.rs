//! Thirty ways to break the waving fox: each is found at its place, and nothing is written.
#![allow(clippy::disallowed_methods, reason = "tests run the program on real files")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests stand outside the test functions")]

mod support;

use support::{Fox, code, json, names};

const DISPLAY: &str = "display.toml";
const DRAWING: &str = "art/fox.svg";
const RULES: &str = "waving-fox.rules";

/// A file, the words replaced, what is put there, and the fault's code; `^` marks where the fault is to be found.
type Broken = (&'static str, &'static str, &'static str, &'static str);

const BROKEN: [Broken; 30] = [
    (DISPLAY, "height  = \"4 ft\"", "height  = ^4", "quantity/bare-number"),
    (DISPLAY, "height  = \"4 ft\"", "^heigth = \"4 ft\"", "key/unknown"),
    (DISPLAY, "\"4 ft\"", "\"4 ^fort\"", "quantity/unknown-unit"),
    (DISPLAY, "\"plywood-1-4-4x8\"", "^\"plywod-1-4-4x8\"", "part/unknown"),
    (DISPLAY, "units = \"in\"", "units = ^\"inches\"", "value/choice"),
    (DISPLAY, "\"Waving fox\"", "^5", "value/wrong-kind"),
    (DISPLAY, "\"art/fox.svg\"", "^\"art/fx.svg\"", "file/missing"),
    (DISPLAY, "[panel.fox]", "[panel.^cat]", "figure/unknown"),
    (DISPLAY, "\"class2-12v-5a\"", "^\"class2-12v-5b\"", "part/unknown"),
    (DISPLAY, "lamp  = true", "lamp  = ^\"yes\"", "value/wrong-kind"),
    (DRAWING, "<g id=\"left\">", "^<g>", "drawing/group-without-id"),
    (
        DRAWING,
        "\"right\">\n    <use href=\"#body\"/>",
        "\"right\">\n    <use href=\"^#bodi\"/>",
        "drawing/unknown-id",
    ),
    (
        DRAWING,
        "\"right\">\n    <use href=\"#body\"/>",
        "\"right\">\n    <use href=\"^o.svg#a\"/>",
        "drawing/external",
    ),
    (DRAWING, "id=\"right\"", "id=\"^left\"", "drawing/duplicate-id"),
    (DRAWING, "id=\"right\"", "id=\"^my right\"", "drawing/bad-name"),
    (DRAWING, "<g id=\"left\">", "^<path d=\"M0 0 L9 9\"/><g id=\"left\">", "drawing/outside-groups"),
    (DRAWING, "<g id=\"left\">", "<g id=\"left\" transform=\"^turn(3)\">", "drawing/bad-transform"),
    (DRAWING, "<g id=\"left\">", "<g id=\"left\">^<text>x</text>", "drawing/not-a-line"),
    (DRAWING, "<svg xmlns", "^<!DOCTYPE svg [<!ENTITY a \"b\">]><svg xmlns", "drawing/doctype"),
    (DRAWING, "</defs>", "^</dfs>", "drawing/not-xml"),
    (RULES, "shows right", "shows ^rihgt", "rules/unknown-pose"),
    (RULES, "sitting on press wave", "sitting on press ^wav", "rules/unknown-button"),
    (RULES, "after 600 ms", "after ^600", "rules/unit-missing"),
    (RULES, "after 600 ms", "after ^605 ms", "rules/whole-ticks"),
    (RULES, "swings 0..6 = 0", "swings 0..6 = ^9", "rules/start-outside"),
    (RULES, "  timer restless\n\n", "  timer ^swings\n\n", "rules/duplicate"),
    (RULES, "machine fox", "^widget fox", "rules/outside-machine"),
    (RULES, "do swings = 6", "do ^swing = 6", "rules/unknown-number"),
    (RULES, "glowing               lights wave", "glowing                lights ^wve", "rules/unknown-spot"),
    (
        RULES,
        "glowing         after 600 ms                      go asleep",
        "glowing after 600 ms go ^aslep",
        "rules/unknown-state",
    ),
];

/// Line and column, counted from 1, of the mark in a text; columns count characters.
fn place_of_mark(text: &str) -> (u64, u64) {
    let before = &text[..text.find('^').unwrap()];
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap_or(before).chars().count() + 1;
    (line as u64, column as u64)
}

/// What is wrong with how one broken display is answered.
fn complaint((file, from, to, expected): Broken) -> Option<String> {
    let fox = Fox::new();
    fox.change(file, from, to);
    let path = fox.folder().join(file);
    let marked = std::fs::read_to_string(&path).unwrap();
    let (line, column) = place_of_mark(&marked);
    std::fs::write(&path, marked.replacen('^', "", 1)).unwrap();
    let before = names(&fox.folder());
    for command in ["check", "build"] {
        let output = fox.run(command, &["--json"]);
        let report = json(&output);
        let faults = report["faults"].as_array().unwrap();
        let located = faults.iter().any(|fault| {
            let at = &fault["at"];
            fault["code"] == expected && at["file"] == file && at["line"] == line && at["column"] == column
        });
        if code(&output) != 2 || !located {
            let found: Vec<_> = faults.iter().map(|it| format!("{} {}", it["code"], it["at"])).collect();
            return Some(format!(
                "{to:?}: {command} ended with {}, expected {expected} at {line}:{column}, found {found:#?}",
                code(&output)
            ));
        }
    }
    (names(&fox.folder()) != before).then(|| format!("{to:?}: something was written"))
}

#[test]
fn every_broken_display_is_located_and_nothing_is_written() {
    let complaints: Vec<String> = BROKEN.into_iter().filter_map(complaint).collect();
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
}
