//! The machine form: the rules as every player reads them.
//!
//! The form is the only input to the Rust step, the browser's player and the C generator. Instances are expanded (one
//! machine for each side), names are resolved to positions, every expression node carries the width its value needs, and
//! transitions stand in order of priority. It is written as JSON; a player needs nothing but this and the inputs.

mod expr;

pub use expr::{Expr, Node, Two, each_node};

use serde::{Deserialize, Serialize};

/// The name of the format.
pub const FORMAT: &str = "lampwright-form";
/// Its version.
pub const VERSION: u32 = 2;

/// The rules of one display, ready to play.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Form {
    /// Always [`FORMAT`].
    pub format: String,
    /// Grows when the meaning or the shape of the form changes.
    pub version: u32,
    /// Length of a tick in milliseconds.
    pub tick_ms: u32,
    /// Seed of the random streams.
    pub seed: u32,
    /// The sides, in the order they are named.
    pub sides: Vec<String>,
    /// Constants that may be tuned within limits; they are compiled in wherever they are used.
    pub sliders: Vec<Slider>,
    /// What is set before play and only read by the rules: inputs of tick 0.
    pub settings: Vec<Setting>,
    /// The buttons, in the order of the input bits.
    pub buttons: Vec<String>,
    /// The figures that can show poses, in the order of the frame.
    pub figures: Vec<Figure>,
    /// The single spots, in the order of the frame: `club.1` to `club.7` are seven of them.
    pub spots: Vec<String>,
    /// The digits, in the order of the frame.
    pub digits: Vec<Digits>,
    /// The sounds, in the order of the frame.
    pub sounds: Vec<String>,
    /// Every pair of a message and a machine that sends it: one bit each.
    pub messages: Vec<Message>,
    /// How many places pick at random; a place picks at most once in a tick.
    pub pick_sites: u32,
    /// The machines side by side.
    pub machines: Vec<Machine>,
    /// What the builder claims of every play. No player reads them.
    pub claims: Vec<Claim>,
    /// What a person in front of the display waits for. No player reads them; none, and the form does not mention them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub prompts: Vec<Prompt>,
    /// True while a bout lasts: from the first tick to the last of one game. No player reads it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bout: Option<Expr>,
}

impl Form {
    /// The kept numbers, by machine and number, in the order in which they are given to tick 0 and kept after a tick.
    pub fn kept(&self) -> Vec<(usize, usize)> {
        let of = |(m, machine): (usize, &Machine)| {
            let kept = machine.numbers.iter().enumerate().filter(|(_, number)| number.kept);
            kept.map(|(i, _)| (m, i)).collect::<Vec<_>>()
        };
        self.machines.iter().enumerate().flat_map(of).collect()
    }
}

/// A constant with limits. Its place in the text is found by its name: [`crate::constant_place`].
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Slider {
    /// Its name.
    pub name: String,
    /// The value it was written with, in its unit.
    pub value: i64,
    /// Least value, in its unit.
    pub min: i64,
    /// Greatest value, in its unit.
    pub max: i64,
    /// What it counts.
    pub unit: Unit,
}

/// What a constant counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Unit {
    /// Milliseconds, a whole number of ticks.
    Ms,
    /// Nothing but itself.
    Number,
}

/// A value that is set before play.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Setting {
    /// Its name.
    pub name: String,
    /// Least value; a smaller one counts as this.
    pub min: i32,
    /// Greatest value; a greater one counts as this.
    pub max: i32,
    /// Its value where nothing is set.
    pub start: i32,
}

/// Something claimed of every play, looked at after each tick.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Claim {
    /// Its name.
    pub name: String,
    /// What is claimed.
    pub claim: Claimed,
}

/// What a claim says.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "says", rename_all = "lowercase", deny_unknown_fields)]
pub enum Claimed {
    /// This is true after no tick.
    Never {
        /// A condition.
        what: Expr,
    },
    /// This is true after every tick.
    Always {
        /// A condition.
        what: Expr,
    },
    /// A cause in tick n makes it true after one of the ticks n to n + `ticks`.
    Leads {
        /// The cause; never a timer.
        cause: Trigger,
        /// Besides, or alone where the cause is [`Trigger::Always`]: a condition.
        given: Option<Expr>,
        /// A condition.
        to: Expr,
        /// How long it may take.
        ticks: u32,
    },
}

/// What a person waits for and then presses: the moment at which `when` becomes true, read after a tick.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Prompt {
    /// Its name; `catch.west` for one of those that exist once a side.
    pub name: String,
    /// Whose it is: the side it exists for, or that of its button. None is for whoever plays alone.
    pub side: Option<usize>,
    /// The button to press, by position.
    pub button: usize,
    /// True while a press is what is wanted.
    pub when: Expr,
    /// While this is true, the person sees the moment coming and can aim at it. None comes suddenly.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub coming: Option<Expr>,
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
    /// Its timers: named ones first, then hidden ones, which no condition can ask about.
    pub timers: Vec<Timer>,
    /// The presses it remembers.
    pub remembers: Vec<Remember>,
    /// How it settles that both sides act in one tick.
    pub ties: Option<Ties>,
    /// Its states; the first is the initial one.
    pub states: Vec<State>,
}

/// A press that this machine did not answer in its tick, and still hears for a while.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Remember {
    /// The button, by position.
    pub button: usize,
    /// The hidden timer that runs, or is due, while the press is remembered.
    pub timer: usize,
    /// For how many ticks after its own the press is heard, at least 1.
    pub ticks: u32,
}

/// What settles a tie: ways out for different sides could go in the same tick. The favoured one's ways are kept, those of
/// the other sides are out, and their presses and remembered presses vanish for this machine.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "how", rename_all = "lowercase", deny_unknown_fields)]
pub enum Ties {
    /// This side, or the next one in turn that is tied.
    First {
        /// The side, by position.
        side: usize,
    },
    /// The side whose turn it is (or the next one in turn that is tied); then it is the turn of the side after it.
    Alternately {
        /// The hidden number that holds whose turn it is, from 0.
        turn: usize,
    },
    /// The side that is picked, counted from 1 (or the next one in turn that is tied).
    Random {
        /// The place that picks.
        site: u32,
    },
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
    /// The digits that show it while no state writes on them, by position.
    pub shown_on: Option<usize>,
    /// Whether its value is kept for the next time: an input of tick 0, in place of `start`.
    pub kept: bool,
}

/// A timer. It counts ticks down from what it was started with; at 0 it is due.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Timer {
    /// Its name; a hidden one is called after what it serves, as in `asleep+30`.
    pub name: String,
    /// Whether it is a dwell timer: started on entry to its state, stopped when the state is left.
    pub dwell: bool,
    /// Whether it starts anew with `max` where another timer would be due.
    pub cycle: bool,
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
    /// What it writes on digits.
    pub writes: Vec<Writes>,
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

/// A number that a state writes on digits, in place of what they show otherwise. Of several machines that write on the
/// same digits, the first in the form's order is seen. Evaluated on the situation after the tick.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Writes {
    /// The digits, by position.
    pub digits: usize,
    /// The number; it always fits.
    pub value: Expr,
    /// Whether its leading zeros are lit.
    pub zeros: bool,
    /// None is steady.
    pub flash: Option<Flash>,
}

/// Shown and dark in turn.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Flash {
    /// The hidden cyclic timer.
    pub timer: usize,
    /// Dark while this many ticks or fewer are left.
    pub dark: u32,
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
    /// Whether each of them is lit in turn; then level and condition are worked out for each, with [`Node::Spot`].
    pub each: bool,
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
    /// The side whose doing this answers, where the machine settles ties.
    pub side: Option<usize>,
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
    /// Begins a sound; the frame of this tick says so.
    Play {
        /// The sound, by position.
        sound: usize,
    },
}
