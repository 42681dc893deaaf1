//! What nothing reads before it is set anew is put back: a number to its start, a timer to off. Situations that differ in such
//! things alone are then one.

use crate::far::each_read;
use crate::watch::Watch;
use rules::form::{Action, Expr, Form, Machine, Node, State, Ties, Trigger, each_node};
use std::collections::BTreeSet;

/// A number (false) or a timer (true) of one machine, by position.
type Own = (bool, usize);

/// Adds to each way into a state that it puts back what is dead there.
pub(crate) fn rest(form: &mut Form, watch: &Watch) {
    let whole = form.clone();
    for (m, machine) in form.machines.iter_mut().enumerate() {
        let always = read_elsewhere(&whole, m, watch);
        let of = &whole.machines[m];
        let live = live(of, m, &always);
        for s in 0..machine.states.len() {
            for way in &mut machine.states[s].transitions {
                let Some(to) = way.go else { continue };
                for own in changed_somewhere(of) {
                    if live[to].contains(&own) || always.contains(&own) {
                        continue;
                    }
                    way.actions.push(match own {
                        (true, timer) => Action::Stop { timer },
                        (false, number) => {
                            let v = of.numbers[number].start;
                            Action::Set { number, to: Expr { w: 32, node: Node::Const { v } } }
                        }
                    });
                }
            }
        }
    }
}

/// Own numbers and timers that other machines, lights, the claim, digits, ties or bags read: these are never dead.
fn read_elsewhere(form: &Form, m: usize, watch: &Watch) -> BTreeSet<Own> {
    let mut all = BTreeSet::new();
    let mut look = |node: &Node| {
        all.extend(own(node, m));
    };
    for (of, machine) in form.machines.iter().enumerate() {
        for state in &machine.states {
            if of == m {
                let lights = state.lights.iter();
                let lights =
                    lights.flat_map(|light| light.index.iter().chain(&light.when).chain([&light.level]));
                let writes = state.writes.iter().map(|writes| &writes.value);
                lights.chain(writes).for_each(|expr| each_node(expr, &mut look));
            } else {
                each_read(state, &mut look);
            }
        }
    }
    watch.exprs().into_iter().for_each(|expr| each_node(expr, &mut look));
    let machine = &form.machines[m];
    all.extend(machine.remembers.iter().map(|one| (true, one.timer)));
    if let Some(Ties::Alternately { turn }) = machine.ties {
        all.insert((false, turn));
    }
    for (i, number) in machine.numbers.iter().enumerate() {
        if number.shown_on.is_some() || matches!(watch, Watch::Answered { .. }) {
            all.insert((false, i));
        }
    }
    for state in &machine.states {
        all.extend(
            state.writes.iter().filter_map(|writes| writes.flash.as_ref()).map(|flash| (true, flash.timer)),
        );
        for action in crate::model::actions(state) {
            if let Action::Set { to: Expr { node: Node::Draw { bag, .. }, .. }, .. }
            | Action::Start { ticks: Expr { node: Node::Draw { bag, .. }, .. }, .. } = action
            {
                all.insert((false, *bag));
            }
        }
    }
    all
}

fn own(node: &Node, m: usize) -> Option<Own> {
    match node {
        Node::Number { m: of, i } if *of == m => Some((false, *i)),
        Node::Running { m: of, i } | Node::Due { m: of, i } | Node::Left { m: of, i } if *of == m => {
            Some((true, *i))
        }
        _ => None,
    }
}

fn changed_somewhere(machine: &Machine) -> BTreeSet<Own> {
    let mut all = BTreeSet::new();
    for state in &machine.states {
        crate::model::actions(state).for_each(|action| all.extend(sets(action)));
    }
    all
}

fn sets(action: &Action) -> Option<Own> {
    match action {
        Action::Set { number, .. } => Some((false, *number)),
        Action::Start { timer, .. } | Action::Stop { timer } => Some((true, *timer)),
        _ => None,
    }
}

/// For each state what may be read there or later before it is set: the least solution of the usual equations (live
/// variables: A. Aho, R. Sethi, J. Ullman, "Compilers", 1986, section 10.6; from memory).
fn live(machine: &Machine, m: usize, always: &BTreeSet<Own>) -> Vec<BTreeSet<Own>> {
    let uses: Vec<BTreeSet<Own>> = machine.states.iter().map(|state| uses(state, m, machine)).collect();
    let mut live = uses.clone();
    loop {
        let mut grown = false;
        for (s, state) in machine.states.iter().enumerate() {
            let mut now = live[s].clone();
            for way in &state.transitions {
                let Some(to) = way.go else { continue };
                let mut set: BTreeSet<Own> = way.actions.iter().chain(&state.exit).filter_map(sets).collect();
                set.extend(machine.states[to].entry.iter().filter_map(sets));
                now.extend(live[to].difference(&set).copied());
            }
            if now != live[s] {
                live[s] = now;
                grown = true;
            }
        }
        if !grown {
            break;
        }
    }
    live.iter_mut().for_each(|all| all.extend(always));
    live
}

/// What is read in a state: by its ways out, and by the entry of the states they go to.
fn uses(state: &State, m: usize, machine: &Machine) -> BTreeSet<Own> {
    let mut all = BTreeSet::new();
    let mut look = |node: &Node| {
        all.extend(own(node, m));
    };
    each_read(state, &mut look);
    for way in &state.transitions {
        if let Some(to) = way.go {
            let entry = machine.states[to].entry.iter().filter_map(crate::model::worked_out);
            entry.for_each(|expr| each_node(expr, &mut look));
        }
    }
    for way in &state.transitions {
        if let Trigger::Timer { timer } = way.trigger {
            all.insert((true, timer));
        }
    }
    all
}
