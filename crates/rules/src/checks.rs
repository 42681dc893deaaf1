//! Cautions about the whole: what cannot be reached, left, fired, seen or heard.

mod busy;
mod settled;
mod spots;

use crate::codes::{self, Code};
use crate::declare;
use crate::expand::Written;
use crate::form::{Action, Expr, Form, Machine, Node, Transition, Trigger, each_node};
use crate::names::World;
use crate::syntax::Span;
use finding::Fault;
use source::Place;
use std::collections::{BTreeMap, BTreeSet};

/// Everything that plays, but may disappoint. Meant for rules without faults: a dropped statement would be blamed twice.
pub(crate) fn cautions(world: &World, form: &Form, written: &Written) -> Vec<Fault> {
    let mut checks = Checks { world, form, cautions: Vec::new() };
    checks.states();
    checks.dead(written);
    checks.poses();
    checks.messages();
    checks.timers();
    checks.digits();
    checks.settled_claims();
    checks.shared_spots();
    checks.lost_presses();
    checks.cautions
}

struct Checks<'a> {
    world: &'a World<'a>,
    form: &'a Form,
    cautions: Vec<Fault>,
}

impl Checks<'_> {
    fn say(&mut self, code: Code, span: Option<Span>, message: String, expected: &str) {
        let place = span.map(|span| Place::new(self.world.file, span.start, span.end));
        self.cautions.push(code.fault(place, message).expected(expected).caution());
    }

    fn states(&mut self) {
        for (m, machine) in self.form.machines.iter().enumerate() {
            let tree = &self.world.trees[self.world.instances[m].tree];
            let reached = reached(machine);
            for (at, state) in machine.states.iter().enumerate() {
                let span = Some(tree.states[at].name.span);
                if !reached.contains(&at) {
                    let message = format!("no way leads to state `{}`", state.name);
                    self.say(codes::UNREACHABLE, span, message, "expected a `go` to it");
                }
                let leaves = |way: &Transition| way.go.is_some_and(|go| go != at);
                if machine.states.len() > 1 && !state.transitions.iter().any(leaves) {
                    let message = format!("no way leads out of state `{}`", state.name);
                    self.say(codes::NO_WAY_OUT, span, message, "expected a `go` from it");
                }
            }
        }
    }

    /// Statements that never act, in any state and on any side, because an earlier one always wins.
    fn dead(&mut self, written: &Written) {
        let (mut dead, mut alive) = (BTreeSet::new(), BTreeSet::new());
        for (machine, written) in self.form.machines.iter().zip(written) {
            for (state, written) in machine.states.iter().zip(written) {
                let mut winners: Vec<&Transition> = Vec::new();
                for (way, span) in state.transitions.iter().zip(written) {
                    if winners.iter().any(|earlier| beats(earlier, way)) {
                        dead.insert(*span);
                        continue;
                    }
                    alive.insert(*span);
                    if way.condition.is_none() {
                        winners.push(way);
                    }
                }
            }
        }
        for span in dead.difference(&alive) {
            let message =
                "this can never happen: an earlier line with the same cause and no condition always wins";
            self.say(codes::NEVER_FIRES, Some(*span), message.to_owned(), "expected it above that line");
        }
    }

    fn poses(&mut self) {
        let shows = |machine: &Machine| {
            machine.states.iter().filter_map(|state| state.pose.clone()).collect::<Vec<_>>()
        };
        let shown: BTreeSet<(usize, usize)> =
            self.form.machines.iter().flat_map(shows).map(|shows| (shows.figure, shows.pose)).collect();
        for (f, figure) in self.form.figures.iter().enumerate() {
            for (p, pose) in figure.poses.iter().enumerate() {
                if !shown.contains(&(f, p)) {
                    let message = format!("no state shows pose `{pose}` of `{}`", figure.name);
                    self.say(codes::POSE_UNSHOWN, None, message, "expected a state that shows it");
                }
            }
        }
    }

    fn messages(&mut self) {
        let mut heard = BTreeSet::new();
        for way in
            self.form.machines.iter().flat_map(|machine| &machine.states).flat_map(|state| &state.transitions)
        {
            if let Trigger::Message { any } = &way.trigger {
                heard.extend(any.iter().copied());
            }
        }
        let sent = declare::messages(self.world);
        for (at, ((name, _), span)) in sent.into_iter().enumerate() {
            if !heard.contains(&at) {
                self.say(
                    codes::MESSAGE_UNHEARD,
                    Some(span),
                    format!("nobody hears `{name}`"),
                    "expected a line `on message` for it",
                );
            }
        }
    }

    fn timers(&mut self) {
        let asked = asked(self.form);
        for (m, machine) in self.form.machines.iter().enumerate() {
            let tree = &self.world.trees[self.world.instances[m].tree];
            let started = started(machine);
            for (i, name) in tree.timers.iter().enumerate() {
                if !started.contains(&i) {
                    let message = format!("timer `{}` is never started", name.text);
                    self.say(codes::TIMER_UNUSED, Some(name.span), message, "expected a `start` of it");
                } else if !asked.contains(&(m, i)) {
                    let message = format!("nothing happens when timer `{}` is due", name.text);
                    self.say(
                        codes::TIMER_UNUSED,
                        Some(name.span),
                        message,
                        "expected `on timer` or `is due` for it",
                    );
                }
            }
        }
    }
}

impl Checks<'_> {
    /// Digits on which states of several machines write: only the first machine is seen.
    fn digits(&mut self) {
        let mut first = BTreeMap::new();
        for (m, machine) in self.form.machines.iter().enumerate() {
            let tree = &self.world.trees[self.world.instances[m].tree];
            for (state, written) in machine.states.iter().zip(&tree.states) {
                for (writes, clause) in state.writes.iter().zip(&written.writes) {
                    let owner = *first.entry(writes.digits).or_insert(m);
                    if owner != m {
                        let digits = &self.form.digits[writes.digits].name;
                        let owner = &self.form.machines[owner].name;
                        let message =
                            format!("machine `{owner}` writes on `{digits}` too, and is seen where both do");
                        let span = Some(clause.digits.span());
                        self.say(
                            codes::DIGITS_SHARED,
                            span,
                            message,
                            "expected one machine to write on them",
                        );
                    }
                }
            }
        }
    }
}

fn reached(machine: &Machine) -> BTreeSet<usize> {
    let mut reached = BTreeSet::from([0]);
    let mut open = vec![0];
    while let Some(at) = open.pop() {
        let ways = machine.states.get(at).map(|state| state.transitions.as_slice()).unwrap_or_default();
        open.extend(ways.iter().filter_map(|way| way.go).filter(|go| reached.insert(*go)));
    }
    reached
}

/// Whether an earlier way without a condition always wins when the later one could go.
fn beats(earlier: &Transition, later: &Transition) -> bool {
    match (&earlier.trigger, &later.trigger) {
        (Trigger::Message { any: more }, Trigger::Message { any: fewer }) => {
            fewer.iter().all(|one| more.contains(one))
        }
        (earlier, later) => earlier == later,
    }
}

fn every_action(machine: &Machine) -> impl Iterator<Item = &Action> {
    machine.states.iter().flat_map(|state| {
        let on_the_way = state.transitions.iter().flat_map(|way| &way.actions);
        state.entry.iter().chain(&state.exit).chain(on_the_way)
    })
}

fn started(machine: &Machine) -> BTreeSet<usize> {
    every_action(machine)
        .filter_map(|action| match action {
            Action::Start { timer, .. } => Some(*timer),
            _ => None,
        })
        .collect()
}

/// Every timer that a way waits for or an expression asks about.
fn asked(form: &Form) -> BTreeSet<(usize, usize)> {
    let mut asked = BTreeSet::new();
    for (m, machine) in form.machines.iter().enumerate() {
        for action in every_action(machine) {
            if let Action::Set { to: expr, .. } | Action::Start { ticks: expr, .. } = action {
                ask(expr, &mut asked);
            }
        }
        for state in &machine.states {
            for writes in &state.writes {
                ask(&writes.value, &mut asked);
            }
            for light in &state.lights {
                for expr in light.index.iter().chain([&light.level]).chain(&light.when) {
                    ask(expr, &mut asked);
                }
            }
            for way in &state.transitions {
                if let Trigger::Timer { timer } = way.trigger {
                    asked.insert((m, timer));
                }
                if let Some(condition) = &way.condition {
                    ask(condition, &mut asked);
                }
            }
        }
    }
    asked
}

fn ask(expr: &Expr, asked: &mut BTreeSet<(usize, usize)>) {
    each_node(expr, &mut |node| {
        if let Node::Running { m, i } | Node::Due { m, i } | Node::Left { m, i } = node {
            asked.insert((*m, *i));
        }
    });
}

/// Whether some part of an expression passes a test.
fn some_node(expr: &Expr, test: &impl Fn(&Node) -> bool) -> bool {
    let mut some = false;
    each_node(expr, &mut |node| some |= test(node));
    some
}

/// The machine whose state, number or timer a part of an expression asks for.
fn owner(node: &Node) -> Option<usize> {
    match node {
        Node::In { m, .. }
        | Node::Number { m, .. }
        | Node::Running { m, .. }
        | Node::Due { m, .. }
        | Node::Left { m, .. } => Some(*m),
        _ => None,
    }
}
