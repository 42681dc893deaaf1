//! The club passing's rules as they are, whole, presses free at any tick, every kept best rally: what they claim of themselves holds
//! in every play, and so does what is claimed of them without being asked, as far as it holds.
#![allow(clippy::unwrap_used, reason = "a test that cannot read its own rules must stop")]

#[path = "../../rules/tests/common/club.rs"]
mod club;

use club::form;
use prove::{Answer, Engine, Limits, prove_some};
use rules::form::Form;
use rules::step::Start;
use rules::vectors::play;

fn by_sets(form: &Form, wanted: &dyn Fn(&str) -> bool) -> Vec<Answer> {
    let limits = Limits { situations: 0, ..Limits::default() };
    prove_some(form, &limits, Engine::Sets, wanted, &mut |_| {})
}

#[test]
fn its_own_claims_hold() {
    let form = form();
    assert!(form.claims.len() >= 4, "the rules make claims");
    let wanted = |name: &str| !name.starts_with('.') || [".in-range", ".digits", ".answered"].contains(&name);
    let answers = by_sets(&form, &wanted);
    assert_eq!(answers.len(), form.claims.len() + 3);
    for answer in answers {
        assert!(answer.proved(), "{}", answer.words);
    }
}

/// Whoever has pressed last is away 12 s later; so nothing that silence brings about can be there sooner in every play.
#[test]
fn silence_brings_play_home_and_never_to_a_stop() {
    let form = form();
    let asked = [".home", ".held west", ".held east", ".alone west", ".alone east", ".stuck"];
    let answers = by_sets(&form, &|name| asked.contains(&name));
    assert_eq!(answers.len(), asked.len());
    for answer in answers {
        assert!(answer.proved(), "{}", answer.words);
        let ticks_of_being_there = 12_000 / u64::from(form.tick_ms);
        assert!(answer.bound_ticks.is_none_or(|ticks| ticks >= ticks_of_being_there), "{}", answer.words);
    }
}

/// Two people who press in vain make both jugglers reach at once, each no faster than three times a second: together they are. The
/// poses are counted here anew, in the referee's own frames (WCAG 2.2, success criterion 2.3.1: three flashes are six changes).
#[test]
fn both_jugglers_together_change_too_often() {
    let form = form();
    let answers = by_sets(&form, &|name| name == ".flash");
    let trace = answers[0].trace().unwrap();
    let start = Start { kept: trace.kept.clone(), settings: trace.settings.clone() };
    let run = play(&form, &start, &trace.ticks);
    let changes: Vec<usize> = (1..run.len()).filter(|at| run[*at].1.poses != run[at - 1].1.poses).collect();
    let second = usize::try_from(1000 / form.tick_ms).unwrap();
    assert!(changes.windows(8).any(|eight| eight[7] - eight[0] <= second), "{changes:?}");
}

/// A claim that any game goes against is refuted, by a play of the referee: the proof can fail.
#[test]
fn a_claim_that_does_not_hold_is_refuted() {
    let mut form = form();
    let at = form.claims.iter().position(|claim| claim.name == "one-hand").unwrap();
    let west = form.machines.iter().position(|machine| machine.name == "juggler.west").unwrap();
    let holding = form.machines[west].states.iter().position(|state| state.name == "holding").unwrap();
    // That west never has the club in hand.
    form.claims[at].claim = rules::form::Claimed::Never {
        what: rules::form::Expr { w: 8, node: rules::form::Node::In { m: west, s: holding } },
    };
    let limits = Limits { situations: 0, steps: 2_000_000, ..Limits::default() };
    let answers = prove_some(&form, &limits, Engine::Sets, &|name| name == "one-hand", &mut |_| {});
    assert_eq!(answers.len(), 1);
    assert!(answers[0].trace().is_some(), "{}", answers[0].words);
}

/// A game in which nobody takes a dropped club up again comes to a stop: the same proof does not call it proved.
#[test]
fn a_game_that_stops_is_not_proved_to_go_on() {
    let mut form = form();
    for machine in form.machines.iter_mut().filter(|machine| machine.name.starts_with("partner.")) {
        machine.states.iter_mut().for_each(|state| state.transitions.clear());
    }
    for answer in by_sets(&form, &|name| [".alone west", ".alone east", ".stuck"].contains(&name)) {
        assert!(!answer.proved(), "{}", answer.words);
    }
}
