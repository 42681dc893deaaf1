//! What wants a channel, in the order of the outputs: the bunches of every panel, the hung objects, the lamps of the
//! buttons, the segments of the digits. And the way back: whose channel is which.

use super::electrics::{circuit, supply_v};
use super::yard::{mm, place};
use crate::stage::{digits, drive};
use crate::{DigitsUse, LitBy, Panel, Place, Span};
use display::Display;
use reckoning::segments::{DIGITS, LETTERS};
use std::sync::Arc;
use uom::si::electric_current::ampere;
use uom::si::electric_potential::volt;

/// Current of a button's lamp whose part is not known, 12 V LED. Common practice; the label decides.
const BUTTON_LAMP_A: f64 = 0.02;

/// Segments of a digit.
const SEGMENTS: u32 = 7;

/// Everything that wants a channel.
pub(super) fn loads(
    display: &Display,
    panels: &[Panel],
    spans: &[Span],
    designs: &[Arc<digits::Design>],
) -> Vec<drive::Load> {
    let mut loads = Vec::new();
    for panel in panels {
        bunches(display, panel, &mut loads);
    }
    hung(display, spans, &mut loads);
    for button in display.buttons.iter().filter(|button| button.lamp) {
        loads.push(lamp(display, button));
    }
    for (asked, design) in display.digits.iter().zip(designs) {
        segments(display, asked, design, &mut loads);
    }
    loads
}

fn bunches(display: &Display, panel: &Panel, loads: &mut Vec<drive::Load>) {
    let figure = display.form.figures.iter().position(|figure| figure.name == panel.name).unwrap_or(0);
    let strands = display.figures.iter().find(|figure| figure.name == panel.figure);
    let strands = strands.map_or(&[][..], |figure| &figure.strands);
    let asked = display.panels.iter().find(|asked| asked.name == panel.name);
    let fed = circuit(display, asked.and_then(|asked| asked.circuit.as_ref()).map(|name| &name.value));
    for (index, bunch) in panel.bunches.iter().enumerate() {
        let runs: Vec<_> = panel.strands.iter().filter(|strand| strand.bunch == index).collect();
        let strand = runs.first().and_then(|run| strands.iter().find(|strand| strand.value.name == run.part));
        let strand = strand.map(|strand| &strand.value);
        loads.push(drive::Load {
            name: format!("{} {}", panel.name, bunch.name),
            lit_by: LitBy::Poses { figure, poses: bunch.poses.clone() },
            part: strand.map(|strand| strand.name.clone()).unwrap_or_default(),
            copies: u32::try_from(runs.len()).unwrap_or(u32::MAX),
            each_a: mean_a(&runs, strands),
            voltage_v: strand.map_or(supply_v(display), |strand| strand.voltage.get::<volt>()),
            mains: strand.and_then(|strand| mains(strand, fed.clone(), panel.poses.len() > 1)),
        });
    }
}

/// Mean current of the strands of a bunch, which may be of several sizes: times their number it is what they draw.
fn mean_a(runs: &[&crate::StrandRun], strands: &[finding::Known<parts::Strand>]) -> f64 {
    let known = runs.iter().filter_map(|run| strands.iter().find(|strand| strand.value.name == run.part));
    let all: f64 = known.map(|strand| strand.value.current.get::<ampere>()).sum();
    all / f64::from(u32::try_from(runs.len()).unwrap_or(u32::MAX).max(1))
}

/// What must be known of a strand on mains; none for low voltage.
fn mains(strand: &parts::Strand, circuit: Option<String>, moves: bool) -> Option<drive::MainsLoad> {
    (strand.voltage.get::<volt>() >= drive::MAINS_V).then(|| drive::MainsLoad {
        circuit,
        moves,
        filament: strand.light == parts::Light::Filament,
        threshold_v: strand
            .in_series
            .zip(strand.lamp_voltage)
            .map(|(row, lamp)| f64::from(row) * lamp.get::<volt>()),
        half_wave: strand.wave.map(|wave| wave == parts::Wave::Half),
        listed: strand.listed.clone(),
    })
}

fn hung(display: &Display, spans: &[Span], loads: &mut Vec<drive::Load>) {
    for hung in spans.iter().flat_map(|span| &span.hung) {
        let object = display.objects.iter().find(|object| object.name == hung.object);
        let Some(strand) = object.map(|object| &object.strand.value) else { continue };
        loads.push(drive::Load {
            name: hung.name.clone(),
            lit_by: LitBy::Spot { spot: hung.spot },
            part: strand.name.clone(),
            copies: 1,
            each_a: strand.current.get::<ampere>(),
            voltage_v: strand.voltage.get::<volt>(),
            mains: mains(strand, circuit(display, None), true),
        });
    }
}

fn lamp(display: &Display, button: &display::Button) -> drive::Load {
    let spot = display.form.spots.iter().position(|spot| *spot == button.name).unwrap_or(0);
    let part = button.part.as_ref().map(|part| &part.value);
    drive::Load {
        name: format!("lamp of {}", button.name),
        lit_by: LitBy::Spot { spot },
        part: part.map(|part| part.name.clone()).unwrap_or_default(),
        copies: 1,
        each_a: part.map_or(BUTTON_LAMP_A, |part| part.lamp_current.get::<ampere>()),
        voltage_v: part.and_then(|part| part.lamp_voltage).map_or(12.0, |lamp| lamp.get::<volt>()),
        mains: None,
    }
}

/// The segments of digits, from the leftmost digit, a to g.
fn segments(
    display: &Display,
    asked: &display::Digits,
    design: &digits::Design,
    loads: &mut Vec<drive::Load>,
) {
    let digits = display.form.digits.iter().position(|digits| digits.name == asked.name).unwrap_or(0);
    for place in (0..asked.count.value).rev() {
        for (segment, letter) in (0..SEGMENTS).zip('a'..='g') {
            loads.push(drive::Load {
                name: format!("{} digit {} {letter}", asked.name, asked.count.value - place),
                lit_by: LitBy::Segment { digits, place, segment },
                part: asked.led.value.name.clone(),
                copies: 1,
                each_a: design.segment_a,
                // Rows and resistors are made for the supply.
                voltage_v: supply_v(display),
                mains: None,
            });
        }
    }
}

/// Tells panels, hung objects and digits their channels, which are in the order of the loads.
pub(super) fn give_channels(
    display: &Display,
    panels: &mut [Panel],
    spans: &mut [Span],
    designs: &[Arc<digits::Design>],
) -> Vec<DigitsUse> {
    let mut channel = 0..;
    let mut next = || channel.next().unwrap_or(usize::MAX);
    for bunch in panels.iter_mut().flat_map(|panel| &mut panel.bunches) {
        bunch.channel = next();
    }
    for hung in spans.iter_mut().flat_map(|span| &mut span.hung) {
        hung.channel = next();
    }
    for _ in display.buttons.iter().filter(|button| button.lamp) {
        next();
    }
    let digits = display.digits.iter().zip(designs);
    digits.map(|(asked, design)| told(display, asked, design, &mut next)).collect()
}

fn told(
    display: &Display,
    asked: &display::Digits,
    design: &digits::Design,
    next: &mut impl FnMut() -> usize,
) -> DigitsUse {
    let lifted = mm(&asked.lifted);
    DigitsUse {
        name: asked.name.clone(),
        digits: display.form.digits.iter().position(|digits| digits.name == asked.name).unwrap_or(0),
        count: asked.count.value,
        height_mm: mm(&asked.height),
        width_mm: design.width_mm,
        pitch_mm: design.pitch_mm,
        place: asked.at.as_ref().map_or(Place { y_mm: lifted, ..Place::default() }, |at| place(at, lifted)),
        segments_mm: design.segments_mm.clone(),
        letters: LETTERS.iter().collect(),
        numerals: DIGITS,
        led: asked.led.value.name.clone(),
        colour: asked.led.value.colour.clone(),
        leds_in_series: design.leds_in_series,
        rows: design.rows,
        resistor_ohm: design.resistor_ohm,
        resistor_w: design.resistor_w,
        segment_a: design.segment_a,
        channels: (0..asked.count.value).map(|_| (0..SEGMENTS).map(|_| next()).collect()).collect(),
    }
}
