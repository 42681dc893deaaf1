//! The displays' own rules, rehearsed.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic, reason = "test code: a panic is a failed test")]

mod common;

use rehearse::rehearsal::{About, Rehearsal};
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

/// A pond where a firefly hovers for 1.2 s makes bouts too long; `shortest` at its end would keep it slow for ever, so that more are
/// caught than the number can count, in bouts longer still. Whatever is advised must leave something to reach, and no bout longer.
#[test]
fn no_constant_is_advised_that_leaves_nothing_to_reach_or_makes_long_bouts_longer() {
    let written = common::text("firefly-pond").replace("hover    = 900 ms", "hover    = 1200 ms");
    assert_ne!(written, common::text("firefly-pond"));
    let text = Text::new("firefly-pond.rules", written.clone());
    let with = |value: i64| {
        let place = rules::constant_place(&text, "shortest").unwrap();
        let changed = format!("{}{value} ms{}", &written[..place.start], &written[place.end..]);
        let form = common::form(&changed, &common::pond_interface());
        Variant { name: "shortest".to_owned(), value, form }
    };
    let form = common::form(&written, &common::pond_interface());
    let done = run(&form, &[200, 550, 900].map(with), 40);
    let shortest = done.constants.iter().find(|constant| constant.name == "shortest").unwrap();
    let end = shortest.points.iter().find(|point| point.value == 900).unwrap();
    let now = shortest.points.iter().find(|point| point.value == 200).unwrap();
    // Advice is for whoever finds it hardest.
    let (tempting, written) = (end.parties[0].hit.value, now.parties[0].hit.value);
    assert!(tempting > written + 0.05, "the end of the range no longer tempts: {tempting}, {written}");
    assert!(end.parties.iter().any(|tried| tried.score.value >= 99.0), "{end:#?}");
    let words: Vec<&str> = done.verdict.iter().map(|sentence| sentence.words.as_str()).collect();
    assert!(!words.iter().any(|words| words.contains("`shortest` at 900 ms")), "{words:#?}");
    assert!(!words.iter().any(|words| words.contains(" a caught of ")), "{words:#?}");
    assert!(words.iter().any(|words| words.contains("half of them bring `caught` to ")), "{words:#?}");
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
    let advised = |done: &Rehearsal| {
        let mut words = done.verdict.iter().map(|sentence| sentence.words.as_str());
        words.any(|words| words.contains("`patient` at "))
    };
    // Adults' bouts are long already, and more patience would make them longer still; children alone have time left.
    assert!(done.verdict.iter().any(|sentence| sentence.about == About::Waiting && sentence.wants_change));
    assert!(!advised(&done), "{:#?}", done.verdict);
    let form = common::club_passing::form();
    let mut casts = Cast::usual(Ready::new(&form).unwrap().places());
    casts.retain(|cast| cast.key == "five");
    let order = Order { form: &form, variants: &variants, casts: &casts, games: 100, seed: 1 };
    let five = rehearse(&order, &|_, _| ()).unwrap();
    assert!(advised(&five), "{:#?} {:#?}", five.verdict, five.constants);
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
