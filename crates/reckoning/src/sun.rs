//! Sunset, dusk, sunrise by date and place, after the solar calculations that NOAA publishes (which follow J. Meeus,
//! Astronomical Algorithms): good to about a minute between the polar circles. Hills, buildings and weather are not in it.

use crate::Formula;
use crate::shorthand::{degrees, example, input};
use uom::si::angle::degree;
use uom::si::f64::Angle;

/// Zenith of sunrise and sunset, degrees: refraction and the sun's half width included.
pub const SUNSET_ZENITH: f64 = 90.833;
/// Zenith of civil dusk and dawn, degrees.
pub const CIVIL_ZENITH: f64 = 96.0;
const MINUTES_A_DAY: f64 = 1440.0;
/// The moment is used to place the sun anew; three rounds settle to less than a second.
const ROUNDS: u32 = 4;

/// A day of the Gregorian calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day {
    /// Year.
    pub year: i32,
    /// Month, 1 to 12.
    pub month: u32,
    /// Day of the month, from 1.
    pub day: u32,
}

impl Day {
    /// A day that exists.
    pub fn new(year: i32, month: u32, day: u32) -> Option<Self> {
        let this = Self { year, month, day };
        let sensible = (1..=9999).contains(&year) && (1..=12).contains(&month) && (1..=31).contains(&day);
        (sensible && Self::from_number(this.number()) == this).then_some(this)
    }

    /// Days since 1970-01-01, after the usual count of days in 400-year eras.
    pub fn number(self) -> i64 {
        let year = i64::from(self.year) - i64::from(self.month <= 2);
        let era = year.div_euclid(400);
        let of_era = year.rem_euclid(400);
        let month = (i64::from(self.month) + 9) % 12;
        let of_year = (153 * month + 2) / 5 + i64::from(self.day) - 1;
        era * 146_097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719_468
    }

    /// The day so many days after 1970-01-01.
    pub fn from_number(number: i64) -> Self {
        let shifted = number + 719_468;
        let era = shifted.div_euclid(146_097);
        let of_era = shifted.rem_euclid(146_097);
        let year = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
        let of_year = of_era - (365 * year + year / 4 - year / 100);
        let month = (5 * of_year + 2) / 153;
        let day = of_year - (153 * month + 2) / 5 + 1;
        let month = if month < 10 { month + 3 } else { month - 9 };
        Self {
            year: i32::try_from(year + era * 400 + i64::from(month <= 2)).unwrap_or(i32::MAX),
            month: u32::try_from(month).unwrap_or(1),
            day: u32::try_from(day).unwrap_or(1),
        }
    }

    /// The day so many days later.
    #[must_use]
    pub fn plus(self, days: i64) -> Self {
        Self::from_number(self.number() + days)
    }

    /// Julian day at midnight UT.
    #[allow(clippy::cast_precision_loss, reason = "days of the calendar are far below 2^52")]
    fn julian(self) -> f64 {
        self.number() as f64 + 2_440_587.5
    }
}

impl std::fmt::Display for Day {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

/// Where the sun stands against the sky's equator and clock.
struct Sun {
    /// Equation of time, minutes.
    equation: f64,
    /// Declination, radians.
    declination: f64,
}

fn sun(julian: f64) -> Sun {
    let t = (julian - 2_451_545.0) / 36_525.0;
    let radians = |degrees: f64| degrees.to_radians();
    let longitude = (280.466_46 + t * (36_000.769_83 + t * 0.000_303_2)).rem_euclid(360.0);
    let anomaly = radians(357.529_11 + t * (35_999.050_29 - 0.000_153_7 * t));
    let eccentricity = 0.016_708_634 - t * (0.000_042_037 + 0.000_000_126_7 * t);
    let centre = libm::sin(anomaly) * (1.914_602 - t * (0.004_817 + 0.000_014 * t))
        + libm::sin(2.0 * anomaly) * (0.019_993 - 0.000_101 * t)
        + libm::sin(3.0 * anomaly) * 0.000_289;
    let node = radians(125.04 - 1934.136 * t);
    let apparent = radians(longitude + centre - 0.005_69 - 0.004_78 * libm::sin(node));
    let mean_obliquity =
        23.0 + (26.0 + (21.448 - t * (46.815 + t * (0.000_59 - t * 0.001_813))) / 60.0) / 60.0;
    let obliquity = radians(mean_obliquity + 0.002_56 * libm::cos(node));
    let y = libm::pow(libm::tan(obliquity / 2.0), 2.0);
    let long = radians(longitude);
    let equation = y * libm::sin(2.0 * long) - 2.0 * eccentricity * libm::sin(anomaly)
        + 4.0 * eccentricity * y * libm::sin(anomaly) * libm::cos(2.0 * long)
        - 0.5 * y * y * libm::sin(4.0 * long)
        - 1.25 * eccentricity * eccentricity * libm::sin(2.0 * anomaly);
    Sun {
        equation: 4.0 * equation.to_degrees(),
        declination: libm::asin(libm::sin(obliquity) * libm::sin(apparent)),
    }
}

/// Evening or morning.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The sun goes below.
    Evening,
    /// The sun comes up.
    Morning,
}

/// Minutes after midnight UT of `day` at which the sun passes a zenith, in the evening or the morning of that day at that
/// place (east is positive); less than nothing or beyond 1440 where that is another day in UT. None where the sun does not
/// pass it that day.
///
/// ```
/// use reckoning::sun::{Day, SUNSET_ZENITH, Side, passes};
/// use uom::si::{angle::degree, f64::Angle};
/// let place = [51.5, -0.13].map(Angle::new::<degree>);
/// let day = Day::new(2015, 12, 1).unwrap();
/// let minutes = passes(day, place[0], place[1], Angle::new::<degree>(SUNSET_ZENITH), Side::Evening).unwrap();
/// assert!((minutes - (15.0 * 60.0 + 55.0)).abs() < 1.0);
/// ```
pub fn passes(day: Day, latitude: Angle, longitude: Angle, zenith: Angle, side: Side) -> Option<f64> {
    let noon = MINUTES_A_DAY / 2.0 - 4.0 * longitude.get::<degree>();
    let mut minutes = noon;
    for _ in 0..ROUNDS {
        let sun = sun(day.julian() + minutes / MINUTES_A_DAY);
        let cosine = libm::cos(zenith.value) / (libm::cos(latitude.value) * libm::cos(sun.declination))
            - libm::tan(latitude.value) * libm::tan(sun.declination);
        if !(-1.0..=1.0).contains(&cosine) {
            return None;
        }
        let angle = 4.0 * libm::acos(cosine).to_degrees();
        let way = if side == Side::Evening { angle } else { -angle };
        minutes = noon + way - sun.equation;
    }
    Some(minutes)
}

fn registered(v: &[f64], side: Side) -> f64 {
    let day = Day {
        year: i32::try_from(crate::load::whole(v[0])).unwrap_or(i32::MAX),
        month: crate::load::whole(v[1]),
        day: crate::load::whole(v[2]),
    };
    passes(day, degrees(v[3]), degrees(v[4]), degrees(v[5]), side)
        .map_or(f64::NAN, |minutes| minutes / 60.0 + v[6])
}

const NOAA: &str = "NOAA solar calculations, after J. Meeus, Astronomical Algorithms; zenith 90.833 degrees for sunset, 96 for civil dusk";

pub(crate) static FORMULAS: &[Formula] = &[
    Formula {
        name: "sun-down",
        written: "720 - 4 x longitude + 4 x hour angle - equation of time, the sun placed anew at that moment",
        inputs: &[
            input("year", ""),
            input("month", ""),
            input("day", ""),
            input("latitude", "degrees"),
            input("longitude east", "degrees"),
            input("zenith", "degrees"),
            input("clock ahead of UT", "h"),
        ],
        unit: "h",
        source: NOAA,
        examples: &[
            example(
                &[2015.0, 12.0, 1.0, 51.5074, -0.1278, 90.833, 0.0],
                15.0 + 55.0 / 60.0,
                1.0 / 60.0,
                "London, 1 Dec 2015, almanac: 15:55",
            ),
            example(
                &[2015.0, 12.0, 12.0, 51.5074, -0.1278, 90.833, 0.0],
                15.0 + 51.0 / 60.0,
                1.0 / 60.0,
                "London, 12 Dec 2015, almanac: 15:51",
            ),
            example(
                &[2015.0, 12.0, 25.0, 51.5074, -0.1278, 96.0, 0.0],
                16.0 + 36.0 / 60.0,
                1.0 / 60.0,
                "London, civil dusk, 25 Dec 2015, almanac: 16:36",
            ),
            example(
                &[2015.0, 8.0, 2.0, 39.0, -105.0, 90.833, -7.0],
                19.0 + 10.0 / 60.0,
                1.0 / 60.0,
                "US Naval Observatory, 39 N 105 W, 2 Aug 2015: 19:10",
            ),
            example(
                &[1996.0, 7.0, 5.0, -35.0, 0.0, 90.833, 0.0],
                17.0 + 1.0 / 60.0 + 4.0 / 3600.0,
                1.0 / 60.0,
                "NREL solar position report, 35 S, 5 July 1996: 17:01:04",
            ),
        ],
        work: |v| registered(v, Side::Evening),
    },
    Formula {
        name: "sun-up",
        written: "720 - 4 x longitude - 4 x hour angle - equation of time, the sun placed anew at that moment",
        inputs: &[
            input("year", ""),
            input("month", ""),
            input("day", ""),
            input("latitude", "degrees"),
            input("longitude east", "degrees"),
            input("zenith", "degrees"),
            input("clock ahead of UT", "h"),
        ],
        unit: "h",
        source: NOAA,
        examples: &[
            example(
                &[1990.0, 6.0, 25.0, 40.9, -74.3, 90.833, -4.0],
                5.0 + 26.0 / 60.0,
                1.0 / 60.0,
                "Almanac for Computers 1990, Wayne NJ: 5:26",
            ),
            example(
                &[2015.0, 12.0, 2.0, 39.0, -105.0, 90.833, -7.0],
                7.0 + 1.0 / 60.0,
                1.0 / 60.0,
                "US Naval Observatory, 39 N 105 W, 2 Dec 2015: 7:01",
            ),
            example(
                &[1994.0, 1.0, 2.0, 35.0, 0.0, 90.833, 0.0],
                7.0 + 8.0 / 60.0 + 12.0 / 3600.0,
                1.0 / 60.0,
                "NREL solar position report, 35 N, 2 Jan 1994: 07:08:12",
            ),
        ],
        work: |v| registered(v, Side::Morning),
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_that_do_not_exist_are_refused() {
        assert!(Day::new(2027, 2, 29).is_none());
        assert!(Day::new(2028, 2, 29).is_some());
        assert!(Day::new(2027, 13, 1).is_none());
        assert!(Day::new(2027, 11, 31).is_none());
        // Unix time 1 000 000 000 fell on 9 September 2001, day 11 574.
        assert_eq!(Day::from_number(11_574), Day { year: 2001, month: 9, day: 9 });
        assert_eq!(Day::new(2027, 12, 31).map(|day| day.plus(1).to_string()).as_deref(), Some("2028-01-01"));
    }

    #[test]
    fn where_the_sun_does_not_set_nothing_is_told() {
        let day = Day { year: 2027, month: 6, day: 15 };
        let place = (degrees(69.6), degrees(18.95));
        assert_eq!(passes(day, place.0, place.1, degrees(SUNSET_ZENITH), Side::Evening), None);
    }
}
