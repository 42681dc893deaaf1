//! From checked values to parts; a part that is known already is corrected by what is written.

mod each;
mod strand;

use crate::reader::{Entry, Values};
use finding::Fault;
use quantity::{ElectricCurrent, ElectricPotential, Force, Length, Mass, Power, Ratio, WireSize};

/// A kind of part that can be read.
pub(crate) trait Part: Sized + Clone {
    /// The part, or nothing when a needed value could not be read.
    fn build(written: &Written<'_>, base: Option<&Self>, faults: &mut Vec<Fault>) -> Option<Self>;
}

/// A part as written: its name, where it stands, its values.
pub(crate) struct Written<'a> {
    pub(crate) name: &'a str,
    pub(crate) entry: &'a Entry,
    pub(crate) values: &'a Values,
}

impl Written<'_> {
    /// Where the ratings of a part were read: whoever writes one of them is the source.
    fn source(&self, base: Option<&str>, ratings: &[&str]) -> String {
        let place = || format!("{}, {}", self.entry.place.file, self.entry.path);
        match (self.values.words("source"), base) {
            (Some(written), _) => written.value,
            (None, None) => place(),
            (None, Some(base)) if ratings.iter().all(|key| self.values.entry(key).is_none()) => {
                base.to_owned()
            }
            (None, Some(base)) => format!("{}; the rest: {base}", place()),
        }
    }

    /// Notes a fault at the value of a key, or at the part's name where the key is not written.
    fn note(&self, key: &str, code: &'static str, message: &str, hint: &str, faults: &mut Vec<Fault>) {
        let place = self.values.entry(key).map_or(&self.entry.key, |entry| &entry.place).clone();
        let fault = Fault::new(code, Some(place), message);
        faults.push(if hint.is_empty() { fault } else { fault.hint(hint) });
    }

    /// A colour as `#rrggbb`.
    fn colour(&self, base: Option<&str>, faults: &mut Vec<Fault>) -> String {
        let known = base.unwrap_or(crate::keys::COLOUR).to_owned();
        let Some(entry) = self.values.entry("colour") else { return known };
        let written = entry.words().unwrap_or_default();
        let digits = written.strip_prefix('#').unwrap_or_default();
        if digits.len() == 6 && digits.chars().all(|c| c.is_ascii_hexdigit()) {
            return written.to_lowercase();
        }
        let message = format!("`{written}` is not a colour that can be drawn");
        self.note("colour", "part/colour", &message, "write it as `#ffd9a0`", faults);
        known
    }
}

/// A value that a table can hold under a key.
trait Held: Sized + Clone {
    /// It, when it is written and could be read.
    fn held(values: &Values, key: &str) -> Option<Self>;
}

macro_rules! held {
    ($($kind:ty: $getter:ident),+ $(,)?) => {
        $(impl Held for $kind {
            fn held(values: &Values, key: &str) -> Option<Self> {
                values.$getter(key).map(|known| known.value)
            }
        })+
    };
}

held! {
    Length: length, ElectricCurrent: current, ElectricPotential: voltage, Power: power, u32: whole, bool: flag,
    String: words, Mass: mass, Force: force, Ratio: share, WireSize: wire_size,
}

/// Labels as written, or numbers from 1 where only their count is.
impl Held for Vec<String> {
    fn held(values: &Values, key: &str) -> Option<Self> {
        if let Some(count) = values.whole(key) {
            return Some((1..=count.value).map(|number| number.to_string()).collect());
        }
        let labels: Vec<String> =
            values.list(key).iter().filter_map(|entry| entry.words().map(str::to_owned)).collect();
        (!labels.is_empty()).then_some(labels)
    }
}

/// What may or may not be written.
impl<T: Held> Held for Option<T> {
    fn held(values: &Values, key: &str) -> Option<Self> {
        T::held(values, key).map(Some)
    }
}

/// Words of a choice, as the thing they mean.
macro_rules! choice {
    ($kind:ty, $($words:literal => $value:expr),+ $(,)?) => {
        impl crate::build::Held for $kind {
            fn held(values: &crate::reader::Values, key: &str) -> Option<Self> {
                match values.words(key)?.value.as_str() {
                    $($words => Some($value),)+
                    _ => None,
                }
            }
        }
    };
}
pub(crate) use choice;
