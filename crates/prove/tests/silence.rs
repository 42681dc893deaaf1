//! What silence comes to, on small rules made for it: sets answer as plain search does, which looks at every situation, and their
//! bounds are never below its own. With one line changed so that the thing need not come, sets do not say that it does.
#![allow(clippy::unwrap_used, reason = "a test that cannot read its own rules must stop")]

mod common;

use common::interface;
use prove::{Answer, Engine, Limits, prove_some};
use source::Text;

fn answer(text: &str, claim: &str, engine: Engine) -> Answer {
    let (form, faults) = rules::read(&Text::new("silence.rules", text.to_owned()), &interface());
    assert!(!faults.iter().any(finding::Fault::stops), "{faults:?}\n{text}");
    prove_some(&form, &Limits::default(), engine, &|name| name == claim, &mut |_| {}).pop().unwrap()
}

/// The claim holds by both searches; of the changed text, by neither.
fn both(text: &str, claim: &str, (from, to): (&str, &str)) {
    let (plain, sets) = (answer(text, claim, Engine::Plain), answer(text, claim, Engine::Sets));
    assert!(plain.proved() && sets.proved(), "{}\n{}", plain.words, sets.words);
    assert!(sets.bound_ticks >= plain.bound_ticks, "{}\n{}", plain.words, sets.words);
    assert!(text.contains(from));
    let text = text.replace(from, to);
    for engine in [Engine::Plain, Engine::Sets] {
        assert!(!answer(&text, claim, engine).proved(), "{engine:?}: {text}");
    }
}

/// A fox that glows now and then while it sleeps. In the last tick of its sleep a press comes to what comes anyway, so that
/// glowing is a turn only before that.
#[test]
fn a_turn_that_may_slip_by_comes_again() {
    let fox = "tick 100 ms
machine fox
  number swings 0..3
  timer restless
  state sitting  shows fox-low   lights lamp[1]
  state right    shows fox-high
  state left     shows fox-low
  state asleep
  state glowing                  lights lamp[1]
  sitting on press west  do swings = 2  go right
  sitting after 500 ms   do start restless for pick 1 s..2 s  go asleep
  right, left on press west  do swings = 3  stay
  right after 200 ms if swings > 0  do swings = swings - 1  go left
  right after 200 ms                                        go sitting
  left  after 200 ms if swings > 0  do swings = swings - 1  go right
  left  after 200 ms                                        go sitting
  asleep, glowing on press west      do swings = 2  go right
  asleep, glowing on timer restless  do swings = 2  go right
  asleep  after 300 ms  go glowing
  glowing after 200 ms  go asleep
";
    both(
        fox,
        ".alone west",
        (
            "left  after 200 ms if swings > 0  do swings = swings - 1  go right",
            "left  after 200 ms  do swings = 2  go right",
        ),
    );
}

/// A light that goes along a row, now and then back again, and away: it always moves.
#[test]
fn a_light_that_wanders_is_never_stuck() {
    let wanderer = "tick 100 ms
machine firefly
  number at 1..3
  number whim 0..1
  state away
  state flying  lights lamp[at]
  away   after 400 ms              do at = 1, whim = pick 0..1           go flying
  flying on press west if at = 2                                         go away
  flying after 300 ms if at = 3                                          go away
  flying after 300 ms if whim = 0  do at = at + 1, whim = pick 0..1      go flying
  flying after 300 ms if at > 1    do at = at - 1, whim = pick 0..1      go flying
  flying after 300 ms                                                    go away
";
    both(
        wanderer,
        ".stuck",
        ("300 ms if at = 3", "300 ms if at = 3  go flying\n  flying after 300 ms if at > 3"),
    );
}

/// Two count goals, nine at most; whoever leads ends the match, which then begins anew.
#[test]
fn a_match_of_counted_goals_goes_on() {
    let game = "tick 100 ms
machine ball
  state placed  shows fox-low
  state kicked  shows fox-high
  placed after 300 ms if match is open         go kicked
  kicked after 200 ms do send goal             go placed
machine match
  number west 0..9
  number east 0..9
  number taken 0..19
  state open
  state over
  open on message goal if taken % 2 = 0 and west < 9  do west = west + 1, taken = min(taken + 1, 19)  stay
  open on message goal if east < 9      do east = east + 1, taken = min(taken + 1, 19)  stay
  open when taken > 9 and west != east  go over
  open when taken > 18                  go over
  over after 1 s  do west = 0, east = 0, taken = 0  go open
";
    both(
        game,
        ".stuck",
        (
            "over after 1 s  do west",
            "over on press west  do east = 9  go over\n  over after 1 s if west > 9  do west",
        ),
    );
}

/// A state's time can be spent before the silence: a timer that runs out while west is held, and is answered by staying, is off from
/// then on (ARCHITECTURE.md, "The tick": a fired timer is off before its actions), and nothing else leads out.
#[test]
fn a_state_whose_time_is_spent_is_not_left_by_time() {
    let fox = "tick 50 ms
machine fox
  state sitting shows fox-low
  state waving  shows fox-high
  sitting on press east                   go waving
  waving  after 100 ms if held west       go sitting
  waving  after 100 ms                    go sitting
";
    both(fox, ".home", ("if held west       go sitting", "if held west       stay"));
}

/// A hand that holds east and a press of east do the same where a timer asks for the hand, so that no press is a turn; in silence,
/// where nobody holds anything, nothing asks for that timer.
#[test]
fn what_a_held_button_does_anyway_is_no_turn() {
    let fox = "tick 50 ms
machine fox
  state sitting shows fox-low
  state waving  shows fox-high
  sitting on press east                   go waving
  sitting after 50 ms if held west        go waving
  waving  after 300 ms                    go sitting
";
    both(fox, ".alone east", ("if held west ", "if held east "));
}
