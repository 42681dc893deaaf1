//! From a condition to a chain of questions.

use super::compile::{Compiling, bit};
use super::{NO, Question, Test, Truth, YES};
use rules::form::{Expr, Node, Two};

impl Compiling<'_> {
    /// A condition as a machine reads it, or somebody outside all machines.
    pub(crate) fn condition(&mut self, own: Option<usize>, expr: &Expr) -> Truth {
        self.truth(own, expr, YES, NO)
    }

    /// The first question of a condition that goes on to `yes` or `no`; the last ones are made first.
    fn truth(&mut self, own: Option<usize>, expr: &Expr, yes: Truth, no: Truth) -> Truth {
        let asks = match &expr.node {
            Node::Const { v } => return if *v == 0 { no } else { yes },
            Node::Not { a } => return self.truth(own, a, no, yes),
            Node::Two { f: Two::And, a, b } => {
                let then = self.truth(own, b, yes, no);
                return self.truth(own, a, then, no);
            }
            Node::Two { f: Two::Or, a, b } => {
                let otherwise = self.truth(own, b, yes, no);
                return self.truth(own, a, yes, otherwise);
            }
            Node::In { m, s } if *s < 64 => {
                Question::In { own: own == Some(*m), machine: *m, states: 1 << s }
            }
            Node::Two { f, a, b } => self.comparison(own, *f, a, b, expr),
            Node::Running { m, i } => Question::Running { own: own == Some(*m), slot: self.timer(*m, *i) },
            Node::Due { m, i } => Question::Due { own: own == Some(*m), slot: self.timer(*m, *i) },
            Node::Held { b } => Question::Held(bit(*b)),
            Node::Pressed { b } => Question::Pressed(bit(*b)),
            _ => Question::Value(self.expr(own, expr)),
        };
        let test = self.one_question(Test { asks, yes, no });
        self.tests.push(test);
        self.tests.len() - 1
    }

    /// A number against a constant, or something wider.
    fn comparison(&mut self, own: Option<usize>, f: Two, a: &Expr, b: &Expr, whole: &Expr) -> Question {
        match (&a.node, &b.node) {
            (Node::Number { m, i }, Node::Const { v }) => {
                Question::Compare { own: own == Some(*m), slot: self.number(*m, *i), f, with: *v }
            }
            _ => Question::Value(self.expr(own, whole)),
        }
    }

    /// `x is a or x is b` is one question.
    fn one_question(&self, test: Test) -> Test {
        let Some(next) = self.tests.get(test.no) else { return test };
        match (test.asks, next.asks) {
            (
                Question::In { own, machine, states },
                Question::In { own: next_own, machine: next_machine, states: more },
            ) if own == next_own && machine == next_machine && test.yes == next.yes => Test {
                asks: Question::In { own, machine, states: states | more },
                yes: test.yes,
                no: next.no,
            },
            _ => test,
        }
    }
}
