//! How long a state is shown at least before a way out of it that time opens.

use super::value::{Interval, Moment, UNKNOWN, interval};
use rules::form::{Action, Expr, Form, Machine, Transition, Trigger};

/// The ticks that a state of a machine lasts at least before this way out of it; presses and messages may come at once.
pub(super) fn least_ticks(form: &Form, machine: usize, state: usize, way: &Transition) -> u32 {
    let Trigger::Timer { timer } = way.trigger else { return 1 };
    let whole = &form.machines[machine];
    let own = &whole.states[state];
    if let Some(dwell) = own.dwells.iter().find(|dwell| dwell.timer == timer) {
        return dwell.ticks;
    }
    // Whatever leads in starts it, or it may have run for long already.
    let begins = (state == 0).then(|| started(form, &own.entry, timer).unwrap_or(1));
    let leading = ways_into(whole, state).map(|(from, way)| {
        // What is done last counts.
        [&own.entry, &way.actions, &whole.states[from].exit]
            .into_iter()
            .find_map(|actions| started(form, actions, timer))
            .unwrap_or(1)
    });
    // While the state lasts it may be started anew.
    let staying = own.transitions.iter().filter(|way| way.go.is_none());
    let anew = staying.filter_map(|way| started(form, &way.actions, timer));
    begins.into_iter().chain(leading).chain(anew).min().unwrap_or(1)
}

/// The ways into a state, with the state that each leads out of.
fn ways_into(machine: &Machine, state: usize) -> impl Iterator<Item = (usize, &Transition)> {
    let out = machine.states.iter().enumerate();
    let all = out.flat_map(|(from, of)| of.transitions.iter().map(move |way| (from, way)));
    all.filter(move |(_, way)| way.go == Some(state))
}

/// The fewest ticks for which actions start a timer, the last of them counting; none where they do not.
fn started(form: &Form, actions: &[Action], wanted: usize) -> Option<u32> {
    actions.iter().rev().find_map(|action| match action {
        Action::Start { timer, ticks } if *timer == wanted => Some(least(form, ticks)),
        _ => None,
    })
}

fn least(form: &Form, ticks: &Expr) -> u32 {
    let least = interval(&Anywhen(form), ticks, 1).0;
    u32::try_from(least.max(1)).unwrap_or(u32::MAX)
}

/// Any moment of a play: numbers and settings anywhere within their ranges.
struct Anywhen<'a>(&'a Form);

impl Moment for Anywhen<'_> {
    fn number(&self, machine: usize, number: usize) -> Interval {
        let number = &self.0.machines[machine].numbers[number];
        (i64::from(number.min), i64::from(number.max))
    }

    fn state(&self, _: usize) -> Option<usize> {
        None
    }

    fn is_off(&self, _: usize, _: usize) -> bool {
        false
    }

    fn pressed(&self, _: usize) -> Option<bool> {
        None
    }

    fn setting(&self, setting: usize) -> Interval {
        self.0.settings.get(setting).map_or(UNKNOWN, |one| (i64::from(one.min), i64::from(one.max)))
    }

    fn longest(&self, machine: usize, timer: usize) -> i64 {
        i64::from(self.0.machines[machine].timers[timer].max)
    }
}
