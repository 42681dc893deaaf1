//! The verdict in plain words.
//!
//! What is held against the people: passers-by grasp a game in seven seconds; two minutes of play let everybody come to their
//! turn (common practice); and our own rules that a beginner should meet three of four times to press, and that no more than
//! half of the presses should come to nothing.

use crate::rehearsal::{About, Constant, Estimate, Party, Point, Rehearsal, Sentence, Tried};
use crate::rehearse::{SEVEN_S, SWAP_S};
use crate::run::Ready;
use crate::visit::Score;

/// A beginner should meet this part of the times to press (our own rule).
pub const ENOUGH: f64 = 0.75;
/// A loss of hits that nobody notices (our own rule).
const LITTLE: f64 = 0.02;
/// A smaller gain of hits than this may be chance, and nobody would notice it (our own rule).
const NOTICEABLE: f64 = 0.05;
/// More empty presses than this discourage (our own rule).
const TOO_EMPTY: f64 = 0.5;
/// Play of two minutes and fifteen seconds for its end (common practice).
const LONG_S: f64 = 135.0;
/// So many parties wait on a busy evening (assumed).
const QUEUE: f64 = 5.0;
/// Longer than this nobody waits for a display that has been left (common practice: 15 to 30 s).
const FREE_S: f64 = 30.0;

/// The party that does worst and the one that does best, by position; one where they are the same.
pub(crate) fn focus(rehearsal: &Rehearsal) -> Vec<usize> {
    let mut order: Vec<usize> = (0..rehearsal.parties.len()).collect();
    let hit = |at: &usize| rehearsal.parties[*at].first.hit.value;
    order.sort_by(|a, b| hit(a).total_cmp(&hit(b)));
    let mut focus: Vec<usize> = order.first().into_iter().chain(order.last()).copied().collect();
    focus.dedup();
    focus
}

/// Every sentence, what wants a change before what does not.
pub(crate) fn verdict(rehearsal: &Rehearsal, ready: &Ready) -> Vec<Sentence> {
    let mut said = Vec::new();
    match ready.scores.as_slice() {
        [score] => {
            said.extend(rehearsal.parties.iter().filter_map(|party| reached(rehearsal, score, party)));
        }
        // Of several scores none tells how they do.
        _ => said.extend(met(rehearsal)),
    }
    said.extend(first_success(&rehearsal.parties));
    said.extend(empty(&rehearsal.parties));
    if rehearsal.bouts {
        said.extend(waiting(&rehearsal.parties));
        said.extend(walking_away(&rehearsal.parties));
    }
    said.extend(ties(&rehearsal.parties));
    said.extend(easier(rehearsal, ready));
    said.extend(shorter(rehearsal, ready));
    said.sort_by_key(|sentence| !sentence.wants_change);
    said
}

fn say(about: About, wants_change: bool, words: String) -> Sentence {
    Sentence { about, wants_change, words }
}

/// With a capital letter.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A part in words of a hundred.
fn hundredths(part: f64) -> String {
    format!("{:.0} of 100", 100.0 * part)
}

/// Where nothing is counted: how many of the times to press everybody meets.
fn met(rehearsal: &Rehearsal) -> Option<Sentence> {
    let part = |party: &Party| format!("{} meet {:.0}", party.who, 100.0 * party.first.hit.value);
    let parts: Vec<String> = rehearsal.parties.iter().map(part).collect();
    let time = if rehearsal.bouts { "their first bout" } else { "a minute" };
    let hard = rehearsal.parties.iter().any(is_hard);
    let words = format!("Of 100 times to press in {time} {}.", parts.join(", "));
    (!parts.is_empty()).then(|| say(About::Score, hard, words))
}

/// What a party reaches, first and with practice.
fn reached(rehearsal: &Rehearsal, score: &Score, party: &Party) -> Option<Sentence> {
    let (who, name) = (capital(&party.who), &score.name);
    let first = party.first.scores.first()?;
    let time = if rehearsal.bouts { "their first bout" } else { "a first minute" };
    let mut words =
        format!("{who}: half of them bring `{name}` to {:.0} or more in {time}", first.median.value);
    if let Some(fifth) =
        party.fifth.as_ref().and_then(|fifth| fifth.scores.first()).filter(|_| rehearsal.bouts)
    {
        words.push_str(&format!(", {:.0} or more in their fifth", fifth.median.value));
    }
    let easy = first.median.value >= f64::from(score.most);
    if easy {
        words.push_str(", as far as it goes, so that nothing is left to reach");
    }
    let met = hundredths(party.first.hit.value);
    let hard = is_hard(party);
    let few = if hard { ", fewer than three of four" } else { "" };
    words.push_str(&format!(". At first they meet {met} times to press{few}."));
    Some(say(if easy { About::NothingLeft } else { About::Score }, hard || easy, words))
}

/// Whether beginners meet too few of the times to press, as the numbers are told.
pub fn is_hard(party: &Party) -> bool {
    libm::round(100.0 * party.first.hit.value) < 100.0 * ENOUGH
}

fn by(parties: &[Party], of: impl Fn(&Party) -> f64) -> Option<&Party> {
    parties.iter().max_by(|a, b| of(a).total_cmp(&of(b)))
}

fn first_success(parties: &[Party]) -> Option<Sentence> {
    let slowest = by(parties, |party| party.first_success_s.median.value)?;
    let first = &slowest.first_success_s;
    let late = first.median.value > SEVEN_S;
    let never = slowest.without_success.value;
    let mut words = format!(
        "Slowest to a first success are {}: half of them have it {:.0} s after coming, nine of ten after {:.0} s",
        slowest.who, first.median.value, first.ninetieth
    );
    if never > 0.005 {
        words.push_str(&format!("; {} leave without any", hundredths(never)));
    }
    words.push_str(if late { "; seven seconds is what passers-by give it." } else { "." });
    Some(say(About::FirstSuccess, late, words))
}

fn empty(parties: &[Party]) -> Option<Sentence> {
    let most = by(parties, |party| party.first.empty.value)?;
    let (part, much) = (most.first.empty.value, most.first.empty.value > TOO_EMPTY);
    let later = most
        .fifth
        .as_ref()
        .map_or_else(String::new, |fifth| format!(", {:.0} in their fifth", 100.0 * fifth.empty.value));
    let words = format!(
        "Of 100 presses of {} {:.0} come to nothing in their first bout{later}.",
        most.who,
        100.0 * part
    );
    Some(say(About::EmptyPresses, much, words))
}

fn waiting(parties: &[Party]) -> Option<Sentence> {
    let longest = by(parties, |party| -party.games_an_hour.value)?;
    let bout = bout_s(longest.games_an_hour);
    let wait = QUEUE * 60.0 / longest.games_an_hour.value;
    let words = format!(
        "A bout of {} lasts {bout:.0} s: {:.0} an hour, so that the fifth party in a queue waits {wait:.0} min.",
        longest.who, longest.games_an_hour.value
    );
    Some(say(About::Waiting, bout > LONG_S, words))
}

fn walking_away(parties: &[Party]) -> Option<Sentence> {
    let ninetieth = |party: &Party| party.free_again_s.as_ref().map_or(0.0, |free| free.ninetieth);
    let longest = by(parties, ninetieth)?;
    let free = longest.free_again_s.as_ref()?;
    let words = format!(
        "Where {} walk away in the middle, the display is free again after {:.0} s (nine of ten).",
        longest.who, free.ninetieth
    );
    Some(say(About::WalkingAway, free.ninetieth > FREE_S, words))
}

fn ties(parties: &[Party]) -> Option<Sentence> {
    let most = by(parties, |party| party.first.together.value)?;
    let together = most.first.together.value;
    (together > 0.005).then(|| {
        let words = format!(
            "With {}, both press in the same tick, and in time, {together:.2} times a bout.",
            most.who
        );
        say(About::Ties, false, words)
    })
}

/// Every value of every constant that was tried, with what was tried.
fn tried<'a>(
    rehearsal: &'a Rehearsal,
    key: &'a str,
) -> impl Iterator<Item = (&'a Constant, &'a Point, &'a Tried)> {
    let of = move |point: &'a Point| point.parties.iter().find(|tried| tried.key == key);
    let every = rehearsal
        .constants
        .iter()
        .flat_map(|constant| constant.points.iter().map(move |point| (constant, point)));
    every.filter_map(move |(constant, point)| Some((constant, point, of(point)?)))
}

/// How far a value is from the written one, as a part of what the constant may be.
fn change(constant: &Constant, point: &Point) -> f64 {
    let ends = (constant.points.first(), constant.points.last());
    let (Some(first), Some(last)) = ends else { return 0.0 };
    (point.value - constant.value).abs() as f64 / ((last.value - first.value).max(1)) as f64
}

fn as_written<'a>(rehearsal: &'a Rehearsal, key: &'a str) -> Option<&'a Tried> {
    tried(rehearsal, key)
        .find(|(constant, point, _)| point.value == constant.value)
        .map(|(_, _, tried)| tried)
}

/// How long a bout lasts where so many come in an hour.
fn bout_s(games_an_hour: Estimate) -> f64 {
    3600.0 / games_an_hour.value - SWAP_S
}

/// Whether a value can be advised: it leaves everybody who was tried something to reach, and makes no bout too long, nor one that is
/// too long already longer still.
fn advisable(rehearsal: &Rehearsal, ready: &Ready, point: &Point) -> bool {
    point.parties.iter().all(|then| {
        let all = matches!(ready.scores.as_slice(), [score] if then.score.value >= f64::from(score.most));
        let long = bout_s(then.games_an_hour);
        let longer = as_written(rehearsal, &then.key).is_some_and(|now| long > bout_s(now.games_an_hour));
        !(all || rehearsal.bouts && longer && long > LONG_S)
    })
}

/// `patient` at 700 ms in place of 500 ms.
fn at(constant: &Constant, point: &Point) -> String {
    let unit = if constant.unit.is_empty() { String::new() } else { format!(" {}", constant.unit) };
    format!("`{}` at {}{unit} in place of {}{unit}", constant.name, point.value, constant.value)
}

/// The least change of a constant that is enough for whoever does worst; else what helps them most, if it helps.
fn easier(rehearsal: &Rehearsal, ready: &Ready) -> Option<Sentence> {
    let party = rehearsal.parties.get(*focus(rehearsal).first()?)?;
    let now = as_written(rehearsal, &party.key)?;
    let hard = is_hard(party);
    let helps = |of: &Tried| of.hit.value >= now.hit.value + NOTICEABLE;
    let helping = || {
        tried(rehearsal, &party.key).filter(|(_, point, of)| helps(of) && advisable(rehearsal, ready, point))
    };
    let enough = helping().filter(|(_, _, of)| of.hit.value >= ENOUGH);
    let least = enough.min_by(|a, b| change(a.0, a.1).total_cmp(&change(b.0, b.1))).filter(|_| hard);
    let most = helping().max_by(|a, b| a.2.hit.value.total_cmp(&b.2.hit.value));
    let Some((constant, point, then)) = least.or(most) else {
        let any = tried(rehearsal, &party.key).any(|(_, _, of)| helps(of));
        let but = if any { " and still ends in time, with something left to reach" } else { "" };
        let words = format!("No single constant within its limits makes it easier for {}{but}.", party.who);
        return hard.then(|| say(About::Constant, false, words));
    };
    let one = rehearsal.scores.first().filter(|_| rehearsal.scores.len() == 1);
    let score = one.map_or_else(String::new, |name| {
        format!(
            ", and half of them bring `{name}` to {:.0} in place of {:.0}",
            then.score.value, now.score.value
        )
    });
    let (with, without) = (100.0 * then.hit.value, 100.0 * now.hit.value);
    let lead = if hard { "It becomes easier" } else { "It would become easiest" };
    let words = format!(
        "{lead} for {} with {}: they meet {with:.0} in place of {without:.0} of 100 times to press{score}.",
        party.who,
        at(constant, point)
    );
    Some(say(About::Constant, false, words))
}

/// The least change of a constant that ends the bouts of whoever does best in time, and costs whoever does worst little.
fn shorter(rehearsal: &Rehearsal, ready: &Ready) -> Option<Sentence> {
    let focus = focus(rehearsal);
    let best = rehearsal.parties.get(*focus.last()?)?;
    let worst = rehearsal.parties.get(*focus.first()?)?;
    if !rehearsal.bouts || bout_s(best.games_an_hour) <= LONG_S {
        return None;
    }
    let (now, worst_now) = (as_written(rehearsal, &best.key)?, as_written(rehearsal, &worst.key)?);
    let costs_little = |point: &Point| {
        point
            .parties
            .iter()
            .any(|tried| tried.key == worst.key && tried.hit.value >= worst_now.hit.value - LITTLE)
    };
    let quick = |tried: &Tried| bout_s(tried.games_an_hour) <= LONG_S;
    let enough = tried(rehearsal, &best.key).filter(|(_, point, tried)| {
        costs_little(point) && quick(tried) && advisable(rehearsal, ready, point)
    });
    let found = enough.min_by(|a, b| change(a.0, a.1).total_cmp(&change(b.0, b.1)));
    let Some((constant, point, then)) = found else {
        let words = format!(
            "No single constant within its limits brings a bout of {} under {LONG_S:.0} s without making it harder for {}.",
            best.who, worst.who
        );
        return Some(say(About::Constant, false, words));
    };
    let words = format!(
        "With {} a bout of {} lasts {:.0} s in place of {:.0} s, and {} meet as many times to press as now, give or take 2 of 100.",
        at(constant, point),
        best.who,
        bout_s(then.games_an_hour),
        bout_s(now.games_an_hour),
        worst.who
    );
    Some(say(About::Constant, false, words))
}
