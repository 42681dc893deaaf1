//! Words, numbers and signs with the blanks between them that a reader expects.

/// Words of one line being put together.
#[derive(Default)]
pub(crate) struct Words {
    text: String,
    before: String,
    /// Whether what comes next stands right behind what came before.
    tight: bool,
}

impl Words {
    /// Puts a word behind the others; a negative is a minus that belongs to what follows.
    pub(crate) fn add(&mut self, word: &str, negative: bool) {
        let joins = self.tight
            || matches!(word, "." | ".." | ")" | "]" | "," | "[")
            || (word == "(" && matches!(self.before.as_str(), "min" | "max"));
        if !self.text.is_empty() && !joins {
            self.text.push(' ');
        }
        self.text.push_str(word);
        self.tight = negative || matches!(word, "." | ".." | "(" | "[");
        self.before.clear();
        self.before.push_str(word);
    }

    /// What was put together; the next word begins anew.
    pub(crate) fn take(&mut self) -> String {
        self.before.clear();
        self.tight = false;
        std::mem::take(&mut self.text)
    }
}
