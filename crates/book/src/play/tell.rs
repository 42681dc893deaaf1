//! The machine form in plain words: machines, conditions, values, times. Where somebody's side is known, what is theirs is "your".

use rules::form::{Expr, Form, Node, Number, Two};

/// Puts a form in words, to somebody who stands at a side or to nobody in particular.
#[derive(Clone, Copy)]
pub(super) struct Teller<'a> {
    /// The rules.
    pub(super) form: &'a Form,
    /// Whoever is spoken to.
    pub(super) side: Option<usize>,
}

/// A number goes up by one.
pub(super) const ONE_MORE: &str = "goes up by one";

/// A name as words.
pub(super) fn plain(name: &str) -> String {
    name.replace(['-', '_'], " ")
}

/// `a, b or c`.
pub(super) fn list(parts: &[String], last: &str) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [front @ .., end] => format!("{} {last} {end}", front.join(", ")),
    }
}

/// Sentences' parts: `a, b, and c`; where they have commas of their own, `a; b; and c`.
pub(super) fn in_a_row(parts: &[String]) -> String {
    let apart = if parts.iter().any(|part| part.contains(',')) { ";" } else { "," };
    match parts {
        [] | [_] => parts.concat(),
        [one, two] if apart == "," => format!("{one}, and {two}"),
        [front @ .., end] => format!("{}{apart} and {end}", front.join(&format!("{apart} "))),
    }
}

/// With a capital letter.
pub(super) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// What is joined by `and`, or by `or`.
pub(super) fn parts(expr: &Expr, joint: Two) -> Vec<&Expr> {
    match &expr.node {
        Node::Two { f, a, b } if *f == joint => {
            let mut all = parts(a, joint);
            all.extend(parts(b, joint));
            all
        }
        _ => vec![expr],
    }
}

/// Where an expression says no more than that one machine is in one of some states: machine and states.
pub(super) fn one_of(expr: &Expr) -> Option<(usize, Vec<usize>)> {
    let mut found: Option<(usize, Vec<usize>)> = None;
    for part in parts(expr, Two::Or) {
        let Node::In { m, s } = part.node else { return None };
        match &mut found {
            None => found = Some((m, vec![s])),
            Some((machine, states)) if *machine == m => states.push(s),
            Some(_) => return None,
        }
    }
    found
}

impl Teller<'_> {
    /// A name with its side: "your hand", "the other hand", "the west hand"; "the hand" where there is no side.
    fn sided(&self, name: &str) -> String {
        let sides = &self.form.sides;
        let split = name
            .rsplit_once('.')
            .and_then(|(base, of)| sides.iter().position(|side| side == of).map(|side| (plain(base), side)));
        match (split, self.side) {
            (Some((base, side)), Some(own)) if side == own => format!("your {base}"),
            (Some((base, _)), Some(_)) if sides.len() == 2 => format!("the other {base}"),
            (Some((base, side)), _) => format!("the {} {base}", plain(&sides[side])),
            (None, _) => format!("the {}", plain(name)),
        }
    }

    /// A machine.
    pub(super) fn machine(&self, m: usize) -> String {
        self.sided(&self.form.machines[m].name)
    }

    /// A figure: one called like a side is its player's.
    pub(super) fn figure(&self, figure: usize) -> String {
        let name = &self.form.figures[figure].name;
        match (self.form.sides.iter().position(|side| side == name), self.side) {
            (Some(side), Some(own)) if side == own => "your figure".to_owned(),
            (Some(_), Some(_)) if self.form.sides.len() == 2 => "the other figure".to_owned(),
            (Some(_), _) => format!("the {} figure", plain(name)),
            (None, _) => format!("the {}", plain(name)),
        }
    }

    /// A button: that of the prompts of somebody's side is theirs.
    pub(super) fn button(&self, button: usize) -> String {
        let side =
            self.form.prompts.iter().find(|prompt| prompt.button == button).and_then(|prompt| prompt.side);
        match (side, self.side) {
            (Some(side), Some(own)) if side == own => "your button".to_owned(),
            (Some(_), Some(_)) if self.form.sides.len() == 2 => "the other button".to_owned(),
            _ => format!("button {}", plain(&self.form.buttons[button])),
        }
    }

    /// A number, with its machine where that is not clear without.
    pub(super) fn number(&self, m: usize, i: usize) -> String {
        let name = &self.form.machines[m].numbers[i].name;
        // What is shown or kept is known by its name alone.
        let known = |number: &&Number| number.name == *name && (number.shown_on.is_some() || number.kept);
        let same = self.form.machines.iter().flat_map(|machine| &machine.numbers);
        if same.filter(known).count() == 1 {
            return plain(name);
        }
        format!("{}’s {}", self.machine(m), plain(name))
    }

    /// States of a machine: `ready, left 1 to 3 or away`.
    pub(super) fn states(&self, m: usize, states: &[usize]) -> String {
        let names: Vec<&str> =
            states.iter().map(|state| self.form.machines[m].states[*state].name.as_str()).collect();
        let mut said: Vec<String> = Vec::new();
        let mut at = 0;
        while at < names.len() {
            let run = 1 + names[at..].windows(2).take_while(|pair| follows(pair[0], pair[1])).count();
            if run > 2 {
                let last = names[at + run - 1].rsplit_once('-').map_or("", |(_, number)| number);
                said.push(format!("{} to {last}", plain(names[at])));
                at += run;
            } else {
                said.push(plain(names[at]));
                at += 1;
            }
        }
        list(&said, "or")
    }

    /// So many ticks.
    pub(super) fn time(&self, ticks: u64) -> String {
        let ms = ticks.saturating_mul(u64::from(self.form.tick_ms));
        if ms < 1000 { format!("{ms} ms") } else { format!("{} s", ms as f64 / 1000.0) }
    }

    /// A condition.
    pub(super) fn condition(&self, expr: &Expr) -> String {
        self.any_of(expr, Among::None)
    }

    /// Several conditions that all hold, behind one that is told already.
    pub(super) fn together(&self, told: Option<String>, all: &[&Expr]) -> String {
        self.all_of(told, all, true)
    }

    /// What is joined by `or`. States of one machine are told together; where what is joined is joined itself, or others stand
    /// before it, "either" says where the first begins, and in the midst of others brackets do.
    fn any_of(&self, expr: &Expr, among: Among) -> String {
        let mut said: Vec<Alternative> = Vec::new();
        for way in parts(expr, Two::Or) {
            let Node::In { m, s } = way.node else {
                said.push(Alternative::All(parts(way, Two::And)));
                continue;
            };
            let same = said.iter_mut().find_map(|one| match one {
                Alternative::States(of, states) if *of == m => Some(states),
                _ => None,
            });
            match same {
                Some(states) => states.push(s),
                None => said.push(Alternative::States(m, vec![s])),
            }
        }
        let several = said.len() > 1;
        let joined = said.iter().any(|one| matches!(one, Alternative::All(all) if all.len() > 1));
        let words = |one: Alternative| match one {
            Alternative::States(m, states) => self.is(m, &states),
            Alternative::All(all) => self.all_of(None, &all, among == Among::None && !several),
        };
        let words: Vec<String> = said.into_iter().map(words).collect();
        match among {
            Among::Midst if several && joined => format!("(either {})", words.join(", or ")),
            Among::Midst if several => format!("({})", list(&words, "or")),
            Among::None | Among::Last if several && joined => format!("either {}", words.join(", or ")),
            Among::Last if several => format!("either {}", list(&words, "or")),
            _ => list(&words, "or"),
        }
    }

    /// What is joined by `and`: alternatives last, so that nothing behind an "or" is taken for one of them.
    fn all_of(&self, told: Option<String>, all: &[&Expr], outermost: bool) -> String {
        if let ([one], None) = (all, &told) {
            return self.single(one);
        }
        let (last, first): (Vec<&Expr>, Vec<&Expr>) = all.iter().partition(|part| is_either(part));
        let among = if last.len() == 1 && outermost { Among::Last } else { Among::Midst };
        let mut words: Vec<String> = told.into_iter().collect();
        words.extend(first.into_iter().chain(last).map(|part| self.any_of(part, among)));
        match words.as_slice() {
            [front @ .., end]
                if words.iter().any(|part| part.contains(" or ") || part.contains(" nor "))
                    && !front.is_empty() =>
            {
                format!("{}, and {end}", front.join(", "))
            }
            _ => list(&words, "and"),
        }
    }

    /// `the ball is placed or chosen`.
    pub(super) fn is(&self, m: usize, states: &[usize]) -> String {
        format!("{} is {}", self.machine(m), self.states(m, states))
    }

    /// What is neither joined by `and` nor by `or`.
    fn single(&self, expr: &Expr) -> String {
        match &expr.node {
            Node::In { m, s } => self.is(*m, &[*s]),
            Node::Not { a } => self.denied(a),
            Node::Running { m, i } | Node::Due { m, i } => {
                let how = if matches!(expr.node, Node::Due { .. }) { "has run out" } else { "runs" };
                format!(
                    "timer {} of {} {how}",
                    plain(&self.form.machines[*m].timers[*i].name),
                    self.machine(*m)
                )
            }
            Node::Held { b } => format!("{} is held down", self.button(*b)),
            Node::Pressed { b } => format!("{} is pressed", self.button(*b)),
            Node::Two { f, a, b } => match compared(*f) {
                Some((before, behind)) => format!("{} {before} {}{behind}", self.value(a), self.value(b)),
                None => self.value(expr),
            },
            Node::Const { v } => if *v == 0 { "never" } else { "always" }.to_owned(),
            _ => self.value(expr),
        }
    }

    /// What is so where a condition is not.
    pub(super) fn denied(&self, expr: &Expr) -> String {
        if let Some((m, states)) = one_of(expr) {
            return format!("{} is not {}", self.machine(m), self.states(m, &states));
        }
        if let Some(words) = self.neither(expr) {
            return words;
        }
        match &expr.node {
            Node::Held { b } => format!("{} is not held down", self.button(*b)),
            Node::Pressed { b } => format!("{} is not pressed", self.button(*b)),
            Node::Two { f: f @ (Two::And | Two::Or), .. } => {
                let (joint, word) = if *f == Two::Or { (Two::Or, "and") } else { (Two::And, "or") };
                let all: Vec<String> = parts(expr, joint).into_iter().map(|part| self.denied(part)).collect();
                if word == "or" { format!("({})", list(&all, word)) } else { list(&all, word) }
            }
            Node::Not { a } => self.condition(a),
            Node::Two { f, a, b } if opposite(*f).is_some() => {
                let (before, behind) = opposite(*f).and_then(compared).unwrap_or_default();
                format!("{} {before} {}{behind}", self.value(a), self.value(b))
            }
            _ => format!("it is not so that {}", self.any_of(expr, Among::Midst)),
        }
    }

    /// Two machines that are both not in a state of one name: `neither the west person nor the east person is here`.
    fn neither(&self, expr: &Expr) -> Option<String> {
        let ways = parts(expr, Two::Or);
        let [one, two] = ways.as_slice() else { return None };
        let (Node::In { m, s }, Node::In { m: other, s: then }) = (&one.node, &two.node) else { return None };
        let (state, same) = (self.states(*m, &[*s]), self.states(*other, &[*then]));
        let words = || format!("neither {} nor {} is {state}", self.machine(*m), self.machine(*other));
        (state == same).then(words)
    }

    /// A number.
    pub(super) fn value(&self, expr: &Expr) -> String {
        match &expr.node {
            Node::Const { v } => v.to_string(),
            Node::Number { m, i } => self.number(*m, *i),
            Node::Setting { i } => plain(&self.form.settings[*i].name),
            Node::Left { m, i } => {
                format!("the time left of {}", plain(&self.form.machines[*m].timers[*i].name))
            }
            Node::Spot => "the place in the row".to_owned(),
            Node::Draw { lo, hi, .. } | Node::Pick { lo, hi, .. } => format!("{lo} to {hi} by chance"),
            Node::Neg { a } => format!("-{}", self.value(a)),
            Node::Two { f: Two::Min, a, b } => {
                format!("the lesser of {} and {}", self.value(a), self.value(b))
            }
            Node::Two { f: Two::Max, a, b } => {
                format!("the greater of {} and {}", self.value(a), self.value(b))
            }
            Node::Two { f: Two::Rem, a, b } => {
                format!("what is left over of {} / {}", self.operand(a), self.operand(b))
            }
            Node::Two { f, a, b } => match sign(*f) {
                Some(sign) => format!("{} {sign} {}", self.operand(a), self.operand(b)),
                None => self.condition(expr),
            },
            _ => self.condition(expr),
        }
    }

    fn operand(&self, expr: &Expr) -> String {
        let joined = matches!(&expr.node, Node::Two { f, .. } if sign(*f).is_some());
        if joined { format!("({})", self.value(expr)) } else { self.value(expr) }
    }

    /// What a number becomes.
    pub(super) fn becomes(&self, (m, i): (usize, usize), to: &Expr) -> String {
        let itself = |expr: &Expr| expr.node == Node::Number { m, i };
        match &to.node {
            Node::Two { f: Two::Max, a, b } if itself(a) => {
                format!("becomes {}, if that is more,", self.value(b))
            }
            // The end of the range is no news to whoever plays.
            Node::Two { f: Two::Min | Two::Max, a, b } if matches!(b.node, Node::Const { .. }) => {
                self.becomes((m, i), a)
            }
            Node::Two { f: Two::Add, a, b } if itself(a) && b.node == (Node::Const { v: 1 }) => {
                ONE_MORE.to_owned()
            }
            Node::Two { f: Two::Sub, a, b } if itself(a) && b.node == (Node::Const { v: 1 }) => {
                "goes down by one".to_owned()
            }
            _ => format!("becomes {}", self.value(to)),
        }
    }
}

/// One of what is joined by `or`.
enum Alternative<'a> {
    /// A machine in some of its states.
    States(usize, Vec<usize>),
    /// All of these.
    All(Vec<&'a Expr>),
}

/// Where a condition stands.
#[derive(Clone, Copy, PartialEq)]
enum Among {
    /// Alone.
    None,
    /// Behind others.
    Last,
    /// Perhaps before others.
    Midst,
}

/// Whether a condition is told with an "or" between other things than the states of one machine.
fn is_either(expr: &Expr) -> bool {
    let ways = parts(expr, Two::Or);
    ways.len() > 1 && one_of(expr).is_none()
}

/// Whether two names end in numbers that follow each other.
fn follows(one: &str, next: &str) -> bool {
    let (Some((stem, number)), Some((other, then))) = (one.rsplit_once('-'), next.rsplit_once('-')) else {
        return false;
    };
    let (Ok(number), Ok(then)) = (number.parse::<u32>(), then.parse::<u32>()) else { return false };
    stem == other && number.checked_add(1) == Some(then)
}

/// A comparison: the words between its sides and behind them.
fn compared(f: Two) -> Option<(&'static str, &'static str)> {
    Some(match f {
        Two::Eq => ("is", ""),
        Two::Ne => ("is not", ""),
        Two::Lt => ("is less than", ""),
        Two::Le => ("is", " or less"),
        Two::Gt => ("is more than", ""),
        Two::Ge => ("is", " or more"),
        _ => return None,
    })
}

/// The comparison that is true where this one is not.
fn opposite(f: Two) -> Option<Two> {
    Some(match f {
        Two::Eq => Two::Ne,
        Two::Ne => Two::Eq,
        Two::Lt => Two::Ge,
        Two::Ge => Two::Lt,
        Two::Gt => Two::Le,
        Two::Le => Two::Gt,
        _ => return None,
    })
}

fn sign(f: Two) -> Option<&'static str> {
    Some(match f {
        Two::Add => "+",
        Two::Sub => "-",
        Two::Mul => "x",
        Two::Div => "/",
        _ => return None,
    })
}
