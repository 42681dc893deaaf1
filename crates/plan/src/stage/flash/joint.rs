//! All that a slice may be in, and every tick that leads from one to the next, whatever the time.

use super::outcome::{Effect, Outcome, Outcomes, beginnings, outcomes};
use super::slice::{Now, Slice, chosen, machine_of};
use rules::form::{Node, Trigger};
use rustc_hash::FxHashMap;
use std::rc::Rc;

/// Most that is told apart; a slice with more is given up.
const MOST_NODES: usize = 16_000;
const MOST_EDGES: usize = 400_000;

/// A tick in which something is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Edge {
    pub(super) to: u32,
    /// By position in [`Graph::effects`].
    pub(super) effect: u32,
}

/// Where a slice can be, and how it gets on.
#[derive(Clone, Debug, Default)]
pub(super) struct Graph {
    pub(super) nodes: Vec<Now>,
    /// Where it can begin.
    pub(super) beginnings: Vec<u32>,
    pub(super) edges: Vec<Vec<Edge>>,
    pub(super) effects: Vec<Effect>,
    /// The bit of every clock: whether it runs or is due.
    pub(super) clocks: Vec<Now>,
    /// Whether something is done in the very next tick.
    pub(super) at_once: Vec<bool>,
}

/// A graph in the making.
struct Builder<'a> {
    slice: &'a Slice<'a>,
    graph: Graph,
    known: FxHashMap<Now, u32>,
    effects: FxHashMap<Effect, u32>,
    /// The marks that are told.
    marks: u64,
    /// For every machine, what its choice depends on.
    asked: Vec<Now>,
    /// For every machine and state of it, the buttons that its choice depends on, a bit each.
    listens: Vec<Vec<usize>>,
    /// For every machine, what it may do.
    chosen: Vec<FxHashMap<(Now, usize), Rc<Chosen>>>,
    /// What two effects are together.
    both: FxHashMap<(u32, u32), u32>,
}

/// What a machine may do, with the position of each effect among those known.
struct Chosen {
    certain: bool,
    all: Vec<Choice>,
}

/// All bits of a machine anew, what is done to them and whether nothing is.
struct Choice {
    own: Now,
    effect: u32,
    idle: bool,
}

impl Graph {
    /// Everything that can be reached when timers may run down at any time, with these marks; none where it is too much.
    /// `left` is how many ticks may still be looked at.
    pub(super) fn of(slice: &Slice<'_>, marks: u64, left: &mut u32) -> Option<Self> {
        let slots = 0..slice.machines.len();
        let mut builder = Builder {
            slice,
            graph: Self { clocks: slice.clocks.iter().map(|clock| clock.on).collect(), ..Self::default() },
            known: FxHashMap::default(),
            effects: FxHashMap::default(),
            marks,
            asked: slots.clone().map(|slot| asked(slice, slot)).collect(),
            listens: slots.clone().map(|slot| listens(slice, slot)).collect(),
            chosen: slots.map(|_| FxHashMap::default()).collect(),
            both: FxHashMap::default(),
        };
        builder.effect(Effect::default());
        for now in beginnings(slice) {
            let node = builder.node(now);
            builder.graph.beginnings.push(node);
        }
        let (mut at, mut edges) = (0, 0);
        while at < builder.graph.nodes.len() {
            *left = left.checked_sub(builder.expand(at))?;
            edges += builder.graph.edges[at].len();
            if builder.graph.nodes.len() > MOST_NODES || edges > MOST_EDGES {
                return None;
            }
            at += 1;
        }
        Some(builder.graph)
    }

    pub(super) fn effect(&self, edge: Edge) -> &Effect {
        &self.effects[edge.effect as usize]
    }
}

/// What a machine's choice depends on: what it owns, what it asks about, and the messages that were sent.
fn asked(slice: &Slice<'_>, slot: usize) -> Now {
    let mut about = vec![slice.machines[slot]];
    for state in &slice.machine(slot).states {
        chosen(state, &mut |node| about.extend(machine_of(node)));
        let actions =
            state.transitions.iter().flat_map(|way| &way.actions).chain(&state.entry).chain(&state.exit);
        for expr in actions.filter_map(stored) {
            super::value::each_node(expr, &mut |node| about.extend(machine_of(node)));
        }
    }
    let sent = slice.messages.iter().fold(0, |all, (_, bit)| all | bit);
    slice.owned(|m| about.contains(&m)) | sent
}

/// The buttons that a machine's choice depends on in each of its states, by their position in the slice, a bit each.
fn listens(slice: &Slice<'_>, slot: usize) -> Vec<usize> {
    let machine = slice.machine(slot);
    let bit = |button: usize| {
        let at = slice.buttons.iter().position(|known| *known == button);
        at.map_or(0, |at| 1 << at)
    };
    let mut by_all = 0;
    let asks = |node: &Node, listened: &mut usize| {
        if let Node::Pressed { b } = node {
            *listened |= bit(*b);
        }
    };
    // What is stored may depend on a press as well, on the way out of any state or into any.
    for state in &machine.states {
        let ways = state.transitions.iter().flat_map(|way| &way.actions);
        for expr in ways.chain(&state.entry).chain(&state.exit).filter_map(stored) {
            super::value::each_node(expr, &mut |node| asks(node, &mut by_all));
        }
    }
    let each = machine.states.iter().map(|state| {
        let mut listened = by_all;
        chosen(state, &mut |node| asks(node, &mut listened));
        for way in &state.transitions {
            if let Trigger::Press { button } = way.trigger {
                listened |= bit(button);
            }
        }
        listened
    });
    each.collect()
}

fn stored(action: &rules::form::Action) -> Option<&rules::form::Expr> {
    match action {
        rules::form::Action::Set { to: expr, .. } | rules::form::Action::Start { ticks: expr, .. } => {
            Some(expr)
        }
        _ => None,
    }
}

impl Builder<'_> {
    fn node(&mut self, now: Now) -> u32 {
        let next = u32::try_from(self.graph.nodes.len()).unwrap_or(u32::MAX);
        *self.known.entry(now).or_insert_with(|| {
            self.graph.nodes.push(now);
            next
        })
    }

    /// The position of an effect among those known.
    fn effect(&mut self, effect: Effect) -> u32 {
        let next = u32::try_from(self.graph.effects.len()).unwrap_or(u32::MAX);
        *self.effects.entry(effect).or_insert_with_key(|effect| {
            self.graph.effects.push(effect.clone());
            next
        })
    }

    /// Two effects at once. Clocks stand in the order of their machines.
    fn both(&mut self, one: u32, other: u32) -> u32 {
        if let Some(known) = self.both.get(&(one, other)) {
            return *known;
        }
        let mut effect = self.graph.effects[one as usize].clone();
        let and = &self.graph.effects[other as usize];
        effect.needs |= and.needs;
        effect.tokens |= and.tokens;
        effect.marks |= and.marks;
        effect.starts.extend_from_slice(&and.starts);
        let both = self.effect(effect);
        self.both.insert((one, other), both);
        both
    }

    fn chosen(&mut self, slot: usize, before: Now, pressed: usize) -> Rc<Chosen> {
        let (slice, marks) = (self.slice, self.marks);
        let pressed = pressed & self.listens[slot][slice.state(slot, before)];
        let key = (before & self.asked[slot], pressed);
        if let Some(known) = self.chosen[slot].get(&key) {
            return Rc::clone(known);
        }
        let Outcomes { mut all, certain } = outcomes(slice, slot, before, pressed);
        all.iter_mut().for_each(|outcome| outcome.effect.marks &= marks);
        let mut apart: Vec<Choice> = Vec::with_capacity(all.len());
        for Outcome { own, effect, idle } in all {
            let effect = self.effect(effect);
            if !apart.iter().any(|known| (known.own, known.effect, known.idle) == (own, effect, idle)) {
                apart.push(Choice { own, effect, idle });
            }
        }
        let made = Rc::new(Chosen { certain, all: apart });
        self.chosen[slot].insert(key, Rc::clone(&made));
        made
    }

    /// Every tick that may follow a node, and whether one of them does so at once; how many were looked at.
    fn expand(&mut self, at: usize) -> u32 {
        let before = self.graph.nodes[at];
        let heard = self.slice.messages.iter().any(|(_, bit)| before & bit != 0);
        let mut at_once = heard;
        let mut edges = Vec::new();
        let mut looked: Vec<Vec<Rc<Chosen>>> = Vec::new();
        for pressed in 0..1_usize << self.slice.buttons.len() {
            let each: Vec<Rc<Chosen>> =
                (0..self.slice.machines.len()).map(|slot| self.chosen(slot, before, pressed)).collect();
            if pressed == 0 {
                at_once |= each.iter().any(|chosen| chosen.certain);
            }
            // Presses that nobody listens to now change nothing.
            let same = |known: &Vec<Rc<Chosen>>| known.iter().zip(&each).all(|(a, b)| Rc::ptr_eq(a, b));
            if looked.iter().any(same) {
                continue;
            }
            self.combine(&each, Tick { now: 0, effect: 0, idle: true, heard }, &mut edges);
            looked.push(each);
        }
        let looked = u32::try_from(edges.len()).unwrap_or(u32::MAX).max(1);
        edges.sort_unstable();
        edges.dedup();
        self.graph.edges.push(edges);
        self.graph.at_once.push(at_once);
        looked
    }

    /// Every choice for each machine that is left, after what the machines before have done.
    fn combine(&mut self, each: &[Rc<Chosen>], tick: Tick, edges: &mut Vec<Edge>) {
        let Some((chosen, rest)) = each.split_first() else {
            // Nothing done is a tick only where something heard vanishes in it.
            if !tick.idle || tick.heard {
                edges.push(Edge { to: self.node(tick.now), effect: tick.effect });
            }
            return;
        };
        for choice in &chosen.all {
            let effect = match (tick.effect, choice.effect) {
                (effect, 0) | (0, effect) => effect,
                (one, other) => self.both(one, other),
            };
            let (now, idle) = (tick.now | choice.own, tick.idle && choice.idle);
            self.combine(rest, Tick { now, effect, idle, ..tick }, edges);
        }
    }
}

/// A tick in the making.
#[derive(Clone, Copy)]
struct Tick {
    now: Now,
    /// By position among those known; the first does nothing.
    effect: u32,
    idle: bool,
    /// Whether messages were sent in the tick before.
    heard: bool,
}

/// A graph seen through some machines of its slice only, and these marks: what differs in nothing else is one.
pub(super) fn projected(slice: &Slice<'_>, graph: &Graph, machines: &[usize], marks: u64) -> Graph {
    let visible = slice.owned(|m| machines.contains(&m));
    let clocks: Vec<usize> =
        (0..slice.clocks.len()).filter(|&at| machines.contains(&slice.clocks[at].machine)).collect();
    let mut seen =
        Graph { clocks: clocks.iter().map(|&at| slice.clocks[at].on).collect(), ..Graph::default() };
    let mut known: FxHashMap<Now, u32> = FxHashMap::default();
    let node = |now: &Now| {
        let next = u32::try_from(seen.nodes.len()).unwrap_or(u32::MAX);
        *known.entry(now & visible).or_insert_with(|| {
            seen.nodes.push(now & visible);
            next
        })
    };
    let of: Vec<u32> = graph.nodes.iter().map(node).collect();
    seen.beginnings = graph.beginnings.iter().map(|node| of[*node as usize]).collect();
    seen.beginnings.dedup();
    let mut told: FxHashMap<Effect, u32> = FxHashMap::default();
    let effect = |effect: &Effect| {
        let next = u32::try_from(seen.effects.len()).unwrap_or(u32::MAX);
        *told.entry(narrowed(effect, &clocks, marks)).or_insert_with_key(|effect| {
            seen.effects.push(effect.clone());
            next
        })
    };
    let effect_of: Vec<u32> = graph.effects.iter().map(effect).collect();
    seen.edges = vec![Vec::new(); seen.nodes.len()];
    seen.at_once = vec![true; seen.nodes.len()];
    for (at, edges) in graph.edges.iter().enumerate() {
        let from = of[at];
        let mut hidden = false;
        for edge in edges {
            let (to, effect) = (of[edge.to as usize], effect_of[edge.effect as usize]);
            // Where nothing is seen, clocks that start anew only run down later.
            if to == from && seen.effects[effect as usize].marks == 0 {
                hidden = true;
            } else {
                seen.edges[from as usize].push(Edge { to, effect });
            }
        }
        // What is done at once may be something that is not seen.
        seen.at_once[from as usize] &= graph.at_once[at] && !hidden;
    }
    for edges in &mut seen.edges {
        edges.sort_unstable();
        edges.dedup();
    }
    seen
}

/// An effect with these clocks only, by their positions among them, and these marks.
fn narrowed(effect: &Effect, clocks: &[usize], marks: u64) -> Effect {
    let place = |clock: usize| clocks.iter().position(|known| *known == clock);
    let needs = clocks.iter().enumerate().filter(|(_, clock)| effect.needs & 1 << **clock != 0);
    let starts = effect.starts.iter().filter_map(|(clock, ticks)| {
        Some((u8::try_from(place(usize::from(*clock))?).unwrap_or(u8::MAX), *ticks))
    });
    Effect {
        needs: needs.fold(0, |all, (at, _)| all | 1 << at),
        starts: starts.collect(),
        tokens: effect.tokens,
        marks: effect.marks & marks,
    }
}
