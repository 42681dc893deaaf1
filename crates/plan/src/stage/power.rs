//! Power: what is asked of the supply, and whether it is one that may feed what people touch.

use crate::note::{Also, amperes, finding, rating, used, value, worked, working, works_out};
use crate::{Origins, SupplyUse};
use finding::{Finding, Severity, Sheet};
use serde::Serialize;
use uom::si::electric_current::ampere;
use uom::si::f64::ElectricCurrent;

/// What the stage takes.
#[derive(Serialize)]
pub(crate) struct Input<'a> {
    pub(crate) part: &'a str,
    pub(crate) voltage_v: f64,
    pub(crate) rated_a: f64,
    pub(crate) listed: Option<&'a str>,
    pub(crate) source: &'a str,
    /// What the boards take with everything lit: low-voltage lights, and the inputs of switch boxes.
    pub(crate) channels_a: f64,
    pub(crate) controller: &'a str,
    pub(crate) controller_a: f64,
}

/// What the stage gives.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Power {
    pub(crate) supply: SupplyUse,
    /// Where it came from, by place in the plan.
    pub(crate) origins: Origins,
    pub(crate) findings: Vec<Finding>,
}

pub(crate) fn work(input: &Input<'_>) -> Power {
    let amps = ElectricCurrent::new::<ampere>;
    let needed =
        reckoning::load::total_current(amps(input.channels_a), amps(input.controller_a)).get::<ampere>();
    let mut findings = Vec::new();
    if input.listed.is_none() {
        findings.push(not_listed(input));
    }
    if needed > input.rated_a {
        findings.push(overloaded(input, needed));
    }
    findings.extend(beyond_class(input));
    let supply = SupplyUse {
        part: input.part.to_owned(),
        voltage_v: input.voltage_v,
        rated_a: input.rated_a,
        needed_a: needed,
        listed: input.listed.map(str::to_owned),
    };
    let mut origins = Origins::default();
    works_out(&mut origins, &["/supply/needed_a"], "total-current", &["channels", "controller"]);
    for (place, field) in [("voltage_v", "voltage"), ("rated_a", "current"), ("listed", "listed")] {
        origins.note(format!("/supply/{place}"), rating(input.part, field));
    }
    Power { supply, origins, findings }
}

fn not_listed(input: &Input<'_>) -> Finding {
    finding(
        "power/supply-not-listed",
        Severity::Danger,
        "power",
        &[input.part],
        format!(
            "{} is not listed as a current-limited, isolated supply, and people touch what it feeds",
            input.part
        ),
    )
    .cure(
        "Feed the display from a listed Class 2 or SELV supply (UL 1310, IEC 61558-2-6 or -16), then write down what its label says",
        None,
    )
    .withholds(&[Sheet::Wiring, Sheet::Firmware])
}

fn overloaded(input: &Input<'_>, needed: f64) -> Finding {
    finding(
        "power/supply-overloaded",
        Severity::Danger,
        "power",
        &[input.part],
        format!(
            "With everything lit the display draws {}; {} gives {}",
            amperes(needed),
            input.part,
            amperes(input.rated_a)
        ),
    )
    .working(working(
        "total-current",
        vec![
            value(
                "channels",
                amperes(input.channels_a),
                worked("channel-current", &["strands", "strand current"]),
            ),
            value("controller", amperes(input.controller_a), rating(input.controller, "current")),
        ],
        amperes(needed),
        Some((amperes(input.rated_a), input.source.to_owned())),
        Some(used(needed, input.rated_a)),
    ))
    .cure("Use fewer lamps, or feed half of the channels from a second listed supply", None)
    .withholds(&[Sheet::Wiring, Sheet::Firmware])
}

/// A label that says Class 2 and more current than the class allows cannot be right.
fn beyond_class(input: &Input<'_>) -> Option<Finding> {
    let listed = input.listed.filter(|listed| listed.contains("Class 2"))?;
    let limit = reckoning::supply::class_2_current(reckoning::of::volts(input.voltage_v))
        .map_or(0.0, |most| most.value);
    if input.rated_a <= limit + 1e-9 {
        return None;
    }
    Some(
        finding(
            "power/beyond-class-2",
            Severity::Danger,
            "power",
            &[input.part],
            format!(
                "{} is written down as `{listed}` with {}; that class ends at {} for {} V",
                input.part,
                amperes(input.rated_a),
                amperes(limit),
                input.voltage_v
            ),
        )
        .working(working(
            "class-2-current",
            vec![value("voltage", format!("{} V", input.voltage_v), rating(input.part, "voltage"))],
            amperes(limit),
            Some((amperes(limit), "NEC chapter 9 table 11(B) (from memory)".into())),
            Some(used(input.rated_a, limit.max(0.001))),
        ))
        .cure("Read the label again: current and class of one output", None)
        .cure("Feed the display from a listed Class 2 supply, then write down what its label says", None)
        .withholds(&[Sheet::Wiring, Sheet::Firmware]),
    )
}
