//! What every name stands for: the declarations of a text, and the ways to look them up.

use crate::codes::{self, Code};
use crate::form::Slider;
use crate::interface::Interface;
use crate::syntax::{ClaimTree, Ex, Lost, MachineTree, Name, Path, PromptTree, Span};
use finding::{Fault, suggestion};
use source::Place;
use std::collections::{BTreeMap, BTreeSet};

/// A named value that never changes.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Constant {
    pub(crate) value: i32,
    /// Whether it was written with a unit of time.
    pub(crate) unit: bool,
}

/// Range and starting value of a number.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Range {
    pub(crate) min: i32,
    pub(crate) max: i32,
    pub(crate) start: i32,
}

/// One machine as it plays: a tree, and the side it plays on.
#[derive(Clone, Debug)]
pub(crate) struct Instance {
    pub(crate) tree: usize,
    pub(crate) side: Option<usize>,
    pub(crate) name: String,
}

/// Every declaration of a text.
pub(crate) struct World<'a> {
    pub(crate) file: &'a str,
    pub(crate) interface: &'a Interface,
    pub(crate) tick_ms: i64,
    pub(crate) seed: u32,
    pub(crate) sides: Vec<String>,
    /// None: its value could not be made out.
    pub(crate) constants: BTreeMap<String, Option<Constant>>,
    pub(crate) sliders: Vec<Slider>,
    /// None: its range could not be made out.
    pub(crate) settings: Vec<(String, Option<Range>)>,
    pub(crate) conditions: BTreeMap<String, Condition>,
    pub(crate) claims: Vec<ClaimTree>,
    pub(crate) prompts: Vec<PromptTree>,
    pub(crate) bout: Option<Ex>,
    pub(crate) trees: Vec<MachineTree>,
    /// The ranges of each tree's numbers; none where it could not be made out.
    pub(crate) ranges: Vec<Vec<Option<Range>>>,
    /// The least and greatest value of each tree's bags; none where they could not be made out.
    pub(crate) bags: Vec<Vec<Option<(i32, i32)>>>,
    pub(crate) instances: Vec<Instance>,
    /// Machines that are named but cannot play; what refers to them is dropped without a word.
    pub(crate) unplayable: BTreeSet<String>,
    /// What could not be read, but may be used elsewhere; that is dropped without a word too.
    pub(crate) lost: Lost,
    /// Sorted pairs of message and sender.
    pub(crate) messages: Vec<(String, usize)>,
}

impl World<'_> {
    /// The side that a button belongs to: `west`, or `west.` and more.
    pub(crate) fn side_of_button(&self, button: usize) -> Option<usize> {
        let name = self.interface.buttons.get(button)?;
        self.sides.iter().position(|side| {
            name.strip_prefix(side.as_str()).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
        })
    }

    /// Names of the whole text that stand for a value.
    pub(crate) fn named_values(&self) -> BTreeSet<String> {
        let settings = self.settings.iter().map(|(name, _)| name);
        self.constants.keys().chain(settings).chain(self.conditions.keys()).cloned().collect()
    }
}

/// A named condition: it is read anew in the place where it is used, with the sides of that place.
#[derive(Clone, Debug)]
pub(crate) struct Condition {
    /// Its place among the conditions; it may use those above it.
    pub(crate) order: usize,
    pub(crate) name: Name,
    pub(crate) ex: Ex,
}

/// What an expression may ask, from where it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Within {
    /// A way, a hook, a constant: everything but the time left.
    Rule,
    /// What a state lights: no button.
    Light,
    /// What a state writes on digits: no button, but the time left.
    Writes,
    /// A claim: no button.
    Claim,
    /// A prompt or a bout: no button.
    Prompt,
}

/// Kinds of names that the display offers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Outside {
    Button,
    Spot,
    Digits,
    Figure,
    Sound,
}

impl Outside {
    fn code(self) -> Code {
        match self {
            Self::Button => codes::UNKNOWN_BUTTON,
            Self::Spot => codes::UNKNOWN_SPOT,
            Self::Digits => codes::UNKNOWN_DIGITS,
            Self::Figure => codes::UNKNOWN_FIGURE,
            Self::Sound => codes::UNKNOWN_SOUND,
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::Button => "a button",
            Self::Spot => "a spot",
            Self::Digits => "digits",
            Self::Figure => "a figure",
            Self::Sound => "a sound",
        }
    }
}

/// Looks names up for one machine (or for none) and gathers faults.
pub(crate) struct Lookup<'a> {
    pub(crate) world: &'a World<'a>,
    /// The machine whose statement is being read.
    pub(crate) own: Option<usize>,
    /// The side of what is read for one side without being a machine.
    pub(crate) side: Option<usize>,
    /// Where the expression being read stands.
    pub(crate) within: Within,
    /// How many spots the row has whose spots are lit in turn, while that is being read.
    pub(crate) row: Option<u32>,
    /// Conditions from this one on cannot be used: the one being read.
    pub(crate) conditions: usize,
    /// How deep the expression being read is nested, conditions included.
    pub(crate) depth: usize,
    /// Conditions that were used.
    pub(crate) used: BTreeSet<String>,
    /// The longest that each machine's timers run, once all machines have been read.
    pub(crate) longest: Vec<Vec<u32>>,
    /// The next picking place.
    pub(crate) site: u32,
    /// Expression nodes made so far.
    pub(crate) nodes: usize,
    pub(crate) faults: Vec<Fault>,
}

impl<'a> Lookup<'a> {
    pub(crate) fn new(world: &'a World<'a>) -> Self {
        Self {
            world,
            own: None,
            side: None,
            within: Within::Rule,
            row: None,
            conditions: usize::MAX,
            depth: 0,
            used: BTreeSet::new(),
            longest: Vec::new(),
            site: 0,
            nodes: 0,
            faults: Vec::new(),
        }
    }

    pub(crate) fn fault(&self, code: Code, span: Span, message: impl Into<String>) -> Fault {
        code.fault(Some(Place::new(self.world.file, span.start, span.end)), message)
    }

    /// Reports and gives nothing.
    pub(crate) fn refuse<T>(&mut self, fault: Fault) -> Option<T> {
        self.faults.push(fault);
        None
    }

    /// Refuses a name that is none of those known.
    pub(crate) fn unknown<'n, T>(
        &mut self,
        code: Code,
        name: &Name,
        message: String,
        expected: &str,
        known: impl IntoIterator<Item = &'n str>,
    ) -> Option<T> {
        let fault = self.fault(code, name.span, message).expected(expected);
        self.refuse(fault.maybe_hint(suggestion(&name.text, known)))
    }

    pub(crate) fn own_tree(&self) -> Option<(usize, &'a MachineTree)> {
        let tree = self.world.instances.get(self.own?)?.tree;
        Some((tree, self.world.trees.get(tree)?))
    }

    fn own_side(&self) -> Option<usize> {
        self.side.or_else(|| self.world.instances.get(self.own?)?.side)
    }

    /// The side that `side`, `other` or a side's own name means; none when the word is no side.
    fn side(&mut self, word: &Name) -> Result<Option<usize>, ()> {
        let by_name = self.world.sides.iter().position(|side| *side == word.text);
        if word.text != "side" && word.text != "other" {
            return Ok(by_name);
        }
        let Some(own) = self.own_side() else {
            let message = format!("`{}` means nothing here, since this is not `per side`", word.text);
            let fault = self.fault(codes::SIDE_OUTSIDE, word.span, message);
            self.faults.push(fault.expected("expected the name of a side"));
            return Err(());
        };
        if word.text == "side" {
            return Ok(Some(own));
        }
        if self.world.sides.len() == 2 {
            return Ok(Some(1 - own));
        }
        let message = format!("there are {} sides, so `other` does not say which", self.world.sides.len());
        let fault = self.fault(codes::SIDE_OUTSIDE, word.span, message);
        self.faults.push(fault.expected("expected the name of a side"));
        Err(())
    }

    /// The machine that the beginning of some words names, and how many of them it took.
    pub(crate) fn machine(&mut self, words: &[&Name]) -> Option<(usize, usize)> {
        let first = words.first()?;
        let Some(tree) = self.world.trees.iter().position(|tree| tree.name.text == first.text) else {
            if self.world.lost.machine || self.world.unplayable.contains(&first.text) {
                return None;
            }
            let known = self.world.trees.iter().map(|tree| tree.name.text.as_str());
            let message = format!("there is no machine `{}`", first.text);
            return self.unknown(codes::UNKNOWN_MACHINE, first, message, "expected a machine", known);
        };
        let instance = |side| {
            self.world.instances.iter().position(|instance| instance.tree == tree && instance.side == side)
        };
        if let Some(only) = instance(None) {
            return Some((only, 1));
        }
        let side = match words.get(1) {
            Some(word) => self.side(word).ok()?,
            None => None,
        };
        let Some(side) = side else {
            let example = self.world.sides.first().map_or("side", String::as_str);
            let fault = self
                .fault(
                    codes::SIDE_NEEDED,
                    first.span,
                    format!("`{}` is there once for each side", first.text),
                )
                .expected(format!("expected a side behind it, as in `{}.{example}`", first.text));
            return self.refuse(fault);
        };
        let found = self
            .world
            .instances
            .iter()
            .position(|instance| instance.tree == tree && instance.side == Some(side));
        found.map(|found| (found, 2))
    }

    /// Every instance that a sender's name stands for.
    pub(crate) fn senders(&mut self, path: &Path) -> Option<Vec<usize>> {
        let tree = self.world.trees.iter().position(|tree| tree.name.text == path.first.text);
        let sided = |at: &usize| self.world.instances[*at].side.is_some();
        if let (Some(tree), true) = (tree, path.rest.is_empty()) {
            let all: Vec<usize> =
                (0..self.world.instances.len()).filter(|at| self.world.instances[*at].tree == tree).collect();
            if all.iter().all(sided) {
                return Some(all);
            }
        }
        let words: Vec<&Name> = path.parts().collect();
        let (machine, used) = self.machine(&words)?;
        self.nothing_behind(&words, used)?;
        Some(vec![machine])
    }

    /// Refuses words behind those that were understood.
    pub(crate) fn nothing_behind(&mut self, words: &[&Name], used: usize) -> Option<()> {
        let Some(word) = words.get(used) else { return Some(()) };
        let fault = self.fault(codes::SYNTAX, word.span, format!("`{}` does not fit here", word.text));
        self.refuse(fault.expected("expected nothing more"))
    }

    /// Something the display offers, by position.
    pub(crate) fn outside(&mut self, path: &Path, kind: Outside) -> Option<usize> {
        let known = self.known(kind);
        let mut words = Vec::new();
        for part in path.parts() {
            words.push(match part.text.as_str() {
                "side" | "other" => self.world.sides.get(self.side(part).ok()??)?.clone(),
                word => word.to_owned(),
            });
        }
        let joined = words.join(".");
        let find = |name: &str| known.iter().position(|known| *known == name);
        let own = self.own_side().and_then(|side| self.world.sides.get(side));
        let on_own_side = |name: &str| own.and_then(|side| find(&format!("{side}.{name}")));
        if let Some(at) = find(&joined).or_else(|| on_own_side(&joined)) {
            return Some(at);
        }
        if matches!(kind, Outside::Button | Outside::Spot) {
            if joined == "button" {
                return self.bare_button(path, kind);
            }
            let bare = joined.strip_suffix(".button").unwrap_or(&joined);
            if let Some(at) = find(bare).or_else(|| find(&format!("{joined}.button"))) {
                return Some(at);
            }
        }
        let fault = self
            .fault(kind.code(), path.span(), format!("the display has no {} `{joined}`", bare_word(kind)))
            .expected(format!("expected {}", kind.words()))
            .maybe_hint(suggestion(&joined, known.iter().copied()));
        self.refuse(fault)
    }

    /// `button`: the own side's, else the only one.
    fn bare_button(&mut self, path: &Path, kind: Outside) -> Option<usize> {
        let known = self.known(kind);
        let own = self.own_side().and_then(|side| self.world.sides.get(side));
        let buttons = &self.world.interface.buttons;
        let meant = match buttons.as_slice() {
            [only] => Some(only),
            several => own.filter(|side| several.contains(side)),
        };
        if let Some(name) = meant {
            if let Some(at) = known.iter().position(|known| known == name) {
                return Some(at);
            }
            let fault = self.fault(kind.code(), path.span(), format!("button `{name}` has no lamp"));
            return self.refuse(fault.expected("expected a spot"));
        }
        let message = match buttons.len() {
            0 => "the display has no button".to_owned(),
            many => format!("there are {many} buttons, so `button` does not say which"),
        };
        let fault = self
            .fault(codes::WHICH_BUTTON, path.span(), message)
            .expected("expected the name of one of them")
            .maybe_hint(suggestion("button", buttons.iter().map(String::as_str)));
        self.refuse(fault)
    }

    fn known(&self, kind: Outside) -> Vec<&'a str> {
        let interface = self.world.interface;
        match kind {
            Outside::Button => interface.buttons.iter().map(String::as_str).collect(),
            Outside::Spot => interface.spots.iter().map(|spot| spot.name.as_str()).collect(),
            Outside::Digits => interface.digits.iter().map(|digits| digits.name.as_str()).collect(),
            Outside::Sound => interface.sounds.iter().map(String::as_str).collect(),
            Outside::Figure => interface.figures.iter().map(|figure| figure.name.as_str()).collect(),
        }
    }

    /// The figure and pose of a `shows` clause.
    pub(crate) fn pose(&mut self, figure: Option<&Path>, pose: &Name) -> Option<(usize, usize)> {
        let figures = &self.world.interface.figures;
        let has = |at: usize| figures[at].poses.iter().position(|known| *known == pose.text);
        if let Some(path) = figure {
            let at = self.outside(path, Outside::Figure)?;
            return match has(at) {
                Some(found) => Some((at, found)),
                None => {
                    let figure = &figures[at];
                    let message = format!("`{}` has no pose `{}`", figure.name, pose.text);
                    self.no_pose(pose, message, figure.poses.iter().map(String::as_str).collect())
                }
            };
        }
        let own = self.own_side().and_then(|side| self.world.sides.get(side));
        let on_side = own.and_then(|side| figures.iter().position(|figure| figure.name == *side));
        if let Some((at, found)) = on_side.and_then(|at| Some((at, has(at)?))) {
            return Some((at, found));
        }
        let having: Vec<usize> = (0..figures.len()).filter(|at| has(*at).is_some()).collect();
        match having.as_slice() {
            [] => {
                let known = figures.iter().flat_map(|figure| &figure.poses).map(String::as_str);
                let known: BTreeSet<&str> = known.collect();
                let message = format!("no figure has a pose `{}`", pose.text);
                self.no_pose(pose, message, known.into_iter().collect())
            }
            [only] => has(*only).map(|found| (*only, found)),
            [one, two, ..] => {
                let (one, two) = (&figures[*one].name, &figures[*two].name);
                let message = format!("both `{one}` and `{two}` have a pose `{}`", pose.text);
                let fault = self.fault(codes::WHICH_FIGURE, pose.span, message);
                self.refuse(
                    fault.expected(format!("expected the figure too, as in `shows {one} {}`", pose.text)),
                )
            }
        }
    }

    fn no_pose<T>(&mut self, pose: &Name, message: String, known: Vec<&str>) -> Option<T> {
        self.unknown(codes::UNKNOWN_POSE, pose, message, "expected a pose", known)
    }

    /// A state of a tree, by position.
    pub(crate) fn state(&mut self, tree: &MachineTree, name: &Name) -> Option<usize> {
        let known = tree.states.iter().map(|state| state.name.text.as_str());
        self.among(tree, ("state", codes::UNKNOWN_STATE, "expected a state"), name, known)
    }

    /// A timer of a tree, by position.
    pub(crate) fn timer_of(&mut self, tree: &MachineTree, name: &Name) -> Option<usize> {
        let known = tree.timers.iter().map(|timer| timer.text.as_str());
        self.among(tree, ("timer", codes::UNKNOWN_TIMER, "expected a timer of this machine"), name, known)
    }

    /// An own timer, by position.
    pub(crate) fn timer(&mut self, name: &Name) -> Option<usize> {
        let (_, tree) = self.own_tree()?;
        self.timer_of(tree, name)
    }

    /// A number of a tree, by position.
    pub(crate) fn number_in(&mut self, tree: &MachineTree, name: &Name) -> Option<usize> {
        let known = tree.numbers.iter().map(|number| number.name.text.as_str());
        let words = ("number", codes::UNKNOWN_NUMBER, "expected a number of this machine");
        self.among(tree, words, name, known)
    }

    /// An own bag, by position.
    pub(crate) fn bag(&mut self, name: &Name) -> Option<usize> {
        let (_, tree) = self.own_tree()?;
        let known = tree.bags.iter().map(|bag| bag.name.text.as_str());
        self.among(tree, ("bag", codes::UNKNOWN_BAG, "expected a bag of this machine"), name, known)
    }

    /// The position of a name among those a machine has of one kind.
    fn among<'n>(
        &mut self,
        tree: &MachineTree,
        (what, code, expected): (&str, Code, &str),
        name: &Name,
        known: impl Iterator<Item = &'n str> + Clone,
    ) -> Option<usize> {
        if let Some(at) = known.clone().position(|known| known == name.text) {
            return Some(at);
        }
        if tree.lost.contains(&name.text) {
            return None;
        }
        let message = format!("`{}` has no {what} `{}`", tree.name.text, name.text);
        self.unknown(code, name, message, expected, known)
    }
}

fn bare_word(kind: Outside) -> &'static str {
    match kind {
        Outside::Button => "button",
        Outside::Spot => "spot",
        Outside::Digits => "digits",
        Outside::Figure => "figure",
        Outside::Sound => "sound",
    }
}
