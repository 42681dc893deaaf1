//! Search over sets of timer values: a node is a situation without the ticks its timers have left, and a zone of them.
//!
//! - *One step for all points.* Conditions read of a timer only whether it is off, running or due, so that a tick does the
//!   same for all points of a zone in which the same timers run out. It is worked out by the referee on one stand-in: those
//!   that run out have 1 tick left, the others very many. A timer that has many less one afterwards went on, any other was
//!   started with what it shows. (Timed automata: R. Alur and D. Dill, "A theory of timed automata", 1994; from memory.)
//! - *Waiting.* A node is urgent when a tick without press, with nothing running out and nothing let go, changes anything:
//!   then the next tick is that one. Otherwise such a tick only takes one off every timer, and the zone is replaced by all
//!   it becomes by waiting. See [`Zone::past`]; from there on a tick in which nothing happens may be left out.
//! - *Picked lengths.* Where a pick is the length of a timer, all lengths are taken at once, as the stretch they make. No
//!   condition can tell them apart before the timer runs out.
//! - *Covering.* A node whose zone lies in one met before, with everything else the same and no more presses on the way, adds
//!   nothing: all that follows on it follows on the other. (Inclusion: C. Daws and S. Tripakis, "Model checking of real-time
//!   reachability properties using abstractions", 1998; from memory.) Zones are finite in number, since all timers are
//!   bounded and count down, so that the search ends without widening.
//! - *Hulls.* Where only situations are asked for and no play against anything, sets of the same situation are put together into
//!   the least zone that holds them, so that there are few. That is more than there is, never less. (Convex hulls: the same paper.)
//! - *Fewest presses.* Nodes are gone on from in the order of presses on the way to them; where changes are counted, those
//!   with more of them first.
//! - *More counted covers less.* The more changes have been counted and the more time is left to count in, the more can follow
//!   that is against the claim. So a node with as many changes or more covers, and a set is taken with all lesser times left.
//!   (Simulation between what an observer may still do; P. Abdulla, K. Cerans, B. Jonsson, Y. Tsay, "General decidability
//!   theorems for infinite-state systems", 1996, use such orders in general; from memory.)

use crate::leap::{Ends, FAR, Leap, Whose, clocks, parts, stand_in, started};
use crate::model::{Model, Who};
use crate::pack::{Packed, Packer, QuickMap, Timers, Whole};
use crate::watch::{Clocked, Seen, Watch, poses_change};
use crate::work::{Enough, Work};
use crate::zone::Zone;
use rules::step::{Clock, Input, Outcome, Pick, Start, begin_from, step};
use std::collections::{BTreeMap, VecDeque};

/// From so many changes on, all are gone on from alike.
const MOST_COUNTED: u8 = 8;

/// How a node came about.
#[derive(Clone, Debug)]
pub(crate) struct Label {
    pub(crate) input: Input,
    /// Clocks that ran out in this tick.
    pub(crate) out: Vec<Whose>,
    /// Clocks that began in it: least, most, the place that picked.
    pub(crate) new: Vec<(Whose, u32, u32, Option<u32>)>,
}

/// A node.
pub(crate) struct Node {
    pub(crate) key: Packed,
    pub(crate) zone: Zone,
    pub(crate) urgent: bool,
    /// The node before, or the number of the start.
    pub(crate) parent: Result<u32, usize>,
    pub(crate) label: Box<Label>,
    presses: u32,
    /// Changes counted so far, where they are.
    counted: u8,
    /// The node that has taken its place, before it was gone on from or after.
    pub(crate) covered: Option<u32>,
    /// Whether it was gone on from.
    pub(crate) gone_on: bool,
}

/// The nodes met so far.
pub(crate) struct Sets<'a> {
    pub(crate) model: &'a Model,
    pub(crate) watch: &'a Watch,
    pub(crate) who: Who,
    pub(crate) packer: Packer,
    pub(crate) nodes: Vec<Node>,
    index: QuickMap<Packed, Vec<u32>>,
    waiting: BTreeMap<u32, VecDeque<u32>>,
    /// Every step, where wanted.
    pub(crate) edges: Option<Vec<Edge>>,
    /// Nodes before this one keep their places.
    pub(crate) floor: u32,
    /// Whether what is put in now covers nothing.
    apart: bool,
    /// Whether sets of the same situation are put together.
    pub(crate) hulled: bool,
}

/// A step.
pub(crate) struct Edge {
    pub(crate) from: u32,
    pub(crate) to: u32,
    /// Out of which of its [`crate::leap::moments`].
    pub(crate) moment: usize,
    /// Whether a pose or a spot changed.
    pub(crate) changes: bool,
    /// Clocks that began.
    pub(crate) new: Box<[Whose]>,
}

/// Where a claim failed.
pub(crate) enum Fail {
    Begin(usize, Input),
    /// In the node at this place, by this tick.
    Step(u32, Label),
}

impl<'a> Sets<'a> {
    pub(crate) fn new(model: &'a Model, watch: &'a Watch, who: Who) -> Result<Self, Enough> {
        let timers = model.form.machines.iter().flat_map(|machine| &machine.timers).map(|timer| timer.max);
        if timers.chain([watch.longest()]).any(|ticks| ticks >= FAR - 1) || model.free.len() > 20 {
            return Err(Enough::Timers);
        }
        Ok(Self {
            model,
            watch,
            who,
            packer: Packer::new(model, Timers::Alike(FAR), watch.longest()),
            nodes: Vec::new(),
            index: QuickMap::default(),
            waiting: BTreeMap::new(),
            edges: None,
            floor: 0,
            apart: false,
            hulled: false,
        })
    }

    pub(crate) fn whole(&self, at: u32) -> Whole {
        self.packer.unpack(&self.nodes[at as usize].key)
    }

    /// Tick 0 from every start.
    pub(crate) fn begin(&mut self, starts: &[Start], work: &mut Work) -> Result<Option<Fail>, Enough> {
        let model = self.model;
        for (nth, start) in starts.iter().enumerate() {
            let mut fail = None;
            let ended = model.begin(start, true, work, &mut |work, input, outcome| {
                let ends =
                    self.stretch_ends(&outcome, input, &|input| begin_from(&model.form, start, &input.picks));
                let (mut situation, picked) = (outcome.situation, outcome.picked);
                let flagged = model.settle(&mut situation);
                let Some(next) = self.watch.begin(model, &situation, &picked, flagged) else {
                    fail = Some(Fail::Begin(nth, input.clone()));
                    return Err(Enough::Found);
                };
                let held = vec![false; model.form.buttons.len()];
                for (mode, clocked) in next {
                    let new = started(&situation, &ends, clocked, &model.free);
                    let ranges: Vec<(u32, u32)> =
                        new.iter().map(|(_, least, most, _)| (*least, *most)).collect();
                    let whole = stand_in(&situation, held.clone(), mode, clocked, false);
                    let label = Label { input: input.clone(), out: Vec::new(), new };
                    self.meet(&whole, Zone::stretches(&ranges), Err(nth), (label, 0), work)?;
                }
                Ok(())
            });
            match ended {
                Err(Enough::Found) => return Ok(fail),
                ended => ended?,
            }
        }
        Ok(None)
    }

    /// Everything that can follow, fewest presses first; stops at the first failure.
    pub(crate) fn run(&mut self, work: &mut Work) -> Result<Option<Fail>, Enough> {
        while let Some(mut first) = self.waiting.first_entry() {
            let Some(at) = first.get_mut().pop_front() else {
                first.remove();
                continue;
            };
            let node = &mut self.nodes[at as usize];
            if node.covered.is_some() {
                continue;
            }
            node.gone_on = true;
            if let Some(label) = self.expand(at, work)? {
                return Ok(Some(Fail::Step(at, label)));
            }
        }
        Ok(None)
    }

    /// Puts in a node, unless one that is there covers it; those that it covers are not gone on from.
    fn meet(
        &mut self,
        whole: &Whole,
        zone: Zone,
        parent: Result<u32, usize>,
        (label, presses): (Label, u32),
        work: &mut Work,
    ) -> Result<u32, Enough> {
        let urgent = !self.quiet(whole, work)?;
        let zone = if urgent { zone } else { zone.past() };
        let (zone, counted) = match (self.watch, whole.clock) {
            (Watch::Flash { .. }, Clock::Running(_)) => (zone.last_or_less(), whole.mode),
            _ => (zone, 0),
        };
        let key = self.packer.pack(whole);
        let kind =
            if counted > 1 { self.packer.pack(&Whole { mode: 1, ..whole.clone() }) } else { key.clone() };
        let known = self.index.entry(kind).or_default();
        let covers = |node: &Node| node.counted >= counted && zone.within(&node.zone);
        if let Some(at) = known.iter().find(|at| covers(&self.nodes[**at as usize])) {
            return Ok(*at);
        }
        let there = known.iter().filter(|_| self.hulled).map(|at| &self.nodes[*at as usize].zone);
        let zone = there.fold(zone, |all, zone| all.hull(zone));
        let at = u32::try_from(self.nodes.len()).map_err(|_| Enough::Sets)?;
        for old in known.iter().filter(|old| **old >= self.floor && !self.apart) {
            let node = &mut self.nodes[*old as usize];
            // Those already gone on from have at most as many presses, and stay for the way to what follows on them.
            let fewer = node.presses >= presses || self.hulled;
            if fewer && node.counted <= counted && node.zone.within(&zone) {
                node.covered = Some(at);
            }
        }
        known.retain(|at| self.nodes[*at as usize].covered.is_none());
        work.set(zone.bytes() + 2 * (40 + key.extra()) + 200 + 40 * label.new.len() as u64)?;
        if !self.apart {
            known.push(at);
        }
        let label = Box::new(label);
        let order = presses + 4 * u32::from(MOST_COUNTED - counted.min(MOST_COUNTED));
        self.nodes.push(Node {
            key,
            zone,
            urgent,
            parent,
            label,
            presses,
            counted,
            covered: None,
            gone_on: false,
        });
        self.waiting.entry(order).or_default().push_back(at);
        Ok(at)
    }

    /// Puts in a situation with a set of timer values to begin from. It covers nothing: what comes later is told apart from it.
    pub(crate) fn seed(&mut self, whole: &Whole, zone: Zone, work: &mut Work) -> Result<u32, Enough> {
        let label = Label { input: Input::default(), out: Vec::new(), new: Vec::new() };
        self.apart = true;
        let met = self.meet(whole, zone, Err(0), (label, 0), work);
        self.apart = false;
        met
    }

    /// The node that stands for one now: one that was covered before it was gone on from is looked for in its cover.
    pub(crate) fn stands(&self, mut at: u32) -> u32 {
        while let Node { gone_on: false, covered: Some(by), .. } = &self.nodes[at as usize] {
            at = *by;
        }
        at
    }

    /// The most ticks until something runs out, 1 where the next tick changes something; none where nothing need ever happen.
    pub(crate) fn lasts(&self, at: u32) -> Option<u64> {
        let node = &self.nodes[at as usize];
        if node.urgent { Some(1) } else { node.zone.soonest() }
    }

    /// Whether a tick in which nothing runs out, nobody presses and nobody lets go changes nothing.
    fn quiet(&self, whole: &Whole, work: &mut Work) -> Result<bool, Enough> {
        work.step()?;
        let model = self.model;
        let input = Input { pressed: Vec::new(), held: self.held(whole), picks: Vec::new() };
        let Outcome { mut situation, picked } = step(&model.form, &whole.situation, &input);
        let flagged = model.settle(&mut situation);
        let went_on = |being: &mut rules::step::Being| {
            for clock in &mut being.timers {
                if *clock == Clock::Running(FAR - 1) {
                    *clock = Clock::Running(FAR);
                }
            }
        };
        let seen_after = situation.clone();
        situation.machines.iter_mut().for_each(went_on);
        let seen =
            Seen { before: &whole.situation, input: &input, after: &seen_after, picked: &picked, flagged };
        let next = self.watch.advance(model, whole.mode, false, &seen);
        let same = |next: &Vec<(u8, Clocked)>| {
            let clock = if whole.clock == Clock::Off { Clocked::Off } else { Clocked::Keep };
            matches!(next[..], [(mode, clocked)] if mode == whole.mode
                && (clocked == clock || (clocked == Clocked::Keep && clock == Clocked::Off)))
        };
        Ok(picked.is_empty()
            && situation == whole.situation
            && next.as_ref().is_some_and(same)
            && self.held(whole) == whole.held)
    }

    /// What is held in a tick in which nobody does anything.
    fn held(&self, whole: &Whole) -> Vec<bool> {
        match self.who {
            Who::Anybody | Who::Only(_) | Who::Free(_) => whole.held.clone(),
            Who::Nobody => vec![false; whole.held.len()],
            Who::Holding(b) => (0..whole.held.len()).map(|at| at == b && self.model.tracked[b]).collect(),
        }
    }

    /// All ticks that can come next, once enough time has passed; the label of one in which the claim fails.
    fn expand(&mut self, at: u32, work: &mut Work) -> Result<Option<Label>, Enough> {
        let whole = self.whole(at);
        let clocks = clocks(&whole, &self.model.free);
        let parts = parts(&self.nodes[at as usize].zone, clocks.len());
        let running = |place: &&(usize, usize)| {
            matches!(whole.situation.machines[place.0].timers[place.1], Clock::Running(_))
        };
        let free: Vec<(usize, usize)> = self.model.free.iter().filter(running).copied().collect();
        for (nth, (part, out)) in parts.into_iter().enumerate() {
            for way in 0..1_u64 << free.len().min(20) {
                let runs_out =
                    |(nth, place): (usize, &(usize, usize))| (way >> nth & 1 == 1).then_some(*place);
                let freely = free.iter().enumerate().filter_map(runs_out).collect();
                let leap = Leap { whole: &whole, clocks: &clocks, nth, part: &part, out: &out, freely };
                if let Some(fail) = self.leap(at, &leap, work)? {
                    return Ok(Some(fail));
                }
            }
        }
        Ok(None)
    }

    fn leap(&mut self, at: u32, leap: &Leap, work: &mut Work) -> Result<Option<Label>, Enough> {
        let (model, watch, who) = (self.model, self.watch, self.who);
        let (urgent, presses) = (self.nodes[at as usize].urgent, self.nodes[at as usize].presses);
        let nothing_runs_out = !leap.out.contains(&true) && leap.freely.is_empty();
        let before = leap.stand_in();
        let due = leap.clocks.iter().zip(leap.out).any(|(whose, out)| *out && *whose == Whose::Observer);
        let mut fail = None;
        let ended = model.moves((&before, &leap.whole.held, who), true, work, &mut |work, input, outcome| {
            let held: Vec<bool> =
                input.held.iter().zip(&model.tracked).map(|(held, tracked)| *held && *tracked).collect();
            if !urgent && nothing_runs_out && !input.pressed.contains(&true) && held == leap.whole.held {
                return Ok(());
            }
            let ends = self.stretch_ends(&outcome, input, &|input| step(&model.form, &before, input));
            let (mut situation, picked) = (outcome.situation, outcome.picked);
            let flagged = model.settle(&mut situation);
            let seen = Seen { before: &before, input, after: &situation, picked: &picked, flagged };
            let ran_out = leap.clocks.iter().zip(leap.out).filter(|(_, out)| **out).map(|(whose, _)| *whose);
            let label = Label { input: input.clone(), out: ran_out.collect(), new: Vec::new() };
            let Some(next) = watch.advance(model, leap.whole.mode, due, &seen) else {
                fail = Some(label);
                return Err(Enough::Found);
            };
            let pressed =
                u32::try_from(input.pressed.iter().take(model.real).filter(|pressed| **pressed).count())
                    .unwrap_or(0);
            for (mode, clocked) in next {
                let goes_on = leap.whole.clock != Clock::Off && !due;
                let after = stand_in(&situation, held.clone(), mode, clocked, goes_on);
                let new = started(&situation, &ends, clocked, &model.free);
                let zone = leap.part.after_tick(&leap.plan(&after, &model.free, &new));
                let began = new.iter().map(|(whose, ..)| *whose).collect();
                let label = Label { new, ..label.clone() };
                let to = self.meet(&after, zone, Ok(at), (label, presses + pressed), work)?;
                if let Some(edges) = &mut self.edges {
                    let spots = |situation| model.picture(situation).spots;
                    let changes =
                        poses_change(&model.form, None, &seen) || spots(&before) != spots(&situation);
                    edges.push(Edge { from: at, to, moment: leap.nth, changes, new: began });
                }
            }
            Ok(())
        });
        match ended {
            Err(Enough::Found) => Ok(fail),
            ended => ended.map(|()| None),
        }
    }

    /// The situation that comes out when every picked length is the longest; with the shortest it is `outcome`'s.
    fn stretch_ends(&self, outcome: &Outcome, input: &Input, tick: &dyn Fn(&Input) -> Outcome) -> Ends {
        let mut longest = input.clone();
        let mut sites = BTreeMap::new();
        for pick in &outcome.picked {
            if let Some(timer) = self.model.lengths.get(&pick.site) {
                longest.picks.push(Pick { site: pick.site, value: self.model.sites[&pick.site].1 });
                // Of several in one tick the last one counts.
                sites.insert(*timer, pick.site);
            }
        }
        if sites.is_empty() {
            return Ends { longest: None, sites };
        }
        Ends { longest: Some(tick(&longest).situation), sites }
    }
}
