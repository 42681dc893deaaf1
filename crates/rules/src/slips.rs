//! What beginners and people used to other languages write, and how it is written here.

use crate::lex::{Kind, Token};
use crate::parse::{CAUSES, STATEMENTS};

/// Signs that mean nothing here. Longer ones first.
const SIGNS: [(&str, &str); 22] = [
    (";", END),
    (":", END),
    ("&&", AND),
    ("&", AND),
    ("||", OR),
    ("|", OR),
    ("->", GO),
    ("→", GO),
    ("⇒", GO),
    ("=>", "at least is written `>=`, and a way ends with `go STATE`"),
    ("//", COMMENT),
    ("/*", COMMENT),
    ("\u{22}", QUOTE),
    ("'", QUOTE),
    ("“", QUOTE),
    ("”", QUOTE),
    ("„", QUOTE),
    ("‘", QUOTE),
    ("’", QUOTE),
    ("«", QUOTE),
    ("»", QUOTE),
    ("!", "the opposite is written with `not`"),
];

const END: &str = "leave it out: a statement ends where its line ends";
const AND: &str = "two conditions are joined with `and`";
const OR: &str = "either of two conditions is written with `or`";
const GO: &str = "a way ends with `go STATE`";
const COMMENT: &str = "a comment begins with `#`";
const QUOTE: &str = "names stand without quotation marks";
const DO: &str = "actions stand behind `do`, in front of `go` or `stay`";
const PRESS: &str = "a press is waited for with `on press BUTTON`";
const TIME: &str = "a time is a whole number with `ms`, `s` or `min`";

/// Units of time as they are written elsewhere: the unit here, how many of it, and how many milliseconds one of those has.
const UNITS: [(&[&str], &str, i64, i64); 4] = [
    (&["ms", "msec", "msecs", "millisecond", "milliseconds"], "ms", 1, 1),
    (&["s", "sec", "secs", "second", "seconds"], "s", 1, 1000),
    (&["min", "mins", "minute", "minutes"], "min", 1, 60_000),
    (&["h", "hour", "hours"], "min", 60, 60_000),
];

/// The sign without a meaning that some text begins with, and what is written instead.
pub(crate) fn sign(text: &str) -> Option<(&'static str, &'static str)> {
    SIGNS.into_iter().find(|(sign, _)| text.starts_with(sign) && !text.starts_with("!="))
}

/// Whether what follows a sign was meant as a comment.
pub(crate) fn comment(sign: &str) -> bool {
    ["//", "/*"].contains(&sign)
}

/// What helps where the token at a position of a line does not fit.
pub(crate) fn hint(tokens: &[Token], at: usize) -> Option<String> {
    let slip = Slip { tokens, at };
    slip.fraction().or_else(|| match slip.kind(0)? {
        Kind::Sign(sign) => slip.sign(sign),
        Kind::Word(word) => slip.unit(word).or_else(|| slip.joined(word)).or_else(|| slip.way(word)),
        Kind::Int(_) => None,
    })
}

/// What helps where no statement begins with a word.
pub(crate) fn first(word: &str, next: Option<&Kind>) -> Option<String> {
    if next == Some(&Kind::Sign("=")) {
        return Some("actions stand behind `do`, in the line of a way, or of `enter` or `leave`".to_owned());
    }
    let way = ["if", "when", "on", "after", "then", "else", "goto"].contains(&word);
    way.then(|| "a way begins with the state it leads out of, or with `any`".to_owned())
}

struct Slip<'a> {
    tokens: &'a [Token],
    at: usize,
}

impl<'a> Slip<'a> {
    fn token(&self, offset: isize) -> Option<&'a Token> {
        self.tokens.get(self.at.checked_add_signed(offset)?)
    }

    fn kind(&self, offset: isize) -> Option<&'a Kind> {
        self.token(offset).map(|token| &token.kind)
    }

    /// Whether nothing stands between a token and the next one.
    fn touches(&self, offset: isize) -> bool {
        let end = self.token(offset).map(|token| token.span.end);
        end.is_some() && end == self.token(offset + 1).map(|token| token.span.start)
    }

    fn before(&self, words: &[&str]) -> bool {
        let earlier = self.tokens.iter().take(self.at);
        earlier
            .into_iter()
            .any(|token| matches!(&token.kind, Kind::Word(word) if words.contains(&word.as_str())))
    }

    fn begins_with(&self, words: &[&str]) -> bool {
        matches!(self.tokens.first().map(|token| &token.kind), Some(Kind::Word(word)) if words.contains(&word.as_str()))
    }

    /// `0.9 s` or `1,5 s`, which may have been read up to the sign or beyond it.
    fn fraction(&self) -> Option<String> {
        let sign = if let Some(Kind::Int(_)) = self.kind(0) { -1 } else { 0 };
        let Some(Kind::Sign(mark @ ("." | ","))) = self.kind(sign) else { return None };
        let Some(Kind::Int(part)) = self.kind(sign + 1) else { return None };
        if !self.touches(sign) {
            return None;
        }
        let whole = match self.kind(sign - 1) {
            Some(Kind::Int(whole)) if self.touches(sign - 1) => *whole,
            _ if *mark == "." && !self.touches(sign - 1) => 0,
            _ => return None,
        };
        let Some(Kind::Word(word)) = self.kind(sign + 2) else { return whole_numbers(mark) };
        let Some((_, count, ms)) = unit(word) else { return whole_numbers(mark) };
        let digits = self.token(sign + 1).map_or(0, |token| token.span.end - token.span.start);
        // `1,500` may be one and a half or one and a half thousand.
        let certain = *mark == "." || digits != 3;
        let ms = certain.then(|| thousandths(whole, *part, digits)).flatten().and_then(|value| {
            let product = value.checked_mul(count * ms)?;
            (product % 1000 == 0).then_some(product / 1000)
        });
        Some(match ms {
            Some(ms) if ms % 1000 == 0 => format!("{TIME}: `{} s`", ms / 1000),
            Some(ms) => format!("{TIME}: `{ms} ms`"),
            None => TIME.to_owned(),
        })
    }

    /// `2 seconds`.
    fn unit(&self, word: &str) -> Option<String> {
        let Some(Kind::Int(value)) = self.kind(-1) else { return None };
        let (unit, count, _) = unit(word)?;
        Some(format!("{TIME}: `{} {unit}`", value.checked_mul(count)?))
    }

    fn sign(&self, sign: &str) -> Option<String> {
        match (sign, self.kind(-1), self.kind(1)) {
            ("==", ..) => Some("equality is written with one `=`".to_owned()),
            (",", ..) if self.begins_with(&["state"]) => {
                Some("no `,` stands in the line of a state, and each state has a line of its own".to_owned())
            }
            ("+" | "-" | "*" | "/", Some(Kind::Word(name)), Some(Kind::Sign(next))) if self.touches(0) => {
                let by = match self.kind(2) {
                    _ if *next == sign => "1".to_owned(),
                    Some(Kind::Int(value)) => value.to_string(),
                    Some(Kind::Word(word)) => word.clone(),
                    _ => "...".to_owned(),
                };
                (*next == "=" || *next == sign)
                    .then(|| format!("it is written `{name} = {name} {sign} {by}`"))
            }
            _ => None,
        }
    }

    /// A second condition where only one can stand.
    fn joined(&self, word: &str) -> Option<String> {
        (["when", "if"].contains(&word) && self.before(&["when", "if"])).then(|| AND.to_owned())
    }

    /// A word that does not fit into a way out of a state.
    fn way(&self, word: &str) -> Option<String> {
        if self.begins_with(&STATEMENTS) {
            return None;
        }
        let caused = self.before(&CAUSES);
        let next_is =
            |words: &[&str]| matches!(self.kind(1), Some(Kind::Word(next)) if words.contains(&next.as_str()));
        let acts = matches!(self.kind(1), Some(Kind::Sign("=" | "+" | "-" | "*" | "/")))
            || ["start", "stop", "send", "play", "press"].contains(&word);
        let help = match word {
            "goto" => "`goto` is written `go`",
            "then" => "leave `then` out: actions begin with `do`, and a way ends with `go STATE` or `stay`",
            "else" => "write another line below: the first line whose cause and condition hold is taken",
            "if" if next_is(&["press", "pressed"]) && !caused => PRESS,
            "if" if !caused => "a condition alone begins with `when`",
            "when" if caused => "behind `on` or `after` a condition begins with `if`",
            "press" if !caused => PRESS,
            "do" if self.before(&["go", "stay"]) => DO,
            _ if acts && caused && !self.before(&["do"]) => DO,
            _ => return self.asked_press(word),
        };
        Some(help.to_owned())
    }

    /// `if press wave`, where `press` was read as a name.
    fn asked_press(&self, button: &str) -> Option<String> {
        let (Some(Kind::Word(asks)), Some(Kind::Word(press))) = (self.kind(-2), self.kind(-1)) else {
            return None;
        };
        match asks.as_str() {
            _ if press != "press" => None,
            "when" => Some(PRESS.to_owned()),
            "if" | "and" | "or" | "not" => {
                Some(format!("a condition asks for a press of this tick with `pressed {button}`"))
            }
            _ => None,
        }
    }
}

/// The unit of this language that a word means, how many of it, and the milliseconds of one.
fn unit(word: &str) -> Option<(&'static str, i64, i64)> {
    let word = word.to_lowercase();
    let known = UNITS.iter().find(|(words, ..)| words.contains(&word.as_str()));
    known.map(|(_, unit, count, ms)| (*unit, *count, *ms))
}

fn whole_numbers(mark: &str) -> Option<String> {
    (mark == ".").then(|| "numbers are whole".to_owned())
}

/// A number with digits behind its mark in thousandths, where it comes to whole ones.
fn thousandths(whole: i64, part: i64, digits: usize) -> Option<i64> {
    let digits = u32::try_from(digits).ok().filter(|digits| *digits <= 9)?;
    let scale = 10_i64.pow(digits);
    let all = whole.checked_mul(scale)?.checked_add(part)?.checked_mul(1000)?;
    (all % scale == 0).then_some(all / scale)
}
