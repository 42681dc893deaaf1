//! The firmware of the waving fox on the emulated controller, by its pins alone.

use players::host::folder;
use players::{pins, script};

#[test]
fn the_fox_plays_by_its_pins_as_the_referee_says() {
    let (plan, form) = script::fox();
    let folder = folder();
    let program = pins::build(&firmware::project(&plan, &form).unwrap(), folder.path(), true);
    assert_eq!(pins::plays_as_planned(&program, &plan, &form, &script::taps(6000)), Ok(()));
}

#[test]
fn three_resets_within_a_minute_leave_it_dark() {
    let (plan, form) = script::fox();
    let folder = folder();
    let program = pins::build(&firmware::project(&plan, &form).unwrap(), folder.path(), false);
    assert_eq!(pins::counts_its_resets(&program, &plan, 60_000), Ok(()));
}
