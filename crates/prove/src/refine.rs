//! A claim is asked of few machines and few of their numbers first, and of more where these are not enough.

use crate::answer::{Covered, Verdict};
use crate::claims::{Question, refuted, search_model, within};
use crate::far::{self, Near};
use crate::hide::Hidden;
use crate::model::{Model, actions, listening};
use crate::reduce::{Place, may_not_fit};
use crate::watch::{Watch, shows};
use crate::work::Work;
use rules::form::{Form, State};
use std::collections::BTreeSet;

/// The machines that the claim speaks of first; then, where a play is found that the referee does not play, those that its
/// free buttons stood for, and so on; see [`far`].
pub(crate) fn by_the_near(
    form: &Form,
    question: &Question,
    watch: &Watch,
    work: &mut Work,
    looked: &mut u64,
) -> Option<Verdict> {
    for (part, judged) in parts(form, watch) {
        let near = far::spoken_of(form, &part, judged);
        if let Watch::Answered { by: Some(by), .. } = part {
            match with_few_numbers(form, question, (&part, by), near.clone(), work, looked) {
                Some(Verdict::Proved { .. }) => continue,
                Some(verdict) => return Some(verdict),
                None => {}
            }
        }
        let verdict = refined(form, question, (&part, judged), near, work, looked)?;
        if matches!(verdict, Verdict::Refuted { .. }) {
            return Some(verdict);
        }
    }
    Some(Verdict::Proved { covered: Covered { sets: *looked, ..Covered::default() } })
}

/// Claims that together are the claim: that no store goes wrong is asked of each machine alone, where ranges do not tell already,
/// and so is that a press which counts for a machine is answered. For a machine that hears no press, none counts.
fn parts(form: &Form, watch: &Watch) -> Vec<(Watch, Option<usize>)> {
    let machines = form.machines.iter().enumerate();
    match watch {
        Watch::InRange => {
            let indexes = |state: &State| state.lights.iter().any(|light| light.index.is_some());
            let risky = |m: usize, state: &State| {
                indexes(state) || actions(state).any(|action| may_not_fit(form, m, action))
            };
            machines
                .filter(|(m, machine)| machine.states.iter().any(|state| risky(*m, state)))
                .map(|(m, _)| (watch.clone(), Some(m)))
                .collect()
        }
        Watch::Answered { ticks, by: None } => machines
            .filter(|(_, machine)| shows(machine) && listening(machine).iter().any(|buttons| *buttons != 0))
            .map(|(m, _)| (Watch::Answered { ticks: *ticks, by: Some(m) }, None))
            .collect(),
        _ => vec![(watch.clone(), None)],
    }
}

/// Sets that are looked at to see whether one machine more is enough.
const ONE_MORE: u64 = 40_000;
/// The same where numbers are left free.
const FEW: u64 = 10_000;

/// Begins with the machines given. After a play that the referee does not play, each machine that it blames is tried alone, then
/// all of them.
fn refined(
    form: &Form,
    question: &Question,
    (watch, judged): (&Watch, Option<usize>),
    mut near: Near,
    work: &mut Work,
    looked: &mut u64,
) -> Option<Verdict> {
    let mut tried = Vec::new();
    loop {
        let blamed = match look_near((form, form), question, (watch, judged, &near, false), work, looked)? {
            Looked::Decided(verdict) => return Some(verdict),
            Looked::Blames(blamed) => blamed,
        };
        tried.push(near.clone());
        let limits = work.limits;
        for one in &blamed {
            let with = far::wider(form, watch, &near, &[*one].into())?;
            if tried.contains(&with) {
                continue;
            }
            work.limits.sets = limits.sets.min(ONE_MORE);
            let seen = look_near((form, form), question, (watch, judged, &with, false), work, looked);
            work.limits = limits;
            if let Some(Looked::Decided(verdict)) = seen {
                return Some(verdict);
            }
            tried.push(with);
        }
        near = far::wider(form, watch, &near, &blamed)?;
    }
}

/// That presses which count for one machine are answered: at first with no number of any other machine, and of this one's with
/// what conditions ask; see [`crate::hide`]. None where that does not decide within half of what may be looked at.
fn with_few_numbers(
    form: &Form,
    question: &Question,
    (watch, by): (&Watch, usize),
    mut near: Near,
    work: &mut Work,
    looked: &mut u64,
) -> Option<Verdict> {
    let (limits, before) = (work.limits, *looked);
    let mut shown = BTreeSet::new();
    loop {
        let hidden = Hidden::but(form, by, &shown);
        let mut look = |near: &Near, shown: &BTreeSet<Place>, most: u64| {
            work.limits.sets = most.min((limits.sets / 2).saturating_sub(*looked - before));
            let hidden = Hidden::but(form, by, shown);
            let seen = look_near((form, &hidden.form), question, (watch, None, near, true), work, looked);
            work.limits = limits;
            seen
        };
        let blamed = match look(&near, &shown, limits.sets)? {
            Looked::Decided(verdict) => return Some(verdict),
            Looked::Blames(blamed) => blamed,
        };
        let more: Near = blamed.union(&hidden.onlookers(&near)).copied().collect();
        for one in &more {
            let (with, numbers) = hidden.with(&near, &shown, &[*one].into());
            if let Some(Looked::Decided(verdict)) = look(&with, &numbers, FEW) {
                return Some(verdict);
            }
        }
        let (with, numbers) = hidden.with(&near, &shown, &more);
        if (&with, &numbers) == (&near, &shown) {
            return None;
        }
        (near, shown) = (with, numbers);
    }
}

/// What came of looking at some machines alone.
enum Looked {
    Decided(Verdict),
    /// A play of theirs that is none of the whole rules; the machines that it left free.
    Blames(Near),
}

/// None where these machines cannot be looked at alone, or it became too much. `looser`: a form of more plays, which is looked at.
fn look_near(
    (form, looser): (&Form, &Form),
    question: &Question,
    (watch, judged, near, loosely): (&Watch, Option<usize>, &Near, bool),
    work: &mut Work,
    looked: &mut u64,
) -> Option<Looked> {
    if near.is_empty() || near.len() == looser.machines.len() {
        return None;
    }
    let model = Model::near(looser, watch, (near, judged, loosely)).ok()??;
    let found = search_model(&model, watch, work);
    *looked += std::mem::take(&mut work.covered).sets;
    work.bytes = 0;
    let Some(trace) = found.ok()? else {
        return Some(Looked::Decided(Verdict::Proved { covered: Covered::default() }));
    };
    let blamed = trace.as_ref().map(|trace| far::blamed(&model, trace)).unwrap_or_default();
    let verdict = refuted(form, question, trace.map(|trace| within(form, trace)), work);
    let blamed = || blamed.difference(near).copied().collect();
    Some(match verdict {
        Verdict::Refuted { .. } => Looked::Decided(verdict),
        _ => Looked::Blames(blamed()),
    })
}
