//! Expressions as C.
//!
//! Every player counts in 32 bits; the controller's `int` has 16. An operation is worked out in `int32_t`, its operands
//! cast before it, as soon as its result or one of its operands needs more than 16 bits; everything else fits an `int` on
//! both sides.

use crate::names::Names;
use rules::form::{Expr, Form, Node, Two};

/// Which copy of the situation an expression reads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Reading {
    /// In a tick: own values as written so far, foreign ones as frozen.
    Tick,
    /// For a frame: everything as it is after the tick; no button is looked at.
    Frame,
}

/// Prints the expressions of one machine.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Printer<'a> {
    /// The form.
    pub(crate) form: &'a Form,
    /// Its names.
    pub(crate) names: &'a Names,
    /// The machine, by position.
    pub(crate) machine: usize,
    /// What is read.
    pub(crate) reading: Reading,
}

/// The bits that a signed whole number needs for a range.
pub(crate) fn bits(lo: i64, hi: i64) -> u8 {
    let fits = |least: i64, most: i64| lo >= least && hi <= most;
    if fits(-128, 127) {
        8
    } else if fits(-32_768, 32_767) {
        16
    } else {
        32
    }
}

/// A constant. Beyond 16 bits it has to be marked as long.
pub(crate) fn constant(value: i32) -> String {
    match value {
        i32::MIN => "(-2147483647L - 1)".to_owned(),
        -32_767..=32_767 => value.to_string(),
        _ => format!("{value}L"),
    }
}

impl Printer<'_> {
    /// The bits an expression has to be worked out in.
    pub(crate) fn width(&self, expr: &Expr) -> u8 {
        let own = match &expr.node {
            Node::Const { v } => bits((*v).into(), (*v).into()),
            Node::Number { m, i } => {
                let number = &self.form.machines[*m].numbers[*i];
                bits(number.min.into(), number.max.into())
            }
            Node::Setting { i } => {
                let setting = &self.form.settings[*i];
                bits(setting.min.into(), setting.max.into())
            }
            Node::Pick { lo, hi, .. } | Node::Draw { lo, hi, .. } => bits((*lo).into(), (*hi).into()),
            Node::Neg { a } => self.width(a),
            Node::Two { f, a, b } if !is_truth(*f) => self.width(a).max(self.width(b)),
            _ => 8,
        };
        own.max(expr.w)
    }

    /// An expression standing alone.
    pub(crate) fn whole(&self, expr: &Expr) -> String {
        match &expr.node {
            Node::Two { f, a, b } => self.two(*f, a, b, self.width(expr) == 32),
            _ => self.inner(expr),
        }
    }

    /// An expression as part of another.
    fn inner(&self, expr: &Expr) -> String {
        match &expr.node {
            Node::Const { v } if *v < 0 && *v != i32::MIN => format!("({})", constant(*v)),
            Node::Const { v } => constant(*v),
            Node::Number { m, i } => self.of(*m, &self.names.machines[*m].numbers[*i]),
            Node::In { m, s } => {
                format!("is_same({}, {})", self.of(*m, "state"), self.names.machines[*m].states[*s])
            }
            Node::Running { m, i } => {
                format!("is_running({})", self.of(*m, &self.names.machines[*m].timers[*i]))
            }
            Node::Due { m, i } => {
                format!("is_due({})", self.of(*m, &self.names.machines[*m].timers[*i]))
            }
            Node::Held { b } => self.button("held", "0", *b),
            Node::Pressed { b } => self.button("pressed", "now.simulated", *b),
            Node::Setting { i } => format!("settings.{}", self.names.settings[*i].0),
            Node::Left { m, i } => {
                let cast = if self.width(expr) == 32 { "" } else { "(int16_t)" };
                let timer = self.of(*m, &self.names.machines[*m].timers[*i]);
                format!("{cast}ticks_left({timer})")
            }
            Node::Spot => "spot".to_owned(),
            Node::Pick { lo, .. } | Node::Draw { lo, .. } => constant(*lo),
            Node::Not { a } => format!("(!{})", self.inner(a)),
            Node::Neg { a } => format!("(-{})", self.operand(a, self.width(expr) == 32)),
            Node::Two { f, a, b } => {
                let text = self.two(*f, a, b, self.width(expr) == 32);
                if matches!(f, Two::Min | Two::Max | Two::Eq) { text } else { format!("({text})") }
            }
        }
    }

    /// A field of a machine, in the copy that this machine may see.
    fn of(&self, machine: usize, field: &str) -> String {
        let copy = if machine == self.machine || self.reading == Reading::Frame { "now" } else { "then" };
        format!("{copy}.{}.{field}", self.names.machines[machine].name)
    }

    fn button(&self, tick: &str, frame: &str, button: usize) -> String {
        let bits = if self.reading == Reading::Tick { tick } else { frame };
        format!("is_in({bits}, {})", self.names.buttons[button])
    }

    /// An operand, cast when the operation is wide and it is not wide by itself.
    fn operand(&self, expr: &Expr, wide: bool) -> String {
        let text = self.inner(expr);
        if !wide {
            return text;
        }
        match &expr.node {
            Node::Const { v } if (-32_767..0).contains(v) => format!("({v}L)"),
            Node::Const { v } if (0..=32_767).contains(v) => format!("{v}L"),
            Node::Const { .. } => text,
            Node::Neg { .. } if self.width(expr) == 32 => text,
            Node::Two { f, .. } if !is_truth(*f) && self.width(expr) == 32 => text,
            _ => format!("(int32_t){text}"),
        }
    }

    fn two(&self, f: Two, a: &Expr, b: &Expr, wide: bool) -> String {
        if matches!(f, Two::And | Two::Or) {
            let sign = if f == Two::And { "&&" } else { "||" };
            return format!("{} {sign} {}", self.inner(a), self.inner(b));
        }
        let wide = wide || self.width(a).max(self.width(b)) == 32;
        let (left, right) = (self.operand(a, wide), self.operand(b, wide));
        let end = if wide { "_wide" } else { "" };
        let sign = match f {
            Two::Eq => return format!("is_same{end}({left}, {right})"),
            Two::Ne => return format!("!is_same{end}({left}, {right})"),
            Two::Min => return format!("lesser{end}({left}, {right})"),
            Two::Max => return format!("greater{end}({left}, {right})"),
            Two::Add => "+",
            Two::Sub => "-",
            Two::Mul => "*",
            Two::Div => "/",
            Two::Rem => "%",
            Two::Lt => "<",
            Two::Le => "<=",
            Two::Gt => ">",
            Two::Ge | Two::And | Two::Or => ">=",
        };
        format!("{left} {sign} {right}")
    }

    /// An expression held to a range, ready to be stored.
    pub(crate) fn held_to(&self, expr: &Expr, lo: i32, hi: i32) -> String {
        if let Node::Const { v } = expr.node {
            return constant(v.clamp(lo, hi));
        }
        let wide = self.width(expr).max(bits(lo.into(), hi.into())) == 32;
        let end = if wide { "_wide" } else { "" };
        format!("hold{end}({}, {}, {})", self.whole(expr), constant(lo), constant(hi))
    }
}

/// Whether an operation gives truth: 1 or 0.
fn is_truth(f: Two) -> bool {
    !matches!(f, Two::Add | Two::Sub | Two::Mul | Two::Div | Two::Rem | Two::Min | Two::Max)
}
