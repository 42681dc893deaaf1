//! The way to one value of a description: `panel.west.stands.at[0]`.

use serde::{Deserialize, Serialize};
use std::fmt;

/// One step of a [`KeyPath`].
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Step {
    /// A position in an array, from 0.
    Index(usize),
    /// A key of a table.
    Key(String),
}

/// The way to one value, independent of where in the text it stands.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct KeyPath(pub Vec<Step>);

impl KeyPath {
    /// The whole description.
    pub fn root() -> Self {
        Self::default()
    }

    /// Reads `a.b.c`; keys with dots in them cannot be written this way.
    pub fn dotted(path: &str) -> Self {
        Self(path.split('.').filter(|key| !key.is_empty()).map(|key| Step::Key(key.to_owned())).collect())
    }

    /// This path and one key more.
    #[must_use]
    pub fn key(&self, key: impl Into<String>) -> Self {
        let mut steps = self.0.clone();
        steps.push(Step::Key(key.into()));
        Self(steps)
    }

    /// This path and one array position more.
    #[must_use]
    pub fn index(&self, index: usize) -> Self {
        let mut steps = self.0.clone();
        steps.push(Step::Index(index));
        Self(steps)
    }
}

impl fmt::Display for KeyPath {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (position, step) in self.0.iter().enumerate() {
            match step {
                Step::Key(key) if position == 0 => write!(out, "{key}")?,
                Step::Key(key) => write!(out, ".{key}")?,
                Step::Index(index) => write!(out, "[{index}]")?,
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_prints_as_a_builder_would_say_it() {
        assert_eq!(KeyPath::dotted("panel.west").key("at").index(1).to_string(), "panel.west.at[1]");
    }
}
