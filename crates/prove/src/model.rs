//! The rules as the searches play them: the same form, with what nobody looks at taken out and with a flag in each machine
//! that says when a store would not fit. One tick of it is one tick of the referee, [`rules::step`].

use crate::far;
use crate::loosen;
use crate::reduce;
use crate::value::{Sight, change_nodes};
use crate::watch::Watch;
use crate::work::{Enough, Work};
use rules::form::{Action, Expr, Form, Machine, Node, State, Ties, Trigger, each_node};
use rules::step::{Being, Clock, Input, Outcome, Pick, Situation, Start, begin_from, step};
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
    listening: Vec<Vec<u64>>,
    /// Buttons that the claim listens to.
    watched: u64,
    /// Kept numbers that cannot be felt: they start as the rules say.
    unfelt: BTreeSet<reduce::Place>,
    /// Running timers that may run out at any tick, whatever they were started with; only where plays are loosened.
    pub(crate) free: BTreeSet<reduce::Place>,
    /// Buttons that are there; those behind them are free ones, see [`far`].
    pub(crate) real: usize,
    /// For each free button the machines it stands for.
    pub(crate) stands_for: Vec<far::Near>,
    /// The only machine whose stores are looked at, where it is not all.
    judged: Option<usize>,
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

    /// What is not part of a situation's identity is put to nothing: random streams (picks are varied freely instead),
    /// sounds, flags. Says whether a store did not fit.
    pub(crate) fn settle(&self, situation: &mut Situation) -> bool {
        situation.playing.fill(false);
        let mut flagged = false;
        for (m, (being, flag)) in situation.machines.iter_mut().zip(&self.flags).enumerate() {
            being.stream = 0;
            let not_fit = std::mem::take(&mut being.numbers[*flag]) != 0;
            flagged |= not_fit && self.judged.is_none_or(|judged| judged == m);
        }
        flagged
    }

    /// The situation as the transitions of the next tick see it: running timers have lost one.
    pub(crate) fn counted(&self, before: &Situation) -> Situation {
        let mut snapshot = before.clone();
        for (m, being) in snapshot.machines.iter_mut().enumerate() {
            self.count(m, being);
        }
        snapshot
    }

    /// One machine's running timers lose one.
    pub(crate) fn count(&self, m: usize, being: &mut Being) {
        for (clock, timer) in being.timers.iter_mut().zip(&self.form.machines[m].timers) {
            *clock = match *clock {
                Clock::Running(left) if left <= 1 && timer.cycle => Clock::Running(timer.max),
                Clock::Running(left) if left <= 1 => Clock::Due,
                Clock::Running(left) => Clock::Running(left - 1),
                still => still,
            };
        }
    }

    /// The edges of a tick: real ones and those the rules pressed in the tick before.
    pub(crate) fn pressed(&self, before: &Situation, input: &Input) -> Vec<bool> {
        let real = |b: usize| input.pressed.get(b).copied().unwrap_or(false);
        (0..self.form.buttons.len()).map(|b| before.simulated[b] || real(b)).collect()
    }

    /// Every outcome of tick 0 from one start.
    pub(crate) fn begin(
        &self,
        start: &Start,
        lengths_free: bool,
        work: &mut Work,
        f: &mut dyn FnMut(&mut Work, &Input, Outcome) -> Result<(), Enough>,
    ) -> Result<(), Enough> {
        let mut blank = Input::default();
        self.pick_all(&|input| begin_from(&self.form, start, &input.picks), &mut blank, lengths_free, work, f)
    }

    /// Every outcome of the next tick: each set of presses that somebody listens to, each way of holding and letting go of
    /// the buttons whose holding is read, each pick. The first one is that nothing is pressed and nothing let go (or, when
    /// nobody presses, that everything is let go).
    ///
    /// A press that no machine's present state listens to and no claim waits for vanishes in its tick, so that leaving it
    /// out leaves out no situation. A press makes a button held; held again it must first be let go. Shorter gaps than a
    /// contact's lockout are allowed, so that more plays are looked at than hands can make.
    ///
    /// `lengths_free`: picked lengths of timers are not varied; the caller takes them as a stretch.
    pub(crate) fn moves(
        &self,
        (before, held, who): (&Situation, &[bool], Who),
        lengths_free: bool,
        work: &mut Work,
        f: &mut dyn FnMut(&mut Work, &Input, Outcome) -> Result<(), Enough>,
    ) -> Result<(), Enough> {
        let buttons = self.form.buttons.len();
        if matches!(who, Who::Nobody | Who::Holding(_)) {
            let held = (0..buttons).map(|b| who == Who::Holding(b)).collect();
            let mut input = Input { pressed: vec![false; buttons], held, picks: Vec::new() };
            return self.pick_all(
                &|input| step(&self.form, before, input),
                &mut input,
                lengths_free,
                work,
                f,
            );
        }
        // Each button has one or two ways: as it is; pressed; or let go.
        let free: Vec<usize> = (0..buttons)
            .filter(|b| match who {
                Who::Only(only) => only == *b,
                Who::Free(mask) => mask >> b & 1 == 1,
                _ => true,
            })
            .filter(
                |b| if self.tracked[*b] { true } else { self.listens(before, *b) && !before.simulated[*b] },
            )
            .collect();
        let ways = 1_u64.checked_shl(u32::try_from(free.len()).unwrap_or(64)).unwrap_or(u64::MAX);
        for way in 0..ways {
            let mut input = Input { pressed: vec![false; buttons], held: held.to_vec(), picks: Vec::new() };
            for (nth, b) in free.iter().enumerate() {
                if way >> nth & 1 == 1 {
                    input.pressed[*b] = !held[*b];
                    input.held[*b] = self.tracked[*b] && !held[*b];
                }
            }
            self.pick_all(&|input| step(&self.form, before, input), &mut input, lengths_free, work, f)?;
        }
        Ok(())
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

    fn listens(&self, situation: &Situation, b: usize) -> bool {
        let states = situation.machines.iter().zip(&self.listening);
        let all = states.fold(self.watched, |all, (being, states)| all | states[being.state]);
        all >> b & 1 == 1
    }

    fn pick_all(
        &self,
        tick: &dyn Fn(&Input) -> Outcome,
        input: &mut Input,
        lengths_free: bool,
        work: &mut Work,
        f: &mut dyn FnMut(&mut Work, &Input, Outcome) -> Result<(), Enough>,
    ) -> Result<(), Enough> {
        work.step()?;
        let outcome = tick(input);
        let given = |input: &Input, site| input.picks.iter().any(|pick| pick.site == site);
        let open = outcome.picked.iter().find(|pick| {
            let as_stretch = lengths_free && self.lengths.contains_key(&pick.site);
            !as_stretch && !given(input, pick.site)
        });
        if let Some(Pick { site, .. }) = open.copied() {
            let (lo, hi) = self.sites.get(&site).copied().unwrap_or_default();
            for value in lo..=hi {
                input.picks.push(Pick { site, value });
                self.pick_all(tick, input, lengths_free, work, f)?;
                input.picks.pop();
            }
            return Ok(());
        }
        // A value that is no longer in its bag counts as another one, which is tried in its own turn.
        let as_given = |given: &Pick| {
            outcome.picked.iter().all(|pick| pick.site != given.site || pick.value == given.value)
        };
        if input.picks.iter().all(as_given) { f(work, input, outcome) } else { Ok(()) }
    }

    /// What is seen, as far as it does not change by time alone.
    pub(crate) fn picture(&self, situation: &Situation) -> rules::step::Frame {
        rules::step::frame(&self.still, situation)
    }

    /// Whether some light of the present states is indexed outside its row.
    pub(crate) fn index_out(&self, situation: &Situation) -> bool {
        let sight = Sight { situation, pressed: &[], held: &[] };
        self.form.machines.iter().zip(&situation.machines).enumerate().any(|(m, (machine, being))| {
            self.judged.is_none_or(|judged| judged == m)
                && machine.states[being.state].lights.iter().any(|light| {
                    let wanted = light.when.as_ref().is_none_or(|when| light.each || sight.holds(when));
                    wanted
                        && light.index.as_ref().is_some_and(|index| {
                            let at = i64::from(sight.value(index));
                            at < 1 || at > i64::from(light.count)
                        })
                })
        })
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

/// Gives a machine a number that becomes 1 when a store does not fit, and says which number that is.
fn flag(m: usize, machine: &mut Machine) -> usize {
    let at = machine.numbers.len();
    let ranges: Vec<(i32, i32)> = machine.numbers.iter().map(|number| (number.min, number.max)).collect();
    for list in machine.states.iter_mut().flat_map(action_lists) {
        let old = std::mem::take(list);
        for action in old {
            let (expr, least, most) = match &action {
                Action::Set { number, to } => (Some(to), ranges[*number].0, ranges[*number].1),
                Action::Start { ticks, .. } => (Some(ticks), 1, i32::MAX),
                _ => (None, 0, 0),
            };
            if let Some(expr) =
                expr.filter(|expr| !matches!(expr.node, Node::Pick { .. } | Node::Draw { .. }))
            {
                list.push(Action::Set { number: at, to: does_not_fit(m, at, expr, (least, most)) });
            }
            list.push(action);
        }
    }
    machine.numbers.push(rules::form::Number {
        name: "does not fit".into(),
        min: 0,
        max: 1,
        start: 0,
        shown_on: None,
        kept: false,
    });
    at
}

fn does_not_fit(m: usize, flag: usize, expr: &Expr, (least, most): (i32, i32)) -> Expr {
    use rules::form::Two;
    let node = |node| Expr { w: 32, node };
    let two = |f, a: Expr, b: Expr| node(Node::Two { f, a: Box::new(a), b: Box::new(b) });
    let below = two(Two::Lt, expr.clone(), node(Node::Const { v: least }));
    let above = two(Two::Gt, expr.clone(), node(Node::Const { v: most }));
    two(Two::Max, node(Node::Number { m, i: flag }), two(Two::Or, below, above))
}

/// Time left reads as 1, and flashing digits are shown.
fn still(form: &Form) -> Form {
    let mut still = form.clone();
    let fix = |expr: &mut Expr| {
        change_nodes(expr, &|node| {
            if matches!(node, Node::Left { .. }) {
                *node = Node::Const { v: 1 };
            }
        });
    };
    for state in still.machines.iter_mut().flat_map(|machine| &mut machine.states) {
        for light in &mut state.lights {
            light.index.iter_mut().chain(&mut light.when).for_each(fix);
            fix(&mut light.level);
        }
        for writes in &mut state.writes {
            fix(&mut writes.value);
            writes.flash = None;
        }
    }
    still
}
