//! The form of a file: which keys a table has and what each of them holds.

/// What a key holds.
#[derive(Clone, Copy, Debug)]
pub enum Shape {
    /// Words, up to so many characters.
    Words {
        /// Greatest number of characters.
        most: usize,
    },
    /// The name of a part or file; the reader above looks it up.
    Name,
    /// One of a few words.
    Choice(&'static [&'static str]),
    /// A whole number.
    Whole {
        /// Least.
        least: u32,
        /// Greatest.
        most: u32,
    },
    /// A plain number without a unit.
    Number {
        /// Least.
        least: f64,
        /// Greatest.
        most: f64,
    },
    /// A date, `2027-11-26`, without quotes.
    Date,
    /// `true` or `false`.
    Flag,
    /// A quantity with its unit, in quotes.
    Quantity {
        /// Its kind.
        measure: Measure,
        /// Whether nothing at all (`0 in`) makes sense.
        zero: bool,
    },
    /// A list.
    List {
        /// What each of its values is.
        of: &'static Shape,
        /// Fewest values.
        least: usize,
        /// Most values.
        most: usize,
    },
    /// A count, or a list with a label for each.
    CountOrLabels {
        /// The greatest count.
        most: u32,
        /// What a label is.
        of: &'static Shape,
    },
    /// A table with these keys.
    Table(&'static Keys),
    /// Tables under names that the builder chooses: `[figure.fox]`.
    Named {
        /// The keys of each.
        keys: &'static Keys,
        /// What names are allowed.
        names: Names,
        /// Fewest of them.
        least: usize,
    },
}

/// The kinds of quantity that files hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// A length.
    Length,
    /// A current.
    Current,
    /// A voltage.
    Voltage,
    /// A power.
    Power,
    /// A distance that may lie on the other side of where it is measured from.
    Offset,
    /// A mass.
    Mass,
    /// A speed.
    Speed,
    /// An angle.
    Angle,
    /// A share.
    Share,
    /// A resistance.
    Resistance,
    /// A force.
    Force,
    /// The size of a wire.
    WireSize,
}

/// What a builder may call something.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Names {
    /// Names the rules use too: letters, digits and `_`, a letter first.
    InRules,
    /// Names of parts: the same and `-`.
    OfParts,
}

impl Names {
    /// Whether this is such a name.
    pub fn allow(self, name: &str) -> bool {
        let inner = |c: char| c.is_ascii_alphanumeric() || c == '_' || (self == Self::OfParts && c == '-');
        name.starts_with(|c: char| c.is_ascii_alphabetic()) && name.chars().all(inner) && name.len() <= 32
    }

    /// The same as a regular expression.
    pub fn pattern(self) -> &'static str {
        match self {
            Self::InRules => "^[A-Za-z][A-Za-z0-9_]{0,31}$",
            Self::OfParts => "^[A-Za-z][A-Za-z0-9_-]{0,31}$",
        }
    }

    /// The same in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::InRules => "a letter, then letters, digits or `_`, at most 32",
            Self::OfParts => "a letter, then letters, digits, `_` or `-`, at most 32",
        }
    }
}

/// Whether a key must be there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// It must be written.
    Written,
    /// It may be left out; this says what then holds.
    Default(&'static str),
}

/// One key of a table.
#[derive(Clone, Copy, Debug)]
pub struct Key {
    /// As written.
    pub name: &'static str,
    /// What it holds.
    pub shape: Shape,
    /// Whether it must be there.
    pub need: Need,
    /// What it means, for the schema and for hints.
    pub words: &'static str,
}

/// The keys of a table.
#[derive(Clone, Copy, Debug)]
pub struct Keys {
    /// What the table is, with its article: `a figure`.
    pub what: &'static str,
    /// Its keys, in the order a builder would write them.
    pub keys: &'static [Key],
}

impl Keys {
    /// The key of this name.
    pub fn find(&self, name: &str) -> Option<&'static Key> {
        self.keys.iter().find(|key| key.name == name)
    }
}
