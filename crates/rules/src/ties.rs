//! Ties: ways out of one state that answer different sides, where nothing but the order of lines would decide.

use crate::codes;
use crate::expand::Expansion;
use crate::form::{Expr, Machine, Node, Number, Ties, Transition, Trigger, Two, each_node};
use crate::names::World;
use crate::syntax::{MachineTree, TiesTree};
use finding::suggestion;
use std::collections::{BTreeMap, BTreeSet};

impl Expansion<'_> {
    /// How a machine settles ties; alternating needs a hidden number.
    pub(crate) fn ties(&mut self, tree: &MachineTree, numbers: &mut Vec<Number>) -> Option<Ties> {
        let (how, span) = tree.ties.as_ref()?;
        let sides = &self.lookup.world.sides;
        if tree.per_side.is_some() || sides.len() < 2 {
            let message = "there is nothing to tie here";
            let fault = self.lookup.fault(codes::TIES_ALONE, *span, message);
            return self
                .lookup
                .refuse(fault.expected("expected it in one machine that answers several sides"));
        }
        match how {
            TiesTree::Side(name) => {
                let Some(side) = sides.iter().position(|side| *side == name.text) else {
                    let message = format!("there is no side `{}`", name.text);
                    let fault = self.lookup.fault(codes::UNKNOWN_SIDE, name.span, message);
                    let near = suggestion(&name.text, sides.iter().map(String::as_str));
                    let expected = "expected a side, `alternately` or `at random`";
                    return self.lookup.refuse(fault.expected(expected).maybe_hint(near));
                };
                Some(Ties::First { side })
            }
            TiesTree::Alternately => {
                let last = i32::try_from(sides.len() - 1).unwrap_or(1);
                let name = "ties+turn".to_owned();
                numbers.push(Number { name, min: 0, max: last, start: 0, shown_on: None, kept: false });
                Some(Ties::Alternately { turn: numbers.len() - 1 })
            }
            TiesTree::Random => {
                let site = self.lookup.site;
                self.lookup.site += 1;
                Some(Ties::Random { site })
            }
        }
    }

    /// Marks the ways of a machine that settles ties with their sides; of another one, refuses the first tie.
    pub(crate) fn settle(&mut self, m: usize, machine: &mut Machine) {
        let world = self.lookup.world;
        if world.instances[m].side.is_some() || world.sides.len() < 2 {
            return;
        }
        let sides = Sides { world };
        let settles = world.trees[world.instances[m].tree].ties.is_some();
        for state in &mut machine.states {
            for way in &mut state.transitions {
                way.side = sides.of(way);
            }
        }
        if settles {
            return;
        }
        let tied = machine
            .states
            .iter()
            .enumerate()
            .find_map(|(s, state)| sides.tied(&state.transitions).map(|at| self.written[m][s][at]));
        for way in machine.states.iter_mut().flat_map(|state| &mut state.transitions) {
            way.side = None;
        }
        if let Some(span) = tied {
            let message = "when both sides act in the same tick, only the order of lines decides here";
            let first = &world.sides[0];
            let expected =
                format!("expected `ties {first}`, `ties alternately` or `ties at random` in this machine");
            let fault = self.lookup.fault(codes::TIE, span, message).expected(expected);
            self.lookup.faults.push(fault);
        }
    }
}

struct Sides<'a> {
    world: &'a World<'a>,
}

impl Sides<'_> {
    fn of_button(&self, button: usize) -> Option<usize> {
        self.world.side_of_button(button)
    }

    fn of_machine(&self, m: usize) -> Option<usize> {
        self.world.instances.get(m)?.side
    }

    /// The side whose doing a way answers: of its button, of its messages' senders, else the only one in its condition.
    fn of(&self, way: &Transition) -> Option<usize> {
        self.of_trigger(&way.trigger).or_else(|| {
            let mut sides = BTreeSet::new();
            if let Some(condition) = &way.condition {
                self.asked(condition, &mut sides);
            }
            if sides.len() == 1 { sides.first().copied() } else { None }
        })
    }

    fn of_trigger(&self, trigger: &Trigger) -> Option<usize> {
        match trigger {
            Trigger::Press { button } => self.of_button(*button),
            Trigger::Message { any } => {
                let senders = any.iter().map(|message| self.of_machine(self.world.messages.get(*message)?.1));
                let sides: BTreeSet<Option<usize>> = senders.collect();
                if sides.len() == 1 { sides.first().copied().flatten() } else { None }
            }
            Trigger::Always | Trigger::Timer { .. } => None,
        }
    }

    /// The sides that an expression asks about.
    fn asked(&self, expr: &Expr, sides: &mut BTreeSet<usize>) {
        each_node(expr, &mut |node| match node {
            Node::Number { m, .. } | Node::In { m, .. } | Node::Running { m, .. } | Node::Due { m, .. } => {
                sides.extend(self.of_machine(*m));
            }
            Node::Held { b } | Node::Pressed { b } => sides.extend(self.of_button(*b)),
            _ => {}
        });
    }

    /// The later of the first two ways of a state between which only their order decides.
    fn tied(&self, ways: &[Transition]) -> Option<usize> {
        ways.iter()
            .enumerate()
            .find_map(|(at, later)| ways[..at].iter().any(|earlier| self.tie(earlier, later)).then_some(at))
    }

    fn tie(&self, a: &Transition, b: &Transition) -> bool {
        let (Some(one), Some(two)) = (a.side, b.side) else { return false };
        if one == two || (a.go == b.go && a.actions == b.actions) {
            return false;
        }
        let by_trigger = self.of_trigger(&a.trigger).is_some() && self.of_trigger(&b.trigger).is_some();
        let mirrored = a.trigger == b.trigger
            && match (&a.condition, &b.condition) {
                (Some(a), Some(b)) => self.mirrored(a, b, one, two),
                _ => false,
            };
        (by_trigger || mirrored) && !exclusive(a.condition.as_ref(), b.condition.as_ref())
    }

    /// Whether one expression asks of side `x` what the other asks of side `y`.
    fn mirrored(&self, a: &Expr, b: &Expr, x: usize, y: usize) -> bool {
        let machines = |m: usize, n: usize| {
            let (one, two) = (&self.world.instances[m], &self.world.instances[n]);
            one.tree == two.tree && mirror(one.side, x, y) == two.side
        };
        let buttons = |m: usize, n: usize| mirror(self.of_button(m), x, y) == self.of_button(n);
        match (&a.node, &b.node) {
            (Node::Number { m, i }, Node::Number { m: n, i: j })
            | (Node::Running { m, i }, Node::Running { m: n, i: j })
            | (Node::Due { m, i }, Node::Due { m: n, i: j }) => i == j && machines(*m, *n),
            (Node::In { m, s }, Node::In { m: n, s: t }) => s == t && machines(*m, *n),
            (Node::Held { b: m }, Node::Held { b: n }) | (Node::Pressed { b: m }, Node::Pressed { b: n }) => {
                buttons(*m, *n)
            }
            (Node::Not { a }, Node::Not { a: b }) | (Node::Neg { a }, Node::Neg { a: b }) => {
                self.mirrored(a, b, x, y)
            }
            (Node::Two { f, a, b }, Node::Two { f: g, a: c, b: d }) => {
                f == g && self.mirrored(a, c, x, y) && self.mirrored(b, d, x, y)
            }
            (one, two) => one == two,
        }
    }
}

fn mirror(side: Option<usize>, x: usize, y: usize) -> Option<usize> {
    side.map(|side| {
        if side == x {
            y
        } else if side == y {
            x
        } else {
            side
        }
    })
}

/// Whether two conditions can be seen never to hold together: they want two states of one machine, something and its
/// opposite, or one number in two places.
pub(crate) fn exclusive(a: Option<&Expr>, b: Option<&Expr>) -> bool {
    let mut wanted = Vec::new();
    for condition in a.into_iter().chain(b) {
        conjuncts(condition, &mut wanted);
    }
    let mut states = BTreeMap::new();
    let mut places: BTreeMap<(usize, usize), (i64, i64)> = BTreeMap::new();
    for one in &wanted {
        match &one.node {
            Node::In { m, s } if *states.entry(*m).or_insert(*s) != *s => return true,
            Node::Not { a } if wanted.iter().any(|other| other.node == a.node) => return true,
            _ => {}
        }
        if let Some((number, lo, hi)) = place(one) {
            let at = places.entry(number).or_insert((i64::MIN, i64::MAX));
            *at = (at.0.max(lo), at.1.min(hi));
        }
    }
    places.values().any(|(lo, hi)| lo > hi)
}

/// What must all hold.
fn conjuncts<'a>(expr: &'a Expr, all: &mut Vec<&'a Expr>) {
    match &expr.node {
        Node::Two { f: Two::And, a, b } => {
            conjuncts(a, all);
            conjuncts(b, all);
        }
        _ => all.push(expr),
    }
}

/// Where a comparison with a constant wants a number.
fn place(expr: &Expr) -> Option<((usize, usize), i64, i64)> {
    let Node::Two { f, a, b } = &expr.node else { return None };
    let (m, i, v, f) = match (&a.node, &b.node) {
        (Node::Number { m, i }, Node::Const { v }) => (*m, *i, i64::from(*v), *f),
        (Node::Const { v }, Node::Number { m, i }) => (*m, *i, i64::from(*v), turned(*f)),
        _ => return None,
    };
    let (lo, hi) = match f {
        Two::Eq => (v, v),
        Two::Lt => (i64::MIN, v - 1),
        Two::Le => (i64::MIN, v),
        Two::Gt => (v + 1, i64::MAX),
        Two::Ge => (v, i64::MAX),
        _ => return None,
    };
    Some(((m, i), lo, hi))
}

/// The comparison with its sides exchanged.
fn turned(f: Two) -> Two {
    match f {
        Two::Lt => Two::Gt,
        Two::Le => Two::Ge,
        Two::Gt => Two::Lt,
        Two::Ge => Two::Le,
        same => same,
    }
}
