//! Flashing: no step from one picture to the next may be faster than two hundred milliseconds.
//!
//! What is looked at is each way out of a state that shows a pose into one that shows another: how long the first is shown
//! at least. Ways that a player's press opens are counted where all figures are looked at together.

mod busiest;
pub(crate) mod counts;
pub(crate) mod field;
mod glow;
mod joint;
mod labels;
mod outcome;
mod slice;
#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may fail")]
mod tests;
pub(crate) mod together;
mod value;
mod worth;

use crate::Flashes;
use crate::note::{Also, finding, value, working};
use finding::{Finding, Origin, Severity, Sheet};
use reckoning::flash::{CHANGES_ALLOWED, MOST_FLASHES, SHORTEST_STEP_MS, alternation};
use rules::form::{Action, Expr, Form, Machine, Node, State, Transition, Trigger};
use uom::si::f64::Time;
use uom::si::frequency::hertz;
use uom::si::time::millisecond;

/// The most that each of these can change in any second, whoever presses when; none where it cannot be told. Bounds: a play
/// may come less far.
pub fn changes_in_a_second(form: &Form, of: &[Flashes]) -> Vec<Option<u32>> {
    let mut counter = counts::Counter::new(form);
    let effort = counts::Effort::Together(CHANGES_ALLOWED);
    of.iter().map(|of| counter.most((*of).into(), effort)).collect()
}

pub(crate) fn work(form: &Form) -> Vec<Finding> {
    let mut findings = Vec::new();
    for machine in &form.machines {
        for state in &machine.states {
            for transition in &state.transitions {
                if let Some((to, ticks)) = step(machine, state, transition) {
                    let ms = f64::from(ticks) * f64::from(form.tick_ms);
                    if ms < SHORTEST_STEP_MS {
                        findings.push(too_fast(machine, state, to, ms));
                    }
                }
            }
        }
    }
    findings.dedup_by(|a, b| a.identity() == b.identity());
    findings
}

/// The state a transition leads to and the ticks its own state lasts at least, when the picture changes on the way.
fn step<'a>(machine: &'a Machine, state: &'a State, transition: &Transition) -> Option<(&'a State, u32)> {
    let to = machine.states.get(transition.go?)?;
    if state.pose.is_none() || state.pose == to.pose {
        return None;
    }
    if matches!(transition.trigger, Trigger::Press { .. }) {
        return None;
    }
    Some((to, ticks(state, transition)))
}

/// The ticks that a state lasts at least before this way out of it; presses and messages may come at once.
fn ticks(state: &State, transition: &Transition) -> u32 {
    match &transition.trigger {
        Trigger::Always | Trigger::Message { .. } | Trigger::Press { .. } => 1,
        Trigger::Timer { timer } => state
            .dwells
            .iter()
            .find(|dwell| dwell.timer == *timer)
            .map(|dwell| dwell.ticks)
            .or_else(|| started(&state.entry, *timer))
            .unwrap_or(1),
    }
}

/// The least ticks for which entering a state starts a timer.
fn started(entry: &[Action], wanted: usize) -> Option<u32> {
    entry.iter().rev().find_map(|action| match action {
        Action::Start { timer, ticks } if *timer == wanted => Some(least(ticks)),
        _ => None,
    })
}

fn least(ticks: &Expr) -> u32 {
    match ticks.node {
        Node::Const { v } | Node::Pick { lo: v, .. } => u32::try_from(v).unwrap_or(1).max(1),
        _ => 1,
    }
}

fn too_fast(machine: &Machine, state: &State, to: &State, ms: f64) -> Finding {
    let rate = alternation(Time::new::<millisecond>(ms)).get::<hertz>();
    finding(
        "flash/fast-step",
        Severity::Danger,
        "program",
        &[&machine.name, &state.name],
        format!(
            "From {} to {} the picture changes after {ms} ms; going to and fro like that is {rate:.1} flashes a second",
            state.name, to.name
        ),
    )
    .about(&to.name)
    .working(working(
        "alternation",
        vec![value("step", format!("{ms} ms"), Origin::Default("the shortest time this state is shown, from the rules"))],
        format!("{rate:.1} flashes/s"),
        Some((
            format!("{SHORTEST_STEP_MS} ms a step, {MOST_FLASHES} flashes/s"),
            "WCAG 2.3.1, written for screens; the step is our threshold. Steps opened by a press are counted with all figures together".into(),
        )),
        None,
    ))
    .cure("Show each picture for 200 ms or longer", None)
    .withholds(&[Sheet::Firmware])
}
