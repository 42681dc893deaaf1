//! How a panel stands, by hand and by the code.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

use super::*;
use finding::{Origin, Severity, Sheet};

fn by<T>(value: T) -> Known<T> {
    Known::new(value, Origin::Default("test"))
}

const MPH: f64 = 0.447_04;

/// A figure of six feet on a sheet of 4 x 6 1/2 ft.
fn panel() -> Input {
    Input {
        panel: "west".into(),
        size_mm: [1219.2, 1981.2],
        lifted_mm: 150.0,
        sheet_kg: by(7.0),
        lamps: 200,
        base_mm: by(1219.2),
        guys: Known::new(
            4,
            Origin::Written {
                file: "display.toml".into(),
                path: source::KeyPath::dotted("panel.west.stands.guys"),
            },
        ),
        gust_m_s: Some(by(40.0 * MPH)),
        units: Units::Inches,
    }
}

fn codes(input: &Input, severity: Severity) -> Vec<&'static str> {
    work(input).findings.iter().filter(|found| found.severity == severity).map(|found| found.code).collect()
}

fn withheld(input: &Input) -> bool {
    work(input).findings.iter().any(|found| found.withholds.contains(&Sheet::PutUp))
}

#[test]
fn force_is_that_of_the_code() {
    let stand = work(&panel()).stand.unwrap();
    // ASCE 7: 0.00256 x 40^2 = 4.10 lb/ft2; coefficient 1.8 (EN 1991-1-4 7.4.3); 26 ft2: 191.7 lb.
    assert!((stand.force_n - 191.7 * 4.448_22).abs() < 3.0, "{}", stand.force_n);
}

#[test]
fn guys_hold_the_moment_about_the_ground() {
    let stand = work(&panel()).stand.unwrap();
    assert_eq!(stand.guys.len(), 4);
    let guy = &stand.guys[0];
    // Tied in the upper half: not below the middle of the panel, and clear of its edge.
    assert!(guy.tie_mm >= 150.0 + 990.6 && guy.tie_mm <= 150.0 + 1981.2 - 150.0, "{}", guy.tie_mm);
    // Levers by hand: force x middle / tie / cos 45, three quarters of it on one of two (a quarter width off centre).
    let by_hand = stand.force_n * (150.0 + 990.6) / guy.tie_mm * libm::sqrt(2.0) * 0.75;
    assert!((guy.tension_n / by_hand - 1.0).abs() < 0.001, "{} {by_hand}", guy.tension_n);
    assert!(guy.tension_n <= 1000.0);
    assert!((guy.pull_test_n - 1.5 * guy.tension_n).abs() < 1e-9);
    // Out at 45 degrees the stake is as far as the tie is high.
    assert!((guy.stake_mm - guy.tie_mm).abs() < 1e-6);
}

#[test]
fn what_the_guys_leave_does_not_slide() {
    for guys in [2, 4, 6] {
        let mut input = panel();
        input.guys.value = guys;
        let stand = work(&input).stand.unwrap();
        let guy = &stand.guys[0];
        // The side's pull by hand from the moment; at 45 degrees as much of it is level as presses down.
        let level = stand.force_n * (150.0 + 990.6) / guy.tie_mm;
        let pressed = 9.806_65 * (stand.mass_kg + stand.ballast_kg) + level;
        assert!(1.5 * (stand.force_n - level) <= 0.4 * pressed + 1e-6, "{guys} guys");
    }
}

#[test]
fn it_stands_through_the_gust_it_is_planned_for() {
    for guys in [0, 2, 4] {
        let mut input = panel();
        input.guys.value = guys;
        let stand = work(&input).stand.unwrap();
        assert!(stand.lay_flat_m_s >= 40.0 * MPH - 1e-9, "{guys} guys: {}", stand.lay_flat_m_s / MPH);
    }
}

/// Only what the gust of the plan does was looked at: whatever the feet would bear, it lies flat before that gust.
#[test]
fn it_lies_flat_at_the_latest_before_the_gust_it_is_planned_for() {
    for (guys, gust) in [(0, 10.0), (4, 10.0), (4, 25.0), (6, 40.0)] {
        let mut input = panel();
        input.guys.value = guys;
        input.gust_m_s = Some(by(gust * MPH));
        let done = work(&input);
        assert!(done.stand.unwrap().lay_flat_m_s <= gust * MPH + 1e-9, "{guys} guys, {gust} mph");
        let found = done.findings.into_iter().find(|found| found.code == "stand/lay-flat").unwrap();
        let friction = &found.working.unwrap().values.into_iter().find(|v| v.name == "friction").unwrap();
        assert_eq!(friction.shown, "0.4");
        assert!(friction.origin.to_string().contains("wet leaves or ice"));
    }
}

#[test]
fn a_panel_without_guys_falls_and_guys_give_the_card_back() {
    let mut input = panel();
    assert!(!withheld(&input), "{:?}", work(&input).findings);
    input.guys.value = 0;
    assert_eq!(codes(&input, Severity::Danger), ["stand/falls"]);
    assert!(withheld(&input));
    let found = work(&input).findings.into_iter().find(|found| found.code == "stand/falls").unwrap();
    let (key, text) = found.cures[0].edit.clone().unwrap();
    assert_eq!(key, source::KeyPath::dotted("panel.west.stands.guys"));
    // The cure changes the build; no cure changes the wind.
    assert!(found.cures.iter().all(|cure| !cure.words.contains("gust")));
    input.guys.value = text.parse().unwrap();
    assert!(!withheld(&input));
}

#[test]
fn more_than_a_kilonewton_on_a_stake_is_an_engineers() {
    let mut input = panel();
    input.guys.value = 2;
    input.gust_m_s = Some(by(50.0 * MPH));
    assert!(codes(&input, Severity::Danger).contains(&"stand/anchor-pull"));
    let found = work(&input).findings.into_iter().find(|found| found.code == "stand/anchor-pull").unwrap();
    input.guys.value = found.cures[0].edit.clone().unwrap().1.parse().unwrap();
    assert!(!codes(&input, Severity::Danger).contains(&"stand/anchor-pull"));
}

#[test]
fn two_guys_do_not_keep_it_from_turning() {
    let mut input = panel();
    assert!(!codes(&input, Severity::Caution).contains(&"stand/turns"));
    input.guys.value = 2;
    assert!(codes(&input, Severity::Caution).contains(&"stand/turns"));
}

#[test]
fn an_unsaid_gust_withholds_the_card() {
    let mut input = panel();
    input.gust_m_s = None;
    assert_eq!(codes(&input, Severity::Danger), ["stand/no-gust"]);
    assert!(withheld(&input) && work(&input).stand.is_none());
}

#[test]
fn two_people_lift_a_heavy_panel() {
    let mut input = panel();
    assert!(!codes(&input, Severity::Caution).contains(&"stand/two-lift"));
    input.sheet_kg.value = 17.0;
    assert!(codes(&input, Severity::Caution).contains(&"stand/two-lift"));
}

#[test]
fn the_wind_card_says_when_to_lay_it_flat() {
    let found = work(&panel()).findings.into_iter().find(|found| found.code == "stand/lay-flat").unwrap();
    assert!(found.verdict.starts_with("Lay west flat before gusts of 4"), "{}", found.verdict);
}
