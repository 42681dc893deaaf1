//! Rules too large for a page, and what needs a display of its own.

use super::Said;
use rules::codes::example_display;
use rules::interface::Interface;

/// One case: rules, the display, and what is told.
type Case = (String, Interface, Said);

fn too(code: &str, at: Option<(usize, usize, &str)>, message: &str, expected: &str) -> Said {
    Said {
        at: at.map(|(line, column, words)| (line, column, words.to_owned())),
        severity: "fault",
        code: code.to_owned(),
        message: message.to_owned(),
        expected: Some(expected.to_owned()),
        help: Vec::new(),
    }
}

/// Every case.
pub(crate) fn all() -> Vec<Case> {
    let mut cases = expressions();
    cases.extend(machines());
    cases.extend(displays());
    cases
}

fn expressions() -> Vec<Case> {
    let fox = "machine fox\nnumber n 0..9\nstate a\n";
    let here = |rules: String, said: Said| (format!("{fox}{rules}\n"), example_display(), said);
    let deep = "this expression is nested more than 64 deep";
    let help =
        |said: Said| Said { help: vec!["keep a part of it in a number of its own".to_owned()], ..said };
    let simpler = "expected a simpler expression";
    let whole = format!("n{}", "+1".repeat(64));
    let long = help(too("too-deep", Some((4, 8, &whole)), deep, simpler));
    let bracket = help(too("too-deep", Some((4, 73, "(")), deep, simpler));
    let negated = help(too("too-deep", Some((4, 268, "not")), deep, simpler));
    let conditions: String = (1..=40).map(|n| format!("condition c{n} = not c{}\n", n - 1)).collect();
    let chain = format!("condition c0 = n-free\n{conditions}").replace("n-free", "fox is a");
    vec![
        here(format!("a when n{} > 0 stay", "+1".repeat(70)), long),
        here(format!("a when {}n{} > 0 stay", "(".repeat(80), ")".repeat(80)), bracket),
        here(format!("a when {}n > 0 stay", "not ".repeat(80)), negated),
        (
            format!("{chain}{fox}a when c40 stay\n"),
            example_display(),
            too(
                "too-deep",
                Some((9, 16, "not c7")),
                "with its conditions this expression is nested more than 64 deep",
                "expected simpler conditions",
            ),
        ),
    ]
}

fn machines() -> Vec<Case> {
    let here = |rules: String, said: Said| (rules, example_display(), said);
    let many = |count: usize, line: &dyn Fn(usize) -> String| (0..count).map(line).collect::<String>();
    let ands = " and (n > 0 or n > 1 or n > 2 or n > 3 or n > 4 or n > 5 or n > 6 or n > 7)".repeat(40);
    let wide = format!("any when n > 0{ands} stay");
    let thousand = "expected at most 1000";
    vec![
        here(
            many(251, &|m| format!("machine m{m}\nstate s\n")),
            too(
                "too-many",
                Some((501, 9, "m250")),
                "this machine is one too many",
                "expected at most 250; a `per side` machine counts once for each side",
            ),
        ),
        here(
            format!("machine m\n{}", many(1001, &|s| format!("state s{s}\n"))),
            too("too-many", Some((1002, 7, "s1000")), "this is state number 1001", thousand),
        ),
        here(
            format!("machine m\nstate s\n{}", many(1001, &|t| format!("timer t{t}\n"))),
            too("too-many", Some((1003, 7, "t1000")), "this is timer number 1001", thousand),
        ),
        here(
            format!("machine m\n{}s0 when m is s0 stay\n", many(257, &|s| format!("state s{s}\n")))
                + &"any on press wave stay\n".repeat(255),
            too(
                "too-many",
                Some((514, 1, "any on press wave stay")),
                "these rules have too many ways out of states",
                "expected at most 65535",
            ),
        ),
        here(
            format!("machine m\nnumber n 0..9\n{}{wide}\n", many(1000, &|s| format!("state s{s}\n"))),
            too(
                "too-many",
                Some((1003, 1, &wide)),
                "these rules are too large to be played",
                "expected at most 1000000 parts of expressions",
            ),
        ),
    ]
}

fn displays() -> Vec<Case> {
    let rules = "machine m\nstate s\n".to_owned();
    let (mut poses, mut places) = (example_display(), example_display());
    poses.figures[0].poses = (0..255).map(|pose| format!("p{pose}")).collect();
    places.spots[5].count = 65_531;
    let bell = Interface { buttons: vec!["bell".to_owned()], ..Interface::default() };
    let lampless = Some((2, 16, "button"));
    vec![
        (
            "machine m\nstate s lights button\n".to_owned(),
            bell,
            too("unknown-spot", lampless, "button `bell` has no lamp", "expected a spot"),
        ),
        (
            "machine m\nstate s\ns on press button stay\n".to_owned(),
            Interface::default(),
            too(
                "which-button",
                Some((3, 12, "button")),
                "the display has no button",
                "expected the name of one of them",
            ),
        ),
        (rules.clone(), poses, too("too-many", None, "figure `fox` has 255 poses", "expected at most 254")),
        (
            rules,
            places,
            too(
                "too-many",
                None,
                "the display offers 65536 places of one kind to its rules",
                "expected at most 65535",
            ),
        ),
    ]
}
