//! From declarations to the machine form: instances expanded, names resolved, ways out in written order.

use crate::codes;
use crate::form::{
    Action, Digits, Dwell, FORMAT, Figure, Form, Machine, Message, Remember, Setting, State, Timer,
    Transition, Trigger, VERSION, each_node,
};
use crate::names::{Lookup, Outside, World};
use crate::ranges::MAX_NODES;
use crate::syntax::{
    Behaviour, Cause, Deed, Ex, Hook, MachineTree, Name, Path, RememberTree, Sources, Span, Way,
};
use finding::Fault;
use std::collections::BTreeMap;

/// No text may ask for more ways out than this, copies included.
const MAX_WAYS: usize = 65_535;

/// Where each transition was written: by machine, state and transition.
pub(crate) type Written = Vec<Vec<Vec<Span>>>;

/// What expansion gives besides the form.
pub(crate) struct Expanded {
    pub(crate) form: Form,
    pub(crate) written: Written,
    /// The names of conditions that nothing uses.
    pub(crate) unused: Vec<Name>,
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
    let mut machines: Vec<Machine> = (0..world.instances.len()).map(|m| expansion.machine(m)).collect();
    // What is shown comes last: it may ask how long any timer can run.
    let longest = |machine: &Machine| machine.timers.iter().map(|timer| timer.max).collect();
    expansion.lookup.longest = machines.iter().map(longest).collect();
    for (m, machine) in machines.iter_mut().enumerate() {
        expansion.show(m, machine);
    }
    expansion.lookup.own = None;
    let claims = crate::claims::claims(&mut expansion.lookup);
    let (prompts, bout) = crate::prompts::prompts(&mut expansion.lookup);
    let unused = crate::claims::unused_conditions(&mut expansion.lookup);
    let Expansion { lookup, written, .. } = expansion;
    let form = Form { pick_sites: lookup.site, machines, claims, prompts, bout, ..frame(world) };
    Expanded { form, written, unused, faults: lookup.faults }
}

/// The form of what stands around the machines.
fn frame(world: &World) -> Form {
    let interface = world.interface;
    let setting = |(name, range): &(String, Option<crate::names::Range>)| {
        let (min, max, start) = range.map_or((0, 0, 0), |range| (range.min, range.max, range.start));
        Setting { name: name.clone(), min, max, start }
    };
    Form {
        format: FORMAT.to_owned(),
        version: VERSION,
        tick_ms: u32::try_from(world.tick_ms).unwrap_or(10),
        seed: world.seed,
        sides: world.sides.clone(),
        sliders: world.sliders.clone(),
        settings: world.settings.iter().map(setting).collect(),
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
        sounds: interface.sounds.clone(),
        messages: world
            .messages
            .iter()
            .map(|(name, sender)| Message { name: name.clone(), sender: *sender })
            .collect(),
        ..Form::default()
    }
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

pub(crate) struct Expansion<'a> {
    pub(crate) lookup: Lookup<'a>,
    /// The machine that shows each figure.
    pub(crate) figures: BTreeMap<usize, usize>,
    /// The digits that already show a number.
    pub(crate) digits: BTreeMap<usize, String>,
    ways: usize,
    pub(crate) written: Written,
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
        let named = |name: &Name| Timer { name: name.text.clone(), dwell: false, cycle: false, max: 1 };
        let bare = |name: &Name| State {
            name: name.text.clone(),
            dwells: Vec::new(),
            entry: Vec::new(),
            exit: Vec::new(),
            pose: None,
            lights: Vec::new(),
            writes: Vec::new(),
            transitions: Vec::new(),
        };
        let mut machine = Machine {
            name: instance.name.clone(),
            numbers: (0..tree.numbers.len()).map(|i| self.number(instance.tree, i)).collect(),
            timers: tree.timers.iter().map(named).collect(),
            remembers: Vec::new(),
            ties: None,
            states: tree.states.iter().map(|state| bare(&state.name)).collect(),
        };
        machine.numbers.extend(world.bags[instance.tree].iter().zip(&tree.bags).map(hidden_bag));
        machine.ties = self.ties(tree, &mut machine.numbers);
        for written in &tree.remembers {
            self.remember(written, &mut machine);
        }
        for statement in &tree.behaviour {
            // A broken statement is left out; what was wrong has been said.
            match statement {
                Behaviour::Hook(hook) => self.hook(tree, hook, &mut machine),
                Behaviour::Way(way) => self.way(m, tree, way, &mut machine),
            };
        }
        self.settle(m, &mut machine);
        machine
    }

    fn remember(&mut self, written: &RememberTree, machine: &mut Machine) -> Option<()> {
        let button = self.lookup.outside(&written.button, Outside::Button);
        let ticks = self.duration(&written.ticks);
        let (button, ticks) = (button?, ticks?);
        let known = machine.remembers.iter().any(|known| known.button == button);
        if known {
            let message = format!("presses of `{}` are already remembered", written.button.text());
            let fault = self.lookup.fault(codes::DUPLICATE, written.button.span(), message);
            return self.lookup.refuse(fault.expected("expected each button once"));
        }
        let timer = machine.timers.len();
        let name = format!("remember+{}", self.lookup.world.interface.buttons[button]);
        machine.timers.push(Timer { name, dwell: false, cycle: false, max: ticks });
        machine.remembers.push(Remember { button, timer, ticks });
        Some(())
    }

    /// A fixed time of at least one tick.
    pub(crate) fn duration(&mut self, ex: &Ex) -> Option<u32> {
        self.lookup.duration(ex)
    }

    /// The states a statement is about; unknown ones are reported, and then it is about none.
    fn sources(&mut self, tree: &MachineTree, sources: &Sources) -> Option<Vec<usize>> {
        let Sources::These(names) = sources else { return Some((0..tree.states.len()).collect()) };
        let found: Vec<Option<usize>> = names.iter().map(|name| self.lookup.state(tree, name)).collect();
        let found: Vec<usize> = found.into_iter().collect::<Option<_>>()?;
        for (at, name) in names.iter().enumerate() {
            if names[..at].iter().any(|earlier| earlier.text == name.text) {
                let fault = self.lookup.fault(
                    codes::DUPLICATE,
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
        let fault = self.lookup.fault(codes::TOO_MANY, span, "these rules are too large to be played");
        self.lookup.refuse(fault.expected(format!("expected at most {MAX_NODES} parts of expressions")))
    }

    fn way(&mut self, m: usize, tree: &MachineTree, way: &Way, machine: &mut Machine) -> Option<()> {
        let sources = self.sources(tree, &way.sources);
        let trigger = self.trigger(&way.cause);
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
                        codes::TOO_MANY,
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
                side: None,
                actions: reaction.actions.clone(),
                go: reaction.go,
            });
            self.written[m][at].push(way.span);
        }
        Some(())
    }

    /// The trigger, or the ticks of a dwell timer that each state has for itself.
    fn trigger(&mut self, cause: &Cause) -> Option<Result<Trigger, u32>> {
        Some(Ok(match cause {
            Cause::When => Trigger::Always,
            Cause::Press(path) => Trigger::Press { button: self.lookup.outside(path, Outside::Button)? },
            Cause::Timer(name) => Trigger::Timer { timer: self.lookup.timer(name)? },
            Cause::Message(name, sender) => {
                Trigger::Message { any: self.lookup.heard(name, sender.as_ref())? }
            }
            Cause::After(ex) => return Some(Err(self.duration(ex)?)),
        }))
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
                        self.lookup.fault(codes::TOO_SHORT, ticks.span, "this is always less than a tick");
                    let tick = self.lookup.world.tick_ms;
                    return self.lookup.refuse(fault.expected(format!("expected at least {tick} ms")));
                }
                let longest = &mut machine.timers[timer].max;
                *longest = (*longest).max(u32::try_from(ticks.hi).unwrap_or(1));
                Action::Start { timer, ticks: ticks.expr }
            }
            Deed::Stop(name) => Action::Stop { timer: self.lookup.timer(name)? },
            Deed::Play(path) => Action::Play { sound: self.lookup.outside(path, Outside::Sound)? },
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
                codes::FOREIGN_WRITE,
                path.span(),
                "only its own machine can change a number",
            );
            return self.lookup.refuse(
                fault
                    .expected("expected a number of this machine")
                    .hint("send a message and let its machine change it"),
            );
        }
        self.lookup.number_in(tree, &path.first)
    }
}

/// The hidden number of a bag: a bit for each value still in it.
fn hidden_bag((range, bag): (&Option<(i32, i32)>, &crate::syntax::BagTree)) -> crate::form::Number {
    let values = range.map_or(1, |(lo, hi)| lo.abs_diff(hi) + 1);
    let name = format!("bag+{}", bag.name.text);
    let full = 1_i32.checked_shl(values).map_or(i32::MAX, |above| above - 1);
    crate::form::Number { name, min: 0, max: full, start: 0, shown_on: None, kept: false }
}

/// The dwell timer of a state for so many ticks, made when it is first asked for.
pub(crate) fn dwell(machine: &mut Machine, state: usize, ticks: u32) -> usize {
    let name = format!("{}+{ticks}", machine.states[state].name);
    let known = machine.states[state]
        .dwells
        .iter()
        .find(|dwell| dwell.ticks == ticks && !machine.timers[dwell.timer].cycle);
    if let Some(known) = known {
        return known.timer;
    }
    hidden(machine, state, ticks, name, false)
}

/// A new hidden timer that entering a state starts.
pub(crate) fn hidden(machine: &mut Machine, state: usize, ticks: u32, name: String, cycle: bool) -> usize {
    let timer = machine.timers.len();
    machine.timers.push(Timer { name, dwell: true, cycle, max: ticks });
    machine.states[state].dwells.push(Dwell { timer, ticks });
    timer
}

/// How many nodes an expression has.
fn size(expr: &crate::form::Expr) -> usize {
    let mut size = 0;
    each_node(expr, &mut |_| size += 1);
    size
}
