//! The one place that knows about indentation in generated C.

/// Collects lines of C.
#[derive(Debug, Default)]
pub(crate) struct Writer {
    text: String,
    depth: usize,
}

impl Writer {
    /// One line at the present depth; an empty one stays empty.
    pub(crate) fn line(&mut self, line: &str) {
        if !line.is_empty() {
            for _ in 0..self.depth {
                self.text.push_str("    ");
            }
            self.text.push_str(line);
        }
        self.text.push('\n');
    }

    /// An empty line.
    pub(crate) fn blank(&mut self) {
        self.line("");
    }

    /// A comment on a line of its own.
    pub(crate) fn comment(&mut self, words: &str) {
        self.line(&comment(words));
    }

    /// A line that opens a block.
    pub(crate) fn open(&mut self, line: &str) {
        self.line(line);
        self.depth += 1;
    }

    /// A line that closes a block.
    pub(crate) fn close(&mut self, line: &str) {
        self.depth = self.depth.saturating_sub(1);
        self.line(line);
    }

    /// The head of a function and its opening brace.
    pub(crate) fn function(&mut self, head: &str) {
        self.line(head);
        self.open("{");
    }

    /// The end of a function and the empty line after it.
    pub(crate) fn end(&mut self) {
        self.close("}");
        self.blank();
    }

    /// What was written.
    pub(crate) fn finish(self) -> String {
        self.text
    }
}

/// Words as a comment. The builder's names may hold anything, so nothing in them may end the comment or begin another.
pub(crate) fn comment(words: &str) -> String {
    format!("/* {} */", harmless(words))
}

/// Words that can stand inside a comment.
pub(crate) fn harmless(words: &str) -> String {
    words.replace(['\n', '\r'], " ").replace("*/", "* /").replace("/*", "/ *").replace("*/", "* /")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_in_a_name_ends_a_comment() {
        for words in ["a */ b", "/*/ x", "*/*/", "two\nlines"] {
            let inside = harmless(words);
            assert!(!inside.contains("*/") && !inside.contains("/*") && !inside.contains('\n'), "{inside}");
        }
    }

    #[test]
    fn blocks_are_indented() {
        let mut writer = Writer::default();
        writer.function("void f(void)");
        writer.line("g();");
        writer.end();
        assert_eq!(writer.finish(), "void f(void)\n{\n    g();\n}\n\n");
    }
}
