//! One game being played: one tick, and many quiet ones at once.

use super::value::{Arrays, OFF, View};
use super::{
    Action, Machine, Machines, Rules, Stored, Ties, Timer, Truth, Wakes, Way, compile::message_bit,
    machine_bit,
};
use rules::random;
use rules::step::{Being, Clock, Situation, Start};

/// Everything that the next tick depends on.
#[derive(Clone, Debug)]
pub struct Play<'r> {
    rules: &'r Rules,
    now: Arrays,
    /// As the tick began, where several machines act in it.
    before: Arrays,
    streams: Vec<u32>,
    settings: Vec<i32>,
    tick: u64,
    held: u64,
    sent: Vec<bool>,
    /// Their bits.
    heard: u64,
    /// Messages sent in this tick, while it is being worked out.
    sending: Vec<usize>,
    simulated: u64,
    /// In how many ticks somebody pressed, the rules included.
    presses: u64,
    playing: Vec<bool>,
    plays: bool,
    /// The machines that acted in this tick.
    acted: Machines,
    /// Those, and the ones of which a timer ran out in this tick.
    changed: Machines,
    /// Whether anybody pressed in this tick.
    hand: bool,
    /// The next tick in which a timer runs out that anybody can notice, and whose.
    due: (u64, Machines),
    /// For each machine the next of its timers that anybody can notice.
    dues: Vec<u64>,
    /// For each machine what wakes it in the state it is in.
    wakes: Vec<Wakes>,
    /// The machines that act in this tick, with the way they take.
    acting: Vec<(usize, usize)>,
}

impl<'r> Play<'r> {
    /// Tick 0. The random streams start from this seed, not from that of the rules, so that games differ.
    pub fn begin(rules: &'r Rules, start: &Start, seed: u32) -> Self {
        let form = &rules.form;
        let mut numbers = Vec::new();
        for machine in &form.machines {
            numbers.extend(machine.numbers.iter().map(|number| number.start));
        }
        for ((m, i), kept) in form.kept().into_iter().zip(&start.kept) {
            let slot = rules.machines[m].number + i;
            if let Some(kept) = kept {
                numbers[slot] = rules.held_to_range(slot, *kept);
            }
        }
        let set = |(i, setting): (usize, &rules::form::Setting)| {
            let given = start.settings.get(i).copied().flatten();
            given.unwrap_or(setting.start).clamp(setting.min, setting.max)
        };
        let mut due = vec![OFF; rules.timers.len()];
        // One that is always due, one that never is.
        due.extend([0, OFF]);
        let now = Arrays { states: vec![0; form.machines.len()], numbers, due };
        let mut play = Self {
            rules,
            before: now.clone(),
            now,
            streams: form.machines.iter().map(|machine| random::seed(seed, &machine.name)).collect(),
            settings: form.settings.iter().enumerate().map(set).collect(),
            tick: 0,
            held: 0,
            sent: vec![false; form.messages.len()],
            heard: 0,
            sending: Vec::new(),
            simulated: 0,
            presses: 0,
            playing: vec![false; form.sounds.len()],
            plays: false,
            acted: Machines::MAX,
            changed: Machines::MAX,
            hand: false,
            due: (OFF, 0),
            dues: vec![OFF; form.machines.len()],
            wakes: vec![Wakes::default(); form.machines.len()],
            acting: Vec::new(),
        };
        for m in 0..form.machines.len() {
            play.enter(m, 0, true, 0);
        }
        play.wait(Machines::MAX);
        play.deliver();
        play
    }

    /// The tick that was played last.
    pub fn tick(&self) -> u64 {
        self.tick
    }

    /// The next tick in which anything can happen while nobody presses or lets go; [`u64::MAX`] when nothing ever will.
    pub fn next_event(&self) -> u64 {
        if self.acted != 0 || self.hand { self.tick + 1 } else { self.due.0 }
    }

    /// The machines of which anything is other than it was in the tick before.
    pub(crate) fn changed(&self) -> Machines {
        self.changed
    }

    /// Many ticks in which nobody presses or lets go, skipping those in which nothing can happen.
    pub fn advance(&mut self, ticks: u64) {
        let last = self.tick.saturating_add(ticks);
        while self.next_event() <= last {
            self.step_at(self.next_event(), 0, self.held);
        }
        self.tick = last;
    }

    /// The next tick in which anything can happen, nobody pressing or letting go.
    pub(crate) fn advance_to_event(&mut self) {
        self.step_at(self.next_event(), 0, self.held);
    }

    /// Takes over another game of the same rules, as it stands.
    pub(crate) fn become_like(&mut self, other: &Self) {
        self.now.take(&other.now);
        self.streams.copy_from_slice(&other.streams);
        self.sent.copy_from_slice(&other.sent);
        self.playing.copy_from_slice(&other.playing);
        self.settings.copy_from_slice(&other.settings);
        (self.tick, self.held, self.simulated, self.presses) =
            (other.tick, other.held, other.simulated, other.presses);
        (self.heard, self.plays, self.hand) = (other.heard, other.plays, other.hand);
        (self.acted, self.changed, self.due) = (other.acted, other.changed, other.due);
        self.dues.copy_from_slice(&other.dues);
        self.wakes.copy_from_slice(&other.wakes);
    }

    /// In how many ticks anybody has pressed, the rules included.
    pub(crate) fn presses(&self) -> u64 {
        self.presses
    }

    /// The next tick.
    pub fn step(&mut self, pressed: u64, held: u64) {
        self.step_at(self.tick + 1, pressed, held);
    }

    /// The given tick, which is no later than the next event; those before it are quiet.
    pub(crate) fn step_at(&mut self, tick: u64, pressed: u64, held: u64) {
        self.tick = tick;
        let pressed = pressed | self.simulated;
        let hands = pressed != 0 || self.hand || held != self.held;
        self.held = held;
        self.hand = pressed != 0;
        self.simulated = 0;
        self.presses += u64::from(pressed != 0);
        if self.plays {
            self.playing.fill(false);
            self.plays = false;
        }
        let runs_out = if self.due.0 == tick { self.due.1 } else { 0 };
        let (acted, hands) = (self.acted, if hands { u64::MAX } else { 0 });
        let there = Wakes { machines: acted | runs_out, buttons: pressed, messages: self.heard, hands };
        let mut acting = std::mem::take(&mut self.acting);
        acting.clear();
        self.acted = 0;
        for m in 0..self.wakes.len() {
            if !self.wakes[m].by(&there) {
                continue;
            }
            let bit = machine_bit(m);
            // Whoever has acted looks at every way anew.
            let there = if acted & bit == 0 { Some(&there) } else { None };
            if let Some(way) = self.choose(m, there, pressed) {
                acting.push((m, way));
                self.acted |= bit;
            }
        }
        let several = acting.len() > 1;
        if several {
            self.before.take(&self.now);
        }
        for (m, way) in &acting {
            self.act(*m, *way, several, pressed);
        }
        self.changed = self.acted | runs_out;
        if self.changed != 0 {
            self.wait(self.changed);
        }
        self.acting = acting;
        self.deliver();
    }

    /// Finds the next timer that runs out; of machines that did not change it is known.
    fn wait(&mut self, changed: Machines) {
        let mut next = (OFF, 0);
        for (m, machine) in self.rules.machines.iter().enumerate() {
            let bit = machine_bit(m);
            if changed & bit != 0 {
                let due = machine.watched.iter().map(|slot| self.now.due[*slot]);
                self.dues[m] = due.filter(|due| *due > self.tick).min().unwrap_or(OFF);
            }
            if self.dues[m] < next.0 {
                next = (self.dues[m], bit);
            } else if self.dues[m] == next.0 {
                next.1 |= bit;
            }
        }
        self.due = next;
    }

    /// What was sent in this tick is heard in the next.
    fn deliver(&mut self) {
        if self.heard != 0 {
            self.sent.fill(false);
        }
        self.heard = 0;
        for message in self.sending.drain(..) {
            self.sent[message] = true;
            self.heard |= message_bit(message);
        }
    }

    fn view(&self, several: bool, pressed: u64) -> View<'_> {
        View {
            ops: &self.rules.ops,
            tests: &self.rules.tests,
            own: &self.now,
            foreign: if several { &self.before } else { &self.now },
            settings: &self.settings,
            tick: self.tick,
            pressed,
            held: self.held,
        }
    }

    /// Whether a condition of the form's own, outside all machines, is true after this tick.
    pub(crate) fn holds(&self, condition: Truth) -> bool {
        self.view(false, 0).holds(condition)
    }

    /// A number, by machine and number.
    pub(crate) fn number(&self, (machine, number): (usize, usize)) -> i32 {
        self.now.numbers[self.rules.machines[machine].number + number]
    }

    /// The way that a machine takes in this tick, by position in its state.
    fn choose(&mut self, m: usize, there: Option<&Wakes>, pressed: u64) -> Option<usize> {
        let rules = self.rules;
        let machine = &rules.machines[m];
        let ways = &machine.states[self.now.states[m]].ways;
        let Some(ties) = machine.ties else {
            let awake = |way: &Way| there.is_none_or(|there| way.wakes.by(there));
            let way = ways.iter().position(|way| awake(way) && self.can_go(machine, way, pressed));
            self.remember(machine, way.map(|way| &ways[way]), 0, pressed);
            return way;
        };
        let able: Vec<usize> =
            (0..ways.len()).filter(|way| self.can_go(machine, &ways[*way], pressed)).collect();
        let favoured = self.favoured(m, ties, ways, &able);
        let out = |way: &usize| favoured.is_some_and(|side| ways[*way].side.is_some_and(|own| own != side));
        let way = able.iter().copied().find(|way| !out(way));
        let vanished = able.iter().filter(|way| out(way)).fold(0, |all, way| all | ways[*way].trigger.button);
        self.remember(machine, way.map(|way| &ways[way]), vanished, pressed);
        way
    }

    fn can_go(&self, machine: &Machine, way: &Way, pressed: u64) -> bool {
        let trigger = &way.trigger;
        let present = self.now.due[trigger.timer] <= self.tick
            || pressed & trigger.button != 0
            || (trigger.messages & self.heard != 0 && trigger.any.iter().any(|message| self.sent[*message]))
            || self.remembered(machine, trigger.button);
        present && self.view(false, pressed).holds(way.condition)
    }

    fn remembered(&self, machine: &Machine, button: u64) -> bool {
        let heard = |slot: usize| self.now.due[slot] != OFF && self.now.due[slot] >= self.tick;
        machine.remembers.iter().any(|one| one.button == button && heard(one.slot))
    }

    /// The side that a tie is settled for; none where ways of fewer than two sides can go.
    fn favoured(&mut self, m: usize, ties: Ties, ways: &[Way], able: &[usize]) -> Option<usize> {
        let tied = |side: usize| able.iter().any(|way| ways[*way].side == Some(side));
        let count = self.rules.form.sides.len().max(1);
        if (0..count).filter(|side| tied(*side)).count() < 2 {
            return None;
        }
        let from = match ties {
            Ties::First(side) => side,
            Ties::Alternately(turn) => usize::try_from(self.now.numbers[turn]).unwrap_or(0),
            Ties::Random => {
                let last = i32::try_from(count).unwrap_or(1);
                usize::try_from(self.pick(m, 1, last) - 1).unwrap_or(0)
            }
        };
        let favoured = (0..count).map(|next| (from + next) % count).find(|side| tied(*side))?;
        if let Ties::Alternately(turn) = ties {
            self.now.numbers[turn] = i32::try_from((favoured + 1) % count).unwrap_or(0);
        }
        Some(favoured)
    }

    /// A press that is used, or vanishes in a tie, is forgotten; another one is remembered from now on.
    fn remember(&mut self, machine: &Machine, taken: Option<&Way>, vanished: u64, pressed: u64) {
        for one in &machine.remembers {
            let used = taken.is_some_and(|way| way.trigger.button == one.button);
            if used || vanished & one.button != 0 {
                self.now.due[one.slot] = OFF;
            } else if pressed & one.button != 0 {
                self.now.due[one.slot] = self.tick + one.ticks;
            }
        }
    }

    fn act(&mut self, m: usize, way: usize, several: bool, pressed: u64) {
        let rules = self.rules;
        let state = &rules.machines[m].states[self.now.states[m]];
        let way = &state.ways[way];
        if let Some(timer) = rules.timers.get(way.trigger.timer).and(Some(way.trigger.timer)) {
            self.now.due[timer] = OFF;
        }
        if way.go.is_some() {
            self.perform(m, &state.exit, several, pressed);
            for (slot, _) in &state.dwells {
                self.now.due[*slot] = OFF;
            }
        }
        self.perform(m, &way.actions, several, pressed);
        if let Some(next) = way.go {
            self.enter(m, next, several, pressed);
        }
    }

    fn enter(&mut self, m: usize, state: usize, several: bool, pressed: u64) {
        self.now.states[m] = state;
        let rules = self.rules;
        let entered = &rules.machines[m].states[state];
        self.wakes[m] = entered.wakes;
        for (slot, ticks) in &entered.dwells {
            self.now.due[*slot] = self.tick + ticks;
        }
        self.perform(m, &entered.entry, several, pressed);
    }

    fn perform(&mut self, m: usize, actions: &'r [Action], several: bool, pressed: u64) {
        for action in actions {
            match action {
                Action::Set { slot, to } => {
                    let value = self.stored(m, *to, several, pressed);
                    self.now.numbers[*slot] = self.rules.held_to_range(*slot, value);
                }
                Action::Start { slot, longest, ticks } => {
                    let ticks = self.stored(m, *ticks, several, pressed).clamp(1, *longest);
                    self.now.due[*slot] = self.tick + u64::from(ticks.unsigned_abs());
                }
                Action::Stop(slot) => self.now.due[*slot] = OFF,
                Action::Send(message) => self.sending.push(*message),
                Action::Press(button) => self.simulated |= button,
                Action::Play(sound) => {
                    self.playing[*sound] = true;
                    self.plays = true;
                }
            }
        }
    }

    fn stored(&mut self, m: usize, stored: Stored, several: bool, pressed: u64) -> i32 {
        match stored {
            Stored::Value(at) => self.view(several, pressed).value(at),
            Stored::Pick { lo, hi } => self.pick(m, lo, hi),
            Stored::Draw { bag, lo, hi } => self.draw(m, bag, lo, hi),
        }
    }

    fn pick(&mut self, m: usize, lo: i32, hi: i32) -> i32 {
        self.streams[m] = random::next(self.streams[m]);
        random::within(self.streams[m], lo, hi)
    }

    /// A value out of a bag: the pick says which of those still in it, counted from the least.
    fn draw(&mut self, m: usize, bag: usize, lo: i32, hi: i32) -> i32 {
        let values = lo.abs_diff(hi) + 1;
        let left = self.now.numbers[bag].unsigned_abs();
        let left = if left == 0 { (1 << values) - 1 } else { left };
        let last = i32::try_from(left.count_ones()).unwrap_or(1) - 1;
        let nth = usize::try_from(self.pick(m, 0, last)).unwrap_or(0);
        let bit = (0..values).filter(|bit| left & 1 << bit != 0).nth(nth).unwrap_or(0);
        self.now.numbers[bag] = i32::try_from(left & !(1 << bit)).unwrap_or(0);
        lo.saturating_add(i32::try_from(bit).unwrap_or(0))
    }

    /// The situation as the referee writes it.
    pub fn situation(&self) -> Situation {
        let form = &self.rules.form;
        let being = |(m, machine): (usize, &Machine)| Being {
            state: self.now.states[m],
            numbers: self.now.numbers[machine.number..machine.number + machine.numbers].to_vec(),
            timers: (machine.timer..machine.timer + machine.timers).map(|slot| self.clock(slot)).collect(),
            stream: self.streams[m],
        };
        Situation {
            machines: self.rules.machines.iter().enumerate().map(being).collect(),
            // After a tick with a message or a sound none is skipped, so these are never of an earlier tick.
            sent: self.sent.clone(),
            simulated: (0..form.buttons.len()).map(|button| self.simulated & 1 << button != 0).collect(),
            playing: self.playing.clone(),
            settings: self.settings.clone(),
        }
    }

    fn clock(&self, slot: usize) -> Clock {
        let due = self.now.due[slot];
        let left = |ticks: u64| Clock::Running(u32::try_from(ticks).unwrap_or(u32::MAX));
        match self.rules.timers[slot] {
            _ if due == OFF => Clock::Off,
            Timer::Plain if due <= self.tick => Clock::Due,
            Timer::Remember if due <= self.tick => Clock::Off,
            Timer::Plain | Timer::Remember => left(due - self.tick),
            Timer::Cycle(_) if due > self.tick => left(due - self.tick),
            Timer::Cycle(max) => left(max - (self.tick - due) % max),
        }
    }
}

impl Rules {
    fn held_to_range(&self, slot: usize, value: i32) -> i32 {
        let (min, max) = self.ranges[slot];
        value.clamp(min, max)
    }
}
