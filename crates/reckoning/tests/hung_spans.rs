//! Hung ropes against `MoorPy`, a mooring program of another make: it is given the lengths of rope between the loads, which
//! we work out, and must find the loads at the places we asked for, and our tensions at the ends.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

mod common;

use reckoning::cable::{Given, Hung, Load, Rope, hang};
use uom::si::f64::{Force, Length, LinearMassDensity, Mass};
use uom::si::force::newton;
use uom::si::length::meter;
use uom::si::linear_mass_density::kilogram_per_meter;
use uom::si::mass::kilogram;

/// Where a load comes to rest, `MoorPy` against ours, metres.
const PLACE_WITHIN_M: f64 = 0.002;
/// End tensions, share.
const TENSION_WITHIN: f64 = 0.002;

fn metres(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn rope(span: f64, rise: f64, mass: f64, stiffness: f64, loads: &[(f64, f64)]) -> Rope {
    Rope {
        span: metres(span),
        rise: metres(rise),
        mass: LinearMassDensity::new::<kilogram_per_meter>(mass),
        stiffness: Some(Force::new::<newton>(stiffness)),
        loads: loads
            .iter()
            .map(|&(at, mass)| Load { at: metres(at), mass: Mass::new::<kilogram>(mass) })
            .collect(),
    }
}

fn evenly(span: f64, count: u32, mass: f64) -> Vec<(f64, f64)> {
    (1..=count).map(|k| (span * f64::from(k) / f64::from(count + 1), mass)).collect()
}

/// Ropes of the kind one hangs in a yard, and some that are not.
fn cases() -> Vec<(Rope, Given)> {
    let sag = |value: f64| Given::Sag(metres(value));
    let unstretched = |value: f64| Given::Unstretched(metres(value));
    vec![
        // Own weight alone: shallow, deep, slanting, taut.
        (rope(10.0, 0.0, 0.03, 20_000.0, &[]), sag(0.5)),
        (rope(20.0, 0.0, 0.5, 50_000.0, &[]), sag(8.0)),
        (rope(15.0, 2.5, 0.1, 30_000.0, &[]), sag(1.0)),
        (rope(30.0, -4.0, 0.2, 40_000.0, &[]), unstretched(30.5)),
        // Seven clubs on a light rope, level and slanting.
        (rope(10.36, 0.0, 0.025, 15_000.0, &evenly(10.36, 7, 0.42)), sag(0.52)),
        (rope(10.36, 0.6, 0.025, 15_000.0, &evenly(10.36, 7, 0.42)), sag(0.52)),
        // One load, in the middle and near an end.
        (rope(12.0, 0.0, 0.05, 25_000.0, &[(6.0, 10.0)]), sag(0.6)),
        (rope(12.0, 1.0, 0.05, 25_000.0, &[(1.5, 8.0)]), sag(0.4)),
        // Unequal loads at uneven places.
        (rope(18.0, -1.5, 0.08, 60_000.0, &[(2.0, 1.0), (5.5, 6.0), (9.0, 0.5), (15.0, 3.0)]), sag(1.4)),
        // Two hangers for each of five objects, unequal shares.
        (
            rope(
                9.0,
                0.0,
                0.02,
                9_000.0,
                &[
                    (1.4, 0.2),
                    (1.6, 0.15),
                    (2.9, 0.2),
                    (3.1, 0.15),
                    (4.4, 0.2),
                    (4.6, 0.15),
                    (5.9, 0.2),
                    (6.1, 0.15),
                ],
            ),
            sag(0.45),
        ),
        // A rope that stretches a great deal.
        (rope(8.0, 0.5, 0.04, 600.0, &evenly(8.0, 3, 2.0)), sag(0.8)),
        // Shorter than the way between its ends before it is stretched.
        (rope(8.0, 0.0, 0.04, 2_000.0, &evenly(8.0, 3, 1.0)), unstretched(7.9)),
    ]
}

fn asked(rope: &Rope, hung: &Hung) -> String {
    let mut line = vec![
        rope.span.get::<meter>(),
        rope.rise.get::<meter>(),
        rope.mass.get::<kilogram_per_meter>(),
        rope.stiffness.unwrap().get::<newton>(),
        f64::from(u32::try_from(rope.loads.len()).unwrap()),
    ];
    line.extend(rope.loads.iter().map(|load| load.mass.get::<kilogram>()));
    let mut before = 0.0;
    let marks = hung.held.iter().map(|held| held.along).chain([hung.unstretched]);
    for mark in marks {
        line.push(mark.get::<meter>() - before);
        before = mark.get::<meter>();
    }
    let words: Vec<String> = line.iter().map(|value| format!("{value:.9}")).collect();
    words.join(" ") + "\n"
}

#[test]
fn loads_come_to_rest_where_a_mooring_program_puts_them() {
    let hung: Vec<(Rope, Hung)> = cases()
        .into_iter()
        .map(|(rope, given)| {
            let hung = hang(&rope, given).unwrap();
            (rope, hung)
        })
        .collect();
    let input: String = hung.iter().map(|(rope, hung)| asked(rope, hung)).collect();
    let theirs = common::reference("hung_spans.py", &["moorpy"], &input);
    assert_eq!(theirs.len(), hung.len());
    assert!(theirs.len() >= 10);
    for (case, ((_, ours), theirs)) in hung.iter().zip(&theirs).enumerate() {
        let loads = ours.held.len();
        assert_eq!(theirs.len(), 2 * loads + 2, "case {case}");
        for (held, place) in ours.held.iter().zip(theirs.chunks(2)) {
            for (our, their) in [(held.at, place[0]), (held.height, place[1])] {
                let off = (our.get::<meter>() - their).abs();
                assert!(
                    off <= PLACE_WITHIN_M,
                    "case {case}: {} where MoorPy has {their}",
                    our.get::<meter>()
                );
            }
        }
        for (our, their) in [(ours.left, theirs[2 * loads]), (ours.right, theirs[2 * loads + 1])] {
            let our = our.get::<newton>();
            assert!(
                (our - their).abs() <= TENSION_WITHIN * their,
                "case {case}: {our} N where MoorPy has {their}"
            );
        }
    }
}

#[test]
fn what_is_asked_for_comes_back() {
    for (case, (rope, given)) in cases().into_iter().enumerate() {
        let hung = hang(&rope, given).unwrap();
        match given {
            Given::Sag(sag) => assert!((hung.sag - sag).abs() < metres(1e-6), "case {case}"),
            Given::Unstretched(length) => {
                assert!((hung.unstretched - length).abs() < metres(1e-6), "case {case}");
            }
            Given::Pull(_) | Given::Drop { .. } => {}
        }
        // The right end is met, and what the ends carry is what hangs on it (balance of forces).
        let right = hung.height_at(rope.span);
        assert!((right - rope.rise).abs() < metres(1e-6), "case {case}: right end at {right:?}");
        let weight = 9.806_65
            * (rope.mass.get::<kilogram_per_meter>() * hung.unstretched.get::<meter>()
                + rope.loads.iter().map(|load| load.mass.get::<kilogram>()).sum::<f64>());
        let carried = (hung.left_down + hung.right_down).get::<newton>();
        assert!((weight - carried).abs() < 1e-6 * weight, "case {case}: {carried} N of {weight} N");
        assert!(hung.stretched > hung.unstretched);
    }
}

#[test]
fn nonsense_is_refused_and_nothing_panics() {
    let good = rope(10.0, 0.0, 0.03, 20_000.0, &[]);
    let bad = [
        (Rope { span: metres(0.0), ..good.clone() }, Given::Sag(metres(0.5))),
        (Rope { span: metres(f64::NAN), ..good.clone() }, Given::Sag(metres(0.5))),
        (Rope { rise: metres(f64::INFINITY), ..good.clone() }, Given::Sag(metres(0.5))),
        (good.clone(), Given::Sag(metres(-0.5))),
        (good.clone(), Given::Sag(metres(0.0))),
        (good.clone(), Given::Sag(metres(1e9))),
        (Rope { stiffness: None, ..good.clone() }, Given::Unstretched(metres(9.99))),
        (rope(10.0, 0.0, 0.0, 20_000.0, &[]), Given::Sag(metres(0.5))),
        (rope(10.0, 0.0, 0.1, 20_000.0, &[(11.0, 1.0)]), Given::Sag(metres(0.5))),
        (rope(10.0, 0.0, 0.1, 20_000.0, &[(5.0, -1.0)]), Given::Sag(metres(0.5))),
        (good.clone(), Given::Drop { at: metres(12.0), below: metres(1.0) }),
    ];
    for (case, (rope, given)) in bad.iter().enumerate() {
        assert!(hang(rope, *given).is_err(), "case {case}");
    }
}
