//! Claims that hold wherever machines and numbers are: no way there need be looked at.
//!
//! A claim of single situations is worked out for every state of the machines that it speaks of and every value of its numbers,
//! together. Situations of plays are among these, so that a claim that holds in all of them holds; one that does not may still
//! hold in all that can come about. (Induction in which no step is needed: M. Sheeran, S. Singh, G. Stålmarck, "Checking safety
//! properties using induction and a SAT-solver", FMCAD 2000; from memory.)

use crate::value::Sight;
use crate::watch::Watch;
use rules::form::{Expr, Form, Node, each_node};
use rules::step::{Clock, Situation, Start, begin_from};
use std::collections::BTreeSet;

/// More combinations than this are not tried.
const MOST: u64 = 1 << 18;

/// Something that a claim reads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Part {
    State(usize),
    Number(usize, usize),
    Timer(usize, usize),
    Setting(usize),
    Held(usize),
    Pressed(usize),
}

/// Whether the claim holds in any situation and tick whatever.
pub(crate) fn settle(form: &Form, watch: &Watch) -> bool {
    let (what, wanted) = match watch {
        Watch::Never(what) => (what, false),
        Watch::Always(what) => (what, true),
        _ => return false,
    };
    let Some(parts) = parts(what) else { return false };
    let counts = parts.iter().map(|part| part.values(form));
    let all = counts.clone().try_fold(1_u64, |all, count| all.checked_mul(count).filter(|all| *all <= MOST));
    let Some(all) = all else { return false };
    let mut any = Any {
        situation: begin_from(form, &Start::default(), &[]).situation,
        held: vec![false; form.buttons.len()],
        pressed: vec![false; form.buttons.len()],
    };
    let counts: Vec<u64> = counts.collect();
    (0..all).all(|mut nth| {
        for (part, count) in parts.iter().zip(&counts) {
            any.put(form, *part, nth % count);
            nth /= count;
        }
        any.sight().holds(what) == wanted
    })
}

/// What is read; none where a part has no values that could be tried.
fn parts(what: &Expr) -> Option<BTreeSet<Part>> {
    let (mut parts, mut all) = (BTreeSet::new(), true);
    each_node(what, &mut |node| {
        let part = match node {
            Node::In { m, .. } => Part::State(*m),
            Node::Number { m, i } => Part::Number(*m, *i),
            Node::Running { m, i } | Node::Due { m, i } => Part::Timer(*m, *i),
            Node::Setting { i } => Part::Setting(*i),
            Node::Held { b } => Part::Held(*b),
            Node::Pressed { b } => Part::Pressed(*b),
            Node::Left { .. } | Node::Spot | Node::Pick { .. } | Node::Draw { .. } => {
                all = false;
                return;
            }
            Node::Const { .. } | Node::Not { .. } | Node::Neg { .. } | Node::Two { .. } => return,
        };
        parts.insert(part);
    });
    all.then_some(parts)
}

impl Part {
    fn values(self, form: &Form) -> u64 {
        let within = |least: i32, most: i32| u64::from(least.abs_diff(most)) + 1;
        match self {
            Self::State(m) => form.machines[m].states.len() as u64,
            Self::Number(m, i) => within(form.machines[m].numbers[i].min, form.machines[m].numbers[i].max),
            Self::Setting(i) => within(form.settings[i].min, form.settings[i].max),
            Self::Timer(..) => 3,
            Self::Held(_) | Self::Pressed(_) => 2,
        }
    }
}

/// Any situation, and what is done in a tick.
struct Any {
    situation: Situation,
    held: Vec<bool>,
    pressed: Vec<bool>,
}

impl Any {
    fn sight(&self) -> Sight<'_> {
        Sight { situation: &self.situation, pressed: &self.pressed, held: &self.held }
    }

    /// Gives a part its value of this place, counted from 0.
    fn put(&mut self, form: &Form, part: Part, nth: u64) {
        let above = |least: i32| least.saturating_add_unsigned(u32::try_from(nth).unwrap_or(u32::MAX));
        match part {
            Part::State(m) => self.situation.machines[m].state = usize::try_from(nth).unwrap_or(0),
            Part::Number(m, i) => {
                self.situation.machines[m].numbers[i] = above(form.machines[m].numbers[i].min);
            }
            Part::Setting(i) => self.situation.settings[i] = above(form.settings[i].min),
            Part::Timer(m, i) => {
                self.situation.machines[m].timers[i] = match nth {
                    0 => Clock::Off,
                    1 => Clock::Due,
                    _ => Clock::Running(1),
                };
            }
            Part::Held(b) => self.held[b] = nth == 1,
            Part::Pressed(b) => self.pressed[b] = nth == 1,
        }
    }
}
