//! Vectors: a form, the inputs of every tick, and what the referee made of them.
//!
//! Other players (browser, controller) replay the inputs and must come to the same frames and fingerprints. Keys are short
//! because a vector has thousands of them; the layout is compact JSON.

use crate::form::Form;
use crate::hash::{fingerprint, frame_bytes};
use crate::step::{Frame, Input, Outcome, Pick, Start, begin_from, frame, step};
use serde::{Deserialize, Serialize};

/// One run of one form.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Vector {
    /// What the run is about.
    pub name: String,
    /// The rules.
    pub form: Form,
    /// Values kept from before, in the order of [`Form::kept`].
    pub kept: Vec<Option<i32>>,
    /// The settings.
    pub settings: Vec<Option<i32>>,
    /// Inputs; of tick 0 only the picks count.
    pub ticks: Vec<TickIn>,
    /// What is seen after each of those ticks.
    pub expect: Vec<TickOut>,
    /// The run in words, where somebody told it. No player reads them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub told: Vec<Moment>,
}

/// A moment of a run, told.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Moment {
    /// The tick it is about.
    pub tick: usize,
    /// What happens in it.
    pub words: String,
}

/// The inputs of one tick, by position.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TickIn {
    /// Buttons with an edge.
    #[serde(rename = "p")]
    pub pressed: Vec<usize>,
    /// Buttons held down.
    #[serde(rename = "h")]
    pub held: Vec<usize>,
    /// Picking places and the values given to them.
    #[serde(rename = "k")]
    pub picks: Vec<(u32, i32)>,
}

/// What one tick gives.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TickOut {
    /// The frame's bytes in hexadecimal, two digits a byte.
    #[serde(rename = "f")]
    pub frame: String,
    /// The fingerprint of the situation.
    #[serde(rename = "x")]
    pub hash: u32,
    /// Picking places and the values picked.
    #[serde(rename = "k")]
    pub picked: Vec<(u32, i32)>,
}

impl TickIn {
    /// As the step takes it. Positions past `buttons` are left out.
    pub fn input(&self, buttons: usize) -> Input {
        let flags = |on: &[usize]| (0..buttons).map(|at| on.contains(&at)).collect();
        let picks = self.picks.iter().map(|&(site, value)| Pick { site, value }).collect();
        Input { pressed: flags(&self.pressed), held: flags(&self.held), picks }
    }
}

/// Every outcome and frame of a run, tick 0 first; no inputs give no ticks.
pub fn play(form: &Form, start: &Start, inputs: &[TickIn]) -> Vec<(Outcome, Frame)> {
    let mut run: Vec<(Outcome, Frame)> = Vec::with_capacity(inputs.len());
    for input in inputs {
        let input = input.input(form.buttons.len());
        let outcome = match run.last() {
            None => begin_from(form, start, &input.picks),
            Some((before, _)) => step(form, &before.situation, &input),
        };
        let seen = frame(form, &outcome.situation);
        run.push((outcome, seen));
    }
    run
}

/// Plays the inputs through the referee and keeps what is seen.
pub fn record(name: impl Into<String>, form: &Form, start: &Start, inputs: &[TickIn]) -> Vector {
    let expect = play(form, start, inputs)
        .iter()
        .map(|(outcome, seen)| TickOut {
            frame: hex(&frame_bytes(form, seen)),
            hash: fingerprint(&outcome.situation),
            picked: outcome.picked.iter().map(|pick| (pick.site, pick.value)).collect(),
        })
        .collect();
    let Start { kept, settings } = start.clone();
    let (form, ticks) = (form.clone(), inputs.to_vec());
    Vector { name: name.into(), form, kept, settings, ticks, expect, told: Vec::new() }
}

impl Vector {
    /// What its tick 0 starts from.
    pub fn start(&self) -> Start {
        Start { kept: self.kept.clone(), settings: self.settings.clone() }
    }

    /// Kept values and settings in one row, one for each that the form has.
    pub fn values(&self) -> Vec<Option<i32>> {
        let padded = |given: &[Option<i32>], count: usize| -> Vec<Option<i32>> {
            (0..count).map(|k| given.get(k).copied().flatten()).collect()
        };
        let mut values = padded(&self.kept, self.form.kept().len());
        values.extend(padded(&self.settings, self.form.settings.len()));
        values
    }
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}
