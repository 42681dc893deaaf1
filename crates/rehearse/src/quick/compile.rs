//! From the machine form to flat arrays.

use super::{
    Action, At, Machine, Op, Prompt, Remember, Rules, State, Stored, Test, Ties, Timer, Trigger, Unfit,
    Wakes, Way, YES, machine_bit,
};
use rules::form::{self, Expr, Form, Node, each_node};
use std::collections::BTreeSet;

/// A set of buttons is one word.
const MAX_BUTTONS: usize = 64;

impl Rules {
    /// Makes a form ready.
    ///
    /// # Errors
    /// Where there are more than 64 buttons.
    pub fn new(form: &Form) -> Result<Self, Unfit> {
        if form.buttons.len() > MAX_BUTTONS {
            let many = form.buttons.len();
            return Err(Unfit(format!(
                "rules with {many} buttons cannot be rehearsed; {MAX_BUTTONS} is the most"
            )));
        }
        let mut compiling = Compiling::new(form);
        let machines =
            form.machines.iter().enumerate().map(|(m, machine)| compiling.machine(m, machine)).collect();
        let prompts = form.prompts.iter().map(|prompt| compiling.prompt(prompt)).collect();
        let bout = form.bout.as_ref().map(|bout| {
            let mut asked = Wakes::default();
            asks(bout, &mut asked);
            (compiling.condition(None, bout), asked.machines)
        });
        let ranges = form.machines.iter().flat_map(|machine| &machine.numbers);
        let mut machines: Vec<Machine> = machines;
        for (slot, m) in &compiling.watched {
            machines[*m].watched.push(*slot);
        }
        Ok(Self {
            form: form.clone(),
            machines,
            timers: timers(form),
            ranges: ranges.map(|number| (number.min, number.max)).collect(),
            prompts,
            bout,
            ops: compiling.ops,
            tests: compiling.tests,
        })
    }
}

fn timers(form: &Form) -> Vec<Timer> {
    let mut timers = Vec::new();
    for machine in &form.machines {
        for (i, timer) in machine.timers.iter().enumerate() {
            timers.push(if timer.cycle {
                Timer::Cycle(u64::from(timer.max.max(1)))
            } else if machine.remembers.iter().any(|one| one.timer == i) {
                Timer::Remember
            } else {
                Timer::Plain
            });
        }
    }
    timers
}

/// The bit of a button.
pub(crate) fn bit(button: usize) -> u64 {
    1 << (button % MAX_BUTTONS)
}

/// What can make a way possible.
fn way_wakes(m: usize, machine: &form::Machine, way: &form::Transition) -> Wakes {
    let mut wakes = Wakes::default();
    match &way.trigger {
        form::Trigger::Press { button } => wakes.buttons = bit(*button),
        form::Trigger::Message { any } => {
            wakes.messages = any.iter().fold(0, |all, message| all | message_bit(*message));
        }
        form::Trigger::Timer { .. } => wakes.machines = machine_bit(m),
        form::Trigger::Always => {}
    }
    way.condition.iter().for_each(|condition| asks(condition, &mut wakes));
    // A remembered press may be heard in any tick.
    if !machine.remembers.is_empty() {
        wakes.hands = u64::MAX;
    }
    wakes
}

/// What can make a way out of a state possible, or is remembered in it. Its own acts always do.
fn state_wakes(m: usize, machine: &form::Machine, ways: &[Way]) -> Wakes {
    let mut wakes = Wakes { machines: machine_bit(m), ..Wakes::default() };
    wakes.buttons = machine.remembers.iter().fold(0, |all, one| all | bit(one.button));
    for way in ways {
        wakes.machines |= way.wakes.machines;
        wakes.buttons |= way.wakes.buttons;
        wakes.messages |= way.wakes.messages;
        wakes.hands |= way.wakes.hands;
    }
    wakes
}

/// Adds what an expression asks about.
fn asks(expr: &Expr, wakes: &mut Wakes) {
    each_node(expr, &mut |node| match node {
        Node::Number { m, .. } | Node::In { m, .. } | Node::Running { m, .. } | Node::Due { m, .. } => {
            wakes.machines |= machine_bit(*m);
        }
        Node::Held { .. } | Node::Pressed { .. } => wakes.hands = u64::MAX,
        _ => {}
    });
}

/// The bit of a message.
pub(crate) fn message_bit(message: usize) -> u64 {
    1 << (message % 64)
}

pub(crate) struct Compiling<'a> {
    form: &'a Form,
    ops: Vec<Op>,
    pub(crate) tests: Vec<Test>,
    /// How many timers there are.
    timers: usize,
    /// Timer and machine.
    watched: BTreeSet<(usize, usize)>,
    /// First number and first timer of each machine.
    first: Vec<(usize, usize)>,
}

impl<'a> Compiling<'a> {
    fn new(form: &'a Form) -> Self {
        let mut next = (0, 0);
        let mut first = Vec::new();
        for machine in &form.machines {
            first.push(next);
            next = (next.0 + machine.numbers.len(), next.1 + machine.timers.len());
        }
        Self { form, ops: Vec::new(), tests: Vec::new(), timers: next.1, watched: BTreeSet::new(), first }
    }

    fn machine(&mut self, m: usize, machine: &form::Machine) -> Machine {
        let (number, timer) = self.first[m];
        let remember = |one: &form::Remember| Remember {
            button: bit(one.button),
            slot: timer + one.timer,
            ticks: u64::from(one.ticks),
        };
        let ties = machine.ties.as_ref().map(|ties| match ties {
            form::Ties::First { side } => Ties::First(*side),
            form::Ties::Alternately { turn } => Ties::Alternately(number + turn),
            form::Ties::Random { .. } => Ties::Random,
        });
        Machine {
            number,
            numbers: machine.numbers.len(),
            timer,
            timers: machine.timers.len(),
            remembers: machine.remembers.iter().map(remember).collect(),
            ties,
            watched: Vec::new(),
            states: machine.states.iter().map(|state| self.state(m, state)).collect(),
        }
    }

    fn state(&mut self, m: usize, state: &form::State) -> State {
        let timer = self.first[m].1;
        let ways: Vec<Way> = state.transitions.iter().map(|way| self.way(m, way)).collect();
        State {
            dwells: state.dwells.iter().map(|dwell| (timer + dwell.timer, u64::from(dwell.ticks))).collect(),
            entry: self.actions(m, &state.entry),
            exit: self.actions(m, &state.exit),
            wakes: state_wakes(m, &self.form.machines[m], &ways),
            ways,
        }
    }

    fn way(&mut self, m: usize, way: &form::Transition) -> Way {
        let (always, never) = (self.timers, self.timers + 1);
        let mut trigger = Trigger { button: 0, timer: never, messages: 0, any: Box::default() };
        match &way.trigger {
            form::Trigger::Always => trigger.timer = always,
            form::Trigger::Press { button } => trigger.button = bit(*button),
            form::Trigger::Message { any } => {
                trigger.messages = any.iter().fold(0, |all, message| all | message_bit(*message));
                trigger.any = any.as_slice().into();
            }
            form::Trigger::Timer { timer } => trigger.timer = self.timer(m, *timer),
        }
        Way {
            wakes: way_wakes(m, &self.form.machines[m], way),
            trigger,
            condition: way.condition.as_ref().map_or(YES, |condition| self.condition(Some(m), condition)),
            side: way.side,
            actions: self.actions(m, &way.actions),
            go: way.go,
        }
    }

    fn actions(&mut self, m: usize, actions: &[form::Action]) -> Vec<Action> {
        actions.iter().map(|action| self.action(m, action)).collect()
    }

    fn action(&mut self, m: usize, action: &form::Action) -> Action {
        let (number, timer) = self.first[m];
        match action {
            form::Action::Set { number: i, to } => Action::Set { slot: number + i, to: self.stored(m, to) },
            form::Action::Start { timer: i, ticks } => Action::Start {
                slot: timer + i,
                longest: i32::try_from(self.form.machines[m].timers[*i].max).unwrap_or(i32::MAX),
                ticks: self.stored(m, ticks),
            },
            form::Action::Stop { timer: i } => Action::Stop(timer + i),
            form::Action::Send { message } => Action::Send(*message),
            form::Action::Press { button } => Action::Press(bit(*button)),
            form::Action::Play { sound } => Action::Play(*sound),
        }
    }

    fn stored(&mut self, m: usize, expr: &Expr) -> Stored {
        match expr.node {
            Node::Pick { lo, hi, .. } => Stored::Pick { lo, hi },
            Node::Draw { bag, lo, hi, .. } => Stored::Draw { bag: self.first[m].0 + bag, lo, hi },
            _ => Stored::Value(self.expr(Some(m), expr)),
        }
    }

    fn prompt(&mut self, prompt: &form::Prompt) -> Prompt {
        let mut asked = Wakes::default();
        asks(&prompt.when, &mut asked);
        prompt.coming.iter().for_each(|coming| asks(coming, &mut asked));
        Prompt {
            asks: asked.machines,
            side: prompt.side,
            button: bit(prompt.button),
            when: self.condition(None, &prompt.when),
            coming: prompt.coming.as_ref().map(|coming| self.condition(None, coming)),
        }
    }

    /// An expression as a machine reads it, or somebody outside all machines.
    pub(crate) fn expr(&mut self, own: Option<usize>, expr: &Expr) -> At {
        let op = match &expr.node {
            Node::Const { v } => Op::Const(*v),
            Node::Number { m, i } => Op::Number { own: own == Some(*m), slot: self.number(*m, *i) },
            Node::In { m, s } => Op::In { own: own == Some(*m), machine: *m, state: *s },
            Node::Running { m, i } => Op::Running { own: own == Some(*m), slot: self.timer(*m, *i) },
            Node::Due { m, i } => Op::Due { own: own == Some(*m), slot: self.timer(*m, *i) },
            Node::Held { b } => Op::Held(bit(*b)),
            Node::Pressed { b } => Op::Pressed(bit(*b)),
            Node::Setting { i } => Op::Setting(*i),
            Node::Not { a } => Op::Not(self.expr(own, a)),
            Node::Neg { a } => Op::Neg(self.expr(own, a)),
            Node::Two { f, a, b } => {
                let (a, b) = (self.expr(own, a), self.expr(own, b));
                Op::Two(*f, a, b)
            }
            // The reader lets a pick or a draw stand only where `stored` meets it first.
            Node::Pick { lo, .. } | Node::Draw { lo, .. } => Op::Const(*lo),
            // The reader lets these stand only in what is lit.
            Node::Left { .. } => Op::Const(0),
            Node::Spot => Op::Const(1),
        };
        self.ops.push(op);
        self.ops.len() - 1
    }

    pub(crate) fn number(&self, m: usize, i: usize) -> usize {
        self.first[m].0 + i
    }

    /// A timer that somebody asks about.
    pub(crate) fn timer(&mut self, m: usize, i: usize) -> usize {
        let slot = self.first[m].1 + i;
        self.watched.insert((slot, m));
        slot
    }
}
