//! Every message that the reader can give, as a builder meets it: place, words, what was expected, what helps.
//!
//! `tests/messages/*.txt` shows them. A part is a few lines of rules with, below the line that is at fault, its underlined
//! words and what was expected (`^^^`, or `!` for a point between two characters; `-` where there is no place), then the
//! message, then the help. A line `== NAME` says which rules stand above the parts behind it. What is expected was written from what the rules mean.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic, reason = "test code: a panic is a failed test")]
#![allow(clippy::disallowed_methods, reason = "tests read the sources they are about")]

mod prose;

use finding::{Fault, Severity};
use rules::interface::Interface;
use rules::step::Start;
use rules::vectors::{TickIn, play};
use source::{LineColumn, Text};
use std::collections::BTreeSet;
use std::path::Path;

const FILES: [&str; 7] = [
    include_str!("messages/lines.txt"),
    include_str!("messages/slips.txt"),
    include_str!("messages/names.txt"),
    include_str!("messages/values.txt"),
    include_str!("messages/shown.txt"),
    include_str!("messages/play.txt"),
    include_str!("messages/whole.txt"),
];

/// The rules above a part; nothing is wrong in any of them.
fn above(name: &str) -> &'static str {
    match name {
        "nothing" => "",
        "fox" => "machine fox\nstate a\nstate b\na after 10 ms go b\nb after 10 ms go a\n",
        "sides" => {
            "sides west, east\nmachine paw per side\nstate down\nstate up\ndown on press button go up\nup after 1 s go down\n"
        }
        other => panic!("no rules are called {other}"),
    }
}

/// A fault as it is read by the builder.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Said {
    /// Line, column and the underlined words; none where there is no place.
    at: Option<(usize, usize, String)>,
    severity: &'static str,
    code: String,
    message: String,
    expected: Option<String>,
    help: Vec<String>,
}

fn said(fault: &Fault, text: &Text) -> Said {
    let at = fault.place.as_ref().map(|place| {
        let LineColumn { line, column } = text.line_column(place.start);
        (line, column, text.at(place).to_owned())
    });
    Said {
        at,
        severity: fault.severity.word(),
        code: fault.code.strip_prefix("rules/").unwrap().to_owned(),
        message: fault.message.clone(),
        expected: fault.expected.clone(),
        help: fault.hints.clone(),
    }
}

/// What the rules give, except that poses are not shown: the parts have better things to do.
fn read(rules: &str, display: &Interface, poses: bool) -> Vec<Said> {
    let text = Text::new("a.rules", rules);
    let (_, faults) = rules::read(&text, display);
    let mut all: Vec<Said> = faults.iter().map(|fault| said(fault, &text)).collect();
    all.retain(|said| poses || said.code != "pose-unshown");
    all.sort();
    all
}

/// A part of a file: its rules, and what they give.
struct Part {
    rules: String,
    gives: Vec<Said>,
}

fn parts(file: &str) -> Vec<Part> {
    let mut parts = Vec::new();
    let mut head = "";
    for block in file.split("\n\n") {
        let mut lines = block.trim_end().lines().peekable();
        if let Some(name) = lines.peek().and_then(|line| line.strip_prefix("== ")) {
            head = above(name);
            lines.next();
        }
        if lines.peek().is_some() {
            parts.push(part(head, lines));
        }
    }
    parts
}

fn part<'a>(head: &str, lines: impl Iterator<Item = &'a str>) -> Part {
    let (mut rules, mut gives) = (head.to_owned(), Vec::<Said>::new());
    // Where the next message stands, and what was expected there.
    let mut mark = None;
    for line in lines {
        if let Some(help) = line.strip_prefix("help: ") {
            gives.last_mut().unwrap().help.push(help.to_owned());
        } else if let Some((severity, code, message)) = verdict(line) {
            let (at, expected) = mark.take().unwrap_or_default();
            let (code, message) = (code.to_owned(), message.to_owned());
            gives.push(Said { at, severity, code, message, expected, help: Vec::new() });
        } else if let Some(expected) = line.strip_prefix("- ") {
            mark = Some((None, Some(expected.to_owned())));
        } else if line.trim_start().starts_with(['^', '!']) {
            let (number, above) = (rules.lines().count(), rules.lines().last().unwrap());
            mark = Some(underline(line, number, above));
        } else {
            rules.push_str(line);
            rules.push('\n');
        }
    }
    gives.sort();
    Part { rules, gives }
}

/// `fault CODE: MESSAGE` or `caution CODE: MESSAGE`.
fn verdict(line: &str) -> Option<(&'static str, &str, &str)> {
    let words = [Severity::Fault, Severity::Caution].map(Severity::word);
    let severity = words.into_iter().find(|word| line.split(' ').next() == Some(word))?;
    let (code, message) = line[severity.len() + 1..].split_once(": ")?;
    Some((severity, code, message))
}

type Mark = (Option<(usize, usize, String)>, Option<String>);

fn underline(mark: &str, number: usize, above: &str) -> Mark {
    let start = mark.len() - mark.trim_start().len();
    let long = mark.chars().filter(|c| *c == '^').count();
    let expected = mark.trim_start().trim_start_matches(['^', '!']).trim_start();
    let words: String = above.chars().skip(start).take(long).collect();
    assert_eq!(words.chars().count(), long, "{above}");
    (Some((number, start + 1, words)), (!expected.is_empty()).then(|| expected.to_owned()))
}

fn every_part() -> Vec<Part> {
    FILES.iter().flat_map(|file| parts(file)).collect()
}

#[test]
fn every_part_gives_what_it_shows_and_nothing_else() {
    let mut wrong = Vec::new();
    for Part { rules, gives } in every_part() {
        let poses = gives.iter().any(|said| said.code == "pose-unshown");
        let found = read(&rules, &rules::codes::example_display(), poses);
        if found != gives {
            wrong.push(format!("{rules}\ngives {found:#?}\ninstead of {gives:#?}"));
        }
    }
    assert!(wrong.is_empty(), "{} parts\n{}", wrong.len(), wrong.join("\n\n"));
}

/// Whatever is wrong above it, a machine without faults is the very machine that it is alone, and plays.
#[test]
fn a_fault_costs_no_other_machine_anything() {
    let witness = "machine witness\nnumber w 0..9\ntimer rest\nstate x lights lamp\nstate y\n\
                   x on press wave do w = min(w + 1, 9), start rest for 30 ms go y\ny on timer rest go x\n";
    let read = |rules: &str| {
        let (form, faults) = rules::read(&Text::new("a.rules", rules), &rules::codes::example_display());
        (form, faults.iter().any(Fault::stops))
    };
    let alone = read(witness).0.machines.remove(0);
    let mut tried = 0;
    for part in every_part() {
        let (form, stops) = read(&format!("{}{witness}", part.rules));
        if !stops {
            continue;
        }
        tried += 1;
        let m = form.machines.iter().position(|machine| machine.name == "witness").unwrap();
        let json = |machine: &rules::form::Machine, own: usize| {
            serde_json::to_string(machine).unwrap().replace(&format!("\"m\":{own},"), "\"m\":own,")
        };
        assert_eq!(json(&form.machines[m], m), json(&alone, 0), "{}", part.rules);
        let pressed = TickIn { pressed: vec![0], ..TickIn::default() };
        let played = play(&form, &Start::default(), &[TickIn::default(), pressed]);
        let lit = |at: usize| played[at].1.spots[3];
        assert_eq!((lit(0), lit(1)), (255, 0), "{}", part.rules);
    }
    assert!(tried > 140, "{tried} parts with faults");
}

#[test]
fn every_code_is_shown() {
    let shown: BTreeSet<String> = told().into_iter().map(|said| format!("rules/{}", said.code)).collect();
    let codes = rules::codes::groups();
    let missing: Vec<&str> = codes
        .iter()
        .flat_map(|group| group.codes)
        .map(|known| known.code)
        .filter(|code| !shown.contains(*code))
        .collect();
    assert_eq!(missing, Vec::<&str>::new());
}

/// Whatever stands in the reader's sources as words for people must have been shown here, filled in.
#[test]
fn every_sentence_in_the_sources_is_shown() {
    let mut words = Vec::new();
    for said in told() {
        words.push(said.message);
        words.extend(said.expected);
        words.extend(said.help);
    }
    let sources = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let sentences = prose::sentences(&sources);
    assert!(sentences.len() > 200, "only {} sentences found", sentences.len());
    let missing: Vec<&String> =
        sentences.iter().filter(|sentence| !words.iter().any(|words| prose::fits(sentence, words))).collect();
    assert!(missing.is_empty(), "{} of {}: {missing:#?}", missing.len(), sentences.len());
}

/// What the parts show, and what needs more rules or another display than fit there.
fn told() -> Vec<Said> {
    let parts = every_part().into_iter().flat_map(|part| part.gives);
    parts.chain(large::all().into_iter().map(|(_, _, said)| said)).collect()
}

mod large;

#[test]
fn what_is_too_large_is_told() {
    for (rules, display, expected) in large::all() {
        let found = read(&rules, &display, false);
        assert!(found.contains(&expected), "{expected:#?} is not among {:#?}", &found[..found.len().min(5)]);
        let stops = found.iter().filter(|said| said.severity == "fault").count();
        assert_eq!(stops, 1, "{:#?}", &found[..found.len().min(5)]);
    }
}
