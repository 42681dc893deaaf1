//! From declarations to the machine form: instances expanded, names resolved, ways out in written order.

use crate::form::{
    Action, Digits, Dwell, Figure, Form, Lights, Machine, Message, Node, Number, Shows, State, Timer,
    Transition, Trigger,
};
use crate::names::{Lookup, Outside, World};
use crate::ranges::{MAX_NODES, Typed};
use crate::syntax::{
    Behaviour, Cue, Deed, Ex, Hook, Light, MachineTree, Name, Path, Sources, Span, StateTree, Way,
};
use finding::{Fault, suggestion};
use std::collections::BTreeMap;

/// The name of the format.
const FORMAT: &str = "lampwright-form";
/// Its version.
const VERSION: u32 = 1;
/// No text may ask for more ways out than this, copies included.
const MAX_WAYS: usize = 65_535;

/// Where each transition was written: by machine, state and transition.
pub(crate) type Written = Vec<Vec<Vec<Span>>>;

/// What expansion gives besides the form.
pub(crate) struct Expanded {
    pub(crate) form: Form,
    pub(crate) written: Written,
    pub(crate) faults: Vec<Fault>,
}

/// The form of everything declared.
pub(crate) fn form(world: &World) -> Expanded {
    let mut expansion = Expansion {
        lookup: Lookup::new(world),
        figures: BTreeMap::new(),
        digits: BTreeMap::new(),
        ways: 0,
        written: Vec::new(),
    };
    let machines = (0..world.instances.len()).map(|m| expansion.machine(m)).collect();
    let interface = world.interface;
    let form = Form {
        format: FORMAT.to_owned(),
        version: VERSION,
        tick_ms: u32::try_from(world.tick_ms).unwrap_or(10),
        seed: world.seed,
        buttons: interface.buttons.clone(),
        figures: interface
            .figures
            .iter()
            .map(|figure| Figure { name: figure.name.clone(), poses: figure.poses.clone() })
            .collect(),
        spots: spots(world),
        digits: interface
            .digits
            .iter()
            .map(|digits| Digits { name: digits.name.clone(), count: digits.count })
            .collect(),
        messages: world
            .messages
            .iter()
            .map(|(name, sender)| Message { name: name.clone(), sender: *sender })
            .collect(),
        pick_sites: expansion.lookup.site,
        machines,
    };
    Expanded { form, written: expansion.written, faults: expansion.lookup.faults }
}

/// The single spots: `club.1` to `club.7` for a row of seven.
fn spots(world: &World) -> Vec<String> {
    let mut names = Vec::new();
    for spot in &world.interface.spots {
        if spot.count == 1 {
            names.push(spot.name.clone());
        } else {
            names.extend((1..=spot.count).map(|at| format!("{}.{at}", spot.name)));
        }
    }
    names
}

struct Expansion<'a> {
    lookup: Lookup<'a>,
    /// The machine that shows each figure.
    figures: BTreeMap<usize, usize>,
    /// The digits that already show a number.
    digits: BTreeMap<usize, String>,
    ways: usize,
    written: Written,
}

/// What a way out comes to, before it is put into its states.
struct Reaction {
    condition: Option<crate::form::Expr>,
    actions: Vec<Action>,
    go: Option<usize>,
}

impl Expansion<'_> {
    fn machine(&mut self, m: usize) -> Machine {
        let world = self.lookup.world;
        let instance = &world.instances[m];
        let tree = &world.trees[instance.tree];
        self.lookup.own = Some(m);
        self.written.push(vec![Vec::new(); tree.states.len()]);
        let numbers = (0..tree.numbers.len()).map(|i| self.number(instance.tree, i)).collect();
        let timers =
            tree.timers.iter().map(|name| Timer { name: name.text.clone(), dwell: false, max: 1 }).collect();
        let states = tree.states.iter().map(|state| self.state(m, state)).collect();
        let mut machine = Machine { name: instance.name.clone(), numbers, timers, states };
        for statement in &tree.behaviour {
            // A broken statement is left out; what was wrong has been said.
            match statement {
                Behaviour::Hook(hook) => self.hook(tree, hook, &mut machine),
                Behaviour::Way(way) => self.way(m, tree, way, &mut machine),
            };
        }
        machine
    }

    fn number(&mut self, tree: usize, i: usize) -> Number {
        let world = self.lookup.world;
        let written = &world.trees[tree].numbers[i];
        let range = world.ranges[tree][i];
        let digits = written.shown_on.as_ref().and_then(|path| self.shown_on(path, &written.name, range));
        let (min, max, start) = range.map_or((0, 0, 0), |range| (range.min, range.max, range.start));
        Number { name: written.name.text.clone(), min, max, start, shown_on: digits }
    }

    fn shown_on(&mut self, path: &Path, name: &Name, range: Option<crate::names::Range>) -> Option<usize> {
        let at = self.lookup.outside(path, Outside::Digits)?;
        let digits = &self.lookup.world.interface.digits[at];
        if let Some(other) = self.digits.get(&at) {
            let message = format!("`{}` already shows `{other}`", digits.name);
            let fault = self.lookup.fault("rules/digits-taken", path.span(), message);
            return self.lookup.refuse(fault.expected("expected digits that show nothing yet"));
        }
        self.digits.insert(at, name.text.clone());
        let range = range?;
        let most = 10_i64.checked_pow(digits.count).map_or(i64::MAX, |most| most - 1);
        if range.min < 0 || i64::from(range.max) > most {
            let message = format!("`{}` goes from {} to {}", name.text, range.min, range.max);
            let fault = self.lookup.fault("rules/digits-narrow", name.span, message);
            return self
                .lookup
                .refuse(fault.expected(format!("expected 0 to {most}, which `{}` can show", digits.name)));
        }
        Some(at)
    }

    fn state(&mut self, m: usize, state: &StateTree) -> State {
        let mut pose = None;
        for (figure, name) in &state.shows {
            let span = figure.as_ref().map_or(name.span, |figure| figure.span().to(name.span));
            let Some((figure, number)) = self.lookup.pose(figure.as_ref(), name) else { continue };
            if pose.is_some() {
                let message = format!("state `{}` already shows a pose", state.name.text);
                let fault = self.lookup.fault("rules/two-poses", span, message);
                self.lookup.faults.push(
                    fault
                        .expected("expected one pose a state")
                        .hint("give the other figure a machine of its own"),
                );
                continue;
            }
            let owner = *self.figures.entry(figure).or_insert(m);
            if owner != m {
                let world = self.lookup.world;
                let figure = &world.interface.figures[figure].name;
                let message = format!(
                    "figure `{figure}` is already shown by machine `{}`",
                    world.instances[owner].name
                );
                let fault = self.lookup.fault("rules/figure-taken", span, message);
                self.lookup.faults.push(fault.expected("expected a figure that no other machine shows"));
                continue;
            }
            pose = Some(Shows { figure, pose: number });
        }
        self.lookup.light = true;
        let lights = state.lights.iter().filter_map(|light| self.light(light)).collect();
        self.lookup.light = false;
        let name = state.name.text.clone();
        State {
            name,
            dwells: Vec::new(),
            entry: Vec::new(),
            exit: Vec::new(),
            pose,
            lights,
            transitions: Vec::new(),
        }
    }

    fn light(&mut self, light: &Light) -> Option<Lights> {
        let at = self.lookup.outside(&light.spot, Outside::Spot);
        let index = self.numbered(light.index.as_ref());
        let level = self.numbered(light.level.as_ref());
        let when = match &light.when {
            Some(when) => Some(self.lookup.condition(when)),
            None => None,
        };
        let (at, index, level) = (at?, index?, level?);
        let when = match when {
            Some(when) => Some(when?.expr),
            None => None,
        };
        let spots = &self.lookup.world.interface.spots;
        let first = spots[..at].iter().map(|spot| spot.count as usize).sum();
        let spot = &spots[at];
        self.index(light.spot.span(), index.as_ref(), &spot.name, spot.count)?;
        self.level(level.as_ref(), &spot.name, spot.dims)?;
        let full = crate::form::Expr { w: 16, node: Node::Const { v: 255 } };
        let level = level.map_or(full, |level| level.expr);
        Some(Lights { first, count: spot.count, index: index.map(|index| index.expr), level, when })
    }

    /// A number that may be left out; the outer option is none after a fault.
    fn numbered(&mut self, ex: Option<&Ex>) -> Option<Option<Typed>> {
        match ex {
            Some(ex) => self.lookup.number(ex).map(Some),
            None => Some(None),
        }
    }

    fn index(&mut self, span: Span, index: Option<&Typed>, name: &str, count: u32) -> Option<()> {
        let Some(index) = index else {
            if count == 1 {
                return Some(());
            }
            let fault =
                self.lookup.fault("rules/index-missing", span, format!("`{name}` is a row of {count}"));
            return self.lookup.refuse(fault.expected(format!("expected which one, as in `{name}[1]`")));
        };
        let last = i64::from(count);
        let expected = format!("expected 1 to {count}");
        if index.hi < 1 || index.lo > last {
            let message = format!("`{name}` has no place {}", bounds(index.lo, index.hi));
            let fault = self.lookup.fault("rules/index-outside", index.span, message);
            return self.lookup.refuse(fault.expected(expected));
        }
        if index.lo < 1 || index.hi > last {
            let message =
                format!("this can be {}; beyond the ends it lights the end", bounds(index.lo, index.hi));
            let fault = self.lookup.fault("rules/index-may-leave", index.span, message);
            self.lookup.faults.push(fault.expected(expected).caution());
        }
        Some(())
    }

    fn level(&mut self, level: Option<&Typed>, name: &str, dims: bool) -> Option<()> {
        let Some(level) = level else { return Some(()) };
        if level.lo == level.hi && (level.lo < 0 || level.hi > 255) {
            let fault = self.lookup.fault(
                "rules/level-outside",
                level.span,
                format!("there is no level {}", level.lo),
            );
            return self.lookup.refuse(fault.expected("expected 0 to 255"));
        }
        if !dims && !(level.lo == level.hi && (level.lo == 0 || level.lo == 255)) {
            let fault =
                self.lookup.fault("rules/cannot-dim", level.span, format!("`{name}` can only be on or off"));
            return self
                .lookup
                .refuse(fault.expected("expected 0 or 255").hint("`when CONDITION` switches it"));
        }
        if level.lo < 0 || level.hi > 255 {
            let message =
                format!("this can be {}; beyond the ends it stays at the end", bounds(level.lo, level.hi));
            let fault = self.lookup.fault("rules/level-may-leave", level.span, message);
            self.lookup.faults.push(fault.expected("expected 0 to 255").caution());
        }
        Some(())
    }

    /// The states a statement is about; unknown ones are reported, and then it is about none.
    fn sources(&mut self, tree: &MachineTree, sources: &Sources) -> Option<Vec<usize>> {
        let Sources::These(names) = sources else { return Some((0..tree.states.len()).collect()) };
        let found: Vec<Option<usize>> = names.iter().map(|name| self.lookup.state(tree, name)).collect();
        let found: Vec<usize> = found.into_iter().collect::<Option<_>>()?;
        for (at, name) in names.iter().enumerate() {
            if names[..at].iter().any(|earlier| earlier.text == name.text) {
                let fault = self.lookup.fault(
                    "rules/duplicate",
                    name.span,
                    format!("`{}` is listed twice", name.text),
                );
                return self.lookup.refuse(fault.expected("expected each state once"));
            }
        }
        Some(found)
    }

    fn hook(&mut self, tree: &MachineTree, hook: &Hook, machine: &mut Machine) -> Option<()> {
        let sources = self.sources(tree, &hook.sources);
        let actions = self.actions(&hook.deeds, machine);
        let (sources, actions) = (sources?, actions?);
        for at in sources {
            self.count(&actions, None, tree.name.span)?;
            let state = &mut machine.states[at];
            if hook.entry { &mut state.entry } else { &mut state.exit }.extend(actions.iter().cloned());
        }
        Some(())
    }

    /// Counts what copying a statement into a state costs.
    fn count(&mut self, actions: &[Action], condition: Option<&crate::form::Expr>, span: Span) -> Option<()> {
        if self.lookup.nodes > MAX_NODES {
            return None;
        }
        let parts = |action: &Action| match action {
            Action::Set { to: expr, .. } | Action::Start { ticks: expr, .. } => 1 + size(expr),
            _ => 1,
        };
        self.lookup.nodes += actions.iter().map(parts).sum::<usize>() + condition.map_or(0, size);
        if self.lookup.nodes <= MAX_NODES {
            return Some(());
        }
        self.lookup.nodes = MAX_NODES + 1;
        let fault = self.lookup.fault("rules/too-many", span, "these rules are too large to be played");
        self.lookup.refuse(fault.expected(format!("expected at most {MAX_NODES} parts of expressions")))
    }

    fn way(&mut self, m: usize, tree: &MachineTree, way: &Way, machine: &mut Machine) -> Option<()> {
        let sources = self.sources(tree, &way.sources);
        let trigger = self.trigger(&way.cue);
        let condition = match &way.condition {
            Some(condition) => self.lookup.condition(condition).map(|typed| Some(typed.expr)),
            None => Some(None),
        };
        let actions = self.actions(&way.deeds, machine);
        let go = match &way.go {
            Some(name) => self.lookup.state(tree, name).map(Some),
            None => Some(None),
        };
        let (sources, trigger) = (sources?, trigger?);
        let reaction = Reaction { condition: condition?, actions: actions?, go: go? };
        for at in sources {
            self.ways += 1;
            if self.ways > MAX_WAYS {
                if self.ways == MAX_WAYS + 1 {
                    let fault = self.lookup.fault(
                        "rules/too-many",
                        way.span,
                        "these rules have too many ways out of states",
                    );
                    self.lookup.faults.push(fault.expected(format!("expected at most {MAX_WAYS}")));
                }
                return None;
            }
            self.count(&reaction.actions, reaction.condition.as_ref(), way.span)?;
            let trigger = match &trigger {
                Ok(trigger) => trigger.clone(),
                Err(ticks) => Trigger::Timer { timer: dwell(machine, at, *ticks) },
            };
            let transitions = &mut machine.states[at].transitions;
            transitions.push(Transition {
                priority: u32::try_from(transitions.len()).unwrap_or(u32::MAX),
                trigger,
                condition: reaction.condition.clone(),
                actions: reaction.actions.clone(),
                go: reaction.go,
            });
            self.written[m][at].push(way.span);
        }
        Some(())
    }

    /// The trigger, or the ticks of a dwell timer that each state has for itself.
    fn trigger(&mut self, cue: &Cue) -> Option<Result<Trigger, u32>> {
        Some(Ok(match cue {
            Cue::When => Trigger::Always,
            Cue::Press(path) => Trigger::Press { button: self.lookup.outside(path, Outside::Button)? },
            Cue::Timer(name) => Trigger::Timer { timer: self.lookup.timer(name)? },
            Cue::Message(name, sender) => Trigger::Message { any: self.heard(name, sender.as_ref())? },
            Cue::After(ex) => {
                let (ticks, typed) = self.lookup.constant(ex)?;
                let typed = self.lookup.with_unit(typed)?;
                if ticks < 1 {
                    let fault = self.lookup.fault("rules/too-short", typed.span, "this is less than a tick");
                    let tick = self.lookup.world.tick_ms;
                    return self.lookup.refuse(fault.expected(format!("expected at least {tick} ms")));
                }
                return Some(Err(ticks.unsigned_abs()));
            }
        }))
    }

    fn heard(&mut self, name: &Name, sender: Option<&Path>) -> Option<Vec<usize>> {
        let world = self.lookup.world;
        let senders = match sender {
            Some(path) => Some(self.lookup.senders(path)?),
            None => None,
        };
        let by_name = |at: &usize| world.messages[*at].0 == name.text;
        let all: Vec<usize> = (0..world.messages.len()).filter(by_name).collect();
        let wanted =
            |at: &usize| senders.as_ref().is_none_or(|senders| senders.contains(&world.messages[*at].1));
        let any: Vec<usize> = all.iter().copied().filter(wanted).collect();
        if !any.is_empty() {
            return Some(any);
        }
        let fault = match sender {
            Some(path) if !all.is_empty() => self
                .lookup
                .fault(
                    "rules/message-sender",
                    path.span(),
                    format!("`{}` never sends `{}`", path.text(), name.text),
                )
                .expected("expected a machine that sends it")
                .maybe_hint(suggestion(
                    &path.text(),
                    all.iter().map(|at| world.instances[world.messages[*at].1].name.as_str()),
                )),
            _ => {
                let known: std::collections::BTreeSet<&str> =
                    world.messages.iter().map(|(name, _)| name.as_str()).collect();
                self.lookup
                    .fault("rules/message-unsent", name.span, format!("nobody sends `{}`", name.text))
                    .expected("expected a message that some machine sends")
                    .maybe_hint(suggestion(&name.text, known))
            }
        };
        self.lookup.refuse(fault)
    }

    /// All actions, or none when one of them is broken.
    fn actions(&mut self, deeds: &[Deed], machine: &mut Machine) -> Option<Vec<Action>> {
        let all: Vec<Option<Action>> = deeds.iter().map(|deed| self.action(deed, machine)).collect();
        all.into_iter().collect()
    }

    fn action(&mut self, deed: &Deed, machine: &mut Machine) -> Option<Action> {
        Some(match deed {
            Deed::Set(path, ex) => {
                let number = self.own_number(path);
                let to = self.lookup.number(ex);
                Action::Set { number: number?, to: to?.expr }
            }
            Deed::Start(name, ex) => {
                let timer = self.lookup.timer(name);
                let ticks = self.lookup.number(ex).and_then(|ticks| self.lookup.with_unit(ticks));
                let (timer, ticks) = (timer?, ticks?);
                if ticks.hi < 1 {
                    let fault =
                        self.lookup.fault("rules/too-short", ticks.span, "this is always less than a tick");
                    let tick = self.lookup.world.tick_ms;
                    return self.lookup.refuse(fault.expected(format!("expected at least {tick} ms")));
                }
                let longest = &mut machine.timers[timer].max;
                *longest = (*longest).max(u32::try_from(ticks.hi).unwrap_or(1));
                Action::Start { timer, ticks: ticks.expr }
            }
            Deed::Stop(name) => Action::Stop { timer: self.lookup.timer(name)? },
            Deed::Press(path) => Action::Press { button: self.lookup.outside(path, Outside::Button)? },
            Deed::Send(name) => {
                let own = self.lookup.own?;
                let sent = |(message, sender): &(String, usize)| *message == name.text && *sender == own;
                Action::Send { message: self.lookup.world.messages.iter().position(sent)? }
            }
        })
    }

    fn own_number(&mut self, path: &Path) -> Option<usize> {
        let (_, tree) = self.lookup.own_tree()?;
        if !path.rest.is_empty() {
            let fault = self.lookup.fault(
                "rules/foreign-write",
                path.span(),
                "only its own machine can change a number",
            );
            return self.lookup.refuse(
                fault
                    .expected("expected a number of this machine")
                    .hint("send a message and let its machine change it"),
            );
        }
        let name = &path.first;
        if let Some(at) = tree.numbers.iter().position(|number| number.name.text == name.text) {
            return Some(at);
        }
        let known = tree.numbers.iter().map(|number| number.name.text.as_str());
        let fault = self
            .lookup
            .fault(
                "rules/unknown-number",
                name.span,
                format!("`{}` has no number `{}`", tree.name.text, name.text),
            )
            .expected("expected a number of this machine")
            .maybe_hint(suggestion(&name.text, known));
        self.lookup.refuse(fault)
    }
}

/// The dwell timer of a state for so many ticks, made when it is first asked for.
fn dwell(machine: &mut Machine, state: usize, ticks: u32) -> usize {
    let known = machine.states[state].dwells.iter().find(|dwell| dwell.ticks == ticks);
    if let Some(known) = known {
        return known.timer;
    }
    let timer = machine.timers.len();
    let name = format!("{}+{ticks}", machine.states[state].name);
    machine.timers.push(Timer { name, dwell: true, max: ticks });
    machine.states[state].dwells.push(Dwell { timer, ticks });
    timer
}

fn bounds(lo: i64, hi: i64) -> String {
    if lo == hi { lo.to_string() } else { format!("{lo} to {hi}") }
}

/// How many nodes an expression has.
fn size(expr: &crate::form::Expr) -> usize {
    match &expr.node {
        Node::Not { a } | Node::Neg { a } => 1 + size(a),
        Node::Two { a, b, .. } => 1 + size(a) + size(b),
        _ => 1,
    }
}
