//! A text laid out means what it meant, keeps every sign of it, and is not changed by laying it out again.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic, reason = "test code: a panic is a failed test")]

#[allow(dead_code, unreachable_pub, reason = "shared by several tests, each using a part")]
mod common;
#[path = "common/ebnf.rs"]
#[allow(dead_code, unreachable_pub, missing_docs, reason = "shared by several tests, each using a part")]
mod ebnf;

use common::cases;
use ebnf::{Dice, Grammar, Sentences, Token, page, tokens};
use proptest::prelude::*;
use rules::interface::{DigitsName, FigureName, Interface, SpotName};
use rules::tidy::tidied;
use source::Text;
use std::collections::BTreeSet;

fn tidy(text: &str) -> String {
    tidied(&Text::new("a.rules", text)).content
}

/// What must hold of every text, whatever is in it.
fn holds(before: &str, interface: &Interface) {
    let text = Text::new("a.rules", before);
    let after = tidied(&text);
    let signs = |text: &str| text.chars().filter(|c| !c.is_whitespace()).collect::<String>();
    assert_eq!(signs(before), signs(&after.content), "{before}");
    assert_eq!(tidy(&after.content), after.content, "laid out again, it changes: {before}");
    let lines = |text: &str| text.lines().map(|line| line.trim().is_empty()).collect::<Vec<_>>();
    let mut shape = lines(before);
    shape.dedup_by(|next, last| *next && *last);
    let shape: Vec<bool> = shape.iter().copied().skip_while(|blank| *blank).collect::<Vec<_>>();
    let kept = shape.iter().rposition(|blank| !blank).map_or(0, |at| at + 1);
    assert_eq!(lines(&after.content), shape[..kept], "lines and blank lines: {before}");
    let written: Vec<&str> = after.content.split('\n').collect();
    for line in &after.left {
        let line = before.split('\n').nth(line - 1).unwrap();
        let found =
            written.iter().any(|written| written.trim_end_matches('\r') == line.trim_end_matches('\r'));
        assert!(found, "{line:?} was not left as it is: {:?}", after.content);
    }
    let (form, faults) = rules::read(&text, interface);
    let (form_after, faults_after) = rules::read(&Text::new("a.rules", after.content.clone()), interface);
    assert_eq!(form, form_after, "{before}");
    let codes = |faults: &[finding::Fault]| faults.iter().map(|fault| fault.code).collect::<Vec<_>>();
    assert_eq!(codes(&faults), codes(&faults_after), "{before}");
}

/// A text with other blanks: between words, in front, behind, and empty lines.
fn shaken(text: &str, literals: &BTreeSet<String>, dice: &mut Dice) -> String {
    let mut out = String::new();
    for line in text.lines() {
        let comment = line.find('#').map_or("", |at| &line[at..]);
        out.push_str(["", "", " ", "\t", "      "][dice.roll(5)]);
        let mut before: Option<Token> = None;
        for token in tokens(line, literals) {
            let word = |token: &Token| !matches!(token, Token::Sign(_));
            // What would grow together, or make `a-b` of `a - b`, stays apart.
            let close = before.as_ref().is_some_and(|before| {
                dice.roll(2) == 0 && (word(before) != word(&token)) && token.text() != "-"
            });
            out.push_str(if close || before.is_none() { "" } else { [" ", " ", "  ", "\t "][dice.roll(4)] });
            out.push_str(token.text());
            before = Some(token);
        }
        out.push_str(comment);
        out.push_str(["\n", "\n", "\n", "  \n", "\r\n", "\n\n \n"][dice.roll(6)]);
    }
    out
}

#[test]
fn what_was_written_is_kept_and_means_the_same() {
    let literals = Grammar::of(&page()).literals();
    let mut dice = Dice(5);
    for case in cases() {
        holds(&case.text, &case.interface);
        let (form, _) = rules::read(&Text::new("a.rules", case.text.clone()), &case.interface);
        for _ in 0..10 {
            let shaken = shaken(&case.text, &literals, &mut dice);
            holds(&shaken, &case.interface);
            let (same, _) = rules::read(&Text::new("a.rules", tidy(&shaken)), &case.interface);
            assert_eq!(form, same, "{}", case.name);
        }
    }
}

/// Names that random statements share, so that many of them mean something.
fn offered() -> Interface {
    let poses = ["a", "b"].map(str::to_owned).to_vec();
    let spot = |name: &str, count| SpotName { name: name.into(), count, dims: true };
    Interface {
        figures: vec![FigureName { name: "fox".into(), poses }],
        buttons: vec!["a".into(), "b".into()],
        spots: vec![spot("a", 1), spot("fox", 4)],
        digits: vec![DigitsName { name: "n".into(), count: 2 }],
        sounds: vec!["a".into()],
    }
}

#[test]
fn random_statements_keep_their_meaning() {
    let grammar = Grammar::of(&page());
    let literals = grammar.literals();
    let (names, in_paths) = (&["a", "b", "n", "t", "fox"], &["side", "other", "button"]);
    let mut sentences = Sentences { grammar: &grammar, names, in_paths, dice: Dice(11) };
    let mut dice = Dice(13);
    let mut taken = 0;
    for _ in 0..300 {
        let mut text = String::from("sides x, y\nmachine m\nstate a\nstate b\nnumber n 0..9\ntimer t\n");
        for _ in 0..dice.roll(30) {
            let sentence = sentences.sentence("statement");
            text.push_str(&sentence.iter().map(Token::text).collect::<Vec<_>>().join(" "));
            text.push_str(["\n", "\n", " # why\n", "#x \t y \n", "\n# of its own\n", "\n\n\n"][dice.roll(6)]);
        }
        holds(&shaken(&text, &literals, &mut dice), &offered());
        let (form, _) = rules::read(&Text::new("a.rules", text.clone()), &offered());
        let ways = |machine: &rules::form::Machine| {
            machine.states.iter().map(|state| state.transitions.len()).sum::<usize>()
        };
        taken += form
            .machines
            .iter()
            .map(|machine| machine.numbers.len() + machine.states.len() + ways(machine))
            .sum::<usize>();
    }
    // The machine that begins every text has two states and a number.
    assert!(taken > 4 * 300, "only {taken} things came into 300 forms");
}

/// Pieces that lie close to where reading could go wrong.
const PIECES: [&str; 40] = [
    "machine ",
    "m",
    "state ",
    "a",
    "number ",
    "do ",
    "go ",
    "stay",
    "on ",
    "press ",
    "after ",
    "when ",
    "if ",
    "is ",
    "shows ",
    "lights ",
    "writes ",
    "-",
    "--",
    "- ",
    ".",
    "..",
    "...",
    "=",
    "==",
    "(",
    ")",
    "[",
    "]",
    ",",
    "#",
    "# ",
    "0",
    "99999999999999999999",
    "ms",
    "\n",
    "\r\n",
    "\r",
    "\u{feff}",
    "\u{a0}",
];

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(2000) })]

    #[test]
    fn nothing_of_any_text_is_lost(
        pieces in proptest::collection::vec(proptest::sample::select(PIECES.to_vec()), 0..60),
    ) {
        holds(&pieces.concat(), &offered());
    }

    #[test]
    fn nothing_of_any_characters_is_lost(text in ".{0,40}(\n|\r\n|\r|\u{2028}| ){0,3}.{0,40}") {
        holds(&text, &offered());
    }
}

#[test]
fn like_parts_stand_below_each_other() {
    let before = "\
sides a,b


constant x=1   # one
# between
constant longer   =  2 #two
machine m per side
#about it
state s  shows p
state longer-name shows  p . q lights   button # lit
number n -1 .. 1=- 1

# apart

s on press button if n -1<- (n ) do n=min( n+1,2 ),send x go longer-name
  longer-name after 250ms stay
 longer-name after x do n = pick 1 .. 6 go s
 this line has a fault   go   nowhere
  s when not(n=1) go s
enter s , longer-name do stop t , x.y = 2

     # at the end
claim c never a . b is s
prompt p press  a.b when  at -1<at - 1


";
    // By hand: a column begins two blanks behind the longest part before it, behind names and states one, before a comment three.
    let after = "\
sides a, b

constant x      = 1   # one
# between
constant longer = 2   #two
machine m per side
  #about it
  state s            shows p
  state longer-name  shows p.q  lights button   # lit
  number n -1..1 = -1

# apart

  s           on press button if n - 1 < -(n)  do n = min(n + 1, 2), send x  go longer-name
  longer-name after 250 ms                                                   stay
  longer-name after x                          do n = pick 1..6              go s
 this line has a fault   go   nowhere
  s when not (n = 1)  go s
  enter s, longer-name  do stop t, x.y = 2

# at the end
claim c never a.b is s
prompt p press a.b when at - 1 < at - 1
";
    assert_eq!(tidy(before), after);
    assert_eq!(tidied(&Text::new("a.rules", before)).left, [18]);
}

#[test]
fn a_long_line_moves_no_other() {
    let long = "x".repeat(100);
    let before = format!(
        "machine m\nstate s\nstate {long} shows p\nstate t shows q\ns when {long} stay\nt when u stay\n"
    );
    let after = format!(
        "machine m\n  state s\n  state {long}  shows p\n  state t  shows q\n  s when {long}  stay\n  t when u  stay\n"
    );
    assert_eq!(tidy(&before), after);
}
