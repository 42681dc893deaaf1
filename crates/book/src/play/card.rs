//! The rule card: what each button does, how a bout goes, what the numbers mean, what can be tuned.

use super::press::add_new;
use super::tell::{ONE_MORE, Teller, capital, list, one_of, parts, plain};
use rules::form::{Action, Expr, Form, Machine, Node, State, Transition, Trigger, Two, Unit, each_node};
use serde_json::{Value, json};

/// So many causes are told of one change; the rules tell the rest.
const MOST_CAUSES: usize = 4;

/// The view of the card; `about` is what the rules' text says of itself at its beginning.
pub(super) fn view(form: &Form, about: Option<&str>) -> Value {
    let nobody = Teller { form, side: None };
    json!({
        "about": about,
        "buttons": buttons(form).iter().map(|block| json!({
            "who": capital(&block.who(form)), "each": block.buttons.len() > 1, "asked": block.asked, "otherwise": block.otherwise, "held": block.held,
        })).collect::<Vec<_>>(),
        "bout": bout(&nobody),
        "numbers": numbers(&nobody),
        "messages": messages(&nobody),
        "constants": form.sliders.iter().map(|slider| {
            let unit = match slider.unit { Unit::Ms => " ms", Unit::Number => "" };
            json!({
                "name": plain(&slider.name), "value": format!("{}{unit}", slider.value),
                "from": format!("{}{unit}", slider.min), "to": format!("{}{unit}", slider.max),
            })
        }).collect::<Vec<_>>(),
    })
}

/// Buttons of which the same is to be said, each to whoever stands there.
#[derive(PartialEq)]
pub(super) struct Block {
    /// The buttons.
    pub(super) buttons: Vec<usize>,
    /// A sentence or more for each prompt.
    pub(super) asked: Vec<String>,
    /// At which other times a press does something, and what.
    pub(super) otherwise: Vec<(String, String)>,
    /// What holding it down does.
    pub(super) held: String,
}

impl Block {
    /// `buttons west and east`.
    pub(super) fn who(&self, form: &Form) -> String {
        let names: Vec<String> = self.buttons.iter().map(|button| plain(&form.buttons[*button])).collect();
        let word = if names.len() > 1 { "buttons" } else { "button" };
        format!("{word} {}", list(&names, "and"))
    }
}

/// Whoever stands at a button.
pub(super) fn at<'a>(form: &'a Form, button: usize) -> Teller<'a> {
    let side = form.prompts.iter().find(|prompt| prompt.button == button).and_then(|prompt| prompt.side);
    Teller { form, side }
}

/// Every button, those of which the same is to be said together.
pub(super) fn buttons(form: &Form) -> Vec<Block> {
    let mut blocks: Vec<Block> = Vec::new();
    for button in 0..form.buttons.len() {
        let block = block(&at(form, button), button);
        let same = |other: &&mut Block| {
            (&other.asked, &other.otherwise, &other.held) == (&block.asked, &block.otherwise, &block.held)
        };
        match blocks.iter_mut().find(same) {
            Some(other) => other.buttons.push(button),
            None => blocks.push(block),
        }
    }
    blocks
}

fn block(teller: &Teller, button: usize) -> Block {
    let prompts = teller.form.prompts.iter().filter(|prompt| prompt.button == button);
    let asked = prompts.map(|prompt| {
        let name = prompt.name.split('.').next().unwrap_or_default();
        let asked = teller.asked(prompt);
        let mut words = format!("{}: press while {}.", capital(&plain(name)), asked.when);
        if let Some(coming) = asked.coming {
            words.push_str(&format!(" It is seen coming while {coming}."));
        }
        if !asked.then.is_empty() {
            words.push_str(&format!(" Then: {}.", asked.then.join("; ")));
        }
        if !asked.missed.is_empty() {
            words.push_str(&format!(" Too late: {}.", asked.missed.join("; ")));
        }
        words
    });
    Block {
        buttons: vec![button],
        asked: asked.collect(),
        otherwise: teller.otherwise(button),
        held: held(teller.form, button).to_owned(),
    }
}

/// What holding a button down does.
fn held(form: &Form, button: usize) -> &'static str {
    let shown = form.machines.iter().filter(|machine| shows(machine));
    let mut ways = shown.flat_map(|machine| &machine.states).flat_map(|state| &state.transitions);
    if ways.any(|way| way.condition.as_ref().is_some_and(|condition| asks_held(condition, button))) {
        "Held down, what moves may go on until it is let go."
    } else {
        "Held down, it counts as one press, the one with which it went down."
    }
}

fn shows(machine: &Machine) -> bool {
    machine.states.iter().any(|state| state.pose.is_some() || !state.lights.is_empty())
}

/// Whether an expression asks if a button is held.
fn asks_held(expr: &Expr, button: usize) -> bool {
    let mut asks = false;
    each_node(expr, &mut |node| asks |= matches!(node, Node::Held { b } if *b == button));
    asks
}

/// How a bout begins, goes on and ends.
fn bout(teller: &Teller) -> Vec<String> {
    let Some(bout) = &teller.form.bout else {
        return vec![
            "The rules do not say what a bout is: it is played as long as somebody likes.".to_owned(),
        ];
    };
    let mut said = vec![format!("It lasts while {}.", teller.condition(bout))];
    let of_states: Vec<(usize, Vec<usize>)> = grouped(bout);
    let lead = |from: bool, to: bool| match (from, to) {
        (false, true) => Some("It begins"),
        (true, true) => Some("On the way"),
        (true, false) => Some("It ends"),
        (false, false) => None,
    };
    let mut ways: Vec<(&str, String)> = Vec::new();
    for (m, within) in &of_states {
        for (s, state) in teller.form.machines[*m].states.iter().enumerate() {
            for way in &state.transitions {
                let Some(target) = way.go.filter(|target| *target != s) else { continue };
                let Some(lead) = lead(within.contains(&s), within.contains(&target)) else { continue };
                let cause = cause(teller, state, way, true);
                let (from, to) = (teller.states(*m, &[s]), teller.states(*m, &[target]));
                ways.push((lead, format!("{} goes from {from} to {to} {cause}", teller.machine(*m))));
            }
        }
    }
    for lead in ["It begins", "On the way", "It ends"] {
        let of: Vec<String> =
            ways.iter().filter(|(of, _)| *of == lead).map(|(_, words)| words.clone()).collect();
        if !of.is_empty() {
            said.push(format!("{lead}: {}.", of.join("; ")));
        }
    }
    said
}

/// The states that a condition speaks of, by machine.
fn grouped(expr: &Expr) -> Vec<(usize, Vec<usize>)> {
    let mut found: Vec<(usize, Vec<usize>)> = Vec::new();
    for (m, states) in parts(expr, Two::Or).into_iter().filter_map(one_of) {
        match found.iter_mut().find(|(of, _)| *of == m) {
            Some((_, all)) => all.extend(states),
            None => found.push((m, states)),
        }
    }
    found
}

/// What makes a way go, with its condition if that is wanted.
fn cause(teller: &Teller, state: &State, way: &Transition, whole: bool) -> String {
    let given = way.condition.as_ref().map(|given| teller.condition(given));
    let words = match &way.trigger {
        Trigger::Press { button } => format!("on a press of {}", teller.button(*button)),
        Trigger::Message { any } => {
            let mut names: Vec<String> =
                any.iter().map(|message| called(&teller.form.messages[*message].name)).collect();
            names.dedup();
            format!("at {}", list(&names, "or"))
        }
        Trigger::Timer { timer } => match state.dwells.iter().find(|dwell| dwell.timer == *timer) {
            Some(dwell) => format!("after {} of {}", teller.time(dwell.ticks.into()), plain(&state.name)),
            None => "when its time is over".to_owned(),
        },
        Trigger::Always => {
            return given.map_or_else(|| "at once".to_owned(), |given| format!("as soon as {given}"));
        }
    };
    match given.filter(|_| whole) {
        Some(given) => format!("{words}, if {given}"),
        None => words,
    }
}

/// A message's name in quotation marks.
fn called(name: &str) -> String {
    format!("“{}”", plain(name))
}

/// Every number that is shown or kept.
fn numbers(teller: &Teller) -> Vec<Value> {
    let mut said = Vec::new();
    for (m, machine) in teller.form.machines.iter().enumerate() {
        for (i, number) in machine.numbers.iter().enumerate() {
            let written = written(teller, (m, i));
            if number.shown_on.is_none() && !number.kept && written.is_empty() {
                continue;
            }
            let mut parts = Vec::new();
            if let Some(digits) = number.shown_on {
                let digits = plain(&teller.form.digits[digits].name);
                parts.push(format!("{} to {} on the digits {digits}", number.min, number.max));
            }
            parts.extend(written);
            parts.extend(changes(teller, (m, i)));
            if number.kept {
                parts.push("kept when the power goes".to_owned());
            }
            said.push(json!({ "name": teller.number(m, i), "words": capital(&parts.join("; ")) }));
        }
    }
    said
}

/// Where states write a number on digits.
fn written(teller: &Teller, (m, i): (usize, usize)) -> Vec<String> {
    let mut said = Vec::new();
    for (of, machine) in teller.form.machines.iter().enumerate() {
        for (s, state) in machine.states.iter().enumerate() {
            for writes in state.writes.iter().filter(|writes| writes.value.node == (Node::Number { m, i })) {
                let digits = plain(&teller.form.digits[writes.digits].name);
                let how = if writes.flash.is_some() { "flashing on" } else { "on" };
                let when = teller.states(of, &[s]);
                said.push(format!("{how} the digits {digits} while {} is {when}", teller.machine(of)));
            }
        }
    }
    said
}

/// What a number becomes, and why.
fn changes(teller: &Teller, (m, i): (usize, usize)) -> Vec<String> {
    let machine = &teller.form.machines[m];
    let mut found: Vec<(String, Vec<String>)> = Vec::new();
    let mut add = |actions: &[Action], cause: &dyn Fn() -> String| {
        for action in actions {
            let Action::Set { number, to } = action else { continue };
            if *number != i {
                continue;
            }
            let (becomes, cause) = (teller.becomes((m, i), to), cause());
            match found.iter_mut().find(|(of, _)| *of == becomes) {
                Some((_, causes)) if causes.contains(&cause) => {}
                Some((_, causes)) => causes.push(cause),
                None => found.push((becomes, vec![cause])),
            }
        }
    };
    for state in &machine.states {
        add(&state.entry, &|| format!("when {} begins", plain(&state.name)));
        for way in &state.transitions {
            add(&way.actions, &|| cause(teller, state, way, false));
        }
    }
    // Where it is counted, the end of its range is no news.
    if found.iter().any(|(becomes, _)| becomes == ONE_MORE) {
        let most = machine.numbers[i].max.to_string();
        found.retain(|(becomes, _)| *becomes != most);
    }
    let words = |(becomes, mut causes): (String, Vec<String>)| {
        if causes.len() > MOST_CAUSES {
            causes.truncate(MOST_CAUSES);
            causes.push("more".to_owned());
        }
        format!("{becomes} {}", list(&causes, "and"))
    };
    found.into_iter().map(words).collect()
}

/// When each message is sent.
fn messages(teller: &Teller) -> Vec<Value> {
    let mut said: Vec<(&str, &str, Vec<String>, Vec<String>)> = Vec::new();
    for (k, message) in teller.form.messages.iter().enumerate() {
        let machine = &teller.form.machines[message.sender];
        let base = machine.name.split('.').next().unwrap_or_default();
        for state in &machine.states {
            for way in
                state.transitions.iter().filter(|way| way.actions.contains(&Action::Send { message: k }))
            {
                let place = said.iter().position(|one| (one.0, one.1) == (message.name.as_str(), base));
                let place = place.unwrap_or_else(|| {
                    said.push((&message.name, base, Vec::new(), Vec::new()));
                    said.len() - 1
                });
                let to =
                    way.go.map_or_else(|| plain(&state.name), |target| plain(&machine.states[target].name));
                let (_, _, from, goes) = &mut said[place];
                add_new(from, [plain(&state.name)]);
                add_new(goes, [to]);
            }
        }
    }
    let words = |(name, base, from, to): &(&str, &str, Vec<String>, Vec<String>)| {
        let moves = match to.as_slice() {
            [to] => format!("goes from {} to {to}", list(from, "or")),
            _ => format!("leaves {}", list(from, "or")),
        };
        json!({ "name": called(name), "words": format!("{} {moves}", plain(base)) })
    };
    said.iter().map(words).collect()
}
