//! From a tree to its declarations: what is named twice, out of size or out of range is reported and dropped.

use crate::codes::{self, Code};
use crate::interface::Interface;
use crate::names::{Instance, Lookup, Range, World};
use crate::syntax::{BagTree, Ex, ExKind, Lost, MachineTree, Name, NumberTree, Span, Tree, sent};
use finding::Fault;
use source::Place;
use std::collections::{BTreeMap, BTreeSet};

/// Machines, once per side counted; their position must fit a byte on a small controller.
const MAX_MACHINES: usize = 250;
/// Numbers, timers and states of one machine.
const MAX_EACH: usize = 1000;
/// A frame tells poses apart with one byte, and 0 is dark.
const MAX_POSES: usize = 254;
/// Values in a bag: one bit each in 32 bits with a sign.
const MAX_BAG: u64 = 30;
/// Buttons, spots, digits and figures of a display.
const MAX_OFFERED: usize = 65_535;

/// Everything declared in a text.
pub(crate) fn world<'a>(
    file: &'a str,
    tree: Tree,
    interface: &'a Interface,
    faults: &mut Vec<Fault>,
) -> World<'a> {
    let mut declaring = Declaring { file, faults };
    declaring.offered(interface);
    let tick_ms = declaring.tick(&tree);
    let seed = declaring.seed(&tree);
    let sides = declaring.unique(&tree.sides, "side");
    let mut world = World {
        file,
        interface,
        tick_ms,
        seed,
        sides: sides.into_iter().map(|side| side.text).collect(),
        constants: BTreeMap::new(),
        sliders: Vec::new(),
        settings: Vec::new(),
        conditions: BTreeMap::new(),
        claims: Vec::new(),
        prompts: Vec::new(),
        bout: None,
        trees: Vec::new(),
        ranges: Vec::new(),
        bags: Vec::new(),
        instances: Vec::new(),
        unplayable: BTreeSet::new(),
        lost: tree.lost,
        messages: Vec::new(),
    };
    declaring.constants(&mut world, &tree.constants);
    declaring.settings(&mut world, &tree.settings);
    declaring.conditions(&mut world, tree.conditions);
    declaring.prompts(&mut world, tree.prompts);
    world.bout = tree.bout;
    declaring.claims(&mut world, tree.claims);
    declaring.machines(&mut world, tree.machines);
    for at in 0..world.trees.len() {
        let ranges = declaring.ranges(&world, at);
        world.ranges.push(ranges);
        let bags = declaring.bags(&world, at);
        world.bags.push(bags);
    }
    world.messages = messages(&world).into_keys().collect();
    world
}

/// Every pair of message and sender, with the place where it is first sent.
pub(crate) fn messages(world: &World) -> BTreeMap<(String, usize), Span> {
    let mut messages = BTreeMap::new();
    for (m, instance) in world.instances.iter().enumerate() {
        let behaviour = world.trees.get(instance.tree).map(|tree| tree.behaviour.as_slice());
        for name in sent(behaviour.unwrap_or_default()) {
            messages.entry((name.text.clone(), m)).or_insert(name.span);
        }
    }
    messages
}

pub(crate) struct Declaring<'a> {
    file: &'a str,
    pub(crate) faults: &'a mut Vec<Fault>,
}

impl Declaring<'_> {
    pub(crate) fn say(
        &mut self,
        code: Code,
        span: Span,
        message: impl Into<String>,
        expected: impl Into<String>,
    ) {
        let place = Place::new(self.file, span.start, span.end);
        self.faults.push(code.fault(Some(place), message).expected(expected));
    }

    fn offered(&mut self, interface: &Interface) {
        for figure in interface.figures.iter().filter(|figure| figure.poses.len() > MAX_POSES) {
            let message = format!("figure `{}` has {} poses", figure.name, figure.poses.len());
            self.faults
                .push(codes::TOO_MANY.fault(None, message).expected(format!("expected at most {MAX_POSES}")));
        }
        let spots: usize = interface.spots.iter().map(|spot| spot.count as usize).sum();
        let named = [&interface.buttons, &interface.sounds].map(Vec::len).into_iter().max().unwrap_or(0);
        let most = spots.max(named).max(interface.figures.len()).max(interface.digits.len());
        if most > MAX_OFFERED {
            let message = format!("the display offers {most} places of one kind to its rules");
            self.faults.push(
                codes::TOO_MANY.fault(None, message).expected(format!("expected at most {MAX_OFFERED}")),
            );
        }
    }

    fn tick(&mut self, tree: &Tree) -> i64 {
        match tree.tick.as_ref().map(|ex| (&ex.kind, ex.span)) {
            None => 10,
            Some((ExKind::Duration(ms @ 1..=100), _)) => *ms,
            Some((_, span)) => {
                self.say(codes::TICK, span, "a tick cannot have this length", "expected 1 ms to 100 ms");
                10
            }
        }
    }

    fn seed(&mut self, tree: &Tree) -> u32 {
        let Some(ex) = &tree.seed else { return 1 };
        match ex.kind {
            ExKind::Int(seed) if u32::try_from(seed).is_ok() => u32::try_from(seed).unwrap_or(1),
            _ => {
                let expected = format!("expected a whole number, 0 to {}", u32::MAX);
                self.say(codes::SEED, ex.span, "this cannot be a seed", expected);
                1
            }
        }
    }

    /// The names without those written before.
    fn unique(&mut self, names: &[Name], what: &str) -> Vec<Name> {
        let mut seen = BTreeSet::new();
        let mut kept = Vec::new();
        for name in names {
            if seen.insert(name.text.clone()) {
                kept.push(name.clone());
            } else {
                self.twice(name, what);
            }
        }
        self.at_most(kept, what, MAX_MACHINES.max(MAX_EACH))
    }

    pub(crate) fn twice(&mut self, name: &Name, what: &str) {
        let message = format!("there is already a {what} `{}`", name.text);
        self.say(codes::DUPLICATE, name.span, message, "expected another name");
    }

    /// A name of a machine's own that something else has.
    fn taken(&mut self, name: &Name) {
        let message = format!("the name `{}` is already taken", name.text);
        let expected = "expected a name that no number, timer, bag, constant, setting or condition has";
        self.say(codes::DUPLICATE, name.span, message, expected);
    }

    fn at_most(&mut self, mut names: Vec<Name>, what: &str, most: usize) -> Vec<Name> {
        if let Some(name) = names.get(most) {
            let message = format!("this is {what} number {}", most + 1);
            self.say(codes::TOO_MANY, name.span, message, format!("expected at most {most}"));
            names.truncate(most);
        }
        names
    }

    fn machines(&mut self, world: &mut World, machines: Vec<MachineTree>) {
        let mut seen = BTreeSet::new();
        for mut machine in machines {
            if !seen.insert(machine.name.text.clone()) {
                self.twice(&machine.name, "machine");
                continue;
            }
            self.own_names(world, &mut machine);
            let sides = if machine.per_side.is_some() { world.sides.len() } else { 1 };
            if !self.playable(&machine, sides, &world.lost) {
                world.lost.sent_by(&machine);
                world.unplayable.insert(machine.name.text);
                continue;
            }
            if world.instances.len() + sides > MAX_MACHINES {
                let expected = format!(
                    "expected at most {MAX_MACHINES}; a `per side` machine counts once for each side"
                );
                self.say(codes::TOO_MANY, machine.name.span, "this machine is one too many", expected);
                world.lost.sent_by(&machine);
                world.unplayable.insert(machine.name.text);
                continue;
            }
            let tree = world.trees.len();
            if machine.per_side.is_some() {
                for (side, name) in world.sides.iter().enumerate() {
                    let name = format!("{}.{name}", machine.name.text);
                    world.instances.push(Instance { tree, side: Some(side), name });
                }
            } else {
                world.instances.push(Instance { tree, side: None, name: machine.name.text.clone() });
            }
            world.trees.push(machine);
        }
    }

    fn playable(&mut self, machine: &MachineTree, sides: usize, lost: &Lost) -> bool {
        if let (Some(span), 0) = (machine.per_side, sides) {
            if lost.sides {
                return false;
            }
            let message = format!("`{}` is `per side`, but no sides are named", machine.name.text);
            self.say(codes::NO_SIDES, span, message, "expected a line `sides NAME, NAME` above");
            return false;
        }
        if machine.states.is_empty() {
            // Where a line could not be read, it may have been the state; that is enough to mend.
            if machine.broken {
                return false;
            }
            let message = format!("machine `{}` has no state", machine.name.text);
            self.say(codes::NO_STATE, machine.name.span, message, "expected a line `state NAME` below");
            return false;
        }
        true
    }

    /// Drops what a machine declares twice or too often.
    fn own_names(&mut self, world: &World, machine: &mut MachineTree) {
        let mut seen = world.named_values();
        let mut kept = Vec::new();
        for number in std::mem::take(&mut machine.numbers) {
            if seen.insert(number.name.text.clone()) {
                kept.push(number);
            } else {
                self.taken(&number.name);
            }
        }
        machine.numbers = kept;
        let mut timers = Vec::new();
        for timer in std::mem::take(&mut machine.timers) {
            if seen.insert(timer.text.clone()) {
                timers.push(timer);
            } else {
                self.taken(&timer);
            }
        }
        machine.timers = self.at_most(timers, "timer", MAX_EACH);
        let mut bags = Vec::new();
        for bag in std::mem::take(&mut machine.bags) {
            if seen.insert(bag.name.text.clone()) {
                bags.push(bag);
            } else {
                self.taken(&bag.name);
            }
        }
        machine.bags = bags;
        self.few(&mut machine.bags, "bag", |bag| bag.name.span);
        let mut states = BTreeSet::new();
        let mut kept = Vec::new();
        for state in std::mem::take(&mut machine.states) {
            if states.insert(state.name.text.clone()) {
                kept.push(state);
            } else {
                self.twice(&state.name, "state");
            }
        }
        machine.states = kept;
        self.few(&mut machine.numbers, "number", |number| number.name.span);
        self.few(&mut machine.states, "state", |state| state.name.span);
    }

    fn few<T>(&mut self, all: &mut Vec<T>, what: &str, span: impl Fn(&T) -> Span) {
        if let Some(first) = all.get(MAX_EACH) {
            let message = format!("this is {what} number {}", MAX_EACH + 1);
            self.say(codes::TOO_MANY, span(first), message, format!("expected at most {MAX_EACH}"));
            all.truncate(MAX_EACH);
        }
    }

    fn ranges(&mut self, world: &World, tree: usize) -> Vec<Option<Range>> {
        let numbers = world.trees.get(tree).map(|tree| tree.numbers.as_slice()).unwrap_or_default();
        numbers.iter().map(|number| self.range(world, number)).collect()
    }

    fn range(&mut self, world: &World, number: &NumberTree) -> Option<Range> {
        self.bounded(world, &number.name, (&number.min, &number.max), number.start.as_ref())
    }

    /// Bounds and a start within them; the least value where none is written.
    pub(crate) fn bounded(
        &mut self,
        world: &World,
        name: &Name,
        (min, max): (&Ex, &Ex),
        start: Option<&Ex>,
    ) -> Option<Range> {
        let bounds = self.bounds(world, min, max);
        let mut lookup = Lookup::new(world);
        let start = start.map(|start| (lookup.constant(start), start.span));
        self.faults.append(&mut lookup.faults);
        let (min, max) = bounds?;
        let Some((start, span)) = start else { return Some(Range { min, max, start: min }) };
        let (start, _) = start?;
        if !(min..=max).contains(&start) {
            let message = format!("`{}` cannot start with {start}", name.text);
            self.say(codes::START_OUTSIDE, span, message, format!("expected {min} to {max}"));
        }
        Some(Range { min, max, start: start.clamp(min, max) })
    }

    /// Two constants, the lesser first.
    fn bounds(&mut self, world: &World, min: &Ex, max: &Ex) -> Option<(i32, i32)> {
        let mut lookup = Lookup::new(world);
        let (lo, hi) = (lookup.constant(min), lookup.constant(max));
        self.faults.append(&mut lookup.faults);
        let ((lo, _), (hi, _)) = (lo?, hi?);
        if lo > hi {
            let message = format!("there is nothing from {lo} to {hi}");
            self.say(codes::EMPTY_RANGE, min.span.to(max.span), message, "expected the lesser bound first");
            return None;
        }
        Some((lo, hi))
    }

    fn bags(&mut self, world: &World, tree: usize) -> Vec<Option<(i32, i32)>> {
        let bags = world.trees.get(tree).map(|tree| tree.bags.as_slice()).unwrap_or_default();
        bags.iter().map(|bag| self.bag(world, bag)).collect()
    }

    fn bag(&mut self, world: &World, bag: &BagTree) -> Option<(i32, i32)> {
        let (lo, hi) = self.bounds(world, &bag.lo, &bag.hi)?;
        let values = u64::from(lo.abs_diff(hi)) + 1;
        if values > MAX_BAG {
            let message = format!("this bag holds {values} values");
            let expected = format!("expected at most {MAX_BAG}");
            self.say(codes::BAG_RANGE, bag.lo.span.to(bag.hi.span), message, expected);
            return None;
        }
        Some((lo, hi))
    }
}
