//! The page `docs/GRAMMAR.md` and the parser say the same: what the page derives is read, what it does not is refused.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic, reason = "test code: a panic is a failed test")]

#[allow(dead_code, unreachable_pub, reason = "shared by several tests, each using a part")]
mod common;
#[path = "common/ebnf.rs"]
#[allow(dead_code, unreachable_pub, missing_docs, reason = "shared by several tests, each using a part")]
mod ebnf;

use common::cases;
use ebnf::{Dice, Grammar, Recogniser, Sentences, Token, page, tokens};
use rules::interface::Interface;
use source::Text;
use std::collections::BTreeSet;
use std::path::PathBuf;

/// Codes that say a statement is not written as the page says.
const SYNTAX: [&str; 7] = [
    "rules/syntax",
    "rules/statement",
    "rules/reserved",
    "rules/character",
    "rules/chained",
    "rules/pick-place",
    "rules/outside-machine",
];
/// Codes that besides refuse what the page does not derive, with better words than the parser has: a time or seed that is
/// no single number, a number of another machine stored, a claim that goes by a timer.
const FORM: [&str; 4] = ["rules/tick", "rules/seed", "rules/foreign-write", "rules/claim-cause"];
/// Names that mean nothing in the language.
const NAMES: [&str; 6] = ["fox", "a", "arm-up", "_x9", "Räder", "t"];

fn grammar() -> Grammar {
    Grammar::of(&page())
}

/// The codes of the faults of one statement, behind a machine that it can belong to.
fn codes(statement: &str) -> BTreeSet<&'static str> {
    let text = Text::new("a.rules", format!("machine m\nstate s\n{statement}\n"));
    rules::read(&text, &Interface::default()).1.iter().map(|fault| fault.code).collect()
}

fn refused(statement: &str, by: &[&str]) -> bool {
    codes(statement).iter().any(|code| by.contains(code))
}

fn written(sentence: &[Token]) -> String {
    sentence.iter().map(Token::text).collect::<Vec<_>>().join(" ")
}

/// The words that the page says cannot be names.
fn reserved() -> BTreeSet<String> {
    let page = page();
    let listed = page.split("The words `").nth(1).unwrap().split('`').next().unwrap();
    listed.split_whitespace().map(str::to_owned).collect()
}

/// Every statement of the displays' rules and of the suite.
#[allow(clippy::disallowed_methods, reason = "tests read the displays' rules")]
fn corpus() -> Vec<String> {
    let displays = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../displays");
    let mut texts: Vec<String> = cases().into_iter().map(|case| case.text).collect();
    let mut games = 0;
    for folder in std::fs::read_dir(displays).unwrap() {
        for entry in std::fs::read_dir(folder.unwrap().path()).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|ending| ending == "rules") {
                texts.push(std::fs::read_to_string(path).unwrap());
                games += 1;
            }
        }
    }
    assert!(games >= 4, "the displays are elsewhere");
    texts.iter().flat_map(|text| text.lines()).map(str::to_owned).collect()
}

#[test]
fn the_words_that_cannot_be_names_are_those_of_the_page() {
    let reserved = reserved();
    assert!(reserved.len() > 20, "{reserved:?}");
    let words = grammar().literals().into_iter().filter(|word| word.starts_with(char::is_alphabetic));
    for word in words.chain(reserved.clone()) {
        let refused = codes(&format!("state {word}")).contains("rules/reserved");
        assert_eq!(refused, reserved.contains(&word), "{word}");
    }
}

#[test]
fn messages_and_what_the_display_names_may_be_any_word() {
    for word in reserved() {
        for statement in [
            format!("state t shows {word}"),
            format!("state t lights {word}"),
            format!("s on press {word} stay"),
            format!("s on message {word} do send {word} stay"),
            format!("s when pressed {word} stay"),
        ] {
            assert!(!refused(&statement, &SYNTAX), "{statement}: {:?}", codes(&statement));
        }
    }
}

#[test]
fn whatever_the_page_derives_is_read() {
    let grammar = grammar();
    let (names, in_paths) = (&NAMES, &["side", "other"]);
    let mut sentences = Sentences { grammar: &grammar, names, in_paths, dice: Dice(1) };
    let mut begun = BTreeSet::new();
    for _ in 0..6000 {
        let statement = written(&sentences.sentence("statement"));
        begun.insert(statement.split(' ').next().unwrap().to_owned());
        let codes = codes(&statement);
        assert!(SYNTAX.iter().all(|code| !codes.contains(code)), "{statement}\n{codes:?}");
    }
    assert!(begun.len() >= 18 + NAMES.len(), "some statements never came: {begun:?}");
}

#[test]
fn the_page_derives_every_statement_of_the_displays_and_the_suite() {
    let grammar = grammar();
    let literals = grammar.literals();
    let recogniser = Recogniser::new(&grammar, "statement", BTreeSet::new());
    let mut used = BTreeSet::new();
    let mut count = 0;
    for line in corpus() {
        let tokens = tokens(&line, &literals);
        if tokens.is_empty() {
            continue;
        }
        count += 1;
        assert!(recogniser.derives(&tokens), "{line}");
        used.extend(tokens.iter().map(|token| token.text().to_owned()));
    }
    assert!(count > 500, "only {count} statements");
    let unused: Vec<&String> = literals.iter().filter(|literal| !used.contains(*literal)).collect();
    assert!(unused.is_empty(), "of the page, no text uses {unused:?}");
}

#[test]
fn what_the_page_never_offered_is_refused() {
    for statement in [
        "bag b of 1..4 = 2",
        "number n 0..9 kept kept",
        "seed (3)",
        "seed --3",
        "seed 1 + 2",
        "tick (10 ms)",
        "tick - -10 ms",
        "s on press fox do n == 1 stay",
        "s on press fox do n = pick 1..2 + draw b stay",
        "number n 0..9 pick 1",
        "state t shows",
        "ties",
        "stay",
    ] {
        assert!(
            refused(statement, &SYNTAX) || refused(statement, &FORM),
            "{statement}: {:?}",
            codes(statement)
        );
    }
}

/// One slip in a sentence.
fn slip(sentence: &[Token], dice: &mut Dice, any: &[Token]) -> Vec<Token> {
    let mut slipped = sentence.to_vec();
    let at = dice.roll(slipped.len());
    match dice.roll(5) {
        0 => drop(slipped.remove(at)),
        1 => slipped.insert(at, slipped[at].clone()),
        2 => slipped.insert(at, dice.one(any).clone()),
        3 => slipped[at] = dice.one(any).clone(),
        _ => {
            let other = dice.roll(slipped.len());
            slipped.swap(at, other);
        }
    }
    slipped
}

/// What the page derives with any word as a name, and what it derives when its own words are no names: between the two, where
/// `at` may be a number's name, the page leaves open which is meant, and nothing is asked.
#[test]
fn what_has_a_slip_is_refused_unless_the_page_derives_it() {
    let grammar = grammar();
    let literals = grammar.literals();
    let any_name = Recogniser::new(&grammar, "statement", BTreeSet::new());
    let plain_names = Recogniser::new(&grammar, "statement", literals.union(&reserved()).cloned().collect());
    let mut any: Vec<Token> = literals.iter().flat_map(|word| tokens(word, &literals)).collect();
    any.extend(["fox", "a", "3", "=="].iter().flat_map(|word| tokens(word, &literals)));
    let mut dice = Dice(7);
    let corpus: Vec<Vec<Token>> =
        corpus().iter().map(|line| tokens(line, &literals)).filter(|tokens| !tokens.is_empty()).collect();
    let mut sentences = Sentences { grammar: &grammar, names: &NAMES, in_paths: &[], dice: Dice(3) };
    let everything: Vec<&str> = SYNTAX.iter().chain(&FORM).copied().collect();
    let (mut wrong, mut refusals, mut readings) = (Vec::new(), 0, 0);
    for round in 0..12_000 {
        let sound = if round % 2 == 0 { dice.one(&corpus).clone() } else { sentences.sentence("statement") };
        if sound.len() > 60 {
            continue;
        }
        let slipped = slip(&sound, &mut dice, &any);
        let statement = written(&slipped);
        if slipped.is_empty() {
            continue;
        }
        if !any_name.derives(&slipped) {
            refusals += 1;
            if !refused(&statement, &everything) {
                wrong.push(format!("taken, but not on the page: {statement} {:?}", codes(&statement)));
            }
        } else if plain_names.derives(&slipped) {
            readings += 1;
            if refused(&statement, &SYNTAX) {
                wrong.push(format!("on the page, but refused: {statement} {:?}", codes(&statement)));
            }
        }
    }
    assert!(wrong.is_empty(), "{} of them\n{}", wrong.len(), wrong.join("\n"));
    assert!(refusals > 5000 && readings > 500, "{refusals} refused, {readings} read");
}
