//! Names of variables, and expressions over them.

use super::Unsaid;
use rules::form::{Expr, Form, Node, Two};
use std::collections::BTreeSet;

/// An expression longer than this is refused: the lesser and the greater of two name each of them twice.
const LONGEST: usize = 50_000;

/// A variable that some machine owns, by machine and place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Var {
    State(usize),
    Number(usize, usize),
    Timer(usize, usize),
}

impl Var {
    fn owner(self) -> usize {
        match self {
            Self::State(m) | Self::Number(m, _) | Self::Timer(m, _) => m,
        }
    }

    pub(super) fn name(self) -> String {
        match self {
            Self::State(m) => format!("s{m}"),
            Self::Number(m, i) => format!("n{m}_{i}"),
            Self::Timer(m, i) => format!("t{m}_{i}"),
        }
    }
}

/// Who reads, and what has been read so far.
pub(super) struct Reading<'a> {
    pub(super) form: &'a Form,
    /// The process's name, in front of what no situation holds.
    pub(super) process: &'a str,
    /// Variables whose value before the tick's writes is read.
    pub(super) before: BTreeSet<Var>,
    pub(super) settings: BTreeSet<usize>,
}

impl Reading<'_> {
    /// A variable that lives within a tick only.
    pub(super) fn scratch(&self, name: &str) -> String {
        format!("{}_{name}", self.process)
    }

    /// The value of a variable before the tick's writes.
    pub(super) fn old(&self, var: Var) -> String {
        self.scratch(&format!("o_{}", var.name()))
    }

    /// A variable as machine `m` sees it, or as it stands where nobody's eyes are meant. The machines' turns go by their
    /// places, so that of those behind it nothing is written yet.
    fn var(&mut self, m: Option<usize>, var: Var) -> String {
        if m.is_some_and(|m| var.owner() < m) {
            self.before.insert(var);
            return self.old(var);
        }
        var.name()
    }

    /// An expression as machine `m` reads it in its turn; with no machine, as a claim reads what is.
    pub(super) fn expr(&mut self, m: Option<usize>, expr: &Expr) -> Result<String, Unsaid> {
        let text = match &expr.node {
            Node::Const { v } if *v == i32::MIN => format!("({} - 1)", i32::MIN + 1),
            Node::Const { v } if *v < 0 => format!("({v})"),
            Node::Const { v } => v.to_string(),
            Node::Number { m: of, i } => self.var(m, Var::Number(*of, *i)),
            Node::In { m: of, s } => format!("({} == {s})", self.var(m, Var::State(*of))),
            Node::Running { m: of, i } => format!("({} > 1)", self.var(m, Var::Timer(*of, *i))),
            Node::Due { m: of, i } => format!("({} == 1)", self.var(m, Var::Timer(*of, *i))),
            Node::Setting { i } => {
                self.settings.insert(*i);
                format!("g{i}")
            }
            Node::Held { b } if m.is_some() => format!("h{b}"),
            Node::Pressed { b } if m.is_some() => self.scratch(&format!("e{b}")),
            Node::Held { .. } | Node::Pressed { .. } => {
                return Err(Unsaid("a claim that reads a button has no words in the model".into()));
            }
            Node::Left { .. } => return Err(Unsaid("time left decides nothing in the model".into())),
            Node::Spot => return Err(Unsaid("the place in a row decides nothing in the model".into())),
            Node::Pick { .. } | Node::Draw { .. } => {
                return Err(Unsaid("a pick or a draw is only ever the whole of a stored value".into()));
            }
            Node::Not { a } => format!("({} == 0)", self.expr(m, a)?),
            Node::Neg { a } => format!("(0 - {})", self.expr(m, a)?),
            Node::Two { f, a, b } => two(*f, &self.expr(m, a)?, &self.expr(m, b)?),
        };
        if text.len() > LONGEST {
            return Err(Unsaid(format!("an expression would have more than {LONGEST} letters in the model")));
        }
        Ok(text)
    }
}

/// Promela computes with the whole numbers of C: quotients cut off toward zero, truth is 1 and 0. That nothing passes 32 bits
/// and nothing is divided by 0, the reader of the rules has proved.
fn two(f: Two, a: &str, b: &str) -> String {
    let sign = match f {
        Two::Add => "+",
        Two::Sub => "-",
        Two::Mul => "*",
        Two::Div => "/",
        Two::Rem => "%",
        Two::Eq => "==",
        Two::Ne => "!=",
        Two::Lt => "<",
        Two::Le => "<=",
        Two::Gt => ">",
        Two::Ge => ">=",
        Two::And => "&&",
        Two::Or => "||",
        Two::Min => return format!("({a} < {b} -> {a} : {b})"),
        Two::Max => return format!("({a} > {b} -> {a} : {b})"),
    };
    format!("({a} {sign} {b})")
}

/// The value held to a range; `value` is a name.
pub(super) fn held_to(value: &str, least: i32, most: i64) -> String {
    format!("({value} < {least} -> {least} : ({value} > {most} -> {most} : {value}))")
}

/// The smallest type of Promela that holds a range.
pub(super) fn kind(least: i64, most: i64) -> &'static str {
    match (least, most) {
        (0.., ..=1) => "bit",
        (0.., ..=255) => "byte",
        (-32_768.., ..=32_767) => "short",
        _ => "int",
    }
}
