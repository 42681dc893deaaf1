//! One machine's turn within a tick.

use super::Unsaid;
use super::expression::{Reading, Var, held_to};
use rules::form::{Action, Expr, Machine, Node, State, Ties, Transition, Trigger};
use std::collections::BTreeSet;

/// No way is taken.
const NONE: usize = 65_535;

/// Writes one machine's turn.
pub(super) struct Turn<'a, 'r> {
    pub(super) reading: &'r mut Reading<'a>,
    pub(super) m: usize,
    pub(super) lines: Vec<String>,
}

impl<'a> Turn<'a, '_> {
    fn machine(&self) -> &'a Machine {
        &self.reading.form.machines[self.m]
    }

    fn put(&mut self, line: impl Into<String>) {
        self.lines.push(line.into());
    }

    fn scratch(&self, name: &str) -> String {
        self.reading.scratch(name)
    }

    fn timer(&self, i: usize) -> String {
        Var::Timer(self.m, i).name()
    }

    /// Steps 4 and 5: the way that is taken, and all that it does.
    pub(super) fn tick(&mut self) -> Result<(), Unsaid> {
        let machine = self.machine();
        self.put(format!("/* {} */", machine.name));
        if machine.ties.is_some() {
            for one in &machine.remembers {
                self.put(format!("{} = 0;", self.vanished(one.button)));
            }
        }
        self.put("if");
        for (s, state) in machine.states.iter().enumerate() {
            self.put(format!(":: {} == {s} -> /* {} */", Var::State(self.m).name(), state.name));
            self.choose(state)?;
            self.remember(state);
            self.put("if");
            for (k, way) in state.transitions.iter().enumerate() {
                self.put(format!(":: {} == {k} ->", self.scratch("w")));
                self.take(state, way)?;
            }
            self.put(":: else -> skip");
            self.put("fi");
        }
        self.put("fi;");
        Ok(())
    }

    fn choose(&mut self, state: &State) -> Result<(), Unsaid> {
        let able = state.transitions.iter().map(|way| self.able(way)).collect::<Result<Vec<_>, _>>()?;
        let sides: BTreeSet<usize> = state.transitions.iter().filter_map(|way| way.side).collect();
        let able = match &self.machine().ties {
            Some(ties) if sides.len() > 1 => self.settle(ties, &state.transitions, &able),
            _ => able,
        };
        let chain = able
            .iter()
            .enumerate()
            .rev()
            .fold(NONE.to_string(), |rest, (k, able)| format!("({able} -> {k} : {rest})"));
        self.put(format!("{} = {chain};", self.scratch("w")));
        Ok(())
    }

    /// Cause there, condition true.
    fn able(&mut self, way: &Transition) -> Result<String, Unsaid> {
        let there = match &way.trigger {
            Trigger::Always => "1".to_owned(),
            Trigger::Press { button } => {
                let edge = self.scratch(&format!("e{button}"));
                let kept = self.kept_presses(*button).map(|timer| format!(" || {timer} != 0"));
                format!("({edge}{})", kept.collect::<String>())
            }
            Trigger::Message { any } => {
                let heard = any.iter().map(|k| self.scratch(&format!("o_c{k}"))).collect::<Vec<_>>();
                format!("({})", if heard.is_empty() { "0".into() } else { heard.join(" || ") })
            }
            Trigger::Timer { timer } => format!("({} == 1)", self.timer(*timer)),
        };
        Ok(match &way.condition {
            Some(condition) => format!("({there} && {})", self.reading.expr(Some(self.m), condition)?),
            None => there,
        })
    }

    fn kept_presses(&self, button: usize) -> impl Iterator<Item = String> {
        let all = self.machine().remembers.iter().filter(move |one| one.button == button);
        all.map(|one| self.timer(one.timer)).collect::<Vec<_>>().into_iter()
    }

    fn vanished(&self, button: usize) -> String {
        self.scratch(&format!("z{button}"))
    }

    /// A tie: the ways of all sides but the favoured one are out. Gives what is left, by way.
    fn settle(&mut self, ties: &Ties, ways: &[Transition], able: &[String]) -> Vec<String> {
        let (tied, side) = (self.scratch("x"), self.scratch("f"));
        let flag = |turn: &Self, k: usize| turn.scratch(&format!("a{k}"));
        for (k, able) in able.iter().enumerate() {
            self.put(format!("{} = {able};", flag(self, k)));
        }
        let sides: BTreeSet<usize> = ways.iter().filter_map(|way| way.side).collect();
        let of = |turn: &Self, side: usize| {
            let own = (0..ways.len()).filter(|k| ways[*k].side == Some(side)).map(|k| flag(turn, k));
            format!("({} -> {} : 0)", own.collect::<Vec<_>>().join(" || "), 1_u64 << side)
        };
        let all: Vec<String> = sides.iter().map(|side| of(self, *side)).collect();
        self.put(format!("{tied} = {};", all.join(" + ")));
        let from = match ties {
            Ties::First { side } => side.to_string(),
            Ties::Alternately { turn } => Var::Number(self.m, *turn).name(),
            Ties::Random { site } => format!("k{site} - 1"),
        };
        let count = self.reading.form.sides.len().max(1);
        // More than one bit set.
        self.put("if");
        self.put(format!(":: ({tied} & ({tied} - 1)) != 0 ->"));
        self.put(format!("{side} = {from};"));
        self.put(format!("do :: (({tied} >> {side}) & 1) == 1 -> break"));
        self.put(format!(":: else -> {side} = ({side} + 1) % {count} od;"));
        if let Ties::Alternately { turn } = ties {
            self.put(format!("{} = ({side} + 1) % {count};", Var::Number(self.m, *turn).name()));
        }
        for (k, way) in ways.iter().enumerate() {
            let Some(own) = way.side else { continue };
            if let Trigger::Press { button } = way.trigger
                && self.machine().remembers.iter().any(|one| one.button == button)
            {
                let (gone, able) = (self.vanished(button), flag(self, k));
                self.put(format!("{gone} = ({gone} || ({able} && {side} != {own}));"));
            }
            let able = flag(self, k);
            self.put(format!("{able} = ({able} && {side} == {own});"));
        }
        self.put(":: else -> skip");
        self.put("fi;");
        (0..ways.len()).map(|k| flag(self, k)).collect()
    }

    /// A press that is used, or vanishes in a tie, is forgotten; another one is remembered from now on; an old one fades.
    fn remember(&mut self, state: &State) {
        let machine = self.machine();
        for one in &machine.remembers {
            let press = Trigger::Press { button: one.button };
            let ways = state.transitions.iter().enumerate().filter(|(_, way)| way.trigger == press);
            let mut out: Vec<String> = ways.map(|(k, _)| format!("{} == {k}", self.scratch("w"))).collect();
            if machine.ties.is_some() {
                out.push(self.vanished(one.button));
            }
            let out = if out.is_empty() { "0".to_owned() } else { out.join(" || ") };
            let (timer, edge) = (self.timer(one.timer), self.scratch(&format!("e{}", one.button)));
            let fresh = u64::from(one.ticks) + 1;
            self.put(format!(
                "{timer} = (({out}) -> 0 : ({edge} -> {fresh} : ({timer} == 1 -> 0 : {timer})));"
            ));
        }
    }

    fn take(&mut self, state: &'a State, way: &'a Transition) -> Result<(), Unsaid> {
        if let Trigger::Timer { timer } = way.trigger {
            self.put(format!("{} = 0;", self.timer(timer)));
        }
        if way.go.is_some() {
            self.perform(&state.exit)?;
            for dwell in &state.dwells {
                self.put(format!("{} = 0;", self.timer(dwell.timer)));
            }
        }
        self.perform(&way.actions)?;
        match way.go {
            Some(next) => self.enter(next),
            None => {
                self.put("skip");
                Ok(())
            }
        }
    }

    pub(super) fn enter(&mut self, state: usize) -> Result<(), Unsaid> {
        let entered = &self.machine().states[state];
        self.put(format!("{} = {state};", Var::State(self.m).name()));
        for dwell in &entered.dwells {
            self.put(format!("{} = {};", self.timer(dwell.timer), u64::from(dwell.ticks) + 1));
        }
        self.perform(&entered.entry)
    }

    fn perform(&mut self, actions: &[Action]) -> Result<(), Unsaid> {
        for action in actions {
            match action {
                Action::Set { number, to } => {
                    let value = self.stored(to)?;
                    let range = &self.machine().numbers[*number];
                    let (name, most) = (Var::Number(self.m, *number).name(), i64::from(range.max));
                    self.put(format!("{name} = {};", held_to(&value, range.min, most)));
                }
                Action::Start { timer, ticks } => {
                    let value = self.stored(ticks)?;
                    let longest = i64::from(self.machine().timers[*timer].max).min(i64::from(i32::MAX));
                    let name = self.timer(*timer);
                    self.put(format!("{name} = 1 + {};", held_to(&value, 1, longest)));
                }
                Action::Stop { timer } => self.put(format!("{} = 0;", self.timer(*timer))),
                Action::Send { message } => self.put(format!("c{message} = 1;")),
                Action::Press { button } => self.put(format!("r{button} = 1;")),
                Action::Play { .. } => {}
            }
        }
        Ok(())
    }

    /// Works out a value about to be stored; gives the name under which it is kept meanwhile.
    fn stored(&mut self, expr: &Expr) -> Result<String, Unsaid> {
        let value = self.scratch("v");
        match expr.node {
            Node::Pick { site, .. } => self.put(format!("{value} = k{site};")),
            Node::Draw { site, bag, lo, hi } => {
                let (left, bit) = (self.scratch("x"), self.scratch("f"));
                let (bag, values) = (Var::Number(self.m, bag).name(), u64::from(lo.abs_diff(hi)) + 1);
                self.put(format!("{left} = ({bag} == 0 -> {} : {bag});", (1_u64 << values) - 1));
                self.put(format!("{bit} = k{site} - ({lo});"));
                self.put(format!("do :: (({left} >> {bit}) & 1) == 1 -> break"));
                self.put(format!(":: else -> {bit} = ({bit} + 1) % {values} od;"));
                self.put(format!("{bag} = {left} - (1 << {bit});"));
                self.put(format!("{value} = {bit} + ({lo});"));
            }
            _ => {
                let text = self.reading.expr(Some(self.m), expr)?;
                self.put(format!("{value} = {text};"));
            }
        }
        Ok(value)
    }
}
