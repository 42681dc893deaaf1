//! Something the builder wrote that cannot be taken as it stands.

use serde::Serialize;
use source::Place;

/// How much a fault or a finding matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Somebody may be hurt: the sheets it touches are withheld.
    Danger,
    /// It cannot work as it stands.
    Fault,
    /// It may disappoint, or wants a person's judgement.
    Caution,
    /// Worth knowing.
    Note,
}

impl Severity {
    /// The word shown to the builder.
    pub fn word(self) -> &'static str {
        match self {
            Self::Danger => "danger",
            Self::Fault => "fault",
            Self::Caution => "caution",
            Self::Note => "note",
        }
    }
}

/// One thing wrong in a text, with its place, what was expected there and what might be meant.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Fault {
    /// A stable name such as `quantity/bare-number`.
    pub code: &'static str,
    /// `Fault` stops a build; `Caution` and `Note` do not.
    pub severity: Severity,
    /// Where it stands; none when a whole file is missing.
    pub place: Option<Place>,
    /// What is wrong, in one sentence without a final stop.
    pub message: String,
    /// What stands under the underline: usually what was expected there.
    pub expected: Option<String>,
    /// Further help, such as the nearest known name.
    pub hints: Vec<String>,
}

impl Fault {
    /// A fault that stops a build.
    pub fn new(code: &'static str, place: Option<Place>, message: impl Into<String>) -> Self {
        Self {
            code,
            severity: Severity::Fault,
            place,
            message: message.into(),
            expected: None,
            hints: Vec::new(),
        }
    }

    /// The same, but only a caution.
    #[must_use]
    pub fn caution(mut self) -> Self {
        self.severity = Severity::Caution;
        self
    }

    /// Says what was expected at the place.
    #[must_use]
    pub fn expected(mut self, expected: impl Into<String>) -> Self {
        self.expected = Some(expected.into());
        self
    }

    /// Adds help.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }

    /// Adds help when there is some.
    #[must_use]
    pub fn maybe_hint(self, hint: Option<String>) -> Self {
        match hint {
            Some(hint) => self.hint(hint),
            None => self,
        }
    }

    /// Whether a build must stop because of it.
    pub fn stops(&self) -> bool {
        self.severity <= Severity::Fault
    }
}

/// Everything wrong with what was read, gathered along the way.
pub type Faults = Vec<Fault>;
