//! What a state cannot show, light or write.

super::codes! {
    in SHOWN;

    TWO_POSES "two-poses":
        "A state shows a second pose."
        "A machine shows one figure, in one pose at a time. Another figure needs a machine of its own, which may ask for the \
         states of this one."
        wrong "machine fox
state waving shows fox waving shows owl asleep"
        right "machine fox
state waving shows fox waving
machine owl
state sleeping shows owl asleep";

    FIGURE_TAKEN "figure-taken":
        "Another machine shows this figure already."
        "If two machines showed one figure, it would have to be in two poses at once. Let one machine show it and ask there for \
         the states of the other."
        wrong "machine fox
state sitting shows fox sitting
machine tail
state up shows fox waving"
        right "machine fox
state sitting shows fox sitting
state waving shows fox waving
sitting when tail is up go waving
waving when tail is down go sitting
machine tail
state down
state up
down, up on press wave go up
up after 2 s go down";

    DIGITS_TAKEN "digits-taken":
        "Something is shown on these digits already."
        "One number at most is `shown on` digits all the time, and a state writes on them at most once. While a state writes, its \
         number is seen instead."
        wrong "machine score
number rally 0..9 shown on rally
number best 0..9 shown on rally
state counting"
        right "machine score
number rally 0..9 shown on rally
number best 0..9
state counting
state over writes best on rally
counting on press wave go over
over after 4 s go counting";

    DIGITS_NARROW "digits-narrow":
        "A number can be wider than the digits it is shown on."
        "Two digits show 0 to 99 and no sign. Narrow the number's range, hold what is written with `min(..., 99)`, or take more \
         digits."
        wrong "machine score
number rally 0..100 shown on rally
state counting"
        right "machine score
number rally 0..99 shown on rally
state counting";

    TIME_LEFT_PLACE "time-left-place":
        "The time left of a timer is asked for where it cannot be."
        "It is there for people to read: a state `writes time left TIMER on DIGITS`. A rule that waits for the end asks \
         `is running` or goes `on timer`."
        wrong "machine clock
timer round
state going
state over
enter going do start round for 30 s
going when time left round = 0 go over
over on press wave go going"
        right "machine clock
timer round
state going writes time left round on rally
state over
enter going do start round for 30 s
going on timer round go over
over on press wave go going";

    INDEX_MISSING "index-missing":
        "A row of lights is named, and not which one of them."
        "One of a row is `club[3]` or `club[at]`, counted from 1; `each club` lights all of them."
        wrong "machine air
state lit lights club"
        right "machine air
state lit lights club[3]";

    INDEX_OUTSIDE "index-outside":
        "A row has no such place."
        "Places are counted from 1 to the number of lights in the row."
        wrong "machine air
state lit lights club[8]"
        right "machine air
state lit lights club[7]";

    INDEX_MAY_LEAVE "index-may-leave":
        "The place in a row can lie beyond its ends."
        "It plays: below 1 the first light of the row is lit, beyond the end the last. If that is not meant, give the number a \
         range that fits the row."
        wrong "machine air
number at 0..9
state lit lights club[at]"
        right "machine air
number at 1..7
state lit lights club[at]";

    LEVEL_OUTSIDE "level-outside":
        "There is no such level of light."
        "Levels go from 0, which is dark, to 255, which is full."
        wrong "machine air
state lit lights glow at 256"
        right "machine air
state lit lights glow at 255";

    LEVEL_MAY_LEAVE "level-may-leave":
        "A level can lie outside 0 to 255."
        "It plays: less than 0 counts as 0, more than 255 as 255. If that is not meant, narrow the number, or use `min` and `max`."
        wrong "machine air
number bright 0..999
state lit lights glow at bright"
        right "machine air
number bright 0..255
state lit lights glow at bright";

    CANNOT_DIM "cannot-dim":
        "This light can only be on or off."
        "What hangs on a switched output has no levels between dark and full, and fades need them. In this version every output \
         that a display.toml asks for is a switched one."
        wrong "machine air
state lit lights lamp at 128"
        right "machine air
state lit lights glow at 128";

    BUTTON_IN_LIGHT "button-in-light":
        "What is lit or written asks for a button."
        "What is seen follows from states, numbers and timers alone, so that any moment of a play can be shown again without \
         the hands. Let a press lead to a state, and show that state."
        wrong "machine fox
state sitting lights lamp when held wave"
        right "machine fox
state sitting
state pressed-down lights lamp
sitting on press wave go pressed-down
pressed-down when not held wave go sitting";
}
