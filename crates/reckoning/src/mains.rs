//! Mains branches: what a circuit may carry, what may leak.

use crate::of::{amperes, volts};
use crate::{Example, Formula, Input};
use uom::si::electric_current::milliampere;
use uom::si::f64::{ElectricCurrent, ElectricPotential, Power};
use uom::si::{electric_current::ampere, power::watt};

/// Share of a branch that a load of three hours or more may use (NEC 210.19(A)(1), 210.20).
pub const CONTINUOUS_SHARE: f64 = 0.8;

/// Share of a ground-fault device's trip current that may leak all the time (BS 7671 531.3.2).
pub const LEAKAGE_SHARE: f64 = 0.3;

/// What flows into a cold filament, as a multiple of what it draws when hot: 10 to 12 in a lamp driver's application
/// note; the greater is planned with.
pub const COLD_FILAMENT: f64 = 12.0;

/// What a branch may carry for three hours and more.
///
/// ```
/// use reckoning::of::amperes;
/// assert_eq!(reckoning::mains::continuous_limit(amperes(15.0)), amperes(12.0));
/// ```
pub fn continuous_limit(breaker: ElectricCurrent) -> ElectricCurrent {
    breaker * CONTINUOUS_SHARE
}

/// The least breaker for loads that are on for hours and loads that are not.
pub fn least_breaker(continuous: ElectricCurrent, other: ElectricCurrent) -> ElectricCurrent {
    continuous / CONTINUOUS_SHARE + other
}

/// Power at a voltage and a current.
pub fn branch_power(current: ElectricCurrent, voltage: ElectricPotential) -> Power {
    current * voltage
}

/// Leakage that may stand on one ground-fault device.
pub fn leakage_limit(trip: ElectricCurrent) -> ElectricCurrent {
    trip * LEAKAGE_SHARE
}

/// Leakage of several like things on one ground-fault device.
pub fn standing_leakage(things: u32, each: ElectricCurrent) -> ElectricCurrent {
    each * f64::from(things)
}

/// The longest that a class A ground-fault device may take to open.
pub fn longest_trip_s(fault: ElectricCurrent) -> f64 {
    libm::pow(20.0 / fault.get::<milliampere>(), 1.43)
}

/// What filament lamps draw in the first milliseconds.
pub fn filament_inrush(steady: ElectricCurrent, multiple: f64) -> ElectricCurrent {
    steady * multiple
}

const LOAD_LISTS: &str = "load list arithmetic of a lighting maker's page: 15 A and 20 A circuits at 120 V";

pub(crate) const FORMULAS: &[Formula] = &[
    Formula {
        name: "continuous-limit",
        written: "continuous limit = 0.8 x breaker",
        inputs: &[Input { name: "breaker", unit: "A" }],
        unit: "A",
        source: "NEC 210.19(A)(1), 210.20: a load on for three hours or more counts 1.25 times",
        examples: &[
            Example { given: &[15.0], result: 12.0, within: 1e-9, source: LOAD_LISTS },
            Example { given: &[20.0], result: 16.0, within: 1e-9, source: LOAD_LISTS },
        ],
        work: |v| continuous_limit(amperes(v[0])).get::<ampere>(),
    },
    Formula {
        name: "least-breaker",
        written: "least breaker = other load + 1.25 x continuous load",
        inputs: &[Input { name: "continuous load", unit: "A" }, Input { name: "other load", unit: "A" }],
        unit: "A",
        source: "NEC 210.19(A)(1), 210.20",
        examples: &[Example { given: &[16.0, 0.0], result: 20.0, within: 1e-9, source: LOAD_LISTS }],
        work: |v| least_breaker(amperes(v[0]), amperes(v[1])).get::<ampere>(),
    },
    Formula {
        name: "branch-power",
        written: "power = current x voltage",
        inputs: &[Input { name: "current", unit: "A" }, Input { name: "voltage", unit: "V" }],
        unit: "W",
        source: "power is voltage times current",
        examples: &[
            Example { given: &[15.0, 120.0], result: 1800.0, within: 1e-9, source: LOAD_LISTS },
            Example { given: &[12.0, 120.0], result: 1440.0, within: 1e-9, source: LOAD_LISTS },
            Example { given: &[16.0, 120.0], result: 1920.0, within: 1e-9, source: LOAD_LISTS },
            Example {
                given: &[1.8, 120.0],
                result: 216.0,
                within: 0.1,
                source: "instruction sheet of a 3 A fused string: 216 W in all",
            },
            Example {
                given: &[0.050, 120.0],
                result: 6.0,
                within: 1e-9,
                source: "EDN, 26 May 2011, p. 50: a holding current of 50 mA at 120 V is 6 W",
            },
        ],
        work: |v| branch_power(amperes(v[0]), volts(v[1])).get::<watt>(),
    },
    Formula {
        name: "leakage-limit",
        written: "standing leakage allowed = 0.3 x trip current",
        inputs: &[Input { name: "trip current", unit: "mA" }],
        unit: "mA",
        source: "BS 7671 531.3.2: 30 % of the rated residual current; taken over for class A devices (common practice)",
        examples: &[Example {
            given: &[30.0],
            result: 9.0,
            within: 1e-9,
            source: "BS 7671 531.3.2: 9 mA on a 30 mA device",
        }],
        work: |v| leakage_limit(amperes(v[0] / 1000.0)).get::<milliampere>(),
    },
    Formula {
        name: "standing-leakage",
        written: "standing leakage = things x leakage of one",
        inputs: &[Input { name: "things", unit: "" }, Input { name: "leakage of one", unit: "mA" }],
        unit: "mA",
        source: "leakages on one device add, at worst in phase",
        examples: &[Example {
            given: &[6.0, 0.25],
            result: 1.5,
            within: 1e-9,
            source: "IEC 60950-1 allows 0.25 mA for two-wire equipment (from a supply maker's leakage document): six make 1.5 mA",
        }],
        work: |v| standing_leakage(crate::load::whole(v[0]), amperes(v[1] / 1000.0)).get::<milliampere>(),
    },
    Formula {
        name: "longest-trip",
        written: "longest time to open = (20 mA / fault)^1.43",
        inputs: &[Input { name: "fault", unit: "mA" }],
        unit: "s",
        source: "UL 943, class A, 6 to 264 mA",
        examples: &[Example {
            given: &[20.0],
            result: 1.0,
            within: 1e-9,
            source: "electricians' forum on UL 943: one second at 20 mA",
        }],
        work: |v| longest_trip_s(amperes(v[0] / 1000.0)),
    },
    Formula {
        name: "filament-inrush",
        written: "inrush = multiple x steady current",
        inputs: &[Input { name: "steady current", unit: "A" }, Input { name: "multiple", unit: "" }],
        unit: "A",
        source: "lamp driver application note: a cold filament has a tenth of its hot resistance, 10 to 12 times the current, twice after 3 to 5 ms",
        examples: &[Example {
            given: &[1.0, 10.0],
            result: 10.0,
            within: 1e-9,
            source: "a relay maker's page on load types: ten times the steady current for incandescent lamps",
        }],
        work: |v| filament_inrush(amperes(v[0]), v[1]).get::<ampere>(),
    },
];
