//! One tick: the referee's meaning of the rules, which every other player is held against.
//!
//! Written for reading, in the order of the six steps of a tick (ARCHITECTURE.md, "The tick"), with nothing shared or
//! remembered between them.

mod lit;

pub use lit::frame;

use crate::form::{Action, Expr, Form, Node, Ties, Transition, Trigger};
use crate::random;

/// Off, running with ticks left, or due.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Clock {
    /// Neither running nor due.
    #[default]
    Off,
    /// Running; at least 1 tick left.
    Running(u32),
    /// Run down, and not yet answered.
    Due,
}

/// One machine at one moment.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Being {
    /// The state it is in, by position.
    pub state: usize,
    /// Its numbers.
    pub numbers: Vec<i32>,
    /// Its timers.
    pub timers: Vec<Clock>,
    /// Its stream of random picks.
    pub stream: u32,
}

/// Everything that the next tick depends on, besides its inputs.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Situation {
    /// The machines, in the form's order.
    pub machines: Vec<Being>,
    /// Which messages were sent in the last tick, by position.
    pub sent: Vec<bool>,
    /// Which buttons were pressed by the rules themselves in the last tick.
    pub simulated: Vec<bool>,
    /// Which sounds begin in this tick.
    pub playing: Vec<bool>,
    /// The settings.
    pub settings: Vec<i32>,
}

/// What tick 0 starts from besides the rules.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Start {
    /// Values kept from last time, in the order of [`Form::kept`]; none, or too few, start as the rules say. Held to range.
    pub kept: Vec<Option<i32>>,
    /// The settings; none, or too few, are as the rules say. Held to range.
    pub settings: Vec<Option<i32>>,
}

/// A value given to or taken from one picking place in one tick.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pick {
    /// The picking place.
    pub site: u32,
    /// The value picked.
    pub value: i32,
}

/// What comes in from outside in one tick.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Input {
    /// Conditioned edges of real buttons, by position; shorter means no more.
    pub pressed: Vec<bool>,
    /// Real buttons that are down, by position; shorter means no more.
    pub held: Vec<bool>,
    /// Picks to use in place of the streams' own. The streams move on just the same.
    pub picks: Vec<Pick>,
}

/// What is lit.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Frame {
    /// For every figure the pose it shows, by position; none is dark.
    pub poses: Vec<Option<usize>>,
    /// For every spot its level, 0 to 255.
    pub spots: Vec<u8>,
    /// For every digits the number shown; none is blank.
    pub digits: Vec<Option<i32>>,
    /// For every digits whether its leading zeros are lit.
    pub zeros: Vec<bool>,
    /// For every sound whether it begins in this tick.
    pub sounds: Vec<bool>,
}

/// What a tick gives.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outcome {
    /// The situation after it.
    pub situation: Situation,
    /// The random values that were picked in it, in the order of the machines.
    pub picked: Vec<Pick>,
}

/// Tick 0 with nothing kept and nothing set.
pub fn begin(form: &Form, picks: &[Pick]) -> Outcome {
    begin_from(form, &Start::default(), picks)
}

/// Tick 0: the initial states are entered; whatever is pressed counts for nothing.
pub fn begin_from(form: &Form, start: &Start, picks: &[Pick]) -> Outcome {
    let mut machines: Vec<Being> = form
        .machines
        .iter()
        .map(|machine| Being {
            state: 0,
            numbers: machine.numbers.iter().map(|number| number.start).collect(),
            timers: vec![Clock::Off; machine.timers.len()],
            stream: random::seed(form.seed, &machine.name),
        })
        .collect();
    for ((m, i), kept) in form.kept().into_iter().zip(&start.kept) {
        if let Some(kept) = kept {
            let range = &form.machines[m].numbers[i];
            machines[m].numbers[i] = (*kept).clamp(range.min, range.max);
        }
    }
    let set = |(i, setting): (usize, &crate::form::Setting)| {
        let given = start.settings.get(i).copied().flatten();
        given.unwrap_or(setting.start).clamp(setting.min, setting.max)
    };
    let blank = Situation {
        machines,
        sent: vec![false; form.messages.len()],
        simulated: vec![false; form.buttons.len()],
        playing: vec![false; form.sounds.len()],
        settings: form.settings.iter().enumerate().map(set).collect(),
    };
    let nothing = Input { picks: picks.to_vec(), ..Input::default() };
    let mut tick = Tick::new(form, &blank, &blank.simulated, &nothing);
    for m in 0..form.machines.len() {
        tick.enter(m, 0);
    }
    tick.outcome()
}

/// The kept values after a tick, in the order of [`Form::kept`]: what is worth storing until next time.
pub fn kept(form: &Form, situation: &Situation) -> Vec<i32> {
    form.kept().into_iter().map(|(m, i)| situation.machines[m].numbers[i]).collect()
}

/// Tick n, from the situation after tick n-1.
pub fn step(form: &Form, before: &Situation, input: &Input) -> Outcome {
    step_on(form, before.clone(), input)
}

/// The same where the situation before is not needed any more.
pub fn step_on(form: &Form, before: Situation, input: &Input) -> Outcome {
    // 1. Inputs: conditioned edges, and what the rules pressed in the last tick.
    let pressed: Vec<bool> = (0..form.buttons.len())
        .map(|b| before.simulated[b] || input.pressed.get(b).copied().unwrap_or(false))
        .collect();
    // 2. Running timers lose one.
    let mut snapshot = before;
    for (being, machine) in snapshot.machines.iter_mut().zip(&form.machines) {
        for (clock, timer) in being.timers.iter_mut().zip(&machine.timers) {
            *clock = match *clock {
                Clock::Running(left) if left <= 1 && timer.cycle => Clock::Running(timer.max),
                Clock::Running(left) if left <= 1 => Clock::Due,
                Clock::Running(left) => Clock::Running(left - 1),
                still => still,
            };
        }
    }
    // 3. The snapshot is frozen: from here on it is only read.
    let mut tick = Tick::new(form, &snapshot, &pressed, input);
    for m in 0..form.machines.len() {
        // 4. The first written transition whose trigger is present and whose condition is true.
        let choice = tick.choose(m);
        tick.remember(m, &choice);
        if let Some(transition) = choice.taken {
            // 5. Exit, transition, entry.
            tick.take(m, transition);
        }
    }
    // 6. All is committed at once.
    tick.outcome()
}

/// A tick at work: the frozen snapshot, and what has been written so far.
struct Tick<'a> {
    form: &'a Form,
    snapshot: &'a Situation,
    pressed: &'a [bool],
    input: &'a Input,
    after: Situation,
    picked: Vec<Pick>,
}

/// What a machine does in a tick.
#[derive(Default)]
struct Choice<'a> {
    taken: Option<&'a Transition>,
    /// Buttons whose press a tie made vanish.
    vanished: Vec<usize>,
}

impl<'a> Tick<'a> {
    fn new(form: &'a Form, snapshot: &'a Situation, pressed: &'a [bool], input: &'a Input) -> Self {
        let mut after = snapshot.clone();
        after.sent.fill(false);
        after.simulated.fill(false);
        after.playing.fill(false);
        Self { form, snapshot, pressed, input, after, picked: Vec::new() }
    }

    fn outcome(self) -> Outcome {
        Outcome { situation: self.after, picked: self.picked }
    }

    fn choose(&mut self, m: usize) -> Choice<'a> {
        let state = &self.form.machines[m].states[self.snapshot.machines[m].state];
        let mut able = state.transitions.iter().filter(|way| self.can_go(m, way));
        if self.form.machines[m].ties.is_none() {
            return Choice { taken: able.next(), ..Choice::default() };
        }
        let able: Vec<&Transition> = able.collect();
        let Some(favoured) = self.favoured(m, &able) else {
            return Choice { taken: able.first().copied(), ..Choice::default() };
        };
        let out = |way: &&Transition| way.side.is_some_and(|side| side != favoured);
        let press = |way: &Transition| match way.trigger {
            Trigger::Press { button } => Some(button),
            _ => None,
        };
        Choice {
            taken: able.iter().copied().find(|way| !out(way)),
            vanished: able.iter().copied().filter(out).filter_map(press).collect(),
        }
    }

    fn can_go(&self, m: usize, way: &Transition) -> bool {
        let present = match &way.trigger {
            Trigger::Always => true,
            Trigger::Press { button } => self.pressed[*button] || self.remembered(m, *button),
            Trigger::Message { any } => any.iter().any(|&message| self.snapshot.sent[message]),
            Trigger::Timer { timer } => self.snapshot.machines[m].timers[*timer] == Clock::Due,
        };
        present && way.condition.as_ref().is_none_or(|condition| self.value(m, condition) != 0)
    }

    fn remembered(&self, m: usize, button: usize) -> bool {
        let timers = &self.snapshot.machines[m].timers;
        let mut all = self.form.machines[m].remembers.iter();
        all.any(|one| one.button == button && timers[one.timer] != Clock::Off)
    }

    /// The side that a tie is settled for; none where ways of fewer than two sides can go.
    fn favoured(&mut self, m: usize, able: &[&Transition]) -> Option<usize> {
        let ties = self.form.machines[m].ties.as_ref()?;
        let tied: std::collections::BTreeSet<usize> = able.iter().filter_map(|way| way.side).collect();
        if tied.len() < 2 {
            return None;
        }
        let count = self.form.sides.len().max(1);
        let from = match ties {
            Ties::First { side } => *side,
            Ties::Alternately { turn } => {
                usize::try_from(self.snapshot.machines[m].numbers[*turn]).unwrap_or(0)
            }
            Ties::Random { site } => {
                let last = i32::try_from(count).unwrap_or(1);
                usize::try_from(self.pick(m, *site, 1, last) - 1).unwrap_or(0)
            }
        };
        let favoured = (0..count).map(|next| (from + next) % count).find(|side| tied.contains(side))?;
        if let Ties::Alternately { turn } = ties {
            let next = i32::try_from((favoured + 1) % count).unwrap_or(0);
            self.after.machines[m].numbers[*turn] = next;
        }
        Some(favoured)
    }

    /// A press that is used, or vanishes in a tie, is forgotten; another one is remembered from now on; an old one fades.
    fn remember(&mut self, m: usize, choice: &Choice) {
        for one in &self.form.machines[m].remembers {
            let trigger = Trigger::Press { button: one.button };
            let used = choice.taken.is_some_and(|way| way.trigger == trigger);
            let clock = &mut self.after.machines[m].timers[one.timer];
            if used || choice.vanished.contains(&one.button) {
                *clock = Clock::Off;
            } else if self.pressed[one.button] {
                *clock = Clock::Running(one.ticks);
            } else if *clock == Clock::Due {
                *clock = Clock::Off;
            }
        }
    }

    fn take(&mut self, m: usize, transition: &Transition) {
        let machine = &self.form.machines[m];
        if let Trigger::Timer { timer } = transition.trigger {
            self.after.machines[m].timers[timer] = Clock::Off;
        }
        if transition.go.is_some() {
            let left = &machine.states[self.after.machines[m].state];
            self.perform(m, &left.exit);
            for dwell in &left.dwells {
                self.after.machines[m].timers[dwell.timer] = Clock::Off;
            }
        }
        self.perform(m, &transition.actions);
        if let Some(next) = transition.go {
            self.enter(m, next);
        }
    }

    fn enter(&mut self, m: usize, state: usize) {
        self.after.machines[m].state = state;
        let entered = &self.form.machines[m].states[state];
        for dwell in &entered.dwells {
            self.after.machines[m].timers[dwell.timer] = Clock::Running(dwell.ticks);
        }
        self.perform(m, &entered.entry);
    }

    fn perform(&mut self, m: usize, actions: &[Action]) {
        let machine = &self.form.machines[m];
        for action in actions {
            match action {
                Action::Set { number, to } => {
                    let value = self.stored(m, to);
                    let range = &machine.numbers[*number];
                    self.after.machines[m].numbers[*number] = value.clamp(range.min, range.max);
                }
                Action::Start { timer, ticks } => {
                    let longest = i32::try_from(machine.timers[*timer].max).unwrap_or(i32::MAX);
                    let ticks = self.stored(m, ticks).clamp(1, longest);
                    self.after.machines[m].timers[*timer] = Clock::Running(ticks.unsigned_abs());
                }
                Action::Stop { timer } => self.after.machines[m].timers[*timer] = Clock::Off,
                Action::Send { message } => self.after.sent[*message] = true,
                Action::Press { button } => self.after.simulated[*button] = true,
                Action::Play { sound } => self.after.playing[*sound] = true,
            }
        }
    }

    /// A value about to be stored: the only place where a pick or a draw may stand.
    fn stored(&mut self, m: usize, expr: &Expr) -> i32 {
        match expr.node {
            Node::Pick { site, lo, hi } => self.pick(m, site, lo, hi),
            Node::Draw { site, bag, lo, hi } => self.draw(m, site, bag, (lo, hi)),
            _ => self.value(m, expr),
        }
    }

    fn pick(&mut self, m: usize, site: u32, lo: i32, hi: i32) -> i32 {
        let own = random::within(self.word(m), lo, hi);
        let value = self.given(site, lo, hi).unwrap_or(own);
        self.picked.push(Pick { site, value });
        value
    }

    /// The next word of the machine's stream.
    fn word(&mut self, m: usize) -> u32 {
        let stream = &mut self.after.machines[m].stream;
        *stream = random::next(*stream);
        *stream
    }

    fn given(&self, site: u32, lo: i32, hi: i32) -> Option<i32> {
        self.input.picks.iter().find(|pick| pick.site == site).map(|pick| pick.value.clamp(lo, hi))
    }

    /// A value out of a bag: the pick says which of those still in it, counted from the least.
    fn draw(&mut self, m: usize, site: u32, bag: usize, (lo, hi): (i32, i32)) -> i32 {
        let values = lo.abs_diff(hi) + 1;
        let left = self.after.machines[m].numbers[bag].unsigned_abs();
        let left = if left == 0 { (1 << values) - 1 } else { left };
        let last = i32::try_from(left.count_ones()).unwrap_or(1) - 1;
        let nth = usize::try_from(random::within(self.word(m), 0, last)).unwrap_or(0);
        let is_in = |bit: &u32| left & 1 << bit != 0;
        let own = (0..values).filter(is_in).nth(nth).unwrap_or(0);
        let bit = match self.given(site, lo, hi).map(|value| lo.abs_diff(value)) {
            Some(given) => (given..values).chain(0..given).find(is_in).unwrap_or(own),
            None => own,
        };
        self.after.machines[m].numbers[bag] = i32::try_from(left & !(1 << bit)).unwrap_or(0);
        let value = lo.saturating_add(i32::try_from(bit).unwrap_or(0));
        self.picked.push(Pick { site, value });
        value
    }

    /// What an expression comes to, for the spot of a row that is being lit.
    fn value_at(&self, m: usize, expr: &Expr, spot: i32) -> i32 {
        match &expr.node {
            Node::Spot => spot,
            Node::Not { a } => i32::from(self.value_at(m, a, spot) == 0),
            Node::Neg { a } => self.value_at(m, a, spot).wrapping_neg(),
            Node::Two { f, a, b } => f.of(self.value_at(m, a, spot), self.value_at(m, b, spot)),
            _ => self.value(m, expr),
        }
    }

    /// What an expression comes to for machine `m`: its own values as written so far, everything foreign as frozen.
    fn value(&self, m: usize, expr: &Expr) -> i32 {
        let being = |of: usize| if of == m { &self.after.machines[of] } else { &self.snapshot.machines[of] };
        match &expr.node {
            Node::Const { v } => *v,
            Node::Number { m: of, i } => being(*of).numbers[*i],
            Node::In { m: of, s } => i32::from(being(*of).state == *s),
            Node::Running { m: of, i } => i32::from(matches!(being(*of).timers[*i], Clock::Running(_))),
            Node::Due { m: of, i } => i32::from(being(*of).timers[*i] == Clock::Due),
            Node::Held { b } => i32::from(self.input.held.get(*b).copied().unwrap_or(false)),
            Node::Pressed { b } => i32::from(self.pressed[*b]),
            Node::Setting { i } => self.snapshot.settings[*i],
            Node::Left { m: of, i } => match being(*of).timers[*i] {
                Clock::Running(left) => i32::try_from(left).unwrap_or(i32::MAX),
                Clock::Off | Clock::Due => 0,
            },
            // The reader lets a pick or a draw stand only where `stored` meets it first.
            Node::Pick { lo, .. } | Node::Draw { lo, .. } => *lo,
            // What is made of parts; `spot` stands only where a row is lit.
            Node::Spot | Node::Not { .. } | Node::Neg { .. } | Node::Two { .. } => self.value_at(m, expr, 1),
        }
    }
}
