//! What is looked for in every play: a claim as a small observer that walks along, with one clock of its own.

use crate::model::Model;
use crate::value::Sight;
use rules::form::{Claim, Claimed, Expr, Form, Machine, Node, Trigger, each_node};
use rules::step::{Input, Outcome, Pick, Situation, step};

/// A claim's observer.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Watch {
    /// Fails after a tick in which this is true.
    Never(Expr),
    /// Fails after a tick in which this is false.
    Always(Expr),
    /// Fails when, after a cause in tick n, `to` was true after none of the ticks n to n + `ticks`. Cause and condition are
    /// read as a transition of tick n reads them; `to` after the tick. Only the earliest unanswered cause is remembered: an
    /// answer to it answers all later ones met so far, and its time is up first.
    Leads { cause: Trigger, given: Option<Expr>, to: Expr, ticks: u32 },
    /// Fails when a value does not fit where it is stored, a timer is started for less than a tick, or a light's index
    /// lies outside its row.
    InRange,
    /// Fails when digits are to show what is below 0 or wider than they are.
    DigitsFit,
    /// Fails when a press that counts in tick n is followed by no change of the picture in the ticks n to n + `ticks`: see
    /// [`press_counts`]. `by`: only presses that count for this machine.
    Answered { ticks: u32, by: Option<usize> },
    /// Fails at the eighth change of pose (four pairs) within `ticks` ticks, first and last change included: of one figure,
    /// or of all together, where several changes in one tick count once. The observer guesses which change is the first.
    Flash { figure: Option<usize>, ticks: u32 },
    /// Fails never: for looking at situations only.
    Nothing,
    /// The same, and these are still told apart.
    Sees(Vec<Expr>),
}

/// What the observer's clock does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Clocked {
    Keep,
    Off,
    Start(u32),
}

/// Where an observer goes after a tick: every way, or the claim fails.
pub(crate) type Next = Option<Vec<(u8, Clocked)>>;

/// A tick that has been worked out.
pub(crate) struct Seen<'a> {
    pub(crate) before: &'a Situation,
    pub(crate) input: &'a Input,
    pub(crate) after: &'a Situation,
    pub(crate) picked: &'a [Pick],
    /// A store did not fit.
    pub(crate) flagged: bool,
}

/// Changes that make four pairs.
const CHANGES: u8 = 8;

impl Watch {
    pub(crate) fn of_claim(claim: &Claim) -> Self {
        match &claim.claim {
            Claimed::Never { what } => Self::Never(what.clone()),
            Claimed::Always { what } => Self::Always(what.clone()),
            Claimed::Leads { cause, given, to, ticks } => {
                Self::Leads { cause: cause.clone(), given: given.clone(), to: to.clone(), ticks: *ticks }
            }
        }
    }

    /// The expressions it reads.
    pub(crate) fn exprs(&self) -> Vec<&Expr> {
        match self {
            Self::Never(what) | Self::Always(what) => vec![what],
            Self::Leads { given, to, .. } => given.iter().chain([to]).collect(),
            Self::Sees(exprs) => exprs.iter().collect(),
            _ => Vec::new(),
        }
    }

    /// The buttons whose press it waits for.
    pub(crate) fn listens(&self) -> u64 {
        let mut mask = 0;
        for expr in self.exprs() {
            each_node(expr, &mut |node| {
                if let Node::Pressed { b } = node {
                    mask |= 1_u64 << b;
                }
            });
        }
        match self {
            Self::Leads { cause: Trigger::Press { button }, .. } => mask | 1 << button,
            _ => mask,
        }
    }

    /// The longest its clock runs.
    pub(crate) fn longest(&self) -> u32 {
        match self {
            Self::Leads { ticks, .. } | Self::Answered { ticks, .. } | Self::Flash { ticks, .. } => {
                (*ticks).max(1)
            }
            _ => 0,
        }
    }

    /// After tick 0, in which nothing can be a cause.
    pub(crate) fn begin(&self, model: &Model, after: &Situation, picked: &[Pick], flagged: bool) -> Next {
        if self.fails_now(model, after, picked, flagged, &Input::default()) {
            return None;
        }
        Some(vec![(0, Clocked::Off)])
    }

    fn fails_now(
        &self,
        model: &Model,
        after: &Situation,
        picked: &[Pick],
        flagged: bool,
        input: &Input,
    ) -> bool {
        let sight = Sight { situation: after, pressed: &input.pressed, held: &input.held };
        match self {
            Self::Never(what) => sight.holds(what),
            Self::Always(what) => !sight.holds(what),
            Self::InRange => {
                let misfit = |pick: &Pick| {
                    let range = model.stores.get(&pick.site);
                    range.is_some_and(|(least, most)| pick.value < *least || pick.value > *most)
                };
                flagged || picked.iter().any(misfit) || model.index_out(after)
            }
            Self::DigitsFit => digits_overflow(model, after),
            _ => false,
        }
    }

    /// After a tick, from the observer's state; `due` says that its clock has just run down.
    pub(crate) fn advance(&self, model: &Model, mode: u8, due: bool, seen: &Seen) -> Next {
        match self {
            Self::Leads { cause, given, to, ticks } => {
                let answered =
                    Sight { situation: seen.after, pressed: &[], held: &seen.input.held }.holds(to);
                let caused = || caused(model, cause, given.as_ref(), seen);
                waiting(mode, due, answered, caused, (*ticks).max(1))
            }
            Self::Answered { ticks, by } => {
                let changed = model.picture(seen.before) != model.picture(seen.after);
                waiting(mode, due, changed, || some_press_counts(model, *by, seen), (*ticks).max(1))
            }
            Self::Flash { figure, ticks } => {
                let changed = poses_change(&model.form, *figure, seen);
                Self::flash(mode, due, changed, *ticks)
            }
            Self::Nothing | Self::Sees(_) => Some(vec![(mode, Clocked::Keep)]),
            _ if self.fails_now(model, seen.after, seen.picked, seen.flagged, seen.input) => None,
            _ => Some(vec![(0, Clocked::Off)]),
        }
    }

    fn flash(mode: u8, due: bool, changed: bool, ticks: u32) -> Next {
        match (mode, changed) {
            (0, false) => Some(vec![(0, Clocked::Off)]),
            (0, true) => Some(vec![(0, Clocked::Off), (1, Clocked::Start(ticks))]),
            (_, true) if mode + 1 >= CHANGES => None,
            _ if due => Some(vec![(0, Clocked::Off)]),
            (_, true) => Some(vec![(mode + 1, Clocked::Keep)]),
            (_, false) => Some(vec![(mode, Clocked::Keep)]),
        }
    }
}

fn waiting(mode: u8, due: bool, answered: bool, caused: impl FnOnce() -> bool, ticks: u32) -> Next {
    if mode == 1 {
        return match (answered, due) {
            (true, _) => Some(vec![(0, Clocked::Off)]),
            (false, true) => None,
            (false, false) => Some(vec![(1, Clocked::Keep)]),
        };
    }
    let waits = !answered && caused();
    Some(vec![if waits { (1, Clocked::Start(ticks)) } else { (0, Clocked::Off) }])
}

fn caused(model: &Model, cause: &Trigger, given: Option<&Expr>, seen: &Seen) -> bool {
    let pressed = model.pressed(seen.before, seen.input);
    let present = match cause {
        Trigger::Always => true,
        Trigger::Press { button } => pressed.get(*button).copied().unwrap_or(false),
        Trigger::Message { any } => any.iter().any(|message| seen.before.sent[*message]),
        Trigger::Timer { .. } => false,
    };
    present
        && given.is_none_or(|given| {
            let snapshot = model.counted(seen.before);
            Sight { situation: &snapshot, pressed: &pressed, held: &seen.input.held }.holds(given)
        })
}

/// Whether one of the real presses of the tick counts.
fn some_press_counts(model: &Model, by: Option<usize>, seen: &Seen) -> bool {
    let buttons = (0..seen.input.pressed.len().min(model.real))
        .filter(|b| seen.input.pressed[*b] && !seen.before.simulated[*b]);
    buttons.into_iter().any(|b| press_counts(model, seen, b, by))
}

/// Whether this press counts: it brings some machine that shows something into another state, which it would not be in without
/// the press, or it changes its numbers while it stands still. A press that finds a machine on the move and only saves something
/// up for it (one more wag) is answered by the movement, which goes on because of it; whoever presses looks at that. One that
/// only starts a timer anew, or keeps a machine where it is for a tick, changes nothing that anybody could look for.
///
/// `by`: only for this machine, whatever is left of what it shows. Where a value from a machine left free would be stored without
/// the press, it may be any: numbers are then taken to differ. So they are where another way stores numbers that are coarse.
pub(crate) fn press_counts(model: &Model, seen: &Seen, b: usize, by: Option<usize>) -> bool {
    let mut without = seen.input.clone();
    without.pressed[b] = false;
    let Outcome { situation: mut other, picked } = step(&model.form, seen.before, &without);
    model.settle(&mut other);
    let known = |site: u32| site < model.own_sites || seen.picked.iter().any(|pick| pick.site == site);
    let marks = |picked: &[Pick]| -> Vec<u32> {
        picked.iter().map(|pick| pick.site).filter(|site| model.marks.contains(site)).collect()
    };
    let any = picked.iter().any(|pick| !known(pick.site)) || marks(seen.picked) != marks(&picked);
    let with = seen.after.machines.iter().zip(&seen.before.machines);
    let mut all = model.form.machines.iter().zip(with.zip(&other.machines)).enumerate();
    all.any(|(m, (machine, ((with, before), without)))| {
        by.map_or_else(|| shows(machine), |by| by == m)
            && (with.state != without.state && with.state != before.state
                || (any || with.numbers != without.numbers)
                    && !on_the_move(&model.form, machine, before.state))
    })
}

/// A state shorter than this is a stage of a movement (our threshold, from the displays' own figures, whose arms and tails
/// take 250 to 300 ms a stage).
const STAGE_MS: u32 = 500;

/// Whether time alone ends this state soon, with nothing that could prevent it.
fn on_the_move(form: &Form, machine: &Machine, state: usize) -> bool {
    let state = &machine.states[state];
    let ends = |timer: usize| {
        state.transitions.iter().any(|way| {
            matches!(way.trigger, Trigger::Timer { timer: on } if on == timer)
                && way.condition.is_none()
                && way.go.is_some()
        })
    };
    let short = |ticks: u32| ticks.saturating_mul(form.tick_ms) <= STAGE_MS;
    state.dwells.iter().any(|dwell| short(dwell.ticks) && ends(dwell.timer))
}

/// Whether a machine shows anything in any state.
pub(crate) fn shows(machine: &Machine) -> bool {
    machine
        .states
        .iter()
        .any(|state| state.pose.is_some() || !state.lights.is_empty() || !state.writes.is_empty())
        || machine.numbers.iter().any(|number| number.shown_on.is_some())
}

/// Whether a figure, or any, shows another pose after a tick.
pub(crate) fn poses_change(form: &Form, figure: Option<usize>, seen: &Seen) -> bool {
    let pose = |situation: &Situation, m: usize| {
        let shown = form.machines[m].states[situation.machines[m].state].pose.as_ref();
        shown.filter(|shown| figure.is_none_or(|figure| shown.figure == figure)).cloned()
    };
    // A figure belongs to one machine, so that poses can be compared machine by machine.
    (0..form.machines.len()).any(|m| pose(seen.before, m) != pose(seen.after, m))
}

fn digits_overflow(model: &Model, after: &Situation) -> bool {
    let frame = model.picture(after);
    frame.digits.iter().zip(&model.form.digits).any(|(shown, digits)| {
        let most = 10_i64.checked_pow(digits.count).unwrap_or(i64::MAX) - 1;
        shown.is_some_and(|shown| shown < 0 || i64::from(shown) > most)
    })
}
