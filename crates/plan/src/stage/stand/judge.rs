//! What is said about how a panel stands.

use super::Input;
use super::loads::{Loads, mm};
use crate::Stand;
use crate::note::{Also, finding, rewrite, used, value, worked, working};
use finding::{Finding, Known, Origin, Severity, Sheet};
use quantity::Show;
use reckoning::panel::ONE_LIFTS_KG;
use reckoning::rope::ENGINEER_ABOVE_N;
use reckoning::wind::{BOARD_COEFFICIENT, FRICTION, HANDLE_BELOW_MPH, OFF_CENTRE};
use uom::si::area::square_meter;
use uom::si::f64::{Force, Mass, Velocity};
use uom::si::force::newton;
use uom::si::mass::kilogram;
use uom::si::velocity::{meter_per_second, mile_per_hour};

/// Ballast beyond which nobody carries it out each season: our threshold.
const MOST_BALLAST_KG: f64 = 100.0;

pub(super) fn judge(input: &Input, gust: &Known<f64>, loads: &Loads, stand: &Stand) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(too_much_ballast(input, gust, loads));
    findings.extend(stake_over_a_kilonewton(input, gust, loads));
    findings.extend(turns(input, loads));
    findings.extend(two_lift(input, loads));
    findings.push(lay_flat(input, gust, loads, stand));
    findings
}

pub(super) fn no_gust(input: &Input) -> Finding {
    finding(
        "stand/no-gust",
        Severity::Danger,
        "put up",
        &[&input.panel],
        format!(
            "Nobody has said what gust {} must stand through, so nothing says what holds it",
            input.panel
        ),
    )
    .cure("Write the three-second gust of the place; ask the weather service for it", None)
    .withholds(&[Sheet::PutUp])
}

fn force_values(input: &Input, gust: &Known<f64>, loads: &Loads) -> Vec<finding::Value> {
    vec![
        value("gust", speed(input, gust.value), gust.origin.clone()),
        value("coefficient", BOARD_COEFFICIENT.to_string(), Origin::Default("signboards: EN 1991-1-4 7.4.3")),
        value(
            "area",
            format!("{:.2} m2", loads.area.get::<square_meter>()),
            worked("row-length", &["width of the panel", "height of the panel"]),
        ),
        value(
            "force",
            force(input, loads.force_n),
            worked("board-force", &["pressure", "coefficient", "area"]),
        ),
        value(
            "its middle",
            mm(loads.middle_mm).show(input.units),
            worked("tipping-moment", &["lifted", "height"]),
        ),
        value("base", mm(input.base_mm.value).show(input.units), input.base_mm.origin.clone()),
    ]
}

fn too_much_ballast(input: &Input, gust: &Known<f64>, loads: &Loads) -> Option<Finding> {
    if loads.ballast_kg <= MOST_BALLAST_KG {
        return None;
    }
    let held = if loads.a_side > 0 { "Even with its guys " } else { "" };
    let found = finding(
        "stand/falls",
        Severity::Danger,
        "put up",
        &[&input.panel],
        format!(
            "{held}{} needs {} of ballast to stand through a gust of {}; more than {} is not ballast any more",
            input.panel,
            kilograms(input, loads.ballast_kg),
            speed(input, gust.value),
            kilograms(input, MOST_BALLAST_KG)
        ),
    )
    .working(working(
        "ballast",
        force_values(input, gust, loads),
        kilograms(input, loads.ballast_kg),
        Some((kilograms(input, MOST_BALLAST_KG), "our threshold".into())),
        Some(used(loads.ballast_kg, MOST_BALLAST_KG)),
    ))
    .withholds(&[Sheet::PutUp]);
    let enough = |guys: u32| {
        let mut trial = input.clone();
        trial.guys.value = guys;
        let tried = super::loads::loads(&trial, gust.value);
        tried.ballast_kg <= MOST_BALLAST_KG && tried.guy_n <= ENGINEER_ABOVE_N
    };
    let found = match [4, 6].into_iter().find(|guys| *guys > input.guys.value && enough(*guys)) {
        Some(guys) => found.cure(
            &format!("Hold it with {guys} guys to tested stakes, half to the front and half to the back"),
            rewrite(&input.guys.origin, guys.to_string()),
        ),
        None => found,
    };
    Some(
        found.cure(
            "Make the panel smaller or its base deeper, or stand it against something that stands",
            None,
        ),
    )
}

fn stake_over_a_kilonewton(input: &Input, gust: &Known<f64>, loads: &Loads) -> Option<Finding> {
    if loads.guy_n <= ENGINEER_ABOVE_N {
        return None;
    }
    let found = finding(
        "stand/anchor-pull",
        Severity::Danger,
        "put up",
        &[&input.panel],
        format!(
            "In a gust of {} a stake of {} is pulled with {}: above {} an engineer decides, not this plan",
            speed(input, gust.value),
            input.panel,
            force(input, loads.guy_n),
            force(input, ENGINEER_ABOVE_N)
        ),
    )
    .working(working(
        "guy-tension",
        force_values(input, gust, loads),
        force(input, loads.guy_n),
        Some((force(input, ENGINEER_ABOVE_N), "our threshold".into())),
        Some(used(loads.guy_n, ENGINEER_ABOVE_N)),
    ))
    .withholds(&[Sheet::PutUp]);
    let mut more = input.clone();
    more.guys.value = 4;
    let helps = input.guys.value < 4 && super::loads::loads(&more, gust.value).guy_n <= ENGINEER_ABOVE_N;
    let found = if helps {
        found.cure(
            "Hold it with four guys, two to the front and two to the back",
            rewrite(&input.guys.origin, "4".into()),
        )
    } else {
        found
    };
    Some(found.cure("Make the panel smaller, or of two panels that stand apart", None))
}

fn turns(input: &Input, loads: &Loads) -> Option<Finding> {
    let torque = loads.force_n * OFF_CENTRE * input.size_mm[0] / 1000.0;
    (loads.a_side < 2).then(|| {
        finding(
            "stand/turns",
            Severity::Caution,
            "put up",
            &[&input.panel],
            format!(
                "The gust may push {} a quarter of its width off centre, with {torque:.0} N m; without two guys on each side only its feet keep it from turning",
                input.panel
            ),
        )
        .cure("Hold it with four guys at its edges", rewrite(&input.guys.origin, "4".into()))
    })
}

fn two_lift(input: &Input, loads: &Loads) -> Option<Finding> {
    (loads.mass_kg > ONE_LIFTS_KG).then(|| {
        finding(
            "stand/two-lift",
            Severity::Caution,
            "put up",
            &[&input.panel],
            format!("{} has about {}: two people lift it", input.panel, kilograms(input, loads.mass_kg)),
        )
        .working(working(
            "sheet-mass",
            vec![
                value("sheets", kilograms(input, input.sheet_kg.value), input.sheet_kg.origin.clone()),
                value("lamps", input.lamps.to_string(), Origin::Default("8 g each with wire; from memory")),
            ],
            kilograms(input, loads.mass_kg),
            Some((kilograms(input, ONE_LIFTS_KG), "our threshold".into())),
            None,
        ))
    })
}

/// The wind card's line: always said.
fn lay_flat(input: &Input, gust: &Known<f64>, loads: &Loads, stand: &Stand) -> Finding {
    let handled = Velocity::new::<mile_per_hour>(HANDLE_BELOW_MPH).get::<meter_per_second>();
    let capped = if loads.bears_m_s > gust.value {
        " That is the gust it is planned for: feet and ballast might bear more, but nothing else was looked at beyond it."
    } else {
        ""
    };
    let mut values = force_values(input, gust, loads);
    values.push(value(
        "friction",
        FRICTION.to_string(),
        Origin::Default("grass or paving; from memory; less on wet leaves or ice"),
    ));
    finding(
        "stand/lay-flat",
        Severity::Note,
        "put up",
        &[&input.panel],
        format!(
            "Lay {} flat before gusts of {} are forecast; nobody handles it in more than {}. Stakes count only once pull-tested.{capped}",
            input.panel,
            crate::note::speed(stand.lay_flat_m_s, input.units),
            crate::note::speed(handled + 1e-9, input.units)
        ),
    )
    .working(working(
        "take-down-gust",
        values,
        speed(input, loads.bears_m_s),
        Some((speed(input, gust.value), "never more than the gust it is planned for".into())),
        None,
    ))
}

fn speed(input: &Input, m_s: f64) -> String {
    Velocity::new::<meter_per_second>(m_s).show(input.units)
}

fn force(input: &Input, newtons: f64) -> String {
    Force::new::<newton>(newtons).show(input.units)
}

fn kilograms(input: &Input, mass: f64) -> String {
    Mass::new::<kilogram>(mass).show(input.units)
}
