//! Presses that come to nothing while a machine is busy, although the display looks as if they counted.
//!
//! What is said is sure, not everything is said: a light whose `when` is not settled by the state alone counts as dark, a
//! press that another visible machine may answer counts as answered, and a state that lasts no longer than a button's
//! contact is unheard is passed over.

use super::{Checks, owner, reached, some_node};
use crate::codes;
use crate::conditioner::LOCKOUT_MS;
use crate::form::{Action, Expr, Form, Lights, Machine, Node, State, Transition, Trigger, Writes, each_node};
use std::collections::{BTreeMap, BTreeSet};

/// Buttons of one machine that are looked at: more than any controller has pins for, and few enough for files made to harm.
const BUTTONS: usize = 64;
/// States that a caution names before it only counts them.
const NAMED: usize = 3;

/// The longest that a press is kept on our advice: our own choice, about as long as a finger is early.
const MOST_KEPT_MS: u32 = 300;

/// What of the whole form is asked for again and again.
struct Scene {
    /// The states that each machine can be in; of the one that is looked at, one alone.
    given: Vec<BTreeSet<usize>>,
    /// For each lamp that the rules light, the machines that do.
    lit_by: BTreeMap<usize, BTreeSet<usize>>,
    /// For each button, the machines that answer it in a state they can be in and can be seen to.
    answered_by: BTreeMap<usize, Vec<usize>>,
}

impl Scene {
    fn of(form: &Form) -> Self {
        let given: Vec<BTreeSet<usize>> = form.machines.iter().map(reached).collect();
        let mut lit_by: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
        for (m, machine) in form.machines.iter().enumerate() {
            for light in machine.states.iter().flat_map(|state| &state.lights) {
                lit_by.entry(light.first).or_default().insert(m);
            }
        }
        let asked = asked_to_show(form);
        let mut answered_by: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (n, machine) in form.machines.iter().enumerate() {
            if shows(machine) || asked.contains(&n) {
                for button in answered(machine, &given[n]) {
                    answered_by.entry(button).or_default().push(n);
                }
            }
        }
        Self { given, lit_by, answered_by }
    }

    /// The lamp of a button, if the rules ever light it.
    fn lamp(&self, form: &Form, button: usize) -> Option<usize> {
        let lamp = form.spots.iter().position(|spot| *spot == form.buttons[button])?;
        self.lit_by.contains_key(&lamp).then_some(lamp)
    }
}

impl Checks<'_> {
    /// One caution for each machine and button.
    pub(super) fn lost_presses(&mut self) {
        let form = self.form;
        let mut scene = Scene::of(form);
        for (m, machine) in form.machines.iter().enumerate() {
            let reached = scene.given[m].clone();
            for button in answered(machine, &reached).into_iter().take(BUTTONS) {
                if machine.remembers.iter().any(|remember| remember.button == button) {
                    continue;
                }
                let lamp = scene.lamp(form, button);
                let mut lost = busy(form, machine, button, &reached);
                lost.retain(|s| {
                    scene.given[m] = BTreeSet::from([*s]);
                    let invited = match lamp {
                        Some(lamp) => self.lit(lamp, &scene),
                        None => lookalike(machine, *s, button, &reached).is_some(),
                    };
                    invited && !self.answered_elsewhere(m, button, &scene)
                });
                self.say_lost(m, button, &lost, &reached, lamp.is_some());
            }
            scene.given[m] = reached;
        }
    }

    fn lit(&self, lamp: usize, scene: &Scene) -> bool {
        scene.lit_by.get(&lamp).is_some_and(|by| by.iter().any(|by| self.lights(*by, lamp, &scene.given)))
    }

    fn answered_elsewhere(&self, m: usize, button: usize, scene: &Scene) -> bool {
        let others = scene.answered_by.get(&button).into_iter().flatten().filter(|n| **n != m);
        others.into_iter().any(|n| self.may_answer(*n, button, &scene.given))
    }

    /// Whether a machine surely lights a lamp, now or within a while that no press and no other machine can prevent.
    fn lights(&self, by: usize, lamp: usize, given: &[BTreeSet<usize>]) -> bool {
        let machine = &self.form.machines[by];
        let sure = |light: &Lights| {
            let bright = !matches!(light.level.node, Node::Const { v: 0 });
            let when = light.when.as_ref().map_or(Some(true), |when| self.truth(when, given));
            light.first == lamp && bright && when == Some(true)
        };
        let lit = |s: &usize| machine.states[*s].lights.iter().any(sure);
        let states = given[by].iter().filter(|s| lit(s)).count();
        states == given[by].len() || (states > 0 && alone(machine, by, &given[by]))
    }

    /// Whether a machine has, in a state it can be in, a way that a press may take.
    fn may_answer(&self, n: usize, button: usize, given: &[BTreeSet<usize>]) -> bool {
        let ways = given[n].iter().flat_map(|s| &self.form.machines[n].states[*s].transitions);
        let open = |way: &Transition| {
            way.condition.as_ref().is_none_or(|condition| self.truth(condition, given) != Some(false))
        };
        ways.filter(|way| waits_for(way, button)).any(open)
    }

    fn say_lost(&mut self, m: usize, button: usize, lost: &[usize], reached: &BTreeSet<usize>, lit: bool) {
        let Some(first) = lost.first() else { return };
        let machine = &self.form.machines[m];
        let instance = &self.world.instances[m];
        let tree = &self.world.trees[instance.tree];
        let names: Vec<String> =
            lost.iter().take(NAMED).map(|s| format!("`{}`", machine.states[*s].name)).collect();
        let states = match lost.len().saturating_sub(NAMED) {
            0 => names.join(" or "),
            1 => format!("{} or one more state", names.join(", ")),
            more => format!("{} or {more} more states", names.join(", ")),
        };
        let name = &self.form.buttons[button];
        let why = match lookalike(machine, *first, button, reached) {
            Some(like) if !lit => {
                format!("which looks like `{}`, where it counts", machine.states[like].name)
            }
            _ => "where the button is lit".to_owned(),
        };
        let message =
            format!("nothing answers a press of `{name}` while `{}` is {states}, {why}", machine.name);
        let expected = if lit {
            "expected `on press` for it there, or a dark lamp"
        } else {
            "expected `on press` for it there, or another picture"
        };
        let own = instance.side.and_then(|side| self.world.sides.get(side));
        let word = own.and_then(|side| name.strip_prefix(side.as_str())).map_or(name.as_str(), |rest| {
            if rest.is_empty() { "button" } else { rest.trim_start_matches('.') }
        });
        let dark = if lit {
            format!("while the lamp of `{name}` is dark, everybody sees that a press does not count")
        } else {
            "with a picture of its own, everybody sees that a press does not count".to_owned()
        };
        let long = kept_ms(longest(machine, lost), self.form.tick_ms);
        let remember = format!(
            "where presses are not timed, `remember {word} for {long} ms` keeps one that is just too early; \
             kept longer, it would be taken long after it was meant"
        );
        self.say(codes::PRESS_LOST, Some(tree.states[*first].name.span), message, expected);
        if let Some(caution) = self.cautions.last_mut() {
            caution.hints.extend([dark, remember]);
        }
    }
}

/// Every button that some reached state of a machine answers.
fn answered(machine: &Machine, reached: &BTreeSet<usize>) -> BTreeSet<usize> {
    let ways = reached.iter().flat_map(|s| &machine.states[*s].transitions);
    ways.filter_map(|way| match way.trigger {
        Trigger::Press { button } => Some(button),
        _ => None,
    })
    .collect()
}

fn waits_for(way: &Transition, button: usize) -> bool {
    way.trigger == Trigger::Press { button }
}

/// The states in which a machine is on its way, by itself, to where it answers the button again, and does not ask for it.
fn busy(form: &Form, machine: &Machine, button: usize, reached: &BTreeSet<usize>) -> Vec<usize> {
    let answers = |s: usize| machine.states[s].transitions.iter().any(|way| waits_for(way, button));
    let open: Vec<usize> = reached.iter().copied().filter(|s| answers(*s)).collect();
    let (behind, back) = (onward(machine, &open), homeward(machine, &open));
    let asks = |s: usize| asks_for(&machine.states[s], button);
    let both = behind.intersection(&back).copied();
    both.filter(|s| !asks(*s) && !brief(form, &machine.states[*s])).collect()
}

/// The states that ways lead to from some states.
fn onward(machine: &Machine, from: &[usize]) -> BTreeSet<usize> {
    follow(from, |at| machine.states[at].transitions.iter().filter_map(|way| way.go).collect())
}

/// The states from which ways that need no press lead to some states.
fn homeward(machine: &Machine, to: &[usize]) -> BTreeSet<usize> {
    let mut before: Vec<Vec<usize>> = vec![Vec::new(); machine.states.len()];
    for (s, state) in machine.states.iter().enumerate() {
        let by_itself = state.transitions.iter().filter(|way| !matches!(way.trigger, Trigger::Press { .. }));
        for go in by_itself.filter_map(|way| way.go) {
            before[go].push(s);
        }
    }
    follow(to, |at| before[at].clone())
}

/// Everything that steps lead to.
fn follow(from: &[usize], step: impl Fn(usize) -> Vec<usize>) -> BTreeSet<usize> {
    let mut found = BTreeSet::new();
    let mut open = from.to_vec();
    while let Some(at) = open.pop() {
        open.extend(step(at).into_iter().filter(|next| found.insert(*next)));
    }
    found
}

/// Whether a state has anything to do with a button.
fn asks_for(state: &State, button: usize) -> bool {
    let about = |expr: &Expr| {
        some_node(expr, &|node| matches!(node, Node::Held { b } | Node::Pressed { b } if *b == button))
    };
    let does = |action: &Action| match action {
        Action::Set { to: expr, .. } | Action::Start { ticks: expr, .. } => about(expr),
        _ => false,
    };
    state.exit.iter().any(does)
        || state.transitions.iter().any(|way| {
            waits_for(way, button)
                || way.condition.as_ref().is_some_and(about)
                || way.actions.iter().any(does)
        })
}

/// Whether a state always ends before a contact that has just closed is heard again.
fn brief(form: &Form, state: &State) -> bool {
    let ends = |way: &Transition| match way.trigger {
        Trigger::Timer { timer } if way.condition.is_none() => {
            state.dwells.iter().find(|dwell| dwell.timer == timer).map(|dwell| dwell.ticks)
        }
        _ => None,
    };
    state.transitions.iter().filter_map(ends).any(|ticks| ticks.saturating_mul(form.tick_ms) <= LOCKOUT_MS)
}

/// How long a press may be kept so that whoever made it still takes what follows for its answer: whole ticks, at least one.
fn kept_ms(longest: Option<u32>, tick_ms: u32) -> u32 {
    let most = MOST_KEPT_MS.checked_div(tick_ms).unwrap_or(1).max(1);
    longest.map_or(most, |ticks| ticks.clamp(1, most)).saturating_mul(tick_ms)
}

/// The longest of the waits in some states, where each of them ends after a fixed time.
fn longest(machine: &Machine, states: &[usize]) -> Option<u32> {
    let waits = states.iter().map(|s| machine.states[*s].dwells.iter().map(|dwell| dwell.ticks).max());
    waits.collect::<Option<Vec<u32>>>()?.into_iter().max()
}

/// A reached state with the same picture, in which every press of the button counts.
fn lookalike(machine: &Machine, s: usize, button: usize, reached: &BTreeSet<usize>) -> Option<usize> {
    let state = &machine.states[s];
    if state.pose.is_none() && state.lights.is_empty() {
        return None;
    }
    let written =
        |writes: &Writes| (writes.digits, writes.value.clone(), writes.zeros, writes.flash.is_some());
    let alike = |other: &State| {
        other.pose == state.pose
            && other.lights == state.lights
            && other.writes.iter().map(written).eq(state.writes.iter().map(written))
    };
    let counts =
        |other: &State| other.transitions.iter().any(|way| waits_for(way, button) && way.condition.is_none());
    reached.iter().copied().find(|at| counts(&machine.states[*at]) && alike(&machine.states[*at]))
}

/// Whether a machine shows, lights or writes anything.
fn shows(machine: &Machine) -> bool {
    let shows = |state: &State| state.pose.is_some() || !state.lights.is_empty() || !state.writes.is_empty();
    machine.states.iter().any(shows) || machine.numbers.iter().any(|number| number.shown_on.is_some())
}

/// The machines that something shown asks for.
fn asked_to_show(form: &Form) -> BTreeSet<usize> {
    let mut asked = BTreeSet::new();
    for state in form.machines.iter().flat_map(|machine| &machine.states) {
        for light in &state.lights {
            for expr in light.index.iter().chain([&light.level]).chain(&light.when) {
                each_node(expr, &mut |node| asked.extend(owner(node)));
            }
        }
        for writes in &state.writes {
            each_node(&writes.value, &mut |node| asked.extend(owner(node)));
        }
    }
    asked
}

/// Whether a machine goes on by its own timers and numbers alone, whatever others do.
fn alone(machine: &Machine, own: usize, reached: &BTreeSet<usize>) -> bool {
    let foreign = |node: &Node| match node {
        Node::Held { .. } | Node::Pressed { .. } => true,
        node => owner(node).is_some_and(|m| m != own),
    };
    let by_itself = |way: &Transition| {
        matches!(way.trigger, Trigger::Timer { .. } | Trigger::Always)
            && !way.condition.as_ref().is_some_and(|condition| some_node(condition, &foreign))
    };
    reached.iter().flat_map(|s| &machine.states[*s].transitions).all(by_itself)
}
