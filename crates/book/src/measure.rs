//! Lengths and currents as a builder reads them.

use quantity::Units;

/// A length in the builder's units: inches to the nearest sixteenth, feet above a yard; whole millimetres, tenths below 100.
pub(crate) fn length(mm: f64, units: Units) -> String {
    match units {
        Units::Inches => inches(mm),
        Units::Millimetres if mm.abs() < 99.95 => format!("{} mm", trimmed(&format!("{mm:.1}"))),
        Units::Millimetres => format!("{mm:.0} mm"),
    }
}

/// Feet, inches and sixteenths.
fn inches(mm: f64) -> String {
    let sixteenths = (mm.abs() / 25.4 * 16.0).round();
    let sign = if mm < 0.0 && sixteenths > 0.0 { "-" } else { "" };
    let feet = if sixteenths >= 36.0 * 16.0 { (sixteenths / 192.0).floor() } else { 0.0 };
    let rest = sixteenths - feet * 192.0;
    let whole = (rest / 16.0).floor();
    let mut part = rest - whole * 16.0;
    let mut of = 16.0;
    while part > 0.0 && part % 2.0 == 0.0 {
        part /= 2.0;
        of /= 2.0;
    }
    let inches = match (whole > 0.0, part > 0.0) {
        (true, true) => format!("{whole:.0} {part:.0}/{of:.0} in"),
        (true, false) => format!("{whole:.0} in"),
        (false, true) => format!("{part:.0}/{of:.0} in"),
        (false, false) if feet > 0.0 => String::new(),
        (false, false) => "0 in".to_owned(),
    };
    let feet = if feet > 0.0 { format!("{feet:.0} ft ") } else { String::new() };
    format!("{sign}{feet}{inches}").trim_end().to_owned()
}

/// A current: milliamperes below one ampere.
pub(crate) fn current(a: f64) -> String {
    if a.abs() < 0.9995 { format!("{:.0} mA", a * 1000.0) } else { format!("{a:.2} A") }
}

/// A voltage.
pub(crate) fn voltage(v: f64) -> String {
    format!("{} V", trimmed(&format!("{v:.2}")))
}

/// A number without the zeros that say nothing.
fn trimmed(number: &str) -> String {
    if number.contains('.') {
        number.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        number.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One inch is 25.4 mm exactly (international yard, 1959); the rest is counting.
    #[test]
    fn inches_come_in_sixteenths_and_feet_above_a_yard() {
        assert_eq!(inches(25.4), "1 in");
        assert_eq!(inches(12.7), "1/2 in");
        assert_eq!(inches(6.35 * 5.0), "1 1/4 in");
        assert_eq!(inches(0.0), "0 in");
        assert_eq!(inches(1828.8), "6 ft");
        assert_eq!(inches(1828.8 + 12.7), "6 ft 1/2 in");
        assert_eq!(inches(890.0), "35 1/16 in");
        assert_eq!(inches(1219.2), "4 ft");
    }

    #[test]
    fn small_currents_are_milliamperes() {
        assert_eq!(current(0.2), "200 mA");
        assert_eq!(current(1.5), "1.50 A");
        assert_eq!(voltage(12.0), "12 V");
        assert_eq!(length(1200.0, Units::Millimetres), "1200 mm");
        assert_eq!(length(6.5, Units::Millimetres), "6.5 mm");
    }
}
