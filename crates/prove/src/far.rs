//! What is far from a claim is left free: only the machines near it act, and whatever they read of the others may be anything.
//!
//! - A condition's part that reads a far machine, or whether a button is held, becomes the press of a *free button*, which
//!   nobody has: true or false in any tick, as anybody's press may be. It is read so that without the press the condition is as
//!   false as can be, and a tick in which nothing is pressed still changes nothing most of the time.
//! - A far machine's message becomes the press of a free button, too. What it would press by itself, hands can press.
//! - A value that is worked out from a far number becomes a pick within what it can come to.
//! - A number or timer that nothing reads before it is set anew is put back to its start, on the way into such a state.
//!
//! For every play of the form there is one of this form in which free buttons are pressed just where the parts they stand for
//! are true, so that a claim proved here holds. A play against it counts only when the referee plays it with real buttons;
//! otherwise the next farther machines are taken in. (Localization: R. Kurshan, "Computer-Aided Verification of
//! Coordinating Processes", 1994. Refinement: E. Clarke, O. Grumberg, S. Jha, Y. Lu, H. Veith, 2000. Clocks that are not
//! active: C. Daws, S. Yovine, "Reducing the number of clock variables of timed automata", 1996. All from memory.)

use crate::answer::Trace;
use crate::live;
use crate::model::{Model, action_lists, deciding};
use crate::reduce::{Place, bounds};
use crate::watch::{Watch, shows};
use rules::form::{Action, Expr, Form, Machine, Node, State, Transition, Trigger, Two, each_node};
use std::collections::BTreeSet;

/// Machines by position.
pub(crate) type Near = BTreeSet<usize>;

/// Buttons that fit a word.
const MOST_BUTTONS: usize = 64;
/// More values than this are not picked from.
const MOST_VALUES: i64 = 1 << 12;

/// The machines whose part in a play was left free: those that the free buttons pressed in it stood for.
pub(crate) fn blamed(model: &Model, trace: &Trace) -> Near {
    let pressed = trace.ticks.iter().flat_map(|tick| &tick.pressed);
    let free = pressed.filter_map(|b| b.checked_sub(model.real)).filter_map(|nth| model.stands_for.get(nth));
    free.flatten().copied().collect()
}

/// More machines: the blamed ones; where none is, all that is read by those that are near. None where there is no more.
pub(crate) fn wider(form: &Form, watch: &Watch, near: &Near, blamed: &Near) -> Option<Near> {
    let mut wider: Near = near.union(blamed).copied().collect();
    if wider == *near {
        for m in near {
            let mut read = |node: &Node| wider.extend(machine_of(node));
            for state in &form.machines[*m].states {
                deciding(state).for_each(|expr| each_node(expr, &mut read));
            }
            wider.extend(heard(&form.machines[*m]).map(|message| form.messages[message].sender));
        }
    }
    let wider = lit_by(form, watch, wider);
    (wider != *near).then_some(wider)
}

/// The machines that a claim speaks of.
pub(crate) fn spoken_of(form: &Form, watch: &Watch, judged: Option<usize>) -> Near {
    let mut near = Near::new();
    watch.exprs().into_iter().for_each(|expr| each_node(expr, &mut |node| near.extend(machine_of(node))));
    if let Watch::Leads { cause: Trigger::Message { any }, .. } = watch {
        near.extend(any.iter().map(|message| form.messages[*message].sender));
    }
    for (m, machine) in form.machines.iter().enumerate() {
        let posed = |figure: Option<usize>| {
            let mut poses = machine.states.iter().filter_map(|state| state.pose.as_ref());
            poses.any(|pose| figure.is_none_or(|figure| figure == pose.figure))
        };
        let writes = || machine.states.iter().any(|state| !state.writes.is_empty());
        let shown = || machine.numbers.iter().any(|number| number.shown_on.is_some());
        let speaks = match watch {
            Watch::InRange => judged.is_none_or(|judged| judged == m),
            Watch::DigitsFit => shown() || writes(),
            Watch::Answered { by, .. } => by.map_or_else(|| shows(machine), |by| by == m),
            Watch::Flash { figure, .. } => posed(*figure),
            _ => false,
        };
        if speaks {
            near.insert(m);
        }
    }
    lit_by(form, watch, near)
}

/// Whether the claim looks at light, so that what lights read must be there.
fn looks_at_light(watch: &Watch) -> bool {
    matches!(watch, Watch::InRange | Watch::DigitsFit)
}

/// Leaves of the picture only what is known of it: the spots that no far machine lights and no light reads a far machine for, and
/// digits likewise. Where those change, the whole picture does.
fn keep_known_picture(form: &Form, near: &Near, small: &mut Form) {
    let is_far = |m: usize, exprs: &mut dyn Iterator<Item = &Expr>| {
        let mut far = !near.contains(&m);
        exprs.for_each(|expr| {
            each_node(expr, &mut |node| far |= machine_of(node).is_some_and(|m| !near.contains(&m)));
        });
        far
    };
    let (mut spots, mut digits) = (vec![false; form.spots.len()], vec![false; form.digits.len()]);
    let states = || {
        form.machines.iter().enumerate().flat_map(|(m, one)| one.states.iter().map(move |state| (m, state)))
    };
    loop {
        let before = spots.clone();
        for (m, state) in states() {
            for light in &state.lights {
                let row = light.first..(light.first + light.count as usize).min(spots.len());
                let mut exprs = light.index.iter().chain(&light.when).chain([&light.level]);
                if is_far(m, &mut exprs) || spots[row.clone()].contains(&true) {
                    spots[row].fill(true);
                }
            }
        }
        if spots == before {
            break;
        }
    }
    for (m, state) in states() {
        for writes in &state.writes {
            digits[writes.digits] |= is_far(m, &mut [&writes.value].into_iter());
        }
    }
    for (_, machine) in form.machines.iter().enumerate().filter(|(m, _)| !near.contains(m)) {
        machine.numbers.iter().filter_map(|number| number.shown_on).for_each(|shown| digits[shown] = true);
    }
    for machine in &mut small.machines {
        for number in &mut machine.numbers {
            number.shown_on = number.shown_on.filter(|shown| !digits[*shown]);
        }
        for state in &mut machine.states {
            state.lights.retain(|light| !spots[light.first]);
            state.writes.retain(|writes| !digits[writes.digits]);
        }
    }
}

/// The machines that show something, and those that their light reads.
pub(crate) fn make_picture(form: &Form) -> Near {
    lit_by(
        form,
        &Watch::DigitsFit,
        form.machines.iter().enumerate().filter(|(_, machine)| shows(machine)).map(|(m, _)| m).collect(),
    )
}

fn lit_by(form: &Form, watch: &Watch, mut near: Near) -> Near {
    while looks_at_light(watch) {
        let before = near.len();
        for m in near.clone() {
            for state in &form.machines[m].states {
                // Of a light without an index, nothing is out of range.
                let looked =
                    *watch != Watch::InRange || state.lights.iter().any(|light| light.index.is_some());
                light_exprs(state)
                    .filter(|_| looked)
                    .for_each(|expr| each_node(expr, &mut |node| near.extend(machine_of(node))));
            }
        }
        if near.len() == before {
            break;
        }
    }
    near
}

/// Everything that a state's lights and digits read.
pub(crate) fn light_exprs(state: &State) -> impl Iterator<Item = &Expr> {
    let lights = state.lights.iter();
    let lights = lights.flat_map(|light| light.index.iter().chain(&light.when).chain([&light.level]));
    lights.chain(state.writes.iter().map(|writes| &writes.value))
}

/// The machine that a part of an expression reads.
pub(crate) fn machine_of(node: &Node) -> Option<usize> {
    match node {
        Node::Number { m, .. }
        | Node::In { m, .. }
        | Node::Running { m, .. }
        | Node::Due { m, .. }
        | Node::Left { m, .. } => Some(*m),
        _ => None,
    }
}

/// The messages a machine hears.
pub(crate) fn heard(machine: &Machine) -> impl Iterator<Item = usize> {
    let ways = machine.states.iter().flat_map(|state| &state.transitions);
    ways.flat_map(|way| match &way.trigger {
        Trigger::Message { any } => any.clone(),
        _ => Vec::new(),
    })
}

/// The form in which only these machines act, and for each free button the machines it stands for; none where it cannot be
/// said that way. Positions stay as they are.
pub(crate) fn left_free(form: &Form, watch: &Watch, near: &Near) -> Option<(Form, Vec<Near>)> {
    let hidden = BTreeSet::new();
    let (free, mut small) = blanked(form, near, &hidden)?;
    if !looks_at_light(watch) && !matches!(watch, Watch::Answered { .. }) {
        for state in small.machines.iter_mut().flat_map(|machine| &mut machine.states) {
            state.lights.clear();
            state.writes.clear();
        }
    }
    if matches!(watch, Watch::Answered { .. }) {
        keep_known_picture(form, near, &mut small);
    }
    let stands_for = free.with_buttons(&mut small)?;
    unsaid(&mut small, watch);
    live::rest(&mut small, watch);
    Some((small, stands_for))
}

/// The same with every message, number and timer of these machines as it is, so that what they can come to can be put beside
/// what others can. Hidden numbers are left free like everything far: nothing is stored in them.
pub(crate) fn left_free_alone(form: &Form, near: &Near, hidden: &BTreeSet<Place>) -> Option<Form> {
    let (free, mut small) = blanked(form, near, hidden)?;
    free.with_buttons(&mut small)?;
    Some(small)
}

/// The form in which the others do nothing, and what is read of them.
fn blanked<'a>(form: &'a Form, near: &'a Near, hidden: &'a BTreeSet<Place>) -> Option<(Free<'a>, Form)> {
    let mut free = Free { form, near, hidden, atoms: Vec::new(), site: form.pick_sites };
    let mut small = form.clone();
    for (m, machine) in small.machines.iter_mut().enumerate() {
        if near.contains(&m) {
            let stored = |action: &Action| !matches!(action, Action::Set { number, .. } if hidden.contains(&(m, *number)));
            let lists = machine.states.iter_mut().flat_map(action_lists);
            lists.for_each(|list| list.retain(stored));
            free.keep(machine)?;
        } else {
            blank(machine);
        }
    }
    Some((free, small))
}

/// A machine that does nothing.
fn blank(machine: &mut Machine) {
    machine.remembers.clear();
    machine.ties = None;
    machine.numbers.iter_mut().for_each(|number| number.shown_on = None);
    machine.states = vec![State {
        name: "far".into(),
        dwells: Vec::new(),
        entry: Vec::new(),
        exit: Vec::new(),
        pose: None,
        lights: Vec::new(),
        writes: Vec::new(),
        transitions: Vec::new(),
    }];
}

/// Takes out messages that nobody hears.
fn unsaid(form: &mut Form, watch: &Watch) {
    let mut all: BTreeSet<usize> = form.machines.iter().flat_map(heard).collect();
    if let Watch::Leads { cause: Trigger::Message { any }, .. } = watch {
        all.extend(any);
    }
    for list in form.machines.iter_mut().flat_map(|machine| &mut machine.states).flat_map(action_lists) {
        list.retain(|action| !matches!(action, Action::Send { message } if !all.contains(message)));
    }
}

/// What a free button stands for.
enum Atom {
    /// A part of a condition, read as it is (true) or as its contrary.
    Part(Expr, bool),
    Messages(Vec<usize>),
}

struct Free<'a> {
    form: &'a Form,
    near: &'a Near,
    hidden: &'a BTreeSet<Place>,
    atoms: Vec<Atom>,
    site: u32,
}

impl Free<'_> {
    /// Puts the free buttons into the form, and says for each the machines that it stands for.
    fn with_buttons(&self, small: &mut Form) -> Option<Vec<Near>> {
        small.buttons.extend((0..self.atoms.len()).map(|nth| format!("free {nth}")));
        small.pick_sites = self.site;
        (small.buttons.len() <= MOST_BUTTONS)
            .then(|| self.atoms.iter().map(|atom| self.machines(atom)).collect())
    }

    fn keep(&mut self, machine: &mut Machine) -> Option<()> {
        let longest: Vec<u32> = machine.timers.iter().map(|timer| timer.max).collect();
        for state in &mut machine.states {
            let mut ways: Vec<Transition> = Vec::new();
            for mut way in std::mem::take(&mut state.transitions) {
                way.condition = way.condition.map(|condition| self.part(&condition, true));
                if let Trigger::Message { any } = &way.trigger {
                    let is_near = |message: &usize| self.near.contains(&self.form.messages[*message].sender);
                    let (near, far): (Vec<usize>, Vec<usize>) = any.iter().copied().partition(is_near);
                    if !far.is_empty() {
                        let button = self.button(Atom::Messages(far));
                        if !near.is_empty() {
                            ways.push(Transition { trigger: Trigger::Message { any: near }, ..way.clone() });
                        }
                        way.trigger = Trigger::Press { button };
                    }
                }
                ways.push(way);
            }
            for (way, priority) in ways.iter_mut().zip(0..) {
                way.priority = priority;
            }
            state.transitions = ways;
            for action in action_lists(state).flatten() {
                match action {
                    Action::Set { to, .. } if self.is_far(to) => {
                        let (least, most) = bounds(self.form, to);
                        to.node = self.pick(least, most)?;
                    }
                    Action::Start { timer, ticks } if self.is_far(ticks) => {
                        let (least, most) = bounds(self.form, ticks);
                        ticks.node = self.pick(least, most.min(i64::from(longest[*timer])))?;
                        if least < 1 {
                            return None;
                        }
                    }
                    _ => {}
                }
            }
        }
        Some(())
    }

    /// The far machines that a free button stands for.
    fn machines(&self, atom: &Atom) -> Near {
        let mut all = Near::new();
        match atom {
            Atom::Part(expr, _) => each_node(expr, &mut |node| all.extend(machine_of(node))),
            Atom::Messages(messages) => {
                all.extend(messages.iter().map(|message| self.form.messages[*message].sender));
            }
        }
        all
    }

    fn pick(&mut self, least: i64, most: i64) -> Option<Node> {
        if most < least || most - least > MOST_VALUES {
            return None;
        }
        let site = self.site;
        self.site += 1;
        Some(Node::Pick { site, lo: i32::try_from(least).ok()?, hi: i32::try_from(most).ok()? })
    }

    fn is_far_node(&self, node: &Node) -> bool {
        let hidden = matches!(node, Node::Number { m, i } if self.hidden.contains(&(*m, *i)));
        hidden
            || matches!(node, Node::Held { .. })
            || machine_of(node).is_some_and(|m| !self.near.contains(&m))
    }

    fn is_far(&self, expr: &Expr) -> bool {
        let mut far = false;
        each_node(expr, &mut |node| far |= self.is_far_node(node));
        far
    }

    /// Whether it reads nothing near, so that it can be one part.
    fn is_far_only(&self, expr: &Expr) -> bool {
        let mut only = true;
        each_node(expr, &mut |node| {
            only &= !matches!(node, Node::Pressed { .. })
                && (machine_of(node).is_none() || self.is_far_node(node));
        });
        only
    }

    fn part(&mut self, expr: &Expr, wanted: bool) -> Expr {
        if !self.is_far(expr) {
            return expr.clone();
        }
        let mut same = expr.clone();
        match &mut same.node {
            Node::Not { a } => {
                **a = self.part(a, !wanted);
                return same;
            }
            Node::Two { f: Two::And | Two::Or, a, b } if !self.is_far_only(expr) => {
                **a = self.part(a, wanted);
                **b = self.part(b, wanted);
                return same;
            }
            _ => {}
        }
        let pressed =
            Expr { w: expr.w, node: Node::Pressed { b: self.button(Atom::Part(expr.clone(), wanted)) } };
        if wanted { pressed } else { Expr { w: expr.w, node: Node::Not { a: Box::new(pressed) } } }
    }

    fn button(&mut self, atom: Atom) -> usize {
        let same = |known: &Atom| match (known, &atom) {
            (Atom::Part(a, wanted), Atom::Part(b, also)) => a == b && wanted == also,
            (Atom::Messages(a), Atom::Messages(b)) => a == b,
            _ => false,
        };
        let at = self.atoms.iter().position(same).unwrap_or_else(|| {
            self.atoms.push(atom);
            self.atoms.len() - 1
        });
        self.form.buttons.len() + at
    }
}

/// Everything that is read in a state.
pub(crate) fn each_read(state: &State, look: &mut dyn FnMut(&Node)) {
    deciding(state).for_each(|expr| each_node(expr, look));
    light_exprs(state).for_each(|expr| each_node(expr, look));
}
