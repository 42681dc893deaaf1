//! No text, however strange, makes the reader panic; and what it gives can always be played.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic, reason = "test code: a panic is a failed test")]

#[allow(dead_code, unreachable_pub, reason = "shared by several tests, each using a part")]
mod common;

use proptest::prelude::*;
use rules::interface::Interface;
use rules::step::Start;
use rules::vectors::{TickIn, play};
use source::Text;

const WORDS: [&str; 80] = [
    "machine",
    "state",
    "number",
    "timer",
    "sides",
    "tick",
    "constant",
    "enter",
    "leave",
    "any",
    "on",
    "press",
    "message",
    "from",
    "after",
    "when",
    "if",
    "do",
    "go",
    "stay",
    "shows",
    "lights",
    "at",
    "is",
    "not",
    "and",
    "or",
    "min",
    "(",
    ")",
    "[",
    "]",
    ",",
    ".",
    "..",
    "=",
    "<",
    "+",
    "-",
    "*",
    "/",
    "%",
    "0",
    "7",
    "2147483647",
    "ms",
    "fox",
    "a",
    "b",
    "side",
    "\n",
    "pick",
    "kept",
    "writes",
    "zeros",
    "with",
    "flashing",
    "ties",
    "alternately",
    "random",
    "remember",
    "for",
    "condition",
    "constant",
    "to",
    "setting",
    "bag",
    "of",
    "draw",
    "time",
    "left",
    "fading",
    "over",
    "each",
    "spot",
    "play",
    "claim",
    "never",
    "leads",
    "within",
];

fn reads_and_plays(text: &str, interface: &Interface) {
    let (form, _) = rules::read(&Text::new("a.rules", text), interface);
    let all = TickIn { pressed: (0..form.buttons.len()).collect(), ..TickIn::default() };
    assert_eq!(play(&form, &Start::default(), &vec![all; 8]).len(), 8);
}

proptest! {
    #[test]
    fn any_text_is_read(text in any::<String>()) {
        reads_and_plays(&text, &Interface::default());
    }

    #[test]
    fn any_words_are_read(words in proptest::collection::vec(proptest::sample::select(&WORDS[..]), 0..80)) {
        let interface = Interface { buttons: vec!["a".into()], ..Interface::default() };
        reads_and_plays(&format!("machine fox\nstate a\nstate b\n{}", words.join(" ")), &interface);
    }

    #[test]
    fn any_mangled_text_is_read(which in any::<prop::sample::Index>(), cuts in proptest::collection::vec((any::<prop::sample::Index>(), 0usize..12, proptest::sample::select(&WORDS[..])), 1..6)) {
        let cases = common::cases();
        let case = which.get(&cases);
        let mut text: Vec<char> = case.text.chars().take(4000).collect();
        for (at, length, word) in cuts {
            let from = at.index(text.len() + 1);
            let to = (from + length).min(text.len());
            text.splice(from..to, word.chars());
        }
        reads_and_plays(&text.into_iter().collect::<String>(), &case.interface);
    }
}
