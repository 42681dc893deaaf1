//! Walking along the tokens of one line, with faults that say what was expected.

use crate::codes::{self, Code};
use crate::lex::{Kind, Token};
use crate::slips;
use crate::syntax::{Name, Path, Span};
use finding::Fault;
use source::Place;

/// Why a statement could not be read.
pub(crate) type Broken = Box<Fault>;

/// Words that cannot be the builder's own names, because a line or an expression could not be read with them.
pub(crate) const RESERVED: [&str; 34] = [
    "sides",
    "tick",
    "seed",
    "constant",
    "machine",
    "number",
    "timer",
    "state",
    "enter",
    "leave",
    "any",
    "not",
    "and",
    "or",
    "is",
    "min",
    "max",
    "held",
    "pressed",
    "pick",
    "side",
    "other",
    "if",
    "do",
    "go",
    "stay",
    "condition",
    "setting",
    "claim",
    "prompt",
    "bout",
    "bag",
    "remember",
    "ties",
];

/// What reading a line tells to whoever lays it out, each with the first byte of its token.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Mark {
    /// The statement belongs to the machine above it.
    Inner,
    /// A part of the statement begins that may stand below the like part of its neighbours, counted from 1.
    Part(usize),
    /// A minus that belongs to what follows.
    Negative,
}

/// The tokens of one line and how far it has been read.
pub(crate) struct Cursor<'a> {
    pub(crate) file: &'a str,
    tokens: &'a [Token],
    at: usize,
    /// How deep the expression being read is nested.
    pub(crate) depth: usize,
    /// In the order of the line.
    pub(crate) marks: Vec<(usize, Mark)>,
}

impl<'a> Cursor<'a> {
    pub(crate) fn new(file: &'a str, tokens: &'a [Token]) -> Self {
        Self { file, tokens, at: 0, depth: 0, marks: Vec::new() }
    }

    /// All of the line.
    pub(crate) fn tokens(&self) -> &'a [Token] {
        self.tokens
    }

    /// Whether the line stands at or right behind one of some words, or begins with one of `first`.
    pub(crate) fn is_at(&self, words: impl Fn(&str) -> bool, first: impl Fn(&str) -> bool) -> bool {
        let is = |at: usize, test: &dyn Fn(&str) -> bool| {
            self.tokens.get(at).is_some_and(|token| matches!(&token.kind, Kind::Word(word) if test(word)))
        };
        is(0, &first) || is(self.at, &words) || self.at.checked_sub(1).is_some_and(|at| is(at, &words))
    }

    /// Marks the next token.
    pub(crate) fn mark(&mut self, mark: Mark) {
        self.marks.push((self.here().start, mark));
    }

    pub(crate) fn peek(&self) -> Option<&'a Kind> {
        self.tokens.get(self.at).map(|token| &token.kind)
    }

    pub(crate) fn peek_second(&self) -> Option<&'a Kind> {
        self.tokens.get(self.at + 1).map(|token| &token.kind)
    }

    pub(crate) fn advance(&mut self) {
        self.at += 1;
    }

    /// The place of the next token, or the point behind the last one.
    pub(crate) fn here(&self) -> Span {
        let behind = self.tokens.last().map_or(0, |last| last.span.end);
        self.tokens.get(self.at).map_or(Span { start: behind, end: behind }, |token| token.span)
    }

    /// The place of the token just read.
    pub(crate) fn last(&self) -> Span {
        self.at.checked_sub(1).and_then(|at| self.tokens.get(at)).map_or(self.here(), |token| token.span)
    }

    pub(crate) fn fault(&self, code: Code, span: Span, message: impl Into<String>) -> Broken {
        Box::new(code.fault(Some(Place::new(self.file, span.start, span.end)), message))
    }

    /// The fault of finding something else than `what`.
    pub(crate) fn wanted(&self, what: &str) -> Broken {
        let found = match self.peek() {
            None => "the line ends too early".to_owned(),
            Some(Kind::Word(word)) => format!("`{word}` does not fit here"),
            Some(Kind::Int(value)) => format!("`{value}` does not fit here"),
            Some(Kind::Sign(sign)) => format!("`{sign}` does not fit here"),
        };
        let fault = self.fault(codes::SYNTAX, self.here(), found).expected(format!("expected {what}"));
        Box::new(fault.maybe_hint(slips::hint(self.tokens, self.at)))
    }

    pub(crate) fn is_word(&self, word: &str) -> bool {
        matches!(self.peek(), Some(Kind::Word(found)) if found == word)
    }

    pub(crate) fn is_sign(&self, sign: &str) -> bool {
        matches!(self.peek(), Some(Kind::Sign(found)) if *found == sign)
    }

    /// Whether a word stands somewhere in the rest of the line.
    pub(crate) fn word_ahead(&self, word: &str) -> bool {
        let mut rest = self.tokens.iter().skip(self.at);
        rest.any(|token| matches!(&token.kind, Kind::Word(found) if found == word))
    }

    /// Reads the word if it comes next.
    pub(crate) fn word(&mut self, word: &str) -> bool {
        let found = self.is_word(word);
        self.at += usize::from(found);
        found
    }

    /// Reads the sign if it comes next.
    pub(crate) fn sign(&mut self, sign: &str) -> bool {
        let found = self.is_sign(sign);
        self.at += usize::from(found);
        found
    }

    pub(crate) fn need_sign(&mut self, sign: &str) -> Result<(), Broken> {
        if self.sign(sign) { Ok(()) } else { Err(self.wanted(&format!("`{sign}`"))) }
    }

    pub(crate) fn need_word(&mut self, word: &str) -> Result<(), Broken> {
        if self.word(word) { Ok(()) } else { Err(self.wanted(&format!("`{word}`"))) }
    }

    /// Any word at all.
    pub(crate) fn name(&mut self, what: &str) -> Result<Name, Broken> {
        let Some(Kind::Word(word)) = self.peek() else { return Err(self.wanted(what)) };
        let name = Name { text: word.clone(), span: self.here() };
        self.advance();
        Ok(name)
    }

    /// A word the builder chose for something.
    pub(crate) fn new_name(&mut self, what: &str) -> Result<Name, Broken> {
        let name = self.name(what)?;
        if RESERVED.contains(&name.text.as_str()) {
            let message = format!("`{}` is a word of the rules language", name.text);
            return Err(Box::new(
                self.fault(codes::RESERVED, name.span, message).expected(format!("expected {what}")),
            ));
        }
        Ok(name)
    }

    /// Words joined by dots.
    pub(crate) fn path(&mut self, what: &str) -> Result<Path, Broken> {
        let first = self.name(what)?;
        let mut rest = Vec::new();
        while self.sign(".") {
            rest.push(self.name("a name after the dot")?);
        }
        Ok(Path { first, rest })
    }

    /// Nothing may follow.
    pub(crate) fn end(&self, what: &str) -> Result<(), Broken> {
        if self.peek().is_none() { Ok(()) } else { Err(self.wanted(what)) }
    }
}
