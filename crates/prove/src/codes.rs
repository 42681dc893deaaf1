//! The claims that are made of every display's rules without being asked, with what there is to say about each. `tests/explained.rs`
//! asks every example.

use finding::{CodeGroup, Explained};

/// A claim's name without what it is asked of: `.held west` is explained as `.held`.
#[must_use]
pub fn kind(claim: &str) -> &str {
    claim.split(' ').next().unwrap_or(claim)
}

/// All of them, in the order in which they are answered.
pub const CLAIMED: CodeGroup =
    CodeGroup { title: "claims that `prove` makes without being asked", codes: CODES };

const CODES: &[&Explained] = &[
    &Explained::new(
        ".in-range",
        "No number, timer or row of lights is given a value outside its range.",
        "What does not fit is held to the nearest end, so that a count stops where nobody meant it to. Widen the range, or ask \
         before you add.",
    )
    .example(
        "machine fox
number count 0..3 = 0
state sitting shows fox sitting
sitting on press wave do count = count + 1 stay",
        "machine fox
number count 0..3 = 0
state sitting shows fox sitting
sitting on press wave do count = min(count + 1, 3) stay",
    ),
    &Explained::new(
        ".digits",
        "No digits are given a number below 0 or with more places than they have.",
        "The reader refuses a range that cannot be shown, so this is proved wherever the rules can be read at all.",
    ),
    &Explained::new(
        ".answered",
        "Every press that counts is followed by something seen to change within 100 ms.",
        "A press counts when it brings a machine that shows something into another state, or changes its numbers while it stands \
         still; one that only prolongs a movement is answered by the movement. Whoever sees nothing for longer presses again. \
         Change a pose, light a lamp or write a number in the very tick.",
    )
    .example(
        "machine fox
state sitting shows fox sitting
state startled shows fox sitting
state waving shows fox waving
sitting on press wave go startled
startled after 300 ms go waving
waving after 1 s go sitting",
        "machine fox
state sitting shows fox sitting
state startled shows fox sitting lights wave
state waving shows fox waving
sitting on press wave go startled
startled after 300 ms go waving
waving after 1 s go sitting",
    ),
    &Explained::new(
        ".flash",
        "No figure, and not all together, changes so fast that it makes more than three flashes in any second.",
        "Any two changes of pose after each other are taken for a flash, whoever presses: eight within a second are too many (WCAG \
         2.2, success criterion 2.3.1, which is written for screens). Light that flashes faster can bring on a seizure. Let no \
         picture change sooner than 200 ms after the last.",
    )
    .example(
        "machine fox
state sitting shows fox sitting
state waving shows fox waving
sitting after 50 ms go waving
waving after 50 ms go sitting",
        "machine fox
state sitting shows fox sitting
state waving shows fox waving
sitting after 300 ms go waving
waving after 300 ms go sitting",
    ),
    &Explained::new(
        ".home",
        "From wherever play stands, it comes home for good when nobody presses any more.",
        "Home is where play can be while nobody has ever pressed: the states of all machines together, whatever numbers and timers \
         hold. A game that is left in the middle and does not come home greets the next party with somebody else's game. Give each \
         state that waits for a press a way out `after` a time.",
    )
    .example(
        "machine fox
state sitting shows fox sitting
state waving shows fox waving
sitting on press wave go waving
waving on press wave go sitting",
        "machine fox
state sitting shows fox sitting
state waving shows fox waving
sitting on press wave go waving
waving on press wave go sitting
waving after 20 s go sitting",
    ),
    &Explained::new(
        ".held",
        "The same as `.home` while one button is stuck down; asked of each button.",
        "Home is then where play can be while that button is down and nobody has pressed another. Buttons outdoors jam, freeze and \
         are leant on. Let whatever goes on while a button is `held` end after a time all the same.",
    )
    .example(
        "machine fox
state sitting shows fox sitting
state waving shows fox waving
sitting on press wave go waving
waving after 1 s if not held wave go sitting",
        "machine fox
state sitting shows fox sitting
state waving shows fox waving
sitting on press wave go waving
waving after 1 s if not held wave go sitting
waving after 20 s go sitting",
    ),
    &Explained::new(
        ".alone",
        "Whoever is alone at a button gets a turn by waiting; asked of each button that something waits for.",
        "It is somebody's turn when a press of theirs would count, as `.answered` says, and the button's own lamp, if it has one, is \
         lit. Whoever comes without a partner must not wait for ever for one. Let a partner play, or the turn pass after a time.",
    )
    .example(
        "machine fox
state for-west shows fox sitting lights west
state for-east shows fox waving lights east
for-west on press west go for-east
for-east on press east go for-west",
        "machine fox
state for-west shows fox sitting lights west
state for-east shows fox waving lights east
for-west on press west go for-east
for-east on press east go for-west
for-west after 20 s go for-east
for-east after 20 s go for-west",
    ),
    &Explained::new(
        ".stuck",
        "From wherever play stands, something seen can still change, by waiting or by a press.",
        "A display that nothing can change any more has to be switched off and on. Give its last state a way out.",
    )
    .example(
        "machine fox
state sitting shows fox sitting
state lying shows fox waving
sitting on press wave go lying",
        "machine fox
state sitting shows fox sitting
state lying shows fox waving
sitting on press wave go lying
lying after 5 s go sitting",
    ),
];
