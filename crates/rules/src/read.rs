//! From text to the machine form.

use crate::form::Form;
use crate::interface::Interface;
use crate::syntax::ClaimedTree;
use crate::{checks, claims, declare, expand, parse, prompts};
use finding::Fault;
use source::{Place, Text};
use std::collections::BTreeSet;

/// Reads rules for a display. Always gives a form that can be played: a statement with a fault is left out of it, and all
/// faults are reported at once, in the order of the text. Cautions about the whole come only when nothing is at fault.
pub fn read(text: &Text, interface: &Interface) -> (Form, Vec<Fault>) {
    let mut faults = Vec::new();
    let tree = parse::tree(text, &mut faults);
    let world = declare::world(text.name(), tree, interface, &mut faults);
    let mut expanded = expand::form(&world);
    faults.append(&mut expanded.faults);
    if !faults.iter().any(Fault::stops) {
        faults.append(&mut claims::cautions(text.name(), &expanded.unused));
        faults.append(&mut checks::cautions(&world, &expanded.form, &expanded.written));
        faults.append(&mut prompts::cautions(&world, &expanded.form));
    }
    (expanded.form, in_order(faults))
}

/// In the order of the text; what several sides say about one place is said once.
fn in_order(mut faults: Vec<Fault>) -> Vec<Fault> {
    let mut said = BTreeSet::new();
    faults.retain(|fault| fault.place.is_none() || said.insert((fault.code, fault.place.clone())));
    faults.sort_by_key(|fault| fault.place.as_ref().map_or(usize::MAX, |place| place.start));
    faults
}

/// Where the value of a constant stands in a text: the bytes that a slider replaces. None when there is no such constant.
pub fn constant_place(text: &Text, name: &str) -> Option<Place> {
    let tree = parse::tree(text, &mut Vec::new());
    let constant = tree.constants.iter().find(|constant| constant.name.text == name)?;
    Some(Place::new(text.name(), constant.value.span.start, constant.value.span.end))
}

/// Where it stands in a text what a claim says, behind its name. None when there is no such claim.
pub fn claim_place(text: &Text, name: &str) -> Option<Place> {
    let tree = parse::tree(text, &mut Vec::new());
    let claim = tree.claims.iter().find(|claim| claim.name.text == name)?;
    let last = match &claim.claim {
        ClaimedTree::Never(what) | ClaimedTree::Always(what) => what,
        ClaimedTree::Leads(leads) => &leads.within,
    };
    Some(Place::new(text.name(), claim.name.span.end, last.span.end))
}
