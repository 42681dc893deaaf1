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
mod shown;
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
use rules::form::{Form, Machine, State, Transition, Trigger};
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
    for (m, machine) in form.machines.iter().enumerate() {
        for (at, state) in machine.states.iter().enumerate() {
            for way in &state.transitions {
                if let Some(to) = another_picture(machine, state, way) {
                    let ticks = shown::least_ticks(form, m, at, way);
                    let ms = f64::from(ticks) * f64::from(form.tick_ms);
                    if ms < SHORTEST_STEP_MS {
                        findings.push(too_fast(machine, state, to, (way, ms)));
                    }
                }
            }
        }
    }
    findings.dedup_by(|a, b| a.identity() == b.identity());
    findings
}

/// The state that a way out leads to where it shows another picture and no press has opened it.
fn another_picture<'a>(machine: &'a Machine, state: &State, way: &Transition) -> Option<&'a State> {
    let to = machine.states.get(way.go?)?;
    let other = state.pose.is_some() && state.pose != to.pose;
    (other && !matches!(way.trigger, Trigger::Press { .. })).then_some(to)
}

fn too_fast(machine: &Machine, state: &State, to: &State, (way, ms): (&Transition, f64)) -> Finding {
    let timer = match way.trigger {
        Trigger::Timer { timer } => machine.timers.get(timer).filter(|timer| !timer.dwell),
        _ => None,
    };
    let cure = match timer {
        Some(timer) => format!(
            "Start {} for 200 ms or longer on every way into {}, and wherever it is started anew meanwhile",
            timer.name, state.name
        ),
        None => "Show each picture for 200 ms or longer".to_owned(),
    };
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
    .cure(&cure, None)
    .withholds(&[Sheet::Firmware])
}
