//! What an expression comes to.

use super::{At, NO, Op, Question, Test, Truth, YES};

/// The tick at which a timer that is off is due.
pub(crate) const OFF: u64 = u64::MAX;

/// States, numbers and timers of all machines, one behind the other. A timer is the tick at which it is due.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Arrays {
    pub(crate) states: Vec<usize>,
    pub(crate) numbers: Vec<i32>,
    pub(crate) due: Vec<u64>,
}

impl Arrays {
    pub(crate) fn take(&mut self, other: &Self) {
        self.states.copy_from_slice(&other.states);
        self.numbers.copy_from_slice(&other.numbers);
        self.due.copy_from_slice(&other.due);
    }
}

/// What an expression may look at.
pub(crate) struct View<'a> {
    pub(crate) ops: &'a [Op],
    pub(crate) tests: &'a [Test],
    /// Own values as written so far.
    pub(crate) own: &'a Arrays,
    /// Everything foreign, as it was when the tick began.
    pub(crate) foreign: &'a Arrays,
    pub(crate) settings: &'a [i32],
    pub(crate) tick: u64,
    pub(crate) pressed: u64,
    pub(crate) held: u64,
}

impl View<'_> {
    /// Whether a condition holds.
    #[inline]
    pub(crate) fn holds(&self, condition: Truth) -> bool {
        let mut at = condition;
        while at < NO {
            let test = &self.tests[at];
            at = if self.is_so(test.asks) { test.yes } else { test.no };
        }
        at == YES
    }

    #[inline]
    fn is_so(&self, question: Question) -> bool {
        let from = |own: bool| if own { self.own } else { self.foreign };
        match question {
            Question::In { own, machine, states } => {
                let state = from(own).states[machine];
                state < 64 && states >> state & 1 != 0
            }
            Question::Compare { own, slot, f, with } => f.of(from(own).numbers[slot], with) != 0,
            Question::Running { own, slot } => {
                let due = from(own).due[slot];
                due > self.tick && due != OFF
            }
            Question::Due { own, slot } => from(own).due[slot] <= self.tick,
            Question::Held(button) => self.held & button != 0,
            Question::Pressed(button) => self.pressed & button != 0,
            Question::Value(at) => self.value(at) != 0,
        }
    }

    pub(crate) fn value(&self, at: At) -> i32 {
        let from = |own: bool| if own { self.own } else { self.foreign };
        match self.ops[at] {
            Op::Const(value) => value,
            Op::Number { own, slot } => from(own).numbers[slot],
            Op::In { own, machine, state } => i32::from(from(own).states[machine] == state),
            Op::Running { own, slot } => {
                let due = from(own).due[slot];
                i32::from(due > self.tick && due != OFF)
            }
            Op::Due { own, slot } => i32::from(from(own).due[slot] <= self.tick),
            Op::Held(button) => i32::from(self.held & button != 0),
            Op::Pressed(button) => i32::from(self.pressed & button != 0),
            Op::Setting(i) => self.settings[i],
            Op::Not(a) => i32::from(self.value(a) == 0),
            Op::Neg(a) => self.value(a).wrapping_neg(),
            Op::Two(f, a, b) => f.of(self.value(a), self.value(b)),
        }
    }
}
