//! What an expression can come to when some of what it reads is not known: an interval that holds every value.

use rules::form::{Expr, Node, Two};

/// Every value is at least the first and at most the second.
pub(super) type Interval = (i64, i64);

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

fn truth(known: Option<bool>) -> Interval {
    known.map_or(UNKNOWN, |known| (i64::from(known), i64::from(known)))
}

/// Whether an interval is certainly true or certainly false.
pub(super) fn decided(value: Interval) -> Option<bool> {
    match value {
        (0, 0) => Some(false),
        (low, high) if low > 0 || high < 0 => Some(true),
        _ => None,
    }
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
        Node::Two { f, a, b } => two(*f, of(a), of(b)),
    }
}

fn two(f: Two, a: Interval, b: Interval) -> Interval {
    let corners = |of: fn(i64, i64) -> i64| {
        let all = [of(a.0, b.0), of(a.0, b.1), of(a.1, b.0), of(a.1, b.1)];
        (all.into_iter().fold(i64::MAX, i64::min), all.into_iter().fold(i64::MIN, i64::max))
    };
    let less = |sure: bool, never: bool| truth(if sure { Some(true) } else { never.then_some(false) });
    let equal = if a.0 == a.1 && a == b { Some(true) } else { (a.1 < b.0 || b.1 < a.0).then_some(false) };
    match f {
        Two::Add => (a.0.saturating_add(b.0), a.1.saturating_add(b.1)),
        Two::Sub => (a.0.saturating_sub(b.1), a.1.saturating_sub(b.0)),
        Two::Mul => corners(i64::saturating_mul),
        // A divisor's least and greatest value alone do not bound the quotient where they have 1 or -1 between them.
        Two::Div => {
            let most = a.0.abs().max(a.1.abs());
            let exact = corners(|x, y| x.checked_div(y).unwrap_or(0));
            if b.0 > 0 || b.1 < 0 { exact } else { (-most, most) }
        }
        Two::Rem => (0, a.1.min(b.1 - 1).max(0)),
        Two::Min => (a.0.min(b.0), a.1.min(b.1)),
        Two::Max => (a.0.max(b.0), a.1.max(b.1)),
        Two::Eq => truth(equal),
        Two::Ne => truth(equal.map(|known| !known)),
        Two::Lt => less(a.1 < b.0, a.0 >= b.1),
        Two::Le => less(a.1 <= b.0, a.0 > b.1),
        Two::Gt => less(a.0 > b.1, a.1 <= b.0),
        Two::Ge => less(a.0 >= b.1, a.1 < b.0),
        Two::And => match (decided(a), decided(b)) {
            (Some(false), _) | (_, Some(false)) => (0, 0),
            (Some(true), Some(true)) => (1, 1),
            _ => UNKNOWN,
        },
        Two::Or => match (decided(a), decided(b)) {
            (Some(true), _) | (_, Some(true)) => (1, 1),
            (Some(false), Some(false)) => (0, 0),
            _ => UNKNOWN,
        },
    }
}

/// Calls this with every node of an expression.
pub(super) fn each_node<'a>(expr: &'a Expr, call: &mut dyn FnMut(&'a Node)) {
    call(&expr.node);
    match &expr.node {
        Node::Not { a } | Node::Neg { a } => each_node(a, call),
        Node::Two { a, b, .. } => {
            each_node(a, call);
            each_node(b, call);
        }
        _ => {}
    }
}
