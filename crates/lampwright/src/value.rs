//! Values for one formula: reading `75 ft`, `16 AWG`, `0.9`; printing numbers as a person writes them.

use quantity::{QuantityFault, unit};

/// The key of an input on the command line.
pub(crate) fn key(name: &str) -> String {
    name.trim().to_lowercase().replace([' ', '_'], "-")
}

/// A value in the unit that a formula takes it in.
pub(crate) fn read(written: &str, unit: &str) -> Result<f64, String> {
    let written = written.trim();
    let bare = written.strip_suffix(unit).unwrap_or(written).trim();
    let value = match bare.parse::<f64>() {
        Ok(value) => value,
        Err(_) => converted(written, unit)?,
    };
    if !value.is_finite() {
        return Err("this is no number".into());
    }
    if unit.is_empty() && value < 0.0 {
        return Err("below zero means nothing here".into());
    }
    Ok(value)
}

/// A quantity written in another unit.
fn converted(written: &str, into: &str) -> Result<f64, String> {
    let words = |fault: QuantityFault| fault.to_string();
    Ok(match into {
        "mm" => quantity::length(written).map_err(words)?.get::<unit::millimeter>(),
        "cm" => quantity::length(written).map_err(words)?.get::<unit::centimeter>(),
        "m" => quantity::length(written).map_err(words)?.get::<unit::meter>(),
        "in" => quantity::length(written).map_err(words)?.get::<unit::inch>(),
        "ft" => quantity::length(written).map_err(words)?.get::<unit::foot>(),
        "A" => quantity::current(written).map_err(words)?.get::<unit::ampere>(),
        "mA" => quantity::current(written).map_err(words)?.get::<unit::milliampere>(),
        "V" => quantity::potential(written).map_err(words)?.get::<unit::volt>(),
        "ohm" => quantity::resistance(written).map_err(words)?.get::<unit::ohm>(),
        "W" => quantity::power(written).map_err(words)?.get::<unit::watt>(),
        "ms" => quantity::time(written).map_err(words)?.get::<unit::millisecond>(),
        "s" => quantity::time(written).map_err(words)?.get::<unit::second>(),
        "h" => quantity::time(written).map_err(words)?.get::<unit::hour>(),
        "%" => quantity::ratio(written).map_err(words)?.get::<unit::percent>(),
        "kg" => quantity::mass(written).map_err(words)?.get::<unit::kilogram>(),
        "m/s" => quantity::velocity(written).map_err(words)?.get::<unit::meter_per_second>(),
        "" => return Err("a plain number belongs here".into()),
        other => return Err(format!("a number of {other} belongs here")),
    })
}

/// A number with six figures at most and no idle zeros.
pub(crate) fn number(value: f64) -> String {
    let size = value.abs();
    if size != 0.0 && !(1e-4..1e9).contains(&size) {
        return format!("{value:.5e}");
    }
    let whole = format!("{size:.0}").len();
    let decimals = if size >= 1.0 { 6_usize.saturating_sub(whole) } else { 6 };
    let shown = format!("{value:.decimals$}");
    let short = if shown.contains('.') { shown.trim_end_matches('0').trim_end_matches('.') } else { &shown };
    if short == "-0" { "0".into() } else { short.into() }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An inch is 25.4 mm exactly (NIST Special Publication 811, appendix B.8), a foot 12 of them.
    #[test]
    fn quantities_arrive_in_the_formula_s_unit() {
        for (written, unit, value) in [
            ("75 ft", "ft", 75.0),
            ("75", "ft", 75.0),
            ("900 in", "ft", 75.0),
            ("22.86 m", "ft", 75.0),
            ("5 ft 6 in", "in", 66.0),
            ("3/4 in", "mm", 19.05),
            ("16 AWG", "AWG", 16.0),
            ("16AWG", "AWG", 16.0),
            ("16", "AWG", 16.0),
            ("340 mA", "A", 0.34),
            ("24W", "W", 24.0),
            ("-5 C", "C", -5.0),
            ("20 minutes of arc", "minutes of arc", 20.0),
            ("2", "", 2.0),
        ] {
            let read = read(written, unit).unwrap();
            assert!((read - value).abs() < 1e-9 * value.abs(), "{written}: {read} {unit}");
        }
    }

    #[test]
    fn what_is_no_value_is_refused() {
        for (written, unit) in [
            ("75 A", "ft"),
            ("nan", "ft"),
            ("inf", ""),
            ("1e999", "mm"),
            ("-1", ""),
            ("16 mm2", "AWG"),
            ("", "V"),
            ("two", ""),
        ] {
            assert!(read(written, unit).is_err(), "{written} {unit}");
        }
    }

    #[test]
    fn numbers_print_without_idle_zeros() {
        for (value, shown) in [
            (15.9, "15.9"),
            (2.0, "2"),
            (0.0, "0"),
            (1234567.0, "1234567"),
            (0.1 + 0.2, "0.3"),
            (-2.5, "-2.5"),
        ] {
            assert_eq!(number(value), shown);
        }
    }
}
