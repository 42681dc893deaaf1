//! Games whose outcome is known in closed form.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic, reason = "test code: a panic is a failed test")]

mod common;

use rehearse::people::{ADULT, People};
use rehearse::rehearsal::Party;
use rehearse::{Cast, Order, Variant, rehearse};
use rules::form::Form;
use uom::si::f64::Time;
use uom::si::time::millisecond;

/// Rounds of one bout.
const ROUNDS: u32 = 150;

/// So that it can be aimed at.
const COMING: &str = " seen coming while round is coming";

/// One who aims and nothing else: no learning, no straying off but from answering the light, no bad habits.
fn marksman(bias_ms: f64, aiming_ms: f64) -> People {
    People {
        between: 0.0,
        bias_ms,
        aiming_ms,
        caution: 0.0,
        adjusts: 0.0,
        // Whoever strays answers the light a second and a half later: too late for every window here.
        strays: 1.0,
        idle_ms: 1e12,
        mashes: 0.0,
        leans: 0.0,
        leaves: 0.0,
        ..ADULT
    }
}

/// Rounds of rest, something coming for a second, and a window in which one press of each side is wanted. Everybody has to
/// press once before the first round, and has had a success then.
fn rounds(sides: &str, window_ms: u32, seen: &str) -> Form {
    let text = format!(
        "sides {sides}\n\
         machine lobby per side\n  state waiting\n  state ready\n  waiting on press button go ready\n  \
         ready when round.rounds = {ROUNDS} go waiting\n\
         machine round\n  number rounds 0..{ROUNDS}\n  state waiting\n  state resting\n  state coming\n  state open\n  \
         waiting when ALL do rounds = 0 go resting\n  resting when rounds = {ROUNDS} go waiting\n  \
         resting after 1500 ms go coming\n  coming after 1000 ms go open\n  \
         open after {window_ms} ms do rounds = rounds + 1 go resting\n\
         machine hand per side\n  state free\n  state used\n  free on press button if round is open go used\n  \
         used when round is resting go free\n\
         prompt start per side press button when lobby.side is waiting\n\
         prompt catch per side press button when round is open and hand.side is free{seen}\n\
         bout while round is not waiting\n"
    );
    let all: Vec<String> = sides.split(", ").map(|side| format!("lobby.{side} is ready")).collect();
    common::form(&text.replace("ALL", &all.join(" and ")), &common::plain(&["west", "east"]))
}

fn party(form: &Form, people: &[People], games: u64) -> Party {
    let members: Vec<&'static People> =
        people.iter().map(|people| &*Box::leak(Box::new(people.clone()))).collect();
    let casts = [Cast { key: "test".to_owned(), members }];
    let order = Order { form, variants: &[], casts: &casts, games, seed: 5 };
    rehearse(&order, &|_, _| ()).unwrap().parties.remove(0)
}

/// A normal error about the middle of a window falls within it with 2 Phi(w / (2 sd)) - 1; off the middle with the
/// difference of two values of Phi. Both worked out from the error function, not by simulation.
#[test]
fn as_many_are_caught_as_the_normal_distribution_says() {
    let phi = |x: f64| 0.5 * libm::erfc(-x / std::f64::consts::SQRT_2);
    for (window, bias, deviation) in
        [(160, 80.0, 80.0), (240, 120.0, 60.0), (240, 60.0, 90.0), (400, 0.0, 50.0)]
    {
        let found = party(&rounds("west", window, COMING), &[marksman(bias, deviation)], 100).first;
        let window = f64::from(window);
        let wanted = phi((window - bias) / deviation) - phi(-bias / deviation);
        if bias * 2.0 == window {
            let time = |ms: f64| Time::new::<millisecond>(ms);
            assert!((reckoning::people::caught(time(window), time(deviation)) - wanted).abs() < 1e-12);
        }
        let error = (wanted * (1.0 - wanted) / (100.0 * f64::from(ROUNDS))).sqrt();
        let got = found.hit.value;
        assert!(
            (got - wanted).abs() < 4.0 * error,
            "{window} ms, {bias}, {deviation}: {got} for {wanted} +/- {error}"
        );
    }
}

/// At each value of a constant the part that is caught lies at p = 2 Phi(w / (2 sd)) - 1, off by the deviation of a part of so
/// many independent trials, sqrt(p (1 - p) / n) (de Moivre and Laplace); an interval of 95 in 100 reaches 1.96 of these to either
/// side. The bootstrap takes the deviation from 200 bouts, which is off by a deviation of 1 / sqrt(2 * 200), 5 in 100, and each end
/// from the 25th of 1000 samples, off by sqrt(0.025 * 0.975 / 1000) / phi(1.96), 4 in 100 of 1.96; three times both together is
/// 20 in 100.
#[test]
fn every_value_of_a_constant_has_the_interval_of_the_binomial_distribution() {
    let (deviation, games) = (80.0, 200);
    let mut form = rounds("west", 240, COMING);
    let slider = "constant window = 240 ms from 100 ms to 400 ms\nmachine idle\n  state waiting\n";
    form.sliders = common::form(slider, &common::plain(&["west", "east"])).sliders;
    // Aimed at the middle of the window, whatever it is: for each there is somebody else.
    for window in [120, 200, 320] {
        let variant = Variant {
            name: "window".to_owned(),
            value: window,
            form: rounds("west", u32::try_from(window).unwrap(), COMING),
        };
        let half = window as f64 / 2.0;
        let members: Vec<&'static People> = vec![&*Box::leak(Box::new(marksman(half, deviation)))];
        let casts = [Cast { key: "test".to_owned(), members }];
        let order = Order { form: &form, variants: &[variant], casts: &casts, games, seed: 5 };
        let constant = rehearse(&order, &|_, _| ()).unwrap().constants.remove(0);
        let point = constant.points.iter().find(|point| point.value == window).unwrap();
        let hit = point.parties[0].hit;
        let wanted = libm::erf(half / deviation / std::f64::consts::SQRT_2);
        let error = (wanted * (1.0 - wanted) / (games as f64 * f64::from(ROUNDS))).sqrt();
        assert!((hit.value - wanted).abs() < 4.0 * error, "{window} ms: {hit:?} for {wanted} +/- {error}");
        for reach in [hit.value - hit.low, hit.high - hit.value] {
            assert!((reach / (1.96 * error) - 1.0).abs() < 0.2, "{window} ms: {hit:?}, {reach} for {error}");
        }
    }
}

/// Two presses with one normal spread fall in the same tick of length p with
/// E[(1 - |d| / p)+], d normal with deviation s = sd sqrt 2: 2 Phi(a) - 1 - (2 / a)(phi(0) - phi(a)), a = p / s.
#[test]
fn as_many_ties_come_as_two_normal_spreads_give() {
    let deviation = 60.0;
    let form = rounds("west, east", 800, COMING);
    let found = party(&form, &[marksman(400.0, deviation), marksman(400.0, deviation)], 100).first;
    let a = 10.0 / (deviation * std::f64::consts::SQRT_2);
    let density = |x: f64| libm::exp(-x * x / 2.0) / (2.0 * std::f64::consts::PI).sqrt();
    let wanted = libm::erf(a / std::f64::consts::SQRT_2) - 2.0 / a * (density(0.0) - density(a));
    let trials = 100.0 * f64::from(ROUNDS);
    let got = found.together.value / f64::from(ROUNDS);
    let error = (wanted * (1.0 - wanted) / trials).sqrt();
    assert!((got - wanted).abs() < 4.0 * error, "{got} for {wanted} +/- {error}");
}

/// What comes suddenly is answered in a window w with Phi((w - mean - recognising) / sd), where the mean is the published one
/// and recognising costs 164 ms (Laming 1968) over the root of how often it has been met, the first time for the start.
#[test]
fn a_window_is_met_as_the_reaction_says() {
    let people = People { strays: 0.0, sigma_ms: 30.0, tau_ms: 0.0, reach_ms: 0.0, ..marksman(0.0, 1.0) };
    let phi = |x: f64| 0.5 * libm::erfc(-x / std::f64::consts::SQRT_2);
    // Woods et al. 2015: 231 ms and 0.55 ms a year; thirty years are twelve after the eighteenth.
    let mean = 231.0 + 0.55 * 12.0;
    for window in [220, 250, 280, 340] {
        let got = party(&rounds("west", window, ""), std::slice::from_ref(&people), 100).first.hit.value;
        let met = (1..=ROUNDS).map(|met| 164.0 / f64::from(met + 1).sqrt());
        let each = met.map(|recognising| phi((f64::from(window) - mean - recognising) / 30.0));
        let wanted = each.sum::<f64>() / f64::from(ROUNDS);
        let error = (wanted * (1.0 - wanted) / (100.0 * f64::from(ROUNDS))).sqrt();
        assert!((got - wanted).abs() < 4.0 * error, "{window} ms: {got} for {wanted} +/- {error}");
    }
}
