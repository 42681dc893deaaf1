//! Claims that no play can break and none can fulfil: settled by ranges and reachable states alone.

use super::{Checks, reached};
use crate::arithmetic::{Interval, decided};
use crate::codes;
use crate::form::{Claimed, Expr, Node, Two};
use std::collections::BTreeSet;

impl Checks<'_> {
    /// Claims that say nothing about play.
    pub(super) fn settled_claims(&mut self) {
        let reached: Vec<BTreeSet<usize>> = self.form.machines.iter().map(reached).collect();
        let form = self.form;
        for claim in &form.claims {
            let truth = |expr: &Expr| self.truth(expr, &reached);
            let why = match &claim.claim {
                Claimed::Never { what } if truth(what) == Some(false) => "what it forbids cannot be",
                Claimed::Always { what } if truth(what) == Some(true) => "it cannot be otherwise",
                Claimed::Leads { to, .. } if truth(to) == Some(true) => "what it leads to always is",
                Claimed::Leads { given: Some(given), .. } if truth(given) == Some(false) => {
                    "what it begins with cannot be"
                }
                _ => continue,
            };
            let tree = self.world.claims.iter().find(|tree| tree.name.text == claim.name);
            let message = format!("claim `{}` holds whatever the rules do: {why}", claim.name);
            let expected = "expected something that a mistake could break";
            self.say(codes::CLAIM_SETTLED, tree.map(|tree| tree.name.span), message, expected);
        }
    }

    /// Whether an expression is true, or false, by ranges and reachable states alone.
    pub(super) fn truth(&self, expr: &Expr, reached: &[BTreeSet<usize>]) -> Option<bool> {
        match &expr.node {
            Node::Const { v } => Some(*v != 0),
            Node::In { m, s } => {
                let states = reached.get(*m)?;
                match (states.contains(s), states.len()) {
                    (false, _) => Some(false),
                    (true, 1) => Some(true),
                    _ => None,
                }
            }
            Node::Not { a } => self.truth(a, reached).map(|a| !a),
            Node::Two { f: Two::And, a, b } => match (self.truth(a, reached), self.truth(b, reached)) {
                (Some(false), _) | (_, Some(false)) => Some(false),
                (Some(true), Some(true)) => Some(true),
                _ if apart(a, b) => Some(false),
                _ => None,
            },
            Node::Two { f: Two::Or, a, b } => match (self.truth(a, reached), self.truth(b, reached)) {
                (Some(true), _) | (_, Some(true)) => Some(true),
                (Some(false), Some(false)) => Some(false),
                _ if opposite(a, b) => Some(true),
                _ => None,
            },
            Node::Two { f, a, b } if a == b => match f {
                Two::Eq | Two::Le | Two::Ge => Some(true),
                Two::Ne | Two::Lt | Two::Gt => Some(false),
                _ => None,
            },
            Node::Two { f, a, b } => decided(f.between(self.bounds(a)?, self.bounds(b)?)),
            _ => None,
        }
    }

    /// Least and greatest value of a constant, a number or a setting.
    fn bounds(&self, expr: &Expr) -> Option<Interval> {
        match &expr.node {
            Node::Const { v } => Some((i64::from(*v), i64::from(*v))),
            Node::Number { m, i } => self
                .form
                .machines
                .get(*m)?
                .numbers
                .get(*i)
                .map(|number| (number.min.into(), number.max.into())),
            Node::Setting { i } => {
                self.form.settings.get(*i).map(|setting| (setting.min.into(), setting.max.into()))
            }
            _ => None,
        }
    }
}

/// Something and its opposite.
fn opposite(a: &Expr, b: &Expr) -> bool {
    matches!(&a.node, Node::Not { a } if a.node == b.node)
        || matches!(&b.node, Node::Not { a: inner } if inner.node == a.node)
}

/// Two states of one machine, or something and its opposite.
fn apart(a: &Expr, b: &Expr) -> bool {
    let states = match (&a.node, &b.node) {
        (Node::In { m, s }, Node::In { m: n, s: t }) => m == n && s != t,
        _ => false,
    };
    states || opposite(a, b)
}
