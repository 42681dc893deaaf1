//! What one machine, or a claim, can see of the others.

use crate::model::{Model, deciding};
use crate::watch::Watch;
use rules::form::{Expr, Form, Machine, Node, Trigger, each_node};
use rules::step::{Being, Clock};
use std::collections::{BTreeMap, BTreeSet};

/// One thing that can be read of a machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Field {
    In(usize),
    Number(usize),
    /// Whether it is off, running or due.
    Kind(usize),
    /// All of it.
    Left(usize),
    Sent(usize),
}

/// What is read: by machine, and whether settings are; inputs by button.
#[derive(Clone, Debug, Default)]
pub(super) struct Reads {
    pub(super) fields: BTreeMap<usize, BTreeSet<Field>>,
    pub(super) settings: bool,
    pub(super) pressed: BTreeSet<usize>,
    pub(super) held: BTreeSet<usize>,
}

impl Reads {
    fn field(&mut self, m: usize, field: Field) {
        self.fields.entry(m).or_default().insert(field);
    }

    fn expr(&mut self, expr: &Expr) {
        each_node(expr, &mut |node| match node {
            Node::In { m, s } => self.field(*m, Field::In(*s)),
            Node::Number { m, i } => self.field(*m, Field::Number(*i)),
            Node::Running { m, i } | Node::Due { m, i } => self.field(*m, Field::Kind(*i)),
            Node::Left { m, i } => self.field(*m, Field::Left(*i)),
            Node::Setting { .. } => self.settings = true,
            Node::Pressed { b } => {
                self.pressed.insert(*b);
            }
            Node::Held { b } => {
                self.held.insert(*b);
            }
            _ => {}
        });
    }

    /// All that a machine's tick can depend on besides itself.
    pub(super) fn of_machine(form: &Form, m: usize) -> Self {
        let machine: &Machine = &form.machines[m];
        let mut reads = Self::default();
        reads.pressed.extend(machine.remembers.iter().map(|one| one.button));
        for state in &machine.states {
            deciding(state).for_each(|expr| reads.expr(expr));
            for way in &state.transitions {
                match &way.trigger {
                    Trigger::Press { button } => {
                        reads.pressed.insert(*button);
                    }
                    Trigger::Message { any } => {
                        any.iter().for_each(|at| reads.field(form.messages[*at].sender, Field::Sent(*at)));
                    }
                    Trigger::Always | Trigger::Timer { .. } => {}
                }
            }
        }
        // What it sent itself is part of itself.
        reads.fields.remove(&m);
        reads
    }

    /// All that a claim about single situations depends on; none for other claims.
    pub(super) fn of_watch(model: &Model, watch: &Watch) -> Option<Self> {
        let mut reads = Self::default();
        match watch {
            Watch::Nothing => {}
            Watch::Never(what) | Watch::Always(what) => reads.expr(what),
            Watch::InRange => {
                for (m, machine) in model.form.machines.iter().enumerate() {
                    for (s, state) in machine.states.iter().enumerate() {
                        for light in state.lights.iter().filter(|light| light.index.is_some()) {
                            reads.field(m, Field::In(s));
                            light.index.iter().chain(&light.when).for_each(|expr| reads.expr(expr));
                        }
                    }
                }
            }
            Watch::DigitsFit => {
                for (m, machine) in model.still.machines.iter().enumerate() {
                    for (i, number) in machine.numbers.iter().enumerate() {
                        if number.shown_on.is_some() {
                            reads.field(m, Field::Number(i));
                        }
                    }
                    for (s, state) in machine.states.iter().enumerate() {
                        for writes in &state.writes {
                            reads.field(m, Field::In(s));
                            reads.expr(&writes.value);
                        }
                    }
                }
            }
            Watch::Leads { .. } | Watch::Answered { .. } | Watch::Flash { .. } => return None,
        }
        // Inputs are not part of a situation.
        (reads.pressed.is_empty() && reads.held.is_empty()).then_some(reads)
    }
}

/// What can be seen of a machine.
pub(super) fn seen(fields: &BTreeSet<Field>, being: &Being, sent: &[usize]) -> Vec<i64> {
    let value = |field: &Field| match field {
        Field::In(s) => i64::from(being.state == *s),
        Field::Number(i) => i64::from(being.numbers[*i]),
        Field::Kind(i) => match being.timers[*i] {
            Clock::Off => 0,
            Clock::Due => 1,
            Clock::Running(_) => 2,
        },
        Field::Left(i) => match being.timers[*i] {
            Clock::Off => 0,
            Clock::Due => 1,
            Clock::Running(left) => i64::from(left) + 1,
        },
        Field::Sent(at) => i64::from(sent.contains(at)),
    };
    fields.iter().map(value).collect()
}
