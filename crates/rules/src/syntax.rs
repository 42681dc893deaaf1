//! The tree of a rules text: what was written, with places, before any name means anything.

use std::collections::BTreeSet;

/// First byte and one past the last byte.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Span {
    pub(crate) start: usize,
    pub(crate) end: usize,
}

impl Span {
    /// From the start of this one to the end of another.
    pub(crate) fn to(self, last: Self) -> Self {
        Self { start: self.start, end: last.end.max(self.start) }
    }
}

/// A word with its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Name {
    pub(crate) text: String,
    pub(crate) span: Span,
}

/// Words joined by dots; never empty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Path {
    pub(crate) first: Name,
    pub(crate) rest: Vec<Name>,
}

impl Path {
    pub(crate) fn span(&self) -> Span {
        self.first.span.to(self.last().span)
    }

    pub(crate) fn last(&self) -> &Name {
        self.rest.last().unwrap_or(&self.first)
    }

    pub(crate) fn parts(&self) -> impl Iterator<Item = &Name> {
        std::iter::once(&self.first).chain(&self.rest)
    }

    pub(crate) fn text(&self) -> String {
        self.parts().map(|part| part.text.as_str()).collect::<Vec<_>>().join(".")
    }
}

/// An expression.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Ex {
    pub(crate) span: Span,
    /// Levels from here down to the deepest leaf, at least 1.
    pub(crate) height: usize,
    pub(crate) kind: ExKind,
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) enum ExKind {
    Int(i64),
    /// Milliseconds.
    Duration(i64),
    Value(Path),
    Neg(Box<Ex>),
    Not(Box<Ex>),
    Two(crate::form::Two, Box<Ex>, Box<Ex>),
    Is {
        what: Path,
        not: bool,
        word: Name,
    },
    Held(Path),
    Pressed(Path),
    Pick(Box<Ex>, Box<Ex>),
    /// From a bag.
    Draw(Name),
    /// Whole seconds left of a timer.
    Left(Path),
}

/// Something to do.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Deed {
    Set(Path, Ex),
    Start(Name, Ex),
    Stop(Name),
    Send(Name),
    Press(Path),
    Play(Path),
}

/// Which states a statement is about.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Sources {
    Any,
    These(Vec<Name>),
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Cause {
    Press(Path),
    Message(Name, Option<Path>),
    Timer(Name),
    After(Ex),
    When,
}

/// A way out of states, or a reaction within them.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Way {
    pub(crate) span: Span,
    pub(crate) sources: Sources,
    pub(crate) cause: Cause,
    pub(crate) condition: Option<Ex>,
    pub(crate) deeds: Vec<Deed>,
    /// None stays.
    pub(crate) go: Option<Name>,
}

/// Deeds on entry or exit.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Hook {
    pub(crate) sources: Sources,
    pub(crate) entry: bool,
    pub(crate) deeds: Vec<Deed>,
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Light {
    pub(crate) spot: Path,
    /// The word `each`, where it is written.
    pub(crate) each: Option<Span>,
    pub(crate) index: Option<Ex>,
    pub(crate) level: Option<Ex>,
    pub(crate) fading: Option<Fading>,
    pub(crate) when: Option<Ex>,
}

/// From one level to another within a time.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Fading {
    pub(crate) from: Ex,
    pub(crate) to: Ex,
    pub(crate) over: Ex,
}

/// A number on digits.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Write {
    pub(crate) value: Ex,
    pub(crate) digits: Path,
    pub(crate) zeros: bool,
    pub(crate) flashing: bool,
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) struct StateTree {
    pub(crate) name: Name,
    /// Figure (if written) and pose.
    pub(crate) shows: Vec<(Option<Path>, Name)>,
    pub(crate) lights: Vec<Light>,
    pub(crate) writes: Vec<Write>,
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) struct NumberTree {
    pub(crate) name: Name,
    pub(crate) min: Ex,
    pub(crate) max: Ex,
    pub(crate) start: Option<Ex>,
    pub(crate) shown_on: Option<Path>,
    pub(crate) kept: bool,
}

/// `bag NAME of LO..HI`.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct BagTree {
    pub(crate) name: Name,
    pub(crate) lo: Ex,
    pub(crate) hi: Ex,
}

/// `remember BUTTON for DURATION`.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct RememberTree {
    pub(crate) button: Path,
    pub(crate) ticks: Ex,
}

/// How a machine settles ties.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum TiesTree {
    Side(Name),
    Alternately,
    Random,
}

/// A statement about behaviour, in written order.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Behaviour {
    Way(Box<Way>),
    Hook(Hook),
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) struct MachineTree {
    pub(crate) name: Name,
    pub(crate) per_side: Option<Span>,
    pub(crate) numbers: Vec<NumberTree>,
    pub(crate) timers: Vec<Name>,
    pub(crate) bags: Vec<BagTree>,
    pub(crate) remembers: Vec<RememberTree>,
    /// With its place.
    pub(crate) ties: Option<(TiesTree, Span)>,
    pub(crate) states: Vec<StateTree>,
    pub(crate) behaviour: Vec<Behaviour>,
    /// Whether a statement of it could not be read: what is missing may have stood there.
    pub(crate) broken: bool,
    /// What such statements would have named: whoever uses it is not at fault.
    pub(crate) lost: BTreeSet<String>,
}

impl MachineTree {
    pub(crate) fn new(name: Name, per_side: Option<Span>) -> Self {
        Self {
            name,
            per_side,
            numbers: Vec::new(),
            timers: Vec::new(),
            bags: Vec::new(),
            remembers: Vec::new(),
            ties: None,
            states: Vec::new(),
            behaviour: Vec::new(),
            broken: false,
            lost: BTreeSet::new(),
        }
    }
}

/// What stood in statements that could not be read or cannot play: whoever uses it is not at fault.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Lost {
    /// Whether some machine has no name that could be read.
    pub(crate) machine: bool,
    /// Whether the sides could not be read.
    pub(crate) sides: bool,
    /// Names of constants, settings and conditions.
    pub(crate) values: BTreeSet<String>,
    /// Messages that were sent there.
    pub(crate) messages: BTreeSet<String>,
}

impl Lost {
    /// Notes what a machine that does not play would have sent.
    pub(crate) fn sent_by(&mut self, machine: &MachineTree) {
        self.messages.extend(sent(&machine.behaviour).map(|name| name.text.clone()));
    }
}

/// The messages that some statements send.
pub(crate) fn sent(behaviour: &[Behaviour]) -> impl Iterator<Item = &Name> {
    let deeds = behaviour.iter().flat_map(|statement| match statement {
        Behaviour::Way(way) => &way.deeds,
        Behaviour::Hook(hook) => &hook.deeds,
    });
    deeds.filter_map(|deed| match deed {
        Deed::Send(name) => Some(name),
        _ => None,
    })
}

/// A whole text.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Tree {
    pub(crate) sides: Vec<Name>,
    pub(crate) tick: Option<Ex>,
    pub(crate) seed: Option<Ex>,
    pub(crate) constants: Vec<ConstantTree>,
    pub(crate) settings: Vec<SettingTree>,
    pub(crate) conditions: Vec<(Name, Ex)>,
    pub(crate) claims: Vec<ClaimTree>,
    pub(crate) prompts: Vec<PromptTree>,
    /// `bout while CONDITION`.
    pub(crate) bout: Option<Ex>,
    pub(crate) machines: Vec<MachineTree>,
    pub(crate) lost: Lost,
}

/// `constant NAME = VALUE from MIN to MAX`.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ConstantTree {
    pub(crate) name: Name,
    pub(crate) value: Ex,
    pub(crate) limits: Option<(Ex, Ex)>,
}

/// `setting NAME MIN..MAX = START`.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct SettingTree {
    pub(crate) name: Name,
    pub(crate) min: Ex,
    pub(crate) max: Ex,
    pub(crate) start: Option<Ex>,
}

/// What is claimed.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum ClaimedTree {
    Never(Ex),
    Always(Ex),
    Leads(Box<LeadsTree>),
}

/// `CAUSE leads to CONDITION within DURATION`.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct LeadsTree {
    pub(crate) cause: Cause,
    pub(crate) condition: Option<Ex>,
    pub(crate) to: Ex,
    pub(crate) within: Ex,
}

#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ClaimTree {
    pub(crate) name: Name,
    pub(crate) claim: ClaimedTree,
}

/// `prompt NAME per side press BUTTON when CONDITION seen coming while CONDITION`.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct PromptTree {
    pub(crate) name: Name,
    pub(crate) per_side: Option<Span>,
    pub(crate) button: Path,
    pub(crate) when: Ex,
    pub(crate) coming: Option<Ex>,
}
