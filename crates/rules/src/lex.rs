//! One line of a rules text into words, numbers and signs.

use crate::slips;
use crate::syntax::Span;

#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Word(String),
    /// Held to the largest `i64`; anything that large is refused later, with its place.
    Int(i64),
    Sign(&'static str),
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Token {
    pub(crate) kind: Kind,
    pub(crate) span: Span,
}

/// What a line holds, up to a comment.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Line {
    pub(crate) tokens: Vec<Token>,
    /// What means nothing here.
    pub(crate) strange: Vec<Strange>,
}

/// Characters that mean nothing here, and what is written instead where that is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Strange {
    pub(crate) span: Span,
    pub(crate) instead: Option<&'static str>,
}

/// Longer signs first.
const SIGNS: [&str; 19] =
    ["..", "==", "!=", "<=", ">=", ".", ",", "[", "]", "(", ")", "=", "<", ">", "+", "-", "*", "/", "%"];

/// What the line that starts at byte `from` holds.
pub(crate) fn line(text: &str, from: usize) -> Line {
    let Line { mut tokens, mut strange } = Line::default();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        if first == '#' {
            break;
        }
        let start = from + (text.len() - rest.len());
        if let Some((sign, instead)) = slips::sign(rest) {
            let span = Span { start, end: start + sign.len() };
            strange.push(Strange { span, instead: Some(instead) });
            if slips::comment(sign) {
                break;
            }
            rest = rest.get(sign.len()..).unwrap_or_default();
            continue;
        }
        let length = if first.is_whitespace() || first == '\u{feff}' {
            first.len_utf8()
        } else if let Some((kind, length)) = token(rest, first) {
            tokens.push(Token { kind, span: Span { start, end: start + length } });
            length
        } else {
            strange.push(Strange { span: Span { start, end: start + first.len_utf8() }, instead: None });
            first.len_utf8()
        };
        rest = rest.get(length..).unwrap_or_default();
    }
    Line { tokens, strange }
}

fn token(rest: &str, first: char) -> Option<(Kind, usize)> {
    if first.is_ascii_digit() {
        let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
        let length = digits.len();
        return Some((Kind::Int(digits.parse().unwrap_or(i64::MAX)), length));
    }
    if first.is_alphabetic() || first == '_' {
        let length = word_length(rest);
        return Some((Kind::Word(rest.get(..length)?.to_owned()), length));
    }
    SIGNS.iter().find(|sign| rest.starts_with(**sign)).map(|sign| (Kind::Sign(sign), sign.len()))
}

/// A word goes on through letters, digits and `_`, and through a `-` with a letter or digit right behind it.
fn word_length(rest: &str) -> usize {
    let in_word = |c: char| c.is_alphanumeric() || c == '_';
    let mut letters = rest.char_indices().peekable();
    let mut length = 0;
    while let Some((at, c)) = letters.next() {
        let joins = c == '-' && letters.peek().is_some_and(|(_, next)| in_word(*next));
        if !in_word(c) && !joins {
            break;
        }
        length = at + c.len_utf8();
    }
    length
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(text: &str) -> Vec<String> {
        line(text, 0)
            .tokens
            .into_iter()
            .map(|token| match token.kind {
                Kind::Word(word) => word,
                Kind::Int(value) => value.to_string(),
                Kind::Sign(sign) => format!("<{sign}>"),
            })
            .collect()
    }

    #[test]
    fn ranges_hyphens_and_comments_come_apart_as_a_reader_expects() {
        assert_eq!(shown("0..99=-1 # no"), ["0", "<..>", "99", "<=>", "<->", "1"]);
        assert_eq!(shown("arm-up - arm"), ["arm-up", "<->", "arm"]);
        assert_eq!(shown("arm -up"), ["arm", "<->", "up"]);
        assert_eq!(shown("250ms<=x"), ["250", "ms", "<<=>", "x"]);
        assert_eq!(line("a ? b", 10).strange, [Strange { span: Span { start: 12, end: 13 }, instead: None }]);
    }
}
