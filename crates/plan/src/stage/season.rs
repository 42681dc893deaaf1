//! Run: the nights of the season by the local clock, and what they take.
//!
//! Sunsets come from date and place; the clock's changes from the bundled time zone database, never from the machine, so that
//! the same description gives the same table everywhere.

use crate::note::{Also, finding, rewrite, value, worked, working, works_out};
use crate::{Night, Origins, Season};
use finding::{Finding, Known, Origin, Severity, Sheet};
use jiff::Timestamp;
use jiff::tz::{TimeZone, TimeZoneDatabase};
use quantity::{Show, Units};
use reckoning::sun::{Day, SUNSET_ZENITH, Side, passes};
use serde::Serialize;
use uom::si::angle::degree;
use uom::si::f64::{Angle, Power, Time};
use uom::si::power::watt;
use uom::si::time::hour;

/// Decorative lighting stays up no longer than this (NEC 590.3(B)).
const MOST_DAYS: i64 = 90;
/// Later than this on the clock is a matter for the neighbours: common practice.
const LATE_MINUTES: i64 = 22 * 60;
/// Longest season that is worked out night by night.
const MOST_NIGHTS: i64 = 3660;
const DAY_MINUTES: i64 = 1440;

/// A time of day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub(crate) enum When {
    /// At sunset.
    Dusk,
    /// So many minutes after midnight, by the local clock.
    At(i64),
}

/// What the stage takes.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Input {
    /// Degrees north and degrees east; none where they are not written.
    pub(crate) latitude: Option<Known<f64>>,
    pub(crate) longitude: Option<Known<f64>>,
    pub(crate) timezone: Option<Known<String>>,
    /// Year, month, day of the first and the last night.
    pub(crate) from: Known<(i32, u32, u32)>,
    pub(crate) to: Known<(i32, u32, u32)>,
    pub(crate) on: Known<When>,
    pub(crate) off: Known<When>,
    /// Power with everything lit.
    pub(crate) watts: f64,
    pub(crate) units: Units,
}

/// What the stage gives.
#[derive(Clone, Debug, Default, Serialize)]
pub(crate) struct Running {
    /// None where the nights cannot be told.
    pub(crate) season: Option<Season>,
    pub(crate) origins: Origins,
    pub(crate) findings: Vec<Finding>,
}

pub(crate) fn work(input: &Input) -> Running {
    let mut findings = Vec::new();
    let place = place(input, &mut findings);
    let Some((first, last)) = days(input, &mut findings) else {
        return Running { findings, ..Running::default() };
    };
    let count = last.number() - first.number() + 1;
    if count > MOST_DAYS {
        findings.push(too_long(input, first, count));
    }
    let mut nights = Vec::new();
    let mut hours = 0.0;
    for index in 0..count {
        let day = first.plus(index);
        let Some(night) = night(input, place.as_ref(), day) else {
            findings.push(no_dusk(input, day));
            return Running { findings, ..Running::default() };
        };
        hours += night.minutes / 60.0;
        if index % 7 == 0 || index + 1 == count {
            nights.push(night.told);
        }
    }
    findings.extend(late(input));
    let spent = reckoning::energy::energy(Power::new::<watt>(input.watts), Time::new::<hour>(hours));
    let season = Season {
        nights,
        count: u32::try_from(count).unwrap_or(u32::MAX),
        hours,
        energy_kwh: spent.get::<uom::si::energy::kilowatt_hour>(),
    };
    Running { season: Some(season), origins: origins(input), findings }
}

/// A place whose evenings can be told.
struct Place {
    latitude: Angle,
    longitude: Angle,
    clock: TimeZone,
}

fn place(input: &Input, findings: &mut Vec<Finding>) -> Option<Place> {
    let (Some(latitude), Some(longitude), Some(timezone)) =
        (&input.latitude, &input.longitude, &input.timezone)
    else {
        if input.on.value == When::Dusk {
            findings.push(no_place());
        }
        return None;
    };
    match TimeZoneDatabase::bundled().get(&timezone.value) {
        Ok(clock) => Some(Place {
            latitude: Angle::new::<degree>(latitude.value),
            longitude: Angle::new::<degree>(longitude.value),
            clock,
        }),
        Err(_) => {
            findings.push(no_such_zone(&timezone.value));
            None
        }
    }
}

fn days(input: &Input, findings: &mut Vec<Finding>) -> Option<(Day, Day)> {
    let day = |(year, month, day): (i32, u32, u32)| Day::new(year, month, day);
    let both = day(input.from.value).zip(day(input.to.value));
    let sensible = both.filter(|(first, last)| {
        let nights = last.number() - first.number() + 1;
        (1..=MOST_NIGHTS).contains(&nights)
    });
    if sensible.is_none() {
        findings.push(
            finding(
                "season/dates",
                Severity::Fault,
                "run",
                &["season"],
                "The season does not begin and end on days that follow each other within ten years".into(),
            )
            .cure("Write the first and the last night, e.g. 2027-11-26 and 2028-01-02", None),
        );
    }
    sensible
}

struct One {
    told: Night,
    minutes: f64,
}

/// One night; none where it begins at a dusk that cannot be told.
fn night(input: &Input, place: Option<&Place>, day: Day) -> Option<One> {
    let sunset = place.and_then(|place| sunset(place, day));
    let on = match input.on.value {
        When::Dusk => sunset?,
        When::At(minutes) => minutes,
    };
    let off = match input.off.value {
        When::Dusk => sunset?,
        When::At(minutes) => minutes,
    };
    // What goes off at or before it goes on goes off the next morning.
    let lasts = if off > on { off - on } else { off - on + DAY_MINUTES };
    Some(One {
        told: Night {
            date: day.to_string(),
            sunset: sunset.map(clock).unwrap_or_default(),
            on: clock(on),
            off: clock(off),
        },
        minutes: f64::from(i32::try_from(lasts).unwrap_or(0)),
    })
}

/// Sunset in minutes after midnight by the local clock, to the next whole minute.
fn sunset(place: &Place, day: Day) -> Option<i64> {
    let zenith = Angle::new::<degree>(SUNSET_ZENITH);
    let minutes = passes(day, place.latitude, place.longitude, zenith, Side::Evening)?;
    let second = day.number() * 86_400 + whole_minutes(minutes) * 60;
    let local = place.clock.to_datetime(Timestamp::from_second(second).ok()?);
    Some(i64::from(local.hour()) * 60 + i64::from(local.minute()))
}

#[allow(clippy::cast_possible_truncation, reason = "minutes of a day or two")]
fn whole_minutes(minutes: f64) -> i64 {
    libm::round(minutes) as i64
}

fn clock(minutes: i64) -> String {
    let minutes = minutes.rem_euclid(DAY_MINUTES);
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

fn origins(input: &Input) -> Origins {
    let mut origins = Origins::default();
    works_out(&mut origins, &["/nights"], "sun-down", &["date", "latitude", "longitude", "time zone"]);
    works_out(&mut origins, &["/energy_kwh"], "night-energy", &["power", "hours"]);
    works_out(&mut origins, &["/hours"], "night-energy", &["on", "off", "nights"]);
    origins.note("/count", input.to.origin.clone());
    origins
}

fn no_place() -> Finding {
    finding(
        "season/no-place",
        Severity::Fault,
        "run",
        &["season"],
        "The display goes on at dusk, but nobody has said where on the globe it stands".into(),
    )
    .cure("Write latitude, longitude and timezone under [place], or a time of day for `on`", None)
}

fn no_such_zone(name: &str) -> Finding {
    finding(
        "season/no-such-zone",
        Severity::Fault,
        "run",
        &["season", name],
        format!("There is no time zone `{}`", name.escape_debug()),
    )
    .cure("Write a name such as `America/Detroit` or `Europe/London`", None)
}

fn no_dusk(input: &Input, day: Day) -> Finding {
    let latitude = input.latitude.as_ref().map_or(0.0, |latitude| latitude.value);
    finding(
        "season/no-dusk",
        Severity::Fault,
        "run",
        &["season"],
        format!("On {day} the sun does not set at latitude {latitude}, or it is not known where that is"),
    )
    .cure("Write a time of day for `on`", rewrite(&input.on.origin, "\"17:00\"".into()))
}

fn too_long(input: &Input, first: Day, count: i64) -> Finding {
    finding(
        "season/over-90-days",
        Severity::Danger,
        "run",
        &["season"],
        format!("The season lasts {count} days; decorative lighting may stay up for {MOST_DAYS}"),
    )
    .working(working(
        "most-counts",
        vec![
            value("first night", first.to_string(), input.from.origin.clone()),
            value("nights", count.to_string(), worked("most-counts", &["first night", "last night"])),
        ],
        format!("{count} days"),
        Some((format!("{MOST_DAYS} days"), "NEC 590.3(B): temporary decorative lighting".into())),
        None,
    ))
    .cure(
        "End the season earlier, or have a permanent installation made by a licensed electrician",
        rewrite(&input.to.origin, first.plus(MOST_DAYS - 1).to_string()),
    )
    .withholds(&[Sheet::PutUp, Sheet::Wiring])
}

fn late(input: &Input) -> Option<Finding> {
    let (When::At(off), on) = (input.off.value, input.on.value) else { return None };
    let next_day = matches!(on, When::At(on) if off <= on) || (on == When::Dusk && off < 12 * 60);
    (off > LATE_MINUTES || next_day).then(|| {
        finding(
            "season/late",
            Severity::Caution,
            "run",
            &["season"],
            format!("It stays on until {}: ask the neighbours, and look for a by-law", clock(off)),
        )
        .working(working(
            "night-energy",
            vec![value("off", clock(off), input.off.origin.clone())],
            clock(off),
            Some((clock(LATE_MINUTES), "common practice: end before quiet hours".into())),
            None,
        ))
        .cure("Go off by 22:00", rewrite(&input.off.origin, "\"22:00\"".into()))
    })
}

/// Power as printed, with where it comes from.
#[allow(dead_code, reason = "the night plan prints it")]
pub(crate) fn power_value(input: &Input) -> finding::Value {
    let shown = Power::new::<watt>(input.watts).show(input.units);
    value("everything lit", shown, Origin::Default("all channels at once, more than will ever be"))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

    use super::*;

    fn by<T>(value: T) -> Known<T> {
        let path = source::KeyPath::dotted("place.season.to");
        Known::new(value, Origin::Written { file: "display.toml".into(), path })
    }

    fn london() -> Input {
        Input {
            latitude: Some(by(51.507)),
            longitude: Some(by(-0.128)),
            timezone: Some(by("Europe/London".into())),
            from: by((2015, 12, 1)),
            to: by((2015, 12, 25)),
            on: by(When::Dusk),
            off: by(When::At(21 * 60 + 30)),
            watts: 100.0,
            units: Units::Millimetres,
        }
    }

    fn codes(input: &Input) -> Vec<&'static str> {
        work(input).findings.iter().map(|found| found.code).collect()
    }

    #[test]
    fn the_nights_are_those_of_the_almanac() {
        let given = work(&london());
        assert!(given.findings.is_empty(), "{:?}", given.findings);
        let season = given.season.unwrap();
        assert_eq!(season.count, 25);
        // One line a week and the last night.
        let dates: Vec<&str> = season.nights.iter().map(|night| night.date.as_str()).collect();
        assert_eq!(dates, ["2015-12-01", "2015-12-08", "2015-12-15", "2015-12-22", "2015-12-25"]);
        // London almanac: 15:55 on the 1st and on the 25th.
        let minutes = |text: &str| -> i64 {
            let (h, m) = text.split_once(':').unwrap();
            h.parse::<i64>().unwrap() * 60 + m.parse::<i64>().unwrap()
        };
        for night in [&season.nights[0], &season.nights[4]] {
            assert!((minutes(&night.sunset) - (15 * 60 + 55)).abs() <= 1, "{}", night.sunset);
            assert_eq!(night.on, night.sunset);
            assert_eq!(night.off, "21:30");
        }
        // Sunsets lie between 15:51 and 15:55 (the same almanac): 25 nights of 5 h 35 to 5 h 39 min, at 100 W.
        assert!(season.hours > 25.0 * 5.58 && season.hours < 25.0 * 5.67, "{}", season.hours);
        assert!((season.energy_kwh - season.hours * 0.1).abs() < 1e-9);
    }

    #[test]
    fn the_clock_changes_with_the_season() {
        let mut input = london();
        (input.from.value, input.to.value) = ((2015, 10, 24), (2015, 10, 31));
        let nights = work(&input).season.unwrap().nights;
        // British summer time ended on 25 October 2015: a week on, the clock shows more than an hour earlier.
        assert!(nights[0].sunset.starts_with("17:4"), "{}", nights[0].sunset);
        assert!(nights[1].sunset.starts_with("16:3"), "{}", nights[1].sunset);
    }

    #[test]
    fn ninety_days_and_not_one_more() {
        let mut input = london();
        (input.from.value, input.to.value) = ((2027, 11, 1), (2028, 1, 29));
        assert_eq!(work(&input).season.unwrap().count, 90);
        assert!(codes(&input).is_empty());
        input.to.value = (2028, 1, 30);
        assert_eq!(codes(&input), ["season/over-90-days"]);
        let found = work(&input).findings.remove(0);
        assert_eq!(found.severity, Severity::Danger);
        assert_eq!(found.withholds, [Sheet::PutUp, Sheet::Wiring]);
        // The cure's last night is the ninetieth.
        assert_eq!(found.cures[0].edit.clone().unwrap().1, "2028-01-29");
    }

    #[test]
    fn a_dusk_that_cannot_be_told_is_said() {
        let mut input = london();
        input.longitude = None;
        assert!(codes(&input).contains(&"season/no-place"));
        input.on.value = When::At(17 * 60);
        assert!(codes(&input).is_empty());
        assert_eq!(work(&input).season.unwrap().nights[0].sunset, "");
        let mut input = london();
        input.timezone = Some(by("Europe/Londn".into()));
        assert!(codes(&input).contains(&"season/no-such-zone"));
        let mut input = london();
        (input.from.value, input.to.value) = ((2015, 6, 1), (2015, 6, 30));
        input.latitude = Some(by(69.6));
        input.timezone = Some(by("Europe/Oslo".into()));
        assert!(codes(&input).contains(&"season/no-dusk"));
        let mut input = london();
        input.to.value = (2015, 11, 1);
        assert_eq!(codes(&input), ["season/dates"]);
    }

    #[test]
    fn late_nights_are_remarked_and_early_ones_are_not() {
        let mut input = london();
        for (off, late) in [(22 * 60, false), (23 * 60, true), (60, true)] {
            input.off.value = When::At(off);
            assert_eq!(codes(&input).contains(&"season/late"), late, "{off}");
        }
    }
}
