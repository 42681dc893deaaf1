//! Walking a parsed tree against the key tables.

use super::shape::{Key, Keys, Measure, Names, Need, Shape};
use super::values::{Date, Entry, Read, Values};
use finding::{Fault, suggestion};
use quantity::QuantityFault;
use source::{KeyPath, Place, Text};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

/// One walk through one text.
pub(super) struct Walk<'a> {
    /// The text.
    pub(super) text: &'a Text,
    /// What was wrong so far.
    pub(super) faults: Vec<Fault>,
    /// Tables in which keys may be missing.
    pub(super) missing_allowed: &'a dyn Fn(&KeyPath) -> bool,
}

impl Walk<'_> {
    /// A place in this text.
    fn place(&self, span: Range<usize>) -> Place {
        Place::new(self.text.name(), span.start, span.end)
    }

    /// Notes a fault at a place.
    fn fault(&mut self, code: &'static str, span: Range<usize>, message: String, expected: String) {
        let place = self.place(span);
        self.faults.push(Fault::new(code, Some(place), message).expected(expected));
    }

    /// A table with known keys.
    pub(super) fn table(
        &mut self,
        table: &DeTable<'_>,
        keys: &'static Keys,
        path: &KeyPath,
        header: &Place,
    ) -> Values {
        let mut values = Values::default();
        for (name, value) in in_text_order(table) {
            let written = name.get_ref().as_ref();
            let Some(key) = keys.find(written) else {
                self.unknown_key(written, name.span(), keys);
                continue;
            };
            if let Some(entry) = self.entry(name.span(), value, &key.shape, path.key(written)) {
                values.entries.push((written.to_owned(), entry));
            }
        }
        if !(self.missing_allowed)(path) {
            let missing = |key: &&Key| key.need == Need::Written && !table.contains_key(key.name);
            for key in keys.keys.iter().filter(missing) {
                self.missing_key(key, keys, header);
            }
        }
        values
    }

    /// A key that the table does not have.
    fn unknown_key(&mut self, written: &str, span: Range<usize>, keys: &Keys) {
        let message = format!("{} has no key `{written}`", keys.what);
        let place = self.place(span);
        let fault = Fault::new("key/unknown", Some(place), message)
            .maybe_hint(suggestion(written, keys.keys.iter().map(|key| key.name)));
        self.faults.push(fault);
    }

    /// A key that must be written and is not.
    fn missing_key(&mut self, key: &Key, keys: &Keys, header: &Place) {
        let message = format!("`{}` is missing: {} needs {}", key.name, keys.what, key.words);
        let fault = Fault::new("key/missing", Some(header.clone()), message);
        self.faults.push(fault.hint(format!("add {}", example(key))));
    }

    /// A key and its value.
    fn entry(
        &mut self,
        key: Range<usize>,
        value: &Spanned<DeValue<'_>>,
        shape: &Shape,
        path: KeyPath,
    ) -> Option<Entry> {
        let key = self.place(key);
        let place = self.place(value.span());
        let value = self.value(value, shape, &path, &key)?;
        Some(Entry { path, key, place, value })
    }

    /// A value of a shape; none when it is not one, which is noted.
    fn value(
        &mut self,
        value: &Spanned<DeValue<'_>>,
        shape: &Shape,
        path: &KeyPath,
        key: &Place,
    ) -> Option<Read> {
        let span = value.span();
        match (shape, value.get_ref()) {
            (Shape::Words { most }, DeValue::String(words)) => self.words(words, *most, span),
            (Shape::Name, DeValue::String(words)) => self.words(words, 200, span),
            (Shape::Choice(choices), DeValue::String(word)) => self.choice(word, choices, span),
            (Shape::Flag, DeValue::Boolean(flag)) => Some(Read::Flag(*flag)),
            (Shape::Whole { least, most }, DeValue::Integer(number)) => {
                let parsed = u32::from_str_radix(number.as_str(), number.radix()).ok();
                self.whole(parsed, number.as_str(), *least..*most, span)
            }
            (Shape::Number { least, most }, DeValue::Integer(_) | DeValue::Float(_)) => {
                let written = self.text.at(&self.place(span.clone())).to_owned();
                self.number(&written, *least..*most, span)
            }
            (Shape::Date, DeValue::Datetime(time)) if time.time.is_none() && time.date.is_some() => {
                let date = time.date?;
                Some(Read::Date(Date { year: date.year, month: date.month, day: date.day }))
            }
            (Shape::Quantity { measure, zero }, DeValue::String(words)) => {
                self.quantity(words, *measure, *zero, span)
            }
            (Shape::Quantity { measure, .. }, DeValue::Integer(_) | DeValue::Float(_)) => {
                let written = self.text.at(&self.place(span.clone())).to_owned();
                self.bare(&written, *measure, span)
            }
            (Shape::List { of, least, most }, DeValue::Array(array)) => {
                self.list(array, of, *least..*most, path, span)
            }
            (Shape::CountOrLabels { most, .. }, DeValue::Integer(_)) => {
                self.value(value, &Shape::Whole { least: 1, most: *most }, path, key)
            }
            (Shape::CountOrLabels { most, of }, DeValue::Array(array)) => {
                let most = usize::try_from(*most).unwrap_or(usize::MAX);
                self.list(array, of, 1..most, path, span)
            }
            (Shape::Table(keys), DeValue::Table(table)) => {
                Some(Read::Table(self.table(table, keys, path, key)))
            }
            (Shape::Named { keys, names, least }, DeValue::Table(table)) => {
                Some(Read::Table(self.named(table, keys, *names, *least, path, key)))
            }
            (shape, found) => {
                let span = if matches!(found, DeValue::Table(_)) { key.start..key.end } else { span };
                let message = format!("{} stands where {} belongs", kind(found), shape.words());
                self.fault("value/wrong-kind", span, message, format!("{} belongs here", shape.words()));
                None
            }
        }
    }

    /// Words that are there and not endless.
    fn words(&mut self, words: &str, most: usize, span: Range<usize>) -> Option<Read> {
        if words.trim().is_empty() {
            self.fault(
                "value/empty",
                span,
                "nothing is written here".into(),
                "some words belong here".into(),
            );
            return None;
        }
        let count = words.chars().count();
        if count > most || words.contains(|c: char| c.is_control()) {
            let message = if count > most {
                format!("these are {count} characters; at most {most} fit")
            } else {
                "there is a character in it that cannot be printed".to_owned()
            };
            self.fault("value/words", span, message, format!("one line of at most {most} characters"));
            return None;
        }
        Some(Read::Words(words.to_owned()))
    }

    /// One of a few words.
    fn choice(&mut self, word: &str, choices: &[&str], span: Range<usize>) -> Option<Read> {
        if choices.contains(&word) {
            return Some(Read::Words(word.to_owned()));
        }
        let place = self.place(span);
        let fault = Fault::new("value/choice", Some(place), format!("`{word}` is not known here"))
            .maybe_hint(suggestion(word, choices.iter().copied()));
        self.faults.push(fault);
        None
    }

    /// A whole number within its limits.
    fn whole(
        &mut self,
        parsed: Option<u32>,
        written: &str,
        limits: Range<u32>,
        span: Range<usize>,
    ) -> Option<Read> {
        match parsed {
            Some(number) if (limits.start..=limits.end).contains(&number) => Some(Read::Whole(number)),
            _ => {
                let expected = format!("{} to {}", limits.start, limits.end);
                self.fault("value/out-of-range", span, format!("{written} is not possible here"), expected);
                None
            }
        }
    }

    /// A plain number within its limits.
    fn number(&mut self, written: &str, limits: Range<f64>, span: Range<usize>) -> Option<Read> {
        match written.replace('_', "").parse::<f64>() {
            Ok(number) if (limits.start..=limits.end).contains(&number) => Some(Read::Number(number)),
            _ => {
                let expected = format!("{} to {}", limits.start, limits.end);
                self.fault("value/out-of-range", span, format!("{written} is not possible here"), expected);
                None
            }
        }
    }

    /// A quantity.
    fn quantity(&mut self, words: &str, measure: Measure, zero: bool, span: Range<usize>) -> Option<Read> {
        match measure.read(words) {
            Ok((_, true)) if !zero => {
                let message = format!("{} of nothing makes no sense here", measure.words());
                self.fault("quantity/zero", span, message, "more than zero".into());
                None
            }
            Ok((read, _)) => Some(read),
            Err(fault) => {
                let range = self.inside(words, &fault.range, span);
                self.note_quantity(fault, range);
                None
            }
        }
    }

    /// A number without quotes and unit.
    fn bare(&mut self, written: &str, measure: Measure, span: Range<usize>) -> Option<Read> {
        match measure.read(written) {
            Err(fault) => self.note_quantity(fault, span),
            Ok(_) => {
                self.fault("value/wrong-kind", span, "a number stands alone".into(), measure.words().into());
            }
        }
        None
    }

    /// Notes what is wrong with a quantity.
    fn note_quantity(&mut self, fault: QuantityFault, span: Range<usize>) {
        let place = self.place(span);
        let noted = Fault::new(fault.reason.code(), Some(place), fault.message).maybe_hint(fault.hint);
        self.faults.push(noted);
    }

    /// The bytes of the file for bytes inside a quoted value; the whole value where escapes stand in between.
    fn inside(&self, words: &str, range: &Range<usize>, span: Range<usize>) -> Range<usize> {
        let plain = self.text.content().get(span.start + 1..span.end.saturating_sub(1)) == Some(words);
        match plain && !range.is_empty() {
            true => span.start + 1 + range.start..span.start + 1 + range.end,
            false => span,
        }
    }

    /// A list.
    fn list(
        &mut self,
        array: &DeArray<'_>,
        of: &Shape,
        limits: Range<usize>,
        path: &KeyPath,
        span: Range<usize>,
    ) -> Option<Read> {
        if !(limits.start..=limits.end).contains(&array.len()) {
            let expected = format!("{} to {} values", limits.start, limits.end);
            self.fault(
                "value/out-of-range",
                span,
                format!("{} values are not possible here", array.len()),
                expected,
            );
            return None;
        }
        let entries = array.iter().enumerate();
        let read =
            entries.filter_map(|(index, value)| self.entry(value.span(), value, of, path.index(index)));
        Some(Read::List(read.collect()))
    }

    /// Tables under names the builder chose.
    fn named(
        &mut self,
        table: &DeTable<'_>,
        keys: &'static Keys,
        names: Names,
        least: usize,
        path: &KeyPath,
        header: &Place,
    ) -> Values {
        let mut values = Values::default();
        for (name, value) in in_text_order(table) {
            let written = name.get_ref().as_ref();
            if !names.allow(written) {
                let message = format!("{} cannot be called `{}`", keys.what, written.escape_debug());
                self.fault("name/not-allowed", name.span(), message, names.words().into());
            }
            if let Some(entry) = self.entry(name.span(), value, &Shape::Table(keys), path.key(written)) {
                values.entries.push((written.to_owned(), entry));
            }
        }
        if table.len() < least {
            let message = format!("at least {least} of these is needed: {}", keys.what);
            self.faults.push(Fault::new("key/missing", Some(header.clone()), message));
        }
        values
    }
}

impl Measure {
    /// Reads one, and says whether it is nothing at all.
    fn read(self, words: &str) -> Result<(Read, bool), QuantityFault> {
        Ok(match self {
            Self::Length => quantity::length(words).map(|read| (Read::Length(read), read.value == 0.0))?,
            Self::Current => quantity::current(words).map(|read| (Read::Current(read), read.value == 0.0))?,
            Self::Voltage => {
                quantity::potential(words).map(|read| (Read::Voltage(read), read.value == 0.0))?
            }
            Self::Power => quantity::power(words).map(|read| (Read::Power(read), read.value == 0.0))?,
            Self::Offset => quantity::offset(words).map(|read| (Read::Length(read), read.value == 0.0))?,
            Self::Mass => quantity::mass(words).map(|read| (Read::Mass(read), read.value == 0.0))?,
            Self::Speed => quantity::velocity(words).map(|read| (Read::Speed(read), read.value == 0.0))?,
            Self::Angle => quantity::angle(words).map(|read| (Read::Angle(read), read.value == 0.0))?,
            Self::Share => quantity::ratio(words).map(|read| (Read::Share(read), read.value == 0.0))?,
            Self::Resistance => {
                quantity::resistance(words).map(|read| (Read::Resistance(read), read.value == 0.0))?
            }
            Self::Force => quantity::force(words).map(|read| (Read::Force(read), read.value == 0.0))?,
            Self::WireSize => quantity::wire_size(words).map(|read| (Read::WireSize(read), false))?,
        })
    }

    /// With its article and how to write one.
    pub(super) fn words(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Current => "a current",
            Self::Voltage => "a voltage",
            Self::Power => "a power",
            Self::Offset => "a distance",
            Self::Mass => "a mass",
            Self::Speed => "a speed",
            Self::Angle => "an angle",
            Self::Share => "a share in %",
            Self::Resistance => "a resistance",
            Self::Force => "a force",
            Self::WireSize => "a wire size",
        }
    }

    /// One as it is written.
    pub(super) fn example(self) -> &'static str {
        match self {
            Self::Length => "4 ft 3 1/2 in",
            Self::Current => "0.34 A",
            Self::Voltage => "12 V",
            Self::Power => "4.8 W",
            Self::Offset => "34 ft",
            Self::Mass => "0.35 kg",
            Self::Speed => "45 mph",
            Self::Angle => "20 deg",
            Self::Share => "5 %",
            Self::Resistance => "220 ohm",
            Self::Force => "2.5 kN",
            Self::WireSize => "16 AWG",
        }
    }
}

impl Shape {
    /// What it is, with its article.
    fn words(&self) -> &'static str {
        match self {
            Self::Words { .. } | Self::Choice(_) => "a text in quotes",
            Self::Name => "a name in quotes",
            Self::Whole { .. } => "a whole number",
            Self::Number { .. } => "a number without a unit",
            Self::Date => "a date like 2027-11-26, without quotes",
            Self::Flag => "`true` or `false`",
            Self::Quantity { measure, .. } => measure.words(),
            Self::List { .. } => "a list in brackets",
            Self::CountOrLabels { .. } => "a whole number or a list of labels in brackets",
            Self::Table(keys) => keys.what,
            Self::Named { .. } => "a table with a name",
        }
    }
}

/// How a missing key would be written.
fn example(key: &Key) -> String {
    let name = key.name;
    match key.shape {
        Shape::Words { .. } | Shape::Name => format!("`{name} = \"...\"`"),
        Shape::Choice(choices) => format!("`{name} = \"{}\"`", choices.join("\"` or `\"")),
        Shape::Whole { least, .. } => format!("`{name} = {least}`, or whatever it is"),
        Shape::Number { least, .. } => format!("`{name} = {least}`, or whatever it is"),
        Shape::Date => format!("`{name} = 2027-11-26`, or whenever it is"),
        Shape::Flag => format!("`{name} = true` or `{name} = false`"),
        Shape::Quantity { measure, .. } => format!("`{name} = \"{}\"`, or whatever it is", measure.example()),
        Shape::List { .. } => format!("`{name} = [\"...\"]`"),
        Shape::CountOrLabels { .. } => format!("`{name} = 8`, or however many, or the labels in a list"),
        Shape::Table(_) => format!("`[{name}]`"),
        Shape::Named { .. } => format!("`[{name}.NAME]`"),
    }
}

/// What was found, with its article.
fn kind(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "`true` or `false`",
        DeValue::Datetime(_) => "a date or time",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// The keys of a table in the order of the text.
fn in_text_order<'a, 'i>(
    table: &'a DeTable<'i>,
) -> Vec<(&'a Spanned<std::borrow::Cow<'i, str>>, &'a Spanned<DeValue<'i>>)> {
    let mut keys: Vec<_> = table.iter().collect();
    keys.sort_by_key(|(name, _)| name.span().start);
    keys
}
