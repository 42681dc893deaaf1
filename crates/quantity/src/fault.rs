//! Why a written quantity was not taken.

use std::fmt;
use std::ops::Range;

/// The kind of trouble, for a stable name of the fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Reason {
    /// Nothing is written.
    Empty,
    /// Longer than any quantity needs to be.
    TooLong,
    /// A number without a unit.
    Bare,
    /// The unit belongs to another kind of quantity.
    WrongKind,
    /// The unit is not known.
    UnknownUnit,
    /// What should be a number is none.
    NotANumber,
    /// A comma inside a number.
    Comma,
    /// Less than nothing.
    Negative,
    /// More than any display has.
    TooLarge,
    /// Several parts that do not go together.
    Parts,
}

impl Reason {
    /// The stable name of a fault of this kind.
    pub fn code(self) -> &'static str {
        match self {
            Self::Empty => "quantity/empty",
            Self::TooLong => "quantity/too-long",
            Self::Bare => "quantity/bare-number",
            Self::WrongKind => "quantity/wrong-kind",
            Self::UnknownUnit => "quantity/unknown-unit",
            Self::NotANumber => "quantity/not-a-number",
            Self::Comma => "quantity/comma",
            Self::Negative => "quantity/negative",
            Self::TooLarge => "quantity/too-large",
            Self::Parts => "quantity/parts",
        }
    }
}

/// A written quantity that cannot be taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct QuantityFault {
    /// The kind of trouble.
    pub reason: Reason,
    /// What is wrong, in one sentence.
    pub message: String,
    /// What to write instead.
    pub hint: Option<String>,
    /// The bytes meant, inside the text that was read.
    pub range: Range<usize>,
}

impl QuantityFault {
    /// A fault without a hint.
    pub(crate) fn new(reason: Reason, range: Range<usize>, message: impl Into<String>) -> Self {
        Self { reason, message: message.into(), hint: None, range }
    }

    /// The same with a hint.
    pub(crate) fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }
}

impl fmt::Display for QuantityFault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}", self.message)?;
        self.hint.iter().try_for_each(|hint| write!(out, " ({hint})"))
    }
}

impl std::error::Error for QuantityFault {}
