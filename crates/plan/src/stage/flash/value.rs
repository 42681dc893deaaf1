//! What an expression can come to when some of what it reads is not known: an interval that holds every value.

use rules::arithmetic::truth;
use rules::form::{Expr, Node};

pub(super) use rules::arithmetic::{Interval, decided};
pub(super) use rules::form::each_node;

/// True, false, or either.
pub(super) const UNKNOWN: Interval = (0, 1);

/// What is known of the moment at which an expression is read.
pub(super) trait Moment {
    /// A number.
    fn number(&self, machine: usize, number: usize) -> Interval;
    /// The state a machine is in; none where it is not known.
    fn state(&self, machine: usize) -> Option<usize>;
    /// Whether a timer is certainly off.
    fn is_off(&self, machine: usize, timer: usize) -> bool;
    /// Whether a button is pressed in this tick; none where it is not known.
    fn pressed(&self, button: usize) -> Option<bool>;
    /// A setting's range.
    fn setting(&self, setting: usize) -> Interval;
    /// The longest a timer can run.
    fn longest(&self, machine: usize, timer: usize) -> i64;
}

/// The interval of an expression, for the spot of a row that is being lit.
pub(super) fn interval(moment: &impl Moment, expr: &Expr, spot: i64) -> Interval {
    let of = |part: &Expr| interval(moment, part, spot);
    match &expr.node {
        Node::Const { v } => (i64::from(*v), i64::from(*v)),
        Node::Number { m, i } => moment.number(*m, *i),
        Node::In { m, s } => truth(moment.state(*m).map(|state| state == *s)),
        Node::Running { m, i } | Node::Due { m, i } if moment.is_off(*m, *i) => (0, 0),
        Node::Running { .. } | Node::Due { .. } | Node::Held { .. } => UNKNOWN,
        Node::Pressed { b } => truth(moment.pressed(*b)),
        Node::Setting { i } => moment.setting(*i),
        Node::Left { m, i } => (0, moment.longest(*m, *i)),
        Node::Spot => (spot, spot),
        Node::Pick { lo, hi, .. } | Node::Draw { lo, hi, .. } => (i64::from(*lo), i64::from(*hi)),
        Node::Not { a } => truth(decided(of(a)).map(|known| !known)),
        Node::Neg { a } => {
            let (low, high) = of(a);
            (-high, -low)
        }
        Node::Two { f, a, b } => f.between(of(a), of(b)),
    }
}
