//! How often a figure, a spot or digits can change in any second, whoever presses when.
//!
//! Each is counted in a few machines of the rules: first in those that show it, alone; where that is not enough, with those
//! beside them that they ask about, seen through a larger slice in which only what can be together is together. Every count
//! is a bound; the least is taken.

use super::busiest::{Count, busiest};
use super::glow::{can_light, lighting};
use super::joint::{Graph, projected};
use super::labels::ANY;
use super::slice::{MOST_MACHINES, Now, Slice, machine_of, reads};
use super::value::each_node;
use super::worth::{lasts, marks, worth};
use crate::Flashes;
use rules::form::{Form, Machine, Node};
use serde::Serialize;
use std::collections::BTreeMap;

/// Machines beside others that are tried.
const MOST_BESIDE: usize = 6;
/// From here on messages are not counted.
const MOST_TOKENS: u8 = 12;
/// More messages in a second than matter.
const OFTEN: u32 = 101;

/// Ticks that are looked at for all that is counted in one form; what is not counted by its share of them is counted roughly.
const WORK: u32 = 8_000_000;
/// The least and the greatest such share.
const SHARE: [u32; 2] = [150_000, 1_000_000];
/// Ticks that are looked at to find out what a slice may be in, or for one count in it: at a glance, and closely.
const AT_ONCE: [u32; 2] = [40_000, 400_000];

/// What is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Counted {
    /// A figure's picture changes.
    Figure(usize),
    /// A spot goes on or off.
    Spot(usize),
    /// What digits show changes.
    Digits(usize),
    /// A message is sent.
    Sends(usize),
}

impl From<Flashes> for Counted {
    fn from(of: Flashes) -> Self {
        match of {
            Flashes::Figure { figure } => Self::Figure(figure),
            Flashes::Spot { spot } => Self::Spot(spot),
            Flashes::Digits { digits } => Self::Digits(digits),
        }
    }
}

/// How much is told apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub(crate) enum Effort {
    /// The machines that show it, alone.
    Alone,
    /// With one of those beside them, until the count is so small.
    Beside(u32),
    /// With more of those beside them, until the count is so small.
    Together(u32),
}

/// A slice and all that it can be in.
type Joint<'a> = (Slice<'a>, Graph);

/// A slice, the ticks that were looked at for it, and those that might have been.
struct Made<'a> {
    joint: Option<Joint<'a>>,
    cost: u32,
    at_once: u32,
}

/// Machines that are looked at, those of them that are told apart, what is counted in them, what it has to be below, and the
/// ticks that may be looked at for it.
type Counts = (Vec<usize>, Vec<usize>, Counted, Option<u32>, u32);

/// Counts in the slices of one form. What is known already is charged as if it were worked out anew, so that an answer never
/// depends on what was asked before.
pub(crate) struct Counter<'a> {
    form: &'a Form,
    /// Ticks from the first of a second to the last.
    window: u16,
    /// By their machines, and whether their marks are told.
    slices: BTreeMap<(Vec<usize>, bool), Made<'a>>,
    /// Each with the ticks that were looked at for it.
    counts: BTreeMap<Counts, (Option<u32>, u32)>,
    /// How often a message can be sent.
    sends: BTreeMap<usize, u32>,
    /// Ticks that may be looked at for one answer, and those that are left of them.
    share: u32,
    left: u32,
    /// One of [`AT_ONCE`].
    at_once: u32,
}

impl<'a> Counter<'a> {
    pub(crate) fn new(form: &'a Form) -> Self {
        let second = u16::try_from(1000_u32.div_ceil(form.tick_ms.max(1))).unwrap_or(1000);
        // From the first tick of a second to its last.
        let window = second.max(1) - 1;
        let lit = form.figures.len() + form.spots.len() + form.digits.len();
        let share = (WORK / u32::try_from(lit.max(1)).unwrap_or(u32::MAX)).clamp(SHARE[0], SHARE[1]);
        let (slices, counts, sends) = (BTreeMap::new(), BTreeMap::new(), BTreeMap::new());
        Self { form, window, slices, counts, sends, share, left: share, at_once: 0 }
    }

    /// The most that can be counted in a second; none where it cannot be told.
    pub(crate) fn most(&mut self, counted: Counted, effort: Effort) -> Option<u32> {
        self.left = self.share;
        self.at_once = AT_ONCE[usize::from(effort != Effort::Alone)];
        self.around(counted, effort)
    }

    /// The least of what the machines around something come to.
    fn around(&mut self, counted: Counted, effort: Effort) -> Option<u32> {
        let form = self.form;
        let machines = |wanted: &dyn Fn(&Machine) -> bool| -> Vec<usize> {
            form.machines.iter().enumerate().filter(|(_, one)| wanted(one)).map(|(m, _)| m).collect()
        };
        match counted {
            // A machine that shows nothing of it changes nothing of it: what several show is counted for each.
            Counted::Figure(figure) => {
                let shows = machines(&|machine| {
                    machine
                        .states
                        .iter()
                        .any(|state| state.pose.as_ref().is_some_and(|pose| pose.figure == figure))
                });
                shows.into_iter().map(|m| self.least(&[m], counted, effort)).sum()
            }
            Counted::Spot(spot) => {
                let lit = |machine: &Machine| {
                    machine.states.iter().flat_map(|state| &state.lights).any(|light| can_light(light, spot))
                };
                let all = self.with_lights(&machines(&lit), spot);
                if all.is_empty() { Some(0) } else { self.least(&all, counted, effort) }
            }
            Counted::Digits(digits) => {
                let numbers = self.numbers_on(digits)?;
                let changes = |m: usize, machine: &Machine| {
                    numbers.iter().any(|owner| owner.0 == m)
                        || machine
                            .states
                            .iter()
                            .flat_map(|state| &state.writes)
                            .any(|one| one.digits == digits)
                };
                let changing = form.machines.iter().enumerate().filter(|(m, one)| changes(*m, one));
                changing.map(|(m, _)| self.least(&[m], counted, effort)).sum()
            }
            Counted::Sends(message) => self.least(&[form.messages[message].sender], counted, effort),
        }
    }

    /// The numbers that digits may show; none where they count down by themselves.
    fn numbers_on(&self, digits: usize) -> Option<Vec<(usize, usize)>> {
        let (mut on, mut by_time) = (Vec::new(), false);
        for (m, machine) in self.form.machines.iter().enumerate() {
            let shown = machine.numbers.iter().enumerate().filter(|(_, one)| one.shown_on == Some(digits));
            on.extend(shown.map(|(i, _)| (m, i)));
            for writes in
                machine.states.iter().flat_map(|state| &state.writes).filter(|one| one.digits == digits)
            {
                each_node(&writes.value, &mut |node| match node {
                    Node::Number { m, i } => on.push((*m, *i)),
                    Node::Left { .. } => by_time = true,
                    _ => {}
                });
            }
        }
        (!by_time).then_some(on)
    }

    /// The machines that light a spot and those that their light depends on.
    fn with_lights(&self, lighting: &[usize], spot: usize) -> Vec<usize> {
        let mut all = lighting.to_vec();
        let states = lighting.iter().flat_map(|m| &self.form.machines[*m].states);
        for light in states.flat_map(|state| &state.lights).filter(|light| can_light(light, spot)) {
            let parts = light.index.iter().chain([&light.level]).chain(&light.when);
            parts.for_each(|part| each_node(part, &mut |node| all.extend(machine_of(node))));
        }
        all.sort_unstable();
        all.dedup();
        all
    }

    /// The least count around these machines.
    fn least(&mut self, machines: &[usize], counted: Counted, effort: Effort) -> Option<u32> {
        let least = self.count((machines, machines), counted, None);
        let mut best = Best { least, seen: machines.to_vec() };
        let enough = match effort {
            Effort::Alone => return best.least,
            Effort::Beside(enough) | Effort::Together(enough) => enough,
        };
        self.with_one_beside(machines, &mut best, (counted, enough));
        if !matches!(effort, Effort::Together(_)) {
            return best.least;
        }
        // With a second one beside that which told most.
        let seen = best.seen.clone();
        self.with_one_beside(&seen, &mut best, (counted, enough));
        // The same machines, with those around them to say what can be together.
        let mut whole = best.seen.clone();
        while best.is_more_than(enough) {
            // Two at a time, which is seldom too much where one is not; then one.
            let more = [self.closest(&whole, 2), self.closest(&whole, 1)].into_iter().find_map(|wider| {
                let count = (wider.len() > whole.len())
                    .then(|| self.count((&wider, &best.seen), counted, None))??;
                Some((wider, count))
            });
            let Some((wider, count)) = more else { break };
            best.least = Some(best.least.map_or(count, |known| known.min(count)));
            whole = wider;
        }
        best.least
    }

    /// The same with one of those beside these machines.
    fn with_one_beside(&mut self, machines: &[usize], best: &mut Best, (counted, enough): (Counted, u32)) {
        let mut beside = self.beside(machines);
        beside.truncate(MOST_BESIDE);
        // Every timer makes a count dearer; once one is low, the dear ones are often seen at a glance to be no lower.
        beside.sort_by_key(|m| self.form.machines[*m].timers.len());
        for one in beside {
            if !best.is_more_than(enough) {
                break;
            }
            let wider: Vec<usize> = machines.iter().copied().chain([one]).collect();
            let count = self.count((&wider, &wider), counted, best.least);
            if count.is_some() {
                *best = Best { least: count, seen: wider };
            }
        }
    }

    /// These machines with so many more that have most to do with them: they ask about each other.
    fn closest(&self, machines: &[usize], more: usize) -> Vec<usize> {
        let asks = |from: usize, about: usize| self.beside(&[from]).contains(&about);
        let mut whole = machines.to_vec();
        for _ in 0..more {
            let ties = |other: &usize| -> usize {
                let both = |own: &usize| usize::from(asks(*own, *other)) + usize::from(asks(*other, *own));
                whole.iter().map(both).sum()
            };
            let next = self.beside(&whole).into_iter();
            let Some(next) = next.max_by_key(|other| (ties(other), std::cmp::Reverse(*other))) else { break };
            if whole.len() < MOST_MACHINES {
                whole.push(next);
            }
        }
        whole
    }

    /// What is left of this answer's ticks after so many more; none where that is too much.
    fn charge(&mut self, ticks: u32) -> Option<()> {
        let left = self.left.checked_sub(ticks);
        self.left = left.unwrap_or(0);
        left.map(|_| ())
    }

    /// A slice with all that it can be in, charged for.
    fn slice(&mut self, machines: &[usize], marked: bool) -> Option<&Joint<'a>> {
        let (key, form, at_once) = (key(machines, marked), self.form, self.at_once);
        let known = |made: &Made<'a>| made.joint.is_some() || made.at_once >= at_once;
        if !self.slices.get(&key).is_some_and(known) {
            let mut left = at_once;
            let joint = Slice::of(form, machines).and_then(|slice| {
                let graph = Graph::of(&slice, if marked { u64::MAX } else { 0 }, &mut left)?;
                Some((slice, graph))
            });
            // What comes to nothing costs all that it might.
            let cost = if joint.is_some() { at_once - left } else { u32::MAX };
            self.slices.insert(key.clone(), Made { joint, cost, at_once });
        }
        let cost = self.slices.get(&key)?.cost;
        self.charge(cost.min(at_once))?;
        self.slices.get(&key).filter(|_| cost <= at_once)?.joint.as_ref()
    }

    /// The machines that those of a slice ask about.
    fn beside(&self, slice: &[usize]) -> Vec<usize> {
        let mut beside = Vec::new();
        for &m in slice {
            reads(&self.form.machines[m], &mut |node| beside.extend(machine_of(node)));
        }
        beside.retain(|m| !slice.contains(m));
        let mut once = Vec::new();
        for m in beside {
            if !once.contains(&m) {
                once.push(m);
            }
        }
        once
    }

    /// The count in a slice of which only some machines are told apart; none where it is not below a number.
    fn count(
        &mut self,
        (whole, seen): (&[usize], &[usize]),
        counted: Counted,
        below: Option<u32>,
    ) -> Option<u32> {
        let key = (whole.to_vec(), seen.to_vec(), counted, below, self.at_once);
        if let Some((most, cost)) = self.counts.get(&key).copied() {
            self.charge(cost)?;
            return most;
        }
        let before = self.left;
        let most = self.count_anew((whole, seen), counted, below);
        // What there was no work left for may be counted another time.
        if self.left > 0 {
            self.counts.insert(key, (most, before - self.left));
        }
        most
    }

    fn count_anew(
        &mut self,
        (whole, seen): (&[usize], &[usize]),
        counted: Counted,
        below: Option<u32>,
    ) -> Option<u32> {
        // What is seen in states alone needs no marks, and the messages that come do not matter to it.
        let marked = !matches!(counted, Counted::Figure(_)) && {
            let (slice, _) = self.slice(seen, true)?;
            !matches!(counted, Counted::Spot(spot) if lighting(slice, spot) == 0)
        };
        // A copy, since how often messages come may be worked out in other slices meanwhile.
        let foreign = self.slice(whole, marked)?.0.foreign.clone();
        let of = |counter: &mut Self, list: &Vec<usize>| match counted {
            Counted::Digits(_) => {
                let sum: u32 = list.iter().map(|message| counter.sent(*message)).sum();
                u8::try_from(sum).ok().filter(|sum| *sum <= MOST_TOKENS).unwrap_or(ANY)
            }
            _ => ANY,
        };
        let tokens: Vec<u8> = foreign.iter().map(|list| of(self, list)).collect();
        let window = self.window;
        let (slice, graph) = self.slices.get(&key(whole, marked))?.joint.as_ref()?;
        let graph = projected(slice, graph, seen, marks(slice, counted));
        let worth = worth(slice, &graph, seen, counted)?;
        let subject = match counted {
            Counted::Figure(_) => seen.first().and_then(|m| slice.slot(*m)),
            _ => None,
        };
        let state = |node: &Now| subject.map_or(0, |slot| slice.state(slot, *node));
        let lasting =
            |node: &Now| subject.and_then(|slot| lasts(slice, seen, slot, slice.state(slot, *node)));
        let count = Count {
            worth: &*worth,
            state: graph.nodes.iter().map(state).collect(),
            lasts: graph.nodes.iter().map(lasting).collect(),
        };
        let mut left = self.at_once;
        let most = busiest(&graph, (window, &tokens), &count, below, &mut left);
        self.charge(self.at_once - left)?;
        most
    }

    /// How often a message can be sent in a second: an answer of its own.
    fn sent(&mut self, message: usize) -> u32 {
        if let Some(known) = self.sends.get(&message) {
            return *known;
        }
        let before = (self.left, self.at_once);
        let sent = self.most(Counted::Sends(message), Effort::Beside(1)).unwrap_or(OFTEN).min(OFTEN);
        (self.left, self.at_once) = before;
        self.sends.insert(message, sent);
        sent
    }
}

/// What a slice is kept by.
fn key(machines: &[usize], marked: bool) -> (Vec<usize>, bool) {
    let mut key = machines.to_vec();
    key.sort_unstable();
    (key, marked)
}

/// The least count so far, and the machines that were told apart for it.
struct Best {
    least: Option<u32>,
    seen: Vec<usize>,
}

impl Best {
    fn is_more_than(&self, count: u32) -> bool {
        self.least.is_none_or(|least| least > count)
    }
}
