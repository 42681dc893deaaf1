//! Mirror images: situations that differ by swapping the two sides are looked at once.
//!
//! A mirror sends machines to machines, and within them states, numbers and timers; buttons to buttons, messages to messages.
//! Where it goes is guessed from names (a side's name in a name becomes the other side's); whether it is one, is *checked on
//! the form*: every machine, written down through the mirror, must be the machine it is sent to, and the claim must be itself.
//! Then the mirror is an automorphism of the transition relation. A tick reads the frozen snapshot only, so that the order of
//! machines means nothing; any set of buttons may be pressed, so that with every set its image is among them; picks are not
//! those of the random streams but every value of every place, so that streams, which do differ from side to side, are no part
//! of a situation here. So s -> t is a tick exactly when its image is. Of each pair one is kept; what is met that way is
//! one of each pair of what can be met, and a claim that is its own image fails in both or in neither. Tick 0 need not
//! be its own image: every pair met still has a member that is reached. (C. N. Ip and D. L. Dill, "Better Verification Through
//! Symmetry", Formal Methods in System Design 9, 1996; E. M. Clarke, R. Enders, T. Filkorn and S. Jha, "Exploiting Symmetry in
//! Temporal Logic Model Checking", same volume; both from memory.)
//!
//! What may be written in another order and mean the same is compared in one order: operands of sums and of `and`, stores of
//! constants next to each other, ways out of two sides where the machine settles ties, since only one side's are ever left,
//! and ways that want the same machine in different states.

use crate::model::Model;
use crate::watch::Watch;
use rules::form::{Action, Expr, Form, Node, State, Ties, Transition, Trigger, Two};
use rules::step::{Being, Situation};

/// Where everything goes. Doing it twice is doing nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Mirror {
    pub(super) machines: Vec<usize>,
    states: Vec<Vec<usize>>,
    numbers: Vec<Vec<usize>>,
    timers: Vec<Vec<usize>>,
    /// Numbers that hold whose turn it is, from 0: it becomes the other side's.
    turns: Vec<Option<usize>>,
    buttons: Vec<usize>,
    messages: Vec<usize>,
    swapped: bool,
}

impl Mirror {
    /// The mirror of a form with two sides under which form and claim are themselves.
    pub(super) fn of(model: &Model, watch: &Watch) -> Option<Self> {
        let form = &model.form;
        let indexed = |state: &State| state.lights.iter().any(|light| light.index.is_some());
        match watch {
            Watch::Never(_) | Watch::Always(_) => {}
            Watch::InRange if !form.machines.iter().flat_map(|machine| &machine.states).any(indexed) => {}
            _ => return None,
        }
        let mirror = Self::guess(form)?;
        let same = Self::still(form);
        let claim = watch.exprs().into_iter();
        let good = mirror.twice_is_nothing()
            && claim.into_iter().all(|expr| mirror.expr(expr) == same.expr(expr))
            && (0..form.machines.len()).all(|m| {
                let image = mirror.machine(model, m);
                image.is_some() && image == same.machine(model, mirror.machines[m])
            });
        good.then_some(mirror)
    }

    /// Everything to itself.
    fn still(form: &Form) -> Self {
        let each = |count: fn(&rules::form::Machine) -> usize| {
            form.machines.iter().map(|machine| (0..count(machine)).collect()).collect()
        };
        Self {
            machines: (0..form.machines.len()).collect(),
            states: each(|machine| machine.states.len()),
            numbers: each(|machine| machine.numbers.len()),
            timers: each(|machine| machine.timers.len()),
            turns: form.machines.iter().map(turn).collect(),
            buttons: (0..form.buttons.len()).collect(),
            messages: (0..form.messages.len()).collect(),
            swapped: false,
        }
    }

    fn guess(form: &Form) -> Option<Self> {
        let [one, other] = form.sides.as_slice() else { return None };
        let image = |name: &str| swapped(name, one, other);
        let among = |name: &str, all: &[String]| all.iter().position(|there| *there == image(name));
        let names = |m: usize| form.machines[m].name.clone();
        let all: Vec<String> = (0..form.machines.len()).map(names).collect();
        let mut mirror = Self { swapped: true, ..Self::still(form) };
        for (m, machine) in form.machines.iter().enumerate() {
            let to = among(&machine.name, &all)?;
            mirror.machines[m] = to;
            let target = &form.machines[to];
            if target.states.len() != machine.states.len()
                || target.numbers.len() != machine.numbers.len()
                || target.timers.len() != machine.timers.len()
            {
                return None;
            }
            let by_name = |own: Vec<&String>, theirs: Vec<&String>| -> Vec<usize> {
                let find = |(i, name): (usize, &&String)| {
                    theirs.iter().position(|there| **there == image(name)).unwrap_or(i)
                };
                own.iter().enumerate().map(find).collect()
            };
            mirror.states[m] = by_name(
                machine.states.iter().map(|state| &state.name).collect(),
                target.states.iter().map(|state| &state.name).collect(),
            );
            mirror.numbers[m] = by_name(
                machine.numbers.iter().map(|number| &number.name).collect(),
                target.numbers.iter().map(|number| &number.name).collect(),
            );
            mirror.timers[m] = by_name(
                machine.timers.iter().map(|timer| &timer.name).collect(),
                target.timers.iter().map(|timer| &timer.name).collect(),
            );
        }
        for (b, button) in form.buttons.iter().enumerate() {
            mirror.buttons[b] = among(button, &form.buttons)?;
        }
        for (k, message) in form.messages.iter().enumerate() {
            let sender = mirror.machines[message.sender];
            let is = |name: &str| {
                form.messages.iter().position(|there| there.name == name && there.sender == sender)
            };
            mirror.messages[k] = is(&image(&message.name)).or_else(|| is(&message.name))?;
        }
        // A remembered press is its button's.
        for (m, machine) in form.machines.iter().enumerate() {
            for one in &machine.remembers {
                let target = &form.machines[mirror.machines[m]];
                let button = mirror.buttons[one.button];
                mirror.timers[m][one.timer] =
                    target.remembers.iter().find(|there| there.button == button)?.timer;
            }
        }
        Some(mirror)
    }

    fn twice_is_nothing(&self) -> bool {
        let back = |there: &[usize], and_back: &[usize]| {
            there.len() == and_back.len()
                && there.iter().enumerate().all(|(i, to)| and_back.get(*to) == Some(&i))
        };
        let within =
            |all: &[Vec<usize>]| all.iter().enumerate().all(|(m, there)| back(there, &all[self.machines[m]]));
        back(&self.machines, &self.machines)
            && back(&self.buttons, &self.buttons)
            && back(&self.messages, &self.messages)
            && within(&self.states)
            && within(&self.numbers)
            && within(&self.timers)
    }

    /// What a machine becomes: the being of the machine it is sent to.
    pub(super) fn being(&self, m: usize, being: &Being) -> Being {
        let mut image = being.clone();
        image.state = self.states[m][being.state];
        for (i, value) in being.numbers.iter().enumerate() {
            let value = if self.turns[m] == Some(i) { 1 - value } else { *value };
            image.numbers[self.numbers[m][i]] = value;
        }
        for (i, clock) in being.timers.iter().enumerate() {
            image.timers[self.timers[m][i]] = *clock;
        }
        image
    }

    pub(super) fn sent(&self, sent: &[usize]) -> Vec<usize> {
        let mut image: Vec<usize> = sent.iter().map(|k| self.messages[*k]).collect();
        image.sort_unstable();
        image
    }

    /// Buttons as bits.
    pub(super) fn buttons(&self, mask: u64) -> u64 {
        self.buttons.iter().enumerate().fold(0, |image, (b, to)| image | (mask >> b & 1) << to)
    }

    pub(super) fn situation(&self, situation: &Situation) -> Situation {
        let mut image = situation.clone();
        for (m, being) in situation.machines.iter().enumerate() {
            image.machines[self.machines[m]] = self.being(m, being);
        }
        self.messages.iter().enumerate().for_each(|(k, to)| image.sent[*to] = situation.sent[k]);
        image.simulated = self.held(&situation.simulated);
        image
    }

    pub(super) fn held(&self, held: &[bool]) -> Vec<bool> {
        let mut image = held.to_vec();
        self.buttons.iter().enumerate().for_each(|(b, to)| image[*to] = held[b]);
        image
    }

    fn side(&self, side: usize) -> usize {
        if self.swapped { 1 - side } else { side }
    }

    /// All that a machine's tick depends on, seen through the mirror; none where no mirror can be of use.
    fn machine(&self, model: &Model, m: usize) -> Option<Vec<String>> {
        let machine = &model.form.machines[m];
        let mut lines = Vec::new();
        for (i, number) in machine.numbers.iter().enumerate() {
            lines.push(format!("number {} {} {}", self.numbers[m][i], number.min, number.max));
        }
        for (i, timer) in machine.timers.iter().enumerate() {
            lines.push(format!("timer {} {} {}", self.timers[m][i], timer.cycle, timer.max));
        }
        for one in &machine.remembers {
            let (button, timer) = (self.buttons[one.button], self.timers[m][one.timer]);
            lines.push(format!("remember {button} {timer} {}", one.ticks));
        }
        lines.push(match &machine.ties {
            None => "no ties".into(),
            Some(Ties::Alternately { turn }) => format!("turn {}", self.numbers[m][*turn]),
            Some(Ties::Random { .. }) => "random".into(),
            Some(Ties::First { .. }) => return None,
        });
        for (s, state) in machine.states.iter().enumerate() {
            let name = self.states[m][s];
            for dwell in &state.dwells {
                lines.push(format!("{name} dwell {} {}", self.timers[m][dwell.timer], dwell.ticks));
            }
            lines.push(format!("{name} entry {}", self.actions(model, m, &state.entry)));
            lines.push(format!("{name} exit {}", self.actions(model, m, &state.exit)));
            if machine.ties.is_none() {
                let all = self.ways(model, m, state.transitions.iter());
                lines.push(format!("{name} ways {all}"));
                continue;
            }
            for side in 0..2 {
                let own = |way: &&Transition| way.side.is_none_or(|its| its == side);
                let all = self.ways(model, m, state.transitions.iter().filter(own));
                lines.push(format!("{name} ways of {} {all}", self.side(side)));
            }
        }
        lines.sort();
        Some(lines)
    }

    /// Ways out in their order; of those next to each other that can never both go, the lesser in words comes first.
    fn ways<'f>(&self, model: &Model, m: usize, ways: impl Iterator<Item = &'f Transition>) -> String {
        let mut left: Vec<(String, Vec<(usize, usize)>)> = ways
            .map(|way| {
                let mut where_it_goes = Vec::new();
                way.condition.iter().for_each(|condition| needs(condition, &mut where_it_goes));
                (self.way(model, m, way), where_it_goes)
            })
            .collect();
        let never_both = |a: &[(usize, usize)], b: &[(usize, usize)]| {
            a.iter().any(|(m, s)| b.iter().any(|(other, t)| m == other && s != t))
        };
        let mut all = Vec::new();
        while !left.is_empty() {
            let first = |at: &usize| left[..*at].iter().all(|before| never_both(&before.1, &left[*at].1));
            let least = (0..left.len()).filter(first).min_by_key(|at| &left[*at].0).unwrap_or(0);
            all.push(left.remove(least).0);
        }
        all.join("; ")
    }

    fn way(&self, model: &Model, m: usize, way: &Transition) -> String {
        let trigger = match &way.trigger {
            Trigger::Always => "always".to_owned(),
            Trigger::Press { button } => format!("press {}", self.buttons[*button]),
            Trigger::Message { any } => format!("message {:?}", self.sent(any)),
            Trigger::Timer { timer } => format!("timer {}", self.timers[m][*timer]),
        };
        let condition = way.condition.as_ref().map(|condition| self.expr(condition));
        let (side, go) = (way.side.map(|side| self.side(side)), way.go.map(|go| self.states[m][go]));
        format!("{trigger} {condition:?} {side:?} {} {go:?}", self.actions(model, m, &way.actions))
    }

    /// Actions in their order; next to each other, those that do not touch one another in the order of their words. Sounds
    /// change nothing, and the flags of stores that do not fit follow from the stores.
    fn actions(&self, model: &Model, m: usize, actions: &[Action]) -> String {
        let mut lines: Vec<String> = Vec::new();
        let mut run: Vec<String> = Vec::new();
        for action in actions {
            let (apart, line) = match action {
                Action::Play { .. } => continue,
                Action::Set { number, .. } if *number == model.flags[m] => continue,
                Action::Set { number, to } => {
                    let constant = matches!(to.node, Node::Const { .. });
                    (constant, format!("set {} {}", self.numbers[m][*number], self.stored(m, to)))
                }
                Action::Start { timer, ticks } => {
                    (false, format!("start {} {}", self.timers[m][*timer], self.stored(m, ticks)))
                }
                Action::Stop { timer } => (false, format!("stop {}", self.timers[m][*timer])),
                Action::Send { message } => (true, format!("send {}", self.messages[*message])),
                Action::Press { button } => (true, format!("press {}", self.buttons[*button])),
            };
            // Two stores of one number stay in their order.
            let target = |line: &str| line.split(' ').take(2).collect::<Vec<_>>().join(" ");
            if !apart || run.iter().any(|other| target(other) == target(&line)) {
                run.sort();
                lines.append(&mut run);
            }
            if apart { run.push(line) } else { lines.push(line) }
        }
        run.sort();
        lines.append(&mut run);
        lines.join(", ")
    }

    /// A stored value: a place that picks is used for itself alone, so that it needs no name.
    fn stored(&self, m: usize, expr: &Expr) -> String {
        match expr.node {
            Node::Draw { bag, lo, hi, .. } => format!("draw {} {lo} {hi}", self.numbers[m][bag]),
            Node::Pick { lo, hi, .. } => format!("pick {lo} {hi}"),
            _ => self.expr(expr),
        }
    }

    /// An expression with operands in an order of their own where order means nothing.
    fn expr(&self, expr: &Expr) -> String {
        let timer = |m: usize, i: usize| format!("{}.{}", self.machines[m], self.timers[m][i]);
        match &expr.node {
            Node::Const { v } => v.to_string(),
            Node::Number { m, i } => format!("n{}.{}", self.machines[*m], self.numbers[*m][*i]),
            Node::In { m, s } => format!("s{}.{}", self.machines[*m], self.states[*m][*s]),
            Node::Running { m, i } => format!("running {}", timer(*m, *i)),
            Node::Due { m, i } => format!("due {}", timer(*m, *i)),
            Node::Left { m, i } => format!("left {}", timer(*m, *i)),
            Node::Held { b } => format!("held {}", self.buttons[*b]),
            Node::Pressed { b } => format!("pressed {}", self.buttons[*b]),
            Node::Setting { i } => format!("setting {i}"),
            Node::Spot => "spot".into(),
            // The reader lets them stand only as the whole of what is stored.
            Node::Draw { .. } | Node::Pick { .. } => "picked".into(),
            Node::Not { a } => format!("not({})", self.expr(a)),
            Node::Neg { a } => format!("neg({})", self.expr(a)),
            Node::Two { f, a, b } => self.two(*f, a, b),
        }
    }

    fn two(&self, f: Two, a: &Expr, b: &Expr) -> String {
        let (left, right) = match f {
            Two::Gt | Two::Ge => (self.expr(b), self.expr(a)),
            _ => (self.expr(a), self.expr(b)),
        };
        let f = match f {
            Two::Gt => Two::Lt,
            Two::Ge => Two::Le,
            other => other,
        };
        let any_order =
            matches!(f, Two::And | Two::Or | Two::Add | Two::Mul | Two::Min | Two::Max | Two::Eq | Two::Ne);
        let (left, right) = if any_order && right < left { (right, left) } else { (left, right) };
        format!("{f:?}({left}, {right})")
    }
}

/// States that machines must be in for a condition to be true.
fn needs(expr: &Expr, states: &mut Vec<(usize, usize)>) {
    match &expr.node {
        Node::In { m, s } => states.push((*m, *s)),
        Node::Two { f: Two::And, a, b } => {
            needs(a, states);
            needs(b, states);
        }
        _ => {}
    }
}

fn turn(machine: &rules::form::Machine) -> Option<usize> {
    match machine.ties {
        Some(Ties::Alternately { turn }) => Some(turn),
        _ => None,
    }
}

/// A name with one side's name in it turned into the other's, part by part.
fn swapped(name: &str, one: &str, other: &str) -> String {
    let image = |part: &str| match part {
        part if part == one => other.to_owned(),
        part if part == other => one.to_owned(),
        part => part.to_owned(),
    };
    let mut all = String::new();
    let mut part = String::new();
    for letter in name.chars() {
        if letter.is_alphanumeric() || letter == '_' {
            part.push(letter);
        } else {
            all += &image(&std::mem::take(&mut part));
            all.push(letter);
        }
    }
    all + &image(&part)
}
