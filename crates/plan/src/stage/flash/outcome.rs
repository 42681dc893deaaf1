//! What one machine of a slice may do in a tick: every way out that might be the first that can go.

use super::slice::{Now, Seen, Slice, done};
use super::value::{Interval, decided, each_node, interval};
use rules::form::{Action, Expr, Machine, Node, Transition, Trigger};

/// What a tick did besides, as bits: messages sent by their position in the form, digits changed, machines that entered a
/// state.
pub(super) mod mark {
    pub(in super::super) fn sends(message: usize) -> u64 {
        1 << message.min(31)
    }
    pub(in super::super) fn digits(digits: usize) -> u64 {
        1 << (32 + digits.min(15))
    }
    pub(in super::super) fn enters(slot: usize) -> u64 {
        1 << (48 + slot.min(15))
    }
}

/// What a tick asks of the clocks and does to them, and what is seen of it.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) struct Effect {
    /// Clocks that must have run down.
    pub(super) needs: u64,
    /// Clocks that are started, and the fewest ticks they run.
    pub(super) starts: Vec<(u8, u16)>,
    /// Messages from outside the slice that must have come, a bit each.
    pub(super) tokens: u8,
    pub(super) marks: u64,
}

/// One thing that a machine may do: its own bits anew.
#[derive(Clone, Debug)]
pub(super) struct Outcome {
    /// All bits of the machine, and the messages it sends.
    pub(super) own: Now,
    pub(super) effect: Effect,
    /// Whether nothing was taken.
    pub(super) idle: bool,
}

/// All that a machine may do, and whether one of it must happen.
#[derive(Clone, Debug)]
pub(super) struct Outcomes {
    pub(super) all: Vec<Outcome>,
    pub(super) certain: bool,
}

/// A tick in which a machine chooses.
#[derive(Clone, Copy)]
struct Tick<'a> {
    slice: &'a Slice<'a>,
    m: usize,
    slot: usize,
    before: Now,
    /// All bits of the machine.
    owned: Now,
    pressed: usize,
}

/// Whether a trigger is there.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Presence {
    No,
    Maybe,
    Yes,
}

/// A way out that might go.
struct Able {
    effect: Effect,
    /// Whether it goes, if nothing before it does.
    certain: bool,
    /// Whether it goes whenever its trigger is there, so that no later way with the same trigger does.
    settles: bool,
}

/// Everything that a machine may do in a tick with these presses.
pub(super) fn outcomes(slice: &Slice<'_>, slot: usize, before: Now, pressed: usize) -> Outcomes {
    let m = slice.machines[slot];
    let tick = Tick { slice, m, slot, before, owned: slice.owned(|of| of == m), pressed };
    let mut all = Vec::new();
    let mut settled: Vec<&Trigger> = Vec::new();
    for way in &slice.machine(slot).states[slice.state(slot, before)].transitions {
        if settled.contains(&&way.trigger) {
            continue;
        }
        let Some(able) = tick.able(way) else { continue };
        let (certain, settles) = (able.certain, able.settles);
        all.extend(tick.taken(way, able.effect));
        if settles {
            settled.push(&way.trigger);
        }
        if certain {
            return Outcomes { all, certain: true };
        }
    }
    all.extend(tick.flips());
    all.push(Outcome { own: before & tick.owned, effect: Effect::default(), idle: true });
    Outcomes { all, certain: false }
}

impl Tick<'_> {
    fn seen(&self, written: Now) -> Seen<'_> {
        Seen { slice: self.slice, own: self.m, frozen: self.before, written, pressed: Some(self.pressed) }
    }

    fn presence(&self, trigger: &Trigger) -> (Presence, Effect) {
        let mut effect = Effect::default();
        let present = match trigger {
            Trigger::Always => Presence::Yes,
            Trigger::Press { button } => {
                let machine = self.slice.machine(self.slot);
                let remembered = machine.remembers.iter().any(|one| one.button == *button);
                match self.slice.buttons.iter().position(|known| known == button) {
                    Some(at) if self.pressed & 1 << at != 0 => Presence::Yes,
                    Some(_) if !remembered => Presence::No,
                    _ => Presence::Maybe,
                }
            }
            Trigger::Message { any } => self.message(any, &mut effect),
            Trigger::Timer { timer } => match self.slice.clock(self.m, *timer) {
                Some(clock) if self.before & self.slice.clocks[clock].on != 0 => {
                    effect.needs = 1 << clock;
                    Presence::Maybe
                }
                _ => Presence::No,
            },
        };
        (present, effect)
    }

    fn message(&self, any: &[usize], effect: &mut Effect) -> Presence {
        let slice = self.slice;
        let sent = |message: &usize| {
            slice.messages.iter().any(|(known, bit)| known == message && self.before & bit != 0)
        };
        if any.iter().any(sent) {
            return Presence::Yes;
        }
        let is_foreign = |message: &usize| slice.slot(slice.form.messages[*message].sender).is_none();
        let foreign: Vec<usize> = any.iter().copied().filter(is_foreign).collect();
        match slice.foreign.iter().position(|known| *known == foreign) {
            Some(token) => {
                effect.tokens = 1 << token;
                Presence::Maybe
            }
            None => Presence::No,
        }
    }

    fn able(&self, way: &Transition) -> Option<Able> {
        let (present, effect) = self.presence(&way.trigger);
        let seen = self.seen(self.before);
        let holds =
            way.condition.as_ref().map_or(Some(true), |condition| decided(interval(&seen, condition, 1)));
        if present == Presence::No || holds == Some(false) {
            return None;
        }
        let settles = holds == Some(true) && self.slice.machine(self.slot).ties.is_none();
        Some(Able { effect, certain: settles && present == Presence::Yes, settles })
    }

    /// A way out that is taken; more than one outcome where what it stores is not known.
    fn taken(&self, way: &Transition, effect: Effect) -> Vec<Outcome> {
        let machine = self.slice.machine(self.slot);
        let from = self.slice.state(self.slot, self.before);
        let mut first = Outcome { own: self.before & self.owned, effect, idle: false };
        if let Trigger::Timer { timer } = way.trigger {
            self.stop(timer, &mut first);
        }
        if let Some(to) = way.go {
            for dwell in &machine.states[from].dwells {
                self.stop(dwell.timer, &mut first);
            }
            // Stored values are numbers and never ask for the state, so that entering may come before what is done.
            self.enter((Some(from), to), &mut first);
        }
        self.perform(&done(machine, from, way), first)
    }

    /// A state is entered: its own timers start.
    fn enter(&self, (from, to): (Option<usize>, usize), outcome: &mut Outcome) {
        let machine = self.slice.machine(self.slot);
        let bits = self.slice.states[self.slot];
        outcome.own = (outcome.own & !bits.mask()) | bits.with(to);
        if fades(machine) {
            outcome.effect.marks |= mark::enters(self.slot);
        }
        for dwell in &machine.states[to].dwells {
            self.start(dwell.timer, dwell.ticks, outcome);
        }
        let writes = |state: Option<usize>, digits: usize| {
            let state = state.map(|state| &machine.states[state]);
            state.and_then(|state| state.writes.iter().find(|writes| writes.digits == digits))
        };
        for digits in 0..self.slice.form.digits.len() {
            if writes(from, digits) != writes(Some(to), digits) {
                outcome.effect.marks |= mark::digits(digits);
            }
        }
    }

    fn start(&self, timer: usize, ticks: u32, outcome: &mut Outcome) {
        let Some(at) = self.slice.clock(self.m, timer) else { return };
        let clock = &self.slice.clocks[at];
        // What flashes is shown for half of its ticks, then dark for the other half.
        let ticks = u16::try_from(clock.half.unwrap_or(ticks)).unwrap_or(u16::MAX).max(1);
        let at = u8::try_from(at).unwrap_or(u8::MAX);
        outcome.own |= clock.on;
        outcome.effect.starts.retain(|(known, _)| *known != at);
        outcome.effect.starts.push((at, ticks));
        outcome.effect.starts.sort_unstable();
    }

    fn stop(&self, timer: usize, outcome: &mut Outcome) {
        if let Some(at) = self.slice.clock(self.m, timer) {
            outcome.own &= !self.slice.clocks[at].on;
            outcome.effect.starts.retain(|(known, _)| usize::from(*known) != at);
        }
    }

    /// What flashes goes dark, or is shown again.
    fn flips(&self) -> Vec<Outcome> {
        let state = &self.slice.machine(self.slot).states[self.slice.state(self.slot, self.before)];
        let flashing =
            state.writes.iter().filter_map(|writes| Some((writes.digits, writes.flash.as_ref()?.timer)));
        let flip = |(digits, timer): (usize, usize)| {
            let clock = self.slice.clock(self.m, timer)?;
            let mut flipped =
                Outcome { own: self.before & self.owned, effect: Effect::default(), idle: false };
            flipped.effect.needs = 1 << clock;
            flipped.effect.marks = mark::digits(digits);
            self.start(timer, 1, &mut flipped);
            Some(flipped)
        };
        flashing.filter_map(flip).collect()
    }

    /// Actions in order. A stored value that is not known makes an outcome for each that it can be.
    fn perform(&self, actions: &[&Action], first: Outcome) -> Vec<Outcome> {
        let mut all = vec![first];
        for action in actions {
            match action {
                Action::Set { number, to } => {
                    let shown = shown_on(self.slice, self.m, *number);
                    all =
                        all.into_iter().flat_map(|outcome| self.store(outcome, *number, to, shown)).collect();
                }
                Action::Start { timer, ticks } => {
                    for outcome in &mut all {
                        let least = interval(&self.seen(outcome.own), ticks, 1).0;
                        self.start(*timer, u32::try_from(least.max(1)).unwrap_or(u32::MAX), outcome);
                    }
                }
                Action::Stop { timer } => all.iter_mut().for_each(|outcome| self.stop(*timer, outcome)),
                Action::Send { message } => {
                    let bit = self.slice.messages.iter().find(|(known, _)| known == message);
                    for outcome in &mut all {
                        outcome.effect.marks |= mark::sends(*message);
                        outcome.own |= bit.map_or(0, |(_, bit)| *bit);
                    }
                }
                Action::Press { .. } | Action::Play { .. } => {}
            }
        }
        all
    }

    fn store(&self, mut outcome: Outcome, number: usize, to: &Expr, shown: u64) -> Vec<Outcome> {
        outcome.effect.marks |= shown;
        let Some(tracked) = self.slice.tracked(self.m, number) else { return vec![outcome] };
        let range = &self.slice.machine(self.slot).numbers[number];
        let (low, high): Interval = interval(&self.seen(outcome.own), to, 1);
        let held =
            |value: i64| value.clamp(i64::from(range.min), i64::from(range.max)) - i64::from(range.min);
        (held(low)..=held(high))
            .map(|value| {
                let mut stored = outcome.clone();
                let value = usize::try_from(value).unwrap_or(0);
                stored.own = (stored.own & !tracked.bits.mask()) | tracked.bits.with(value);
                stored
            })
            .collect()
    }
}

/// Whether a light of a machine goes up or down by itself.
fn fades(machine: &Machine) -> bool {
    let mut by_time = false;
    for light in machine.states.iter().flat_map(|state| &state.lights) {
        each_node(&light.level, &mut |node| by_time |= matches!(node, Node::Left { .. }));
    }
    by_time
}

/// The digits that show a number, or on which some state writes it.
fn shown_on(slice: &Slice<'_>, m: usize, number: usize) -> u64 {
    let mut marks = slice.form.machines[m].numbers[number].shown_on.map_or(0, mark::digits);
    for writes in
        slice.form.machines.iter().flat_map(|machine| &machine.states).flat_map(|state| &state.writes)
    {
        each_node(&writes.value, &mut |node| {
            if matches!(node, Node::Number { m: of, i } if (*of, *i) == (m, number)) {
                marks |= mark::digits(writes.digits);
            }
        });
    }
    marks
}

/// Tick 0: every machine enters its first state, with kept numbers of any value.
pub(super) fn beginnings(slice: &Slice<'_>) -> Vec<Now> {
    let mut all: Vec<Now> = vec![0];
    for tracked in &slice.numbers {
        let number = &slice.form.machines[tracked.machine].numbers[tracked.number];
        let values = if number.kept { number.min..=number.max } else { number.start..=number.start };
        let with = |value: i32| tracked.bits.with(usize::try_from(value - number.min).unwrap_or(0));
        all =
            all.into_iter().flat_map(|known| values.clone().map(move |value| known | with(value))).collect();
    }
    for slot in 0..slice.machines.len() {
        let m = slice.machines[slot];
        let owned = slice.owned(|of| of == m);
        let entry: Vec<&Action> = slice.machine(slot).states[0].entry.iter().collect();
        all = all
            .into_iter()
            .flat_map(|before| {
                let tick = Tick { slice, m, slot, before, owned, pressed: 0 };
                let mut first = Outcome { own: before & owned, effect: Effect::default(), idle: false };
                tick.enter((None, 0), &mut first);
                let begun = tick.perform(&entry, first);
                begun.into_iter().map(move |outcome| (before & !owned) | outcome.own)
            })
            .collect();
    }
    all
}
