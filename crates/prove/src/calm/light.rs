//! Light that is known of a few machines alone.

use crate::far;
use crate::watch::Watch;
use rules::form::{Expr, Form, Lights, Node, each_node};
use std::collections::{BTreeMap, BTreeSet};

/// Takes out all light but that of spots which one machine alone lights, by its state and by numbers of its own that are told
/// apart. A change of these spots is a change of the picture, whatever others do.
pub(super) fn keep_own(form: &mut Form, watch: &Watch) {
    let told = watch.exprs();
    let told = |node: &Node| told.iter().any(|expr| expr.node == *node);
    loop {
        let (lit, dark) = spots(form, &told);
        let mut gone = false;
        for (m, machine) in form.machines.iter_mut().enumerate() {
            for state in &mut machine.states {
                let before = state.lights.len();
                state
                    .lights
                    .retain(|light| row(light).all(|spot| lit[&spot] == [m].into() && !dark.contains(&spot)));
                gone |= state.lights.len() < before;
            }
        }
        if !gone {
            return;
        }
    }
}

/// The numbers that have to be told apart for all such light.
pub(super) fn sees(form: &Form) -> Vec<Expr> {
    let mut all: Vec<Expr> = Vec::new();
    for state in form.machines.iter().flat_map(|machine| &machine.states) {
        for expr in far::light_exprs(state) {
            each_node(expr, &mut |node| {
                if matches!(node, Node::Number { .. }) && all.iter().all(|known| known.node != *node) {
                    all.push(Expr { w: 32, node: node.clone() });
                }
            });
        }
    }
    let mut small = form.clone();
    small.machines.iter_mut().flat_map(|machine| &mut machine.states).for_each(|state| state.writes.clear());
    keep_own(&mut small, &Watch::Sees(all.clone()));
    all.retain(|expr| {
        let mut read = false;
        for state in small.machines.iter().flat_map(|machine| &machine.states) {
            far::light_exprs(state).for_each(|of| each_node(of, &mut |node| read |= *node == expr.node));
        }
        read
    });
    all
}

/// For each spot the machines that light it; and the spots of which it is not known how bright they are.
fn spots(form: &Form, told: &dyn Fn(&Node) -> bool) -> (BTreeMap<usize, BTreeSet<usize>>, BTreeSet<usize>) {
    let mut by: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
    let mut dark = BTreeSet::new();
    for (m, machine) in form.machines.iter().enumerate() {
        for light in machine.states.iter().flat_map(|state| &state.lights) {
            let mut own = !light.each;
            for expr in light.index.iter().chain(&light.when).chain([&light.level]) {
                each_node(expr, &mut |node| {
                    own &= match node {
                        Node::Const { .. } | Node::Not { .. } | Node::Neg { .. } | Node::Two { .. } => true,
                        Node::In { m: of, .. } => *of == m,
                        Node::Number { m: of, .. } => *of == m && told(node),
                        _ => false,
                    };
                });
            }
            for spot in row(light) {
                by.entry(spot).or_default().insert(m);
                if !own {
                    dark.insert(spot);
                }
            }
        }
    }
    (by, dark)
}

fn row(light: &Lights) -> std::ops::Range<usize> {
    light.first..light.first.saturating_add(light.count as usize)
}
