//! Broken and hostile drawings: every fault has its code and the line and column it stands at.

use drawing::read_svg;
use proptest::prelude::*;
use source::Text;

/// The faults of a drawing as `code line:column`.
fn faults(content: &str) -> Vec<String> {
    let text = Text::new("art/x.svg", content);
    let (_, faults) = read_svg(&text);
    faults
        .iter()
        .map(|fault| {
            let place = fault.place.as_ref().expect("every fault has a place");
            assert!(place.end <= content.len(), "{place:?}");
            let at = text.line_column(place.start);
            format!("{} {}:{}", fault.code, at.line, at.column)
        })
        .collect()
}

/// A drawing whose second line is the given one, inside a group, after a good line.
fn in_group(line: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\"><g id=\"left\"><path d=\"M0 0H9\"/>\n{line}\n</g></svg>"
    )
}

#[test]
fn what_is_in_a_group_is_located() {
    for (line, expected) in [
        ("<text>hello</text>", "drawing/not-a-line 2:1"),
        ("  <image href=\"x.png\"/>", "drawing/not-a-line 2:3"),
        ("<path d=\"M0 0 L10 zebra\"/>", "drawing/bad-path 2:10"),
        ("<circle cx=\"0\" cy=\"NaN\" r=\"4\"/>", "drawing/bad-number 2:20"),
        ("<circle cx=\"0\" r=\"inf\"/>", "drawing/bad-number 2:19"),
        ("<circle cx=\"0\" r=\"0\"/>", "drawing/no-size 2:19"),
        ("<rect width=\"10\" height=\"50%\"/>", "drawing/bad-number 2:26"),
        ("<polyline points=\"0 0 1 1 two\"/>", "drawing/bad-number 2:19"),
        ("<polygon points=\"0 0 1 1 2\"/>", "drawing/bad-number 2:18"),
        ("<line x2=\"2000000\"/>", "drawing/too-far 2:1"),
        ("<path d=\"M0 0L1e300 0\"/>", "drawing/too-far 2:1"),
        ("<g transform=\"rotate(a)\"><path d=\"M0 0H1\"/></g>", "drawing/bad-transform 2:15"),
        ("<use href=\"other.svg#fox\"/>", "drawing/external 2:12"),
        ("<use/>", "drawing/external 2:1"),
        ("<use href=\"#nobody\"/>", "drawing/unknown-id 2:12"),
        ("<use href=\"#left\"/>", "drawing/use-cycle 2:12"),
        ("<g id=\"a\"/><g id=\"a\"/>", "drawing/duplicate-id 2:19"),
    ] {
        assert_eq!(faults(&in_group(line)), [expected], "{line}");
    }
}

#[test]
fn what_is_wrong_with_the_whole_is_located() {
    let open = "<svg xmlns=\"http://www.w3.org/2000/svg\">\n";
    for (content, expected) in [
        ("<svg>\n<g id=\"a\">\n</svg>".to_owned(), "drawing/not-xml 3:1"),
        ("just words".to_owned(), "drawing/not-xml 1:1"),
        ("<html/>".to_owned(), "drawing/not-svg 1:1"),
        (format!("{open}</svg>"), "drawing/no-groups 1:1"),
        (format!("{open}<g><path d=\"M0 0H9\"/></g></svg>"), "drawing/group-without-id 2:1"),
        (format!("{open}<g id=\"left arm\"><path d=\"M0 0H9\"/></g></svg>"), "drawing/bad-name 2:8"),
        (format!("{open}<g id=\"left\"></g></svg>"), "drawing/empty-pose 2:1"),
        (format!("{open}<g id=\"left\"><path d=\"M5 5L5 5\"/></g></svg>"), "drawing/no-size 2:1"),
        (
            format!("{open}<g id=\"a\"><path d=\"M0 0H9\"/></g>\n<path d=\"M0 0\"/></svg>"),
            "drawing/outside-groups 3:1",
        ),
        (
            "<!DOCTYPE svg [<!ENTITY a \"aaaa\"><!ENTITY b \"&a;&a;\">]>\n<svg><g id=\"x\">&b;</g></svg>"
                .to_owned(),
            "drawing/doctype 1:1",
        ),
    ] {
        assert_eq!(faults(&content), [expected], "{content}");
    }
}

#[test]
fn deep_nesting_is_refused_before_it_is_read() {
    let deep = |depth: usize| format!("<svg>{}{}</svg>", "<g id='a>'>".repeat(depth), "</g>".repeat(depth));
    assert_eq!(faults(&deep(100_000)), ["drawing/too-deep 1:699"]);
    let shallow = faults(&deep(60));
    assert_eq!(shallow.iter().filter(|fault| fault.starts_with("drawing/duplicate-id")).count(), 59);
    assert!(!shallow.iter().any(|fault| fault.starts_with("drawing/too-deep")), "{shallow:?}");
}

#[test]
fn uses_that_multiply_are_counted() {
    let mut content = String::from("<svg><defs><path id=\"u0\" d=\"M0 0H9\"/>");
    for level in 1..12 {
        let inner = format!("<use href=\"#u{}\"/>", level - 1).repeat(10);
        content += &format!("<g id=\"u{level}\">{inner}</g>");
    }
    content += "</defs><g id=\"bomb\"><use href=\"#u11\"/></g></svg>";
    let found = faults(&content);
    assert_eq!(found.len(), 1);
    assert!(found[0].starts_with("drawing/too-many-elements"), "{found:?}");
}

#[test]
fn two_elements_that_use_each_other_are_a_cycle() {
    let line =
        "<use href=\"#p\"/><defs><g id=\"p\"><use href=\"#q\"/></g><g id=\"q\"><use href=\"#p\"/></g></defs>";
    let found = faults(&in_group(line));
    assert!(found.len() == 1 && found[0].starts_with("drawing/use-cycle 2:"), "{found:?}");
}

#[test]
fn too_many_points_are_refused() {
    let path = format!("<path d=\"M0 0{}\"/>", "H1H2".repeat(110_000));
    assert_eq!(faults(&in_group(&path)), ["drawing/too-many-points 2:1"]);
}

#[test]
fn several_faults_are_all_told() {
    assert_eq!(
        faults(&in_group("<text/><circle r=\"x\"/>")),
        ["drawing/not-a-line 2:1", "drawing/bad-number 2:19"]
    );
}

proptest! {
    #[test]
    fn any_text_is_read_without_a_panic(content in ".{0,200}") {
        faults(&content);
    }

    #[test]
    fn any_attribute_is_read_without_a_panic(
        name in prop::sample::select(vec!["path", "rect", "circle", "polyline", "polygon", "use", "g", "line", "ellipse"]),
        attribute in prop::sample::select(vec!["d", "points", "r", "width", "rx", "transform", "href", "style", "x1"]),
        value in "[-+0-9eE., MLHVCSQTAZmlhvcsqtaz()#%a-z]{0,40}",
    ) {
        faults(&in_group(&format!("<{name} {attribute}=\"{value}\"/>")));
    }

    #[test]
    fn cut_short_drawings_are_read_without_a_panic(at in 0usize..400) {
        let whole = in_group("<use href=\"#nobody\" x=\"3\"/><!-- \u{e4} --><rect width=\"4\" height=\"5\" rx=\"1\"/>");
        let cut: String = whole.chars().take(at).collect();
        faults(&cut);
    }
}
