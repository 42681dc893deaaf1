//! Spots that two machines light at once: the brighter one is seen, and the other one's light says nothing.

use super::{Checks, owner, reached, some_node};
use crate::codes;
use crate::form::{Expr, Lights, Node};
use std::collections::BTreeMap;

/// A light, the machine and state that light it, and where it is written.
struct Lit<'a> {
    m: usize,
    s: usize,
    light: &'a Lights,
    clause: usize,
}

impl Checks<'_> {
    /// One caution for each pair of machines and name of spots.
    pub(super) fn shared_spots(&mut self) {
        let form = self.form;
        let mut by_first: BTreeMap<usize, Vec<Lit>> = BTreeMap::new();
        for (m, machine) in form.machines.iter().enumerate() {
            let reached = reached(machine);
            for (s, state) in machine.states.iter().enumerate().filter(|(s, _)| reached.contains(s)) {
                for (clause, light) in state.lights.iter().enumerate() {
                    let lit = Lit { m, s, light, clause };
                    by_first.entry(light.first).or_default().push(lit);
                }
            }
        }
        for lights in by_first.values() {
            let mut said = Vec::new();
            for (at, later) in lights.iter().enumerate() {
                let both = |earlier: &&Lit| earlier.m != later.m && together(earlier, later);
                let Some(earlier) = lights[..at].iter().find(both) else { continue };
                if !said.contains(&(earlier.m, later.m)) {
                    said.push((earlier.m, later.m));
                    self.say_shared(earlier, later);
                }
            }
        }
    }

    fn say_shared(&mut self, earlier: &Lit, later: &Lit) {
        let tree = &self.world.trees[self.world.instances[later.m].tree];
        let clause = tree.states.get(later.s).and_then(|state| state.lights.get(later.clause));
        let other = &self.form.machines[earlier.m].name;
        let Some(light) = clause else { return };
        let message = format!("machine `{other}` lights `{}` too", light.spot.text());
        let expected = "expected one machine to light it, or a `when` that asks for the other one's state";
        self.say(codes::SPOT_SHARED, Some(light.spot.span()), message, expected);
    }
}

/// Whether nothing evident keeps two lights of different machines apart.
fn together(a: &Lit, b: &Lit) -> bool {
    let constant = |lit: &Lit| match lit.light.index.as_ref().map(|index| &index.node) {
        Some(Node::Const { v }) => Some(*v),
        _ => None,
    };
    // A row with a moving light in it is shared on purpose.
    let moving = |lit: &Lit| lit.light.each || (lit.light.index.is_some() && constant(lit).is_none());
    let dark = |lit: &Lit| matches!(lit.light.level.node, Node::Const { v: 0 });
    if moving(a) || moving(b) || dark(a) || dark(b) || constant(a) != constant(b) {
        return false;
    }
    let asks = |of: &Lit, about: &Lit| of.light.when.as_ref().is_some_and(|when| asks_about(when, about.m));
    !asks(a, b) && !asks(b, a) && !opposed(a, b)
}

/// Whether a condition asks for a state, number or timer of a machine: then the builder has thought of it.
fn asks_about(expr: &Expr, machine: usize) -> bool {
    some_node(expr, &|node| owner(node) == Some(machine))
}

/// Whether their conditions want two states of one machine, or something and its opposite.
fn opposed(a: &Lit, b: &Lit) -> bool {
    let (Some(a), Some(b)) = (&a.light.when, &b.light.when) else { return false };
    crate::ties::exclusive(Some(a), Some(b))
}
