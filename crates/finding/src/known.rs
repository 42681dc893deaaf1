//! Values that know where they came from.

use serde::Serialize;
use source::KeyPath;

/// Where a value came from.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Origin {
    /// The builder wrote it, in `file` under `path`. Its place in the text is looked up only when shown.
    Written {
        /// The file, by its path in the display's folder.
        file: String,
        /// The way to the value.
        path: KeyPath,
    },
    /// Nobody wrote it; the rule says why this value.
    Default(&'static str),
    /// It stands in the catalogue or on the shelf.
    Catalogue {
        /// The part's name.
        part: String,
        /// The field of the part.
        field: &'static str,
    },
    /// It was worked out.
    Worked {
        /// The registered name of the formula.
        formula: &'static str,
        /// The names of what went in.
        inputs: Vec<String>,
    },
}

impl std::fmt::Display for Origin {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Written { file, path } => write!(out, "{file}, {path}"),
            Self::Default(rule) => write!(out, "default: {rule}"),
            Self::Catalogue { part, field } => write!(out, "part {part}, {field}"),
            Self::Worked { formula, .. } => write!(out, "worked: {formula}"),
        }
    }
}

/// A value and where it came from.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Known<T> {
    /// The value.
    pub value: T,
    /// Where it came from.
    pub origin: Origin,
}

impl<T> Known<T> {
    /// A value with its origin.
    pub fn new(value: T, origin: Origin) -> Self {
        Self { value, origin }
    }

    /// The same origin for another view of the value.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Known<U> {
        Known { value: change(self.value), origin: self.origin }
    }
}
