//! The tests of the rules that are tried by hand: what to do, what to see.

use super::Beside;
use super::card::{at, buttons};
use super::tell::{Teller, capital, in_a_row, list, plain};
use rules::form::{Claimed, Form, Machine, Ties, Trigger};
use serde_json::{Value, json};

/// One test.
struct Row {
    act: String,
    see: String,
}

fn row(act: impl Into<String>, see: impl Into<String>) -> Row {
    Row { act: act.into(), see: see.into() }
}

/// All tests, from nobody at the display to the claims.
pub(super) fn view(form: &Form, beside: &Beside) -> Value {
    let mut rows = vec![nobody(form, beside)];
    rows.extend(pressed(form));
    rows.extend(held(form));
    rows.extend(ties(form));
    rows.extend(left(beside));
    rows.push(power(form));
    rows.extend(form.claims.iter().map(|claim| claimed(form, &plain(&claim.name), &claim.claim)));
    rows.into_iter().map(|row| json!({ "act": row.act, "see": row.see })).collect()
}

/// Nobody presses.
fn nobody(form: &Form, beside: &Beside) -> Row {
    let Some(alone) = beside.unattended.as_ref() else {
        return row("Switch on, press nothing", "it plays, or waits, by itself");
    };
    let teller = Teller { form, side: None };
    let mut seen: Vec<String> = Vec::new();
    for (figure, poses) in alone.poses.iter().enumerate().filter(|(_, poses)| !poses.is_empty()) {
        let names: Vec<String> = poses.iter().map(|pose| plain(&form.figures[figure].poses[*pose])).collect();
        seen.push(format!("{} shows {}", teller.figure(figure), list(&names, "and")));
    }
    if let Some(lit) = lit(form, &alone.lit) {
        seen.push(format!("lit now and then: {lit}"));
    }
    for (digits, shown) in alone.digits.iter().enumerate() {
        if let Some((least, most)) = shown {
            let name = plain(&form.digits[digits].name);
            let range = if least == most { least.to_string() } else { format!("{least} to {most}") };
            seen.push(format!("digits {name}: {range}"));
        }
    }
    let act = format!("Switch on and press nothing for {} s", alone.seconds);
    row(act, if seen.is_empty() { "all dark".to_owned() } else { capital(&seen.join("; ")) })
}

/// Spots, those of a row together.
fn lit(form: &Form, spots: &[usize]) -> Option<String> {
    let mut rows: Vec<(&str, Vec<&str>)> = Vec::new();
    for spot in spots {
        let name = form.spots[*spot].as_str();
        let (row, place) = name.rsplit_once('.').unwrap_or((name, ""));
        match rows.iter_mut().find(|(of, _)| *of == row) {
            Some((_, places)) => places.push(place),
            None => rows.push((row, vec![place])),
        }
    }
    let words = |(row, places): &(&str, Vec<&str>)| match (places.first(), places.last()) {
        (Some(first), Some(last)) if follow(places) => format!("{} {first} to {last}", plain(row)),
        (Some(first), Some(last)) if first != last => {
            format!("{} of {} from {first} to {last}", places.len(), plain(row))
        }
        _ => plain(row),
    };
    (!rows.is_empty()).then(|| list(&rows.iter().map(words).collect::<Vec<_>>(), "and"))
}

/// Whether places of a row follow each other without a gap.
fn follow(places: &[&str]) -> bool {
    let numbers: Vec<u32> = places.iter().filter_map(|place| place.parse().ok()).collect();
    numbers.len() == places.len()
        && numbers.len() > 1
        && numbers.windows(2).all(|pair| pair[0].checked_add(1) == Some(pair[1]))
}

/// Presses in time, too late, at another time.
fn pressed(form: &Form) -> Vec<Row> {
    let mut rows = Vec::new();
    for block in buttons(form) {
        let who = block.who(form);
        let each = if block.buttons.len() > 1 { ", each in turn" } else { "" };
        let Some(teller) = block.buttons.first().map(|button| at(form, *button)) else { continue };
        let first = block.buttons.first().copied().unwrap_or_default();
        for prompt in form.prompts.iter().filter(|prompt| prompt.button == first) {
            let asked = teller.asked(prompt);
            if !asked.then.is_empty() {
                let act = format!("{}{each}: press while {}", capital(&who), asked.when);
                rows.push(row(act, format!("At once {}", in_a_row(&asked.then))));
            }
            if !asked.missed.is_empty() {
                rows.push(row("The same, but let it pass without a press", capital(&asked.missed)));
            }
        }
        for (act, see) in &block.otherwise {
            rows.push(row(format!("{}{each}: press {act}", capital(&who)), capital(see)));
        }
    }
    rows
}

/// Buttons held down.
fn held(form: &Form) -> Vec<Row> {
    let mut rows = Vec::new();
    for block in buttons(form) {
        let who = block.who(form);
        let each = if block.buttons.len() > 1 { ", each in turn" } else { "" };
        rows.push(row(format!("Hold {who} down for half a minute{each}, then let go"), block.held));
    }
    if !form.buttons.is_empty() {
        rows.push(row(
            "Hold a button down while you switch on, let it go, press it",
            "Nothing counts before it was let go once; the press after that does",
        ));
    }
    rows
}

/// Two buttons in the same moment.
fn ties(form: &Form) -> Option<Row> {
    if form.buttons.len() < 2 {
        return None;
    }
    let settled = |machine: &Machine| {
        let name = plain(&machine.name);
        let said = match machine.ties.as_ref()? {
            Ties::First { side } => {
                format!(
                    "{name}: {} goes first",
                    form.sides.get(*side).map_or(String::new(), |side| plain(side))
                )
            }
            Ties::Alternately { .. } => format!("{name}: now one, now the other goes first"),
            Ties::Random { .. } => format!("{name}: chance says who goes first"),
        };
        let hears = |trigger: &Trigger| matches!(trigger, Trigger::Press { .. });
        let any = machine.states.iter().flat_map(|state| &state.transitions).any(|way| hears(&way.trigger));
        any.then_some(said)
    };
    let mut said: Vec<String> = form.machines.iter().filter_map(settled).collect();
    let rest = if said.is_empty() { "each press" } else { "everywhere else each press" };
    said.push(format!("{rest} is answered on its own, and nothing gets stuck"));
    Some(row(
        "Two people press in the same moment, at every stage of play, ten times",
        capital(&said.join("; ")),
    ))
}

/// Everybody walks away.
fn left(beside: &Beside) -> Option<Row> {
    let rehearsal = beside.rehearsal.as_ref()?;
    let times = rehearsal.parties.iter().filter_map(|party| party.free_again_s.as_ref());
    let longest = times.map(|free| free.ninetieth).fold(0.0, f64::max);
    (longest > 0.0).then(|| {
        row(
            "In the middle of a bout, walk away and take the time",
            format!("It is free again, and plays as in test 1, after about {longest:.0} s at the latest"),
        )
    })
}

/// The power goes.
fn power(form: &Form) -> Row {
    let teller = Teller { form, side: None };
    let kept: Vec<String> = form.kept().into_iter().map(|(m, i)| teller.number(m, i)).collect();
    let act = "In the middle of a bout, pull the supply’s plug; ten seconds later, plug it in again";
    if kept.is_empty() {
        return row(act, "Dark at once; then all begins anew, as in test 1");
    }
    let kept = list(&kept, "and");
    row(act, format!("Dark at once; then all begins anew, as in test 1, but {kept} is what it was"))
}

/// What is claimed: try to make it fail.
fn claimed(form: &Form, name: &str, claim: &Claimed) -> Row {
    let teller = Teller { form, side: None };
    match claim {
        Claimed::Never { what } => row(
            format!("Claim “{name}”: try for two minutes to bring it about, with both hands"),
            format!("It is never so that {}", teller.condition(what)),
        ),
        Claimed::Always { what } => row(
            format!("Claim “{name}”: try for two minutes to break it, with both hands"),
            format!("At every moment {}", teller.condition(what)),
        ),
        Claimed::Leads { cause, given, to, ticks } => {
            let cause = match cause {
                Trigger::Press { button } => format!("press {}", teller.button(*button)),
                Trigger::Message { any } => {
                    let message = any.first().map_or("", |message| form.messages[*message].name.as_str());
                    format!("bring “{}” about", plain(message))
                }
                _ => "wait".to_owned(),
            };
            let given =
                given.as_ref().map_or(String::new(), |given| format!(" while {}", teller.condition(given)));
            row(
                format!("Claim “{name}”: {cause}{given}"),
                format!("Within {}: {}", teller.time((*ticks).into()), teller.condition(to)),
            )
        }
    }
}
