//! The rule card: what each button does, how a bout goes, what the numbers mean, what can be tuned.

use super::bout::{alternatives, bout, called, cause};
use super::press::add_new;
use super::tell::{ONE_MORE, Teller, capital, in_a_row, list, plain};
use rules::form::{Action, Expr, Form, Machine, Node, Number, State, Transition, Two, Unit, each_node};
use serde_json::{Value, json};

/// So many causes are told of one change; the rules tell the rest.
const MOST_CAUSES: usize = 4;
/// What a message means is told in no more letters; else only that it does not come every time.
const LONG: usize = 240;

/// The view of the card; `about` is what the rules' text says of itself at its beginning.
pub(super) fn view(form: &Form, about: Option<&str>) -> Value {
    let nobody = Teller { form, side: None };
    let (bout, numbers) = (bout(&nobody), numbers(&nobody));
    let told = bout.iter().map(String::as_str).chain(numbers.iter().filter_map(|one| one["words"].as_str()));
    let told: String = told.collect();
    let mut messages = messages(&nobody);
    messages.retain(|one| one["name"].as_str().is_some_and(|name| told.contains(name)));
    json!({
        "about": about,
        "buttons": buttons(form).iter().map(|block| json!({
            "who": capital(&block.who(form)), "each": block.buttons.len() > 1, "asked": block.asked, "held": block.held,
            "otherwise": block.otherwise.iter().map(|(when, what)| (capital(when), what)).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "bout": bout,
        "numbers": numbers,
        "messages": messages,
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
    /// For each prompt what it is called, and a sentence or more.
    pub(super) asked: Vec<(String, String)>,
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
        // One of several that are called after their buttons.
        let name =
            name.strip_suffix(&teller.form.buttons[button]).unwrap_or(name).trim_end_matches(['-', '_']);
        let name = if name.is_empty() { &prompt.name } else { name };
        let asked = teller.asked(prompt);
        let mut words = format!("Press while {}.", asked.when);
        if let Some(coming) = asked.coming {
            words.push_str(&format!(" {coming}."));
        }
        if !asked.then.is_empty() {
            words.push_str(&format!(" Then {}.", in_a_row(&asked.then)));
        }
        if asked.also_else {
            words.push_str(" At a wrong moment a press may do the same.");
        }
        if !asked.missed.is_empty() {
            words.push_str(&format!(" If nobody presses in time, {}.", asked.missed));
        }
        (capital(&plain(name)), words)
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
        "Holding it down may keep things moving until you let go."
    } else {
        "Holding it down counts as one press."
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

/// Every number that is shown or kept.
fn numbers(teller: &Teller) -> Vec<Value> {
    let mut said = Vec::new();
    for (m, machine) in teller.form.machines.iter().enumerate() {
        for (i, number) in machine.numbers.iter().enumerate() {
            let mut sentences = written(teller, (m, i), number.shown_on);
            if number.shown_on.is_none() && !number.kept && sentences.is_empty() {
                continue;
            }
            if let Some(digits) = number.shown_on {
                let digits = plain(&teller.form.digits[digits].name);
                sentences.insert(0, format!("From {} to {}, on the digits {digits}", number.min, number.max));
            }
            let changes = changes(teller, (m, i));
            if !changes.is_empty() {
                sentences.push(format!("It {}", alternatives_of(&changes)));
            }
            if number.kept {
                sentences.push("It is kept when the power goes".to_owned());
            }
            let words: Vec<String> = sentences.iter().map(|words| format!("{}.", capital(words))).collect();
            said.push(json!({ "name": capital(&teller.number(m, i)), "words": words.join(" ") }));
        }
    }
    said
}

/// `goes up by one on “goal” and becomes 0 on “came”`.
fn alternatives_of(changes: &[String]) -> String {
    let apart = if changes.iter().any(|one| one.contains(" and ") || one.contains(" or ")) {
        ", and "
    } else {
        " and "
    };
    changes.join(apart)
}

/// Where states write a number on digits.
fn written(teller: &Teller, (m, i): (usize, usize), own: Option<usize>) -> Vec<String> {
    let mut said = Vec::new();
    for (of, machine) in teller.form.machines.iter().enumerate() {
        for (s, state) in machine.states.iter().enumerate() {
            for writes in state.writes.iter().filter(|writes| writes.value.node == (Node::Number { m, i })) {
                let digits = match own {
                    Some(own) if own == writes.digits => "there".to_owned(),
                    _ => format!("on the digits {}", plain(&teller.form.digits[writes.digits].name)),
                };
                let how = if writes.flash.is_some() { "flashes" } else { "stands" };
                said.push(format!("It {how} {digits} while {}", teller.is(of, &[s])));
            }
        }
    }
    said
}

/// What a number becomes, and why: by what causes it, since one cause may bring this or that.
fn changes(teller: &Teller, (m, i): (usize, usize)) -> Vec<String> {
    let machine = &teller.form.machines[m];
    let mut found: Vec<(String, Vec<String>)> = Vec::new();
    let mut add = |actions: &[Action], cause: &dyn Fn() -> String| {
        for action in actions {
            let Action::Set { number, to } = action else { continue };
            if *number != i {
                continue;
            }
            let becomes = record(teller, (m, i), to, actions).unwrap_or_else(|| teller.becomes((m, i), to));
            let cause = cause();
            match found.iter_mut().find(|(of, _)| *of == cause) {
                Some((_, all)) => add_new(all, [becomes]),
                None => found.push((cause, vec![becomes])),
            }
        }
    };
    for state in &machine.states {
        add(&state.entry, &|| format!("when {} begins", plain(&state.name)));
        for way in &state.transitions {
            let sets = |other: &Transition| {
                other
                    .actions
                    .iter()
                    .any(|action| matches!(action, Action::Set { number, .. } if *number == i))
            };
            let given =
                || given_apart(teller, state, way, |other| other.trigger == way.trigger && !sets(other));
            add(&way.actions, &|| {
                let given = given().map_or(String::new(), |given| format!(" if {given}"));
                format!("{}{given}", cause(teller, state, way, false))
            });
        }
    }
    // Where it is counted, the end of its range is no news.
    let most = format!("becomes {}", machine.numbers[i].max);
    for (_, all) in &mut found {
        if let Some(at) = all.iter().position(|words| words == ONE_MORE) {
            all.swap(0, at);
            all.retain(|words| *words != most);
        }
    }
    let mut alike: Vec<(Vec<String>, Vec<String>)> = Vec::new();
    for (cause, all) in found {
        match alike.iter_mut().find(|(of, _)| *of == all) {
            Some((_, causes)) => causes.push(cause),
            None => alike.push((all, vec![cause])),
        }
    }
    let words = |(all, mut causes): (Vec<String>, Vec<String>)| {
        // Where something happens whatever is given, when else it does is no news.
        let plainly: Vec<String> = causes.iter().map(|cause| format!("{cause} if ")).collect();
        causes.retain(|cause| !plainly.iter().any(|plainly| cause.starts_with(plainly)));
        if causes.len() > MOST_CAUSES {
            causes.truncate(MOST_CAUSES);
            causes.push("more".to_owned());
        }
        format!("{} {}", list(&all, "or"), list(&causes, "and"))
    };
    alike.into_iter().map(words).collect()
}

/// Where a number follows the greatest that another one on digits has come to: both become the same, if it is more.
fn record(teller: &Teller, (m, i): (usize, usize), to: &Expr, actions: &[Action]) -> Option<String> {
    let numbers: &[Number] = &teller.form.machines[m].numbers;
    let most = |expr: &Expr| matches!(expr.node, Node::Const { v } if v == numbers[i].max);
    let new = match &to.node {
        Node::Two { f: Two::Max, a, b } if a.node == (Node::Number { m, i }) => b.as_ref(),
        // The greatest that it can be is never less than it was.
        _ if most(to) => to,
        _ => return None,
    };
    let same = actions.iter().find_map(|action| match action {
        Action::Set { number, to } if *number != i && to == new && numbers[*number].shown_on.is_some() => {
            Some(*number)
        }
        _ => None,
    })?;
    Some(format!("becomes {}, if that is more,", teller.number(m, same)))
}

/// When each message is sent.
fn messages(teller: &Teller) -> Vec<Value> {
    let form = teller.form;
    let mut said: Vec<(&str, String, Vec<Sent>)> = Vec::new();
    for (k, message) in form.messages.iter().enumerate() {
        let machine = &form.machines[message.sender];
        for (from, state) in machine.states.iter().enumerate() {
            for way in state.transitions.iter().filter(|way| sends(way, k)) {
                let name = |s: usize| plain(&machine.states[s].name);
                let to = name(way.go.unwrap_or(from));
                // Its two ends may tell it from every other way.
                let given = given_apart(teller, state, way, |other| other.go == way.go && !sends(other, k));
                let who = anybody(teller, &machine.name);
                let of = said.iter().position(|(name, by, _)| *name == message.name && *by == who);
                let of = of.unwrap_or_else(|| {
                    said.push((message.name.as_str(), who, Vec::new()));
                    said.len() - 1
                });
                let all = &mut said[of].2;
                match all.iter_mut().find(|one| one.given == given) {
                    Some(one) => {
                        add_new(&mut one.from, [name(from)]);
                        add_new(&mut one.to, [to]);
                    }
                    None => all.push(Sent { from: vec![name(from)], to: vec![to], given }),
                }
            }
        }
    }
    let words = |(name, who, all): &(&str, String, Vec<Sent>)| {
        let ways: Vec<String> = all.iter().map(Sent::words).collect();
        let mut words = alternatives(&ways);
        if words.len() > LONG {
            let mut from = Vec::new();
            add_new(&mut from, all.iter().flat_map(|sent| sent.from.iter().cloned()));
            words = format!("leaves {}, though not every time it does", list(&from, "or"));
        }
        json!({ "name": called(name), "words": format!("{who} {words}") })
    };
    said.iter().map(words).collect()
}

/// A message sent: on the way from where to where, and under which condition.
struct Sent {
    from: Vec<String>,
    to: Vec<String>,
    given: Option<String>,
}

impl Sent {
    fn words(&self) -> String {
        let from = list(&self.from, "or");
        match (self.to.as_slice(), &self.given) {
            (_, Some(given)) => format!("leaves {from} while {given}"),
            ([to], None) => format!("goes from {from} to {to}"),
            _ => format!("leaves {from}"),
        }
    }
}

fn sends(way: &Transition, message: usize) -> bool {
    way.actions.contains(&Action::Send { message })
}

/// The condition of a way, that it comes behind others of its cause included; none where no other way can be taken for it.
fn given_apart(
    teller: &Teller,
    state: &State,
    way: &Transition,
    alike: impl Fn(&Transition) -> bool,
) -> Option<String> {
    if !state.transitions.iter().any(|other| other != way && alike(other)) {
        return None;
    }
    let before = state.transitions.iter().take_while(|other| *other != way);
    let before = before.filter(|other| other.trigger == way.trigger);
    let mut given: Vec<String> =
        before.filter_map(|other| other.condition.as_ref()).map(|other| teller.denied(other)).collect();
    given.extend(way.condition.as_ref().map(|own| teller.condition(own)));
    (!given.is_empty()).then(|| list(&given, "and"))
}

/// A machine, whichever side it is of.
fn anybody(teller: &Teller, name: &str) -> String {
    let sides = &teller.form.sides;
    match name.rsplit_once('.') {
        Some((base, side)) if sides.iter().any(|own| own == side) => {
            format!("{} {}", if sides.len() == 2 { "either" } else { "any" }, plain(base))
        }
        _ => format!("the {}", plain(name)),
    }
}
