//! Whole games: what the referee makes of the same presses, what a conditioner hears of them, and that nothing depends on how
//! many processors there are.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic, reason = "test code: a panic is a failed test")]

mod common;

use rehearse::{Cast, Order, Ready, Script, rehearse};
use rules::conditioner::Conditioner;
use rules::form::Form;
use rules::hash::fingerprint;
use rules::step::{Input, begin, step};

fn scripts(form: &Form, games: u64) -> Vec<Script> {
    let ready = Ready::new(form).unwrap();
    let casts = Cast::usual(ready.places());
    casts
        .iter()
        .flat_map(|cast| (0..games).map(|number| ready.script(cast, 3, number)).collect::<Vec<_>>())
        .collect()
}

fn flags(bits: u64, count: usize) -> Vec<bool> {
    (0..count).map(|button| bits & 1 << button != 0).collect()
}

/// For every tick from 1 on: what is pressed and what is held.
fn every_tick(script: &Script) -> impl Iterator<Item = (u64, u64)> {
    let mut lines = script.presses.iter().peekable();
    let mut down = 0;
    (1..=script.ticks).map(move |tick| match lines.next_if(|(at, _, _)| *at == tick) {
        Some((_, pressed, held)) => {
            down = *held;
            (*pressed, *held)
        }
        None => (0, down),
    })
}

#[test]
fn a_rehearsed_game_ends_where_the_referee_ends_it_tick_by_tick() {
    let mut pressed_at_all = 0;
    for form in [common::club_passing::form(), common::fox()] {
        for script in scripts(&form, 4) {
            let mut situation = begin(&form, &[]).situation;
            for (pressed, held) in every_tick(&script) {
                let count = form.buttons.len();
                let input =
                    Input { pressed: flags(pressed, count), held: flags(held, count), picks: Vec::new() };
                situation = step(&form, &situation, &input).situation;
            }
            assert_eq!(fingerprint(&situation), script.fingerprint);
            pressed_at_all += script.presses.len();
        }
    }
    assert!(pressed_at_all > 1000, "{pressed_at_all} presses are no test");
}

/// A person's finger gives levels; what the conditioner hears of them is each press once, in its own tick.
#[test]
fn every_press_goes_through_the_conditioner() {
    let form = common::club_passing::form();
    for script in scripts(&form, 4) {
        for button in 0..2 {
            let mut conditioner = Conditioner::new(form.tick_ms);
            conditioner.tick(false);
            for (tick, (pressed, held)) in every_tick(&script).enumerate() {
                let heard = conditioner.tick(held & 1 << button != 0);
                assert_eq!(heard.pressed, pressed & 1 << button != 0, "tick {}", tick + 1);
                assert_eq!(heard.held, held & 1 << button != 0, "tick {}", tick + 1);
            }
        }
    }
}

#[test]
fn the_same_seed_gives_the_same_bytes_on_any_number_of_processors() {
    let form = common::club_passing::form();
    let casts = Cast::usual(2);
    let bytes = |threads: usize, seed: u64| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        let order = Order { form: &form, variants: &[], casts: &casts, games: 12, seed };
        serde_json::to_string(&pool.install(|| rehearse(&order, &|_, _| ())).unwrap()).unwrap()
    };
    let one = bytes(1, 1);
    assert_eq!(one, bytes(2, 1));
    assert_eq!(one, bytes(5, 1));
    assert_ne!(one, bytes(1, 2));
}

#[test]
fn rules_without_prompts_and_unknown_people_are_refused_in_words() {
    let bare = Form { prompts: Vec::new(), ..common::fox() };
    assert!(Ready::new(&bare).err().unwrap().to_string().contains("`prompt catch"));
    let refused = |words: &str, places| Cast::read(words, places).unwrap_err().to_string();
    assert_eq!(refused("six", 2), "there are no people called `six`; expected five, ten, adult, older");
    assert_eq!(refused("five+five", 1), "`five+five` are 2 people; these rules have prompts for one person");
    assert_eq!(Cast::read("five + adult", 2).unwrap().words(), "a five-year-old and an adult");
    let many = Form { buttons: (0..65).map(|n| n.to_string()).collect(), ..common::fox() };
    assert!(Ready::new(&many).err().unwrap().to_string().contains("65 buttons"));
}
