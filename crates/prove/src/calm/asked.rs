//! What the graph of silence of some machines depends on.

use super::Calm;
use crate::far::Near;
use crate::live::{self, Own};
use crate::model::Model;
use crate::reduce::Place;
use rules::form::{Form, Number};
use std::collections::{BTreeMap, BTreeSet};

/// Everything that goes into a graph of silence, so that questions for which all of it is the same have the same graph: who is
/// quiet and what has to be told apart show in the rules that are left, or make no difference.
#[derive(PartialEq)]
pub(crate) struct Asked {
    /// The rules in silence, which are gone on by from everything that can be.
    silent: Form,
    /// Buttons whose holding is asked for, and those whose press is looked at.
    tracked: Vec<bool>,
    watched: u64,
    /// Buttons that what is left free may press, as a mask, and how many buttons are real.
    free: u64,
    real: usize,
    /// The rules by which what can be is found, and the values that their stretches stand for.
    coarse: Form,
    stretches: BTreeMap<Place, Vec<i32>>,
    numbers: Vec<Vec<Number>>,
    unfelt: BTreeSet<Place>,
    /// The states that each machine of the groups can be in for good.
    states: BTreeMap<usize, BTreeSet<usize>>,
    /// Machines whose situations are found together, each time with those that they are put beside.
    pub(super) groups: Vec<(Near, Near)>,
    /// By machine and state what may still be read.
    pub(super) live: Vec<Vec<BTreeSet<Own>>>,
    /// Whether it begins with an untouched play.
    untouched: bool,
    /// Whether what can be is found with every clock.
    close: bool,
}

impl Asked {
    pub(super) fn of(
        calm: &Calm,
        model: &Model,
        (groups, untouched, free): (&[(Near, Near)], bool, u64),
    ) -> Self {
        let live = (0..calm.base.machines.len()).map(|m| live::live_in(&model.form, m, &calm.watch));
        let machines = groups.iter().flat_map(|(group, shared)| group.union(shared));
        Self {
            silent: model.form.clone(),
            tracked: model.tracked.clone(),
            watched: calm.watch.listens(),
            free,
            real: model.real,
            coarse: calm.coarse.clone(),
            stretches: calm.stretches.clone(),
            numbers: calm.base.machines.iter().map(|machine| machine.numbers.clone()).collect(),
            unfelt: calm.unfelt.clone(),
            states: machines.map(|m| (*m, calm.states[*m].clone())).collect(),
            groups: groups.to_vec(),
            live: live.collect(),
            untouched,
            close: calm.close,
        }
    }
}
