//! What a claim cannot feel is taken out of the form before sets are searched.
//!
//! A number is kept when a condition, the length of a kept timer, the claim or a kept number's new value reads it; a timer
//! when a transition waits for it or something kept reads it. Nothing kept reads anything that is dropped, so that every
//! play of the whole form, looked at without the dropped parts, is a play of the smaller one, and the other way round with
//! the same presses and picks: the claim fails in both or in neither. (The cone of influence of model checking: E. M. Clarke,
//! O. Grumberg, D. Peled, "Model Checking", MIT Press 1999, section 13.1; from memory.)

use crate::model::{action_lists, actions, deciding};
use crate::watch::{Watch, shows};
use rules::form::{Action, Expr, Form, Node, Ties, Trigger, each_node};
use std::collections::BTreeSet;

pub(crate) type Place = (usize, usize);

/// The form without what the claim cannot feel, and the kept numbers that it cannot feel. Positions stay as they are.
pub(crate) fn reduced(form: &Form, watch: &Watch) -> (Form, BTreeSet<Place>) {
    let kept = Kept::of(form, watch);
    let mut small = form.clone();
    for (m, machine) in small.machines.iter_mut().enumerate() {
        for state in &mut machine.states {
            state.dwells.retain(|dwell| kept.timers.contains(&(m, dwell.timer)));
            for list in action_lists(state) {
                list.retain(|action| match action {
                    Action::Set { number, .. } => kept.numbers.contains(&(m, *number)),
                    Action::Start { timer, .. } | Action::Stop { timer } => {
                        kept.timers.contains(&(m, *timer))
                    }
                    Action::Play { .. } => false,
                    Action::Send { .. } | Action::Press { .. } => true,
                });
            }
        }
    }
    let unfelt = form.kept().into_iter().filter(|place| !kept.numbers.contains(place)).collect();
    (small, unfelt)
}

#[derive(Default)]
struct Kept {
    numbers: BTreeSet<Place>,
    timers: BTreeSet<Place>,
}

impl Kept {
    fn of(form: &Form, watch: &Watch) -> Self {
        let mut kept = Self::default();
        watch.exprs().into_iter().for_each(|expr| kept.read(expr));
        for (m, machine) in form.machines.iter().enumerate() {
            kept.timers.extend(machine.remembers.iter().map(|one| (m, one.timer)));
            if let Some(Ties::Alternately { turn }) = machine.ties {
                kept.numbers.insert((m, turn));
            }
            for way in machine.states.iter().flat_map(|state| &state.transitions) {
                way.condition.iter().for_each(|condition| kept.read(condition));
                if let Trigger::Timer { timer } = way.trigger {
                    kept.timers.insert((m, timer));
                }
            }
        }
        kept.for_watch(form, watch);
        while kept.grow(form) {}
        kept
    }

    fn read(&mut self, expr: &Expr) {
        each_node(expr, &mut |node| match node {
            Node::Number { m, i } => {
                self.numbers.insert((*m, *i));
            }
            Node::Running { m, i } | Node::Due { m, i } => {
                self.timers.insert((*m, *i));
            }
            _ => {}
        });
    }

    fn for_watch(&mut self, form: &Form, watch: &Watch) {
        for (m, machine) in form.machines.iter().enumerate() {
            for (i, number) in machine.numbers.iter().enumerate() {
                let seen = match watch {
                    Watch::Answered { by, .. } => {
                        number.shown_on.is_some() || by.map_or_else(|| shows(machine), |by| by == m)
                    }
                    Watch::DigitsFit => number.shown_on.is_some(),
                    _ => false,
                };
                if seen {
                    self.numbers.insert((m, i));
                }
            }
            for state in &machine.states {
                if matches!(watch, Watch::Answered { .. } | Watch::InRange) {
                    let every = *watch != Watch::InRange;
                    for light in state.lights.iter().filter(|light| every || light.index.is_some()) {
                        light.index.iter().chain(&light.when).for_each(|expr| self.read(expr));
                        self.read(&light.level);
                    }
                }
                if matches!(watch, Watch::Answered { .. } | Watch::DigitsFit) {
                    state.writes.iter().for_each(|writes| self.read(&writes.value));
                }
                if *watch == Watch::InRange {
                    actions(state).for_each(|action| self.risky(form, m, action));
                }
            }
        }
    }

    /// Keeps what may be stored outside its range.
    fn risky(&mut self, form: &Form, m: usize, action: &Action) {
        match action {
            Action::Set { number, .. } if may_not_fit(form, m, action) => {
                self.numbers.insert((m, *number));
            }
            Action::Start { timer, .. } if may_not_fit(form, m, action) => {
                self.timers.insert((m, *timer));
            }
            _ => {}
        }
    }

    /// One round of keeping what is needed for what is kept; whether anything was new.
    fn grow(&mut self, form: &Form) -> bool {
        let before = (self.numbers.len(), self.timers.len());
        for (m, machine) in form.machines.iter().enumerate() {
            for action in machine.states.iter().flat_map(actions) {
                match action {
                    Action::Set { number, to } => {
                        if let Node::Draw { bag, .. } = to.node {
                            // All draws of a bag change it for one another.
                            if self.numbers.contains(&(m, bag)) || self.numbers.contains(&(m, *number)) {
                                self.numbers.extend([(m, bag), (m, *number)]);
                            }
                        }
                        if self.numbers.contains(&(m, *number)) {
                            self.read(to);
                        }
                    }
                    Action::Start { timer, ticks } => {
                        if let Node::Draw { bag, .. } = ticks.node {
                            self.numbers.insert((m, bag));
                            self.timers.insert((m, *timer));
                        }
                        if self.timers.contains(&(m, *timer)) {
                            self.read(ticks);
                        }
                    }
                    _ => {}
                }
            }
        }
        before != (self.numbers.len(), self.timers.len())
    }
}

/// Whether a machine's action may store what does not fit, going by the ranges of what the value is made of.
pub(crate) fn may_not_fit(form: &Form, m: usize, action: &Action) -> bool {
    match action {
        Action::Set { number, to } => {
            let range = &form.machines[m].numbers[*number];
            let (least, most) = bounds(form, to);
            least < i64::from(range.min) || most > i64::from(range.max)
        }
        Action::Start { ticks, .. } => bounds(form, ticks).0 < 1,
        _ => false,
    }
}

/// The least and greatest value an expression can have, going by the ranges of the numbers in it.
pub(crate) fn bounds(form: &Form, expr: &Expr) -> (i64, i64) {
    bounds_by(form, expr, &|m, i| {
        let range = &form.machines[m].numbers[i];
        (i64::from(range.min), i64::from(range.max))
    })
}

/// The same, going by what is said of each number.
pub(crate) fn bounds_by(form: &Form, expr: &Expr, number: &dyn Fn(usize, usize) -> (i64, i64)) -> (i64, i64) {
    let of = |expr| bounds_by(form, expr, number);
    match &expr.node {
        Node::Const { v } => (i64::from(*v), i64::from(*v)),
        Node::Number { m, i } => number(*m, *i),
        Node::Setting { i } => (i64::from(form.settings[*i].min), i64::from(form.settings[*i].max)),
        Node::Pick { lo, hi, .. } | Node::Draw { lo, hi, .. } => (i64::from(*lo), i64::from(*hi)),
        Node::Neg { a } => {
            let (least, most) = of(a);
            (-most, -least)
        }
        Node::Two { f, a, b } => f.between(of(a), of(b)),
        Node::Left { .. } | Node::Spot => (0, i64::from(i32::MAX)),
        Node::In { .. } | Node::Running { .. } | Node::Due { .. } | Node::Not { .. } => (0, 1),
        Node::Held { .. } | Node::Pressed { .. } => (0, 1),
    }
}

/// Whether anything decides by time, presses or messages at all: used in words only.
pub(crate) fn reads_held(form: &Form, button: usize) -> bool {
    let mut found = false;
    for state in form.machines.iter().flat_map(|machine| &machine.states) {
        for expr in deciding(state) {
            each_node(expr, &mut |node| found |= matches!(node, Node::Held { b } if *b == button));
        }
    }
    found
}
