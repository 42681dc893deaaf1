//! Reading a quantity as a builder writes it.

use crate::fault::{QuantityFault, Reason};
use crate::number::Reading;
use crate::units::{Family, Kind, find, kind_of, near};
use uom::si::f64::{
    Angle, ElectricCurrent, ElectricPotential, ElectricalResistance, Force, Length, Mass, Power, Ratio, Time,
    Velocity,
};

/// No quantity needs more characters than this.
pub const MAX_CHARACTERS: usize = 64;

macro_rules! reader {
    ($name:ident, $kind:ty, $words:literal) => {
        #[doc = $words]
        ///
        /// # Errors
        /// When the text is not one, with what is wrong, where, and what to write instead.
        pub fn $name(text: &str) -> Result<$kind, QuantityFault> {
            read::<$kind>(text)
        }
    };
}

reader!(length, Length, "A length: `3/4 in`, `5' 6\"`, `5 ft 6 in`, `1-1/2 in`, `2.4 m`, `60 mm`.");
reader!(current, ElectricCurrent, "A current: `0.34 A`, `340 mA`.");
reader!(potential, ElectricPotential, "A voltage: `12 V`.");
reader!(resistance, ElectricalResistance, "A resistance: `220 ohm`.");
reader!(power, Power, "A power: `4.8 W`.");
reader!(time, Time, "A time: `180 ms`, `2 s`, `1 min 30 s`.");
reader!(ratio, Ratio, "A ratio: `5 %`.");
reader!(mass, Mass, "A mass: `0.35 kg`, `12 oz`.");
reader!(velocity, Velocity, "A speed: `45 mph`, `20 m/s`.");
reader!(angle, Angle, "An angle: `20 deg`.");
reader!(force, Force, "A force: `2.5 kN`, `500 lbf`.");

/// A length that may lie on the other side of where it is measured from: `-3 ft`, `2 m`.
///
/// # Errors
/// When the text is not one, with what is wrong, where, and what to write instead.
pub fn offset(text: &str) -> Result<Length, QuantityFault> {
    let after = text.trim_start();
    let Some(rest) = after.strip_prefix(['-', '−']) else { return read::<Length>(text) };
    let before = text.len() - rest.len();
    match read::<Length>(rest) {
        Ok(length) => Ok(-length),
        Err(mut fault) => {
            fault.range = fault.range.start + before..fault.range.end + before;
            Err(fault)
        }
    }
}

/// Whether a character can be part of a unit's name.
fn in_unit(c: char) -> bool {
    c.is_alphabetic() || matches!(c, '%' | '/' | '°' | '.')
}

/// Whether a character is a mark for feet or inches.
fn is_mark(c: char) -> bool {
    matches!(c, '\'' | '"' | '′' | '″' | '’' | '”')
}

/// Reads a whole text as one quantity.
fn read<Q: Kind>(text: &str) -> Result<Q, QuantityFault> {
    let all = 0..text.len();
    if text.chars().count() > MAX_CHARACTERS {
        let message = format!("this is longer than {MAX_CHARACTERS} characters; no quantity is");
        return Err(QuantityFault::new(Reason::TooLong, all, message).hint(example::<Q>()));
    }
    if text.trim().is_empty() {
        let message = format!("nothing is written here; {} belongs here", Q::NAME);
        return Err(QuantityFault::new(Reason::Empty, all, message).hint(example::<Q>()));
    }
    let mut reading = Reading { text, at: 0 };
    reading.blanks();
    refuse_sign::<Q>(&mut reading)?;
    let (mut sum, mut place, mut family) = part::<Q>(&mut reading)?;
    loop {
        reading.blanks();
        if reading.rest().is_empty() {
            break;
        }
        let start = reading.at;
        if family.is_some() && reading.eat('-') {
            reading.blanks();
        }
        let (more, next_place, next_family) = part::<Q>(&mut reading)?;
        if next_family.is_none() || next_family != family || next_place <= place {
            let message = format!("`{}` does not go with what stands before it", &text[start..reading.at]);
            return Err(QuantityFault::new(Reason::Parts, start..reading.at, message).hint(example::<Q>()));
        }
        (sum, place, family) = (sum + more, next_place, next_family);
    }
    // A hair of slack: what is printed of the greatest value is rounded to a sixteenth of an inch and must be read back.
    if sum.base() > Q::MOST.1 * (1.0 + 1e-6) {
        let message = format!("this is more than {}, which no display has", Q::MOST.0);
        return Err(QuantityFault::new(Reason::TooLarge, all, message));
    }
    Ok(sum)
}

/// How to write a quantity of this kind.
fn example<Q: Kind>() -> String {
    format!("write {}", Q::EXAMPLE)
}

/// A minus has no meaning for any of these quantities; a plus is let pass.
fn refuse_sign<Q: Kind>(reading: &mut Reading<'_>) -> Result<(), QuantityFault> {
    let start = reading.at;
    if reading.eat('-') || reading.eat('−') {
        if reading.rest().trim_start().starts_with(|c: char| c.is_ascii_digit() || c == '.') {
            let message = format!("{} below zero means nothing here", Q::NAME);
            return Err(QuantityFault::new(Reason::Negative, start..reading.text.len(), message));
        }
        reading.at = start;
    } else {
        reading.eat('+');
    }
    Ok(())
}

/// One number and its unit, with the unit's position in its table and its family.
fn part<Q: Kind>(reading: &mut Reading<'_>) -> Result<(Q, usize, Option<Family>), QuantityFault> {
    let start = reading.at;
    let number = reading.number()?;
    let after = reading.at;
    reading.blanks();
    let unit_start = reading.at;
    let mut written = reading.take(is_mark);
    if written.is_empty() {
        written = reading.take(in_unit);
    }
    if written.is_empty() {
        return Err(no_unit::<Q>(reading, start, after));
    }
    let Some((place, unit)) = find::<Q>(written).or_else(|| find::<Q>(written.trim_end_matches('.'))) else {
        return Err(wrong_unit::<Q>(reading.text, start, unit_start, written));
    };
    Ok(((unit.make)(number), place, unit.family))
}

/// A number stands alone.
fn no_unit<Q: Kind>(reading: &mut Reading<'_>, start: usize, after: usize) -> QuantityFault {
    if reading.rest().starts_with(',') {
        let end = reading.text.len();
        return QuantityFault::new(Reason::Comma, start..end, "there is a comma in it")
            .hint("write decimals with a point, and nothing between thousands: 3.5 m, 1200 mm");
    }
    let rest = reading.rest();
    if !rest.is_empty() && !rest.starts_with(|c: char| c.is_ascii_digit()) {
        let begin = reading.at;
        reading.take(|c| !c.is_whitespace());
        let message = format!("`{}` is not a unit", &reading.text[begin..reading.at]);
        return QuantityFault::new(Reason::UnknownUnit, begin..reading.at, message).hint(example::<Q>());
    }
    let message = format!("`{}` has no unit", &reading.text[start..after]);
    QuantityFault::new(Reason::Bare, start..after, message).hint(format!(
        "{} needs a unit: write {}",
        Q::NAME,
        Q::EXAMPLE
    ))
}

/// The unit is not one of this kind.
fn wrong_unit<Q: Kind>(text: &str, start: usize, unit_start: usize, written: &str) -> QuantityFault {
    let end = unit_start + written.len();
    if let Some(other) = kind_of(written) {
        let message = format!("`{}` is {other}; {} belongs here", &text[start..end], Q::NAME);
        return QuantityFault::new(Reason::WrongKind, start..end, message).hint(example::<Q>());
    }
    let message = format!("`{written}` is not a unit of {}", Q::NAME.trim_start_matches("a "));
    let hint = match near::<Q>(written) {
        Some(near) => format!("did you mean `{near}`?"),
        None => {
            let known: Vec<&str> = Q::UNITS.iter().map(|unit| unit.names[0]).collect();
            format!("units known here: {}", known.join(", "))
        }
    };
    QuantityFault::new(Reason::UnknownUnit, unit_start..end, message).hint(hint)
}
