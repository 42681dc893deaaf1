//! Numbers of machines that are looked at can be left free, too: a machine that answers a press is looked at with its states
//! alone, without the goals that it counts.
//!
//! Such a number is read from a machine of its own that does nothing, and nothing is stored in it; then [`crate::far`] leaves it free
//! like everything of a machine that is not looked at. (Localization by variables: R. Kurshan, "Computer-Aided Verification of
//! Coordinating Processes", 1994; hiding some of them and bringing back those that a false play needs: E. Clarke, A. Gupta,
//! J. Kukula, O. Strichman, "SAT based abstraction-refinement using ILP and machine learning techniques", CAV 2002. Both from
//! memory.)

use crate::far::{Near, light_exprs, machine_of};
use crate::model::{action_lists, actions, worked_out};
use crate::reduce::Place;
use crate::value::change_nodes;
use rules::form::{Action, Expr, Form, Node, Number, State, Ties, each_node};
use std::collections::{BTreeMap, BTreeSet};

/// The form in which some numbers are nobody's, and which machine of it stands for which.
pub(crate) struct Hidden {
    pub(crate) form: Form,
    stands_for: BTreeMap<usize, Place>,
}

impl Hidden {
    /// All numbers that can be hidden, but those of one machine and these.
    pub(crate) fn but(form: &Form, of: usize, shown: &BTreeSet<Place>) -> Self {
        let mut hidden = Self { form: form.clone(), stands_for: BTreeMap::new() };
        for place in places(form).into_iter().filter(|place| place.0 != of && !shown.contains(place)) {
            hidden.hide(place);
        }
        hidden
    }

    fn hide(&mut self, (m, i): Place) {
        let at = self.form.machines.len();
        let mut nobody = self.form.machines[m].clone();
        let number = nobody.numbers[i].clone();
        nobody.name = format!("{}.{}", nobody.name, number.name);
        nobody.numbers = vec![Number { kept: false, ..number }];
        (nobody.timers, nobody.remembers, nobody.ties) = (Vec::new(), Vec::new(), None);
        nobody.states.truncate(1);
        nobody.states.iter_mut().for_each(empty);
        for list in self.form.machines[m].states.iter_mut().flat_map(action_lists) {
            list.retain(|action| !matches!(action, Action::Set { number, .. } if *number == i));
        }
        for state in self.form.machines.iter_mut().flat_map(|machine| &mut machine.states) {
            each_expr(state, &mut |expr| {
                change_nodes(expr, &|node| {
                    if matches!(node, Node::Number { m: of, i: number } if (*of, *number) == (m, i)) {
                        *node = Node::Number { m: at, i: 0 };
                    }
                });
            });
        }
        self.form.machines[m].numbers[i].shown_on = None;
        self.form.machines.push(nobody);
        self.stands_for.insert(at, (m, i));
    }

    /// These machines and numbers, and more of this form's: what stands for a number is the number with its machine.
    pub(crate) fn with(&self, near: &Near, shown: &BTreeSet<Place>, more: &Near) -> (Near, BTreeSet<Place>) {
        let (mut near, mut shown) = (near.clone(), shown.clone());
        for m in more {
            let number = self.stands_for.get(m);
            near.insert(number.map_or(*m, |number| number.0));
            shown.extend(number);
        }
        (near, shown)
    }

    /// Machines and numbers not near whose light could tell what near ones do, or that light of near ones reads.
    pub(crate) fn onlookers(&self, near: &Near) -> Near {
        let mut all = Near::new();
        for (m, machine) in self.form.machines.iter().enumerate() {
            let mut read = Near::new();
            for expr in machine.states.iter().flat_map(light_exprs) {
                each_node(expr, &mut |node| read.extend(machine_of(node)));
            }
            if near.contains(&m) {
                all.extend(read);
            } else if !read.is_disjoint(near) {
                all.insert(m);
            }
        }
        all.difference(near).copied().collect()
    }
}

/// The numbers that can be hidden: no bag, nothing drawn from one, and not whose turn it is.
fn places(form: &Form) -> Vec<Place> {
    let mut all = Vec::new();
    for (m, machine) in form.machines.iter().enumerate() {
        let mut fast = BTreeSet::new();
        if let Some(Ties::Alternately { turn }) = machine.ties {
            fast.insert(turn);
        }
        for action in machine.states.iter().flat_map(actions) {
            if let Some(Expr { node: Node::Draw { bag, .. }, .. }) = worked_out(action) {
                fast.insert(*bag);
                if let Action::Set { number, .. } = action {
                    fast.insert(*number);
                }
            }
        }
        all.extend((0..machine.numbers.len()).filter(|i| !fast.contains(i)).map(|i| (m, i)));
    }
    all
}

/// Takes out all that a state does and shows.
fn empty(state: &mut State) {
    action_lists(state).for_each(Vec::clear);
    (state.dwells, state.transitions) = (Vec::new(), Vec::new());
    (state.pose, state.lights, state.writes) = (None, Vec::new(), Vec::new());
}

/// Everything that is worked out in a state.
fn each_expr(state: &mut State, change: &mut dyn FnMut(&mut Expr)) {
    for action in action_lists(state).flatten() {
        match action {
            Action::Set { to, .. } => change(to),
            Action::Start { ticks, .. } => change(ticks),
            _ => {}
        }
    }
    state.transitions.iter_mut().filter_map(|way| way.condition.as_mut()).for_each(&mut *change);
    for light in &mut state.lights {
        light.index.iter_mut().chain(&mut light.when).chain([&mut light.level]).for_each(&mut *change);
    }
    state.writes.iter_mut().for_each(|writes| change(&mut writes.value));
}
