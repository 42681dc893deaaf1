//! The mains side, as far as it is planned: which listed box feeds what, on which cord and circuit. Nothing here is opened.

use super::{Channel, Plan};
use serde::Serialize;

/// A complete, enclosed, listed box that switches mains outlets.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SwitchBoxUse {
    /// Its label, e.g. `box P`.
    pub label: String,
    /// The part.
    pub part: String,
    /// Its outlets.
    pub outlets: u32,
    /// The circuit that feeds it, by name.
    pub circuit: String,
    /// Its listing.
    pub listed: Option<String>,
    /// Current with every outlet on.
    pub current_a: f64,
    /// Shortest time between two switchings of an outlet; 0 where nothing moves when it switches.
    pub shortest_ms: u32,
}

/// An outlet of a switch box.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Outlet {
    /// The box, by position in [`crate::Plan::switch_boxes`].
    pub switch_box: usize,
    /// The outlet, from 1.
    pub outlet: u32,
}

/// A branch circuit of the house and what hangs on it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CircuitUse {
    /// Its name.
    pub name: String,
    /// Voltage.
    pub voltage_v: f64,
    /// Its breaker.
    pub breaker_a: f64,
    /// What may be drawn from it for hours.
    pub allowed_a: f64,
    /// What is drawn with everything lit.
    pub all_lit_a: f64,
    /// What is drawn by the pose, or poses together, that draw most.
    pub worst_pose_a: f64,
    /// Its ground-fault device.
    pub ground_fault: String,
    /// Standing leakage expected, in amperes.
    pub leakage_a: f64,
    /// The share of the device's threshold that may be used.
    pub leakage_limit_a: f64,
    /// The cord from the outlet.
    pub cord: CordUse,
    /// What it feeds, by label.
    pub feeds: Vec<String>,
}

/// A cord.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CordUse {
    /// Its wire size.
    pub size: String,
    /// Its length.
    pub length_mm: f64,
    /// What it may carry.
    pub rated_a: f64,
    /// Voltage lost out and back with everything lit.
    pub drop_v: f64,
}

/// Sockets of the usual outdoor tap. Common practice: read yours.
pub const TAP_SOCKETS: usize = 3;

impl Plan {
    /// The label of the cord from a channel's outlet to its strands, e.g. `cord P1`; none where no outlet feeds it.
    pub fn cord_of(&self, channel: &Channel) -> Option<String> {
        let at = channel.outlet.as_ref()?;
        let label = &self.switch_boxes.get(at.switch_box)?.label;
        Some(format!("cord {}{}", label.strip_prefix("box ").unwrap_or(label), at.outlet))
    }

    /// The strands on panels that a channel lights, by label.
    pub fn strands_of(&self, channel: &Channel) -> Vec<&str> {
        let lit = |bunch: usize, panel: &super::Panel| {
            let own = panel.bunches.get(bunch).and_then(|bunch| self.channels.get(bunch.channel));
            own.is_some_and(|own| own.label == channel.label)
        };
        let panels = self.panels.iter();
        panels
            .flat_map(|panel| panel.strands.iter().filter(move |strand| lit(strand.bunch, panel)))
            .map(|strand| strand.label.as_str())
            .collect()
    }
}
