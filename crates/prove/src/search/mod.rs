//! Plain search made fast: the same situations, steps and answers as the referee of searches, `crate::plain`, from tables.
//!
//! What makes it fast, and why each is allowed:
//! - *Tabulated moves*: see `moves`; of a few machines together: see `groups`.
//! - *Listened presses only*: a press that no machine's present state listens to changes nothing, so that the tick with it
//!   and the tick without it lead to the same situation. It is the same reckoning as the referee's ([`Model::moves`]), and
//!   a special case of cutting what has no effect (static slicing: L. I. Millett and T. Teitelbaum, "Slicing Promela and its
//!   applications to model checking, simulation, and protocol understanding", SPIN workshop 1998; from memory).
//! - *Packing*: a situation is the numbers of its groups' locals side by side, in one word of 64 bits, or 128. The widths
//!   grow as locals are met; the search then begins anew with its tables kept.
//! - *Rows*: one field of the word is the place of a bit where that saves memory: see `rows`; else whole words are kept, and
//!   looked for many at a time: see `table`.
//! - *Mirror images* looked at once, where the caller allows it: see `mirror`. Only this changes how many situations there are.
//!
//! It goes breadth first by layers and remembers no parents. When a claim fails, the layers are worked out once more and kept,
//! the way is found backwards through them, and the referee's own moves name the inputs. So the play has the fewest ticks.
//! Claims that need a clock of their own, or the inputs, are left to the referee.

mod dense;
mod group;
mod groups;
mod joint;
mod layout;
mod mirror;
mod moves;
mod play;
mod rows;
mod table;
mod together;
mod views;

use crate::model::{Model, Who};
use crate::pack::Whole;
use crate::plain::{self, Found};
use crate::watch::Watch;
use crate::work::{Enough, Work};
use groups::Groups;
use joint::{Joint, Move, Moves, Unfit};
use layout::{Layout, bits};
use mirror::Mirror;
use moves::Parts;
use play::recover;
use rows::Rows;
use table::{Set, Table, Word};
use together::{alone, neighbours};

/// Situations whose followers are worked out before any of them is looked for.
const BATCH: usize = 512;

/// Why a run ended early.
enum Stop {
    Enough(Enough),
    Unfit,
    /// The claim fails after so many ticks.
    Fails(usize),
    /// Some number no longer fits its field.
    Narrow,
    /// Whole words would take less memory than rows.
    Wasteful,
    /// Enough was seen to say which machines to look up together.
    Sampled,
}

impl From<Unfit> for Stop {
    fn from(_: Unfit) -> Self {
        Self::Unfit
    }
}

impl From<Enough> for Stop {
    fn from(enough: Enough) -> Self {
        Self::Enough(enough)
    }
}

/// Up to so many locals may be many more in a while, or not.
const FEW_LOCALS: usize = 1 << 9;

/// Situations after which machines are grouped, and grouped anew.
const SAMPLES: [u64; 2] = [1 << 8, 1 << 16];

/// Scratch of working out what follows, kept from one situation to the next.
#[derive(Default)]
struct Scratch {
    joint: Joint,
    entries: Vec<u32>,
    free: Vec<usize>,
    chosen: Vec<Moves>,
}

struct Search<'a, 'm> {
    groups: &'a mut Groups<'m>,
    layout: Layout,
    scratch: Scratch,
    /// After how many situations to stop for a sample.
    sample: u64,
    /// How many fields have made wasteful rows.
    wasteful: usize,
    /// Where mirror images count as one.
    mirror: Option<&'a Mirror>,
}

impl Search<'_, '_> {
    /// Appends what can follow on a situation, in the referee's order; says how many ticks that takes the referee.
    fn follow<W: Word>(&mut self, word: W, out: &mut Vec<W>, depth: usize) -> Result<u64, Stop> {
        let Scratch { joint, entries, free, chosen } = &mut self.scratch;
        self.layout.joint(word, joint);
        let model = self.groups.parts.model;
        let count = joint.locals.len();
        entries.clear();
        for m in 0..count {
            entries.push(self.groups.entry(m, joint)?);
        }
        let listened = self.groups.listened(joint) & !joint.simulated;
        free.clear();
        free.extend((0..model.tracked.len()).filter(|b| model.tracked[*b] || listened >> b & 1 == 1));
        if free.len() > 16 {
            return Err(Stop::Unfit);
        }
        let mut all_ticks = 0;
        let at = (entries.as_slice(), self.layout.shifts.as_slice(), self.layout.masks.as_slice());
        let blank = self.layout.shared(W::default(), 0, 0, joint.settings);
        let base = self.groups.plainly(&self.groups.deaf, blank, at, (0, 0));
        for way in 0..1_u32 << free.len() {
            let (mut real, mut held) = (0_u64, joint.held);
            for (nth, b) in free.iter().enumerate() {
                if way >> nth & 1 == 1 {
                    let down = joint.held >> b & 1 == 1;
                    real |= u64::from(!down) << b;
                    held = (held & !(1 << b)) | u64::from(model.tracked[*b] && !down) << b;
                }
            }
            if let Some(base) = base {
                let base = self.layout.shared(base, 0, held, 0);
                let input = (real | joint.simulated, held);
                if let Some(word) = self.groups.plainly(&self.groups.hearing, base, at, input) {
                    out.push(word);
                    all_ticks += 1;
                    continue;
                }
            }
            chosen.clear();
            let (mut ticks, mut leaves) = (1_u64, 1_u64);
            for (m, entry) in entries.iter().enumerate() {
                let moves = self.groups.moves(m, (*entry, joint), (real, held))?;
                ticks += u64::from(moves.ticks - 1) * leaves;
                leaves *= u64::from(moves.leaves);
                chosen.push(moves);
            }
            all_ticks += ticks;
            let begun = out.len();
            out.push(self.layout.shared(W::default(), 0, held, joint.settings));
            for (m, moves) in chosen.iter().enumerate() {
                let (outs, narrow) = (self.groups.outs(m, *moves), self.layout.masks[m]);
                if outs.iter().any(|one| one.local > narrow) {
                    return Err(Stop::Narrow);
                }
                if self.groups.parts.asks_misfits() && outs.iter().any(|one| one.misfit) {
                    return Err(Stop::Fails(depth + 1));
                }
                join(out, begun, outs, self.layout.shifts[m], self.layout.simulated);
            }
        }
        Ok(all_ticks)
    }

    /// What follows, with mirror images as one.
    fn follow_once<W: Word>(&mut self, word: W, out: &mut Vec<W>, depth: usize) -> Result<u64, Stop> {
        let begun = out.len();
        let ticks = self.follow(word, out, depth)?;
        if let Some(mirror) = self.mirror {
            for word in &mut out[begun..] {
                *word = self.least(mirror, *word)?;
            }
        }
        Ok(ticks)
    }

    /// The lesser of a word and its mirror image.
    fn least<W: Word>(&mut self, mirror: &Mirror, word: W) -> Result<W, Stop> {
        let layout = &self.layout;
        let mut image = W::default();
        for g in 0..layout.shifts.len() {
            let (to, local) = self.groups.mirrored(mirror, g, layout.local(word, g))?;
            if local > layout.masks[to] {
                return Err(Stop::Narrow);
            }
            image = image.with(local, layout.shifts[to]);
        }
        let (simulated, held) = layout.buttons(word);
        let (simulated, held) = (mirror.buttons(simulated), mirror.buttons(held));
        let image = layout.shared(image, simulated, held, layout.settings(word));
        Ok(word.min(image))
    }

    /// Whether the claim fails in a situation.
    #[inline(always)]
    fn fails<W: Word>(&mut self, word: W) -> bool {
        let layout = &self.layout;
        match self.groups.verdict(&|g| layout.local(word, g), layout.settings(word)) {
            (_, 1) => false,
            (place, _) => {
                layout.joint(word, &mut self.scratch.joint);
                self.groups.fails(place, &self.scratch.joint)
            }
        }
    }

    /// Layer after layer; where `layers` is given, they are kept there.
    fn run<W: Word>(
        &mut self,
        seeds: &[Joint],
        layers: Option<&mut Vec<Vec<W>>>,
        work: &mut Work,
    ) -> Result<(), Stop> {
        // By the field that can hold the most values, as long as its rows are short; with one field there is no rest.
        let fields = self.layout.shifts.iter().zip(&self.layout.masks);
        let mut rows: Vec<Rows<W>> = fields.filter_map(|(shift, mask)| Rows::new(*shift, *mask)).collect();
        rows.sort_by_key(|rows| std::cmp::Reverse(rows.values()));
        let alone = self.layout.shifts.len() < 2;
        match rows.into_iter().nth(self.wasteful).filter(|_| !alone) {
            Some(rows) => self.run_with(rows, seeds, layers, work),
            None => self.run_with(Table::new(), seeds, layers, work),
        }
    }

    fn run_with<W: Word, S: Set<W>>(
        &mut self,
        mut table: S,
        seeds: &[Joint],
        mut layers: Option<&mut Vec<Vec<W>>>,
        work: &mut Work,
    ) -> Result<(), Stop> {
        let (mut out, mut layer, mut next) = (Vec::new(), Vec::new(), Vec::new());
        let mut seeds: Vec<W> = seeds.iter().map(|joint| self.layout.word(joint)).collect();
        if let Some(mirror) = self.mirror {
            for word in &mut seeds {
                *word = self.least(mirror, *word)?;
            }
        }
        table.meet(&seeds, &mut layer);
        for _ in 0..layer.len() {
            work.situation(size_of::<W>() as u64 * 2)?;
        }
        let mut depth = 0;
        while !layer.is_empty() {
            if let Some(layers) = &mut layers {
                layers.push(layer.clone());
            }
            for batch in layer.chunks(BATCH) {
                out.clear();
                for word in batch {
                    work.steps(self.follow_once(*word, &mut out, depth)?)?;
                }
                let fresh = next.len();
                table.meet(&out, &mut next);
                for word in &next[fresh..] {
                    if self.fails(*word) {
                        return Err(Stop::Fails(depth + 1));
                    }
                    work.situation(size_of::<W>() as u64 * 2)?;
                }
                if work.covered.situations > self.sample {
                    return Err(Stop::Sampled);
                }
                if table.wasteful() {
                    return Err(Stop::Wasteful);
                }
            }
            layer.clear();
            std::mem::swap(&mut layer, &mut next);
            depth += 1;
        }
        Ok(())
    }
}

/// Every word from `begun` on, with each of a machine's moves.
fn join<W: Word>(out: &mut Vec<W>, begun: usize, outs: &[Move], shift: u32, simulated: (u32, u32)) {
    let with = |word: W, one: &Move| {
        let word = word.with(one.local, shift);
        if one.simulated == 0 {
            word
        } else {
            word.with(u32::try_from(one.simulated).unwrap_or(0), simulated.0)
        }
    };
    if let [one] = outs {
        out[begun..].iter_mut().for_each(|word| *word = with(*word, one));
        return;
    }
    let old = out.split_off(begun);
    out.extend(old.iter().flat_map(|word| outs.iter().map(|one| with(*word, one))));
}

/// What the search comes to; none where the referee must be asked. `once`: situations that are each other's mirror image are
/// looked at once, where form and claim are their own.
pub(crate) fn search(
    model: &Model,
    watch: &Watch,
    once: bool,
    work: &mut Work,
) -> Result<Option<Found>, Enough> {
    let starts = model.starts()?;
    let Ok(parts) = Parts::new(model, watch) else { return Ok(None) };
    if model.form.machines.is_empty() || model.form.buttons.len() > 16 {
        return Ok(None);
    }
    // Tick 0 as the referee begins it.
    let mut graph = plain::Graph::new(model, watch, Who::Anybody);
    if let Some(fail) = graph.begin(&starts, work)? {
        return Ok(Some(Found::Fail(graph.trace(&starts, &fail))));
    }
    let mirror = if once { Mirror::of(model, watch) } else { None };
    let mirror = mirror.as_ref();
    let wholes: Vec<Whole> = graph.wholes().collect();
    let begun = (work.covered.steps, work.bytes);
    let machines = model.form.machines.len();
    let mut groups = Groups::new(parts, &alone(machines), mirror);
    let (mut samples, mut wasteful) = (SAMPLES.to_vec(), 0);
    let mut widths = vec![4; machines];
    loop {
        let sample = samples.first().copied().unwrap_or(u64::MAX);
        let mut seeds = Vec::new();
        for whole in &wholes {
            let Ok(joint) = groups.joint(&whole.situation, &whole.held) else { return Ok(None) };
            seeds.push(joint);
        }
        for (width, count) in widths.iter_mut().zip(&groups.counts()) {
            // A field that is too long for rows gets room to grow: beginning anew costs more than bits.
            let more = if *count > FEW_LOCALS { 3 } else { 1 };
            while bits(*count + 1) > *width {
                *width = (bits(*count) + more).min(24).max(*width + 1);
            }
        }
        let layout = Layout::new(model, &widths, groups.parts.settings.len());
        // Situations and steps of a run that begins anew are not counted twice.
        (work.covered.situations, work.covered.steps, work.bytes) = (0, begun.0, 0);
        let wide = layout.bits > u64::BITS;
        if layout.bits > u128::BITS {
            return Ok(None);
        }
        let mut search =
            Search { groups: &mut groups, layout, scratch: Scratch::default(), sample, wasteful, mirror };
        let ended =
            if wide { search.run::<u128>(&seeds, None, work) } else { search.run::<u64>(&seeds, None, work) };
        match ended {
            Ok(()) => return Ok(Some(Found::Nothing)),
            Err(Stop::Narrow) => {}
            Err(Stop::Wasteful) => wasteful += 1,
            Err(Stop::Sampled) => {
                samples.remove(0);
                let together = neighbours(&groups.parts.counts(), mirror);
                widths = vec![4; together.len()];
                groups = Groups::new(groups.parts, &together, mirror);
            }
            // Grouped machines may be too many where single ones are not.
            Err(Stop::Unfit) if widths.len() < machines => {
                samples.clear();
                widths = vec![4; machines];
                groups = Groups::new(groups.parts, &alone(machines), mirror);
            }
            Err(Stop::Unfit) => return Ok(None),
            Err(Stop::Enough(enough)) => return Err(enough),
            Err(Stop::Fails(depth)) => {
                let trace = if wide {
                    recover::<u128>(&mut search, &graph, (&seeds, &starts), depth)
                } else {
                    recover::<u64>(&mut search, &graph, (&seeds, &starts), depth)
                };
                return Ok(Some(Found::Fail(trace)));
            }
        }
    }
}
