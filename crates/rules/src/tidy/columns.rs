//! Columns: the like parts of neighbouring statements begin below each other.

/// Blanks before a comment behind a statement.
const BEFORE_COMMENT: usize = 3;
/// A statement that ends beyond this moves no comment but its own.
const WIDEST: usize = 100;
/// One more than the greatest number of a part.
const PARTS: usize = 4;

/// One statement in parts.
pub(crate) struct Row<'a> {
    /// The first word of its statement; none is a way out of states, or what is done on entry and exit.
    kind: Option<&'static str>,
    /// How far it stands in.
    pub(crate) indent: usize,
    comment: Option<&'a str>,
    /// Numbers and words of the parts, in written order; what stands before the first has number 0.
    parts: Vec<(usize, String)>,
    /// The line as far as it is laid out.
    line: String,
}

impl<'a> Row<'a> {
    pub(crate) fn new(kind: Option<&'static str>, indent: usize, comment: Option<&'a str>) -> Self {
        Self { kind, indent, comment, parts: vec![(0, String::new())], line: " ".repeat(indent) }
    }

    /// What follows is part `part`. One that comes again, or too late for its column, runs on behind the one before.
    pub(crate) fn begin(&mut self, part: usize) {
        match self.parts.last_mut() {
            Some((last, words)) if *last >= part => words.push_str("  "),
            _ => self.parts.push((part, String::new())),
        }
    }

    /// Words of the part that began last.
    pub(crate) fn push(&mut self, words: &str) {
        if let Some((_, part)) = self.parts.last_mut() {
            part.push_str(words);
        }
    }

    /// Whether another may share columns with this one.
    pub(crate) fn like(&self, other: &Self) -> bool {
        (self.kind, self.indent) == (other.kind, other.indent)
    }

    /// The line as laid out.
    pub(crate) fn text(&self) -> &str {
        &self.line
    }

    fn part(&self, part: usize) -> Option<&str> {
        self.parts.iter().find(|(number, _)| *number == part).map(|(_, words)| words.as_str())
    }

    fn width(&self) -> usize {
        self.line.chars().count()
    }

    /// Puts words at a column, or `gap` behind what is there if that reaches farther.
    fn put(&mut self, words: &str, column: usize, gap: usize) {
        let at = column.max(self.width() + gap);
        self.line.push_str(&" ".repeat(at - self.width()));
        self.line.push_str(words);
    }

    /// Blanks before a part at the least, and the farthest column that it may move others of its kind to.
    fn room(&self, part: usize) -> (usize, usize) {
        match (self.kind, part) {
            (None, 1) => (1, 20),
            (None, 2) => (2, 60),
            (None, _) => (2, 92),
            (Some("state"), 1) => (2, 26),
            (Some("state"), 2) => (2, 50),
            (Some("state"), _) => (2, 70),
            (Some(_), _) => (1, 30),
        }
    }
}

/// Lays statements of one kind out.
pub(crate) fn align(rows: &mut [&mut Row]) {
    for row in rows.iter_mut() {
        if let Some(first) = row.part(0).map(str::to_owned) {
            row.line.push_str(&first);
        }
    }
    for part in 1..PARTS {
        let reaches = rows.iter().filter(|row| row.part(part).is_some()).filter_map(|row| {
            let (gap, most) = row.room(part);
            Some(row.width() + gap).filter(|at| *at <= most)
        });
        let column = reaches.max().unwrap_or(0);
        for row in rows.iter_mut() {
            let (gap, _) = row.room(part);
            if let Some(words) = row.part(part).map(str::to_owned) {
                row.put(&words, column, gap);
            }
        }
    }
    let commented = rows.iter().filter(|row| row.comment.is_some()).map(|row| row.width() + BEFORE_COMMENT);
    let column = commented.filter(|at| *at <= WIDEST).max().unwrap_or(0);
    for row in rows.iter_mut() {
        if let Some(comment) = row.comment {
            row.put(comment, column, BEFORE_COMMENT);
        }
    }
}
