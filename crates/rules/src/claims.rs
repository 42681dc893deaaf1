//! Claims as they stand in the form, and named conditions that nothing uses.

use crate::codes;
use crate::form::{Claim, Claimed, Expr, Trigger};
use crate::names::{Lookup, Outside, Within};
use crate::syntax::{Cause, ClaimTree, ClaimedTree, LeadsTree, Name};
use finding::Fault;
use source::Place;

/// Every claim that could be read, in written order.
pub(crate) fn claims(lookup: &mut Lookup) -> Vec<Claim> {
    let world = lookup.world;
    let claims = world.claims.iter().filter_map(|tree| claim(lookup, tree)).collect();
    lookup.within = Within::Rule;
    claims
}

fn claim(lookup: &mut Lookup, tree: &ClaimTree) -> Option<Claim> {
    lookup.within = Within::Claim;
    let claim = match &tree.claim {
        ClaimedTree::Never(what) => Claimed::Never { what: lookup.condition(what)?.expr },
        ClaimedTree::Always(what) => Claimed::Always { what: lookup.condition(what)?.expr },
        ClaimedTree::Leads(leads) => {
            let LeadsTree { cause, condition, to, within } = leads.as_ref();
            let cause = trigger_of(lookup, cause);
            let given = condition.as_ref().map(|condition| lookup.condition(condition));
            let (to, ticks) = (lookup.condition(to), lookup.duration(within));
            let given: Option<Expr> = match given {
                Some(given) => Some(given?.expr),
                None => None,
            };
            Claimed::Leads { cause: cause?, given, to: to?.expr, ticks: ticks? }
        }
    };
    Some(Claim { name: tree.name.text.clone(), claim })
}

fn trigger_of(lookup: &mut Lookup, cause: &Cause) -> Option<Trigger> {
    match cause {
        Cause::Press(path) => Some(Trigger::Press { button: lookup.outside(path, Outside::Button)? }),
        Cause::Message(name, sender) => Some(Trigger::Message { any: lookup.heard(name, sender.as_ref())? }),
        Cause::Timer(name) => {
            let fault = lookup.fault(codes::CLAIM_CAUSE, name.span, "a claim cannot begin with a timer");
            lookup.refuse(fault.expected("expected `on press`, `on message` or `when`"))
        }
        Cause::When | Cause::After(_) => Some(Trigger::Always),
    }
}

/// Conditions that nothing uses are read all the same, for the first machine that has sides, so that their slips are met.
/// Gives the names of the sound ones.
pub(crate) fn unused_conditions(lookup: &mut Lookup) -> Vec<Name> {
    let world = lookup.world;
    lookup.own = world.instances.iter().position(|instance| instance.side.is_some());
    let mut unused = Vec::new();
    for condition in world.conditions.values() {
        if !lookup.used.contains(&condition.name.text) {
            unused.push(condition);
        }
    }
    let mut sound = Vec::new();
    for condition in unused {
        lookup.conditions = condition.order;
        if lookup.condition(&condition.ex).is_some() {
            sound.push(condition.name.clone());
        }
    }
    lookup.conditions = usize::MAX;
    lookup.own = None;
    sound
}

/// Cautions for them. Where something is at fault, the line that uses one may have been left out.
pub(crate) fn cautions(file: &str, unused: &[Name]) -> Vec<Fault> {
    let caution = |name: &Name| {
        let place = Place::new(file, name.span.start, name.span.end);
        let message = format!("nothing uses condition `{}`", name.text);
        let fault = codes::CONDITION_UNUSED.fault(Some(place), message);
        fault.expected("expected a line that uses it").caution()
    };
    unused.iter().map(caution).collect()
}
