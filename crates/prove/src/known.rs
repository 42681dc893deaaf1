//! What was looked through for one claim serves others of the same rules.

use crate::calm::{Asked, Graph};
use crate::model::Model;
use crate::pack::{Packed, Whole};
use crate::sets::Sets;
use crate::watch::Watch;
use crate::work::Cost;
use crate::zone::Zone;
use rules::form::{Form, Node, each_node};
use rules::step::{Situation, Start};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Everything that some rules can come to, found once: given from claim to claim, it makes answers quicker and changes none.
#[derive(Default)]
pub struct Known {
    all: Vec<Explored>,
    /// What silence comes to.
    silent: Vec<(Asked, Arc<Graph>, Cost)>,
}

/// One set for each situation without its timers' ticks: all sets found for it lie in this one.
pub(crate) type Hulls = Vec<(Whole, Zone)>;

/// What a model was like, and what it can come to.
struct Explored {
    form: Form,
    free: std::collections::BTreeSet<(usize, usize)>,
    starts: Vec<Start>,
    /// Whether sets of the same situation were put together while it was looked through.
    hulled: bool,
    hulls: Hulls,
    cost: Cost,
}

/// Whether a claim can be read off situations: none of its parts is about what is pressed or held in a tick.
pub(crate) fn of_situations(watch: &Watch) -> bool {
    let mut inputs = false;
    for expr in watch.exprs() {
        each_node(expr, &mut |node| inputs |= matches!(node, Node::Held { .. } | Node::Pressed { .. }));
    }
    matches!(watch, Watch::Never(_) | Watch::Always(_)) && !inputs
}

impl Known {
    /// All that a model can come to, and what it cost to find out; none where it has not been looked through that way.
    pub(crate) fn of(&self, model: &Model, starts: &[Start], hulled: bool) -> Option<(&Hulls, Cost)> {
        let same = |one: &&Explored| {
            one.hulled == hulled && one.form == model.form && one.free == model.free && one.starts == starts
        };
        self.all.iter().find(same).map(|one| (&one.hulls, one.cost))
    }

    /// Keeps what a whole search, by anybody's presses, has found.
    pub(crate) fn keep(&mut self, sets: &Sets, starts: &[Start], cost: Cost) {
        let mut hulls: BTreeMap<Packed, Zone> = BTreeMap::new();
        for node in sets.nodes.iter().filter(|node| node.covered.is_none()) {
            let hull = hulls.get(&node.key).map_or_else(|| node.zone.clone(), |zone| zone.hull(&node.zone));
            hulls.insert(node.key.clone(), hull);
        }
        self.all.push(Explored {
            form: sets.model.form.clone(),
            free: sets.model.free.clone(),
            starts: starts.to_vec(),
            hulled: sets.hulled,
            hulls: hulls.into_iter().map(|(key, zone)| (sets.packer.unpack(&key), zone)).collect(),
            cost,
        });
    }

    /// What silence comes to where it has been worked out for the same question, and what that cost.
    pub(crate) fn silence(&self, asked: &Asked) -> Option<(Arc<Graph>, Cost)> {
        let found = self.silent.iter().find(|(of, _, _)| of == asked);
        found.map(|(_, graph, cost)| (Arc::clone(graph), *cost))
    }

    /// Keeps what silence comes to.
    pub(crate) fn keep_silence(&mut self, asked: Asked, graph: &Arc<Graph>, cost: Cost) {
        self.silent.push((asked, Arc::clone(graph), cost));
    }

    /// Whether a claim that can be read off situations holds in all of these.
    pub(crate) fn holds(hulls: &Hulls, watch: &Watch, model: &Model) -> bool {
        hulls.iter().all(|(whole, _)| holds(watch, model, &whole.situation))
    }
}

fn holds(watch: &Watch, model: &Model, situation: &Situation) -> bool {
    watch.begin(model, situation, &[], false).is_some()
}
