//! What comes in tick by tick, and what the referee says comes out.

use rules::form::Form;
use rules::hash::{fingerprint, frame_bytes};
use rules::step::{Input, Outcome, Pick, begin, frame, step};
use serde::{Deserialize, Serialize};

/// What comes in in one tick. In tick 0 only the picks count.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct TickIn {
    /// Buttons pressed, by position.
    pub p: Vec<usize>,
    /// Buttons held, by position.
    pub h: Vec<usize>,
    /// Picks given: place and value.
    pub k: Vec<(u32, i32)>,
}

/// What comes out of one tick.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct TickOut {
    /// The frame's bytes in hex.
    pub f: String,
    /// The fingerprint of the situation.
    pub x: u32,
    /// What was picked: place and value.
    pub k: Vec<(u32, i32)>,
}

/// A form, what comes in and what must come out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Recording {
    /// Its name.
    pub name: String,
    /// The rules.
    pub form: Form,
    /// What comes in, tick 0 first.
    pub ticks: Vec<TickIn>,
    /// What must come out.
    pub expect: Vec<TickOut>,
}

/// The referee's own result.
pub fn record(name: &str, form: &Form, ticks: Vec<TickIn>) -> Recording {
    let mut expect = Vec::with_capacity(ticks.len());
    let mut now: Option<Outcome> = None;
    for tick in &ticks {
        let picks: Vec<Pick> = tick.k.iter().map(|&(site, value)| Pick { site, value }).collect();
        let bits = |set: &[usize]| (0..form.buttons.len()).map(|b| set.contains(&b)).collect();
        let next = match &now {
            None => begin(form, &picks),
            Some(before) => {
                step(form, &before.situation, &Input { pressed: bits(&tick.p), held: bits(&tick.h), picks })
            }
        };
        let bytes = frame_bytes(form, &frame(form, &next.situation));
        expect.push(TickOut {
            f: hex(&bytes),
            x: fingerprint(&next.situation),
            k: next.picked.iter().map(|pick| (pick.site, pick.value)).collect(),
        });
        now = Some(next);
    }
    Recording { name: name.to_owned(), form: form.clone(), ticks, expect }
}

/// Bytes as hex digits.
pub fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// A set of buttons as bits.
pub fn bits(set: &[usize]) -> u32 {
    set.iter().fold(0, |bits, &b| bits | 1 << b)
}

/// The first tick in which a player differs, with both results.
pub fn first_difference(recording: &Recording, got: &[TickOut]) -> Option<String> {
    let differs = (0..recording.expect.len()).find(|&n| got.get(n) != recording.expect.get(n))?;
    Some(format!(
        "{}: tick {differs}\n    in       {:?}\n    expected {:?}\n    got      {:?}",
        recording.name,
        recording.ticks.get(differs),
        recording.expect.get(differs),
        got.get(differs)
    ))
}
