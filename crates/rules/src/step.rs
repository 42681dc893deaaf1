//! One tick: the referee's meaning of the rules, which every other player is held against.
//!
//! Written for reading, in the order of the six steps of a tick (ARCHITECTURE.md, "The tick"), with nothing shared or
//! remembered between them.

use crate::form::{Action, Expr, Form, Node, Transition, Trigger, Two};
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
}

/// What a tick gives.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outcome {
    /// The situation after it.
    pub situation: Situation,
    /// The random values that were picked in it, in the order of the machines.
    pub picked: Vec<Pick>,
}

/// Tick 0: the initial states are entered; whatever is pressed counts for nothing.
pub fn begin(form: &Form, picks: &[Pick]) -> Outcome {
    let machines: Vec<Being> = form
        .machines
        .iter()
        .map(|machine| Being {
            state: 0,
            numbers: machine.numbers.iter().map(|number| number.start).collect(),
            timers: vec![Clock::Off; machine.timers.len()],
            stream: random::seed(form.seed, &machine.name),
        })
        .collect();
    let blank = Situation {
        machines,
        sent: vec![false; form.messages.len()],
        simulated: vec![false; form.buttons.len()],
    };
    let nothing = Input { picks: picks.to_vec(), ..Input::default() };
    let mut tick = Tick::new(form, &blank, &blank.simulated, &nothing);
    for m in 0..form.machines.len() {
        tick.enter(m, 0);
    }
    tick.outcome()
}

/// Tick n, from the situation after tick n-1.
pub fn step(form: &Form, before: &Situation, input: &Input) -> Outcome {
    // 1. Inputs: conditioned edges, and what the rules pressed in the last tick.
    let pressed: Vec<bool> = (0..form.buttons.len())
        .map(|b| before.simulated[b] || input.pressed.get(b).copied().unwrap_or(false))
        .collect();
    // 2. Running timers lose one.
    let mut snapshot = before.clone();
    for timer in snapshot.machines.iter_mut().flat_map(|machine| &mut machine.timers) {
        *timer = match *timer {
            Clock::Running(left) if left <= 1 => Clock::Due,
            Clock::Running(left) => Clock::Running(left - 1),
            still => still,
        };
    }
    // 3. The snapshot is frozen: from here on it is only read.
    let mut tick = Tick::new(form, &snapshot, &pressed, input);
    for m in 0..form.machines.len() {
        // 4. The first written transition whose trigger is present and whose condition is true.
        if let Some(transition) = tick.choose(m) {
            // 5. Exit, transition, entry.
            tick.take(m, transition);
        }
    }
    // 6. All is committed at once.
    tick.outcome()
}

/// Frame n: a function of the situation after tick n.
pub fn frame(form: &Form, situation: &Situation) -> Frame {
    let mut frame = Frame {
        poses: vec![None; form.figures.len()],
        spots: vec![0; form.spots.len()],
        digits: vec![None; form.digits.len()],
    };
    let nothing = Input::default();
    let lit = Tick::new(form, situation, &situation.simulated, &nothing);
    for (m, machine) in form.machines.iter().enumerate() {
        let being = &situation.machines[m];
        for (number, value) in machine.numbers.iter().zip(&being.numbers) {
            if let Some(digits) = number.shown_on {
                frame.digits[digits] = Some(*value);
            }
        }
        let state = &machine.states[being.state];
        if let Some(shows) = &state.pose {
            frame.poses[shows.figure] = Some(shows.pose);
        }
        for light in &state.lights {
            if light.when.as_ref().is_some_and(|when| lit.value(m, when) == 0) {
                continue;
            }
            let count = i32::try_from(light.count).unwrap_or(i32::MAX);
            let index = light.index.as_ref().map_or(1, |index| lit.value(m, index)).clamp(1, count);
            let spot = light.first + usize::try_from(index - 1).unwrap_or(0);
            let level = u8::try_from(lit.value(m, &light.level).clamp(0, 255)).unwrap_or(u8::MAX);
            frame.spots[spot] = frame.spots[spot].max(level);
        }
    }
    frame
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

impl<'a> Tick<'a> {
    fn new(form: &'a Form, snapshot: &'a Situation, pressed: &'a [bool], input: &'a Input) -> Self {
        let mut after = snapshot.clone();
        after.sent.fill(false);
        after.simulated.fill(false);
        Self { form, snapshot, pressed, input, after, picked: Vec::new() }
    }

    fn outcome(self) -> Outcome {
        Outcome { situation: self.after, picked: self.picked }
    }

    fn choose(&self, m: usize) -> Option<&'a Transition> {
        let state = &self.form.machines[m].states[self.snapshot.machines[m].state];
        state.transitions.iter().find(|transition| {
            let present = match &transition.trigger {
                Trigger::Always => true,
                Trigger::Press { button } => self.pressed[*button],
                Trigger::Message { any } => any.iter().any(|&message| self.snapshot.sent[message]),
                Trigger::Timer { timer } => self.snapshot.machines[m].timers[*timer] == Clock::Due,
            };
            present && transition.condition.as_ref().is_none_or(|condition| self.value(m, condition) != 0)
        })
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
            }
        }
    }

    /// A value about to be stored: the only place where a pick may stand.
    fn stored(&mut self, m: usize, expr: &Expr) -> i32 {
        let Node::Pick { site, lo, hi } = expr.node else { return self.value(m, expr) };
        let stream = &mut self.after.machines[m].stream;
        *stream = random::next(*stream);
        let own = random::within(*stream, lo, hi);
        let given =
            self.input.picks.iter().find(|pick| pick.site == site).map(|pick| pick.value.clamp(lo, hi));
        let value = given.unwrap_or(own);
        self.picked.push(Pick { site, value });
        value
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
            // The reader lets a pick stand only where `stored` meets it first.
            Node::Pick { lo, .. } => *lo,
            Node::Not { a } => i32::from(self.value(m, a) == 0),
            Node::Neg { a } => self.value(m, a).wrapping_neg(),
            Node::Two { f, a, b } => two(*f, self.value(m, a), self.value(m, b)),
        }
    }
}

/// The reader has proved that nothing here overflows and nothing is divided by 0; the referee stays total all the same.
fn two(f: Two, a: i32, b: i32) -> i32 {
    match f {
        Two::Add => a.wrapping_add(b),
        Two::Sub => a.wrapping_sub(b),
        Two::Mul => a.wrapping_mul(b),
        Two::Div => a.checked_div(b).unwrap_or(0),
        Two::Rem => a.checked_rem(b).unwrap_or(0),
        Two::Min => a.min(b),
        Two::Max => a.max(b),
        Two::Eq => i32::from(a == b),
        Two::Ne => i32::from(a != b),
        Two::Lt => i32::from(a < b),
        Two::Le => i32::from(a <= b),
        Two::Gt => i32::from(a > b),
        Two::Ge => i32::from(a >= b),
        Two::And => i32::from(a != 0 && b != 0),
        Two::Or => i32::from(a != 0 || b != 0),
    }
}
