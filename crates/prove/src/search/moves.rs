//! Each machine's moves, worked out once.
//!
//! A machine's tick depends on itself, on the few things that it reads of others, and on the presses that it hears. What a
//! machine is (state, numbers, timers, messages just sent) gets a small whole number when it is first met; so does what is
//! seen of it by each reader. Its moves are then looked up under these numbers, and worked out by [`rules::step`] itself
//! where they are not known: the tick has no second meaning here. Joining the moves of all machines is exact, since in a
//! tick every machine reads the frozen snapshot only (ARCHITECTURE.md, "The tick"). The idea of looking up the moves of
//! parts and joining them is that of the vector of local states in explicit-state model checkers (G. J. Holzmann, "The
//! Model Checker SPIN", IEEE Transactions on Software Engineering 23(5), 1997, its state vector compression; from memory).

use super::joint::{Heard, Joint, LOCAL_BITS, Move, Moves, Unfit, mask};
use super::mirror::Mirror;
use super::views::{Reads, seen};
use crate::model::Model;
use crate::pack::QuickMap;
use crate::watch::Watch;
use rules::form::Form;
use rules::step::{Being, Input, Outcome, Pick, Situation, step};

/// More inputs that one machine hears are left to the referee.
const MOST_HEARD: usize = 8;

/// Something that reads a machine: its place among the readers of that machine.
#[derive(Clone, Copy, Debug)]
struct Source {
    machine: usize,
    nth: usize,
    shift: u32,
}

/// Fields of one machine that one reader reads, and a number for each value of them, by local.
struct View {
    fields: std::collections::BTreeSet<super::views::Field>,
    /// As the transitions of the next tick see it, or as it stands.
    counted: bool,
    known: QuickMap<Vec<i64>, u32>,
    by_local: Vec<u32>,
    most: u32,
}

struct Part {
    solo: Form,
    locals: Vec<(Being, Vec<usize>)>,
    index: QuickMap<(Being, Vec<usize>), u32>,
    listens: Vec<u64>,
    views: Vec<View>,
    heard: Vec<Heard>,
    sources: Vec<Source>,
    settings_shift: Option<u32>,
    entries: QuickMap<u64, u32>,
    moves: Vec<Moves>,
    outs: Vec<Move>,
}

pub(super) struct Parts<'a> {
    pub(super) model: &'a Model,
    watch: &'a Watch,
    parts: Vec<Part>,
    pub(super) settings: Vec<Vec<i32>>,
    claim: Vec<Source>,
    claim_settings: Option<u32>,
    verdicts: QuickMap<u64, bool>,
}

/// Spreads views over the bits of a key.
fn spread(sources: &mut [Source], settings: bool, from: u32) -> Result<(u32, Option<u32>), Unfit> {
    let count = u32::try_from(sources.len() + usize::from(settings)).map_err(|_| Unfit)?;
    let width = ((64 - from) / count.max(1)).min(20);
    if width < 6 {
        return Err(Unfit);
    }
    for (nth, source) in (0..).zip(sources.iter_mut()) {
        source.shift = from + nth * width;
    }
    let last = from + width * (count.max(1) - 1);
    Ok((1 << width, settings.then_some(last)))
}

/// The form in which only one machine moves.
fn solo(form: &Form, m: usize) -> Form {
    let mut solo = form.clone();
    solo.claims.clear();
    for (other, machine) in solo.machines.iter_mut().enumerate() {
        if other != m {
            machine.remembers.clear();
            machine.ties = None;
            machine.states.iter_mut().for_each(|state| state.transitions.clear());
        }
    }
    solo
}

impl<'a> Parts<'a> {
    pub(super) fn new(model: &'a Model, watch: &'a Watch) -> Result<Self, Unfit> {
        let form = &model.form;
        let claim_reads = Reads::of_watch(model, watch).ok_or(Unfit)?;
        let mut parts: Vec<Part> = Vec::new();
        for m in 0..form.machines.len() {
            parts.push(Part {
                solo: solo(form, m),
                locals: vec![(
                    Being { state: 0, numbers: Vec::new(), timers: Vec::new(), stream: 0 },
                    Vec::new(),
                )],
                index: QuickMap::default(),
                listens: vec![0],
                views: Vec::new(),
                heard: Vec::new(),
                sources: Vec::new(),
                settings_shift: None,
                entries: QuickMap::default(),
                moves: Vec::new(),
                outs: Vec::new(),
            });
        }
        let mut view = |reads: &Reads, counted: bool| {
            let mut sources = Vec::new();
            for (machine, fields) in &reads.fields {
                sources.push(Source { machine: *machine, nth: parts[*machine].views.len(), shift: 0 });
                parts[*machine].views.push(View {
                    fields: fields.clone(),
                    counted,
                    known: QuickMap::default(),
                    by_local: vec![0],
                    most: 0,
                });
            }
            sources
        };
        let mut all = Vec::new();
        for m in 0..form.machines.len() {
            let reads = Reads::of_machine(form, m);
            all.push((view(&reads, true), reads));
        }
        let mut claim = view(&claim_reads, false);
        let limit = |parts: &mut Vec<Part>, sources: &mut Vec<Source>, settings, from| {
            let (most, shift) = spread(sources, settings, from)?;
            for source in sources {
                parts[source.machine].views[source.nth].most = most;
            }
            Ok(shift)
        };
        let claim_settings = limit(&mut parts, &mut claim, claim_reads.settings, 0)?;
        for (m, (mut sources, reads)) in all.into_iter().enumerate() {
            parts[m].settings_shift = limit(&mut parts, &mut sources, reads.settings, LOCAL_BITS)?;
            parts[m].sources = sources;
            let pressed = reads.pressed.iter().map(|b| Heard::Pressed(*b));
            parts[m].heard = pressed.chain(reads.held.iter().map(|b| Heard::Held(*b))).collect();
            if parts[m].heard.len() > MOST_HEARD {
                return Err(Unfit);
            }
        }
        let (settings, verdicts) = (Vec::new(), QuickMap::default());
        Ok(Self { model, watch, parts, settings, claim, claim_settings, verdicts })
    }

    /// How many locals each machine has had so far, and 1.
    pub(super) fn counts(&self) -> Vec<usize> {
        self.parts.iter().map(|part| part.locals.len()).collect()
    }

    fn local(&mut self, m: usize, situation: &Situation) -> Result<u32, Unfit> {
        let messages = &self.model.form.messages;
        let sent =
            (0..messages.len()).filter(|at| messages[*at].sender == m && situation.sent[*at]).collect();
        self.number(m, (situation.machines[m].clone(), sent))
    }

    /// The number of what a machine becomes in the mirror, for the machine it is sent to.
    pub(super) fn mirrored(&mut self, mirror: &Mirror, m: usize, local: u32) -> Result<u32, Unfit> {
        let (being, sent) = &self.parts[m].locals[local as usize];
        let key = (mirror.being(m, being), mirror.sent(sent));
        self.number(mirror.machines[m], key)
    }

    fn number(&mut self, m: usize, key: (Being, Vec<usize>)) -> Result<u32, Unfit> {
        if let Some(known) = self.parts[m].index.get(&key) {
            return Ok(*known);
        }
        let at = u32::try_from(self.parts[m].locals.len()).map_err(|_| Unfit)?;
        if at >> LOCAL_BITS != 0 {
            return Err(Unfit);
        }
        let listens = self.model.listening_to(m, key.0.state);
        let mut counted = key.0.clone();
        self.model.count(m, &mut counted);
        let part = &mut self.parts[m];
        for view in &mut part.views {
            let being = if view.counted { &counted } else { &key.0 };
            let next = u32::try_from(view.known.len()).map_err(|_| Unfit)?;
            let number = *view.known.entry(seen(&view.fields, being, &key.1)).or_insert(next);
            if number >= view.most {
                return Err(Unfit);
            }
            view.by_local.push(number);
        }
        part.listens.push(listens);
        part.index.insert(key.clone(), at);
        part.locals.push(key);
        Ok(at)
    }

    /// A situation by numbers; `held` is what of the held buttons is remembered.
    pub(super) fn joint(&mut self, situation: &Situation, held: &[bool]) -> Result<Joint, Unfit> {
        let count = self.parts.len();
        let locals = (0..count).map(|m| self.local(m, situation)).collect::<Result<_, _>>()?;
        let settings = match self.settings.iter().position(|known| *known == situation.settings) {
            Some(at) => at,
            None => {
                self.settings.push(situation.settings.clone());
                self.settings.len() - 1
            }
        };
        // A view of settings has at least 6 bits.
        let settings = u32::try_from(settings).ok().filter(|at| *at < 64).ok_or(Unfit)?;
        Ok(Joint { locals, simulated: mask(&situation.simulated), held: mask(held), settings })
    }

    pub(super) fn whole(&self, joint: &Joint) -> (Situation, Vec<bool>) {
        let form = &self.model.form;
        let mut sent = vec![false; form.messages.len()];
        let mut machines = Vec::with_capacity(joint.locals.len());
        for (part, local) in self.parts.iter().zip(&joint.locals) {
            let (being, own) = &part.locals[*local as usize];
            own.iter().for_each(|at| sent[*at] = true);
            machines.push(being.clone());
        }
        let flags = |mask: u64| (0..form.buttons.len()).map(|b| mask >> b & 1 == 1).collect::<Vec<bool>>();
        let settings = self.settings[joint.settings as usize].clone();
        let playing = vec![false; form.sounds.len()];
        let simulated = flags(joint.simulated);
        (Situation { machines, sent, simulated, playing, settings }, flags(joint.held))
    }

    pub(super) fn count(&self) -> usize {
        self.parts.len()
    }

    /// Buttons to which a machine listens, by the referee's own reckoning.
    pub(super) fn listens(&self, m: usize, local: u32) -> u64 {
        self.parts[m].listens[local as usize]
    }

    pub(super) fn heard(&self, m: usize) -> &[Heard] {
        &self.parts[m].heard
    }

    /// What a machine sees of others: of which machine, and which of the views of that.
    pub(super) fn views_of(&self, m: usize) -> Vec<(usize, usize)> {
        self.parts[m].sources.iter().map(|source| (source.machine, source.nth)).collect()
    }

    /// What the claim sees.
    pub(super) fn claim_views(&self) -> Vec<(usize, usize)> {
        self.claim.iter().map(|source| (source.machine, source.nth)).collect()
    }

    /// The number of what is seen of a machine in a view.
    pub(super) fn seen(&self, m: usize, nth: usize, local: u32) -> u32 {
        self.parts[m].views[nth].by_local[local as usize]
    }

    /// Where the moves of a machine begin: the place for no inputs.
    pub(super) fn entry(&mut self, m: usize, joint: &Joint) -> Result<u32, Unfit> {
        let part = &self.parts[m];
        let mut key = u64::from(joint.locals[m]);
        for source in &part.sources {
            let seen =
                self.parts[source.machine].views[source.nth].by_local[joint.locals[source.machine] as usize];
            key |= u64::from(seen) << source.shift;
        }
        if let Some(shift) = part.settings_shift {
            key |= u64::from(joint.settings) << shift;
        }
        if let Some(entry) = part.entries.get(&key) {
            return Ok(*entry);
        }
        let part = &mut self.parts[m];
        let entry = u32::try_from(part.moves.len()).map_err(|_| Unfit)?;
        part.moves.resize(part.moves.len() + (1 << part.heard.len()), Moves::default());
        part.entries.insert(key, entry);
        Ok(entry)
    }

    /// The moves of a machine with these edges and these buttons held.
    pub(super) fn moves(
        &mut self,
        m: usize,
        (entry, joint): (u32, &Joint),
        (real, held): (u64, u64),
    ) -> Result<Moves, Unfit> {
        let pressed = real | joint.simulated;
        let mut at = entry as usize;
        for (nth, heard) in self.parts[m].heard.iter().enumerate() {
            at += usize::from(heard.on(pressed, held)) << nth;
        }
        let known = self.parts[m].moves[at];
        if known.leaves > 0 {
            return Ok(known);
        }
        let moves = self.work_out(m, joint, (real, held))?;
        self.parts[m].moves[at] = moves;
        Ok(moves)
    }

    pub(super) fn outs(&self, m: usize, moves: Moves) -> &[Move] {
        moves.of(&self.parts[m].outs)
    }

    fn work_out(&mut self, m: usize, joint: &Joint, (real, held): (u64, u64)) -> Result<Moves, Unfit> {
        let (before, _) = self.whole(joint);
        let flags =
            |mask: u64| (0..before.simulated.len()).map(|b| mask >> b & 1 == 1).collect::<Vec<bool>>();
        let mut input = Input { pressed: flags(real), held: flags(held), picks: Vec::new() };
        let (mut ticks, mut leaves, mut ended) = (0, 0, Vec::new());
        self.pick(m, &before, &mut input, &mut (&mut ticks, &mut leaves, &mut ended));
        let from = self.parts[m].outs.len();
        for outcome in ended {
            let (mut situation, picked) = (outcome.situation, outcome.picked);
            let wide = |pick: &Pick| {
                let range = self.model.stores.get(&pick.site);
                range.is_some_and(|(least, most)| pick.value < *least || pick.value > *most)
            };
            let misfit = self.model.settle(&mut situation) || picked.iter().any(wide);
            let local = self.local(m, &situation)?;
            self.parts[m].outs.push(Move { local, simulated: mask(&situation.simulated), misfit });
        }
        Moves::new(from, self.parts[m].outs.len(), (ticks, leaves))
    }

    /// Every way of picking, in the referee's order.
    fn pick(
        &self,
        m: usize,
        before: &Situation,
        input: &mut Input,
        found: &mut (&mut u32, &mut u32, &mut Vec<Outcome>),
    ) {
        *found.0 += 1;
        let outcome = step(&self.parts[m].solo, before, input);
        let given = |site| input.picks.iter().any(|pick| pick.site == site);
        if let Some(open) = outcome.picked.iter().find(|pick| !given(pick.site)) {
            let (site, (lo, hi)) = (open.site, self.model.sites.get(&open.site).copied().unwrap_or_default());
            for value in lo..=hi {
                input.picks.push(Pick { site, value });
                self.pick(m, before, input, found);
                input.picks.pop();
            }
            return;
        }
        *found.1 += 1;
        let as_given = |given: &Pick| {
            outcome.picked.iter().all(|pick| pick.site != given.site || pick.value == given.value)
        };
        if input.picks.iter().all(as_given) {
            found.2.push(outcome);
        }
    }

    /// Whether the claim fails in a situation.
    pub(super) fn fails(&mut self, joint: &Joint) -> bool {
        if *self.watch == Watch::Nothing {
            return false;
        }
        let mut key = 0;
        for source in &self.claim {
            let seen =
                self.parts[source.machine].views[source.nth].by_local[joint.locals[source.machine] as usize];
            key |= u64::from(seen) << source.shift;
        }
        if let Some(shift) = self.claim_settings {
            key |= u64::from(joint.settings) << shift;
        }
        if let Some(known) = self.verdicts.get(&key) {
            return *known;
        }
        let (situation, _) = self.whole(joint);
        let fails = self.watch.begin(self.model, &situation, &[], false).is_none();
        self.verdicts.insert(key, fails);
        fails
    }

    /// Whether what does not fit is what the claim is about.
    pub(super) fn asks_misfits(&self) -> bool {
        *self.watch == Watch::InRange
    }
}
