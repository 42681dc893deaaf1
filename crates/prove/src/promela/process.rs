//! The process around the machines' turns: what it keeps, what is chosen freely, the tick, the claims.

use super::expression::{Reading, Var, kind};
use super::machine::Turn;
use super::{Presses, Unsaid};
use crate::model::{Model, worked_out};
use crate::watch::Watch;
use rules::form::{Action, Form, Machine, Node, Ties, Trigger};
use std::collections::{BTreeMap, BTreeSet};

pub(super) struct Process<'a> {
    form: &'a Form,
    name: &'a str,
    presses: Presses,
    /// The claims, as the searches watch them.
    watches: Vec<Watch>,
    /// The searches' reckoning of picks, held buttons and listening, for each claim.
    models: Vec<Model>,
}

impl<'a> Process<'a> {
    pub(super) fn new(
        form: &'a Form,
        claims: &[&str],
        name: &'a str,
        presses: Presses,
    ) -> Result<Self, Unsaid> {
        let mut watches = Vec::new();
        for claim in claims {
            let found = form.claims.iter().find(|one| one.name == *claim);
            let found = found.ok_or_else(|| Unsaid(format!("the rules make no claim `{claim}`")))?;
            watches.push(Watch::of_claim(found));
        }
        if watches.is_empty() || watches.len() > 255 {
            return Err(Unsaid("a model is of 1 to 255 claims".into()));
        }
        if form.sides.len() > 30 || form.machines.is_empty() {
            return Err(Unsaid("a model has at least one machine and at most 30 sides".into()));
        }
        let models = watches.iter().map(|watch| Model::whole(form, watch)).collect::<Result<_, _>>()?;
        Ok(Self { form, name, presses, watches, models })
    }

    /// `active`: what stands in front of the process type.
    pub(super) fn text(&self, active: &str) -> Result<String, Unsaid> {
        let (before, settings) = (BTreeSet::new(), BTreeSet::new());
        let mut reading = Reading { form: self.form, process: self.name, before, settings };
        // The turns are written first: they say what must be copied before.
        let (mut turns, mut entries) = (Vec::new(), Vec::new());
        for m in 0..self.form.machines.len() {
            let mut turn = Turn { reading: &mut reading, m, lines: Vec::new() };
            turn.tick()?;
            turns.append(&mut turn.lines);
            turn.enter(0)?;
            entries.append(&mut turn.lines);
        }
        let causes = self.causes(&mut reading)?;
        let asserted = self.asserted(&mut reading)?;
        let settings = std::mem::take(&mut reading.settings);
        let mut body = self.kept_variables(&settings);
        body.extend(self.start(&settings));
        body.push("d_step {".into());
        body.extend(self.form.buttons.iter().enumerate().map(|(b, _)| format!("{}_e{b} = 0;", self.name)));
        let copies: Vec<String> =
            reading.before.iter().map(|var| format!("{} = {};", reading.old(*var), var.name())).collect();
        body.extend(copies.iter().cloned());
        body.extend(entries);
        body.extend(self.asserted_at_first(&mut reading)?);
        body.extend(self.forget_choices());
        body.extend(["skip }".to_owned(), "};".into(), "do".into(), ":: atomic {".into()]);
        body.extend(self.press());
        body.extend(self.pick());
        body.push("d_step {".into());
        body.extend(self.count());
        body.extend(causes);
        body.extend(copies);
        body.extend((0..self.form.messages.len()).map(|k| format!("{}_o_c{k} = c{k}; c{k} = 0;", self.name)));
        body.extend(turns);
        body.extend(asserted);
        body.extend(self.forget_choices());
        body.extend(["skip }".to_owned(), "}".into(), "od".into()]);
        let argument = if self.watches.len() > 1 { "byte claim" } else { "" };
        let head = format!("{active}proctype {}({argument}) {{", self.name);
        let scratch = self.scratch(&reading);
        Ok([scratch, vec![head], body, vec!["}".into(), String::new()]].concat().join("\n"))
    }

    fn tracked(&self, b: usize) -> bool {
        self.models.iter().any(|model| model.tracked[b])
    }

    fn simulates(&self) -> bool {
        self.models.iter().any(Model::simulates)
    }

    /// Every picking place with its bounds.
    fn sites(&self) -> BTreeMap<u32, (i32, i32)> {
        self.models.first().map(|model| model.sites.clone()).unwrap_or_default()
    }

    /// Variables that live within a tick: no part of a state.
    fn scratch(&self, reading: &Reading) -> Vec<String> {
        let mut names: Vec<String> = ["w", "v", "x", "f"].map(str::to_owned).to_vec();
        let buttons = 0..self.form.buttons.len();
        names.extend(buttons.flat_map(|b| [format!("e{b}"), format!("z{b}")]));
        names.extend((0..self.form.messages.len()).map(|k| format!("o_c{k}")));
        names.extend((0..self.watches.len()).map(|n| format!("q{n}")));
        let states = self.form.machines.iter().flat_map(|machine| &machine.states);
        let ways = states.map(|state| state.transitions.len()).max().unwrap_or(0);
        names.extend((0..ways).map(|k| format!("a{k}")));
        let old = reading.before.iter().map(|var| format!("o_{}", var.name()));
        names.extend(old);
        names.into_iter().map(|name| format!("hidden int {};", reading.scratch(&name))).collect()
    }

    /// What a situation holds, and what is chosen for a tick (0, or least, between ticks).
    fn kept_variables(&self, settings: &BTreeSet<usize>) -> Vec<String> {
        let mut lines = Vec::new();
        let mut declare = |least: i64, most: i64, name: String, start: i64| {
            lines.push(format!("{} {name} = {start};", kind(least, most)));
        };
        for (m, machine) in self.form.machines.iter().enumerate() {
            declare(0, i64::try_from(machine.states.len()).unwrap_or(i64::MAX) - 1, Var::State(m).name(), 0);
            for (i, number) in machine.numbers.iter().enumerate() {
                let range = (i64::from(number.min), i64::from(number.max));
                declare(range.0, range.1, Var::Number(m, i).name(), number.start.into());
            }
            for i in 0..machine.timers.len() {
                declare(0, longest(machine, i) + 1, Var::Timer(m, i).name(), 0);
            }
        }
        (0..self.form.messages.len()).for_each(|k| declare(0, 1, format!("c{k}"), 0));
        for b in 0..self.form.buttons.len() {
            declare(0, 1, format!("p{b}"), 0);
            if self.simulates() {
                declare(0, 1, format!("r{b}"), 0);
            }
            if self.tracked(b) {
                declare(0, 1, format!("h{b}"), 0);
            }
        }
        for i in settings {
            let setting = &self.form.settings[*i];
            declare(setting.min.into(), setting.max.into(), format!("g{i}"), setting.min.into());
        }
        for (site, (lo, hi)) in self.sites() {
            declare(lo.into(), hi.into(), format!("k{site}"), lo.into());
        }
        let ticks = self.watches.iter().map(Watch::longest).max().unwrap_or(0);
        if ticks > 0 {
            declare(0, i64::from(ticks), "wait".into(), 0);
        }
        lines
    }

    /// Before tick 0: kept values and settings are anything in their ranges; places that pick on entry are any of theirs.
    fn start(&self, settings: &BTreeSet<usize>) -> Vec<String> {
        let mut lines = vec!["atomic {".to_owned()];
        for (m, i) in self.form.kept() {
            let number = &self.form.machines[m].numbers[i];
            lines.push(any(&Var::Number(m, i).name(), number.min, number.max));
        }
        for i in settings {
            let setting = &self.form.settings[*i];
            lines.push(any(&format!("g{i}"), setting.min, setting.max));
        }
        let entered = self.form.machines.iter().filter_map(|machine| machine.states.first());
        let sites: BTreeSet<u32> = entered.flat_map(|state| sites_in(&state.entry)).collect();
        let bounds = self.sites();
        lines.extend(sites.iter().filter_map(|site| {
            let (lo, hi) = bounds.get(site)?;
            Some(any(&format!("k{site}"), *lo, *hi))
        }));
        lines
    }

    /// Each button: as it is, pressed, or let go.
    fn press(&self) -> Vec<String> {
        let one = |b: usize| {
            if self.tracked(b) {
                return format!("if :: skip :: h{b} == 0 -> p{b} = 1; h{b} = 1 :: h{b} == 1 -> h{b} = 0 fi;");
            }
            let heard = match self.presses {
                Presses::Any => "1".to_owned(),
                Presses::Heard => self.heard(b),
            };
            format!("if :: skip :: {heard} -> p{b} = 1 fi;")
        };
        (0..self.form.buttons.len()).map(one).collect()
    }

    /// Whether some machine in its present state, or a claim, listens to the button.
    fn heard(&self, b: usize) -> String {
        let mut places = BTreeSet::new();
        for model in &self.models {
            for (m, machine) in self.form.machines.iter().enumerate() {
                let states = (0..machine.states.len()).filter(|s| model.listening_to(m, *s) >> b & 1 == 1);
                places.extend(states.map(|s| format!("{} == {s}", Var::State(m).name())));
            }
        }
        if places.is_empty() { "0".into() } else { places.into_iter().collect::<Vec<_>>().join(" || ") }
    }

    /// A value for each place that may pick in this tick; any other keeps its least one.
    fn pick(&self) -> Vec<String> {
        let mut guards: BTreeMap<u32, BTreeSet<String>> = BTreeMap::new();
        for (m, machine) in self.form.machines.iter().enumerate() {
            for (s, state) in machine.states.iter().enumerate() {
                let here = format!("s{m} == {s}");
                if let Some(Ties::Random { site }) = machine.ties {
                    guards.entry(site).or_default().insert(here.clone());
                }
                for way in &state.transitions {
                    let mut sites = sites_in(&way.actions);
                    if let Some(next) = way.go {
                        sites.extend(sites_in(&state.exit));
                        sites.extend(sites_in(&machine.states[next].entry));
                    }
                    let guard = format!("({here} && ({}))", self.may_be_there((m, machine), &way.trigger));
                    sites.into_iter().for_each(|site| {
                        guards.entry(site).or_default().insert(guard.clone());
                    });
                }
            }
        }
        let bounds = self.sites();
        let choice = |(site, guards): (u32, BTreeSet<String>)| {
            let (lo, hi) = bounds.get(&site).copied().unwrap_or_default();
            let guard = guards.into_iter().collect::<Vec<_>>().join(" || ");
            format!("if :: {guard} -> {} skip :: else -> skip fi;", any(&format!("k{site}"), lo, hi))
        };
        guards.into_iter().map(choice).collect()
    }

    /// Whether a cause can be there in the tick that is about to come.
    fn may_be_there(&self, (m, machine): (usize, &Machine), trigger: &Trigger) -> String {
        match trigger {
            Trigger::Always => "1".into(),
            Trigger::Press { button } => {
                let kept = machine.remembers.iter().filter(|one| one.button == *button);
                let kept = kept.map(|one| format!(" || t{m}_{} != 0", one.timer)).collect::<String>();
                let ruled = if self.simulates() { format!(" || r{button}") } else { String::new() };
                format!("p{button}{ruled}{kept}")
            }
            Trigger::Message { any } => {
                let sent: Vec<String> = any.iter().map(|k| format!("c{k}")).collect();
                if sent.is_empty() { "0".into() } else { sent.join(" || ") }
            }
            Trigger::Timer { timer } => format!("t{m}_{timer} == 1 || t{m}_{timer} == 2"),
        }
    }

    /// Steps 1 and 2: edges are taken, running timers lose one.
    fn count(&self) -> Vec<String> {
        let mut lines = Vec::new();
        for b in 0..self.form.buttons.len() {
            lines.push(if self.simulates() {
                format!("{}_e{b} = (p{b} || r{b}); r{b} = 0;", self.name)
            } else {
                format!("{}_e{b} = p{b};", self.name)
            });
        }
        for (m, machine) in self.form.machines.iter().enumerate() {
            for (i, timer) in machine.timers.iter().enumerate() {
                let name = Var::Timer(m, i).name();
                let last = if timer.cycle { u64::from(timer.max) + 1 } else { 1 };
                lines
                    .push(format!("{name} = ({name} == 2 -> {last} : ({name} > 2 -> {name} - 1 : {name}));"));
            }
        }
        lines
    }

    /// Whether each cause is there, read as a way out of this tick reads it.
    fn causes(&self, reading: &mut Reading) -> Result<Vec<String>, Unsaid> {
        let mut lines = Vec::new();
        for (n, watch) in self.watches.iter().enumerate() {
            let Watch::Leads { cause, given, .. } = watch else { continue };
            let there = match cause {
                Trigger::Always => "1".to_owned(),
                Trigger::Press { button } => format!("{}_e{button}", self.name),
                Trigger::Message { any } if any.is_empty() => "0".into(),
                Trigger::Message { any } => {
                    any.iter().map(|k| format!("c{k}")).collect::<Vec<_>>().join(" || ")
                }
                Trigger::Timer { .. } => return Err(Unsaid("a timer is no cause of a claim".into())),
            };
            let given = match given {
                Some(given) => reading.expr(None, given)?,
                None => "1".into(),
            };
            lines.push(format!("{}_q{n} = (({there}) && {given});", self.name));
        }
        Ok(lines)
    }

    /// What must be so after a tick.
    fn asserted(&self, reading: &mut Reading) -> Result<Vec<String>, Unsaid> {
        let mut lines = Vec::new();
        for (n, watch) in self.watches.iter().enumerate() {
            if let Some(fails) = fails_now(reading, watch)? {
                lines.push(format!("assert(!({}{fails}));", self.only(n)));
                continue;
            }
            let Watch::Leads { to, ticks, .. } = watch else { continue };
            lines.push(format!("if :: {}{} -> wait = 0", self.only(n), reading.expr(None, to)?));
            lines.push(":: else ->".into());
            lines.push(format!("assert(!({}wait == 1));", self.only(n)));
            lines.push(format!(
                "if :: {}1 -> wait = (wait > 1 -> wait - 1 : ({}_q{n} -> {} : 0)) :: else -> skip fi",
                self.only(n),
                self.name,
                (*ticks).max(1)
            ));
            lines.push("fi;".into());
        }
        Ok(lines)
    }

    /// What must be so after tick 0, in which nothing can be a cause.
    fn asserted_at_first(&self, reading: &mut Reading) -> Result<Vec<String>, Unsaid> {
        let mut lines = Vec::new();
        for (n, watch) in self.watches.iter().enumerate() {
            if let Some(fails) = fails_now(reading, watch)? {
                lines.push(format!("assert(!({}{fails}));", self.only(n)));
            }
        }
        Ok(lines)
    }

    /// Only while this claim is the one that is asked about.
    fn only(&self, n: usize) -> String {
        if self.watches.len() > 1 { format!("claim == {n} && ") } else { String::new() }
    }

    /// Between ticks nothing is chosen.
    fn forget_choices(&self) -> Vec<String> {
        let presses = (0..self.form.buttons.len()).map(|b| format!("p{b} = 0;"));
        let picks = self.sites().into_iter().map(|(site, (lo, _))| format!("k{site} = {lo};"));
        presses.chain(picks).collect()
    }
}

/// When a claim about single situations fails; none for other claims.
fn fails_now(reading: &mut Reading, watch: &Watch) -> Result<Option<String>, Unsaid> {
    match watch {
        Watch::Never(what) => Ok(Some(reading.expr(None, what)?)),
        Watch::Always(what) => Ok(Some(format!("({} == 0)", reading.expr(None, what)?))),
        _ => Ok(None),
    }
}

/// Any value of a range.
fn any(name: &str, lo: i32, hi: i32) -> String {
    if i64::from(hi) - i64::from(lo) > 15 {
        return format!("{name} = {lo}; do :: {name} < {hi} -> {name}++ :: break od;");
    }
    let all: Vec<String> = (lo..=hi).map(|value| format!(":: {name} = {value}")).collect();
    format!("if {} fi;", all.join(" "))
}

/// The longest that a timer is ever started with.
fn longest(machine: &Machine, i: usize) -> i64 {
    let remembered = machine.remembers.iter().filter(|one| one.timer == i).map(|one| one.ticks);
    i64::from(remembered.fold(machine.timers[i].max, u32::max))
}

/// Places that pick in a list of actions.
fn sites_in(actions: &[Action]) -> Vec<u32> {
    let all = actions.iter().filter_map(worked_out);
    all.filter_map(|expr| match expr.node {
        Node::Pick { site, .. } | Node::Draw { site, .. } => Some(site),
        _ => None,
    })
    .collect()
}
