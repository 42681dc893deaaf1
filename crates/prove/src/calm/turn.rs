//! A turn of whoever waits.

use super::Calm;
use crate::model::listening;
use crate::value::Sight;
use crate::watch::shows;
use rules::form::{Expr, Form, Lights, Machine, Node, Ties, Trigger, each_node};
use rules::step::{Input, Situation, step};

/// What a turn of whoever waits at a button is: the button's lamp is lit, if it has one, and a press in the next tick would bring a
/// machine that shows something into another state. That is less than [`crate::watch::press_counts`] asks for.
pub(super) struct Turn<'a> {
    pub(super) calm: &'a Calm<'a>,
    pub(super) button: usize,
    /// The machine that a press would move.
    pub(super) by: usize,
}

impl Turn<'_> {
    /// The machines by which a turn could be one.
    pub(super) fn hearers(form: &Form, button: usize) -> impl Iterator<Item = usize> {
        form.machines.iter().enumerate().filter(move |(_, machine)| hears(machine, button)).map(|(m, _)| m)
    }

    /// What is read where it is decided.
    pub(super) fn sees(form: &Form, button: usize, by: usize) -> Vec<Expr> {
        let mut all: Vec<Expr> = Vec::new();
        let mut look = |node: &Node| {
            let known = all.iter().any(|expr| expr.node == *node);
            let read = matches!(
                node,
                Node::Number { .. } | Node::In { .. } | Node::Running { .. } | Node::Due { .. }
            );
            if read && !known {
                all.push(Expr { w: 32, node: node.clone() });
            }
        };
        for (_, light) in lamp(form, button) {
            light.when.iter().chain([&light.level]).for_each(|expr| each_node(expr, &mut look));
        }
        for way in form.machines[by].states.iter().flat_map(|state| &state.transitions) {
            way.condition.iter().for_each(|expr| each_node(expr, &mut look));
            // What a timer would do under a hand that holds is no work of a press; in silence nothing else may ask for it.
            if let Trigger::Timer { timer } = way.trigger {
                look(&Node::Due { m: by, i: timer });
            }
        }
        all
    }

    pub(super) fn is(&self, before: &Situation) -> bool {
        let (form, base) = (self.calm.form, &self.calm.base);
        let mut before = self.calm.with_idle(before);
        let has_lamp = form.spots.contains(&form.buttons[self.button]);
        let lit = |(m, s): (usize, usize), light: &Lights| {
            let sight = Sight { situation: &before, pressed: &[], held: &[] };
            before.machines[m].state == s
                && light.when.as_ref().is_none_or(|when| sight.holds(when))
                && sight.value(&light.level) > 0
        };
        if has_lamp && !lamp(form, self.button).any(|(place, light)| lit(place, light)) {
            return false;
        }
        before.simulated.truncate(base.buttons.len());
        let held = (0..base.buttons.len()).map(|b| b == self.button).collect();
        let without = Input { held, ..Input::default() };
        let with = Input { pressed: without.held.clone(), ..without.clone() };
        let (with, without) = (step(base, &before, &with).situation, step(base, &before, &without).situation);
        let (with, without) = (with.machines[self.by].state, without.machines[self.by].state);
        self.calm.busy.contains(&self.by) && with != without && with != before.machines[self.by].state
    }
}

/// Whether a machine that shows something hears a button, and settles by itself what a press does.
fn hears(machine: &Machine, button: usize) -> bool {
    shows(machine)
        && !matches!(machine.ties, Some(Ties::Random { .. }))
        && listening(machine).iter().any(|buttons| buttons >> button & 1 == 1)
}

/// The lights of a button's lamp, with the machine and the state that light it.
fn lamp(form: &Form, button: usize) -> impl Iterator<Item = ((usize, usize), &Lights)> {
    let lamp = form.spots.iter().position(|spot| *spot == form.buttons[button]);
    let machines = form.machines.iter().enumerate();
    let states =
        machines.flat_map(|(m, one)| one.states.iter().enumerate().map(move |(s, state)| ((m, s), state)));
    states
        .flat_map(|(place, state)| state.lights.iter().map(move |light| (place, light)))
        .filter(move |(_, light)| Some(light.first) == lamp && light.count == 1)
}
