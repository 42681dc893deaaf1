//! The meaning of expressions: kinds, and the interval of values that every node can have.
//!
//! The intervals prove that no node leaves 32 bits, that no divisor is 0 and that no remainder is taken of something
//! negative; and they give each node its width.

use crate::codes;
use crate::expression::MAX_DEPTH;
use crate::form::{Expr, Node, Two};
use crate::names::{Condition, Lookup, Outside, Within};
use crate::syntax::{Ex, ExKind, Name, Path, Span};
use finding::suggestion;

/// No text may ask for more expression nodes than this, copies included.
pub(crate) const MAX_NODES: usize = 1_000_000;

/// A checked expression.
#[derive(Clone, Debug)]
pub(crate) struct Typed {
    pub(crate) expr: Expr,
    pub(crate) lo: i64,
    pub(crate) hi: i64,
    /// Truth, not a number.
    pub(crate) truth: bool,
    /// Written with a unit of time somewhere.
    pub(crate) unit: bool,
    /// Made of nothing that changes.
    pub(crate) fixed: bool,
    pub(crate) span: Span,
}

/// The least of 8, 16 and 32 bits that holds a whole interval.
fn width(lo: i64, hi: i64) -> u8 {
    let fits = |least: i64, most: i64| least <= lo && hi <= most;
    if fits(i64::from(i8::MIN), i64::from(i8::MAX)) {
        8
    } else if fits(i64::from(i16::MIN), i64::from(i16::MAX)) {
        16
    } else {
        32
    }
}

fn truth(node: Node, span: Span) -> Typed {
    Typed { expr: Expr { w: 8, node }, lo: 0, hi: 1, truth: true, unit: false, fixed: false, span }
}

impl Lookup<'_> {
    /// A number.
    pub(crate) fn number(&mut self, ex: &Ex) -> Option<Typed> {
        let typed = self.typed(ex)?;
        self.as_number(typed)
    }

    fn as_number(&mut self, typed: Typed) -> Option<Typed> {
        if !typed.truth {
            return Some(typed);
        }
        let fault = self.fault(codes::KIND, typed.span, "this is true or false, not a number");
        self.refuse(fault.expected("expected a number"))
    }

    /// Something true or false.
    pub(crate) fn condition(&mut self, ex: &Ex) -> Option<Typed> {
        let typed = self.typed(ex)?;
        self.as_truth(typed)
    }

    fn as_truth(&mut self, typed: Typed) -> Option<Typed> {
        if typed.truth {
            return Some(typed);
        }
        let fault = self.fault(codes::KIND, typed.span, "this is a number, not true or false");
        self.refuse(fault.expected("expected a condition, such as a comparison"))
    }

    /// A number that never changes.
    pub(crate) fn constant(&mut self, ex: &Ex) -> Option<(i32, Typed)> {
        let typed = self.number(ex)?;
        if !typed.fixed {
            let fault = self.fault(codes::CONSTANT_NEEDED, ex.span, "this can change during play");
            return self.refuse(fault.expected("expected a number or a duration that is fixed"));
        }
        Some((i32::try_from(typed.lo).ok()?, typed))
    }

    /// A fixed number of ticks must be written as a time.
    pub(crate) fn with_unit(&mut self, typed: Typed) -> Option<Typed> {
        if !typed.fixed || typed.unit {
            return Some(typed);
        }
        let fault = self
            .fault(codes::UNIT_MISSING, typed.span, "a duration has no unit")
            .expected("expected `ms`, `s` or `min` behind the number");
        self.refuse(fault)
    }

    /// The meaning of any expression; none after a fault.
    pub(crate) fn typed(&mut self, ex: &Ex) -> Option<Typed> {
        self.nodes += 1;
        if self.nodes > MAX_NODES {
            if self.nodes == MAX_NODES + 1 {
                let fault = self.fault(codes::TOO_MANY, ex.span, "these rules are too large to be played");
                self.faults
                    .push(fault.expected(format!("expected at most {MAX_NODES} parts of expressions")));
            }
            return None;
        }
        if self.depth > MAX_DEPTH {
            let message = format!("with its conditions this expression is nested more than {MAX_DEPTH} deep");
            let fault = self.fault(codes::TOO_DEEP, ex.span, message);
            return self.refuse(fault.expected("expected simpler conditions"));
        }
        self.depth += 1;
        let typed = self.meaning(ex);
        self.depth -= 1;
        typed
    }

    fn meaning(&mut self, ex: &Ex) -> Option<Typed> {
        match &ex.kind {
            ExKind::Int(value) => self.plain(ex.span, *value, false),
            ExKind::Duration(ms) => {
                let ticks = self.ticks(ex.span, *ms)?;
                self.plain(ex.span, ticks, true)
            }
            ExKind::Value(path) => self.value(path),
            ExKind::Neg(a) => {
                let a = self.number(a)?;
                let (lo, hi, unit, fixed) = (-a.hi, -a.lo, a.unit, a.fixed);
                self.ranged(ex.span, Node::Neg { a: Box::new(a.expr) }, (lo, hi), unit, fixed)
            }
            ExKind::Not(a) => {
                let a = self.condition(a)?;
                Some(truth(Node::Not { a: Box::new(a.expr) }, ex.span))
            }
            ExKind::Two(f, a, b) => self.two(ex.span, *f, a, b),
            ExKind::Is { what, not, word } => {
                let is = self.is(ex.span, what, word)?;
                Some(if *not { truth(Node::Not { a: Box::new(is.expr) }, ex.span) } else { is })
            }
            ExKind::Held(path) => {
                let b = self.asked_button(ex.span, path)?;
                Some(truth(Node::Held { b }, ex.span))
            }
            ExKind::Pressed(path) => {
                let b = self.asked_button(ex.span, path)?;
                Some(truth(Node::Pressed { b }, ex.span))
            }
            ExKind::Pick(lo, hi) => self.pick(ex.span, lo, hi),
            ExKind::Draw(bag) => self.draw(ex.span, bag),
            ExKind::Left(timer) => self.seconds_left(ex.span, timer),
        }
    }

    /// A constant.
    pub(crate) fn plain(&mut self, span: Span, value: i64, unit: bool) -> Option<Typed> {
        let v = i32::try_from(value).unwrap_or(0);
        self.ranged(span, Node::Const { v }, (value, value), unit, true)
    }

    /// A node of numbers, if its interval fits.
    fn ranged(
        &mut self,
        span: Span,
        node: Node,
        (lo, hi): (i64, i64),
        unit: bool,
        fixed: bool,
    ) -> Option<Typed> {
        if lo < i64::from(i32::MIN) || hi > i64::from(i32::MAX) {
            let reach = if lo == hi { format!("this is {lo}") } else { format!("this can reach {lo}..{hi}") };
            let fault = self.fault(codes::OVERFLOW, span, format!("{reach}, which does not fit 32 bits"));
            return self.refuse(fault.expected(format!("expected values within {}..{}", i32::MIN, i32::MAX)));
        }
        Some(Typed { expr: Expr { w: width(lo, hi), node }, lo, hi, truth: false, unit, fixed, span })
    }

    /// Milliseconds as ticks.
    fn ticks(&mut self, span: Span, ms: i64) -> Option<i64> {
        let tick = self.world.tick_ms;
        // What is far too long is refused as that, whatever its last digits.
        if ms % tick == 0 || ms / tick > i64::from(i32::MAX) {
            return Some(ms / tick);
        }
        let below = ms / tick * tick;
        let message = format!("{ms} ms is no whole number of ticks of {tick} ms");
        let nearest = if below == 0 {
            format!("expected {tick} ms")
        } else {
            format!("expected {below} ms or {} ms", below.saturating_add(tick))
        };
        let fault = self.fault(codes::WHOLE_TICKS, span, message).expected(nearest);
        self.refuse(fault)
    }

    fn two(&mut self, span: Span, f: Two, left: &Ex, right: &Ex) -> Option<Typed> {
        // Both sides are read before either fault ends it, so that all faults come at once.
        let logical = matches!(f, Two::And | Two::Or);
        let (a, b) = if logical {
            (self.condition(left), self.condition(right))
        } else {
            (self.number(left), self.number(right))
        };
        self.joined(span, f, a?, b?)
    }

    /// Two checked operands as one expression.
    pub(crate) fn joined(&mut self, span: Span, f: Two, a: Typed, b: Typed) -> Option<Typed> {
        if f == Two::Div || f == Two::Rem {
            self.divisor(f, &a, &b)?;
        }
        let (unit, fixed) = (a.unit || b.unit, a.fixed && b.fixed);
        let bounds = f.between((a.lo, a.hi), (b.lo, b.hi));
        let node = Node::Two { f, a: Box::new(a.expr), b: Box::new(b.expr) };
        if matches!(f, Two::Add | Two::Sub | Two::Mul | Two::Div | Two::Rem | Two::Min | Two::Max) {
            let typed = self.ranged(span, node, bounds, unit, fixed)?;
            return Some(if fixed { folded(typed) } else { typed });
        }
        Some(truth(node, span))
    }

    fn divisor(&mut self, f: Two, a: &Typed, b: &Typed) -> Option<()> {
        if b.lo <= 0 && b.hi >= 0 {
            let message = if b.lo == b.hi {
                "this is 0".to_owned()
            } else {
                format!("this can be 0 (it is {}..{})", b.lo, b.hi)
            };
            let fault = self.fault(codes::ZERO_DIVISOR, b.span, message);
            return self.refuse(
                fault.expected("expected a divisor that is never 0").hint("`max(1, ...)` keeps it above 0"),
            );
        }
        if f == Two::Rem && (a.lo < 0 || b.lo < 0) {
            let span = if a.lo < 0 { a.span } else { b.span };
            let fault =
                self.fault(codes::NEGATIVE_REMAINDER, span, "`%` is taken of something that can be negative");
            return self.refuse(fault.expected("expected a number that is never negative"));
        }
        Some(())
    }

    fn pick(&mut self, span: Span, lo: &Ex, hi: &Ex) -> Option<Typed> {
        let (a, b) = (self.constant(lo), self.constant(hi));
        let ((lo, a), (hi, b)) = (a?, b?);
        let values = i64::from(hi) - i64::from(lo);
        if values < 0 {
            let fault = self.fault(codes::EMPTY_RANGE, span, format!("there is nothing from {lo} to {hi}"));
            return self.refuse(fault.expected("expected the lesser bound first"));
        }
        if values > 65_535 {
            let fault =
                self.fault(codes::PICK_RANGE, span, format!("this picks one of {} values", values + 1));
            return self.refuse(fault.expected("expected at most 65536 values"));
        }
        let node = Node::Pick { site: self.site, lo, hi };
        self.site += 1;
        self.ranged(span, node, (a.lo, b.lo), a.unit && b.unit, false)
    }

    /// A draw from an own bag, whose hidden number comes behind the written ones.
    fn draw(&mut self, span: Span, name: &Name) -> Option<Typed> {
        let at = self.bag(name)?;
        let (tree, machine) = self.own_tree()?;
        let (lo, hi) = (*self.world.bags.get(tree)?.get(at)?)?;
        let node = Node::Draw { site: self.site, bag: machine.numbers.len() + at, lo, hi };
        self.site += 1;
        self.ranged(span, node, (lo.into(), hi.into()), false, false)
    }

    /// Ticks left of a timer, by position.
    pub(crate) fn ticks_left(&mut self, span: Span, m: usize, i: usize, most: u32) -> Option<Typed> {
        self.ranged(span, Node::Left { m, i }, (0, most.into()), true, false)
    }

    /// Whole seconds left of a timer, rounded up.
    fn seconds_left(&mut self, span: Span, path: &Path) -> Option<Typed> {
        if self.within != Within::Writes {
            let fault =
                self.fault(codes::TIME_LEFT_PLACE, span, "the time left can only be written on digits");
            let hint = "conditions ask `is running`, `is due` or `is off`";
            return self.refuse(fault.expected("expected it in `writes ... on DIGITS`").hint(hint));
        }
        let (m, i) = self.any_timer(path)?;
        let most = self.longest.get(m).and_then(|timers| timers.get(i)).copied().unwrap_or(1);
        let (tick, second) = (self.world.tick_ms, 1000);
        let left = self.ticks_left(span, m, i, most)?;
        let tick = self.plain(span, tick, true)?;
        let ms = self.joined(span, Two::Mul, left, tick)?;
        let up = self.plain(span, second - 1, true)?;
        let ms = self.joined(span, Two::Add, ms, up)?;
        let second = self.plain(span, second, true)?;
        self.joined(span, Two::Div, ms, second)
    }

    /// An own timer, or one of another machine: its machine and position.
    fn any_timer(&mut self, path: &Path) -> Option<(usize, usize)> {
        if path.rest.is_empty() {
            return Some((self.own?, self.timer(&path.first)?));
        }
        let words: Vec<&Name> = path.parts().collect();
        let (m, used) = self.machine(&words)?;
        let Some(name) = words.get(used) else {
            let fault = self.fault(codes::KIND, path.span(), "a machine is not a timer");
            return self.refuse(fault.expected("expected a timer of it behind a dot"));
        };
        self.nothing_behind(&words, used + 1)?;
        let tree = self.world.trees.get(self.world.instances[m].tree)?;
        Some((m, self.timer_of(tree, name)?))
    }

    fn asked_button(&mut self, span: Span, path: &Path) -> Option<usize> {
        let (code, what) = match self.within {
            Within::Rule => return self.outside(path, Outside::Button),
            Within::Light => (codes::BUTTON_IN_LIGHT, "light"),
            Within::Writes => (codes::BUTTON_IN_LIGHT, "what digits show"),
            Within::Claim => (codes::BUTTON_IN_CLAIM, "what is claimed"),
            Within::Prompt => (codes::BUTTON_IN_PROMPT, "what a person waits for"),
        };
        let message = format!("{what} depends on the situation alone, not on a button");
        let fault = self.fault(code, span, message);
        self.refuse(fault.expected("expected states, numbers and timers only").hint("use a state for it"))
    }

    /// `WHAT is WORD`: a timer's three words, or a machine's state.
    fn is(&mut self, span: Span, what: &Path, word: &Name) -> Option<Typed> {
        let words: Vec<&Name> = what.parts().collect();
        let own_timer = self.own_tree().and_then(|(_, tree)| {
            tree.timers.iter().position(|timer| words.len() == 1 && timer.text == what.first.text)
        });
        if let (Some(i), Some(m)) = (own_timer, self.own) {
            return self.timer_is(span, m, i, word);
        }
        if words.len() == 1 && self.own_tree().is_some_and(|(_, tree)| tree.lost.contains(&what.first.text)) {
            return None;
        }
        let (m, used) = self.machine(&words)?;
        let tree = self.world.trees.get(self.world.instances[m].tree)?;
        let Some(name) = words.get(used) else {
            let s = self.state(tree, word)?;
            return Some(truth(Node::In { m, s }, span));
        };
        self.nothing_behind(&words, used + 1)?;
        let i = self.timer_of(tree, name)?;
        self.timer_is(span, m, i, word)
    }

    fn timer_is(&mut self, span: Span, m: usize, i: usize, word: &Name) -> Option<Typed> {
        let (running, due) = (truth(Node::Running { m, i }, span), truth(Node::Due { m, i }, span));
        match word.text.as_str() {
            "running" => Some(running),
            "due" => Some(due),
            "off" => {
                let on = Node::Two { f: Two::Or, a: Box::new(running.expr), b: Box::new(due.expr) };
                Some(truth(Node::Not { a: Box::new(truth(on, span).expr) }, span))
            }
            other => {
                let fault = self
                    .fault(codes::TIMER_WORD, word.span, format!("a timer is never `{other}`"))
                    .expected("expected `running`, `due` or `off`")
                    .maybe_hint(
                        finding::nearest(other, ["running", "due", "off"])
                            .map(|near| format!("did you mean `{near}`?")),
                    );
                self.refuse(fault)
            }
        }
    }

    /// An own number, a constant, or a number of another machine.
    fn value(&mut self, path: &Path) -> Option<Typed> {
        let words: Vec<&Name> = path.parts().collect();
        if words.len() == 1 {
            return self.short_value(&path.first);
        }
        let (m, used) = self.machine(&words)?;
        let tree = self.world.instances[m].tree;
        let Some(name) = words.get(used) else {
            let fault = self.fault(codes::KIND, path.span(), "a machine is not a number");
            return self.refuse(fault.expected("expected a number of it behind a dot, or `is STATE`"));
        };
        self.nothing_behind(&words, used + 1)?;
        let i = self.number_in(self.world.trees.get(tree)?, name)?;
        self.number_of(path.span(), m, i)
    }

    fn number_of(&mut self, span: Span, m: usize, i: usize) -> Option<Typed> {
        let range = (*self.world.ranges.get(self.world.instances[m].tree)?.get(i)?)?;
        self.ranged(span, Node::Number { m, i }, (range.min.into(), range.max.into()), false, false)
    }

    fn short_value(&mut self, name: &Name) -> Option<Typed> {
        if let (Some(count), "spot") = (self.row, name.text.as_str()) {
            return self.ranged(name.span, Node::Spot, (1, count.into()), false, false);
        }
        let tree = self.own_tree().map(|(_, tree)| tree);
        let own = tree.and_then(|tree| tree.numbers.iter().position(|number| number.name.text == name.text));
        if let (Some(i), Some(m)) = (own, self.own) {
            return self.number_of(name.span, m, i);
        }
        if let Some(constant) = self.world.constants.get(&name.text) {
            let constant = (*constant)?;
            return self.plain(name.span, constant.value.into(), constant.unit);
        }
        if let Some(i) = self.world.settings.iter().position(|(setting, _)| *setting == name.text) {
            let range = self.world.settings[i].1?;
            let bounds = (range.min.into(), range.max.into());
            return self.ranged(name.span, Node::Setting { i }, bounds, false, false);
        }
        if let Some(condition) = self.world.conditions.get(&name.text) {
            return self.named(name, condition);
        }
        let lost = tree.map(|tree| &tree.lost).into_iter().chain([&self.world.lost.values]);
        if lost.into_iter().any(|lost| lost.contains(&name.text)) {
            return None;
        }
        let numbers = tree.map(|tree| tree.numbers.iter().map(|number| number.name.text.as_str()));
        let values = self.world.named_values();
        let known = numbers.into_iter().flatten().chain(values.iter().map(String::as_str));
        let message = format!("there is no number, constant, setting or condition `{}`", name.text);
        let mut fault = self
            .fault(codes::UNKNOWN_NUMBER, name.span, message)
            .expected("expected a number or a condition")
            .maybe_hint(suggestion(&name.text, known));
        if name.text.contains('-') {
            fault = fault.hint("a `-` within a word belongs to the name; put blanks around it to subtract");
        }
        if tree.is_some_and(|tree| tree.timers.iter().any(|timer| timer.text == name.text)) {
            fault = fault
                .hint(format!("a timer can only be asked: `{} is running`, `is due` or `is off`", name.text));
        }
        if let Some(question) = self.question(name) {
            fault = fault.hint(format!("a state is asked for with `is`: `{question}`"));
        }
        self.refuse(fault)
    }

    /// The question that was probably meant by the name of a machine, or of an own state.
    fn question(&self, name: &Name) -> Option<String> {
        if let Some(tree) = self.world.trees.iter().find(|tree| tree.name.text == name.text) {
            let state = &tree.states.first()?.name.text;
            let side = if tree.per_side.is_some() { ".side" } else { "" };
            return Some(format!("{}{side} is {state}", name.text));
        }
        let (_, tree) = self.own_tree()?;
        let side = if tree.per_side.is_some() { ".side" } else { "" };
        let own = tree.states.iter().any(|state| state.name.text == name.text);
        own.then(|| format!("{}{side} is {}", tree.name.text, name.text))
    }

    /// A named condition, read for the machine that uses it.
    fn named(&mut self, name: &Name, condition: &Condition) -> Option<Typed> {
        self.used.insert(name.text.clone());
        if condition.order >= self.conditions {
            let message = format!("`{}` is not written above this condition", name.text);
            let fault = self.fault(codes::CONDITION_ORDER, name.span, message);
            return self.refuse(fault.expected("expected conditions from lines above"));
        }
        let (before, row) = (self.conditions, self.row.take());
        self.conditions = condition.order;
        let typed = self.condition(&condition.ex);
        (self.conditions, self.row) = (before, row);
        Some(Typed { span: name.span, ..typed? })
    }
}

/// What is made of constants alone is one constant.
fn folded(typed: Typed) -> Typed {
    let exact = typed.lo == typed.hi;
    match i32::try_from(typed.lo) {
        Ok(v) if exact => Typed { expr: Expr { w: typed.expr.w, node: Node::Const { v } }, ..typed },
        _ => typed,
    }
}
