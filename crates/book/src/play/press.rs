//! What a press does and what its absence does, read off the ways out of the machine form.

use super::given::follows;
use super::tell::{ONE_MORE, Teller, in_a_row, list, one_of, parts, plain};
use rules::form::{Action, Expr, Lights, Node, Prompt, Transition, Trigger, Two, each_node};

/// So much is told of presses in one state at other times; a card has no room for more.
const MOST_TOLD: usize = 24;
/// What is seen of a press that changes nothing to see.
const NOTHING: &str = "nothing is seen of it";

/// What somebody is asked for, and what comes of it.
pub(super) struct Asked {
    /// When to press, as it is seen.
    pub(super) when: String,
    /// How it is seen coming, as a sentence; none comes suddenly.
    pub(super) coming: Option<String>,
    /// What a press does then.
    pub(super) then: Vec<String>,
    /// Whether a press when it is not time may do the same.
    pub(super) also_else: bool,
    /// What happens where nobody presses.
    pub(super) missed: String,
}

impl Teller<'_> {
    /// All about a prompt.
    pub(super) fn asked(&self, prompt: &Prompt) -> Asked {
        Asked {
            when: self.sight(prompt),
            coming: prompt.coming.as_ref().map(|coming| self.coming(coming)),
            then: self.then(prompt),
            also_else: self.also_else(prompt),
            missed: self.missed(prompt),
        }
    }

    /// What is seen when it is time: the button's own lamp, the pose, else the condition.
    fn sight(&self, prompt: &Prompt) -> String {
        let (lamp, left) = self.needs(prompt);
        let lit = lamp.map(|_| "the button is lit".to_owned());
        match (lit, self.pose(prompt)) {
            (Some(lit), _) if left.is_empty() => lit,
            (Some(lit), Some(pose)) => format!("{lit} and {pose}"),
            (None, Some(pose)) => pose,
            (lit, None) => self.together(lit, &left),
        }
    }

    /// The button's own lamp, where it is lit whenever the prompt is true, and those parts of the prompt that it does not make
    /// sure of: lit lamp and parts together are the prompt. What is not seen is left out before what is.
    pub(super) fn needs<'p>(&self, prompt: &'p Prompt) -> (Option<Expr>, Vec<&'p Expr>) {
        let lamp = self.lamp(prompt.button).filter(|lamp| follows(&[&prompt.when], lamp));
        let mut left = parts(&prompt.when, Two::And);
        if let Some(lamp) = &lamp {
            let mut order = left.clone();
            order.sort_by_key(|part| !self.seen_of(part).is_empty());
            for part in order {
                let others: Vec<&Expr> = left.iter().copied().filter(|other| *other != part).collect();
                let given: Vec<&Expr> = others.iter().copied().chain([lamp]).collect();
                if follows(&given, part) {
                    left = others;
                }
            }
        }
        (lamp, left)
    }

    /// The pose that says when it is time, where it does not say so of another prompt of this button, too.
    fn pose(&self, prompt: &Prompt) -> Option<String> {
        let pose = |prompt: &Prompt| one_of(&prompt.when).and_then(|(m, states)| self.pose_of(m, &states));
        let own = pose(prompt)?;
        let mut others =
            self.form.prompts.iter().filter(|other| other.button == prompt.button && *other != prompt);
        others.all(|other| pose(other).as_ref() != Some(&own)).then_some(own)
    }

    /// How a prompt is seen coming: by watching what moves, else the condition.
    fn coming(&self, coming: &Expr) -> String {
        let watched = self.seen_of(coming);
        if watched.is_empty() {
            return format!("You see it coming while {}", self.condition(coming));
        }
        format!("You see it coming: watch {}", list(&watched, "and"))
    }

    /// The machines that a condition speaks of, as far as they show where they are: by a pose, a light, a place in a row.
    fn seen_of(&self, expr: &Expr) -> Vec<String> {
        let mut spoken: Vec<usize> = Vec::new();
        each_node(expr, &mut |node| {
            if let Node::In { m, .. } | Node::Number { m, .. } = node
                && !spoken.contains(m)
            {
                spoken.push(*m);
            }
        });
        let lights =
            || self.form.machines.iter().flat_map(|machine| &machine.states).flat_map(|state| &state.lights);
        let shows = |m: &usize| {
            let machine = &self.form.machines[*m];
            let mut places = false;
            for index in lights().filter_map(|light| light.index.as_ref()) {
                each_node(index, &mut |node| places |= matches!(node, Node::Number { m: of, .. } if of == m));
            }
            places || machine.states.iter().any(|state| state.pose.is_some() || !state.lights.is_empty())
        };
        spoken.iter().filter(|m| shows(m)).map(|m| self.machine(*m)).collect()
    }

    /// The one pose that a machine shows in all these states.
    fn pose_of(&self, m: usize, states: &[usize]) -> Option<String> {
        let poses: Vec<_> =
            states.iter().map(|state| self.form.machines[m].states[*state].pose.as_ref()).collect();
        let first = (*poses.first()?)?;
        let all = poses.iter().all(|pose| *pose == Some(first));
        all.then(|| self.shows(first.figure, first.pose))
    }

    /// `your figure shows holding`.
    pub(super) fn shows(&self, figure: usize, pose: usize) -> String {
        format!("{} shows {}", self.figure(figure), plain(&self.form.figures[figure].poses[pose]))
    }

    /// When the button's own lamp is lit: the machine in one of the states that light it, and the condition besides. None where
    /// it has no lamp, or one that nothing lights, or that is lit in another way, too.
    fn lamp(&self, button: usize) -> Option<Expr> {
        let spot = self.form.spots.iter().position(|spot| *spot == self.form.buttons[button])?;
        let two =
            |f: Two, a: Expr, b: Expr| Expr { w: 8, node: Node::Two { f, a: Box::new(a), b: Box::new(b) } };
        let mut lit: Option<Expr> = None;
        for (m, machine) in self.form.machines.iter().enumerate() {
            for (s, state) in machine.states.iter().enumerate() {
                let ours =
                    |light: &&Lights| (light.first..light.first + light.count as usize).contains(&spot);
                for light in state.lights.iter().filter(ours) {
                    // In a row, or by degrees, its light says less.
                    let full = matches!(light.level.node, Node::Const { v } if v > 0);
                    if light.count != 1 || !full {
                        return None;
                    }
                    let here = Expr { w: 8, node: Node::In { m, s } };
                    // A machine of one state is always in it.
                    let way = match &light.when {
                        Some(when) if machine.states.len() == 1 => when.clone(),
                        Some(when) => two(Two::And, here, when.clone()),
                        None => here,
                    };
                    lit = Some(match lit {
                        Some(before) => two(Two::Or, before, way),
                        None => way,
                    });
                }
            }
        }
        lit
    }

    /// What a press does while a prompt is true: the ways of the machines that it speaks of.
    fn then(&self, prompt: &Prompt) -> Vec<String> {
        let (mut moves, mut besides): (Vec<(usize, Vec<String>)>, Vec<String>) = Default::default();
        for at in spoken_of(&prompt.when) {
            let Some(way) = self.answer(prompt, at) else { continue };
            let moved = self.moved(at, way);
            match moves.iter_mut().find(|(m, _)| *m == at.0) {
                Some((_, all)) => all.extend(moved.filter(|words| !all.contains(words))),
                None => moves.push((at.0, moved.into_iter().collect())),
            }
            add_new(&mut besides, self.besides(at.0, way));
        }
        let moves = moves.iter().filter(|(_, all)| !all.is_empty()).map(|(_, all)| one_or_other(all));
        let mut said: Vec<String> = Vec::new();
        add_new(&mut said, moves.chain(besides));
        said
    }

    /// Whether some way that a prompt's press takes, and that is seen, can be taken while the prompt is not true.
    fn also_else(&self, prompt: &Prompt) -> bool {
        spoken_of(&prompt.when).into_iter().any(|(m, s)| {
            self.answer(prompt, (m, s)).is_some_and(|way| {
                let here = Expr { w: 8, node: Node::In { m, s } };
                let given: Vec<&Expr> = std::iter::once(&here).chain(&way.condition).collect();
                self.moved((m, s), way).is_some() && !follows(&given, &prompt.when)
            })
        })
    }

    /// The way out that a prompt's press takes from a state: the first that the prompt makes sure of.
    fn answer(&self, prompt: &Prompt, (m, s): (usize, usize)) -> Option<&Transition> {
        let here = Expr { w: 8, node: Node::In { m, s } };
        let mut ways = self.form.machines[m].states[s].transitions.iter();
        ways.find(|way| {
            let sure = |condition| follows(&[&prompt.when, &here], condition);
            way.trigger == Trigger::Press { button: prompt.button } && way.condition.as_ref().is_none_or(sure)
        })
    }

    /// What is seen of the machine itself when it goes a way: its pose, else its state; none where it stays.
    fn moved(&self, (m, s): (usize, usize), way: &Transition) -> Option<String> {
        let machine = &self.form.machines[m];
        let target = way.go.filter(|target| *target != s)?;
        let (old, new) = (&machine.states[s].pose, &machine.states[target].pose);
        Some(match new {
            Some(pose) if old.as_ref() != Some(pose) => self.shows(pose.figure, pose.pose),
            _ => self.is(m, &[target]),
        })
    }

    /// What else is seen or heard of a way: digits, another light of a row, sounds.
    fn besides(&self, m: usize, way: &Transition) -> Vec<String> {
        let machine = &self.form.machines[m];
        let mut said = Vec::new();
        for action in &way.actions {
            match action {
                Action::Set { number, to } if machine.numbers[*number].shown_on.is_some() => {
                    said.push(format!("{} {}", self.number(m, *number), self.becomes((m, *number), to)));
                }
                Action::Set { number, .. } if way.go.is_none() => said.extend(self.row_of(m, *number)),
                Action::Send { message } => said.extend(self.heard(*message)),
                Action::Play { sound } => {
                    said.push(format!("the sound {}", plain(&self.form.sounds[*sound])));
                }
                _ => {}
            }
        }
        said
    }

    /// The row of lights of which a number says which one is lit.
    fn row_of(&self, m: usize, number: usize) -> Option<String> {
        let lights =
            self.form.machines.iter().flat_map(|machine| &machine.states).flat_map(|state| &state.lights);
        let mut rows = lights.filter(|light| {
            light.index.as_ref().is_some_and(|index| index.node == Node::Number { m, i: number })
        });
        let name = &self.form.spots[rows.next()?.first];
        Some(format!("another {} is lit", plain(name.split('.').next().unwrap_or_default())))
    }

    /// What a message does to numbers on digits.
    fn heard(&self, message: usize) -> Vec<String> {
        let mut found: Vec<(usize, usize, Vec<String>)> = Vec::new();
        for (m, machine) in self.form.machines.iter().enumerate() {
            for way in machine.states.iter().flat_map(|state| &state.transitions) {
                let hears = matches!(&way.trigger, Trigger::Message { any } if any.contains(&message));
                for action in way.actions.iter().filter(|_| hears) {
                    let Action::Set { number, to } = action else { continue };
                    if machine.numbers[*number].shown_on.is_none() {
                        continue;
                    }
                    let becomes = self.becomes((m, *number), to);
                    match found.iter_mut().find(|(of, i, _)| (*of, *i) == (m, *number)) {
                        Some((_, _, all)) if all.contains(&becomes) => {}
                        Some((_, _, all)) => all.push(becomes),
                        None => found.push((m, *number, vec![becomes])),
                    }
                }
            }
        }
        let words = |(m, i, all): (usize, usize, Vec<String>)| {
            format!("{} {}", self.number(m, i), list(&self.without_ends((m, i), all), "or"))
        };
        found.into_iter().map(words).collect()
    }

    /// What a number becomes, counting first; the end of its range, which counting comes to, is no news.
    fn without_ends(&self, (m, i): (usize, usize), mut all: Vec<String>) -> Vec<String> {
        let most = format!("becomes {}", self.form.machines[m].numbers[i].max);
        if let Some(at) = all.iter().position(|words| words == ONE_MORE) {
            all.swap(0, at);
            all.retain(|words| *words != most);
        }
        all
    }

    /// Where a prompt that speaks of one machine alone leads when nobody presses: one way or another.
    fn missed(&self, prompt: &Prompt) -> String {
        let mut said = Vec::new();
        let Some((m, states)) = one_of(&prompt.when) else { return String::new() };
        for s in &states {
            for way in &self.form.machines[m].states[*s].transitions {
                let waits = matches!(way.trigger, Trigger::Timer { .. });
                if waits && way.go.is_some_and(|target| !states.contains(&target)) {
                    let seen: Vec<String> =
                        self.moved((m, *s), way).into_iter().chain(self.besides(m, way)).collect();
                    add_new(&mut said, Some(in_a_row(&seen)).filter(|seen| !seen.is_empty()));
                }
            }
        }
        one_or_other(&said)
    }

    /// What a press does at another time: when, and what is seen. Of two ways of a state the first is taken: one that can only go
    /// where a later one could, too, is told with that; where they share some times, the later one is told with an "unless".
    pub(super) fn otherwise(&self, button: usize) -> Vec<(String, String)> {
        let mut found: Vec<Otherwise> = Vec::new();
        for (m, machine) in self.form.machines.iter().enumerate() {
            if !shows_something(machine) {
                continue;
            }
            for (s, state) in machine.states.iter().enumerate() {
                let mut here: Vec<Otherwise> = Vec::new();
                for way in &state.transitions {
                    if way.trigger != (Trigger::Press { button }) || self.is_asked(button, (m, s), way) {
                        continue;
                    }
                    let said: Vec<String> =
                        self.moved((m, s), way).into_iter().chain(self.besides(m, way)).collect();
                    let given = way.condition.as_ref();
                    let said = if said.is_empty() { NOTHING.to_owned() } else { in_a_row(&said) };
                    let (mut what, mut unless) = (Vec::new(), Vec::new());
                    here.retain(|before| {
                        let within = before.is_within(given);
                        match before.given {
                            _ if within => add_new(&mut what, before.what.iter().cloned()),
                            Some(before) if !excluded(before, given) => unless.push(before),
                            _ => {}
                        }
                        !within
                    });
                    add_new(&mut what, [said]);
                    here.push(Otherwise { m, states: vec![s], given, unless, what });
                    if given.is_none() || here.len() == MOST_TOLD {
                        break;
                    }
                }
                for one in here.into_iter().filter(|one| one.what != [NOTHING]) {
                    match found.iter_mut().find(|other| other.is_like(&one)) {
                        Some(other) => other.states.push(s),
                        None => found.push(one),
                    }
                }
            }
        }
        let words = |one: Otherwise| {
            let given = one.given.map(|given| parts(given, Two::And)).unwrap_or_default();
            let mut when = self.together(Some(self.is(one.m, &one.states)), &given);
            if !one.unless.is_empty() {
                let unless: Vec<String> = one.unless.iter().map(|before| self.condition(before)).collect();
                when.push_str(&format!(", unless {}", list(&unless, "or")));
            }
            let what = one_or_other(&one.what);
            let plainly = one.given.is_none() && one.unless.is_empty();
            let it = what.strip_prefix(&self.machine(one.m)).filter(|rest| plainly && rest.starts_with(' '));
            (format!("while {when}"), it.map_or(what.clone(), |rest| format!("it{rest}")))
        };
        found.into_iter().map(words).collect()
    }

    /// Whether a way is what some prompt asks for.
    fn is_asked(&self, button: usize, at: (usize, usize), way: &Transition) -> bool {
        let mut prompts = self.form.prompts.iter().filter(|prompt| prompt.button == button);
        prompts.any(|prompt| spoken_of(&prompt.when).contains(&at) && self.answer(prompt, at) == Some(way))
    }
}

/// What a press does that nobody asks for: from some states of a machine, under a condition.
struct Otherwise<'a> {
    m: usize,
    states: Vec<usize>,
    given: Option<&'a Expr>,
    unless: Vec<&'a Expr>,
    what: Vec<String>,
}

impl Otherwise<'_> {
    /// Whether it can only be where something else is given.
    fn is_within(&self, given: Option<&Expr>) -> bool {
        given.is_none_or(|given| self.given.is_some_and(|own| follows(&[own], given)))
    }

    /// Whether the same is told of it but for the states.
    fn is_like(&self, other: &Self) -> bool {
        (self.m, self.given, &self.unless, &self.what) == (other.m, other.given, &other.unless, &other.what)
    }
}

/// Whether two conditions cannot both hold.
fn excluded(one: &Expr, other: Option<&Expr>) -> bool {
    let never = Expr { w: 8, node: Node::Const { v: 0 } };
    follows(&[one].into_iter().chain(other).collect::<Vec<_>>(), &never)
}

/// Adds what was not said yet.
pub(super) fn add_new(said: &mut Vec<String>, more: impl IntoIterator<Item = String>) {
    for words in more {
        if !said.contains(&words) {
            said.push(words);
        }
    }
}

/// `the keeper shows left or is straight`: of what begins alike the beginning is said once.
fn one_or_other(all: &[String]) -> String {
    let subject = |words: &str| [" shows ", " is "].iter().filter_map(|verb| words.find(verb)).min();
    let Some(at) = all.first().and_then(|first| subject(first)) else { return list(all, "or") };
    let same = |words: &&String| words.get(..at) == all[0].get(..at) && subject(words) == Some(at);
    if !all.iter().all(|words| same(&words)) {
        return list(all, "or");
    }
    let rest: Vec<String> =
        all.iter().filter_map(|words| words.get(at..)).map(|rest| rest.trim().to_owned()).collect();
    format!("{} {}", &all[0][..at], list(&rest, "or"))
}

/// Whether a machine has anything to show.
fn shows_something(machine: &rules::form::Machine) -> bool {
    let shows = |state: &rules::form::State| state.pose.is_some() || !state.lights.is_empty();
    machine.states.iter().any(shows) || machine.numbers.iter().any(|number| number.shown_on.is_some())
}

/// The states that a condition wants machines to be in, those under a `not` left out.
fn spoken_of(expr: &Expr) -> Vec<(usize, usize)> {
    match &expr.node {
        Node::In { m, s } => vec![(*m, *s)],
        Node::Two { f: Two::And | Two::Or, a, b } => {
            let mut all = spoken_of(a);
            for one in spoken_of(b) {
                if !all.contains(&one) {
                    all.push(one);
                }
            }
            all
        }
        _ => Vec::new(),
    }
}
