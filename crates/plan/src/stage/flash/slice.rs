//! A few machines side by side, looked at as if nothing were known of the others: what they read is tracked where it is
//! small, and an interval where it is not.

use super::value::{Interval, Moment, each_node};
use rules::form::{Action, Expr, Form, Machine, Node, State, Transition, Trigger};

/// A number with more values than this is not tracked.
const MOST_VALUES: i64 = 12;
/// Buttons whose presses are told apart; those of others may come at any tick.
const MOST_BUTTONS: usize = 3;
/// Machines of a slice.
pub(super) const MOST_MACHINES: usize = 8;

/// What is known of a slice after a tick, in the bits that its [`Slice`] says.
pub(super) type Now = u128;

/// Some bits of a [`Now`].
#[derive(Clone, Copy, Debug)]
pub(super) struct Bits {
    shift: u32,
    mask: Now,
}

impl Bits {
    pub(super) fn of(self, now: Now) -> usize {
        usize::try_from((now >> self.shift) & self.mask).unwrap_or(0)
    }

    pub(super) fn with(self, value: usize) -> Now {
        Now::try_from(value).unwrap_or(0) << self.shift
    }

    pub(super) fn mask(self) -> Now {
        self.mask << self.shift
    }
}

/// A number whose value is tracked.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tracked {
    pub(super) machine: usize,
    pub(super) number: usize,
    pub(super) min: i32,
    pub(super) bits: Bits,
}

/// A timer whose running is tracked.
#[derive(Clone, Copy, Debug)]
pub(super) struct Clock {
    pub(super) machine: usize,
    pub(super) timer: usize,
    /// Half of its ticks, where it flashes.
    pub(super) half: Option<u32>,
    /// Whether it runs or is due.
    pub(super) on: Now,
}

/// The machines of a slice and what is tracked of them.
#[derive(Clone, Debug)]
pub(super) struct Slice<'a> {
    pub(super) form: &'a Form,
    /// By position in the form, ascending.
    pub(super) machines: Vec<usize>,
    pub(super) states: Vec<Bits>,
    pub(super) numbers: Vec<Tracked>,
    pub(super) clocks: Vec<Clock>,
    /// Buttons whose presses are told apart.
    pub(super) buttons: Vec<usize>,
    /// Messages between machines of the slice, by position in the form, and the bit of each.
    pub(super) messages: Vec<(usize, Now)>,
    /// Messages from elsewhere that a way out listens to: each list is a token that may be spent so often.
    pub(super) foreign: Vec<Vec<usize>>,
}

impl<'a> Slice<'a> {
    /// The slice of these machines; none where it would be too large to track.
    pub(super) fn of(form: &'a Form, machines: &[usize]) -> Option<Self> {
        let mut machines = machines.to_vec();
        machines.sort_unstable();
        machines.dedup();
        if machines.len() > MOST_MACHINES || form.messages.len() > 32 || form.digits.len() > 16 {
            return None;
        }
        let mut slice = Self {
            form,
            machines,
            states: Vec::new(),
            numbers: Vec::new(),
            clocks: Vec::new(),
            buttons: Vec::new(),
            messages: Vec::new(),
            foreign: Vec::new(),
        };
        let mut used = 0;
        slice.find_states(&mut used)?;
        slice.find_numbers(&mut used)?;
        slice.find_clocks(&mut used)?;
        slice.find_messages(&mut used)?;
        (slice.foreign.len() <= 8 && slice.clocks.len() <= 64).then_some(slice)
    }

    /// A machine's place in the slice.
    pub(super) fn slot(&self, machine: usize) -> Option<usize> {
        self.machines.binary_search(&machine).ok()
    }

    pub(super) fn machine(&self, slot: usize) -> &'a Machine {
        &self.form.machines[self.machines[slot]]
    }

    /// The state of a machine of the slice.
    pub(super) fn state(&self, slot: usize, now: Now) -> usize {
        self.states[slot].of(now)
    }

    pub(super) fn tracked(&self, machine: usize, number: usize) -> Option<&Tracked> {
        self.numbers.iter().find(|known| (known.machine, known.number) == (machine, number))
    }

    pub(super) fn clock(&self, machine: usize, timer: usize) -> Option<usize> {
        self.clocks.iter().position(|known| (known.machine, known.timer) == (machine, timer))
    }

    /// Everything that belongs to these machines: states, numbers, timers.
    pub(super) fn owned(&self, wanted: impl Fn(usize) -> bool) -> Now {
        let states =
            self.machines.iter().zip(&self.states).filter(|(m, _)| wanted(**m)).map(|(_, bits)| bits.mask());
        let numbers = self.numbers.iter().filter(|one| wanted(one.machine)).map(|one| one.bits.mask());
        let clocks = self.clocks.iter().filter(|one| wanted(one.machine)).map(|one| one.on);
        states.chain(numbers).chain(clocks).fold(0, |all, one| all | one)
    }

    fn find_states(&mut self, used: &mut u32) -> Option<()> {
        for slot in 0..self.machines.len() {
            let bits = take(used, self.machine(slot).states.len())?;
            self.states.push(bits);
        }
        Some(())
    }

    fn find_numbers(&mut self, used: &mut u32) -> Option<()> {
        let mut read = Vec::new();
        for &m in &self.machines {
            reads(&self.form.machines[m], &mut |node| {
                if let Node::Pressed { b } = node {
                    self.buttons.push(*b);
                }
            });
            waits_for(&self.form.machines[m], m, &mut read);
            let ways = self.form.machines[m].states.iter().flat_map(|state| &state.transitions);
            self.buttons.extend(ways.filter_map(|way| match way.trigger {
                Trigger::Press { button } => Some(button),
                _ => None,
            }));
        }
        self.buttons.sort_unstable();
        self.buttons.dedup();
        if self.buttons.len() > MOST_BUTTONS {
            self.buttons.clear();
        }
        read.sort_unstable();
        read.dedup();
        read.retain(|(m, _)| self.slot(*m).is_some());
        for (machine, number) in read {
            let range = &self.form.machines[machine].numbers[number];
            let values = i64::from(range.max) - i64::from(range.min) + 1;
            if values <= MOST_VALUES {
                let bits = take(used, usize::try_from(values).unwrap_or(1))?;
                self.numbers.push(Tracked { machine, number, min: range.min, bits });
            }
        }
        Some(())
    }

    fn find_clocks(&mut self, used: &mut u32) -> Option<()> {
        for &m in &self.machines {
            let machine = &self.form.machines[m];
            let mut awaited: Vec<usize> = machine
                .states
                .iter()
                .flat_map(|state| &state.transitions)
                .filter_map(|way| match way.trigger {
                    Trigger::Timer { timer } => Some(timer),
                    _ => None,
                })
                .collect();
            awaited.sort_unstable();
            awaited.dedup();
            let flashing = machine.timers.iter().enumerate().filter(|(_, clock)| clock.cycle);
            let flashing = flashing.map(|(timer, clock)| (timer, Some((clock.max / 2).max(1))));
            for (timer, half) in awaited.into_iter().map(|timer| (timer, None)).chain(flashing) {
                let on = take(used, 2)?.mask();
                self.clocks.push(Clock { machine: m, timer, half, on });
            }
        }
        Some(())
    }

    fn find_messages(&mut self, used: &mut u32) -> Option<()> {
        let mut heard = Vec::new();
        for &m in &self.machines {
            for way in self.form.machines[m].states.iter().flat_map(|state| &state.transitions) {
                let Trigger::Message { any } = &way.trigger else { continue };
                let (own, foreign): (Vec<usize>, Vec<usize>) =
                    any.iter().partition(|&&message| self.slot(self.form.messages[message].sender).is_some());
                heard.extend(own);
                if !foreign.is_empty() && !self.foreign.contains(&foreign) {
                    self.foreign.push(foreign);
                }
            }
        }
        heard.sort_unstable();
        heard.dedup();
        for message in heard {
            self.messages.push((message, take(used, 2)?.mask()));
        }
        Some(())
    }
}

/// The next bits that hold so many values.
fn take(used: &mut u32, values: usize) -> Option<Bits> {
    let width = usize::BITS - values.saturating_sub(1).leading_zeros();
    let bits = Bits { shift: *used, mask: (1_u128 << width) - 1 };
    *used += width;
    (*used <= Now::BITS).then_some(bits)
}

/// A moment within a tick, for one machine: its own values as written so far, everything else as frozen. Once a tick is
/// committed both are the same.
pub(super) struct Seen<'a> {
    pub(super) slice: &'a Slice<'a>,
    pub(super) own: usize,
    pub(super) frozen: Now,
    pub(super) written: Now,
    /// A bit for each button of the slice; none where nobody asks.
    pub(super) pressed: Option<usize>,
}

impl Seen<'_> {
    fn source(&self, machine: usize) -> Now {
        if machine == self.own { self.written } else { self.frozen }
    }
}

impl Moment for Seen<'_> {
    fn number(&self, machine: usize, number: usize) -> Interval {
        if let Some(tracked) = self.slice.tracked(machine, number) {
            let above = i64::try_from(tracked.bits.of(self.source(machine))).unwrap_or(0);
            let value = i64::from(tracked.min) + above;
            return (value, value);
        }
        let number = &self.slice.form.machines[machine].numbers[number];
        (i64::from(number.min), i64::from(number.max))
    }

    fn state(&self, machine: usize) -> Option<usize> {
        self.slice.slot(machine).map(|slot| self.slice.state(slot, self.source(machine)))
    }

    fn is_off(&self, machine: usize, timer: usize) -> bool {
        let clock = self.slice.clock(machine, timer).map(|at| &self.slice.clocks[at]);
        clock.is_some_and(|clock| self.source(machine) & clock.on == 0)
    }

    fn pressed(&self, button: usize) -> Option<bool> {
        let at = self.slice.buttons.iter().position(|known| *known == button)?;
        self.pressed.map(|pressed| pressed & 1 << at != 0)
    }

    fn setting(&self, setting: usize) -> Interval {
        let setting = &self.slice.form.settings[setting];
        (i64::from(setting.min), i64::from(setting.max))
    }

    fn longest(&self, machine: usize, timer: usize) -> i64 {
        i64::from(self.slice.form.machines[machine].timers[timer].max)
    }
}

/// Calls this with every node that a machine reads when it chooses and when it shows.
pub(super) fn reads<'a>(machine: &'a Machine, call: &mut dyn FnMut(&'a Node)) {
    for state in &machine.states {
        chosen(state, call);
        shown(state, call);
    }
}

/// The same for the ways out of a state alone.
pub(super) fn chosen<'a>(state: &'a State, call: &mut dyn FnMut(&'a Node)) {
    for way in &state.transitions {
        way.condition.iter().for_each(|condition| each_node(condition, call));
    }
}

fn shown<'a>(state: &'a State, call: &mut dyn FnMut(&'a Node)) {
    for light in &state.lights {
        let parts = light.index.iter().chain([&light.level]).chain(&light.when);
        parts.for_each(|part: &'a Expr| each_node(part, call));
    }
    state.writes.iter().for_each(|writes| each_node(&writes.value, call));
}

/// Numbers that are worth tracking: those that a machine's own time or choice waits for, and those that say which spot is
/// lit.
fn waits_for(machine: &Machine, own: usize, read: &mut Vec<(usize, usize)>) {
    let mut number = |node: &Node, foreign: bool| {
        if let Node::Number { m, i } = node
            && (foreign || *m == own)
        {
            read.push((*m, *i));
        }
    };
    for state in &machine.states {
        let ways = state.transitions.iter();
        let waiting = ways.filter(|way| matches!(way.trigger, Trigger::Always | Trigger::Timer { .. }));
        for condition in waiting.filter_map(|way| way.condition.as_ref()) {
            each_node(condition, &mut |node| number(node, false));
        }
        for light in &state.lights {
            let parts = light.index.iter().chain([&light.level]).chain(&light.when);
            parts.for_each(|part| each_node(part, &mut |node| number(node, true)));
        }
    }
}

/// The machine that a node asks about.
pub(super) fn machine_of(node: &Node) -> Option<usize> {
    match node {
        Node::Number { m, .. } | Node::In { m, .. } | Node::Running { m, .. } | Node::Due { m, .. } => {
            Some(*m)
        }
        _ => None,
    }
}

/// What is done on the way out, through and in.
pub(super) fn done<'a>(machine: &'a Machine, from: usize, way: &'a Transition) -> Vec<&'a Action> {
    let Some(to) = way.go else { return way.actions.iter().collect() };
    let (left, entered) = (&machine.states[from], &machine.states[to]);
    left.exit.iter().chain(&way.actions).chain(&entered.entry).collect()
}
