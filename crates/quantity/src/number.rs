//! Reading one number: whole, decimal, fraction, mixed.

use crate::fault::{QuantityFault, Reason};
use std::ops::Range;

/// The fractions that have a character of their own.
const FRACTIONS: [(char, f64); 15] = [
    ('½', 0.5),
    ('¼', 0.25),
    ('¾', 0.75),
    ('⅛', 0.125),
    ('⅜', 0.375),
    ('⅝', 0.625),
    ('⅞', 0.875),
    ('⅓', 1.0 / 3.0),
    ('⅔', 2.0 / 3.0),
    ('⅕', 0.2),
    ('⅖', 0.4),
    ('⅗', 0.6),
    ('⅘', 0.8),
    ('⅙', 1.0 / 6.0),
    ('⅚', 5.0 / 6.0),
];

/// A text being read from the left.
pub(crate) struct Reading<'a> {
    /// The whole text.
    pub(crate) text: &'a str,
    /// The next byte.
    pub(crate) at: usize,
}

impl<'a> Reading<'a> {
    /// What is left.
    pub(crate) fn rest(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or_default()
    }

    /// Passes over blanks.
    pub(crate) fn blanks(&mut self) {
        self.take(char::is_whitespace);
    }

    /// Takes characters as long as they fit.
    pub(crate) fn take(&mut self, fits: impl Fn(char) -> bool) -> &'a str {
        let rest = self.rest();
        let length = rest.find(|c| !fits(c)).unwrap_or(rest.len());
        self.at += length;
        &rest[..length]
    }

    /// Takes this character if it comes next.
    pub(crate) fn eat(&mut self, wanted: char) -> bool {
        let comes = self.rest().starts_with(wanted);
        if comes {
            self.at += wanted.len_utf8();
        }
        comes
    }

    /// A number in any of its ways to be written.
    pub(crate) fn number(&mut self) -> Result<f64, QuantityFault> {
        let start = self.at;
        if let Some(value) = self.drawn_fraction() {
            return Ok(value);
        }
        let whole = self.decimal()?;
        if let Some(value) = self.drawn_fraction() {
            return Ok(whole + value);
        }
        if self.eat('/') {
            return self.under(whole, start..self.at);
        }
        Ok(whole + self.following_fraction(start)?)
    }

    /// The fraction after a whole number: ` 1/2`, `-1/2`. Nothing is taken when none follows.
    fn following_fraction(&mut self, start: usize) -> Result<f64, QuantityFault> {
        let back = self.at;
        self.blanks();
        self.eat('-');
        self.blanks();
        let top = self.take(|c| c.is_ascii_digit());
        if top.is_empty() {
            let drawn = if self.at > back { self.drawn_fraction() } else { None };
            if drawn.is_none() {
                self.at = back;
            }
            return Ok(drawn.unwrap_or(0.0));
        }
        if !self.eat('/') {
            self.at = back;
            return Ok(0.0);
        }
        let top = parse(top, start..self.at)?;
        self.under(top, start..self.at)
    }

    /// A fraction written as one character.
    fn drawn_fraction(&mut self) -> Option<f64> {
        let next = self.rest().chars().next()?;
        let (_, value) = FRACTIONS.iter().find(|(drawn, _)| *drawn == next)?;
        self.at += next.len_utf8();
        Some(*value)
    }

    /// The lower half of a fraction, after its stroke.
    fn under(&mut self, top: f64, range: Range<usize>) -> Result<f64, QuantityFault> {
        let start = self.at;
        let bottom = self.take(|c| c.is_ascii_digit());
        let value = parse(bottom, range.start..self.at)?;
        if value == 0.0 {
            return Err(QuantityFault::new(
                Reason::NotANumber,
                start..self.at,
                "nothing can be divided by 0",
            ));
        }
        Ok(top / value)
    }

    /// Digits with or without a decimal point.
    fn decimal(&mut self) -> Result<f64, QuantityFault> {
        let start = self.at;
        let digits = self.take(|c| c.is_ascii_digit() || c == '.');
        let range = start..self.at;
        if self.rest().starts_with(',') {
            return Err(self.comma(start));
        }
        if digits.is_empty() {
            return Err(self.no_number(start));
        }
        parse(digits, range)
    }

    /// A comma stands in a number.
    fn comma(&mut self, start: usize) -> QuantityFault {
        self.take(|c| c.is_ascii_digit() || c == '.' || c == ',');
        let written = &self.text[start..self.at];
        QuantityFault::new(Reason::Comma, start..self.at, format!("`{written}` has a comma in it"))
            .hint("write decimals with a point, and nothing between thousands: 3.5 m, 1200 mm")
    }

    /// Something else stands where a number belongs.
    fn no_number(&mut self, start: usize) -> QuantityFault {
        let word = self.take(|c| !c.is_whitespace());
        let end = if word.is_empty() { self.text.len() } else { self.at };
        let message = match word.to_lowercase().trim_start_matches(['-', '+']) {
            "" => "a number is missing here".to_owned(),
            "nan" | "inf" | "infinity" | "∞" => format!("`{word}` is no number that can be measured"),
            _ => format!("`{word}` stands where a number belongs"),
        };
        QuantityFault::new(Reason::NotANumber, start..end, message)
    }
}

/// Digits as a number.
fn parse(digits: &str, range: Range<usize>) -> Result<f64, QuantityFault> {
    match digits.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        _ => Err(QuantityFault::new(Reason::NotANumber, range, format!("`{digits}` is not a number"))),
    }
}
