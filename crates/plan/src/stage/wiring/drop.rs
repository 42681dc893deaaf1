//! Voltage lost in low-voltage cables, and the size that keeps it small.

use crate::note::{Also, finding, value, worked, working};
use finding::{Finding, Severity};
use quantity::{Show as _, Units};
use reckoning::of::metres;
use reckoning::wire::{SIZES_AWG, pair_drop};
use uom::si::electric_current::ampere;
use uom::si::electric_potential::volt;
use uom::si::f64::{ElectricCurrent, Length};
use uom::si::length::millimeter;

/// Voltage that may be lost on the way, as a share of the supply: three in a hundred, as recommended for branch circuits
/// (NEC 210.19(A), informational note) and taken over for 12 V by common practice.
const LOST_SHARE: f64 = reckoning::cord::DROP_SHARE;

/// The thinnest size that keeps the loss within its share, or the thickest there is.
pub(super) fn choose(supply_v: f64, length_mm: f64, out: f64, back: f64) -> u32 {
    let may_lose = LOST_SHARE * supply_v;
    let last = SIZES_AWG[SIZES_AWG.len() - 1];
    SIZES_AWG.into_iter().find(|&gauge| lost(gauge, length_mm, out, back) <= may_lose).unwrap_or(last)
}

/// Voltage lost out and back.
pub(super) fn lost(gauge: u32, length_mm: f64, out: f64, back: f64) -> f64 {
    let amps = ElectricCurrent::new::<ampere>;
    pair_drop(gauge, Length::new::<millimeter>(length_mm), amps(out), amps(back)).get::<volt>()
}

/// What a cable loses, held against what it may.
pub(super) fn note_drop(
    supply_v: f64,
    cable: &str,
    gauge: u32,
    length_mm: f64,
    current: (f64, f64),
    units: Units,
    findings: &mut Vec<Finding>,
) {
    let (drop, may_lose) = (lost(gauge, length_mm, current.0, current.1), LOST_SHARE * supply_v);
    let passes = drop <= may_lose;
    findings.push(
        finding(
            "wire/drop",
            if passes { Severity::Note } else { Severity::Caution },
            "wire",
            &[cable],
            if passes {
                format!("Cable {cable} in {gauge} AWG loses {} V", lost_shown(drop))
            } else {
                format!("Cable {cable} loses {drop:.2} V even in {gauge} AWG: the far lamps will be dim")
            },
        )
        .working(working(
            "pair-drop",
            vec![
                value("gauge", format!("{gauge} AWG"), worked("pair-drop", &["length", "current"])),
                value(
                    "length one way",
                    metres(length_mm / 1000.0).show(units),
                    worked("pair-drop", &["cable"]),
                ),
                value(
                    "current out",
                    crate::note::amperes(current.0),
                    worked("channel-current", &["strands", "strand current"]),
                ),
                value(
                    "current back",
                    crate::note::amperes(current.1),
                    worked("channel-current", &["strands", "strand current"]),
                ),
            ],
            format!("{} V", lost_shown(drop)),
            Some((
                format!("{may_lose:.2} V, 3 % of {supply_v} V"),
                "NEC 210.19(A), informational note, taken over for low voltage (common practice)".into(),
            )),
            Some(crate::note::used(drop, may_lose)),
        )),
    );
}

/// A voltage lost, that never reads as none at all.
fn lost_shown(volts: f64) -> String {
    if volts < 0.005 { "less than 0.01".to_owned() } else { format!("{volts:.2}") }
}
