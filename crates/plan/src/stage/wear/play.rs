//! How often contacts switch while the rules are played, by themselves and with every button pressed steadily.

use crate::LitBy;
use rules::form::Form;
use rules::step::{Input as Presses, Situation, begin, frame, step_on};
use serde::Serialize;

/// Minutes that are played.
pub(super) const MINUTES: f64 = 2.0;

/// Presses of each button in a minute of the second play: a throw every three seconds.
const PRESSES_A_MINUTE: f64 = 20.0;

/// What the stage takes.
#[derive(Serialize)]
pub(crate) struct Input<'a> {
    /// What lights the channel of each contact.
    pub(crate) contacts: Vec<&'a LitBy>,
    pub(crate) form: &'a Form,
}

/// What one play came to for one contact.
#[derive(Clone, Copy, Debug, Default, Serialize)]
pub(crate) struct Count {
    /// How often it closed.
    pub(crate) closed: u32,
    /// The fewest ticks between two changes.
    pub(crate) shortest: Option<u32>,
}

/// For each contact the busier of the two plays.
pub(crate) fn work(input: &Input<'_>) -> Vec<Count> {
    if input.form.machines.is_empty() || input.form.tick_ms == 0 {
        return Vec::new();
    }
    let alone = play(input, None);
    let pressed = play(input, Some(PRESSES_A_MINUTE));
    let busier = alone.iter().zip(&pressed).map(|(one, other)| Count {
        closed: one.closed.max(other.closed),
        shortest: one.shortest.into_iter().chain(other.shortest).min(),
    });
    busier.collect()
}

/// Plays the rules and counts every contact.
fn play(input: &Input<'_>, presses_a_minute: Option<f64>) -> Vec<Count> {
    let form = input.form;
    let tick_s = f64::from(form.tick_ms) / 1000.0;
    let mut situation = begin(form, &[]).situation;
    let mut counts = vec![Count::default(); input.contacts.len()];
    let mut lit: Vec<bool> = on(input, &frame(form, &situation));
    let mut changed = vec![0_u32; input.contacts.len()];
    // Poses follow from the states alone, so only another state can switch a contact that lights poses.
    let follows_states = input.contacts.iter().all(|lit_by| !matches!(lit_by, LitBy::Spot { .. }));
    let states = |situation: &Situation| -> Vec<usize> {
        situation.machines.iter().map(|being| being.state).collect()
    };
    let mut before = states(&situation);
    let mut tick = 0_u32;
    while f64::from(tick) * tick_s < MINUTES * 60.0 {
        tick += 1;
        let pressed = presses(form, tick, tick_s, presses_a_minute);
        situation = step_on(form, situation, &pressed).situation;
        if follows_states && situation.machines.iter().map(|being| being.state).eq(before.iter().copied()) {
            continue;
        }
        before = states(&situation);
        let now = on(input, &frame(form, &situation));
        for contact in 0..now.len() {
            if now[contact] == lit[contact] {
                continue;
            }
            let lasted = tick - changed[contact];
            if changed[contact] > 0 {
                counts[contact].shortest =
                    Some(counts[contact].shortest.map_or(lasted, |least| least.min(lasted)));
            }
            changed[contact] = tick;
            counts[contact].closed += u32::from(now[contact]);
        }
        lit = now;
    }
    counts
}

/// Every button in turn, evenly: none is pressed together with another.
fn presses(form: &Form, tick: u32, tick_s: f64, presses_a_minute: Option<f64>) -> Presses {
    let Some(rate) = presses_a_minute else { return Presses::default() };
    let buttons = u32::try_from(form.buttons.len()).unwrap_or(1).max(1);
    let apart = libm::round(60.0 / rate / tick_s / f64::from(buttons)).max(1.0);
    let number = libm::floor(f64::from(tick) / apart);
    let at_once = f64::from(tick) - number * apart < 0.5;
    let turn = number - libm::floor(number / f64::from(buttons)) * f64::from(buttons);
    let pressed: Vec<bool> =
        (0..buttons).map(|button| at_once && (f64::from(button) - turn).abs() < 0.5).collect();
    Presses { held: pressed.clone(), pressed, picks: Vec::new() }
}

/// Which contacts are closed.
fn on(input: &Input<'_>, frame: &rules::step::Frame) -> Vec<bool> {
    let closed = |lit_by: &LitBy| match lit_by {
        LitBy::Poses { figure, poses } => {
            frame.poses.get(*figure).copied().flatten().is_some_and(|pose| poses.contains(&pose))
        }
        LitBy::Spot { spot } => frame.spots.get(*spot).is_some_and(|level| *level > 127),
        LitBy::Segment { .. } => false,
    };
    input.contacts.iter().map(|lit_by| closed(lit_by)).collect()
}
