//! Claims that no play can break and none can fulfil: settled by ranges and reachable states alone.

use super::{Checks, reached};
use crate::arithmetic::{Interval, decided};
use crate::codes;
use crate::form::{Claimed, Expr, Node, Two};
use std::collections::{BTreeMap, BTreeSet};

/// How many parts of one chain are held against the others: more than anybody writes, and few enough for files made to harm.
const PARTS: usize = 64;

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
            Node::Two { f: f @ (Two::And | Two::Or), .. } => {
                // Either of some holds unless all of their opposites do.
                let either = *f == Two::Or;
                let mut parts = Vec::new();
                flatten(expr, either, &mut parts);
                self.all(&parts, reached).map(|all| all != either)
            }
            Node::Two { f, a, b } if a == b => match f {
                Two::Eq | Two::Le | Two::Ge => Some(true),
                Two::Ne | Two::Lt | Two::Gt => Some(false),
                _ => None,
            },
            Node::Two { f, a, b } => decided(f.between(self.bounds(a)?, self.bounds(b)?)),
            _ => None,
        }
    }

    /// Whether all of some parts, or their opposites, hold together.
    fn all(&self, parts: &[(&Expr, bool)], reached: &[BTreeSet<usize>]) -> Option<bool> {
        let mut sure = true;
        // The states that are left to each machine that is asked for one.
        let mut left: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
        for (at, (part, opposite)) in parts.iter().enumerate() {
            match self.truth(part, reached) {
                Some(truth) if truth == *opposite => return Some(false),
                known => sure &= known.is_some(),
            }
            if let Node::In { m, s } = part.node {
                let left = left.entry(m).or_insert_with(|| reached.get(m).cloned().unwrap_or_default());
                left.retain(|state| (*state == s) != *opposite);
                if left.is_empty() {
                    return Some(false);
                }
            }
            let mut earlier = parts.iter().take(at.min(PARTS));
            if earlier.any(|(other, sign)| sign != opposite && other.node == part.node) {
                return Some(false);
            }
        }
        sure.then_some(true)
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

/// What must hold together for an expression, or for its opposite, to hold: each part, and whether its opposite is meant.
fn flatten<'a>(expr: &'a Expr, opposite: bool, parts: &mut Vec<(&'a Expr, bool)>) {
    match &expr.node {
        Node::Not { a } => flatten(a, !opposite, parts),
        Node::Two { f, a, b } if *f == if opposite { Two::Or } else { Two::And } => {
            flatten(a, opposite, parts);
            flatten(b, opposite, parts);
        }
        _ => parts.push((expr, opposite)),
    }
}
