//! What was read: typed values with their paths and places.

use finding::{Known, Origin};
use quantity::{
    Angle, ElectricCurrent, ElectricPotential, ElectricalResistance, Force, Length, Mass, Power, Ratio,
    Velocity, WireSize,
};
use serde::Serialize;
use source::{KeyPath, Place};

/// One value that was read.
#[derive(Clone, Debug)]
pub struct Entry {
    /// The way to it.
    pub path: KeyPath,
    /// Where its key stands (for a value of a list: the value itself).
    pub key: Place,
    /// Where the value stands.
    pub place: Place,
    /// The value.
    pub value: Read,
}

impl Entry {
    /// That the builder wrote it, and where.
    pub fn origin(&self) -> Origin {
        Origin::Written { file: self.place.file.clone(), path: self.path.clone() }
    }

    /// The words, when it holds words.
    pub fn words(&self) -> Option<&str> {
        match &self.value {
            Read::Words(words) => Some(words),
            _ => None,
        }
    }

    /// The table, when it is one.
    pub fn table(&self) -> Option<&Values> {
        match &self.value {
            Read::Table(values) => Some(values),
            _ => None,
        }
    }
}

/// A date of the calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Date {
    /// The year.
    pub year: u16,
    /// The month, from 1.
    pub month: u8,
    /// The day of the month, from 1.
    pub day: u8,
}

/// A value by its kind.
#[derive(Clone, Debug)]
pub enum Read {
    /// Words, a name or a choice.
    Words(String),
    /// A whole number.
    Whole(u32),
    /// Yes or no.
    Flag(bool),
    /// A length.
    Length(Length),
    /// A current.
    Current(ElectricCurrent),
    /// A voltage.
    Voltage(ElectricPotential),
    /// A power.
    Power(Power),
    /// A mass.
    Mass(Mass),
    /// A speed.
    Speed(Velocity),
    /// An angle.
    Angle(Angle),
    /// A share.
    Share(Ratio),
    /// A resistance.
    Resistance(ElectricalResistance),
    /// A force.
    Force(Force),
    /// The size of a wire.
    WireSize(WireSize),
    /// A number without a unit.
    Number(f64),
    /// A date.
    Date(Date),
    /// A list; values that could not be read are left out.
    List(Vec<Entry>),
    /// A table.
    Table(Values),
}

/// A table as read, in the order of the text. What could not be read is not in it.
#[derive(Clone, Debug, Default)]
pub struct Values {
    /// The keys and their values.
    pub entries: Vec<(String, Entry)>,
}

macro_rules! getter {
    ($name:ident, $variant:ident, $kind:ty, $words:literal) => {
        #[doc = $words]
        pub fn $name(&self, key: &str) -> Option<Known<$kind>> {
            let entry = self.entry(key)?;
            match &entry.value {
                Read::$variant(value) => Some(Known::new(value.clone(), entry.origin())),
                _ => None,
            }
        }
    };
}

impl Values {
    /// The value of a key, if it was written and could be read.
    pub fn entry(&self, key: &str) -> Option<&Entry> {
        self.entries.iter().find(|(name, _)| name == key).map(|(_, entry)| entry)
    }

    /// The table of a key.
    pub fn table(&self, key: &str) -> Option<&Values> {
        self.entry(key)?.table()
    }

    /// The values of a list; none when it is not there.
    pub fn list(&self, key: &str) -> &[Entry] {
        match self.entry(key).map(|entry| &entry.value) {
            Some(Read::List(list)) => list,
            _ => &[],
        }
    }

    /// The named tables under a key, in the order of the text.
    pub fn named(&self, key: &str) -> impl Iterator<Item = (&str, &Entry, &Values)> {
        let tables = self.table(key).map_or(&[][..], |table| &table.entries[..]);
        tables.iter().filter_map(|(name, entry)| Some((name.as_str(), entry, entry.table()?)))
    }

    getter!(words, Words, String, "Words.");
    getter!(whole, Whole, u32, "A whole number.");
    getter!(flag, Flag, bool, "Yes or no.");
    getter!(length, Length, Length, "A length.");
    getter!(current, Current, ElectricCurrent, "A current.");
    getter!(voltage, Voltage, ElectricPotential, "A voltage.");
    getter!(power, Power, Power, "A power.");
    getter!(mass, Mass, Mass, "A mass.");
    getter!(speed, Speed, Velocity, "A speed.");
    getter!(angle, Angle, Angle, "An angle.");
    getter!(share, Share, Ratio, "A share.");
    getter!(resistance, Resistance, ElectricalResistance, "A resistance.");
    getter!(force, Force, Force, "A force.");
    getter!(wire_size, WireSize, WireSize, "The size of a wire.");
    getter!(number, Number, f64, "A number without a unit.");
    getter!(date, Date, Date, "A date.");
}
