//! Expressions of the machine form.

use serde::{Deserialize, Serialize};

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
    /// A setting.
    Setting {
        /// The setting, by position.
        i: usize,
    },
    /// Ticks left of a timer, 0 when it is off or due; only in what is shown.
    Left {
        /// The machine, by position.
        m: usize,
        /// The timer, by position in the machine.
        i: usize,
    },
    /// Which spot of a row it is, from 1; only where [`super::Lights::each`] is set.
    Spot,
    /// A value drawn from a bag: each from `lo` to `hi` comes once before any comes again; only as the whole of a stored
    /// value. A given value is held to the bounds; where it is out already, the next one above that is in counts, beyond
    /// the greatest from the least on.
    Draw {
        /// The place that picks, unique in the form.
        site: u32,
        /// The hidden own number with a bit for each value still in the bag, the least value in bit 0; 0 is a full bag.
        bag: usize,
        /// Least value.
        lo: i32,
        /// Greatest value; `hi - lo` is below 30.
        hi: i32,
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

/// Calls `look` with an expression's node and the nodes of everything it is made of, in the order of the text.
pub fn each_node<'a>(expr: &'a Expr, look: &mut dyn FnMut(&'a Node)) {
    look(&expr.node);
    match &expr.node {
        Node::Not { a } | Node::Neg { a } => each_node(a, look),
        Node::Two { a, b, .. } => {
            each_node(a, look);
            each_node(b, look);
        }
        _ => {}
    }
}
