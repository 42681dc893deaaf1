//! What silence comes to, by sets: coming home, a turn for whoever waits, something that still changes.
//!
//! - *What can be.* Of the machines that make the picture together, and of each other machine alone, all that any play can bring
//!   about is found with everything else left free (see [`crate::far`]). Every situation of a play lies in what these parts
//!   allow side by side. Timers longer than a second may stand anywhere within their range; numbers are stretches.
//! - *What lasts.* In silence a state that time alone ends and that nothing leads back to is left for ever within a bound
//!   ([`silence::lasting`]); the same is asked of a few machines together. What cannot happen any more is taken out of the
//!   rules, which ends more states, and so on ([`silence`]).
//! - *Silence.* From everything that can be and lasts, the rules go on by themselves. Each way through the graph of sets is
//!   bounded by the most ticks that its sets last. What must come, comes when no circle that a play could go round for ever
//!   ([`behind`]), and no set in which nothing need ever happen, avoids it; every play in silence goes along some way of the graph, so that it holds in each.
//!
//! What silence comes to is worked out once for all questions that it is the same for ([`Asked`]).
//!
//! Covering keeps that so: a step into a set that lies in another one goes on from there. (Liveness on graphs of zones: S.
//! Tripakis, "Checking timed Büchi automata emptiness on simulation graphs", 2009; bounded response by progress through stages:
//! Z. Manna, A. Pnueli, "Completing the temporal picture", 1991. Both from memory.) Nothing is ever refuted here.

use crate::far::{self, Near};
use crate::leap::FAR;
use crate::live;
use crate::loosen;
use crate::model::{Model, Who};
use crate::pack::{Packed, Packer, Timers, Whole};
use crate::reduce::{self, Place};
use crate::sets::Sets;
use crate::silence::{self, States};
use crate::watch::Watch;
use crate::work::{Enough, Work};
use crate::zone::Zone;
pub(crate) use asked::Asked;
use part::{Keeps, Part, blank};
pub(crate) use question::bound;
use rules::form::{Expr, Form, Node, each_node};
use rules::step::Situation;
use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;
pub(crate) use way::Graph;

mod asked;
mod behind;
mod light;
mod part;
mod question;
mod turn;
mod untouched;
mod way;

/// Machines that are asked together what lasts.
const MOST_TOGETHER: usize = 4;

/// Rules made small, what is known of their silence, and what it took to know it.
struct Calm<'a> {
    form: &'a Form,
    quiet: Who,
    watch: Watch,
    /// Reduced, loosened, without light; few values that are counted are kept.
    base: Form,
    /// The same with those in stretches, too, and the least values of these.
    coarse: Form,
    stretches: BTreeMap<Place, Vec<i32>>,
    unfelt: BTreeSet<Place>,
    /// Numbers that are left free.
    hidden: BTreeSet<Place>,
    /// Whether what can be is found with every clock, and machines with all that they read.
    close: bool,
    /// The states that machines can be in for good.
    states: States,
    /// Ticks until then.
    ticks: u64,
    /// Machines that still do something then, or are looked at.
    busy: Near,
}

impl<'a> Calm<'a> {
    /// `sees`: what has to be told apart besides.
    fn new(form: &'a Form, quiet: Who, sees: Vec<Expr>, close: bool) -> Self {
        let watch = Watch::Sees(sees);
        let states = silence::all_states(form);
        let (base, unfelt) = based(form, &watch, true);
        let (mut coarse, _) = based(form, &watch, false);
        let stretches = loosen::numbers_but(&mut coarse, &watch, &BTreeSet::new());
        live::rest(&mut coarse, &watch);
        let hidden = loosen::unruly(&base, &watch);
        let busy = Near::new();
        Self { form, quiet, watch, base, coarse, stretches, unfelt, hidden, close, states, ticks: 0, busy }
    }

    /// Finds the states that last, machine by machine. In a play that nobody has touched, others come before, which count, too.
    fn settle(&mut self, work: &mut Work) -> Result<(), Enough> {
        let untouched = silence::untouched(&self.base, (self.quiet, self.real()));
        loop {
            let before = self.states.clone();
            let (small, rounds) = silence::silent(&self.base, &self.states, (self.quiet, self.real()));
            for (m, machine) in small.machines.iter().enumerate() {
                let (mut lasting, ticks) = silence::lasting(machine, &self.form.machines[m], &self.states[m]);
                lasting.extend(&untouched[m]);
                if lasting.len() < self.states[m].len() {
                    self.ticks += ticks + rounds;
                    self.states[m] = lasting;
                }
            }
            if self.states == before && !self.settle_together(&small, &untouched, work)? {
                self.ticks += rounds;
                // What is left of lengths that are worked out.
                (self.base, self.unfelt) =
                    based(&silence::narrowed(self.form, &self.states), &self.watch, true);
                self.busy = self.busy();
                return Ok(());
            }
        }
    }

    /// The same for a machine that is in more states than an untouched play leads to, with those that send it messages.
    fn settle_together(&mut self, small: &Form, untouched: &States, work: &mut Work) -> Result<bool, Enough> {
        for (m, untouched) in untouched.iter().enumerate() {
            if self.states[m].len() <= untouched.len() {
                continue;
            }
            let heard = far::heard(&small.machines[m]).map(|message| small.messages[message].sender);
            let near: Near = heard.chain([m]).collect();
            if near.len() > MOST_TOGETHER {
                continue;
            }
            let groups = [(near.clone(), Near::new())];
            let Some(graph) = self.graph(&near, &groups, false, work)? else { continue };
            let passed = graph.passed();
            let state = |at: usize| graph.whole(at).situation.machines[m].state;
            let lasting = (0..passed.len()).filter(|at| passed[*at].is_none()).map(state);
            let lasting: BTreeSet<usize> = lasting.chain(untouched.iter().copied()).collect();
            if lasting.len() < self.states[m].len() {
                let gone = (0..passed.len()).filter(|at| !lasting.contains(&state(*at)));
                self.ticks += gone.filter_map(|at| passed[at]).max().unwrap_or(0);
                self.states[m] = lasting;
                return Ok(true);
            }
        }
        Ok(false)
    }

    fn real(&self) -> usize {
        self.form.buttons.len()
    }

    /// Machines that still do something in silence, or are looked at by others.
    fn busy(&self) -> Near {
        let (small, _) = silence::silent(&self.base, &self.states, (self.quiet, self.real()));
        let mut read = Near::new();
        for state in small.machines.iter().flat_map(|machine| &machine.states) {
            far::each_read(state, &mut |node| read.extend(far::machine_of(node)));
        }
        self.watch
            .exprs()
            .into_iter()
            .for_each(|expr| each_node(expr, &mut |node| read.extend(far::machine_of(node))));
        let acts = |m: usize| small.machines[m].states.iter().any(|state| !state.transitions.is_empty());
        (0..small.machines.len())
            .filter(|m| acts(*m) || read.contains(m) || self.states[*m].len() > 1)
            .collect()
    }

    /// The same situation with the others in the only state that each of them can be in.
    fn with_idle(&self, situation: &Situation) -> Situation {
        let mut situation = situation.clone();
        for (m, being) in situation.machines.iter_mut().enumerate().filter(|(m, _)| !self.busy.contains(m)) {
            being.state = self.states[m].first().copied().unwrap_or(0);
        }
        situation
    }

    /// Everything that silence comes to, after what an untouched play is, all machines that still do something together.
    fn whole_graph(&self, work: &mut Work) -> Result<Option<Arc<Graph>>, Enough> {
        let near = self.busy.clone();
        let makes = far::make_picture(self.form);
        let (picture, others): (Near, Near) = near.iter().copied().partition(|m| makes.contains(m));
        let beside = |m: usize| {
            let mut read: BTreeMap<usize, usize> = BTreeMap::new();
            let mut look = |node: &Node| {
                far::machine_of(node).into_iter().for_each(|of| *read.entry(of).or_default() += 1);
            };
            self.base.machines[m].states.iter().for_each(|state| far::each_read(state, &mut look));
            read.retain(|of, _| picture.contains(of));
            if self.close {
                return read.into_keys().collect();
            }
            let most = read.into_iter().max_by_key(|(of, times)| (*times, usize::MAX - of));
            most.map(|(of, _)| of).into_iter().collect::<Near>()
        };
        let mut groups: Vec<(Near, Near)> = others.into_iter().map(|m| ([m].into(), beside(m))).collect();
        groups.insert(0, (picture, Near::new()));
        groups.retain(|(group, _)| !group.is_empty());
        self.graph(&near, &groups, true, work)
    }

    /// The rules of these machines in silence, everything else left free, and the buttons that what is left free may press.
    fn in_silence(&self, near: &Near) -> Result<Option<(Model, u64)>, Enough> {
        let (small, _) = silence::silent(&self.base, &self.states, (self.quiet, self.real()));
        let far: Near = (0..small.machines.len()).filter(|m| !near.contains(m)).collect();
        let mut free = silence::pressed_by(&small, far.into_iter());
        let real = self.real();
        let Some(small) = far::left_free_alone(&small, near, &self.hidden) else { return Ok(None) };
        free |= (real..small.buttons.len()).fold(0, |mask, b| mask | 1 << b);
        let (mut small, _) = reduce::reduced(&small, &self.watch);
        live::rest(&mut small, &self.watch);
        let model = Model::as_is(small, (self.unfelt.clone(), BTreeSet::new(), real), &self.watch)?;
        Ok(Some((model, free)))
    }

    /// What silence comes to for these machines, from the untouched beginning where that is wanted, and from all that the groups can
    /// be in side by side.
    fn graph(
        &self,
        near: &Near,
        groups: &[(Near, Near)],
        untouched: bool,
        work: &mut Work,
    ) -> Result<Option<Arc<Graph>>, Enough> {
        let Some((model, free)) = self.in_silence(near)? else { return Ok(None) };
        let asked = Asked::of(self, &model, (groups, untouched, free));
        if let Some((graph, cost)) = work.known.silence(&asked)
            && work.charge(cost)
        {
            return Ok(Some(graph));
        }
        let before = work.so_far();
        let mut sets = Sets::new(&model, &self.watch, Who::Free(free))?;
        sets.edges = Some(Vec::new());
        if untouched {
            sets.begin(&model.starts()?, work)?;
            sets.run(work)?;
            sets.floor = u32::try_from(sets.nodes.len()).unwrap_or(u32::MAX);
        }
        let Some(seeds) = self.seeds(&model, &asked, work)? else { return Ok(None) };
        for (whole, zone) in seeds {
            sets.seed(&whole, zone, work)?;
        }
        sets.run(work)?;
        let (graph, cost) = (Arc::new(Graph::of(sets)), work.since(before));
        work.known.keep_silence(asked, &graph, cost);
        Ok(Some(graph))
    }

    /// All that the groups can be in side by side.
    fn seeds(
        &self,
        model: &Model,
        asked: &Asked,
        work: &mut Work,
    ) -> Result<Option<Vec<(Whole, Zone)>>, Enough> {
        let senders: Vec<usize> = model.form.messages.iter().map(|message| message.sender).collect();
        // Where nothing is left that does anything, there is one situation, unless settings make several.
        let mut parts = if self.form.settings.is_empty() { vec![blank(model)] } else { Vec::new() };
        for (nth, (group, shared)) in asked.groups.iter().enumerate() {
            let all: Near = group.union(shared).copied().collect();
            let Some(reached) = self.reached(&all, (model, asked), work)? else { return Ok(None) };
            let join = |part: &Part, other: &Part| part.beside(other, (group, shared), &senders);
            parts = match nth {
                0 => reached,
                _ => parts
                    .iter()
                    .flat_map(|part| reached.iter().filter_map(|other| join(part, other)))
                    .collect(),
            };
        }
        let seeds: Vec<(Whole, Zone)> = parts.into_iter().map(|part| part.in_order(model)).collect();
        Ok((!seeds.is_empty()).then_some(seeds))
    }

    /// What these machines can be in, in states that last, with everything else left free: one set for each situation, without
    /// what nothing reads any more.
    fn reached(
        &self,
        group: &Near,
        (silent, asked): (&Model, &Asked),
        work: &mut Work,
    ) -> Result<Option<Vec<Part>>, Enough> {
        let Some(small) = far::left_free_alone(&self.coarse, group, &self.hidden) else { return Ok(None) };
        let free = if self.close { BTreeSet::new() } else { loosen::timers(&small) };
        let model = Model::as_is(small, (self.unfelt.clone(), free, self.real()), &self.watch)?;
        let starts = model.starts()?;
        let known = work.known.of(&model, &starts, true).map(|(_, cost)| cost);
        if !known.is_some_and(|cost| work.charge(cost)) {
            let before = work.so_far();
            let mut sets = Sets::new(&model, &self.watch, Who::Anybody)?;
            sets.hulled = true;
            sets.begin(&starts, work)?;
            sets.run(work)?;
            let cost = work.since(before);
            work.known.keep(&sets, &starts, cost);
        }
        let keeps = Keeps {
            group,
            live: &asked.live,
            stretches: &self.stretches,
            base: &self.base,
            template: blank(silent).whole,
        };
        let packer = Packer::new(silent, Timers::Alike(FAR), 1);
        let mut found: BTreeMap<Packed, Part> = BTreeMap::new();
        for (whole, zone) in work.known.of(&model, &starts, true).into_iter().flat_map(|(hulls, _)| hulls) {
            if group.iter().any(|m| !self.states[*m].contains(&whole.situation.machines[*m].state)) {
                continue;
            }
            let part = Part::of(&model, whole.clone(), zone.clone());
            for part in part.forgetting(&keeps) {
                let key = packer.pack(&part.whole);
                match found.entry(key) {
                    Entry::Vacant(place) => drop(place.insert(part)),
                    Entry::Occupied(mut place) => {
                        let hull = place.get().zone.hull(&part.zone);
                        place.get_mut().zone = hull;
                    }
                }
            }
        }
        Ok(Some(found.into_values().collect()))
    }
}

/// Rules with what nobody can feel taken out, without light but what [`light::keep_own`] leaves, lengths and numbers loose except
/// those that are counted; and the kept numbers that nobody can feel. `put_back`: see [`live`].
fn based(form: &Form, watch: &Watch, put_back: bool) -> (Form, BTreeSet<Place>) {
    let mut base = form.clone();
    light::keep_own(&mut base, watch);
    loosen::lengths(&mut base);
    let (mut base, _) = reduce::reduced(&base, watch);
    for machine in &mut base.machines {
        machine.numbers.iter_mut().for_each(|number| number.shown_on = None);
        for state in &mut machine.states {
            state.writes.clear();
        }
    }
    let counters = loosen::counters(&base);
    loosen::numbers_but(&mut base, watch, &counters);
    let (mut base, unfelt) = reduce::reduced(&base, watch);
    if put_back {
        live::rest(&mut base, watch);
    }
    (base, unfelt)
}
