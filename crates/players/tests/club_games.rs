//! The flagship's rules with every player, over games of people who play well, wildly or with given picks.

use players::host::Watch;
use players::script::{Play, Script, club, people};
use players::{disagreements, random_rules};
use rules::conditioner::Conditioner;
use rules::step::Start;
use rules::vectors::{TickIn, Vector, record};

/// A script as the rules hear it.
fn heard(script: &Script, tick_ms: u32) -> Vec<TickIn> {
    let mut buttons = vec![Conditioner::new(tick_ms); script.first().map_or(0, Vec::len)];
    let mut tick = |down: &Vec<bool>| {
        let mut heard = TickIn::default();
        for (b, (button, down)) in buttons.iter_mut().zip(down).enumerate() {
            let seen = button.tick(*down);
            heard.pressed.extend(seen.pressed.then_some(b));
            heard.held.extend(seen.held.then_some(b));
        }
        heard
    };
    script.iter().map(&mut tick).collect()
}

#[test]
fn games_of_the_flagship_are_the_same_for_all_players() {
    let (_, form) = club();
    let mut vectors: Vec<Vector> = Vec::new();
    for (name, play, seed) in
        [("well", Play::Well, 1), ("wildly", Play::Wildly, 2), ("well again", Play::Well, 3)]
    {
        let ticks = heard(&people(&form, play, 4000, seed), form.tick_ms);
        vectors.push(record(name, &form, &Start { kept: vec![Some(5)], settings: Vec::new() }, &ticks));
    }
    let inputs = random_rules::people(&form, 17, 2000);
    vectors.push(record("anything", &form, &Start::default(), &inputs));
    let pictures: std::collections::BTreeSet<&str> =
        vectors.iter().flat_map(|vector| &vector.expect).map(|tick| tick.frame.as_str()).collect();
    assert!(pictures.len() > 100, "only {} pictures", pictures.len());
    assert_eq!(disagreements(&vectors, Watch::Warnings), Vec::<String>::new());
}
