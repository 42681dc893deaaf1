//! Wire sizes: the American gauge and cross-sections in square millimetres.

use crate::fault::{QuantityFault, Reason};
use serde::{Serialize, Serializer};
use std::fmt;

/// The size of a conductor, in the scheme it was written in; `Display` gives it back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WireSize {
    /// American wire gauge, 0 to 40.
    Awg(u32),
    /// Cross-section in square millimetres.
    SquareMillimetres(f64),
}

impl WireSize {
    /// Copper area in square millimetres. For gauges after ASTM B258: number 36 is 0.005 in thick, number 0000 0.46 in,
    /// and the 39 sizes between them are steps of one ratio.
    pub fn area_mm2(self) -> f64 {
        match self {
            Self::Awg(gauge) => {
                let diameter = 0.127 * libm::pow(92.0, (36.0 - f64::from(gauge)) / 39.0);
                std::f64::consts::FRAC_PI_4 * diameter * diameter
            }
            Self::SquareMillimetres(area) => area,
        }
    }
}

impl fmt::Display for WireSize {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Awg(gauge) => write!(out, "{gauge} AWG"),
            Self::SquareMillimetres(area) => write!(out, "{area} mm2"),
        }
    }
}

impl Serialize for WireSize {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

/// A wire size: `16 AWG`, `1.5 mm2`.
///
/// # Errors
/// When the text is not one, with what is wrong, where, and what to write instead.
pub fn wire_size(text: &str) -> Result<WireSize, QuantityFault> {
    let all = 0..text.len();
    let refuse = |reason, message: String| {
        Err(QuantityFault::new(reason, all.clone(), message).hint("write 16 AWG or 1.5 mm2"))
    };
    let words = text.trim();
    let digits = words.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(words.len());
    let (number, unit) = (&words[..digits], words[digits..].trim());
    if number.is_empty() {
        return refuse(Reason::NotANumber, format!("`{}` is not a wire size", words.escape_debug()));
    }
    match unit {
        "" => refuse(Reason::Bare, format!("`{words}` has no unit")),
        "AWG" | "awg" => match number.parse::<u32>() {
            Ok(gauge) if gauge <= 40 => Ok(WireSize::Awg(gauge)),
            _ => refuse(Reason::TooLarge, format!("there is no gauge {number}")),
        },
        "mm2" | "mm²" | "sq mm" => match number.parse::<f64>() {
            Ok(area) if area > 0.0 && area <= 1000.0 => Ok(WireSize::SquareMillimetres(area)),
            Ok(area) if area > 1000.0 => refuse(Reason::TooLarge, format!("no wire has {number} mm2")),
            _ => refuse(Reason::NotANumber, format!("`{number}` is not a number above zero")),
        },
        _ => refuse(Reason::UnknownUnit, format!("`{}` is not a unit of wire sizes", unit.escape_debug())),
    }
}
