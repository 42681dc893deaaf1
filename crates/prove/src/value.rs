//! What an expression comes to, seen from outside all machines: for claims, indexes and what a press would do.

use rules::form::{Expr, Node};
use rules::step::{Clock, Situation};

/// A situation and the inputs of the tick it is looked at in.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sight<'a> {
    /// The situation.
    pub(crate) situation: &'a Situation,
    /// Buttons with an edge, real or simulated.
    pub(crate) pressed: &'a [bool],
    /// Real buttons that are down.
    pub(crate) held: &'a [bool],
}

impl Sight<'_> {
    /// Whether a condition is true.
    pub(crate) fn holds(&self, expr: &Expr) -> bool {
        self.value(expr) != 0
    }

    /// The value of an expression; total, as the referee is.
    pub(crate) fn value(&self, expr: &Expr) -> i32 {
        let clock = |m: usize, i: usize| self.situation.machines[m].timers[i];
        let flag = |of: &[bool], b: usize| i32::from(of.get(b).copied().unwrap_or(false));
        match &expr.node {
            Node::Const { v } => *v,
            Node::Number { m, i } => self.situation.machines[*m].numbers[*i],
            Node::In { m, s } => i32::from(self.situation.machines[*m].state == *s),
            Node::Running { m, i } => i32::from(matches!(clock(*m, *i), Clock::Running(_))),
            Node::Due { m, i } => i32::from(clock(*m, *i) == Clock::Due),
            Node::Held { b } => flag(self.held, *b),
            Node::Pressed { b } => flag(self.pressed, *b),
            Node::Setting { i } => self.situation.settings[*i],
            Node::Left { m, i } => match clock(*m, *i) {
                Clock::Running(left) => i32::try_from(left).unwrap_or(i32::MAX),
                Clock::Off | Clock::Due => 0,
            },
            Node::Spot => 1,
            Node::Pick { lo, .. } | Node::Draw { lo, .. } => *lo,
            Node::Not { a } => i32::from(self.value(a) == 0),
            Node::Neg { a } => self.value(a).wrapping_neg(),
            Node::Two { f, a, b } => f.of(self.value(a), self.value(b)),
        }
    }
}

/// Replaces what is found in an expression, from the leaves up.
pub(crate) fn change_nodes(expr: &mut Expr, change: &dyn Fn(&mut Node)) {
    match &mut expr.node {
        Node::Not { a } | Node::Neg { a } => change_nodes(a, change),
        Node::Two { a, b, .. } => {
            change_nodes(a, change);
            change_nodes(b, change);
        }
        _ => {}
    }
    change(&mut expr.node);
}
