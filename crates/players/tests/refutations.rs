//! Plays against claims, as `prove` finds them, through every player: what the proof says goes wrong goes wrong on the page
//! and in the generated C alike.
#![allow(clippy::panic, reason = "helpers of tests stand outside the test functions")]

use players::disagreements;
use players::host::Watch;
use prove::Limits;
use rules::form::Form;
use rules::interface::{FigureName, Interface, SpotName};
use rules::vectors::Vector;
use source::Text;

/// A fox that lies down for good, stands after a picked time, and may count too far.
const RULES: &str = "tick 100 ms
machine fox
  number count 0..3 = 0
  timer nerve
  state sitting shows fox-low lights wave
  state wary    shows fox-high
  state lying   shows fox-low
  sitting on press wave if count < 3 do count = count + 1, start nerve for pick 200 ms..400 ms go wary
  sitting on press wave if held nod  do count = count + 1 stay
  sitting on press wave              go lying
  wary on timer nerve                go sitting
";

fn form() -> Form {
    let figure = FigureName { name: "fox".into(), poses: ["fox-low", "fox-high"].map(str::to_owned).into() };
    let names = Interface {
        figures: vec![figure],
        buttons: ["wave", "nod"].map(str::to_owned).into(),
        spots: vec![SpotName { name: "wave".into(), count: 1, dims: false }],
        ..Interface::default()
    };
    let (form, faults) = rules::read(&Text::new("fox.rules", RULES.to_owned()), &names);
    assert!(!faults.iter().any(finding::Fault::stops), "{faults:?}");
    form
}

#[test]
fn every_player_plays_a_refutation_as_the_proof_does() {
    let form = form();
    let answers = prove::prove(&form, &Limits::default(), &mut |_| {});
    let refuted = |claim: &str| {
        let answer = answers.iter().find(|answer| answer.claim == claim);
        answer.and_then(prove::Answer::trace).unwrap_or_else(|| panic!("{claim} is not refuted: {answers:?}"))
    };
    // The fourth press lies down, or with `nod` held does not fit 0..3; after either, or lying, nobody gets a turn.
    let vectors: Vec<Vector> = [".stuck", ".in-range", ".home", ".alone wave"]
        .map(|claim| refuted(claim).vector(claim, &form))
        .into();
    assert!(vectors.iter().all(|vector| vector.ticks.len() > 4));
    // Nothing is left to a seed: each player is given what was picked.
    let given =
        |vector: &Vector| vector.ticks.iter().zip(&vector.expect).all(|(tick, out)| tick.picks == out.picked);
    assert!(vectors.iter().all(given));
    assert!(vectors.iter().any(|vector| vector.ticks.iter().any(|tick| !tick.picks.is_empty())));
    assert_eq!(disagreements(&vectors, Watch::Everything), Vec::<String>::new());
}
