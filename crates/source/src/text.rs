//! A text as read, and places in it.

use serde::{Deserialize, Serialize};

/// A stretch of bytes in a named text, half open.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Place {
    /// The text's name: its path inside the display's folder, as the builder wrote it.
    pub file: String,
    /// First byte.
    pub start: usize,
    /// One past the last byte; equal to `start` for a point between two bytes.
    pub end: usize,
}

impl Place {
    /// A place in `file` from byte `start` up to byte `end`.
    pub fn new(file: impl Into<String>, start: usize, end: usize) -> Self {
        Self { file: file.into(), start, end: end.max(start) }
    }
}

/// Line and column of a byte, both counted from 1; columns count characters, as an editor does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct LineColumn {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

/// A text with a name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Text {
    name: String,
    content: String,
    line_starts: Vec<usize>,
}

impl Text {
    /// Takes a text under the name that places in it will carry.
    pub fn new(name: impl Into<String>, content: impl Into<String>) -> Self {
        let content = content.into();
        let line_starts =
            std::iter::once(0).chain(content.match_indices('\n').map(|(at, _)| at + 1)).collect();
        Self { name: name.into(), content, line_starts }
    }

    /// The text's name.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The whole content.
    pub fn content(&self) -> &str {
        &self.content
    }

    /// The line and column of a byte; a byte past the end counts as the end.
    pub fn line_column(&self, byte: usize) -> LineColumn {
        let byte = byte.min(self.content.len());
        let line = self.line_starts.partition_point(|&start| start <= byte);
        let start = self.line_starts.get(line.saturating_sub(1)).copied().unwrap_or(0);
        let before = self.content.get(start..byte).unwrap_or_default();
        LineColumn { line: line.max(1), column: before.chars().count() + 1 }
    }

    /// The words at a place, or nothing when the place is not on character borders of this text.
    pub fn at(&self, place: &Place) -> &str {
        self.content.get(place.start..place.end).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_not_bytes() {
        let text = Text::new("a", "one\nzwölf = 1\n");
        let equals = text.content().find('=').unwrap();
        assert_eq!(text.line_column(equals), LineColumn { line: 2, column: 7 });
        assert_eq!(text.line_column(0), LineColumn { line: 1, column: 1 });
        assert_eq!(text.line_column(9999), LineColumn { line: 3, column: 1 });
    }
}
