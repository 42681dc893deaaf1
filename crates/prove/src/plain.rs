//! Plain search, the referee of the other one: breadth first over whole situations, one tick at a time.
//!
//! The first way found to a situation is a shortest one, so that a refutation is a play of the fewest ticks.

use crate::answer::Trace;
use crate::model::{Model, Who};
use crate::pack::{Packed, Packer, QuickMap, Timers, Whole};
use crate::watch::{Clocked, Next, Seen, Watch};
use crate::work::{Enough, Work};
use rules::step::{Clock, Input, Outcome, Pick, Start};
use rules::vectors::TickIn;
use std::collections::BTreeMap;

/// No parent: the search began here.
const ROOT: u32 = u32::MAX;

/// Situations met, in the order in which they were met.
pub(crate) struct Graph<'a> {
    pub(crate) model: &'a Model,
    pub(crate) watch: &'a Watch,
    pub(crate) who: Who,
    packer: Packer,
    pub(crate) keys: Vec<Packed>,
    parents: Vec<u32>,
    index: QuickMap<Packed, u32>,
    /// What the situations without a parent came from: a start, or whatever the caller counts.
    pub(crate) roots: BTreeMap<u32, usize>,
    /// Every step, where wanted: from, to, whether the picture changed.
    pub(crate) edges: Option<Vec<(u32, u32, bool)>>,
}

/// Where a claim failed: after this input in the situation at this place, or in tick 0.
pub(crate) enum Fail {
    Begin { start: usize, input: Input },
    Step { at: u32, input: Input },
}

impl<'a> Graph<'a> {
    pub(crate) fn new(model: &'a Model, watch: &'a Watch, who: Who) -> Self {
        Self {
            model,
            watch,
            who,
            packer: Packer::new(model, Timers::Exact, watch.longest()),
            keys: Vec::new(),
            parents: Vec::new(),
            index: QuickMap::default(),
            roots: BTreeMap::new(),
            edges: None,
        }
    }

    fn meet(&mut self, whole: &Whole, parent: u32, work: &mut Work) -> Result<u32, Enough> {
        let key = self.packer.pack(whole);
        if let Some(known) = self.index.get(&key) {
            return Ok(*known);
        }
        // The key twice, the table's place for it, the parent.
        work.situation(2 * (40 + key.extra()) + 16)?;
        let at = u32::try_from(self.keys.len()).map_err(|_| Enough::Situations)?;
        self.index.insert(key.clone(), at);
        self.keys.push(key);
        self.parents.push(parent);
        Ok(at)
    }

    /// Puts in a situation to begin from.
    pub(crate) fn seed(&mut self, whole: &Whole, from: usize, work: &mut Work) -> Result<u32, Enough> {
        let before = self.keys.len();
        let at = self.meet(whole, ROOT, work)?;
        if self.keys.len() > before {
            self.roots.insert(at, from);
        }
        Ok(at)
    }

    pub(crate) fn whole(&self, at: u32) -> Whole {
        self.packer.unpack(&self.keys[at as usize])
    }

    pub(crate) fn wholes(&self) -> impl Iterator<Item = Whole> {
        self.keys.iter().map(|key| self.packer.unpack(key))
    }

    pub(crate) fn find(&self, whole: &Whole) -> Option<u32> {
        self.index.get(&self.packer.pack(whole)).copied()
    }

    /// Tick 0 from every start.
    pub(crate) fn begin(&mut self, starts: &[Start], work: &mut Work) -> Result<Option<Fail>, Enough> {
        let model = self.model;
        for (nth, start) in starts.iter().enumerate() {
            let mut fail = None;
            let ended = model.begin(start, false, work, &mut |work, input, outcome| {
                let (mut situation, picked) = (outcome.situation, outcome.picked);
                let flagged = model.settle(&mut situation);
                let Some(next) = self.watch.begin(model, &situation, &picked, flagged) else {
                    fail = Some(Fail::Begin { start: nth, input: input.clone() });
                    return Err(Enough::Found);
                };
                let held = vec![false; model.form.buttons.len()];
                for (mode, clocked) in next {
                    let clock = clock_after(Clock::Off, clocked);
                    self.seed(
                        &Whole { situation: situation.clone(), held: held.clone(), mode, clock },
                        nth,
                        work,
                    )?;
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

    /// Everything that can follow; stops at the first failure. `leave` says which situations are not gone on from.
    pub(crate) fn run(
        &mut self,
        leave: &dyn Fn(&Whole) -> bool,
        work: &mut Work,
    ) -> Result<Option<Fail>, Enough> {
        let mut at: u32 = 0;
        while (at as usize) < self.keys.len() {
            let whole = self.whole(at);
            if !leave(&whole) {
                let mut fail = None;
                let ended = self.each_next(&whole, work, &mut |graph, work, input, next| {
                    let Some(next) = next else {
                        fail = Some(Fail::Step { at, input: input.clone() });
                        return Err(Enough::Found);
                    };
                    for after in next {
                        let to = graph.meet(&after, at, work)?;
                        if graph.edges.is_some() {
                            let changed = graph.model.picture(&whole.situation)
                                != graph.model.picture(&after.situation);
                            if let Some(edges) = &mut graph.edges {
                                edges.push((at, to, changed));
                            }
                        }
                    }
                    Ok(())
                });
                match ended {
                    Err(Enough::Found) => return Ok(fail),
                    ended => ended?,
                }
            }
            at += 1;
        }
        Ok(None)
    }

    #[allow(clippy::type_complexity, reason = "a closure over the graph itself")]
    fn each_next(
        &mut self,
        whole: &Whole,
        work: &mut Work,
        f: &mut dyn FnMut(&mut Self, &mut Work, &Input, Option<Vec<Whole>>) -> Result<(), Enough>,
    ) -> Result<(), Enough> {
        let (model, watch, who) = (self.model, self.watch, self.who);
        model.moves((&whole.situation, &whole.held, who), false, work, &mut |work, input, outcome| {
            let next = after(model, watch, whole, input, outcome);
            f(self, work, input, next)
        })
    }

    /// The situations on the way to one, from where the search began.
    pub(crate) fn path(&self, at: u32) -> Vec<u32> {
        let mut path = vec![at];
        let mut here = at;
        while self.parents[here as usize] != ROOT {
            here = self.parents[here as usize];
            path.push(here);
        }
        path.reverse();
        path
    }

    /// Some input that leads from one situation to another in one tick.
    pub(crate) fn input_between(&self, from: u32, to: u32) -> Option<Input> {
        let (whole, wanted) = (self.whole(from), &self.keys[to as usize]);
        let mut found = None;
        let mut quiet = |_| {};
        let mut work = Work::new(crate::Limits { steps: u64::MAX, ..crate::Limits::default() }, &mut quiet);
        let _ended = self.model.moves(
            (&whole.situation, &whole.held, self.who),
            false,
            &mut work,
            &mut |_, input, outcome| {
                let next = after(self.model, self.watch, &whole, input, outcome).unwrap_or_default();
                if next.iter().any(|after| self.packer.pack(after) == *wanted) {
                    found = Some(input.clone());
                    return Err(Enough::Found);
                }
                Ok(())
            },
        );
        found
    }

    /// The picks with which tick 0 of a start gives this situation.
    fn begin_input(&self, start: &Start, root: u32) -> Option<Input> {
        let mut found = None;
        let mut quiet = |_| {};
        let mut work = Work::new(crate::Limits { steps: u64::MAX, ..crate::Limits::default() }, &mut quiet);
        let _ended = self.model.begin(start, false, &mut work, &mut |_, input, outcome| {
            let mut situation = outcome.situation;
            self.model.settle(&mut situation);
            if situation == self.whole(root).situation {
                found = Some(input.clone());
                return Err(Enough::Found);
            }
            Ok(())
        });
        found
    }

    /// The play that leads to a situation.
    pub(crate) fn trace_to(&self, starts: &[Start], at: u32) -> Option<Trace> {
        let path = self.path(at);
        let root = *path.first()?;
        let start = starts.get(*self.roots.get(&root)?)?;
        let mut ticks = vec![tick_in(&self.begin_input(start, root)?)];
        for pair in path.windows(2) {
            ticks.push(tick_in(&self.input_between(pair[0], pair[1])?));
        }
        Some(Trace { kept: start.kept.clone(), settings: start.settings.clone(), ticks, again_from: None })
    }

    /// The play that ends in a failure.
    pub(crate) fn trace(&self, starts: &[Start], fail: &Fail) -> Option<Trace> {
        match fail {
            Fail::Begin { start, input } => {
                let start = starts.get(*start)?;
                let (kept, settings) = (start.kept.clone(), start.settings.clone());
                Some(Trace { kept, settings, ticks: vec![tick_in(input)], again_from: None })
            }
            Fail::Step { at, input } => {
                let mut trace = self.trace_to(starts, *at)?;
                trace.ticks.push(tick_in(input));
                Some(trace)
            }
        }
    }
}

/// Where a tick leads, the observer's ways included; none when the claim fails.
pub(crate) fn after(
    model: &Model,
    watch: &Watch,
    whole: &Whole,
    input: &Input,
    outcome: Outcome,
) -> Option<Vec<Whole>> {
    let Outcome { mut situation, picked } = outcome;
    let flagged = model.settle(&mut situation);
    let (clock, due) = match whole.clock {
        Clock::Running(left) if left <= 1 => (Clock::Off, true),
        Clock::Running(left) => (Clock::Running(left - 1), false),
        still => (still, false),
    };
    let next = advance(
        model,
        watch,
        (whole.mode, due),
        &Seen { before: &whole.situation, input, after: &situation, picked: &picked, flagged },
    )?;
    // Of a button that nobody asks about, it is not remembered whether it is held.
    let held: Vec<bool> =
        input.held.iter().zip(&model.tracked).map(|(held, tracked)| *held && *tracked).collect();
    let whole = |(mode, clocked)| Whole {
        situation: situation.clone(),
        held: held.clone(),
        mode,
        clock: clock_after(clock, clocked),
    };
    Some(next.into_iter().map(whole).collect())
}

fn advance(model: &Model, watch: &Watch, (mode, due): (u8, bool), seen: &Seen) -> Next {
    watch.advance(model, mode, due, seen)
}

fn clock_after(clock: Clock, clocked: Clocked) -> Clock {
    match clocked {
        Clocked::Keep => clock,
        Clocked::Off => Clock::Off,
        Clocked::Start(ticks) => Clock::Running(ticks),
    }
}

/// An input as a trace keeps it.
pub(crate) fn tick_in(input: &Input) -> TickIn {
    let on = |flags: &[bool]| flags.iter().enumerate().filter(|(_, flag)| **flag).map(|(b, _)| b).collect();
    TickIn {
        pressed: on(&input.pressed),
        held: on(&input.held),
        picks: input.picks.iter().map(|Pick { site, value }| (*site, *value)).collect(),
    }
}

/// What plain search comes to for one claim.
pub(crate) enum Found {
    /// Everything was looked at.
    Nothing,
    /// A failure, with the play that leads to it.
    Fail(Option<Trace>),
}

/// Looks through everything that any play can come to, until the claim fails.
pub(crate) fn search(model: &Model, watch: &Watch, work: &mut Work) -> Result<Found, Enough> {
    let starts = model.starts()?;
    let mut graph = Graph::new(model, watch, Who::Anybody);
    let mut fail = graph.begin(&starts, work)?;
    if fail.is_none() {
        fail = graph.run(&|_| false, work)?;
    }
    Ok(fail.map_or(Found::Nothing, |fail| Found::Fail(graph.trace(&starts, &fail))))
}
