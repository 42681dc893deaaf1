//! The rules made ready to be played quickly: the same form in flat arrays, and ticks in which nothing can happen skipped.
//!
//! A timer is kept as the tick at which it is due, so that waiting costs nothing. What a tick means is fixed by
//! [`rules::step`]; tests hold this against it, tick by tick, on the suite, on random rules and over skipped stretches.

mod compile;
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
    pub(crate) machines: Vec<Machine>,
    pub(crate) timers: Vec<Timer>,
    pub(crate) ranges: Vec<(i32, i32)>,
    /// Timers whose running out somebody can notice.
    pub(crate) watched: Vec<usize>,
    pub(crate) prompts: Vec<Prompt>,
    pub(crate) bout: Option<At>,
}

/// The place of an expression.
pub(crate) type At = usize;

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
}

#[derive(Clone, Debug)]
pub(crate) struct Way {
    pub(crate) trigger: Trigger,
    pub(crate) condition: Option<At>,
    pub(crate) side: Option<usize>,
    pub(crate) actions: Vec<Action>,
    pub(crate) go: Option<usize>,
}

#[derive(Clone, Debug)]
pub(crate) enum Trigger {
    Always,
    Press(u64),
    Message(Box<[usize]>),
    Timer(usize),
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
    pub(crate) when: At,
    pub(crate) coming: Option<At>,
}
