//! Any rope with any loads: what statics asks of it holds (balance of forces, H x sag = moment of a simple beam), and nothing
//! panics.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

use proptest::prelude::*;
use reckoning::cable::{Given, Load, Rope, hang};
use uom::si::f64::{Force, Length, LinearMassDensity, Mass};
use uom::si::force::newton;
use uom::si::length::meter;
use uom::si::linear_mass_density::kilogram_per_meter;
use uom::si::mass::kilogram;

fn metres(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn rope(span: f64, rise: f64, kg_per_m: f64, stiffness: Option<f64>, loads: &[(f64, f64)]) -> Rope {
    Rope {
        span: metres(span),
        rise: metres(rise * span),
        mass: LinearMassDensity::new::<kilogram_per_meter>(kg_per_m),
        stiffness: stiffness.map(Force::new::<newton>),
        loads: loads
            .iter()
            .map(|&(share, mass)| Load { at: metres(span * share), mass: Mass::new::<kilogram>(mass) })
            .collect(),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(400) })]

    #[test]
    fn any_rope_is_in_balance(
        span in 1.0..100.0f64,
        rise in -0.6..0.6f64,
        kg_per_m in 0.0..2.0f64,
        stiffness in proptest::option::of(2_000.0..500_000.0f64),
        loads in proptest::collection::vec((0.01..0.99f64, 0.0..20.0f64), 0..14),
        sag in 0.005..0.6f64,
    ) {
        let rope = rope(span, rise, kg_per_m + 0.001, stiffness, &loads);
        let hung = hang(&rope, Given::Sag(metres(sag * span))).unwrap();
        prop_assert!((hung.sag.get::<meter>() / (sag * span) - 1.0).abs() < 1e-6);
        prop_assert!((hung.height_at(rope.span).get::<meter>() - rise * span).abs() < 1e-6 * span);
        let rope_n = 9.806_65 * rope.mass.get::<kilogram_per_meter>() * hung.unstretched.get::<meter>();
        let loads_n: f64 = 9.806_65 * loads.iter().map(|load| load.1).sum::<f64>();
        let carried = (hung.left_down + hung.right_down).get::<newton>();
        prop_assert!((carried / (rope_n + loads_n) - 1.0).abs() < 1e-6);
        let longer = hung.stretched.get::<meter>() - hung.unstretched.get::<meter>();
        let stretches = if stiffness.is_some() { longer > 0.0 } else { longer.abs() < 1e-9 * span };
        prop_assert!(stretches, "longer by {longer} m");
        // The ends are where it is pulled most.
        for held in &hung.held {
            let most = hung.tension().get::<newton>() * (1.0 + 1e-9);
            prop_assert!(held.tension_left.get::<newton>() <= most && held.tension_right.get::<newton>() <= most);
        }
    }

    #[test]
    fn a_weightless_rope_is_a_simple_beam(
        span in 1.0..60.0f64,
        rise in -0.5..0.5f64,
        loads in proptest::collection::vec((0.01..0.99f64, 0.1..20.0f64), 1..10),
        sag in 0.01..0.5f64,
    ) {
        let rope = rope(span, rise, 0.0, None, &loads);
        let hung = hang(&rope, Given::Sag(metres(sag * span))).unwrap();
        // Beer and Johnston 7.119: pull x sag below the chord is the bending moment of a simple beam, at every load.
        for held in &hung.held {
            let at = held.at.get::<meter>();
            let moment: f64 = loads.iter().map(|&(share, mass)| {
                let (a, weight) = (share * span, 9.806_65 * mass);
                if at <= a { weight * (span - a) * at / span } else { weight * a * (span - at) / span }
            }).sum();
            let below = rise * at - held.height.get::<meter>();
            prop_assert!((hung.pull.get::<newton>() * below / moment - 1.0).abs() < 1e-6);
        }
    }

    #[test]
    fn nothing_makes_it_panic(
        span in any::<f64>(),
        rise in any::<f64>(),
        kg_per_m in any::<f64>(),
        stiffness in any::<Option<f64>>(),
        loads in proptest::collection::vec((any::<f64>(), any::<f64>()), 0..4),
        given in any::<f64>(),
        kind in 0..4u8,
    ) {
        let given = match kind {
            0 => Given::Sag(metres(given)),
            1 => Given::Unstretched(metres(given)),
            2 => Given::Pull(Force::new::<newton>(given)),
            _ => Given::Drop { at: metres(given / 2.0), below: metres(given) },
        };
        let _ = hang(&rope(span, rise, kg_per_m, stiffness, &loads), given);
    }
}
