//! The walk over expressions.

use super::Construct;
use super::walk::Walk;
use rules::form::{Expr, Node, Two};

impl Walk {
    pub(super) fn expr(&mut self, expr: &mut Expr) {
        self.at(match expr.w {
            8 => Construct::Width8,
            16 => Construct::Width16,
            _ => Construct::Width32,
        });
        let (kind, is_truth) = kind(&expr.node);
        match &mut expr.node {
            Node::Not { a } | Node::Neg { a } => self.expr(a),
            Node::Two { f: _, a, b } => {
                self.expr(a);
                self.expr(b);
            }
            Node::Pick { site: _, lo, hi } | Node::Draw { site: _, bag: _, lo, hi } => {
                // It has to stay the whole of what is stored.
                if self.at(kind) {
                    *hi = *lo;
                }
                return;
            }
            _ => {}
        }
        if self.at(kind) {
            let a = Box::new(expr.clone());
            let one = Box::new(Expr { w: 8, node: Node::Const { v: 1 } });
            expr.node = if is_truth { Node::Not { a } } else { Node::Two { f: Two::Add, a, b: one } };
        }
    }
}

/// The name of a node, and whether it is true or false.
fn kind(node: &Node) -> (Construct, bool) {
    match node {
        Node::Const { v: _ } => (Construct::Const, false),
        Node::Number { m: _, i: _ } => (Construct::Number, false),
        Node::In { m: _, s: _ } => (Construct::In, true),
        Node::Running { m: _, i: _ } => (Construct::Running, true),
        Node::Due { m: _, i: _ } => (Construct::Due, true),
        Node::Held { b: _ } => (Construct::Held, true),
        Node::Pressed { b: _ } => (Construct::Pressed, true),
        Node::Setting { i: _ } => (Construct::NodeSetting, false),
        Node::Left { m: _, i: _ } => (Construct::Left, false),
        Node::Spot => (Construct::Spot, false),
        Node::Draw { site: _, bag: _, lo: _, hi: _ } => (Construct::Draw, false),
        Node::Pick { site: _, lo: _, hi: _ } => (Construct::Pick, false),
        Node::Not { a: _ } => (Construct::Not, true),
        Node::Neg { a: _ } => (Construct::Neg, false),
        Node::Two { f, a: _, b: _ } => joined(*f),
    }
}

fn joined(f: Two) -> (Construct, bool) {
    match f {
        Two::Add => (Construct::Add, false),
        Two::Sub => (Construct::Sub, false),
        Two::Mul => (Construct::Mul, false),
        Two::Div => (Construct::Div, false),
        Two::Rem => (Construct::Rem, false),
        Two::Min => (Construct::Min, false),
        Two::Max => (Construct::Max, false),
        Two::Eq => (Construct::Eq, true),
        Two::Ne => (Construct::Ne, true),
        Two::Lt => (Construct::Lt, true),
        Two::Le => (Construct::Le, true),
        Two::Gt => (Construct::Gt, true),
        Two::Ge => (Construct::Ge, true),
        Two::And => (Construct::And, true),
        Two::Or => (Construct::Or, true),
    }
}
