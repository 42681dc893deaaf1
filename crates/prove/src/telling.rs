//! A play against a claim, told: what hands do, what chance decides, what the display then does, and how the claim is broken.

use crate::answer::Trace;
use crate::claims::Question;
use crate::watch::{Watch, shows};
use crate::words::time;
use rules::form::{Action, Expr, Form, Node, Ties, each_node};
use rules::step::{Clock, Pick, Situation, Start};
use rules::vectors::{Moment, TickIn, play};
use std::collections::BTreeSet;

/// What is told of: machines by their states, numbers, timers. No claim speaks of buttons.
#[derive(Default)]
struct About {
    machines: BTreeSet<usize>,
    numbers: BTreeSet<(usize, usize)>,
    timers: BTreeSet<(usize, usize)>,
}

/// The sentences, by the tick they are about; the last one says how the claim is broken.
pub(crate) fn told(form: &Form, question: &Question, trace: &Trace) -> Vec<Moment> {
    let start = Start { kept: trace.kept.clone(), settings: trace.settings.clone() };
    let run = play(form, &start, &trace.ticks);
    let claimed = About::claim(question);
    let seen = About::seen(form).and(&claimed);
    let mut moments = Vec::new();
    let mut before: Option<(&TickIn, &Situation)> = None;
    for (tick, (input, (outcome, _))) in trace.ticks.iter().zip(&run).enumerate() {
        let mut parts = hands(form, before.map_or(&[][..], |(input, _)| &input.held), input);
        parts.extend(outcome.picked.iter().filter_map(|pick| chance(form, pick)));
        let now = seen.changes(form, before.map(|(_, situation)| situation), &outcome.situation);
        if !now.is_empty() {
            parts.push(format!("{} {}", if tick == 0 { "at first" } else { "now" }, now.join(", ")));
        }
        if !parts.is_empty() {
            moments.push(Moment { tick, words: parts.join("; ") });
        }
        before = Some((input, &outcome.situation));
    }
    if let Some((_, situation)) = before {
        let about = if claimed.is_empty() { About::seen(form) } else { claimed };
        let facts = about.facts(form, situation).join(", ");
        let words = format!("{}: {facts}", broken(form, question, trace));
        moments.push(Moment { tick: trace.ticks.len().saturating_sub(1), words });
    }
    moments
}

fn broken(form: &Form, question: &Question, trace: &Trace) -> String {
    match (trace.again_from, question) {
        (Some(from), _) => format!("and so on for ever, as from {}", time(form, from as u64)),
        (None, Question::NeverStuck) => "here nothing seen can ever change again".into(),
        (None, Question::Watch(Watch::Never(_))) => "here is what must never be".into(),
        (None, Question::Watch(Watch::Leads { .. })) => "here the time is up, and it has not come".into(),
        (None, Question::Watch(Watch::Answered { .. })) => {
            "here the time is up, and nothing seen has changed".into()
        }
        (None, _) => "here the claim is broken".into(),
    }
}

/// Presses, and buttons let go.
fn hands(form: &Form, held: &[usize], now: &TickIn) -> Vec<String> {
    let name = |b: &usize| form.buttons.get(*b).map_or("?", String::as_str);
    let let_go = held.iter().filter(|b| !now.held.contains(b));
    let presses = now.pressed.iter().map(|b| format!("somebody presses {}", name(b)));
    presses.chain(let_go.map(|b| format!("somebody lets {} go", name(b)))).collect()
}

/// What a pick decides, by the place where it stands in the rules.
fn chance(form: &Form, pick: &Pick) -> Option<String> {
    form.machines.iter().enumerate().find_map(|(m, machine)| {
        if matches!(machine.ties, Some(Ties::Random { site }) if site == pick.site) {
            let side = usize::try_from(pick.value).ok().and_then(|at| form.sides.get(at.checked_sub(1)?))?;
            return Some(format!("chance favours {side} in `{}`", machine.name));
        }
        let ways = |state| {
            let state: &rules::form::State = state;
            let ways = state.transitions.iter().flat_map(|way| &way.actions);
            state.entry.iter().chain(&state.exit).chain(ways)
        };
        machine.states.iter().flat_map(ways).find_map(|action| decides(form, m, action, pick))
    })
}

fn decides(form: &Form, m: usize, action: &Action, pick: &Pick) -> Option<String> {
    match action {
        Action::Set { number, to } => match to.node {
            Node::Pick { site, .. } if site == pick.site => {
                Some(format!("chance makes {} {}", number_name(form, m, *number), pick.value))
            }
            Node::Draw { site, .. } if site == pick.site => {
                Some(format!("chance draws {} for {}", pick.value, number_name(form, m, *number)))
            }
            _ => None,
        },
        Action::Start { timer, ticks } => match ticks.node {
            Node::Pick { site, .. } if site == pick.site => {
                let long = length(form, pick.value.max(1).unsigned_abs());
                Some(format!("chance makes {} {long}", timer_name(form, m, *timer)))
            }
            Node::Draw { site, .. } if site == pick.site => {
                let long = length(form, pick.value.max(1).unsigned_abs());
                Some(format!("chance draws {long} for {}", timer_name(form, m, *timer)))
            }
            _ => None,
        },
        _ => None,
    }
}

/// So many ticks in seconds, no longer than they need be.
fn length(form: &Form, ticks: u32) -> String {
    let words = time(form, u64::from(ticks));
    let number = words.trim_end_matches(" s").trim_end_matches('0').trim_end_matches('.');
    format!("{number} s")
}

/// A number as the rules call it: by itself where no other machine has one of that name.
fn number_name(form: &Form, m: usize, i: usize) -> String {
    let name = |m: usize| form.machines.get(m)?.numbers.get(i).map(|number| number.name.as_str());
    let has = |name: &str| {
        let of = |machine: &&rules::form::Machine| machine.numbers.iter().any(|number| number.name == name);
        form.machines.iter().filter(of).count()
    };
    called(form, m, name(m).unwrap_or("?"), has)
}

fn timer_name(form: &Form, m: usize, i: usize) -> String {
    let name = |m: usize| form.machines.get(m)?.timers.get(i).map(|timer| timer.name.as_str());
    let has = |name: &str| {
        let of = |machine: &&rules::form::Machine| machine.timers.iter().any(|timer| timer.name == name);
        form.machines.iter().filter(of).count()
    };
    called(form, m, name(m).unwrap_or("?"), has)
}

fn called(form: &Form, m: usize, name: &str, have: impl Fn(&str) -> usize) -> String {
    match form.machines.get(m) {
        Some(machine) if have(name) > 1 => format!("`{}.{name}`", machine.name),
        _ => format!("`{name}`"),
    }
}

impl About {
    /// What the claim speaks of; nothing where it is one of those that are made without being asked.
    fn claim(question: &Question) -> Self {
        let mut about = Self::default();
        if let Question::Watch(watch) = question {
            watch.exprs().into_iter().for_each(|expr| about.read(expr));
        }
        about
    }

    /// What can be seen: the states of machines that show something, and the numbers that digits and lights go by.
    fn seen(form: &Form) -> Self {
        let mut about = Self::default();
        for (m, machine) in form.machines.iter().enumerate().filter(|(_, machine)| shows(machine)) {
            let mut read = Self::default();
            for state in &machine.states {
                for light in &state.lights {
                    read.read(&light.level);
                    light.index.iter().chain(&light.when).for_each(|expr| read.read(expr));
                }
                state.writes.iter().for_each(|writes| read.read(&writes.value));
            }
            about.numbers.extend(read.numbers);
            let shown = machine.numbers.iter().enumerate().filter(|(_, number)| number.shown_on.is_some());
            about.numbers.extend(shown.map(|(i, _)| (m, i)));
            if machine.states.len() > 1 {
                about.machines.insert(m);
            }
        }
        about
    }

    fn read(&mut self, expr: &Expr) {
        each_node(expr, &mut |node| match node {
            Node::Number { m, i } => drop(self.numbers.insert((*m, *i))),
            Node::In { m, .. } => drop(self.machines.insert(*m)),
            Node::Running { m, i } | Node::Due { m, i } | Node::Left { m, i } => {
                self.timers.insert((*m, *i));
            }
            _ => {}
        });
    }

    fn and(mut self, more: &Self) -> Self {
        self.machines.extend(&more.machines);
        self.numbers.extend(&more.numbers);
        self
    }

    fn is_empty(&self) -> bool {
        self.machines.is_empty() && self.numbers.is_empty() && self.timers.is_empty()
    }

    /// States and numbers that are others than before.
    fn changes(&self, form: &Form, before: Option<&Situation>, now: &Situation) -> Vec<String> {
        let other_state =
            |m: &&usize| before.is_none_or(|before| before.machines[**m].state != now.machines[**m].state);
        let other = |(m, i): &&(usize, usize)| {
            before.is_none_or(|before| before.machines[*m].numbers[*i] != now.machines[*m].numbers[*i])
        };
        let states = self.machines.iter().filter(other_state).map(|m| state(form, *m, now));
        states.chain(self.numbers.iter().filter(other).map(|at| number(form, *at, now))).collect()
    }

    /// How everything stands.
    fn facts(&self, form: &Form, now: &Situation) -> Vec<String> {
        let mut facts: Vec<String> = self.machines.iter().map(|m| state(form, *m, now)).collect();
        facts.extend(self.numbers.iter().map(|at| number(form, *at, now)));
        facts.extend(self.timers.iter().map(|(m, i)| {
            let how = match now.machines[*m].timers[*i] {
                Clock::Off => "is off".to_owned(),
                Clock::Due => "is due".to_owned(),
                Clock::Running(left) => format!("has {} left", length(form, left)),
            };
            format!("{} {how}", timer_name(form, *m, *i))
        }));
        facts
    }
}

fn state(form: &Form, m: usize, now: &Situation) -> String {
    let machine = &form.machines[m];
    format!("{} is {}", machine.name, machine.states[now.machines[m].state].name)
}

fn number(form: &Form, (m, i): (usize, usize), now: &Situation) -> String {
    format!("{} is {}", number_name(form, m, i), now.machines[m].numbers[i])
}
