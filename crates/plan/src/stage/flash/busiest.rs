//! The busiest second of a slice: the most that can be counted in any stretch of so many ticks, both ends counted.
//!
//! Every event comes as early as the timers started since the stretch began allow; those that run already may run down at
//! any time. A play that is slower counts no more, so that the count bounds every play. Where the stretch begins with the end
//! of a state that always lasts the same, what can be around it then is looked at from the beginning of that state.

use super::joint::{Edge, Graph};
use super::labels::{Label, Queue, Rows, spend};

/// So many that it does not matter how many more.
const MANY: u32 = 24;

/// Of all that is to be gone on from at one moment, so many are at a glance: those that count most.
const GLANCE: usize = 8;

/// What is counted, and how often.
pub(super) struct Count<'a> {
    /// What a tick counts for: the node before, the edge.
    pub(super) worth: &'a dyn Fn(usize, Edge) -> u32,
    /// The state of the machine that is counted, by node; the same for all where there are several.
    pub(super) state: Vec<usize>,
    /// By node: the clock that always ends that state, and after how many ticks.
    pub(super) lasts: Vec<Option<(usize, u16)>>,
}

/// The most that can be counted within `window` ticks from the first to the last. `tokens` says how often each message
/// from outside may come in them. None where the search was given up, where there are very many, or where there are no fewer
/// than `below`. `work` is how many ticks may still be looked at.
pub(super) fn busiest(
    graph: &Graph,
    (window, tokens): (u16, &[u8]),
    count: &Count<'_>,
    below: Option<u32>,
    work: &mut u32,
) -> Option<u32> {
    let (queue, most) = starts(graph, window, tokens, count, work)?;
    let go_on = |search: &mut Search<'_>, label: &Label<'_>| {
        for edge in &graph.edges[label.node] {
            if let Some(now) = soonest(label, graph, *edge) {
                search.reach(label, *edge, now, (count.worth)(label.node, *edge));
            }
        }
    };
    if let Some(below) = below {
        let queue = queue.clone();
        let mut glance = Search { queue, most, enough: below, width: GLANCE, ..Search::new(graph, window) };
        glance.run(work, go_on);
        if glance.most >= below {
            return None;
        }
    }
    let mut search = Search { queue, most, ..Search::new(graph, window) };
    search.run(work, go_on)?;
    Some(search.most).filter(|most| below.is_none_or(|below| *most < below))
}

/// Everything that is counted first, and the most that it counts for.
fn starts(
    graph: &Graph,
    window: u16,
    tokens: &[u8],
    count: &Count<'_>,
    work: &mut u32,
) -> Option<(Queue, u32)> {
    let none_due = vec![0; graph.clocks.len()];
    let left = Label::left(tokens);
    let blank = |node: usize| Label { now: 0, node, count: 0, left, due: &none_due };
    let ends = |from: usize, edge: Edge| {
        count.lasts[from].is_some_and(|(clock, _)| graph.effect(edge).needs & 1 << clock != 0)
    };
    let mut first = Search::new(graph, window);
    let mut before = Search::new(graph, u16::MAX - 1);
    for node in &graph.beginnings {
        let node = *node as usize;
        if let Some((clock, ticks)) = count.lasts[node] {
            let mut due = none_due.clone();
            due[clock] = ticks;
            before.add(&Label { due: &due, ..blank(node) });
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
                let mut starts = graph.effect(*edge).starts.iter();
                starts.any(|(started, _)| usize::from(*started) == clock)
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
        // Time is counted from the end on.
        let due: Vec<u16> = label.due.iter().map(|due| due.saturating_sub(end)).collect();
        let ended = Label { now: 0, due: &due, ..*label };
        for edge in &graph.edges[label.node] {
            let Some(now) = soonest(label, graph, *edge).filter(|now| *now <= end) else { continue };
            let worth = (count.worth)(label.node, *edge);
            if ends(label.node, *edge) {
                if worth > 0 {
                    first.reach(&ended, *edge, 0, worth);
                }
            } else if count.state[label.node] == count.state[edge.to as usize] {
                before.reach(label, *edge, now, 0);
            }
        }
    })?;
    Some((first.queue, first.most))
}

/// The soonest moment at which an edge can be taken; none where it cannot.
fn soonest(label: &Label<'_>, graph: &Graph, edge: Edge) -> Option<u16> {
    let effect = graph.effect(edge);
    let ready = bits(effect.needs).map(|clock| label.due[clock]).max().unwrap_or(0);
    let next = label.now.saturating_add(1);
    (!graph.at_once[label.node] || ready <= next).then_some(next.max(ready))
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
    settled: Vec<Rows>,
    queue: Queue,
    most: u32,
    /// So many that the search is given up.
    enough: u32,
    /// How many are gone on from at one moment.
    width: usize,
    /// When each clock may run down, in the making.
    due: Vec<u16>,
}

impl<'a> Search<'a> {
    fn new(graph: &'a Graph, window: u16) -> Self {
        let clocks = graph.clocks.len();
        let settled = vec![Rows::default(); graph.nodes.len()];
        let due = Vec::with_capacity(clocks);
        let (queue, enough, width) = (Queue::default(), MANY + 1, usize::MAX);
        Self { graph, window, settled, queue, most: 0, enough, width, due }
    }

    fn add(&mut self, label: &Label<'_>) {
        self.most = self.most.max(label.count);
        self.queue.add(label);
    }

    /// Goes on from everything that is worth it, in the order of time; none where it becomes too much.
    fn run(&mut self, work: &mut u32, mut go_on: impl FnMut(&mut Self, &Label<'_>)) -> Option<()> {
        while let Some(rows) = self.queue.soonest() {
            let mut gone_on = 0;
            for label in rows.best_first() {
                if gone_on == self.width {
                    break;
                }
                if self.settled[label.node].hold_as_good(&label) {
                    continue;
                }
                let steps = u32::try_from(self.graph.edges[label.node].len()).unwrap_or(u32::MAX).max(1);
                *work = work.checked_sub(steps).filter(|_| self.most < self.enough)?;
                self.settled[label.node].add(&label);
                gone_on += 1;
                go_on(self, &label);
            }
        }
        Some(())
    }

    /// An edge is taken at a moment.
    fn reach(&mut self, from: &Label<'_>, edge: Edge, now: u16, worth: u32) {
        let effect = self.graph.effect(edge);
        if now > self.window {
            return;
        }
        let Some(left) = spend(from.left, effect.tokens) else { return };
        let node = edge.to as usize;
        let on = self.graph.nodes[node];
        let mut due = std::mem::take(&mut self.due);
        due.clear();
        // What is off, or due already, is the same whenever it was.
        let when = |(due, bit): (&u16, &u128)| if on & bit == 0 || *due <= now { 0 } else { *due };
        due.extend(from.due.iter().zip(&self.graph.clocks).map(when));
        for (clock, ticks) in &effect.starts {
            due[usize::from(*clock)] = now.saturating_add(*ticks).min(self.window + 1);
        }
        let label = Label { now, node, count: from.count + worth, left, due: &due };
        if !self.settled[node].hold_as_good(&label) {
            self.add(&label);
        }
        self.due = due;
    }
}
