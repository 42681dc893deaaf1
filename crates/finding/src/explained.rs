//! What a code means, for whoever asks.

use serde::Serialize;

/// A code with all there is to say about it: the one place where the code is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Explained {
    /// The code, such as `quantity/bare-number`.
    pub code: &'static str,
    /// What it says, in one sentence.
    pub meaning: &'static str,
    /// Why that matters and what helps, in plain words.
    pub more: &'static str,
    /// A small text that has it, and the same put right; none where no short text can have it.
    pub example: Option<Example>,
}

impl Explained {
    /// A code without an example.
    #[must_use]
    pub const fn new(code: &'static str, meaning: &'static str, more: &'static str) -> Self {
        Self { code, meaning, more, example: None }
    }

    /// The same with an example.
    #[must_use]
    pub const fn example(self, wrong: &'static str, right: &'static str) -> Self {
        Self { example: Some(Example { wrong, right }), ..self }
    }
}

/// A small text with something wrong in it, and the same put right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Example {
    /// What gives the code.
    pub wrong: &'static str,
    /// What does not.
    pub right: &'static str,
}

/// Codes that belong together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct CodeGroup {
    /// What they are about.
    pub title: &'static str,
    /// The codes, in the order in which they are listed.
    pub codes: &'static [&'static Explained],
}
