//! The firmware of the flagship on the emulated controller, by its pins alone.

use players::host::folder;
use players::script::{Play, club, people};
use players::pins;

#[test]
fn the_flagship_plays_by_its_pins_as_the_referee_says() {
    let (plan, form) = club();
    let folder = folder();
    let program = pins::build(&firmware::project(&plan, &form).unwrap(), folder.path(), true);
    let script = people(&form, Play::Well, 8000, 7);
    for (n, tick) in pins::expected(&plan, &form, &script).iter().enumerate() {
        assert_eq!(tick.frame, tick.allowed, "tick {n}: a limit is reached in an ordinary game");
    }
    assert_eq!(pins::plays_as_planned(&program, &plan, &form, &script), Ok(()));
}

#[test]
fn wild_presses_are_held_within_the_limits() {
    let (plan, form) = club();
    let folder = folder();
    let program = pins::build(&firmware::project(&plan, &form).unwrap(), folder.path(), false);
    let script = people(&form, Play::Wildly, 6000, 11);
    assert_eq!(pins::plays_as_planned(&program, &plan, &form, &script), Ok(()));
}
