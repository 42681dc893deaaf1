//! The rules as they are when nobody touches anything any more, and only some states are still possible.
//!
//! What is never true then is put out of the conditions: that a button is held or pressed when no rule presses it, that a message
//! comes when nobody is left to send it, that a machine is in a state it cannot be in. What then cannot happen is taken out.
//! When a press of the rules is heard, the machine that pressed is still in the state it went to as it did: what a condition
//! says of that is known, too.
//! (Constant folding and unreachable code: A. Aho, R. Sethi, J. Ullman, "Compilers", 1986, section 9; from memory.)

use crate::model::{Who, actions};
use crate::reduce::bounds_by;
use crate::value::change_nodes;
use rules::form::{Action, Expr, Form, Machine, Node, State, Ties, Transition, Trigger, Two, each_node};
use std::collections::BTreeSet;

/// For each machine the states it can still be in.
pub(crate) type States = Vec<BTreeSet<usize>>;

/// Every state of every machine.
pub(crate) fn all_states(form: &Form) -> States {
    form.machines.iter().map(|machine| (0..machine.states.len()).collect()).collect()
}

/// What rules do by themselves in these states.
struct Doings {
    sent: BTreeSet<usize>,
    pressed: BTreeSet<usize>,
    /// Which button each press is of, by which machine, and where that is when the press is heard.
    landed: BTreeSet<(usize, usize, usize)>,
}

impl Doings {
    fn of(form: &Form, states: &States, real: usize) -> Self {
        let mut doings = Self::none(form, real);
        for (m, (machine, states)) in form.machines.iter().zip(states).enumerate() {
            for s in states {
                let state = &machine.states[*s];
                doings.add_all(&state.entry, (m, *s));
                for way in &state.transitions {
                    doings.add_way(state, way, (m, *s));
                }
            }
        }
        doings
    }

    /// Nothing but the free buttons, which anybody may press.
    fn none(form: &Form, real: usize) -> Self {
        let pressed = (real..form.buttons.len()).collect();
        Self { sent: BTreeSet::new(), pressed, landed: BTreeSet::new() }
    }

    /// What is done on the way out of a state, without what its end does on entry.
    fn add_way(&mut self, state: &State, way: &Transition, (m, from): (usize, usize)) {
        let end = (m, way.go.unwrap_or(from));
        self.add_all(&way.actions, end);
        if way.go.is_some() {
            self.add_all(&state.exit, end);
        }
    }

    /// Actions after which their machine is in this state.
    fn add_all(&mut self, actions: &[Action], (m, end): (usize, usize)) {
        for action in actions {
            match action {
                Action::Send { message } => drop(self.sent.insert(*message)),
                Action::Press { button } => {
                    self.pressed.insert(*button);
                    self.landed.insert((*button, m, end));
                }
                _ => {}
            }
        }
    }

    /// How much is known, for telling whether more was added.
    fn size(&self) -> (usize, usize, usize) {
        (self.sent.len(), self.pressed.len(), self.landed.len())
    }
}

/// The buttons that these machines may press by themselves, as a mask.
pub(crate) fn pressed_by(form: &Form, machines: impl Iterator<Item = usize>) -> u64 {
    let states = machines.flat_map(|m| &form.machines[m].states);
    states.flat_map(actions).fold(0, |mask, action| match action {
        Action::Press { button } => mask | 1 << button,
        _ => mask,
    })
}

/// The rules with nothing in them that cannot happen in silence while the machines keep to these states. `quiet` says whether a
/// button is stuck down. How many ticks of silence it takes until that is so for good, since what was sent or pressed before is
/// still heard, one after another. Buttons from `real` on are free: they may be pressed at any time.
pub(crate) fn silent(form: &Form, states: &States, (quiet, real): (Who, usize)) -> (Form, u64) {
    let mut small = form.clone();
    let mut rounds = 1;
    loop {
        let before = small.clone();
        let doings = Doings::of(&small, states, real);
        for (m, machine) in small.machines.iter_mut().enumerate() {
            let remembered: BTreeSet<usize> = machine.remembers.iter().map(|one| one.button).collect();
            for (s, state) in machine.states.iter_mut().enumerate() {
                if !states[m].contains(&s) {
                    *state = empty(state);
                }
                let fold = |expr: &mut Expr| folded(expr, states, quiet, &doings.pressed);
                state.transitions.retain_mut(|way| {
                    possible(way, (m, states), &doings, &remembered)
                        && heard(way, (states, quiet, real), &doings, &remembered)
                        && holds(way, &fold)
                });
            }
        }
        if small == before {
            return (small, rounds);
        }
        rounds += 1;
    }
}

fn empty(state: &State) -> State {
    State {
        name: state.name.clone(),
        dwells: Vec::new(),
        entry: Vec::new(),
        exit: Vec::new(),
        pose: state.pose.clone(),
        lights: Vec::new(),
        writes: Vec::new(),
        transitions: Vec::new(),
    }
}

/// Whether the cause can come, and the way leads where the machine can be.
fn possible(
    way: &mut Transition,
    (m, states): (usize, &States),
    doings: &Doings,
    remembered: &BTreeSet<usize>,
) -> bool {
    let caused = match &mut way.trigger {
        Trigger::Press { button } => doings.pressed.contains(button) || remembered.contains(button),
        Trigger::Message { any } => {
            any.retain(|message| doings.sent.contains(message));
            !any.is_empty()
        }
        Trigger::Always | Trigger::Timer { .. } => true,
    };
    caused && way.go.is_none_or(|to| states[m].contains(&to))
}

/// Whether some press of the rules that a way waits for can be heard while its condition is true. A remembered press may be heard
/// later, a free button be pressed by anybody.
fn heard(
    way: &Transition,
    (states, quiet, real): (&States, Who, usize),
    doings: &Doings,
    remembered: &BTreeSet<usize>,
) -> bool {
    let (Trigger::Press { button }, Some(condition)) = (&way.trigger, &way.condition) else { return true };
    if *button >= real || remembered.contains(button) {
        return true;
    }
    doings.landed.iter().filter(|(of, _, _)| of == button).any(|(_, m, end)| {
        let (mut there, mut known) = (states.clone(), condition.clone());
        there[*m] = [*end].into();
        folded(&mut known, &there, quiet, &doings.pressed);
        !matches!(known.node, Node::Const { v: 0 })
    })
}

/// Whether the condition can be true; it is taken away where it always is.
fn holds(way: &mut Transition, fold: &dyn Fn(&mut Expr)) -> bool {
    let Some(condition) = &mut way.condition else { return true };
    fold(condition);
    match condition.node {
        Node::Const { v: 0 } => false,
        Node::Const { .. } => {
            way.condition = None;
            true
        }
        _ => true,
    }
}

fn folded(expr: &mut Expr, states: &States, quiet: Who, pressed: &BTreeSet<usize>) {
    change_nodes(expr, &|node| {
        let v = match node {
            Node::Held { b } => i32::from(quiet == Who::Holding(*b)),
            Node::Pressed { b } if !pressed.contains(b) => 0,
            Node::In { m, s } if !states[*m].contains(s) => 0,
            Node::In { m, .. } if states[*m].len() == 1 => 1,
            Node::Not { a } => match a.node {
                Node::Const { v } => i32::from(v == 0),
                _ => return,
            },
            Node::Two { f, a, b } => match (&a.node, &b.node) {
                (Node::Const { v: a }, Node::Const { v: b }) => f.of(*a, *b),
                (Node::Const { v: 0 }, _) | (_, Node::Const { v: 0 }) if *f == Two::And => 0,
                (Node::Const { v: 1.. }, _) | (_, Node::Const { v: 1.. }) if *f == Two::Or => 1,
                (Node::Const { .. }, other) | (other, Node::Const { .. })
                    if matches!(f, Two::And | Two::Or) =>
                {
                    *node = other.clone();
                    return;
                }
                _ => return,
            },
            _ => return,
        };
        *node = Node::Const { v };
    });
}

/// The states that can follow in silence on the beginning, each machine seen alone: the least that beginning and rules make.
pub(crate) fn untouched(form: &Form, how: (Who, usize)) -> States {
    follows(form, how).0
}

/// The same, with what is done in them. A button is stuck after a while of nobody touching anything.
fn follows(form: &Form, (quiet, real): (Who, usize)) -> (States, Doings) {
    let (mut states, mut doings) = match quiet {
        Who::Holding(_) => follows(form, (Who::Nobody, real)),
        _ => (form.machines.iter().map(|_| [0].into()).collect(), Doings::none(form, real)),
    };
    for (m, machine) in form.machines.iter().enumerate() {
        machine.states.first().into_iter().for_each(|state| doings.add_all(&state.entry, (m, 0)));
    }
    let (anywhere, nothing) = (all_states(form), BTreeSet::new());
    loop {
        let before = (states.clone(), doings.size());
        for (m, machine) in form.machines.iter().enumerate() {
            let remembered: BTreeSet<usize> = machine.remembers.iter().map(|one| one.button).collect();
            for s in before.0[m].clone() {
                for way in &machine.states[s].transitions {
                    let mut folding = way.clone();
                    let fold = |expr: &mut Expr| folded(expr, &before.0, quiet, &doings.pressed);
                    if !(possible(&mut folding, (m, &anywhere), &doings, &nothing)
                        && heard(way, (&before.0, quiet, real), &doings, &remembered)
                        && holds(&mut folding, &fold))
                    {
                        continue;
                    }
                    doings.add_way(&machine.states[s], way, (m, s));
                    if let Some(to) = way.go {
                        states[m].insert(to);
                        doings.add_all(&machine.states[to].entry, (m, to));
                    }
                }
            }
        }
        if (&states, doings.size()) == (&before.0, before.1) {
            return (states, doings);
        }
    }
}

/// The states that a machine can be in for good, by its own clocks alone, and the most ticks until then: a state that time alone
/// ends, and that no circle of ways leads back to, is left for ever. `loud`: the machine while people still press, since a state's
/// time may have been spent in it before the silence.
pub(crate) fn lasting(machine: &Machine, loud: &Machine, states: &BTreeSet<usize>) -> (BTreeSet<usize>, u64) {
    let left_after = |s: usize| left_after(&machine.states[s], &loud.states[s]);
    let to =
        |s: usize| machine.states[s].transitions.iter().filter_map(|way| way.go).collect::<BTreeSet<usize>>();
    let follow = |from: BTreeSet<usize>| {
        let (mut all, mut fresh) = (from.clone(), Vec::from_iter(from));
        while let Some(s) = fresh.pop() {
            fresh.extend(to(s).into_iter().filter(|next| all.insert(*next)));
        }
        all
    };
    let stays = |s: &usize| left_after(*s).is_none() || follow(to(*s)).contains(s);
    let kept = follow(states.iter().copied().filter(stays).collect());
    let ticks = states.difference(&kept).filter_map(|s| left_after(*s)).map(u64::from);
    let ticks = ticks.sum();
    (kept, ticks)
}

/// After how many ticks at most time alone ends a state; none where it need not, or where a way that stays can have spent its time.
fn left_after(state: &State, loud: &State) -> Option<u32> {
    let own = |way: &Transition| match way.trigger {
        Trigger::Timer { timer } => loud.dwells.iter().any(|dwell| dwell.timer == timer),
        _ => false,
    };
    let spent = loud.transitions.iter().any(|way| way.go.is_none() && own(way));
    let mut ways = state.transitions.iter().take_while(|way| way.go.is_some());
    ways.find_map(|way| match way.trigger {
        Trigger::Always if way.condition.is_none() => Some(1),
        Trigger::Timer { timer } if way.condition.is_none() && !spent => {
            state.dwells.iter().find(|dwell| dwell.timer == timer).map(|dwell| dwell.ticks + 1)
        }
        _ => None,
    })
}

/// Where a number can be in a state.
type Stretch = (i64, i64);

/// Rounds until a number that still grows is taken to be anywhere.
const ROUNDS: usize = 12;

/// For each state of a machine where each of its numbers can be, after whatever play: the least solution over its ways, each
/// looked at alone, whatever other machines hold. (Intervals: P. Cousot, R. Cousot, "Abstract interpretation", 1977; from memory.)
fn stretches(form: &Form, m: usize) -> Vec<Option<Vec<Stretch>>> {
    let machine = &form.machines[m];
    let range = |i: usize| (i64::from(machine.numbers[i].min), i64::from(machine.numbers[i].max));
    let start = |(i, number): (usize, &rules::form::Number)| {
        let turn = matches!(machine.ties, Some(Ties::Alternately { turn }) if turn == i);
        let any = number.kept || turn || is_bag(machine, i);
        if any { range(i) } else { (i64::from(number.start), i64::from(number.start)) }
    };
    let done = |at: &mut Vec<Stretch>, list: &[Action]| {
        for action in list {
            if let Action::Set { number, to } = action {
                let (least, most) = bounds_by(form, to, &|of, i| {
                    if of == m {
                        at[i]
                    } else {
                        (
                            i64::from(form.machines[of].numbers[i].min),
                            i64::from(form.machines[of].numbers[i].max),
                        )
                    }
                });
                let (min, max) = range(*number);
                at[*number] = (least.clamp(min, max), most.clamp(min, max));
            }
        }
    };
    let mut all: Vec<Option<Vec<Stretch>>> = vec![None; machine.states.len()];
    let mut first: Vec<Stretch> = machine.numbers.iter().enumerate().map(start).collect();
    done(&mut first, &machine.states[0].entry);
    all[0] = Some(first);
    for round in 0.. {
        let before = all.clone();
        for (s, state) in machine.states.iter().enumerate() {
            let Some(here) = before[s].clone() else { continue };
            for way in &state.transitions {
                let mut at = here.clone();
                if way.go.is_some() {
                    done(&mut at, &state.exit);
                }
                done(&mut at, &way.actions);
                if let Some(to) = way.go {
                    done(&mut at, &machine.states[to].entry);
                }
                let there = &mut all[way.go.unwrap_or(s)];
                let old = there.get_or_insert_with(|| at.clone());
                for (i, (old, new)) in old.iter_mut().zip(at).enumerate() {
                    let both = (old.0.min(new.0), old.1.max(new.1));
                    *old = if both != *old && round > ROUNDS { range(i) } else { both };
                }
            }
        }
        if all == before {
            break;
        }
    }
    all
}

fn is_bag(machine: &Machine, i: usize) -> bool {
    let mut all = machine.states.iter().flat_map(actions).filter_map(crate::model::worked_out);
    all.any(|expr| matches!(expr.node, Node::Draw { bag, .. } if bag == i))
}

/// Ranges of numbers made as narrow as these states allow, except of numbers that a condition reads.
pub(crate) fn narrowed(form: &Form, states: &States) -> Form {
    let mut small = form.clone();
    let mut asked = BTreeSet::new();
    for state in form.machines.iter().flat_map(|machine| &machine.states) {
        for condition in state.transitions.iter().filter_map(|way| way.condition.as_ref()) {
            each_node(condition, &mut |node| {
                if let Node::Number { m, i } = node {
                    asked.insert((*m, *i));
                }
            });
        }
    }
    for (m, states) in states.iter().enumerate() {
        let stretches = stretches(form, m);
        for (i, number) in
            small.machines[m].numbers.iter_mut().enumerate().filter(|(i, _)| !asked.contains(&(m, *i)))
        {
            let all = states.iter().filter_map(|s| stretches[*s].as_ref()).map(|at| at[i]);
            let both = all.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)));
            if let Some((Ok(min), Ok(max))) = both.map(|(min, max)| (i32::try_from(min), i32::try_from(max)))
            {
                (number.min, number.max) = (min, max);
                number.start = number.start.clamp(min, max);
            }
        }
    }
    small
}
