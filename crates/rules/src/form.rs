//! The machine form: the rules as every player reads them.
//!
//! The form is the only input to the Rust step, the browser's player and the C generator. Instances are expanded (one
//! machine for each side), names are resolved to positions, every expression node carries the width its value needs, and
//! transitions stand in order of priority. It is written as JSON; a player needs nothing but this and the inputs.

use serde::{Deserialize, Serialize};

/// The rules of one display, ready to play.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Form {
    /// Always `lampwright-form`.
    pub format: String,
    /// Grows when the meaning or the shape of the form changes.
    pub version: u32,
    /// Length of a tick in milliseconds.
    pub tick_ms: u32,
    /// Seed of the random streams.
    pub seed: u32,
    /// The buttons, in the order of the input bits.
    pub buttons: Vec<String>,
    /// The figures that can show poses, in the order of the frame.
    pub figures: Vec<Figure>,
    /// The single spots, in the order of the frame: `club.1` to `club.7` are seven of them.
    pub spots: Vec<String>,
    /// The digits, in the order of the frame.
    pub digits: Vec<Digits>,
    /// Every pair of a message and a machine that sends it: one bit each.
    pub messages: Vec<Message>,
    /// How many places pick at random; a place picks at most once in a tick.
    pub pick_sites: u32,
    /// The machines side by side.
    pub machines: Vec<Machine>,
}

/// A figure and the poses it can show.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Figure {
    /// The figure's name in the rules.
    pub name: String,
    /// Its poses, in the order of their numbers.
    pub poses: Vec<String>,
}

/// Home-made digits side by side.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Digits {
    /// Their name in the rules.
    pub name: String,
    /// How many.
    pub count: u32,
}

/// A message from one sender.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Message {
    /// The message.
    pub name: String,
    /// The machine that sends it, by position.
    pub sender: usize,
}

/// One machine.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Machine {
    /// Its name; `juggler.west` for an instance of a machine that exists once a side.
    pub name: String,
    /// Its whole numbers.
    pub numbers: Vec<Number>,
    /// Its timers: named ones first, then the hidden dwell timers of its states.
    pub timers: Vec<Timer>,
    /// Its states; the first is the initial one.
    pub states: Vec<State>,
}

/// A bounded whole number.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Number {
    /// Its name.
    pub name: String,
    /// Least value; a smaller one is stored as this.
    pub min: i32,
    /// Greatest value; a greater one is stored as this.
    pub max: i32,
    /// Value at tick 0.
    pub start: i32,
    /// The digits that show it, by position.
    pub shown_on: Option<usize>,
}

/// A timer. It counts ticks down from what it was started with; at 0 it is due.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Timer {
    /// Its name; a dwell timer is called after its state, as in `asleep+30`.
    pub name: String,
    /// Whether it is a dwell timer: started on entry to its state, stopped when the state is left.
    pub dwell: bool,
    /// The longest it can ever be started for, in ticks.
    pub max: u32,
}

/// One state of a machine.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct State {
    /// Its name.
    pub name: String,
    /// The dwell timers that entering this state starts: timer position and ticks.
    pub dwells: Vec<Dwell>,
    /// What is done on entry, after the dwell timers are started.
    pub entry: Vec<Action>,
    /// What is done on exit.
    pub exit: Vec<Action>,
    /// The pose it shows.
    pub pose: Option<Shows>,
    /// The spots it lights.
    pub lights: Vec<Lights>,
    /// The ways out, first written first.
    pub transitions: Vec<Transition>,
}

/// A dwell timer and the ticks it starts with.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Dwell {
    /// The timer, by position in its machine.
    pub timer: usize,
    /// Ticks, at least 1.
    pub ticks: u32,
}

/// A pose of a figure.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Shows {
    /// The figure, by position.
    pub figure: usize,
    /// The pose, by position in the figure.
    pub pose: usize,
}

/// Spots that a state lights. Evaluated on the situation after the tick.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lights {
    /// The first spot, by position.
    pub first: usize,
    /// How many spots the name stands for.
    pub count: u32,
    /// Which of them, from 1; out of range saturates. None lights the only one.
    pub index: Option<Expr>,
    /// How bright, 0 to 255; out of range saturates. Where several light a spot, the brightest wins.
    pub level: Expr,
    /// Only while this is true.
    pub when: Option<Expr>,
}

/// One way out of a state (or a reaction that stays in it).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Transition {
    /// Its place in the order of this state's transitions, from 0; the least that can go, goes.
    pub priority: u32,
    /// What must be present.
    pub trigger: Trigger,
    /// What must be true, besides.
    pub condition: Option<Expr>,
    /// What is done between exit and entry.
    pub actions: Vec<Action>,
    /// The state it goes to; none stays, without exit and entry.
    pub go: Option<usize>,
}

/// What must be present for a transition.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "on", rename_all = "lowercase", deny_unknown_fields)]
pub enum Trigger {
    /// Nothing: the condition alone decides, every tick.
    Always,
    /// An edge of a button, real or simulated.
    Press {
        /// The button, by position.
        button: usize,
    },
    /// Any of these messages sent in the tick before.
    Message {
        /// Positions in [`Form::messages`].
        any: Vec<usize>,
    },
    /// An own timer that is due. Firing takes the due flag away.
    Timer {
        /// The timer, by position in its machine.
        timer: usize,
    },
}

/// Something done when a transition is taken.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "do", rename_all = "lowercase", deny_unknown_fields)]
pub enum Action {
    /// Stores a value in an own number, held to its range.
    Set {
        /// The number, by position in its machine.
        number: usize,
        /// The value.
        to: Expr,
    },
    /// Starts an own timer with 1 to its longest ticks; it first counts in the next tick.
    Start {
        /// The timer, by position in its machine.
        timer: usize,
        /// The ticks.
        ticks: Expr,
    },
    /// Stops an own timer: neither running nor due.
    Stop {
        /// The timer, by position in its machine.
        timer: usize,
    },
    /// Sends a message, heard in the next tick.
    Send {
        /// Position in [`Form::messages`].
        message: usize,
    },
    /// Simulates a press, an input of the next tick.
    Press {
        /// The button, by position.
        button: usize,
    },
}

/// An expression: a width and what it is made of. Truth is 1 and 0.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Expr {
    /// Bits a signed whole number needs for every value this node can have: 8, 16 or 32.
    pub w: u8,
    /// What it is made of.
    #[serde(flatten)]
    pub node: Node,
}

/// What an expression is made of.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "op", rename_all = "lowercase")]
pub enum Node {
    /// A constant.
    Const {
        /// Its value.
        v: i32,
    },
    /// A number: an own one as written so far, a foreign one as in the snapshot.
    Number {
        /// The machine, by position.
        m: usize,
        /// The number, by position in the machine.
        i: usize,
    },
    /// Whether a machine is in a state.
    In {
        /// The machine, by position.
        m: usize,
        /// The state, by position in the machine.
        s: usize,
    },
    /// Whether a timer is running.
    Running {
        /// The machine, by position.
        m: usize,
        /// The timer, by position in the machine.
        i: usize,
    },
    /// Whether a timer is due.
    Due {
        /// The machine, by position.
        m: usize,
        /// The timer, by position in the machine.
        i: usize,
    },
    /// Whether a real button is held down.
    Held {
        /// The button, by position.
        b: usize,
    },
    /// Whether a button's edge, real or simulated, is among this tick's inputs.
    Pressed {
        /// The button, by position.
        b: usize,
    },
    /// A random whole number from `lo` to `hi`; only as the whole of a stored value or of a timer's ticks.
    Pick {
        /// The place that picks, unique in the form.
        site: u32,
        /// Least value.
        lo: i32,
        /// Greatest value; `hi - lo` is below 65536.
        hi: i32,
    },
    /// One operand.
    #[serde(rename = "not")]
    Not {
        /// The operand.
        a: Box<Expr>,
    },
    /// Negative of the operand.
    Neg {
        /// The operand.
        a: Box<Expr>,
    },
    /// Two operands.
    #[serde(rename = "two")]
    Two {
        /// What is done with them.
        f: Two,
        /// Left operand.
        a: Box<Expr>,
        /// Right operand.
        b: Box<Expr>,
    },
}

/// Operations with two operands. `And` and `Or` need not look at the right one when the left decides; nothing can tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Two {
    /// Sum.
    Add,
    /// Difference.
    Sub,
    /// Product.
    Mul,
    /// Quotient, cut off toward zero; the divisor is never 0.
    Div,
    /// Remainder; left never negative, right always positive.
    Rem,
    /// Lesser.
    Min,
    /// Greater.
    Max,
    /// Equal.
    Eq,
    /// Not equal.
    Ne,
    /// Less.
    Lt,
    /// Less or equal.
    Le,
    /// Greater.
    Gt,
    /// Greater or equal.
    Ge,
    /// Both.
    And,
    /// Either.
    Or,
}
