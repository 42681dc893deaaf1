//! The units a builder may write, by kind of quantity. Conversion itself is the units library's.

use crate::unit;
use uom::si::f64::{
    Angle, ElectricCurrent, ElectricPotential, ElectricalResistance, Force, Length, Mass, Power, Ratio, Time,
    Velocity,
};

/// One unit: how it may be written and how a number of it becomes a quantity.
pub(crate) struct Unit<Q> {
    /// The ways to write it, the usual one first.
    pub(crate) names: &'static [&'static str],
    /// So many of it.
    pub(crate) make: fn(f64) -> Q,
    /// Units of one family may follow each other, each smaller than the one before (`5 ft 6 in`).
    pub(crate) family: Option<Family>,
}

/// Units that people write one after another.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Family {
    /// Feet, then inches.
    FeetInches,
    /// Hours, minutes, seconds.
    Clock,
}

/// A kind of quantity that can be read.
pub(crate) trait Kind: Sized + Copy + std::ops::Add<Output = Self> + PartialOrd + 'static {
    /// With its article: `a length`.
    const NAME: &'static str;
    /// How to write one.
    const EXAMPLE: &'static str;
    /// More than any display has, in words and as a quantity.
    const MOST: (&'static str, f64);
    /// Its units.
    const UNITS: &'static [Unit<Self>];
    /// In the coherent unit.
    fn base(self) -> f64;
}

macro_rules! kind {
    ($kind:ty, $name:literal, $example:literal, $most_words:literal = $most:expr,
     $( [$($written:literal)+] $unit:ident $($family:ident)? ; )+) => {
        impl Kind for $kind {
            const NAME: &'static str = $name;
            const EXAMPLE: &'static str = $example;
            const MOST: (&'static str, f64) = ($most_words, $most);
            const UNITS: &'static [Unit<Self>] = &[
                $( Unit {
                    names: &[$($written),+],
                    make: <$kind>::new::<unit::$unit>,
                    family: kind!(@family $($family)?),
                } ),+
            ];
            fn base(self) -> f64 {
                self.value
            }
        }
    };
    (@family $family:ident) => { Some(Family::$family) };
    (@family) => { None };
}

kind!(Length, "a length", "4 ft or 120 cm", "10 km" = 10_000.0,
    ["ft" "foot" "feet" "'" "′" "’"] foot FeetInches;
    ["in" "inch" "inches" "\"" "″" "”" "''" "′′" "’’"] inch FeetInches;
    ["yd" "yard" "yards"] yard;
    ["mm" "millimetre" "millimetres" "millimeter" "millimeters"] millimeter;
    ["cm" "centimetre" "centimetres" "centimeter" "centimeters"] centimeter;
    ["m" "metre" "metres" "meter" "meters"] meter;
);
kind!(ElectricCurrent, "a current", "0.34 A or 340 mA", "10000 A" = 10_000.0,
    ["A" "amp" "amps" "ampere" "amperes"] ampere;
    ["mA" "milliamp" "milliamps" "milliampere" "milliamperes"] milliampere;
);
kind!(ElectricPotential, "a voltage", "12 V", "100000 V" = 100_000.0,
    ["V" "volt" "volts"] volt;
    ["mV" "millivolt" "millivolts"] millivolt;
);
kind!(ElectricalResistance, "a resistance", "220 ohm", "1000000000 ohm" = 1e9,
    ["ohm" "ohms" "Ω" "Ω"] ohm;
    ["mohm" "mΩ" "mΩ"] milliohm;
);
kind!(Power, "a power", "4.8 W", "1000 kW" = 1e6,
    ["W" "watt" "watts"] watt;
    ["mW" "milliwatt" "milliwatts"] milliwatt;
    ["kW" "kilowatt" "kilowatts"] kilowatt;
);
kind!(Time, "a time", "180 ms or 2 s", "10000 h" = 36_000_000.0,
    ["h" "hour" "hours"] hour Clock;
    ["min" "minute" "minutes"] minute Clock;
    ["s" "sec" "second" "seconds"] second Clock;
    ["ms" "millisecond" "milliseconds"] millisecond Clock;
);
kind!(Ratio, "a ratio", "5 %", "1000000 %" = 10_000.0,
    ["%" "percent"] percent;
);
/// The pound of the international yard and pound agreement of 1959, in kilograms: exact. The units library's own pound
/// and ounce are rounded in the seventh figure.
pub const POUND_KG: f64 = 0.453_592_37;

impl Kind for Mass {
    const NAME: &'static str = "a mass";
    const EXAMPLE: &'static str = "0.35 kg or 12 oz";
    const MOST: (&'static str, f64) = ("1000000 kg", 1e6);
    const UNITS: &'static [Unit<Self>] = &[
        Unit { names: &["kg", "kilogram", "kilograms"], make: Mass::new::<unit::kilogram>, family: None },
        Unit { names: &["g", "gram", "grams"], make: Mass::new::<unit::gram>, family: None },
        Unit { names: &["lb", "lbs", "pound", "pounds"], make: pounds, family: None },
        Unit { names: &["oz", "ounce", "ounces"], make: |ounces| pounds(ounces / 16.0), family: None },
    ];
    fn base(self) -> f64 {
        self.value
    }
}

/// So many pounds.
fn pounds(pounds: f64) -> Mass {
    Mass::new::<unit::kilogram>(pounds * POUND_KG)
}

kind!(Angle, "an angle", "20 deg", "360 deg" = std::f64::consts::TAU,
    ["deg" "degree" "degrees" "°"] degree;
);
/// The pound-force: the pound of 1959 in standard gravity, 9.80665 m/s2 (third general conference on weights and
/// measures, 1901).
pub const POUND_FORCE_N: f64 = POUND_KG * 9.806_65;

impl Kind for Force {
    const NAME: &'static str = "a force";
    const EXAMPLE: &'static str = "2.5 kN or 500 lbf";
    const MOST: (&'static str, f64) = ("10000 kN", 1e7);
    const UNITS: &'static [Unit<Self>] = &[
        Unit { names: &["N", "newton", "newtons"], make: Force::new::<unit::newton>, family: None },
        Unit {
            names: &["kN", "kilonewton", "kilonewtons"],
            make: Force::new::<unit::kilonewton>,
            family: None,
        },
        Unit {
            names: &["lbf"],
            make: |pounds| Force::new::<unit::newton>(pounds * POUND_FORCE_N),
            family: None,
        },
    ];
    fn base(self) -> f64 {
        self.value
    }
}

kind!(Velocity, "a speed", "45 mph or 20 m/s", "1000 m/s" = 1_000.0,
    ["mph"] mile_per_hour;
    ["m/s"] meter_per_second;
    ["km/h"] kilometer_per_hour;
);

/// The unit of this kind that is written so.
pub(crate) fn find<Q: Kind>(written: &str) -> Option<(usize, &'static Unit<Q>)> {
    Q::UNITS.iter().enumerate().find(|(_, unit)| unit.names.contains(&written))
}

/// The kind of quantity that a unit belongs to, whichever it is.
pub(crate) fn kind_of(written: &str) -> Option<&'static str> {
    fn named<Q: Kind>(written: &str) -> Option<&'static str> {
        find::<Q>(written).map(|_| Q::NAME)
    }
    named::<Length>(written)
        .or_else(|| named::<ElectricCurrent>(written))
        .or_else(|| named::<ElectricPotential>(written))
        .or_else(|| named::<ElectricalResistance>(written))
        .or_else(|| named::<Power>(written))
        .or_else(|| named::<Time>(written))
        .or_else(|| named::<Ratio>(written))
        .or_else(|| named::<Mass>(written))
        .or_else(|| named::<Velocity>(written))
        .or_else(|| named::<Angle>(written))
        .or_else(|| named::<Force>(written))
}

/// The usual way to write a unit of this kind that was written in the wrong case, or another name of it.
pub(crate) fn near<Q: Kind>(written: &str) -> Option<&'static str> {
    let lower = written.trim_end_matches('.').to_lowercase();
    Q::UNITS
        .iter()
        .find(|unit| unit.names.iter().any(|name| name.to_lowercase() == lower))
        .map(|unit| unit.names[0])
}
