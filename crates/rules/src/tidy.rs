//! A rules text laid out: like parts below each other, statements indented below their machine, one blank line at most.
//!
//! What is not blank stays, in its order, so the meaning stays too. A line that cannot be read stays byte for byte.

mod columns;
mod words;

use crate::cursor::Mark;
use crate::lex::{self, Token};
use crate::parse::{self, STATEMENTS};
use columns::Row;
use source::Text;
use std::collections::BTreeSet;

/// How far statements about a machine stand in.
const INNER: usize = 2;

/// A text laid out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tidied {
    /// The text.
    pub content: String,
    /// Lines of the text before that cannot be read, counted from 1; they stayed as they were.
    pub left: Vec<usize>,
}

/// Lays a text out. Doing it again changes nothing.
pub fn tidied(text: &Text) -> Tidied {
    let mut faults = Vec::new();
    let (_, marks) = parse::marked(text, &mut faults);
    let places = faults.iter().filter_map(|fault| fault.place.as_ref());
    let left: BTreeSet<usize> = places.map(|place| text.line_column(place.start).line).collect();
    let mut lines = lines(text.content(), &marks, &left);
    below_each_other(&mut lines);
    indent_comments(&mut lines);
    Tidied { content: joined(&lines), left: left.into_iter().collect() }
}

/// One line of the text.
struct Line<'a> {
    what: What<'a>,
    /// Its line end; the last line may have none.
    end: &'a str,
}

enum What<'a> {
    Blank,
    /// As it is, byte for byte.
    Left(&'a str),
    /// A comment alone, and how far it stands in.
    Comment(&'a str, usize),
    Statement(Row<'a>),
}

fn lines<'a>(content: &'a str, marks: &[(usize, Mark)], left: &BTreeSet<usize>) -> Vec<Line<'a>> {
    let mut from = 0;
    let mut all = Vec::new();
    for (at, whole) in content.split_inclusive('\n').enumerate() {
        let body = whole.strip_suffix('\n').unwrap_or(whole);
        let body = body.strip_suffix('\r').unwrap_or(body);
        let end = whole.get(body.len()..).unwrap_or_default();
        let what = if left.contains(&(at + 1)) { What::Left(body) } else { what(body, from, marks) };
        all.push(Line { what, end });
        from += whole.len();
    }
    all
}

fn what<'a>(body: &'a str, from: usize, marks: &[(usize, Mark)]) -> What<'a> {
    // The lexer takes a byte order mark for a blank, but whoever wrote it may want it where it is.
    let lex::Line { tokens, strange } = lex::line(body, from);
    if !strange.is_empty() {
        return What::Left(body);
    }
    if body.contains('\u{feff}') {
        return What::Left(body);
    }
    let comment = body.find('#').and_then(|at| body.get(at..)).map(str::trim_end);
    match (tokens.as_slice(), comment) {
        ([], None) => What::Blank,
        ([], Some(comment)) => {
            What::Comment(comment, if body.starts_with(char::is_whitespace) { INNER } else { 0 })
        }
        (tokens, comment) => {
            let first = marks.partition_point(|(at, _)| *at < from);
            let last = marks.partition_point(|(at, _)| *at < from + body.len());
            What::Statement(row(body, from, tokens, marks.get(first..last).unwrap_or_default(), comment))
        }
    }
}

/// A statement cut into its parts.
fn row<'a>(
    body: &'a str,
    from: usize,
    tokens: &[Token],
    marks: &[(usize, Mark)],
    comment: Option<&'a str>,
) -> Row<'a> {
    let word = |token: &Token| body.get(token.span.start - from..token.span.end - from).unwrap_or_default();
    let first = tokens.first().map(word).unwrap_or_default();
    let kind = STATEMENTS.iter().find(|known| **known == first && first != "enter" && first != "leave");
    let inner = marks.iter().any(|(_, mark)| *mark == Mark::Inner);
    let mut row = Row::new(kind.copied(), if inner { INNER } else { 0 }, comment);
    let mut words = words::Words::default();
    let mut marks = marks.iter().peekable();
    for token in tokens {
        let mut negative = false;
        while let Some((_, mark)) = marks.next_if(|(at, _)| *at <= token.span.start) {
            match mark {
                Mark::Inner => {}
                Mark::Negative => negative = true,
                Mark::Part(part) => {
                    row.push(&words.take());
                    row.begin(*part);
                }
            }
        }
        words.add(word(token), negative);
    }
    row.push(&words.take());
    row
}

/// Statements of one kind that follow each other share their columns; comments alone may stand between them.
fn below_each_other(lines: &mut [Line]) {
    let mut block: Vec<&mut Row> = Vec::new();
    for line in lines {
        match &mut line.what {
            What::Comment(..) => {}
            What::Statement(row) => {
                if block.last().is_some_and(|above| !above.like(row)) {
                    columns::align(&mut block);
                    block.clear();
                }
                block.push(row);
            }
            What::Blank | What::Left(_) => {
                columns::align(&mut block);
                block.clear();
            }
        }
    }
    columns::align(&mut block);
}

/// A comment right above a statement stands in as far as that.
fn indent_comments(lines: &mut [Line]) {
    let mut below = None;
    for line in lines.iter_mut().rev() {
        match &mut line.what {
            What::Comment(_, indent) => *indent = below.unwrap_or(*indent),
            What::Statement(row) => below = Some(row.indent),
            What::Blank | What::Left(_) => below = None,
        }
    }
}

/// The lines with one blank at most in a row, and none at either end.
fn joined(lines: &[Line]) -> String {
    let usual = lines.first().map(|line| line.end).filter(|end| !end.is_empty()).unwrap_or("\n");
    let mut out = String::new();
    let mut blank = None;
    for line in lines {
        let end = if line.end.is_empty() { usual } else { line.end };
        if matches!(line.what, What::Blank) {
            blank = Some(end);
            continue;
        }
        if let Some(blank) = blank.take().filter(|_| !out.is_empty()) {
            out.push_str(blank);
        }
        match &line.what {
            What::Blank => {}
            What::Left(body) => out.push_str(body),
            What::Comment(comment, indent) => {
                out.push_str(&" ".repeat(*indent));
                out.push_str(comment);
            }
            What::Statement(row) => out.push_str(row.text()),
        }
        out.push_str(end);
    }
    out
}
