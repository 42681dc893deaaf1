//! A hung rope in wind: the gust before which it is taken in.
//!
//! Light things with a large face are pushed by wind far more than they weigh, and the rope feels the resultant: a rope with
//! plenty to spare on a still evening is not one for a gale.

use super::judge::{limit_source, newtons};
use super::{Input, SAGS};
use crate::Span;
use crate::note::{Also, finding, rewrite, value, worked, working};
use finding::{Finding, Origin, Severity, Sheet};
use quantity::{Force, Show, Velocity};
use reckoning::wind::{HANDLE_BELOW_MPH, LOOSE_DRAG as DRAG};
use uom::si::area::square_meter;
use uom::si::f64::Area;
use uom::si::force::newton;
use uom::si::velocity::{meter_per_second, mile_per_hour};

/// Rope and the cable along it, as wide as this to the wind. From memory.
const ROPE_MM: f64 = 15.0;

pub(super) fn judge(input: &Input, span: &Span) -> Option<Finding> {
    let limit_n = super::working_load_n(&input.rope);
    let gust = take_in(input, span)?;
    let mph = gust.get::<mile_per_hour>();
    let told = crate::note::speed(gust.get::<meter_per_second>(), input.units);
    let danger = mph < HANDLE_BELOW_MPH;
    let words = if danger {
        format!("In a gust of only {} the rope of {} reaches what it may carry over people", told, input.span)
    } else {
        format!(
            "Take {} in before gusts of {told} are forecast; look at every knot and strap each week",
            input.span,
        )
    };
    let severity = if danger { Severity::Danger } else { Severity::Note };
    let still_n = span.tension_n[0].max(span.tension_n[1]);
    let found = finding("span/take-in", severity, "hang", &[&input.span], words).working(working(
        "take-in-gust",
        vec![
            value(
                "tension in still air",
                newtons(input, still_n),
                worked("loaded-rope-tension", &["sag", "masses"]),
            ),
            value(
                "area",
                format!("{:.2} m2", area(input, span).get::<square_meter>()),
                Origin::Default("all objects, rope and cable"),
            ),
            value("drag", DRAG.to_string(), Origin::Default("flat thing hung loosely; from memory")),
            value(
                "weight",
                newtons(input, weight_n(span)),
                Origin::Default("all objects with their hangers"),
            ),
        ],
        gust.show(input.units),
        Some((newtons(input, limit_n), limit_source(&input.rope))),
        None,
    ));
    if !danger {
        return Some(found);
    }
    let found = match sag_that(input) {
        Some(percent) => found.cure(
            &format!("Let the rope sag more: at {percent} % it holds, if the ties are high enough"),
            rewrite(&input.sag.origin, format!("\"{percent} %\"")),
        ),
        None => found,
    };
    Some(
        found
            .cure("Take a stronger rope, or hang fewer things or smaller ones", None)
            .withholds(&[Sheet::Hanging, Sheet::PutUp]),
    )
}

fn area(input: &Input, span: &Span) -> Area {
    let [width, height] = input.object.size_mm;
    let count = super::counted(span.hung.len());
    Area::new::<square_meter>((count * width * height + span.rope_mm * ROPE_MM) / 1e6)
}

fn weight_n(span: &Span) -> f64 {
    span.hung.iter().map(|hung| hung.mass_kg).sum::<f64>() * reckoning::GRAVITY
}

fn take_in(input: &Input, span: &Span) -> Option<Velocity> {
    let newtons = Force::new::<newton>;
    let still = newtons(span.tension_n[0].max(span.tension_n[1]));
    let limit = newtons(super::working_load_n(&input.rope));
    reckoning::hang::take_in(still, limit, DRAG, area(input, span), newtons(weight_n(span)))
}

/// The least sag, in whole percent, at which the rope bears the wind in which people are still about.
fn sag_that(input: &Input) -> Option<u32> {
    SAGS.filter(|percent| f64::from(*percent) > 100.0 * input.sag.value).find(|percent| {
        let mut trial = input.clone();
        trial.sag.value = f64::from(*percent) / 100.0;
        let Ok((held, rope)) = super::settle(&trial) else { return false };
        let span = super::assemble(&trial, &held, &rope);
        take_in(&trial, &span).is_some_and(|gust| gust.get::<mile_per_hour>() >= HANDLE_BELOW_MPH)
    })
}
