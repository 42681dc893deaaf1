//! What a press does and what its absence does, read off the ways out of the machine form.

use super::tell::{ONE_MORE, Teller, list, one_of, parts, plain};
use rules::form::{Action, Expr, Node, Prompt, Transition, Trigger, Two};

/// What somebody is asked for, and what comes of it.
pub(super) struct Asked {
    /// When to press, as it is seen.
    pub(super) when: String,
    /// How it is seen coming; none comes suddenly.
    pub(super) coming: Option<String>,
    /// What a press does then.
    pub(super) then: Vec<String>,
    /// What happens where nobody presses.
    pub(super) missed: Vec<String>,
}

impl Teller<'_> {
    /// All about a prompt.
    pub(super) fn asked(&self, prompt: &Prompt) -> Asked {
        Asked {
            when: self.sight(prompt),
            coming: prompt.coming.as_ref().map(|coming| self.condition(coming)),
            then: self.then(prompt),
            missed: self.missed(prompt),
        }
    }

    /// What is seen when it is time: the button's own lamp, the pose, else the condition.
    fn sight(&self, prompt: &Prompt) -> String {
        let lit = self.is_lit(prompt).then(|| "its lamp is lit".to_owned());
        let pose = one_of(&prompt.when).and_then(|(m, states)| self.pose_of(m, &states));
        let words = pose.unwrap_or_else(|| self.condition(&prompt.when));
        match lit {
            Some(lit) if self.is_lamp_alone(prompt) => lit,
            Some(lit) => format!("{lit} and {words}"),
            None => words,
        }
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

    /// Every light of the button's own lamp: the machine's states that it is in, and the condition besides.
    fn lamp(&self, button: usize) -> Vec<(usize, usize, Option<&Expr>)> {
        let Some(spot) = self.form.spots.iter().position(|spot| *spot == self.form.buttons[button]) else {
            return Vec::new();
        };
        let of = |(m, s): (usize, usize)| {
            let lights = self.form.machines[m].states[s].lights.iter();
            lights
                .filter(move |light| light.first == spot && light.count == 1)
                .map(move |light| (m, s, light.when.as_ref()))
        };
        let states = |m: usize| (0..self.form.machines[m].states.len()).map(move |s| (m, s));
        (0..self.form.machines.len()).flat_map(states).flat_map(of).collect()
    }

    /// Whether the button's own lamp is lit whenever the prompt is true.
    fn is_lit(&self, prompt: &Prompt) -> bool {
        let lamp = self.lamp(prompt.button);
        if let Some((m, states)) = one_of(&prompt.when) {
            let lit = |s: &usize| lamp.iter().any(|(of, at, when)| (*of, *at) == (m, *s) && when.is_none());
            if states.iter().all(lit) {
                return true;
            }
        }
        // A lamp of a machine that is always in its one state.
        let steady = |(m, _, when): &(usize, usize, Option<&Expr>)| {
            let wide = when.is_some_and(|when| {
                parts(when, Two::Or).into_iter().any(|one| *one == prompt.when) || *when == prompt.when
            });
            self.form.machines[*m].states.len() == 1 && wide
        };
        lamp.iter().any(steady)
    }

    /// Whether the lamp says all: it is lit then and never else, and nothing else is asked for at this button.
    fn is_lamp_alone(&self, prompt: &Prompt) -> bool {
        let lamp = self.lamp(prompt.button);
        let same = self.form.prompts.iter().filter(|other| other.button == prompt.button).count();
        same == 1 && lamp.len() == 1 && lamp[0].2 == Some(&prompt.when)
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
        let moves = moves.iter().filter(|(_, all)| !all.is_empty()).map(|(_, all)| list(all, "or"));
        let mut said: Vec<String> = Vec::new();
        add_new(&mut said, moves.chain(besides));
        said
    }

    /// The way out that a prompt's press takes from a state: the first that the prompt makes sure of.
    fn answer(&self, prompt: &Prompt, (m, s): (usize, usize)) -> Option<&Transition> {
        let given = parts(&prompt.when, Two::And);
        let mut ways = self.form.machines[m].states[s].transitions.iter();
        ways.find(|way| {
            way.trigger == Trigger::Press { button: prompt.button }
                && is_sure(way.condition.as_ref(), &given, (m, s))
        })
    }

    /// What is seen of the machine itself when it goes a way: its pose, else its state; none where it stays.
    fn moved(&self, (m, s): (usize, usize), way: &Transition) -> Option<String> {
        let machine = &self.form.machines[m];
        let target = way.go.filter(|target| *target != s)?;
        let (old, new) = (&machine.states[s].pose, &machine.states[target].pose);
        Some(match new {
            Some(pose) if old.as_ref() != Some(pose) => self.shows(pose.figure, pose.pose),
            _ => format!("{} is {}", self.machine(m), self.states(m, &[target])),
        })
    }

    /// What else is seen or heard of a way: digits, another light of a row, sounds.
    fn besides(&self, m: usize, way: &Transition) -> Vec<String> {
        let machine = &self.form.machines[m];
        let mut said = Vec::new();
        for action in &way.actions {
            match action {
                Action::Set { number, to } if machine.numbers[*number].shown_on.is_some() => {
                    said.push(format!("{}: {}", self.number(m, *number), self.becomes((m, *number), to)));
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
            format!("{}: {}", self.number(m, i), list(&self.without_ends((m, i), all), "or"))
        };
        found.into_iter().map(words).collect()
    }

    /// What a number becomes, counting first; the end of its range, which counting comes to, is no news.
    fn without_ends(&self, (m, i): (usize, usize), mut all: Vec<String>) -> Vec<String> {
        let most = self.form.machines[m].numbers[i].max.to_string();
        if let Some(at) = all.iter().position(|words| words == ONE_MORE) {
            all.swap(0, at);
            all.retain(|words| *words != most);
        }
        all
    }

    /// Where a prompt that speaks of one machine alone leads when nobody presses.
    fn missed(&self, prompt: &Prompt) -> Vec<String> {
        let mut said = Vec::new();
        let Some((m, states)) = one_of(&prompt.when) else { return said };
        for s in &states {
            for way in &self.form.machines[m].states[*s].transitions {
                let waits = matches!(way.trigger, Trigger::Timer { .. });
                if waits && way.go.is_some_and(|target| !states.contains(&target)) {
                    add_new(&mut said, self.moved((m, *s), way).into_iter().chain(self.besides(m, way)));
                }
            }
        }
        said
    }

    /// What a press does at another time: from which states and under which condition, and what is seen.
    pub(super) fn otherwise(&self, button: usize) -> Vec<(String, String)> {
        let mut found: Vec<(String, String, usize, Vec<usize>)> = Vec::new();
        for (m, machine) in self.form.machines.iter().enumerate() {
            if !shows_something(machine) {
                continue;
            }
            for (s, state) in machine.states.iter().enumerate() {
                for way in &state.transitions {
                    if way.trigger != (Trigger::Press { button }) || self.is_asked(button, (m, s), way) {
                        continue;
                    }
                    let said: Vec<String> =
                        self.moved((m, s), way).into_iter().chain(self.besides(m, way)).collect();
                    let given = way
                        .condition
                        .as_ref()
                        .map_or(String::new(), |given| format!(" and {}", self.condition(given)));
                    let what = list(&said, "and");
                    match found.iter_mut().find(|one| (&one.0, &one.1, one.2) == (&what, &given, m)) {
                        _ if what.is_empty() => {}
                        Some((_, _, _, states)) => states.push(s),
                        None => found.push((what, given, m, vec![s])),
                    }
                }
            }
        }
        let words = |(what, given, m, states): &(String, String, usize, Vec<usize>)| {
            (format!("while {} is {}{given}", self.machine(*m), self.states(*m, states)), what.clone())
        };
        found.iter().map(words).collect()
    }

    /// Whether a way is what some prompt asks for.
    fn is_asked(&self, button: usize, at: (usize, usize), way: &Transition) -> bool {
        let mut prompts = self.form.prompts.iter().filter(|prompt| prompt.button == button);
        prompts.any(|prompt| spoken_of(&prompt.when).contains(&at) && self.answer(prompt, at) == Some(way))
    }
}

/// Adds what was not said yet.
pub(super) fn add_new(said: &mut Vec<String>, more: impl IntoIterator<Item = String>) {
    for words in more {
        if !said.contains(&words) {
            said.push(words);
        }
    }
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

/// Whether what is given makes sure of a condition: each part of it is given, or says no more than one that is.
fn is_sure(condition: Option<&Expr>, given: &[&Expr], at: (usize, usize)) -> bool {
    let Some(condition) = condition else { return true };
    let narrower = |wide: &(usize, Vec<usize>), narrow: &Expr| {
        one_of(narrow).is_some_and(|(m, states)| m == wide.0 && states.iter().all(|s| wide.1.contains(s)))
    };
    parts(condition, Two::And).into_iter().all(|part| {
        given.iter().any(|one| **one == *part)
            || one_of(part).is_some_and(|wide| {
                (wide.0 == at.0 && wide.1.contains(&at.1)) || given.iter().any(|one| narrower(&wide, one))
            })
    })
}
