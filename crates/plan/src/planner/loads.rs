//! What wants a channel: the bunches of every panel, the hung objects, the lamps of the buttons, the segments of the digits.

use crate::stage::drive::{Load, MAINS_V, MainsLoad};
use crate::{DigitsUse, LitBy, Panel, Span};
use display::Display;
use parts::{Light, Strand, Wave};

/// The lit button of a display; the catalogue has its ratings.
pub(super) const LIT_BUTTON: &str = "arcade-60mm-12v";

/// Current of a button's lamp where the catalogue does not have it, 12 V LED. Common practice; the label decides.
const BUTTON_LAMP_A: f64 = 0.02;

/// What the low voltage is where no supply is known yet.
pub(super) const LOW_V: f64 = 12.0;

/// The voltage of the supply.
pub(super) fn supply_v(display: &Display) -> f64 {
    display.supply.as_ref().map_or(LOW_V, |supply| supply.value.voltage.value)
}

/// Everything that wants a channel; channels are in this order.
pub(super) fn loads(display: &Display, panels: &[Panel], spans: &[Span], digits: &[DigitsUse]) -> Vec<Load> {
    let mut loads = Vec::new();
    for panel in panels {
        bunches(display, panel, &mut loads);
    }
    for hung in spans.iter().flat_map(|span| &span.hung) {
        let object = display.objects.iter().find(|object| object.name == hung.object);
        let strand = object.map(|object| &object.strand.value);
        let lit_by = LitBy::Spot { spot: hung.spot };
        let mut load = strand_load(display, hung.name.clone(), lit_by, strand, 1);
        if let Some(mains) = &mut load.mains {
            mains.overhead = true;
            mains.circuit = circuit(display, None);
        }
        loads.push(load);
    }
    for button in display.buttons.iter().filter(|button| button.lamp) {
        loads.push(lamp(display, &button.name));
    }
    for each in digits {
        segments(display, each, &mut loads);
    }
    loads
}

/// The circuit of something that may name one: else the only one there is.
fn circuit(display: &Display, named: Option<&String>) -> Option<String> {
    match (named, &display.circuits[..]) {
        (Some(name), _) => Some(name.clone()),
        (None, [only]) => Some(only.name.clone()),
        (None, _) => None,
    }
}

fn bunches(display: &Display, panel: &Panel, loads: &mut Vec<Load>) {
    let figure = display.form.figures.iter().position(|figure| figure.name == panel.name).unwrap_or(0);
    let strands = display.figures.iter().find(|figure| figure.name == panel.figure);
    let strands = strands.map_or(&[][..], |figure| &figure.strands);
    let asked = display.panels.iter().find(|asked| asked.name == panel.name);
    let named = asked.and_then(|asked| asked.circuit.as_ref()).map(|known| &known.value);
    for (index, bunch) in panel.bunches.iter().enumerate() {
        let runs: Vec<&Strand> = panel
            .strands
            .iter()
            .filter(|run| run.bunch == index)
            .filter_map(|run| strands.iter().map(|known| &known.value).find(|strand| strand.name == run.part))
            .collect();
        let lit_by = LitBy::Poses { figure, poses: bunch.poses.clone() };
        let copies = u32::try_from(runs.len()).unwrap_or(u32::MAX);
        let name = format!("{} {}", panel.name, bunch.name);
        let mut load = strand_load(display, name, lit_by, runs.first().copied(), copies);
        // Strands of several sizes on one output: their mean, so that the sum is right.
        if copies > 0 {
            load.each_a = runs.iter().map(|strand| strand.current.value).sum::<f64>() / f64::from(copies);
        }
        if let Some(mains) = &mut load.mains {
            mains.moves = panel.poses.len() > 1;
            mains.circuit = circuit(display, named);
        }
        loads.push(load);
    }
}

fn strand_load(display: &Display, name: String, lit_by: LitBy, strand: Option<&Strand>, copies: u32) -> Load {
    let voltage_v = strand.map_or(supply_v(display), |strand| strand.voltage.value);
    Load {
        name,
        lit_by,
        part: strand.map(|strand| strand.name.clone()).unwrap_or_default(),
        copies,
        each_a: strand.map_or(0.0, |strand| strand.current.value),
        voltage_v,
        mains: strand.filter(|_| voltage_v >= MAINS_V).map(|strand| MainsLoad {
            filament: strand.light == Light::Filament,
            threshold_v: strand
                .in_series
                .zip(strand.lamp_voltage)
                .map(|(lamps, one)| f64::from(lamps) * one.value),
            half_wave: strand.wave.map(|wave| wave == Wave::Half),
            listed: strand.listed.clone(),
            ..MainsLoad::default()
        }),
    }
}

fn lamp(display: &Display, button: &str) -> Load {
    let spot = display.form.spots.iter().position(|spot| spot == button).unwrap_or(0);
    let part = display.shelf.push_buttons.get(LIT_BUTTON);
    Load {
        name: format!("lamp of {button}"),
        lit_by: LitBy::Spot { spot },
        part: part.map_or("button lamp, 12 V LED".into(), |part| part.name.clone()),
        copies: 1,
        each_a: part.map_or(BUTTON_LAMP_A, |part| part.lamp_current.value),
        voltage_v: part.and_then(|part| part.lamp_voltage).map_or(LOW_V, |voltage| voltage.value),
        mains: None,
    }
}

fn segments(display: &Display, digits: &DigitsUse, loads: &mut Vec<Load>) {
    for from_left in 0..digits.count {
        for (segment, letter) in (0u32..).zip(reckoning::segments::LETTERS) {
            loads.push(Load {
                name: format!("{} {} {letter}", digits.name, from_left + 1),
                lit_by: LitBy::Segment {
                    digits: digits.digits,
                    place: digits.count - 1 - from_left,
                    segment,
                },
                part: digits.led.clone(),
                copies: 1,
                each_a: digits.segment_a,
                voltage_v: supply_v(display),
                mains: None,
            });
        }
    }
}
