//! How a bout goes, and what makes a way go.

use super::tell::{Teller, list, one_of, parts, plain};
use rules::form::{Expr, State, Transition, Trigger, Two};

/// A way into a bout, on within it or out of it: from where to where, and what makes it go.
struct Step<'a> {
    m: usize,
    from: usize,
    to: usize,
    way: &'a Transition,
}

/// How a bout begins, goes on and ends.
pub(super) fn bout(teller: &Teller) -> Vec<String> {
    let Some(bout) = &teller.form.bout else {
        return vec!["The rules say nothing of a bout: play as long as you like.".to_owned()];
    };
    let mut said = vec![format!("It lasts while {}.", teller.condition(bout))];
    let (mut begins, mut goes, mut ends): (Vec<Step>, Vec<Step>, Vec<Step>) = Default::default();
    for (m, within) in grouped(bout) {
        for (from, state) in teller.form.machines[m].states.iter().enumerate() {
            for way in &state.transitions {
                let Some(to) = way.go.filter(|to| *to != from) else { continue };
                let steps = match (within.contains(&from), within.contains(&to)) {
                    (false, true) => &mut begins,
                    (true, true) => &mut goes,
                    (true, false) => &mut ends,
                    (false, false) => continue,
                };
                steps.push(Step { m, from, to, way });
            }
        }
    }
    said.extend(outer(teller, "It begins", &begins));
    said.extend(inner(teller, &goes));
    said.extend(outer(teller, "It ends", &ends));
    said
}

/// How a bout begins or ends: from where and where to only where more than one place can be meant.
fn outer(teller: &Teller, lead: &str, steps: &[Step]) -> Option<String> {
    let differ = |of: fn(&Step) -> (usize, usize)| steps.windows(2).any(|pair| of(&pair[0]) != of(&pair[1]));
    let (from, to) = (differ(|step| (step.m, step.from)), differ(|step| (step.m, step.to)));
    let words = |step: &Step| {
        let state = &teller.form.machines[step.m].states[step.from];
        let mut words = cause(teller, state, step.way, true);
        // A time in a state names the state.
        if from && !matches!(step.way.trigger, Trigger::Timer { .. }) {
            words.push_str(&format!(", while {}", teller.is(step.m, &[step.from])));
        }
        if to {
            words.push_str(&format!(", to {}", teller.states(step.m, &[step.to])));
        }
        words
    };
    let words: Vec<String> = steps.iter().map(words).collect();
    (!words.is_empty()).then(|| format!("{lead} {}.", alternatives(&words)))
}

/// What happens on the way: from each place to each with everything that leads there.
fn inner(teller: &Teller, steps: &[Step]) -> Vec<String> {
    let mut found: Vec<((usize, usize, usize), Vec<String>)> = Vec::new();
    for Step { m, from, to, way } in steps {
        let state = &teller.form.machines[*m].states[*from];
        let words = cause(teller, state, way, true);
        let words = words.strip_suffix(&format!(" of {}", plain(&state.name))).unwrap_or(&words).to_owned();
        match found.iter_mut().find(|(at, _)| *at == (*m, *from, *to)) {
            Some((_, all)) => all.push(words),
            None => found.push(((*m, *from, *to), vec![words])),
        }
    }
    let words = |((m, from, to), all): ((usize, usize, usize), Vec<String>)| {
        let (was, becomes) = (teller.is(m, &[from]), teller.states(m, &[to]));
        format!("While {was}, it becomes {becomes} {}.", alternatives(&all))
    };
    found.into_iter().map(words).collect()
}

/// `a, or b`; where they have commas of their own, `a; or b`.
pub(super) fn alternatives(words: &[String]) -> String {
    let apart = if words.iter().any(|one| one.contains(',')) { "; or " } else { ", or " };
    words.join(apart)
}

/// The states that a condition speaks of, by machine.
fn grouped(expr: &Expr) -> Vec<(usize, Vec<usize>)> {
    let mut found: Vec<(usize, Vec<usize>)> = Vec::new();
    for (m, states) in parts(expr, Two::Or).into_iter().filter_map(one_of) {
        match found.iter_mut().find(|(of, _)| *of == m) {
            Some((_, all)) => all.extend(states),
            None => found.push((m, states)),
        }
    }
    found
}

/// What makes a way go, with its condition if that is wanted.
pub(super) fn cause(teller: &Teller, state: &State, way: &Transition, whole: bool) -> String {
    let given = way.condition.as_ref().map(|given| teller.condition(given));
    let words = match &way.trigger {
        Trigger::Press { button } => format!("on a press of {}", teller.button(*button)),
        Trigger::Message { any } => {
            let mut names: Vec<String> =
                any.iter().map(|message| called(&teller.form.messages[*message].name)).collect();
            names.dedup();
            format!("on {}", list(&names, "or"))
        }
        Trigger::Timer { timer } => match state.dwells.iter().find(|dwell| dwell.timer == *timer) {
            Some(dwell) => format!("after {} of {}", teller.time(dwell.ticks.into()), plain(&state.name)),
            None => "when its time is over".to_owned(),
        },
        Trigger::Always => {
            return given.map_or_else(|| "at once".to_owned(), |given| format!("as soon as {given}"));
        }
    };
    match given.filter(|_| whole) {
        Some(given) => format!("{words} if {given}"),
        None => words,
    }
}

/// A message's name in quotation marks.
pub(super) fn called(name: &str) -> String {
    format!("“{}”", plain(name))
}
