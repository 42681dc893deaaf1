//! Names that stand for nothing, or for more than one thing.

super::codes! {
    in NAMES;

    UNKNOWN_MACHINE "unknown-machine":
        "There is no machine with this name."
        "The name of a machine stands behind the word `machine`. Where the display has a figure of the same name, the figure \
         still needs a machine that shows it."
        wrong "machine fox
state sitting
machine owl
state awake
awake when fux is sitting stay"
        right "machine fox
state sitting
machine owl
state awake
awake when fox is sitting stay";

    UNKNOWN_STATE "unknown-state":
        "The machine has no state with this name."
        "Each machine has states of its own, on lines `state NAME`. To ask for a state of another machine, name that machine: \
         `owl is asleep`."
        wrong "machine fox
state sitting
sitting on press wave go waveing
state waving"
        right "machine fox
state sitting
sitting on press wave go waving
state waving";

    UNKNOWN_TIMER "unknown-timer":
        "The machine has no timer with this name."
        "A timer is announced with `timer NAME` in its machine. Without one, `after 2 s` waits in a state."
        wrong "machine fox
state sitting
sitting on timer rest stay"
        right "machine fox
timer rest
state sitting
sitting on timer rest do start rest for 2 s stay";

    UNKNOWN_NUMBER "unknown-number":
        "There is no number, constant, setting or condition with this name."
        "Own numbers are used by their name, those of another machine with the machine before it: `score.rally`. A `-` within a \
         word belongs to the word: `n-1` is a name, `n - 1` subtracts. A timer is not a number; it can be asked whether it is \
         running, due or off."
        wrong "machine fox
number waves 0..9
state sitting
sitting when wave > 3 stay"
        right "machine fox
number waves 0..9
state sitting
sitting when waves > 3 stay";

    UNKNOWN_BAG "unknown-bag":
        "The machine has no bag with this name."
        "A bag is announced with `bag NAME of 1..4` in the machine that draws from it."
        wrong "machine fox
number n 1..4
bag trick of 1..4
state sitting
sitting on press wave do n = draw tricks stay"
        right "machine fox
number n 1..4
bag trick of 1..4
state sitting
sitting on press wave do n = draw trick stay";

    UNKNOWN_SIDE "unknown-side":
        "No side has this name."
        "`ties` favours one of the sides on the `sides` line, or goes `alternately` or `at random`."
        wrong "sides west, east
machine fox
ties left
state sitting"
        right "sides west, east
machine fox
ties west
state sitting";

    UNKNOWN_BUTTON "unknown-button":
        "The display has no button with this name."
        "Buttons stand in display.toml as `[button.NAME]`; the rules use the NAME."
        wrong "machine fox
state sitting
sitting on press wav stay"
        right "machine fox
state sitting
sitting on press wave stay";

    UNKNOWN_SPOT "unknown-spot":
        "The display has no lit place with this name."
        "A spot is the lamp of a button, under the button's name, or a row of hung objects, under the object's name. Figures are \
         shown by their poses, not lit as spots."
        wrong "machine fox
state sitting lights lmp"
        right "machine fox
state sitting lights lamp";

    UNKNOWN_DIGITS "unknown-digits":
        "The display has no digits with this name."
        "Digits stand in display.toml as `[digits.NAME]`; the rules use the NAME behind `shown on` or `on`."
        wrong "machine fox
number n 0..9 shown on raly
state sitting"
        right "machine fox
number n 0..9 shown on rally
state sitting";

    UNKNOWN_FIGURE "unknown-figure":
        "The display has no figure with this name."
        "Figures and panels stand in display.toml; a figure on several panels is known in the rules by the names of its panels."
        wrong "machine fox
state sitting shows fix sitting"
        right "machine fox
state sitting shows fox sitting";

    UNKNOWN_SOUND "unknown-sound":
        "The display has no sound with this name."
        "The name behind `play` is one that the display offers. A display.toml of this version names no sounds yet."
        wrong "machine fox
state sitting
sitting on press wave do play splsh stay"
        right "machine fox
state sitting
sitting on press wave do play splash stay";

    UNKNOWN_POSE "unknown-pose":
        "No figure that could be meant has this pose."
        "Poses are the named groups of the figure's drawing. Look into the drawing for how the group is spelled."
        wrong "machine fox
state sitting shows fox siting"
        right "machine fox
state sitting shows fox sitting";

    WHICH_FIGURE "which-figure":
        "Several figures have this pose, and it is not said which one is meant."
        "The figure may be left out where only one has the pose, or where the machine's own side is called like the figure. Here \
         neither says it."
        wrong "machine fox
state resting shows sitting"
        right "machine fox
state resting shows fox sitting";

    WHICH_BUTTON "which-button":
        "There are several buttons, and it is not said which one is meant."
        "A bare `button` is the one of the machine's own side, or the only one of the display."
        wrong "machine fox
state sitting
sitting on press button stay"
        right "machine fox
state sitting
sitting on press wave stay";

    SIDE_OUTSIDE "side-outside":
        "`side` or `other` stands where no side is meant."
        "They mean the own and the other side of a machine or prompt that is `per side`; with more than two sides there is no \
         one other. Elsewhere the side has to be named."
        wrong "sides west, east
machine fox
state sitting
sitting on press side.button stay"
        right "sides west, east
machine fox
state sitting
sitting on press west.button stay";

    SIDE_NEEDED "side-needed":
        "A machine that is there once for each side is named without a side."
        "From elsewhere it takes the side behind a dot, so that it is clear whose state or number is meant."
        wrong "sides west, east
machine paw per side
state down
machine fox
state sitting
sitting when paw is down stay"
        right "sides west, east
machine paw per side
state down
machine fox
state sitting
sitting when paw.west is down stay";

    CONDITION_ORDER "condition-order":
        "A condition uses another one that is not written above it."
        "Conditions may use those above them, so that none can go round in a circle. Move the line."
        wrong "condition quiet = calm
condition calm = fox is sitting
machine fox
state sitting
sitting when quiet stay"
        right "condition calm = fox is sitting
condition quiet = calm
machine fox
state sitting
sitting when quiet stay";

    FOREIGN_WRITE "foreign-write":
        "A machine changes a number of another machine."
        "Only its own machine changes a number, so that two machines never write at once. Send a message and let that machine \
         answer it."
        wrong "machine score
number rally 0..9
state counting
machine fox
state sitting
sitting on press wave do score.rally = 1 stay"
        right "machine score
number rally 0..9
state counting
counting on message waved do rally = 1 stay
machine fox
state sitting
sitting on press wave do send waved stay";

    TIMER_WORD "timer-word":
        "A timer is never what is asked here."
        "A timer is `running`, then `due` until it is answered, started again or stopped, and else `off`."
        wrong "machine fox
timer rest
state sitting
sitting when rest is over do start rest for 1 s stay"
        right "machine fox
timer rest
state sitting
sitting when rest is off do start rest for 1 s stay";
}
