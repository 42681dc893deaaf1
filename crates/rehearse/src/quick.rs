//! The rules made ready to be played quickly: the same form in flat arrays, and ticks in which nothing can happen skipped.
//!
//! A timer is kept as the tick at which it is due, so that waiting costs nothing. What a tick means is fixed by
//! [`rules::step`]; tests hold this against it, tick by tick, on the suite, on random rules and over skipped stretches.

mod compile;
mod condition;
mod play;
mod value;

pub use play::Play;

use rules::form::Form;

/// Why rules cannot be rehearsed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unfit(pub(crate) String);

impl core::fmt::Display for Unfit {
    fn fmt(&self, out: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        out.write_str(&self.0)
    }
}

/// Rules ready to be played; shared by all games.
#[derive(Clone, Debug)]
pub struct Rules {
    pub(crate) form: Form,
    pub(crate) ops: Vec<Op>,
    pub(crate) tests: Vec<Test>,
    pub(crate) machines: Vec<Machine>,
    pub(crate) timers: Vec<Timer>,
    pub(crate) ranges: Vec<(i32, i32)>,
    pub(crate) prompts: Vec<Prompt>,
    pub(crate) bout: Option<(Truth, Machines)>,
}

/// Some of the machines, a bit for each; beyond 64 machines share bits, which costs time and changes nothing.
pub(crate) type Machines = u64;

/// The bit of a machine.
pub(crate) fn machine_bit(m: usize) -> Machines {
    1 << (m % 64)
}

/// The place of an expression.
pub(crate) type At = usize;

/// The place of a condition's first test, or what it always comes to.
pub(crate) type Truth = usize;
/// The condition holds.
pub(crate) const YES: Truth = usize::MAX;
/// The condition does not hold.
pub(crate) const NO: Truth = usize::MAX - 1;

/// One question of a condition, and where it goes on: a condition is a chain of questions without `and`, `or` and `not`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Test {
    pub(crate) asks: Question,
    pub(crate) yes: Truth,
    pub(crate) no: Truth,
}

/// `Own` is read as written so far, the rest as it was when the tick began.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Question {
    /// Whether a machine is in one of these states, a bit for each of the first 64.
    In {
        own: bool,
        machine: usize,
        states: u64,
    },
    Compare {
        own: bool,
        slot: usize,
        f: rules::form::Two,
        with: i32,
    },
    Running {
        own: bool,
        slot: usize,
    },
    Due {
        own: bool,
        slot: usize,
    },
    Held(u64),
    Pressed(u64),
    /// Whether an expression is anything but 0.
    Value(At),
}

/// A part of an expression. `Own` is read as written so far, the rest as it was when the tick began.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Op {
    Const(i32),
    Number { own: bool, slot: usize },
    In { own: bool, machine: usize, state: usize },
    Running { own: bool, slot: usize },
    Due { own: bool, slot: usize },
    Held(u64),
    Pressed(u64),
    Setting(usize),
    Not(At),
    Neg(At),
    Two(rules::form::Two, At, At),
}

/// How a timer behaves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Timer {
    /// Runs down, then is due.
    Plain,
    /// Starts anew instead of being due; only light asks for it.
    Cycle(u64),
    /// A remembered press: off once its last tick is over.
    Remember,
}

#[derive(Clone, Debug)]
pub(crate) struct Machine {
    pub(crate) number: usize,
    pub(crate) numbers: usize,
    pub(crate) timer: usize,
    pub(crate) timers: usize,
    pub(crate) states: Vec<State>,
    pub(crate) remembers: Vec<Remember>,
    pub(crate) ties: Option<Ties>,
    /// Its timers whose running out somebody can notice.
    pub(crate) watched: Vec<usize>,
}

#[derive(Clone, Copy, Debug)]
pub(crate) struct Remember {
    pub(crate) button: u64,
    pub(crate) slot: usize,
    pub(crate) ticks: u64,
}

#[derive(Clone, Copy, Debug)]
pub(crate) enum Ties {
    First(usize),
    /// The hidden number that holds whose turn it is.
    Alternately(usize),
    Random,
}

#[derive(Clone, Debug)]
pub(crate) struct State {
    pub(crate) dwells: Vec<(usize, u64)>,
    pub(crate) entry: Vec<Action>,
    pub(crate) exit: Vec<Action>,
    pub(crate) ways: Vec<Way>,
    pub(crate) wakes: Wakes,
}

/// What can make a way out of a state possible; while none of it happens, the state need not be looked at.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Wakes {
    /// These machines acted in the tick before, or a timer of theirs runs out in this.
    pub(crate) machines: Machines,
    /// One of these buttons is pressed.
    pub(crate) buttons: u64,
    /// One of these messages was sent.
    pub(crate) messages: u64,
    /// All bits, or none: anything about buttons is other than it was.
    pub(crate) hands: u64,
}

impl Wakes {
    /// Whether any of it is there.
    #[inline]
    pub(crate) fn by(&self, there: &Self) -> bool {
        self.machines & there.machines
            | self.buttons & there.buttons
            | self.messages & there.messages
            | self.hands & there.hands
            != 0
    }
}

#[derive(Clone, Debug)]
pub(crate) struct Way {
    /// What can make this way possible, its machine standing still.
    pub(crate) wakes: Wakes,
    pub(crate) trigger: Trigger,
    pub(crate) condition: Truth,
    pub(crate) side: Option<usize>,
    pub(crate) actions: Vec<Action>,
    pub(crate) go: Option<usize>,
}

/// What must be present. Exactly one of the three is there; the others are never present.
#[derive(Clone, Debug)]
pub(crate) struct Trigger {
    /// A button's bit.
    pub(crate) button: u64,
    /// A timer; behind the last one stand one that is always due, for ways without a cause, and one that never is.
    pub(crate) timer: usize,
    /// Messages, a bit for each; beyond 64 messages share bits.
    pub(crate) messages: u64,
    /// The same messages by position.
    pub(crate) any: Box<[usize]>,
}

#[derive(Clone, Debug)]
pub(crate) enum Action {
    Set { slot: usize, to: Stored },
    Start { slot: usize, longest: i32, ticks: Stored },
    Stop(usize),
    Send(usize),
    Press(u64),
    Play(usize),
}

/// A value about to be stored.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Stored {
    Value(At),
    Pick { lo: i32, hi: i32 },
    Draw { bag: usize, lo: i32, hi: i32 },
}

/// What somebody waits for.
#[derive(Clone, Debug)]
pub(crate) struct Prompt {
    pub(crate) side: Option<usize>,
    pub(crate) button: u64,
    pub(crate) when: Truth,
    pub(crate) coming: Option<Truth>,
    /// The machines that both ask about.
    pub(crate) asks: Machines,
}
