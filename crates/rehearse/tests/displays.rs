//! The displays' own rules, rehearsed.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic, reason = "test code: a panic is a failed test")]

mod common;

use rehearse::rehearsal::Rehearsal;
use rehearse::{Cast, Order, Ready, Variant, rehearse};
use rules::form::Form;
use source::Text;

fn run(form: &Form, variants: &[Variant], games: u64) -> Rehearsal {
    let casts = Cast::usual(Ready::new(form).unwrap().places());
    rehearse(&Order { form, variants, casts: &casts, games, seed: 1 }, &|_, _| ()).unwrap()
}

/// The club passing with a constant changed.
fn changed(name: &str, value: i64) -> Variant {
    let text = Text::new("club-passing.rules", common::text("club-passing"));
    let place = rules::constant_place(&text, name).unwrap();
    let written = text.content();
    let form = format!("{}{value} ms{}", &written[..place.start], &written[place.end..]);
    Variant { name: name.to_owned(), value, form: common::form(&form, &common::club_passing::interface()) }
}

#[test]
fn people_differ_as_they_should_and_practice_helps() {
    let done = run(&common::club_passing::form(), &[], 100);
    assert_eq!(done.parties.len(), 7);
    let party = |key: &str| done.parties.iter().find(|party| party.key == key).unwrap();
    let first = |key: &str| party(key).first.scores[0].median.value;
    assert!(first("five") < first("ten") && first("ten") < first("adult"));
    assert!(party("five").first.empty.low > party("adult").first.empty.high);
    let five = party("five+five");
    assert!(five.fifth.as_ref().unwrap().scores[0].median.low > five.first.scores[0].median.value);
    assert!(five.first.hit.low <= five.first.hit.value && five.first.hit.value <= five.first.hit.high);
    let all: u64 = five.first.scores[0].counts.iter().map(|(_, count)| count).sum();
    assert_eq!(all, five.first.count);
}

/// A longer window lets more be caught; and a verdict that speaks of a constant speaks of one that was tried.
#[test]
fn more_patience_makes_it_easier() {
    let variants: Vec<Variant> = [200, 500, 1500].map(|value| changed("patient", value)).into();
    let done = run(&common::club_passing::form(), &variants, 100);
    let patient = done.constants.iter().find(|constant| constant.name == "patient").unwrap();
    assert_eq!(patient.points.iter().map(|point| point.value).collect::<Vec<_>>(), [200, 500, 900, 1500]);
    let weakest: Vec<f64> = patient.points.iter().map(|point| point.parties[0].hit.value).collect();
    assert!(weakest.windows(2).all(|pair| pair[0] < pair[1]), "{weakest:?}");
    // As written, the same games are told twice: of the party, and as one point of the constant.
    assert_eq!(patient.value, patient.points[2].value);
    for written in &patient.points[2].parties {
        let party = done.parties.iter().find(|party| party.key == written.key).unwrap();
        assert_eq!((written.hit, written.empty), (party.first.hit, party.first.empty));
        assert_eq!(
            (written.score, written.games_an_hour),
            (party.first.scores[0].median, party.games_an_hour)
        );
        assert!(written.hit.low < written.hit.value && written.hit.value < written.hit.high);
    }
    let words: Vec<&str> = done.verdict.iter().map(|sentence| sentence.words.as_str()).collect();
    assert!(words.iter().any(|words| words.contains("`patient` at ")), "{words:#?}");
    let json = serde_json::to_string(&done).unwrap();
    assert!(serde_json::from_str::<Rehearsal>(&json).unwrap() == done, "it does not come back as it was");
}

#[test]
fn without_bouts_a_minute_of_play_is_looked_at() {
    let done = run(&common::fox(), &[], 60);
    assert!(!done.bouts && done.scores.is_empty());
    assert_eq!(done.parties.len(), 4);
    for party in &done.parties {
        assert!(party.fifth.is_none());
        assert!(party.first.length_s.value <= 60.0 && party.first.length_s.value > 30.0, "{party:#?}");
        assert!(party.within_seven.value > 0.9, "anybody can wave: {party:#?}");
    }
}
