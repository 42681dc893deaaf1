//! Machines that are looked up together: what a few neighbours are, side by side, is one number, and their moves one look.
//!
//! It is the same once more that `moves` does for one machine, and exact for the same reason: in a tick every machine reads the
//! frozen snapshot only, so that the moves of a group are all joint moves of its machines. Which machines are neighbours changes
//! nothing but the time that a look takes; so the search tries each machine alone first and then groups by how many locals
//! each has had. (Composing parts as long as the result stays small is the idea of compositional reachability analysis; here
//! nothing is minimised. S. Graf and B. Steffen, "Compositional Minimization of Finite State Systems", CAV 1990, from memory.)

use super::dense::Dense;
use super::group::{Eye, Group, Source, put, taken};
use super::joint::{Heard, Joint, Move, Moves, Unfit};
use super::mirror::Mirror;
use super::moves::Parts;
use super::table::Word;
use super::together::image;
use crate::pack::QuickMap;
use rules::step::Situation;

/// More numbers than this and a group is no help any more.
const TOO_MANY: usize = 1 << 22;

/// The machines' moves by groups. A joint's locals are those of the groups here.
pub(super) struct Groups<'a> {
    pub(super) parts: Parts<'a>,
    groups: Vec<Group>,
    eyes: Vec<Eye>,
    claim: Vec<Source>,
    /// Under what the claim sees and the settings: 1 when it holds, 2 when it fails.
    verdicts: Dense,
    /// Groups that hear no input, and those that do.
    pub(super) deaf: Vec<usize>,
    pub(super) hearing: Vec<usize>,
    /// Where the mirror sends each group.
    images: Vec<usize>,
    /// Scratch: the machines' own numbers.
    machines: Joint,
}

impl<'a> Groups<'a> {
    pub(super) fn new(parts: Parts<'a>, together: &[Vec<usize>], mirror: Option<&Mirror>) -> Self {
        let mut of = vec![0; parts.count()];
        for (g, machines) in together.iter().enumerate() {
            machines.iter().for_each(|m| of[*m] = g);
        }
        let mut eyes: Vec<Eye> = Vec::new();
        // Views of machines outside the reader, by group; fields of a group's table begin with its own local.
        let mut sources = |views: Vec<(usize, usize)>, reader: Option<usize>| {
            let mut sources: Vec<Source> = Vec::new();
            for view in views.into_iter().filter(|(m, _)| reader != Some(of[*m])) {
                let group = of[view.0];
                if let Some(source) = sources.iter().find(|source| source.group == group) {
                    eyes[source.eye].views.push(view);
                    continue;
                }
                let field = sources.len() + usize::from(reader.is_some());
                sources.push(Source { group, eye: eyes.len() });
                let (reader, known, by_local) = ((reader, field), QuickMap::default(), vec![0]);
                eyes.push(Eye { reader, views: vec![view], known, by_local });
            }
            sources
        };
        let claim = sources(parts.claim_views(), None);
        let mut groups: Vec<Group> = Vec::new();
        for (g, machines) in together.iter().enumerate() {
            let views = machines.iter().flat_map(|m| parts.views_of(*m)).collect();
            let sources = sources(views, Some(g));
            let mut heard: Vec<Heard> = machines.iter().flat_map(|m| parts.heard(*m)).copied().collect();
            heard.sort_unstable();
            heard.dedup();
            groups.push(Group {
                machines: machines.clone(),
                locals: vec![0],
                index: QuickMap::default(),
                listens: vec![0],
                mirrored: vec![0],
                eyes: Vec::new(),
                entries: Dense::new(2 + sources.len()),
                sources,
                heard,
                rare: QuickMap::default(),
                moves: Vec::new(),
                plain: Vec::new(),
                outs: Vec::new(),
            });
        }
        for (e, eye) in eyes.iter().enumerate() {
            groups[of[eye.views[0].0]].eyes.push(e);
        }
        let (deaf, hearing) = (0..groups.len()).partition(|g| groups[*g].heard.is_empty());
        let verdicts = Dense::new(1 + claim.len());
        let to = |group: &Vec<usize>| {
            let image = mirror.map(|mirror| image(mirror, group));
            together.iter().position(|other| Some(other) == image.as_ref()).unwrap_or(0)
        };
        let images = together.iter().map(to).collect();
        Self { parts, groups, eyes, claim, verdicts, deaf, hearing, images, machines: Joint::default() }
    }

    /// How many locals each group has had so far, and 1.
    pub(super) fn counts(&self) -> Vec<usize> {
        self.groups.iter().map(|group| group.locals.len()).collect()
    }

    /// The number of what a group's machines are.
    fn local(&mut self, g: usize, key: u128) -> Result<u32, Unfit> {
        if let Some(known) = self.groups[g].index.get(&key) {
            return Ok(*known);
        }
        let group = &self.groups[g];
        let at = u32::try_from(group.locals.len()).map_err(|_| Unfit)?;
        if group.locals.len() > TOO_MANY {
            return Err(Unfit);
        }
        let own = |m: usize| {
            let nth = group.machines.iter().position(|other| *other == m).unwrap_or(0);
            taken(key, nth)
        };
        let listens = group.machines.iter().fold(0, |all, m| all | self.parts.listens(*m, own(*m)));
        for e in &group.eyes {
            let eye = &mut self.eyes[*e];
            let all: Vec<u32> = eye.views.iter().map(|(m, nth)| self.parts.seen(*m, *nth, own(*m))).collect();
            let next = u32::try_from(eye.known.len()).map_err(|_| Unfit)?;
            let number = *eye.known.entry(all).or_insert(next);
            eye.by_local.push(number);
        }
        let group = &mut self.groups[g];
        group.listens.push(listens);
        group.mirrored.push(0);
        group.index.insert(key, at);
        group.locals.push(key);
        group.entries.fit(0, at);
        for e in self.groups[g].eyes.clone() {
            let eye = &self.eyes[e];
            let number = eye.by_local.last().copied().unwrap_or(0);
            match eye.reader {
                (Some(reader), field) => self.groups[reader].entries.fit(field, number),
                (None, field) => self.verdicts.fit(field, number),
            }
        }
        Ok(at)
    }

    /// What a group becomes in the mirror: of which group, and its number there.
    #[inline(always)]
    pub(super) fn mirrored(&mut self, mirror: &Mirror, g: usize, local: u32) -> Result<(usize, u32), Unfit> {
        let to = self.images[g];
        match self.groups[g].mirrored[local as usize] {
            0 => Ok((to, self.new_mirrored(mirror, g, local)?)),
            known => Ok((to, known)),
        }
    }

    #[cold]
    fn new_mirrored(&mut self, mirror: &Mirror, g: usize, local: u32) -> Result<u32, Unfit> {
        let (to, key) = (self.images[g], self.groups[g].locals[local as usize]);
        let mut image = 0;
        for (nth, m) in self.groups[g].machines.iter().enumerate() {
            let there = mirror.machines[*m];
            let at = self.groups[to].machines.iter().position(|other| *other == there).ok_or(Unfit)?;
            image |= put(self.parts.mirrored(mirror, *m, taken(key, nth))?, at);
        }
        let image = self.local(to, image)?;
        self.groups[g].mirrored[local as usize] = image;
        Ok(image)
    }

    /// A situation by the groups' numbers.
    pub(super) fn joint(&mut self, situation: &Situation, held: &[bool]) -> Result<Joint, Unfit> {
        let machines = self.parts.joint(situation, held)?;
        self.verdicts.fit(self.claim.len(), machines.settings);
        for group in &mut self.groups {
            group.entries.fit(1 + group.sources.len(), machines.settings);
        }
        let mut locals = Vec::new();
        for g in 0..self.groups.len() {
            let own = self.groups[g].machines.iter().enumerate();
            let key = own.fold(0, |key, (nth, m)| key | put(machines.locals[*m], nth));
            locals.push(self.local(g, key)?);
        }
        Ok(Joint { locals, ..machines })
    }

    /// The same by the machines' own numbers.
    fn unfold(&self, joint: &Joint, machines: &mut Joint) {
        (machines.simulated, machines.held, machines.settings) =
            (joint.simulated, joint.held, joint.settings);
        machines.locals.clear();
        machines.locals.resize(self.parts.count(), 0);
        for (group, local) in self.groups.iter().zip(&joint.locals) {
            let key = group.locals[*local as usize];
            for (nth, m) in group.machines.iter().enumerate() {
                machines.locals[*m] = taken(key, nth);
            }
        }
    }

    pub(super) fn whole(&self, joint: &Joint) -> (Situation, Vec<bool>) {
        let mut machines = Joint::default();
        self.unfold(joint, &mut machines);
        self.parts.whole(&machines)
    }

    /// Buttons to which some machine listens, by the referee's own reckoning.
    #[inline(always)]
    pub(super) fn listened(&self, joint: &Joint) -> u64 {
        self.groups
            .iter()
            .zip(&joint.locals)
            .fold(0, |all, (group, local)| all | group.listens[*local as usize])
    }

    /// Where the moves of a group begin: the place for no inputs.
    #[inline(always)]
    pub(super) fn entry(&mut self, g: usize, joint: &Joint) -> Result<u32, Unfit> {
        let group = &self.groups[g];
        let local = |g: usize| joint.locals[g];
        let seen = self.place(&group.sources, &group.entries.shifts[1..], &local, joint.settings);
        let place = local(g) as usize | seen;
        match group.entries.at(place) {
            0 => self.new_entry(g, place, joint),
            known => Ok(known - 1),
        }
    }

    /// What is seen, under the fields of a table.
    #[inline(always)]
    fn place(
        &self,
        sources: &[Source],
        shifts: &[u32],
        local: &impl Fn(usize) -> u32,
        settings: u32,
    ) -> usize {
        let mut place = (settings as usize) << shifts[sources.len()];
        for (source, shift) in sources.iter().zip(shifts) {
            let seen = self.eyes[source.eye].by_local[local(source.group) as usize];
            place |= (seen as usize) << shift;
        }
        place
    }

    #[cold]
    fn new_entry(&mut self, g: usize, place: usize, joint: &Joint) -> Result<u32, Unfit> {
        let group = &self.groups[g];
        if group.entries.is_there() {
            let entry = self.fresh_entry(g)?;
            self.groups[g].entries.put(place, entry + 1);
            return Ok(entry);
        }
        let seen = group
            .sources
            .iter()
            .map(|source| self.eyes[source.eye].by_local[joint.locals[source.group] as usize]);
        let key: Vec<u32> = seen.chain([joint.locals[g], joint.settings]).collect();
        if let Some(known) = self.groups[g].rare.get(&key) {
            return Ok(*known);
        }
        let entry = self.fresh_entry(g)?;
        self.groups[g].rare.insert(key, entry);
        Ok(entry)
    }

    fn fresh_entry(&mut self, g: usize) -> Result<u32, Unfit> {
        let group = &mut self.groups[g];
        // One more than an entry still fits.
        let entry = u32::try_from(group.moves.len() + 1).map_err(|_| Unfit)? - 1;
        group.moves.resize(group.moves.len() + (1 << group.heard.len()), Moves::default());
        group.plain.resize(group.moves.len(), 0);
        Ok(entry)
    }

    /// The place of a group's moves with these edges and these buttons held.
    #[inline(always)]
    fn input(&self, g: usize, entry: u32, (pressed, held): (u64, u64)) -> usize {
        let mut at = entry as usize;
        for (nth, heard) in self.groups[g].heard.iter().enumerate() {
            at += usize::from(heard.on(pressed, held)) << nth;
        }
        at
    }

    /// A word with what some groups become, where each of them has one plain move that is known.
    #[inline(always)]
    pub(super) fn plainly<W: Word>(
        &self,
        groups: &[usize],
        mut word: W,
        (entries, shifts, masks): (&[u32], &[u32], &[u32]),
        input: (u64, u64),
    ) -> Option<W> {
        for g in groups {
            let after = self.groups[*g].plain[self.input(*g, entries[*g], input)];
            if after == 0 || after > masks[*g] {
                return None;
            }
            word = word.with(after, shifts[*g]);
        }
        Some(word)
    }

    /// The moves of a group with these edges and these buttons held.
    pub(super) fn moves(
        &mut self,
        g: usize,
        (entry, joint): (u32, &Joint),
        (real, held): (u64, u64),
    ) -> Result<Moves, Unfit> {
        let at = self.input(g, entry, (real | joint.simulated, held));
        let known = self.groups[g].moves[at];
        if known.leaves > 0 {
            return Ok(known);
        }
        let moves = self.work_out(g, joint, (real, held))?;
        self.groups[g].moves[at] = moves;
        if let ([one], 1, 1) = (self.outs(g, moves), moves.ticks, moves.leaves)
            && one.simulated == 0
            && !one.misfit
        {
            self.groups[g].plain[at] = one.local;
        }
        Ok(moves)
    }

    pub(super) fn outs(&self, g: usize, moves: Moves) -> &[Move] {
        moves.of(&self.groups[g].outs)
    }

    /// Every joint move of the group's machines, in the referee's order.
    fn work_out(&mut self, g: usize, joint: &Joint, input: (u64, u64)) -> Result<Moves, Unfit> {
        let mut machines = std::mem::take(&mut self.machines);
        self.unfold(joint, &mut machines);
        let mut all: Vec<(u128, u64, bool)> = vec![(0, 0, false)];
        let (mut ticks, mut leaves) = (1_u32, 1_u32);
        for (nth, m) in self.groups[g].machines.iter().enumerate() {
            let entry = self.parts.entry(*m, &machines)?;
            let moves = self.parts.moves(*m, (entry, &machines), input)?;
            ticks = (moves.ticks - 1)
                .checked_mul(leaves)
                .and_then(|more| ticks.checked_add(more))
                .ok_or(Unfit)?;
            leaves = leaves.checked_mul(moves.leaves).ok_or(Unfit)?;
            let outs = self.parts.outs(*m, moves);
            let with = |(key, simulated, misfit): &(u128, u64, bool), one: &Move| {
                (key | put(one.local, nth), simulated | one.simulated, *misfit || one.misfit)
            };
            all = all.iter().flat_map(|so_far| outs.iter().map(move |one| with(so_far, one))).collect();
        }
        self.machines = machines;
        let from = self.groups[g].outs.len();
        for (key, simulated, misfit) in all {
            let local = self.local(g, key)?;
            self.groups[g].outs.push(Move { local, simulated, misfit });
        }
        Moves::new(from, self.groups[g].outs.len(), (ticks, leaves))
    }

    /// Where the claim's verdict stands, and what is known there.
    #[inline(always)]
    pub(super) fn verdict(&self, local: &impl Fn(usize) -> u32, settings: u32) -> (usize, u32) {
        let place = self.place(&self.claim, &self.verdicts.shifts, local, settings);
        (place, self.verdicts.at(place))
    }

    /// Whether the claim fails in a situation, whose verdict stands there.
    pub(super) fn fails(&mut self, place: usize, joint: &Joint) -> bool {
        let mut machines = std::mem::take(&mut self.machines);
        self.unfold(joint, &mut machines);
        let fails = self.parts.fails(&machines);
        self.machines = machines;
        self.verdicts.put(place, 1 + u32::from(fails));
        fails
    }
}
