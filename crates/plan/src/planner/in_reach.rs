//! Mains strands within people's reach: said, since nothing in a description tells of a fence.

use crate::note::{Also, finding};
use crate::{Channel, LitBy, Panel, Plan};
use finding::{Finding, Severity};
use quantity::{Length, Show};
use reckoning::supply::MAINS_FROM_V;
use uom::si::length::millimeter;

/// How high somebody standing reaches, mm: arm's reach of BS 7671 part 2 (from memory).
const REACH_MM: f64 = 2500.0;

/// One caution for all panels whose mains lamps can be reached.
pub(super) fn judge(plan: &Plan) -> Option<Finding> {
    let lowest: Vec<(&Panel, f64)> = plan
        .panels
        .iter()
        .filter_map(|panel| Some((panel, lowest_mains(panel, &plan.channels)?)))
        .filter(|(_, height)| *height < REACH_MM)
        .collect();
    let least = lowest.iter().map(|(_, height)| *height).reduce(f64::min)?;
    let names: Vec<&str> = lowest.iter().map(|(panel, _)| panel.name.as_str()).collect();
    let shown = |mm: f64| Length::new::<millimeter>(mm).show(plan.units);
    Some(
        finding(
            "panel/mains-in-reach",
            Severity::Caution,
            "shelter",
            &names,
            format!(
                "Lamps on mains hang {} above the ground, within reach (up to {}, BS 7671 part 2, from memory); nothing here knows of a fence. The nearest viewer is planned at {}: let a fence keep it so",
                shown(least),
                shown(REACH_MM),
                shown(plan.nearest_mm)
            ),
        )
        .cure("Fence it off an arm's length and more in front of it, or light it with 12 V strands", None),
    )
}

/// Height of the lowest hole of a panel whose lamp is on mains; none where all are low voltage.
fn lowest_mains(panel: &Panel, channels: &[Channel]) -> Option<f64> {
    let on_mains = |hole: &&crate::Hole| {
        let channel = panel.bunches.get(hole.bunch).and_then(|bunch| channels.get(bunch.channel));
        channel.is_some_and(|channel| {
            channel.voltage_v >= MAINS_FROM_V && matches!(channel.lit_by, LitBy::Poses { .. })
        })
    };
    panel.holes.iter().filter(on_mains).map(|hole| panel.place.y_mm + hole.y_mm).reduce(f64::min)
}
