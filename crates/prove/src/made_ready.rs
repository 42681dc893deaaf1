//! What a form is given before it is searched: a number in each machine that says when a store does not fit, and a picture that
//! does not change by time alone.

use crate::model::action_lists;
use crate::value::change_nodes;
use rules::form::{Action, Expr, Form, Machine, Node, Number, Two};

/// Gives a machine a number that becomes 1 when a store does not fit, and says which number that is.
pub(crate) fn flag(m: usize, machine: &mut Machine) -> usize {
    let at = machine.numbers.len();
    let ranges: Vec<(i32, i32)> = machine.numbers.iter().map(|number| (number.min, number.max)).collect();
    for list in machine.states.iter_mut().flat_map(action_lists) {
        let old = std::mem::take(list);
        for action in old {
            let (expr, least, most) = match &action {
                Action::Set { number, to } => (Some(to), ranges[*number].0, ranges[*number].1),
                Action::Start { ticks, .. } => (Some(ticks), 1, i32::MAX),
                _ => (None, 0, 0),
            };
            if let Some(expr) =
                expr.filter(|expr| !matches!(expr.node, Node::Pick { .. } | Node::Draw { .. }))
            {
                list.push(Action::Set { number: at, to: does_not_fit(m, at, expr, (least, most)) });
            }
            list.push(action);
        }
    }
    machine.numbers.push(Number {
        name: "does not fit".into(),
        min: 0,
        max: 1,
        start: 0,
        shown_on: None,
        kept: false,
    });
    at
}

fn does_not_fit(m: usize, flag: usize, expr: &Expr, (least, most): (i32, i32)) -> Expr {
    let node = |node| Expr { w: 32, node };
    let two = |f, a: Expr, b: Expr| node(Node::Two { f, a: Box::new(a), b: Box::new(b) });
    let below = two(Two::Lt, expr.clone(), node(Node::Const { v: least }));
    let above = two(Two::Gt, expr.clone(), node(Node::Const { v: most }));
    two(Two::Max, node(Node::Number { m, i: flag }), two(Two::Or, below, above))
}

/// Time left reads as 1, and flashing digits are shown.
pub(crate) fn still(form: &Form) -> Form {
    let mut still = form.clone();
    let fix = |expr: &mut Expr| {
        change_nodes(expr, &|node| {
            if matches!(node, Node::Left { .. }) {
                *node = Node::Const { v: 1 };
            }
        });
    };
    for state in still.machines.iter_mut().flat_map(|machine| &mut machine.states) {
        for light in &mut state.lights {
            light.index.iter_mut().chain(&mut light.when).for_each(fix);
            fix(&mut light.level);
        }
        for writes in &mut state.writes {
            fix(&mut writes.value);
            writes.flash = None;
        }
    }
    still
}
