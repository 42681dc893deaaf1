//! The kitchen-table rig: the same controller, boards and program, with one LED on each output instead of the lights.

use crate::{Plan, RigLine};
use reckoning::of::{amperes, volts};

/// Forward voltage of the rig's LED, red. Common practice.
const LED_V: f64 = 2.0;
/// Current that is plenty on a table. Common practice: 5 mA.
const LED_A: f64 = 0.005;
/// Register boards give logic levels.
const LOGIC_V: f64 = 5.0;

/// One line for each channel.
pub(crate) fn work(plan: &Plan) -> Vec<RigLine> {
    plan.channels
        .iter()
        .map(|channel| {
            // An output that turns an outlet on is a logic level; the box itself is not on the table.
            let supply = if channel.outlet.is_some() { LOGIC_V } else { plan.supply.voltage_v };
            RigLine {
                output: channel.label.clone(),
                stands_for: channel.name.clone(),
                resistor_ohm: resistor(supply),
            }
        })
        .collect()
}

/// The next E24 value above what keeps the current.
fn resistor(supply_v: f64) -> f64 {
    let wanted =
        reckoning::led::series_resistor(volts(supply_v), 1, volts(LED_V), volts(0.0), amperes(LED_A));
    reckoning::led::e24_up(wanted).value
}
