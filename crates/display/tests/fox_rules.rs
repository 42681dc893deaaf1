//! The waving fox, played tick by tick on the referee.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail")]

mod common;

use common::{DESCRIPTION, fox};
use rules::step::{Input, begin, frame, step};

const LEFT: Option<usize> = Some(0);
const RIGHT: Option<usize> = Some(1);

/// Plays so many ticks of 10 ms; the button goes down and up at these ticks. Gives pose and lamp of every frame.
fn play(ticks: usize, down: usize, up: usize) -> Vec<(Option<usize>, bool)> {
    let (display, faults, _) = display::read(&fox(DESCRIPTION));
    let form = display.unwrap_or_else(|| panic!("{faults:?}")).form;
    let mut situation = begin(&form, &[]).situation;
    let mut frames = Vec::new();
    for tick in 0..ticks {
        let shown = frame(&form, &situation);
        frames.push((shown.poses[0], shown.spots[0] > 0));
        let held = (down..up).contains(&tick);
        let input = Input { pressed: vec![tick == down], held: vec![held], ..Input::default() };
        situation = step(&form, &situation, &input).situation;
    }
    frames
}

/// How long each picture lasts.
fn runs(frames: &[(Option<usize>, bool)]) -> Vec<(Option<usize>, bool, usize)> {
    frames.chunk_by(|a, b| a == b).map(|run| (run[0].0, run[0].1, run.len())).collect()
}

#[test]
fn a_short_press_gives_three_wags_and_then_it_sits() {
    let runs = runs(&play(1000, 100, 105));
    let wag = [(RIGHT, true, 30), (LEFT, true, 30)];
    // The last swing to the left and the sitting fox are one picture.
    let wanted = [&[(LEFT, true, 101)][..], &wag, &wag, &wag[..1]].concat();
    assert_eq!(runs[..wanted.len()], wanted);
    assert_eq!(runs.len(), wanted.len() + 1);
    assert_eq!(runs[wanted.len()].0, LEFT);
}

#[test]
fn it_wags_as_long_as_the_button_is_held_and_no_longer_than_a_swing_after() {
    let runs = runs(&play(2500, 100, 1100));
    let last_right = runs.iter().rposition(|run| run.0 == RIGHT).unwrap();
    let ended: usize = runs[..=last_right].iter().map(|run| run.2).sum();
    // A last swing to the left looks like sitting, so the last change is seen up to a swing before the button is let go.
    assert!((1070..=1131).contains(&ended), "{ended}");
    assert!(runs[1..=last_right].iter().all(|run| run.2 == 30), "every swing lasts 300 ms: {runs:?}");
}

#[test]
fn left_alone_it_nods_off_blinks_wakes_by_itself_and_nods_off_again() {
    let frames = play(9000, usize::MAX, usize::MAX);
    assert!(frames[..1500].iter().all(|frame| *frame == (LEFT, true)));
    let woken = frames.iter().position(|frame| frame.0 == RIGHT).unwrap();
    // Asleep from 15 s on, for a picked time of 20 s to 40 s.
    assert!((3500..=5501).contains(&woken), "{woken}");
    let asleep = runs(&frames[1500..woken]);
    let blinks = &asleep[..asleep.len() - 1];
    assert!(
        blinks.iter().all(|run| matches!(run, (None, false, 140 | 141) | (None, true, 60))),
        "{asleep:?}"
    );
    let after = runs(&frames[woken..]);
    assert_eq!(after.iter().filter(|run| run.0 == RIGHT).count() % 3, 0, "three wags each time: {after:?}");
    assert!(after.iter().any(|run| run.0.is_none()), "it nods off again");
}

#[test]
fn a_press_wakes_it_at_once() {
    let frames = play(2000, 1700, 1705);
    assert_eq!(frames[1700].0, None);
    assert_eq!(frames[1701], (RIGHT, true));
}
