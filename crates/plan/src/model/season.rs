//! When the display runs, and what that costs.

use serde::Serialize;

/// The season's nights.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Season {
    /// One line for every week, and for the first and the last night.
    pub nights: Vec<Night>,
    /// Nights from first to last.
    pub count: u32,
    /// Hours of them all.
    pub hours: f64,
    /// Energy of them all with everything lit all the time: more than it will be.
    pub energy_kwh: f64,
}

/// One night.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Night {
    /// Its date, e.g. `2027-11-26`.
    pub date: String,
    /// Sunset by the local clock, e.g. `17:09`.
    pub sunset: String,
    /// When it goes on.
    pub on: String,
    /// When it goes off.
    pub off: String,
}
