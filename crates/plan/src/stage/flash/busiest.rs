//! The busiest second of a slice: the most that can be counted in any stretch of so many ticks, both ends counted.
//!
//! Every event comes as early as the timers started since the stretch began allow; those that run already may run down at
//! any time. A play that is slower counts no more, so that the count bounds every play. Where the stretch begins with the end
//! of a state that always lasts the same, what can be around it then is looked at from the beginning of that state.

use super::joint::{Edge, Graph};
use std::collections::BTreeSet;

/// So many that it does not matter how many more.
const MANY: u32 = 24;

/// A message from outside that may come at any tick.
pub(super) const ANY: u8 = u8::MAX;

/// What is counted, and how often.
pub(super) struct Count<'a> {
    /// What a tick counts for: the node before, the edge.
    pub(super) worth: &'a dyn Fn(usize, Edge) -> u32,
    /// The state of the machine that is counted, by node; the same for all where there are several.
    pub(super) state: Vec<usize>,
    /// By node: the clock that always ends that state, and after how many ticks.
    pub(super) lasts: Vec<Option<(usize, u16)>>,
}

/// Where a stretch has come to.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Label {
    now: u16,
    node: usize,
    /// When each clock may run down; 0 where it has already or is off.
    due: Vec<u16>,
    /// Messages from outside that may still come.
    left: Vec<u8>,
    count: u32,
}

impl Label {
    /// Whether everything that can follow another label can follow this one, and counts no less.
    fn is_as_good(&self, other: &Self) -> bool {
        self.count >= other.count
            && self.now <= other.now
            && self.due.iter().zip(&other.due).all(|(own, theirs)| own <= theirs)
            && self.left.iter().zip(&other.left).all(|(own, theirs)| own >= theirs)
    }
}

/// The most that can be counted within `window` ticks from the first to the last. `tokens` says how often each message
/// from outside may come in them. None where the search was given up, or where there are very many. `work` is how many ticks
/// may still be looked at.
pub(super) fn busiest(
    graph: &Graph,
    window: u16,
    tokens: &[u8],
    count: &Count<'_>,
    work: &mut u32,
) -> Option<u32> {
    let mut search = Search::new(graph, window);
    for start in starts(graph, window, tokens, count, work)? {
        search.add(start);
    }
    search.run(work, |search, label| {
        for edge in &graph.edges[label.node] {
            if let Some(now) = label.soonest(graph, *edge) {
                search.reach(label, *edge, now, (count.worth)(label.node, *edge));
            }
        }
    })?;
    Some(search.most)
}

/// Everything that is counted first.
fn starts(
    graph: &Graph,
    window: u16,
    tokens: &[u8],
    count: &Count<'_>,
    work: &mut u32,
) -> Option<BTreeSet<Label>> {
    let blank = |node: usize| Label {
        now: 0,
        node,
        due: vec![0; graph.clocks.len()],
        left: tokens.to_vec(),
        count: 0,
    };
    let ends = |from: usize, edge: Edge| {
        count.lasts[from].is_some_and(|(clock, _)| graph.effect(edge).needs & 1 << clock != 0)
    };
    let mut first = Search::new(graph, window);
    let mut before = Search::new(graph, u16::MAX - 1);
    for node in &graph.beginnings {
        let mut label = blank(*node as usize);
        if let Some((clock, ticks)) = count.lasts[label.node] {
            label.due[clock] = ticks;
            before.add(label);
        }
    }
    for (from, edges) in graph.edges.iter().enumerate() {
        for edge in edges {
            let to = edge.to as usize;
            let worth = (count.worth)(from, *edge);
            if worth > 0 && !ends(from, *edge) {
                first.reach(&blank(from), *edge, 0, worth);
            }
            let entered = count.lasts[to].is_some_and(|(clock, _)| {
                let starts = graph.effect(*edge).starts.iter();
                starts.clone().any(|(started, _)| usize::from(*started) == clock)
            });
            if entered {
                before.reach(&blank(from), *edge, 0, 0);
            }
        }
    }
    // From the beginning of a state to its end, then the count begins.
    before.run(work, |before, label| {
        let Some((clock, _)) = count.lasts[label.node] else { return };
        let end = label.due[clock];
        for edge in &graph.edges[label.node] {
            let Some(now) = label.soonest(graph, *edge).filter(|now| *now <= end) else { continue };
            let worth = (count.worth)(label.node, *edge);
            if ends(label.node, *edge) {
                if worth > 0 {
                    first.reach(&label.from(end), *edge, 0, worth);
                }
            } else if count.state[label.node] == count.state[edge.to as usize] {
                before.reach(label, *edge, now, 0);
            }
        }
    })?;
    Some(first.queue)
}

impl Label {
    /// The soonest moment at which an edge can be taken; none where it cannot.
    fn soonest(&self, graph: &Graph, edge: Edge) -> Option<u16> {
        let effect = graph.effect(edge);
        let ready = bits(effect.needs).map(|clock| self.due[clock]).max().unwrap_or(0);
        let next = self.now.saturating_add(1);
        (!graph.at_once[self.node] || ready <= next).then_some(next.max(ready))
    }

    /// The same, with time counted from a later moment on.
    fn from(&self, moment: u16) -> Self {
        let due = self.due.iter().map(|due| due.saturating_sub(moment)).collect();
        Self { now: 0, due, ..self.clone() }
    }
}

/// What is left of the messages from outside; none where one of these is used up.
fn spend(left: &[u8], tokens: u8) -> Option<Vec<u8>> {
    let spent = |(at, left): (usize, &u8)| match *left {
        left if tokens & 1 << at == 0 || left == ANY => Some(left),
        left => left.checked_sub(1),
    };
    left.iter().enumerate().map(spent).collect()
}

/// The positions of the bits that are set.
fn bits(mut set: u64) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let at = set.trailing_zeros();
        (set != 0).then(|| set &= set - 1).map(|()| at as usize)
    })
}

struct Search<'a> {
    graph: &'a Graph,
    window: u16,
    /// For every node what has been gone on from; none of them as good as another.
    settled: Vec<Vec<Label>>,
    /// The soonest first.
    queue: BTreeSet<Label>,
    most: u32,
}

impl<'a> Search<'a> {
    fn new(graph: &'a Graph, window: u16) -> Self {
        let settled = vec![Vec::new(); graph.nodes.len()];
        Self { graph, window, settled, queue: BTreeSet::new(), most: 0 }
    }

    fn add(&mut self, label: Label) {
        self.most = self.most.max(label.count);
        self.queue.insert(label);
    }

    /// Goes on from everything that is worth it, in the order of time; none where it becomes too much.
    fn run(&mut self, work: &mut u32, mut go_on: impl FnMut(&mut Self, &Label)) -> Option<()> {
        while let Some(label) = self.queue.pop_first() {
            if self.settled[label.node].iter().any(|known| known.is_as_good(&label)) {
                continue;
            }
            let steps = u32::try_from(self.graph.edges[label.node].len()).unwrap_or(u32::MAX).max(1);
            *work = work.checked_sub(steps).filter(|_| self.most <= MANY)?;
            self.settled[label.node].push(label.clone());
            go_on(self, &label);
        }
        Some(())
    }

    /// An edge is taken at a moment.
    fn reach(&mut self, from: &Label, edge: Edge, now: u16, worth: u32) {
        let effect = self.graph.effect(edge);
        if now > self.window {
            return;
        }
        let Some(left) = spend(&from.left, effect.tokens) else { return };
        let node = edge.to as usize;
        let on = self.graph.nodes[node];
        let mut due = from.due.clone();
        for (due, bit) in due.iter_mut().zip(&self.graph.clocks) {
            // What is off, or due already, is the same whenever it was.
            if on & bit == 0 || *due <= now {
                *due = 0;
            }
        }
        for (clock, ticks) in &effect.starts {
            due[usize::from(*clock)] = now.saturating_add(*ticks).min(self.window + 1);
        }
        let label = Label { now, node, due, left, count: from.count + worth };
        if !self.settled[node].iter().any(|known| known.is_as_good(&label)) {
            self.add(label);
        }
    }
}
