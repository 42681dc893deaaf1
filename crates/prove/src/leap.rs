//! One tick for all points of a set in which the same timers run out, worked out on one stand-in: which clocks there are, what
//! stands in for them, and where those after the tick come from. See [`crate::sets`].

use crate::pack::Whole;
use crate::watch::Clocked;
use crate::zone::{Comes, Zone};
use rules::step::{Clock, Situation};
use std::collections::{BTreeMap, BTreeSet};

/// Stands for the ticks left of a timer that does not run out now.
pub(crate) const FAR: u32 = 1 << 28;

/// A clock of a zone: a timer of a machine, or the observer's.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Whose {
    Timer(usize, usize),
    Observer,
}

/// A tick out of a zone's part.
pub(crate) struct Leap<'s> {
    pub(crate) whole: &'s Whole,
    pub(crate) clocks: &'s [Whose],
    /// The part's place among all of the zone.
    pub(crate) nth: usize,
    pub(crate) part: &'s Zone,
    pub(crate) out: &'s [bool],
    /// Free timers that run out.
    pub(crate) freely: Vec<(usize, usize)>,
}

impl Leap<'_> {
    /// One situation for all points of the part.
    pub(crate) fn stand_in(&self) -> Situation {
        let mut before = self.whole.situation.clone();
        for (whose, out) in self.clocks.iter().zip(self.out) {
            if let Whose::Timer(m, i) = whose {
                before.machines[*m].timers[*i] = Clock::Running(if *out { 1 } else { FAR });
            }
        }
        for (m, i) in &self.freely {
            before.machines[*m].timers[*i] = Clock::Running(1);
        }
        before
    }

    /// Where the clocks of the zone after the tick come from.
    pub(crate) fn plan(
        &self,
        after: &Whole,
        free: &BTreeSet<(usize, usize)>,
        new: &[(Whose, u32, u32, Option<u32>)],
    ) -> Vec<Comes> {
        let of = |whose: Whose| {
            let new =
                new.iter().find(|(of, ..)| *of == whose).map(|(_, least, most, _)| Comes::New(*least, *most));
            new.or_else(|| self.clocks.iter().position(|of| *of == whose).map(Comes::On))
                .unwrap_or(Comes::New(1, 1))
        };
        clocks(after, free).into_iter().map(of).collect()
    }
}

/// What a set stands for, one situation for all points in which the same timers run out next; and whether none does.
pub(crate) fn moments(whole: &Whole, zone: &Zone, free: &BTreeSet<(usize, usize)>) -> Vec<(Situation, bool)> {
    let clocks = clocks(whole, free);
    let of = |(part, out): &(Zone, Vec<bool>)| {
        let leap = Leap { whole, clocks: &clocks, nth: 0, part, out, freely: Vec::new() };
        (leap.stand_in(), !out.contains(&true))
    };
    parts(zone, clocks.len()).iter().map(of).collect()
}

/// A zone cut by which of its timers run out in the next tick.
pub(crate) fn parts(zone: &Zone, clocks: usize) -> Vec<(Zone, Vec<bool>)> {
    let mut parts = vec![(zone.clone(), Vec::new())];
    for clock in 0..clocks {
        let mut cut = Vec::new();
        for (zone, out) in parts {
            for runs_out in [false, true] {
                if let Some(part) = zone.running_out(clock, runs_out) {
                    let out: Vec<bool> = out.iter().copied().chain([runs_out]).collect();
                    cut.push((part, out));
                }
            }
        }
        parts = cut;
    }
    parts
}

/// What picked lengths can make of a situation's timers.
pub(crate) struct Ends {
    pub(crate) longest: Option<Situation>,
    pub(crate) sites: BTreeMap<(usize, usize), u32>,
}

/// The clocks of a situation, in the order of its zone.
pub(crate) fn clocks(whole: &Whole, free: &BTreeSet<(usize, usize)>) -> Vec<Whose> {
    let mut clocks = Vec::new();
    for (m, being) in whole.situation.machines.iter().enumerate() {
        for (i, clock) in being.timers.iter().enumerate() {
            if matches!(clock, Clock::Running(_)) && !free.contains(&(m, i)) {
                clocks.push(Whose::Timer(m, i));
            }
        }
    }
    if whole.clock != Clock::Off {
        clocks.push(Whose::Observer);
    }
    clocks
}

/// The clocks that were started in a tick, with the stretch their ticks lie in.
pub(crate) fn started(
    after: &Situation,
    ends: &Ends,
    clocked: Clocked,
    free: &BTreeSet<(usize, usize)>,
) -> Vec<(Whose, u32, u32, Option<u32>)> {
    let mut new = Vec::new();
    for (m, being) in after.machines.iter().enumerate() {
        for (i, clock) in being.timers.iter().enumerate() {
            if let Clock::Running(least) = clock
                && *least < FAR - 1
                && !free.contains(&(m, i))
            {
                let longest = ends.longest.as_ref().map(|longest| longest.machines[m].timers[i]);
                let most = if let Some(Clock::Running(most)) = longest { most } else { *least };
                let site = if most > *least { ends.sites.get(&(m, i)).copied() } else { None };
                new.push((Whose::Timer(m, i), *least, most, site));
            }
        }
    }
    if let Clocked::Start(ticks) = clocked {
        new.push((Whose::Observer, ticks, ticks, None));
    }
    new
}

/// The situation with every running timer alike.
pub(crate) fn stand_in(
    after: &Situation,
    held: Vec<bool>,
    mode: u8,
    clocked: Clocked,
    goes_on: bool,
) -> Whole {
    let mut situation = after.clone();
    for clock in situation.machines.iter_mut().flat_map(|being| &mut being.timers) {
        if let Clock::Running(left) = clock {
            *left = FAR;
        }
    }
    let runs = match clocked {
        Clocked::Keep => goes_on,
        Clocked::Off => false,
        Clocked::Start(_) => true,
    };
    let clock = if runs { Clock::Running(FAR) } else { Clock::Off };
    Whole { situation, held, mode, clock }
}
