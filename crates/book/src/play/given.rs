//! What follows from what: whether conditions that hold together make sure of another one. What is found is so; not everything
//! that is so is found, and nothing is looked for long.

use super::tell::{one_of, parts};
use rules::form::{Expr, Node, Two};

/// So many alternatives are taken apart within each other.
const DEEP: u32 = 3;
/// So many conditions side by side are looked at, and so many ways of one.
const MANY: usize = 32;
/// So many cases in all.
const CASES: u32 = 2000;

/// Whether `wanted` holds whenever all of `given` do.
pub(super) fn follows(given: &[&Expr], wanted: &Expr) -> bool {
    case(given, wanted, DEEP, &mut { CASES })
}

fn case(given: &[&Expr], wanted: &Expr, deep: u32, cases: &mut u32) -> bool {
    let given: Vec<&Expr> = given.iter().flat_map(|one| parts(one, Two::And)).collect();
    *cases = cases.saturating_sub(1);
    if *cases == 0 || given.len() > MANY {
        return false;
    }
    if impossible(&given) || sure(&given, wanted) {
        return true;
    }
    deep > 0
        && (0..given.len()).any(|at| {
            let ways = parts(given[at], Two::Or);
            let mut with = given.clone();
            (2..=MANY).contains(&ways.len())
                && ways.into_iter().all(|way| {
                    with[at] = way;
                    case(&with, wanted, deep - 1, cases)
                })
        })
}

/// Whether two of these cannot both hold.
fn impossible(given: &[&Expr]) -> bool {
    given.iter().enumerate().any(|(at, one)| given[at + 1..].iter().any(|other| excludes(one, other)))
}

/// One machine in other states, one value equal to two numbers, or a condition and what it must not be.
fn excludes(one: &Expr, other: &Expr) -> bool {
    if let Node::Not { a } = &one.node {
        return sure(&[other], a);
    }
    if let Node::Not { a } = &other.node {
        return sure(&[one], a);
    }
    if let (Some((m, states)), Some((of, others))) = (one_of(one), one_of(other)) {
        return m == of && !states.iter().any(|state| others.contains(state));
    }
    let equal = |expr: &'_ Expr| match &expr.node {
        Node::Two { f: Two::Eq, a, b } => match b.node {
            Node::Const { v } => Some((a.as_ref().clone(), v)),
            _ => None,
        },
        _ => None,
    };
    matches!((equal(one), equal(other)), (Some((a, v)), Some((b, w))) if a == b && v != w)
}

/// Whether what is given, taken as it stands, makes sure of a condition.
fn sure(given: &[&Expr], wanted: &Expr) -> bool {
    let all = parts(wanted, Two::And);
    if all.len() > 1 {
        return all.into_iter().all(|part| sure(given, part));
    }
    if given.contains(&wanted) {
        return true;
    }
    if let Node::Not { a } = &wanted.node {
        return given.iter().any(|one| excludes(one, a));
    }
    if let Some((m, states)) = one_of(wanted) {
        let narrower = |one: &&Expr| {
            one_of(one).is_some_and(|(of, some)| of == m && some.iter().all(|state| states.contains(state)))
        };
        return given.iter().any(narrower);
    }
    let ways = parts(wanted, Two::Or);
    ways.len() > 1 && ways.into_iter().any(|way| sure(given, way))
}

#[cfg(test)]
mod tests {
    use super::*;
    use rules::form::each_node;

    fn at(s: usize) -> Expr {
        Expr { w: 8, node: Node::In { m: 0, s } }
    }

    fn two(f: Two, a: Expr, b: Expr) -> Expr {
        Expr { w: 8, node: Node::Two { f, a: Box::new(a), b: Box::new(b) } }
    }

    fn turn(v: i32) -> Expr {
        let number = Expr { w: 8, node: Node::Number { m: 1, i: 0 } };
        two(Two::Eq, number, Expr { w: 8, node: Node::Const { v } })
    }

    /// Every answer against all situations of a machine with three states and a number from 1 to 3: what is said to follow
    /// does; and what is needed for a lamp that two sides share is found.
    #[test]
    fn what_follows_follows_in_every_situation() {
        fn holds(expr: &Expr, (state, number): (usize, i32)) -> bool {
            match &expr.node {
                Node::In { s, .. } => *s == state,
                Node::Two { f: Two::And, a, b } => holds(a, (state, number)) && holds(b, (state, number)),
                Node::Two { f: Two::Or, a, b } => holds(a, (state, number)) || holds(b, (state, number)),
                Node::Not { a } => !holds(a, (state, number)),
                Node::Two { f: Two::Eq, b, .. } => matches!(b.node, Node::Const { v } if v == number),
                _ => unreachable!("no test has others"),
            }
        }
        let denies = |expr: &Expr| {
            let mut denies = false;
            each_node(expr, &mut |node| denies |= matches!(node, Node::Not { .. }));
            denies
        };
        let simple: Vec<Expr> = (0..3).map(at).chain((1..=3).map(turn)).collect();
        let mut all = simple.clone();
        let not = |a: &Expr| Expr { w: 8, node: Node::Not { a: Box::new(a.clone()) } };
        let simple: Vec<Expr> = simple.iter().cloned().chain(simple.iter().map(not)).collect();
        all.extend(simple[6..].iter().cloned());
        for f in [Two::And, Two::Or] {
            let pairs = simple.iter().flat_map(|a| simple.iter().map(move |b| (a, b)));
            all.extend(pairs.map(|(a, b)| two(f, a.clone(), b.clone())));
        }
        let situations: Vec<(usize, i32)> = (0..3).flat_map(|s| (1..=3).map(move |v| (s, v))).collect();
        let (mut found, mut missed) = (0, 0);
        for a in &all {
            for wanted in &all {
                let so = situations.iter().all(|now| !holds(a, *now) || holds(wanted, *now));
                let said = follows(&[a], wanted);
                assert!(so || !said, "{a:?} does not make sure of {wanted:?}");
                // Of what is not so, only that nothing wrong is said of it.
                if denies(a) || denies(wanted) {
                    continue;
                }
                if so && said {
                    found += 1;
                } else if so {
                    missed += 1;
                }
            }
        }
        // What is missed are truths about all situations, such as that one of all states it is in.
        assert!(found > 1000 && missed * 20 < found, "{found} found, {missed} missed");
        let lamp = two(Two::Or, two(Two::And, turn(1), at(0)), two(Two::And, turn(2), at(1)));
        assert!(follows(&[&lamp, &at(0)], &turn(1)) && !follows(&[&lamp], &turn(1)));
        assert!(
            follows(&[&at(0)], &not(&at(1)))
                && follows(&[&two(Two::Or, at(1), turn(1)), &not(&at(1))], &turn(1))
        );
    }
}
