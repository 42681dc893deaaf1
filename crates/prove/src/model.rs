//! The rules as the searches play them: the same form, with what nobody looks at taken out and with a flag in each machine
//! that says when a store would not fit. One tick of it is one tick of the referee, [`rules::step`].

use crate::far;
use crate::loosen;
use crate::made_ready::{flag, still};
use crate::reduce;
use crate::watch::Watch;
use crate::work::Enough;
use rules::form::{Action, Expr, Form, Machine, Node, State, Ties, Trigger, each_node};
use rules::step::Start;
use std::collections::{BTreeMap, BTreeSet};

/// Who presses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Who {
    /// Anybody, at any tick.
    Anybody,
    /// Nobody, and no button is held.
    Nobody,
    /// Nobody, but this button is down for ever.
    Holding(usize),
    /// Somebody at this button alone.
    Only(usize),
    /// Nobody, but these buttons may be pressed by what is left free, as a mask.
    Free(u64),
}

/// A form made ready.
pub(crate) struct Model {
    /// What is stepped.
    pub(crate) form: Form,
    /// The same without time left and flashing in what is lit: its frame depends on nothing that changes by time alone.
    pub(crate) still: Form,
    /// For each machine the number that says that a store did not fit.
    pub(crate) flags: Vec<usize>,
    /// Buttons of which some rule reads whether they are held.
    pub(crate) tracked: Vec<bool>,
    /// Places from here on stand for what is left free: see [`far`] and [`loosen`].
    pub(crate) own_sites: u32,
    /// Places that pick, with their bounds.
    pub(crate) sites: BTreeMap<u32, (i32, i32)>,
    /// Places whose pick is stored, with the bounds of the number.
    pub(crate) stores: BTreeMap<u32, (i32, i32)>,
    /// Places whose pick is the length of a timer: machine and timer.
    pub(crate) lengths: BTreeMap<u32, (usize, usize)>,
    /// For each machine and state the buttons that it listens to.
    pub(crate) listening: Vec<Vec<u64>>,
    /// Buttons that the claim listens to.
    pub(crate) watched: u64,
    /// Kept numbers that cannot be felt: they start as the rules say.
    unfelt: BTreeSet<reduce::Place>,
    /// Running timers that may run out at any tick, whatever they were started with; only where plays are loosened.
    pub(crate) free: BTreeSet<reduce::Place>,
    /// Buttons that are there; those behind them are free ones, see [`far`].
    pub(crate) real: usize,
    /// For each free button the machines it stands for.
    pub(crate) stands_for: Vec<far::Near>,
    /// The only machine whose stores are looked at, where it is not all.
    pub(crate) judged: Option<usize>,
    /// Places that say which way was taken where it matters for what is stored: see [`loosen::mark`].
    pub(crate) marks: BTreeSet<u32>,
}

impl Model {
    /// Everything kept: whole situations.
    pub(crate) fn whole(form: &Form, watch: &Watch) -> Result<Self, Enough> {
        Self::of(form.clone(), BTreeSet::new(), watch)
    }

    /// Only what the claim can feel: see [`reduce`].
    pub(crate) fn reduced(form: &Form, watch: &Watch) -> Result<Self, Enough> {
        let (form, unfelt) = reduce::reduced(form, watch);
        Self::of(form, unfelt, watch)
    }

    /// The same with more plays, where anything could be loosened: see [`loosen`].
    pub(crate) fn loosened(form: &Form, watch: &Watch) -> Result<Option<Self>, Enough> {
        let (mut small, _) = reduce::reduced(form, watch);
        let lengths = loosen::lengths(&mut small);
        // Numbers that served lengths alone are no longer felt.
        let (mut small, unfelt) = reduce::reduced(&small, watch);
        let numbers = loosen::numbers(&mut small, watch, false);
        let free = loosen::timers(&small);
        if !lengths && numbers.is_empty() && free.is_empty() {
            return Ok(None);
        }
        let model = Self::of(small, unfelt, watch)?;
        Ok(Some(Self { free, ..model }))
    }

    /// Only these machines, everything else left free, and loosened besides: see [`far`], and [`loosen::numbers`] for `loosely`.
    pub(crate) fn near(
        form: &Form,
        watch: &Watch,
        (near, judged, loosely): (&far::Near, Option<usize>, bool),
    ) -> Result<Option<Self>, Enough> {
        let mut small = form.clone();
        loosen::lengths(&mut small);
        let Some((small, stands_for)) = far::left_free(&small, watch, near) else { return Ok(None) };
        let (mut small, _) = reduce::reduced(&small, watch);
        let coarse = loosen::numbers(&mut small, watch, loosely);
        let (mut small, unfelt) = reduce::reduced(&small, watch);
        let marks = match watch {
            Watch::Answered { by: Some(by), .. } if loosely => loosen::mark(&mut small, *by, &coarse),
            _ => BTreeSet::new(),
        };
        let mut free = loosen::timers(&small);
        if matches!(watch, Watch::Flash { .. }) {
            let own = far::spoken_of(form, watch, None);
            free.retain(|(m, _)| !own.contains(m));
        }
        let mut model = Self::of(small, unfelt, watch)?;
        if let Some(judged) = judged {
            let own: BTreeSet<u32> = sites_of(&model.form.machines[judged]);
            model.stores.retain(|site, _| own.contains(site));
        }
        let (real, own_sites) = (form.buttons.len(), form.pick_sites);
        Ok(Some(Self { free, real, own_sites, stands_for, judged, marks, ..model }))
    }

    /// A form as it is, with these long timers free, and buttons behind the real ones free.
    pub(crate) fn as_is(
        form: Form,
        (unfelt, free, real): (BTreeSet<reduce::Place>, BTreeSet<reduce::Place>, usize),
        watch: &Watch,
    ) -> Result<Self, Enough> {
        let model = Self::of(form, unfelt, watch)?;
        Ok(Self { free, real, ..model })
    }

    fn of(mut form: Form, unfelt: BTreeSet<reduce::Place>, watch: &Watch) -> Result<Self, Enough> {
        if form.buttons.len() > 64 {
            return Err(Enough::Buttons);
        }
        let real = form.buttons.len();
        let tracked = tracked(&form, watch);
        let mut sites = BTreeMap::new();
        let (mut stores, mut lengths) = (BTreeMap::new(), BTreeMap::new());
        for (m, machine) in form.machines.iter().enumerate() {
            if let Some(Ties::Random { site }) = machine.ties {
                sites.insert(site, (1, i32::try_from(form.sides.len().max(1)).unwrap_or(1)));
            }
            for action in machine.states.iter().flat_map(actions) {
                match action {
                    Action::Set { number, to } => {
                        if let Node::Pick { site, lo, hi } | Node::Draw { site, lo, hi, .. } = to.node {
                            sites.insert(site, (lo, hi));
                            let range = &machine.numbers[*number];
                            stores.insert(site, (range.min, range.max));
                        }
                    }
                    Action::Start { timer, ticks } => match ticks.node {
                        Node::Pick { site, lo, hi } => {
                            sites.insert(site, (lo, hi));
                            lengths.insert(site, (m, *timer));
                        }
                        Node::Draw { site, lo, hi, .. } => {
                            sites.insert(site, (lo, hi));
                        }
                        _ => {}
                    },
                    _ => {}
                }
            }
        }
        let listening = form.machines.iter().map(listening).collect();
        let flags = form.machines.iter_mut().enumerate().map(|(m, machine)| flag(m, machine)).collect();
        let still = still(&form);
        let watched = watch.listens();
        Ok(Self {
            form,
            still,
            flags,
            tracked,
            own_sites: u32::MAX,
            sites,
            stores,
            lengths,
            listening,
            watched,
            unfelt,
            free: BTreeSet::new(),
            real,
            stands_for: Vec::new(),
            judged: None,
            marks: BTreeSet::new(),
        })
    }

    /// Every start: each kept value and each setting that some rule reads, over its whole range.
    pub(crate) fn starts(&self) -> Result<Vec<Start>, Enough> {
        let kept = self.form.kept();
        let mut ranges: Vec<(i32, i32)> = Vec::new();
        for (m, i) in &kept {
            let number = &self.form.machines[*m].numbers[*i];
            let free = !self.unfelt.contains(&(*m, *i));
            ranges.push(if free { (number.min, number.max) } else { (number.start, number.start) });
        }
        let used = settings_used(&self.form);
        for (i, setting) in self.form.settings.iter().enumerate() {
            ranges.push(if used[i] { (setting.min, setting.max) } else { (setting.start, setting.start) });
        }
        let count = ranges.iter().try_fold(1_u64, |count, (lo, hi)| {
            count.checked_mul(u64::from(lo.abs_diff(*hi)) + 1).filter(|count| *count <= 100_000)
        });
        count.ok_or(Enough::Starts)?;
        let mut rows: Vec<Vec<Option<i32>>> = vec![Vec::new()];
        for (lo, hi) in ranges {
            let longer = |row: &Vec<Option<i32>>, value| row.iter().copied().chain([Some(value)]).collect();
            rows = rows.iter().flat_map(|row| (lo..=hi).map(move |value| longer(row, value))).collect();
        }
        let start = |mut row: Vec<Option<i32>>| {
            let settings = row.split_off(kept.len());
            Start { kept: row, settings }
        };
        Ok(rows.into_iter().map(start).collect())
    }

    /// The buttons that a state of a machine, or the claim, listens to.
    pub(crate) fn listening_to(&self, m: usize, state: usize) -> u64 {
        self.watched | self.listening[m][state]
    }

    /// Whether any rule presses a button itself.
    pub(crate) fn simulates(&self) -> bool {
        let mut all = self.form.machines.iter().flat_map(|machine| &machine.states).flat_map(actions);
        all.any(|action| matches!(action, Action::Press { .. }))
    }
}

/// All actions of a state.
pub(crate) fn actions(state: &State) -> impl Iterator<Item = &Action> {
    let ways = state.transitions.iter().flat_map(|way| way.actions.iter());
    state.entry.iter().chain(&state.exit).chain(ways)
}

/// Every list of actions of a state.
pub(crate) fn action_lists(state: &mut State) -> impl Iterator<Item = &mut Vec<Action>> {
    let ways = state.transitions.iter_mut().map(|way| &mut way.actions);
    [&mut state.entry, &mut state.exit].into_iter().chain(ways)
}

/// What an action works out.
pub(crate) fn worked_out(action: &Action) -> Option<&Expr> {
    match action {
        Action::Set { to, .. } => Some(to),
        Action::Start { ticks, .. } => Some(ticks),
        _ => None,
    }
}

/// Every expression that decides what happens, of one state.
pub(crate) fn deciding(state: &State) -> impl Iterator<Item = &Expr> {
    let conditions = state.transitions.iter().filter_map(|way| way.condition.as_ref());
    conditions.chain(actions(state).filter_map(worked_out))
}

/// Places of a machine that pick.
fn sites_of(machine: &Machine) -> BTreeSet<u32> {
    let all = machine.states.iter().flat_map(actions).filter_map(worked_out);
    all.filter_map(|expr| match expr.node {
        Node::Pick { site, .. } | Node::Draw { site, .. } => Some(site),
        _ => None,
    })
    .collect()
}

fn tracked(form: &Form, watch: &Watch) -> Vec<bool> {
    let mut tracked = vec![false; form.buttons.len()];
    let mut look = |node: &Node| {
        if let Node::Held { b } = node {
            tracked[*b] = true;
        }
    };
    for state in form.machines.iter().flat_map(|machine| &machine.states) {
        deciding(state).for_each(|expr| each_node(expr, &mut look));
    }
    watch.exprs().into_iter().for_each(|expr| each_node(expr, &mut look));
    tracked
}

fn settings_used(form: &Form) -> Vec<bool> {
    let mut used = vec![false; form.settings.len()];
    let mut look = |node: &Node| {
        if let Node::Setting { i } = node {
            used[*i] = true;
        }
    };
    for state in form.machines.iter().flat_map(|machine| &machine.states) {
        deciding(state).for_each(|expr| each_node(expr, &mut look));
        for light in &state.lights {
            let parts = [light.index.as_ref(), Some(&light.level), light.when.as_ref()];
            parts.into_iter().flatten().for_each(|expr| each_node(expr, &mut look));
        }
        state.writes.iter().for_each(|writes| each_node(&writes.value, &mut look));
    }
    for claim in &form.claims {
        Watch::of_claim(claim).exprs().into_iter().for_each(|expr| each_node(expr, &mut look));
    }
    used
}

/// For each state the buttons whose edge can make a difference to the machine.
pub(crate) fn listening(machine: &Machine) -> Vec<u64> {
    let reads = |expr: &Expr| {
        let mut mask = 0;
        each_node(expr, &mut |node| {
            if let Node::Pressed { b } = node {
                mask |= 1 << b;
            }
        });
        mask
    };
    let mut always = machine.remembers.iter().fold(0, |mask, one| mask | 1 << one.button);
    for state in &machine.states {
        for action in state.entry.iter().chain(&state.exit) {
            always |= worked_out(action).map_or(0, reads);
        }
    }
    let of = |state: &State| {
        let own = state.transitions.iter().fold(0, |mask, way| match way.trigger {
            Trigger::Press { button } => mask | 1 << button,
            _ => mask,
        });
        deciding(state).fold(always | own, |mask, expr| mask | reads(expr))
    };
    machine.states.iter().map(of).collect()
}
