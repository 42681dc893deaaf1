//! The club passing's rules as they are, whole, presses free at any tick, every kept best rally: what they claim of themselves holds
//! in every play, and so does that no value leaves its range and no number its digits.
#![allow(clippy::unwrap_used, reason = "a test that cannot read its own rules must stop")]

#[path = "../../rules/tests/common/club.rs"]
mod club;

use club::form;
use prove::{Engine, Limits, prove_some};

#[test]
fn its_own_claims_hold() {
    let form = form();
    assert!(form.claims.len() >= 4, "the rules make claims");
    let limits = Limits { situations: 0, ..Limits::default() };
    let wanted = |name: &str| !name.starts_with('.') || name == ".in-range" || name == ".digits";
    let answers = prove_some(&form, &limits, Engine::Sets, &wanted, &mut |_| {});
    assert_eq!(answers.len(), form.claims.len() + 2);
    for answer in answers {
        assert!(answer.proved(), "{}", answer.words);
    }
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
