//! More plays than there are, in fewer sets: lengths of timers and numbers that are only compared are loosened.
//!
//! - A timer's length that is worked out becomes any length within what it can come to.
//! - A timer longer than a second may run out at any tick, so that it needs no clock.
//! - A number of which conditions only ask how it compares with constants becomes the stretch it lies in between those
//!   constants; a store puts it into any stretch that the stored value's bounds reach.
//!
//! Every play of the form is a play of the loosened one, with the right picks, so that a claim proved of the loosened form
//! holds. A play found against a claim counts only when the referee plays it; otherwise the form itself is searched.
//! (Over-approximation and spurious counterexamples: E. Clarke, O. Grumberg, S. Jha, Y. Lu, H. Veith,
//! "Counterexample-guided abstraction refinement", 2000; from memory.)

use crate::far::light_exprs;
use crate::model::{action_lists, actions, worked_out};
use crate::reduce::{Place, bounds, may_not_fit};
use crate::watch::Watch;
use rules::form::{Action, Expr, Form, Node, Number, State, Ties, Two, each_node};
use std::collections::{BTreeMap, BTreeSet};

/// Lengths made free; whether any was.
pub(crate) fn lengths(form: &mut Form) -> bool {
    let whole = form.clone();
    let mut site = form.pick_sites;
    for machine in &mut form.machines {
        let longest: Vec<u32> = machine.timers.iter().map(|timer| timer.max).collect();
        for action in machine.states.iter_mut().flat_map(action_lists).flatten() {
            let Action::Start { timer, ticks } = action else { continue };
            if matches!(ticks.node, Node::Const { .. } | Node::Pick { .. } | Node::Draw { .. }) {
                continue;
            }
            let (least, most) = bounds(&whole, ticks);
            let most = most.min(i64::from(longest[*timer]));
            // Less than a tick would be a fault of its own, which must stay visible.
            if let (Ok(lo), Ok(hi)) = (i32::try_from(least), i32::try_from(most))
                && (1..=hi).contains(&lo)
            {
                ticks.node = Node::Pick { site, lo, hi };
                site += 1;
            }
        }
    }
    std::mem::replace(&mut form.pick_sites, site) != site
}

/// Numbers made coarse: which. Only for claims that feel nothing but conditions, and where it is asked what does not fit for
/// numbers that everything fits. `loosely`: those of the machine whose answers are looked for, too; see [`mark`].
pub(crate) fn numbers(form: &mut Form, watch: &Watch, loosely: bool) -> BTreeSet<Place> {
    let conditions = matches!(
        watch,
        Watch::Never(_)
            | Watch::Always(_)
            | Watch::Leads { .. }
            | Watch::Flash { .. }
            | Watch::Nothing
            | Watch::Sees(_)
    );
    let feels = |(m, i): Place| match watch {
        Watch::Answered { by: Some(by), .. } => {
            *by == m && !loosely || form.machines[m].numbers[i].shown_on.is_some()
        }
        Watch::InRange => {
            let sets = |action: &Action| matches!(action, Action::Set { number, .. } if *number == i);
            let mut all = form.machines[m].states.iter().flat_map(actions);
            all.any(|action| sets(action) && may_not_fit(form, m, action))
        }
        _ => !conditions,
    };
    let felt: BTreeSet<Place> = places(form).into_iter().filter(|place| feels(*place)).collect();
    numbers_but(form, watch, &felt).into_keys().collect()
}

/// Gives each way of a machine that stores in one of these numbers of it a mark, a pick of one value, and says at which places.
/// Two ticks from the same situation that leave the same marks have taken the same way, or none that stores there, and so have
/// stored the same; where the marks differ, what is stored may differ.
pub(crate) fn mark(form: &mut Form, m: usize, coarse: &BTreeSet<Place>) -> BTreeSet<u32> {
    let stores =
        |action: &Action| matches!(action, Action::Set { number, .. } if coarse.contains(&(m, *number)));
    let (mut marks, first) = (BTreeSet::new(), form.pick_sites);
    let machine = &mut form.machines[m];
    let mark = machine.numbers.len();
    let on = |list: fn(&State) -> &Vec<Action>| -> Vec<bool> {
        machine.states.iter().map(|state| list(state).iter().any(stores)).collect()
    };
    let (entered, left) = (on(|state| &state.entry), on(|state| &state.exit));
    for (state, left) in machine.states.iter_mut().zip(left) {
        for way in &mut state.transitions {
            if way.actions.iter().any(stores) || way.go.is_some_and(|to| left || entered[to]) {
                let site = first + u32::try_from(marks.len()).unwrap_or(u32::MAX);
                let to = Expr { w: 32, node: Node::Pick { site, lo: 0, hi: 0 } };
                way.actions.push(Action::Set { number: mark, to });
                marks.insert(site);
            }
        }
    }
    let name = "way taken".into();
    machine.numbers.push(Number { name, min: 0, max: 0, start: 0, shown_on: None, kept: false });
    form.pick_sites += u32::try_from(marks.len()).unwrap_or(0);
    marks
}

/// All but these made coarse; for each that was, the least values of its stretches.
pub(crate) fn numbers_but(
    form: &mut Form,
    watch: &Watch,
    but: &BTreeSet<Place>,
) -> BTreeMap<Place, Vec<i32>> {
    let mut coarse = BTreeMap::new();
    for (m, i) in places(form) {
        if but.contains(&(m, i)) {
            continue;
        }
        if let Some(cuts) = cuts(form, watch, (m, i)) {
            let least = form.machines[m].numbers[i].min;
            coarsen(form, (m, i), &cuts);
            coarse.insert((m, i), [least].into_iter().chain(cuts).collect());
        }
    }
    coarse
}

/// More values than this are not counted one by one.
const MOST_COUNTED: u32 = 16;

/// Numbers of few values that are counted up or down: coarse, they could be counted for ever.
pub(crate) fn counters(form: &Form) -> BTreeSet<Place> {
    let counts = |(m, i): &Place| {
        let number = &form.machines[*m].numbers[*i];
        let mut all = form.machines[*m].states.iter().flat_map(actions);
        number.min.abs_diff(number.max) < MOST_COUNTED
            && all.any(
                |action| matches!(action, Action::Set { number, to } if number == i && reads(to, (*m, *i))),
            )
    };
    places(form).into_iter().filter(counts).collect()
}

/// Long timers: those that can be started for more than a second. Cyclic ones serve light alone and are never felt.
pub(crate) fn timers(form: &Form) -> BTreeSet<Place> {
    let mut long = BTreeSet::new();
    for (m, machine) in form.machines.iter().enumerate() {
        for (i, timer) in machine.timers.iter().enumerate() {
            let runs = machine.states.iter().any(|state| {
                let starts = |action: &Action| matches!(action, Action::Start { timer, .. } if *timer == i);
                state.dwells.iter().any(|dwell| dwell.timer == i) || actions(state).any(starts)
            });
            if runs && !timer.cycle && u64::from(timer.max) * u64::from(form.tick_ms) > 1000 {
                long.insert((m, i));
            }
        }
    }
    long
}

/// Values that are few.
const FEW: u32 = 8;

/// Numbers that a condition asks more of than how they compare with constants, so that no stretches stand for them; not those that
/// are told apart, that more than conditions depend on, or that have so few values that they are no trouble.
pub(crate) fn unruly(form: &Form, watch: &Watch) -> BTreeSet<Place> {
    let conditions = || {
        let states = form.machines.iter().flat_map(|machine| &machine.states);
        states.flat_map(|state| &state.transitions).filter_map(|way| way.condition.as_ref())
    };
    let asked =
        |place: &Place| conditions().any(|expr| compared(expr, *place, &mut BTreeSet::new()).is_none());
    let free = |(m, i): &Place| {
        let machine = &form.machines[*m];
        let turn = matches!(machine.ties, Some(Ties::Alternately { turn }) if turn == *i);
        let told = watch.exprs().into_iter().any(|expr| reads(expr, (*m, *i)));
        let draws = machine.states.iter().flat_map(actions).filter_map(worked_out);
        let bags = draws.filter(|expr| matches!(expr.node, Node::Draw { .. })).count();
        let number = &machine.numbers[*i];
        number.min.abs_diff(number.max) >= FEW && !number.kept && !turn && !told && bags == 0
    };
    places(form).into_iter().filter(|place| free(place) && asked(place)).collect()
}

fn places(form: &Form) -> Vec<Place> {
    let of = |(m, machine): (usize, &rules::form::Machine)| {
        (0..machine.numbers.len()).map(move |i| (m, i)).collect::<Vec<_>>()
    };
    form.machines.iter().enumerate().flat_map(of).collect()
}

/// Where a number is compared, as the least values of the stretches behind the first one; none when it must stay as it is.
fn cuts(form: &Form, watch: &Watch, place: Place) -> Option<BTreeSet<i32>> {
    let (m, i) = place;
    let (machine, number) = (&form.machines[m], &form.machines[m].numbers[i]);
    let turn = matches!(machine.ties, Some(Ties::Alternately { turn }) if turn == i);
    if number.kept || turn || watch.exprs().into_iter().any(|expr| reads(expr, place)) {
        return None;
    }
    let answers = matches!(watch, Watch::Answered { .. });
    let lit = answers || *watch == Watch::InRange;
    let mut cuts = BTreeSet::new();
    for (of, machine) in form.machines.iter().enumerate() {
        for state in &machine.states {
            if lit && light_exprs(state).any(|expr| reads(expr, place)) {
                return None;
            }
            for condition in state.transitions.iter().filter_map(|way| way.condition.as_ref()) {
                compared(condition, place, &mut cuts)?;
            }
            for action in actions(state) {
                let own = of == m && matches!(action, Action::Set { number, .. } if *number == i);
                let expr = worked_out(action);
                let draws = expr.is_some_and(|expr| match expr.node {
                    Node::Draw { bag, .. } => own || (of == m && bag == i),
                    _ => false,
                });
                if draws || (!own && expr.is_some_and(|expr| reads(expr, place))) {
                    return None;
                }
            }
        }
    }
    cuts.retain(|cut| *cut > number.min && *cut <= number.max);
    let values = u64::from(number.min.abs_diff(number.max)) + 1;
    (2 * (cuts.len() as u64 + 1) <= values).then_some(cuts)
}

fn reads(expr: &Expr, (m, i): Place) -> bool {
    let mut found = false;
    each_node(expr, &mut |node| {
        found |= matches!(node, Node::Number { m: of, i: at } if (*of, *at) == (m, i));
    });
    found
}

/// A comparison of the number with a constant, the number on the left.
fn comparison(expr: &Expr, (m, i): Place) -> Option<(Two, i32)> {
    let Node::Two { f, a, b } = &expr.node else { return None };
    let is_it = |expr: &Expr| matches!(expr.node, Node::Number { m: of, i: at } if (of, at) == (m, i));
    match (is_it(a), is_it(b), &a.node, &b.node) {
        (true, _, _, Node::Const { v }) => Some((*f, *v)),
        (_, true, Node::Const { v }, _) => {
            let turned = match f {
                Two::Lt => Two::Gt,
                Two::Le => Two::Ge,
                Two::Gt => Two::Lt,
                Two::Ge => Two::Le,
                same => *same,
            };
            Some((turned, *v))
        }
        _ => None,
    }
    .filter(|(f, _)| matches!(f, Two::Lt | Two::Le | Two::Gt | Two::Ge | Two::Eq | Two::Ne))
}

/// Collects where a condition cuts the number's range; none when it reads it in any other way.
fn compared(expr: &Expr, place: Place, cuts: &mut BTreeSet<i32>) -> Option<()> {
    if let Some((f, v)) = comparison(expr, place) {
        if !matches!(f, Two::Gt | Two::Le) {
            cuts.insert(v);
        }
        if !matches!(f, Two::Lt | Two::Ge) {
            cuts.insert(v.saturating_add(1));
        }
        return Some(());
    }
    match &expr.node {
        Node::Number { m, i } if (*m, *i) == place => None,
        Node::Not { a } | Node::Neg { a } => compared(a, place, cuts),
        Node::Two { a, b, .. } => {
            compared(a, place, cuts)?;
            compared(b, place, cuts)
        }
        _ => Some(()),
    }
}

fn coarsen(form: &mut Form, place: Place, cuts: &BTreeSet<i32>) {
    let (m, i) = place;
    let whole = form.clone();
    let range = &whole.machines[m].numbers[i];
    let stretch = |value: i64| {
        let value = value.clamp(i64::from(range.min), i64::from(range.max));
        i32::try_from(cuts.iter().filter(|cut| i64::from(**cut) <= value).count()).unwrap_or(0)
    };
    let mut site = form.pick_sites;
    for list in form.machines[m].states.iter_mut().flat_map(action_lists) {
        for action in list {
            if let Action::Set { number, to } = action
                && *number == i
            {
                let (least, most) = bounds(&whole, to);
                let (lo, hi) = (stretch(least), stretch(most));
                to.node = if lo == hi { Node::Const { v: lo } } else { Node::Pick { site, lo, hi } };
                site += 1;
            }
        }
    }
    form.pick_sites = site;
    // The least value of each stretch stands for all of it.
    let least: Vec<i32> = [range.min].into_iter().chain(cuts.iter().copied()).collect();
    for state in form.machines.iter_mut().flat_map(|machine| &mut machine.states) {
        for condition in state.transitions.iter_mut().filter_map(|way| way.condition.as_mut()) {
            by_stretch(condition, place, &least);
        }
    }
    let number = &mut form.machines[m].numbers[i];
    number.start = stretch(i64::from(number.start));
    (number.min, number.max) = (0, i32::try_from(cuts.len()).unwrap_or(0));
    number.shown_on = None;
}

/// Puts in place of a comparison that the number is in one of the stretches for which it holds.
fn by_stretch(expr: &mut Expr, place: Place, least: &[i32]) {
    if let Some((f, v)) = comparison(expr, place) {
        let holds = |value: &i32| match f {
            Two::Lt => *value < v,
            Two::Le => *value <= v,
            Two::Gt => *value > v,
            Two::Ge => *value >= v,
            Two::Eq => *value == v,
            _ => *value != v,
        };
        let node = |node| Expr { w: 32, node };
        let two = |f, a: Expr, b: Expr| node(Node::Two { f, a: Box::new(a), b: Box::new(b) });
        let number = || node(Node::Number { m: place.0, i: place.1 });
        let mut any = node(Node::Const { v: 0 });
        for (at, _) in least.iter().enumerate().filter(|(_, value)| holds(value)) {
            let at = node(Node::Const { v: i32::try_from(at).unwrap_or(0) });
            any = two(Two::Or, any, two(Two::Eq, number(), at));
        }
        *expr = any;
        return;
    }
    match &mut expr.node {
        Node::Not { a } | Node::Neg { a } => by_stretch(a, place, least),
        Node::Two { a, b, .. } => {
            by_stretch(a, place, least);
            by_stretch(b, place, least);
        }
        _ => {}
    }
}
