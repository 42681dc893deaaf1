//! What wants a channel, in the order of the outputs: the bunches of every panel, the hung objects, the lamps of the
//! buttons, the segments of the digits.

use crate::stage::drive;
use crate::{LitBy, Panel};
use display::Display;
use uom::si::electric_current::ampere;
use uom::si::electric_potential::volt;

/// Current of a button's lamp, 12 V LED. Common practice; the label decides.
const BUTTON_LAMP_A: f64 = 0.02;

/// What the low voltage is where no supply is known yet.
pub(super) const LOW_V: f64 = 12.0;

/// The voltage of the supply.
pub(super) fn supply_v(display: &Display) -> f64 {
    display.supply.as_ref().map_or(LOW_V, |supply| supply.value.voltage.get::<volt>())
}

/// Everything that wants a channel.
pub(super) fn loads(display: &Display, panels: &[Panel]) -> Vec<drive::Load> {
    let mut loads = Vec::new();
    for panel in panels {
        bunches(display, panel, &mut loads);
    }
    for button in display.buttons.iter().filter(|button| button.lamp) {
        let spot = display.form.spots.iter().position(|spot| *spot == button.name).unwrap_or(0);
        loads.push(drive::Load {
            name: format!("lamp of {}", button.name),
            lit_by: LitBy::Spot { spot },
            part: "button lamp, 12 V LED".into(),
            copies: 1,
            each_a: BUTTON_LAMP_A,
            voltage_v: 12.0,
        });
    }
    loads
}

fn bunches(display: &Display, panel: &Panel, loads: &mut Vec<drive::Load>) {
    let figure = display.form.figures.iter().position(|figure| figure.name == panel.name).unwrap_or(0);
    let strands = display.figures.iter().find(|figure| figure.name == panel.figure);
    let strands = strands.map_or(&[][..], |figure| &figure.strands);
    for (index, bunch) in panel.bunches.iter().enumerate() {
        let runs: Vec<_> = panel.strands.iter().filter(|strand| strand.bunch == index).collect();
        let strand = runs.first().and_then(|run| strands.iter().find(|strand| strand.value.name == run.part));
        loads.push(drive::Load {
            name: format!("{} {}", panel.name, bunch.name),
            lit_by: LitBy::Poses { figure, poses: bunch.poses.clone() },
            part: strand.map(|strand| strand.value.name.clone()).unwrap_or_default(),
            copies: u32::try_from(runs.len()).unwrap_or(u32::MAX),
            each_a: strand.map_or(0.0, |strand| strand.value.current.get::<ampere>()),
            voltage_v: strand.map_or(supply_v(display), |strand| strand.value.voltage.get::<volt>()),
        });
    }
}
