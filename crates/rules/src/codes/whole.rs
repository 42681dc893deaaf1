//! What plays, but may disappoint: cautions about the whole, given when nothing is at fault.

super::codes! {
    in WHOLE;

    UNREACHABLE "unreachable":
        "No way leads to a state."
        "A state that nothing goes to is never seen, except for the first one, where the machine begins. Often a `go` names a \
         neighbour by mistake."
        wrong "machine fox
state sitting
state waving
sitting on press wave stay
waving after 1 s go sitting"
        right "machine fox
state sitting
state waving
sitting on press wave go waving
waving after 1 s go sitting";

    NO_WAY_OUT "no-way-out":
        "No way leads out of a state."
        "The game would stand still there for the rest of the evening. Let a time end it, so that whoever comes next finds a game."
        wrong "machine fox
state sitting
state waving
sitting on press wave go waving"
        right "machine fox
state sitting
state waving
sitting on press wave go waving
waving after 1 s go sitting";

    NEVER_FIRES "never-fires":
        "A line can never act, because an earlier one always wins."
        "The first line whose cause is there and whose condition holds is taken. A line without a condition takes everything, so \
         those with an `if` come before it."
        wrong "machine fox
number n 0..9
state sitting
state waving
sitting on press wave go waving
sitting on press wave if n > 3 do n = 0 go waving
waving after 1 s do n = min(n + 1, 9) go sitting"
        right "machine fox
number n 0..9
state sitting
state waving
sitting on press wave if n > 3 do n = 0 go waving
sitting on press wave go waving
waving after 1 s do n = min(n + 1, 9) go sitting";

    PRESS_LOST "press-lost":
        "A press can be lost while a machine is busy, though the display looks as if it counted."
        "The machine answers a button, but on its way it passes through a state that does not. There the button's lamp is lit \
         all the same; or the button has no lamp, and the picture is one in which a press counts elsewhere. Whoever presses then \
         sees nothing happen and thinks that the button is broken. Let the lamp be dark there, or the picture another one, so that \
         everybody sees when a press counts; or let it count there too. Where presses are not timed, `remember wave for \
         300 ms` in this machine keeps one that is just too early; kept longer, it would be taken long after it was meant. States of 30 ms or less are not looked at, nor lights whose `when` may keep them dark."
        wrong "machine fox
state sitting shows fox sitting lights wave
state waving shows fox waving lights wave
sitting on press wave go waving
waving after 500 ms go sitting"
        right "machine fox
state sitting shows fox sitting lights wave
state waving shows fox waving
sitting on press wave go waving
waving after 500 ms go sitting";

    POSE_UNSHOWN "pose-unshown":
        "No state shows a pose that was drawn."
        "It would be drilled and strung for nothing. Show it in some state, or take its group out of the drawing."
        wrong "machine fox
state sitting shows fox sitting
machine owl
state resting shows owl sitting
state asleep shows owl asleep
resting after 1 min go asleep
asleep on press wave go resting"
        right "machine fox
state sitting shows fox sitting
state waving shows fox waving
sitting on press wave go waving
waving on press wave go sitting
machine owl
state resting shows owl sitting
state asleep shows owl asleep
resting after 1 min go asleep
asleep on press wave go resting";

    MESSAGE_UNHEARD "message-unheard":
        "Nobody hears a message that is sent."
        "Messages last one tick. Either a line `on message` is missing, or the `send` is left over."
        wrong "machine fox
state sitting
sitting on press wave do send waved stay"
        right "machine fox
state sitting
sitting on press wave do send waved stay
machine owl
state awake
awake on message waved stay";

    TIMER_UNUSED "timer-unused":
        "A timer is never started, or nothing happens when it is due."
        "A timer needs both ends: `start NAME for TIME` in an action, and `on timer NAME` or a question such as `NAME is due`."
        wrong "machine fox
timer rest
state sitting
state waving
sitting on press wave go waving
waving on timer rest go sitting"
        right "machine fox
timer rest
state sitting
state waving
sitting on press wave do start rest for 2 s go waving
waving on timer rest go sitting";

    CONDITION_UNUSED "condition-unused":
        "Nothing uses a named condition."
        "It is harmless; but often the line that should use it has a condition spelled out instead, and the two drift apart."
        wrong "condition calm = fox is sitting
machine fox
state sitting
state waving
sitting on press wave go waving
waving after 1 s go sitting"
        right "condition calm = fox is sitting
machine fox
state sitting
state waving
any on press wave if calm go waving
waving after 1 s go sitting";

    DIGITS_SHARED "digits-shared":
        "Two machines write on the same digits."
        "Where both write at once, the machine that is written first is seen. If they never do, all is well; one machine that \
         writes both is clearer."
        wrong "machine score
state counting writes 1 on rally
machine clock
state going writes 2 on rally"
        right "machine score
state counting writes 1 on rally
state timing writes 2 on rally
counting on press wave go timing
timing after 2 s go counting";

    SPOT_SHARED "spot-shared":
        "Two machines light the same spot, and nothing evident keeps them apart."
        "The brighter light is seen, and what the other one wants to say is lost. Let one machine light it, or ask in a `when` \
         for the state of the other."
        wrong "machine fox
state sitting lights lamp
machine owl
state awake lights lamp
state asleep
awake on press wave go asleep
asleep after 2 s go awake"
        right "machine fox
state sitting lights lamp when owl is asleep
machine owl
state awake lights lamp
state asleep
awake on press wave go asleep
asleep after 2 s go awake";

    CLAIM_SETTLED "claim-settled":
        "A claim holds whatever the rules do."
        "From ranges and reachable states alone it follows that nothing can break it, so it guards against no mistake. Claim what \
         a wrong line could spoil."
        wrong "machine score
number rally 0..9
state counting
counting on press wave do rally = min(rally + 1, 9) stay
claim small never score.rally > 9"
        right "machine score
number rally 0..9
state counting
counting on press wave do rally = min(rally + 1, 9) stay
claim small never score.rally > 8";

    PROMPT_UNHEARD "prompt-unheard":
        "A prompt asks people to press a button that nothing listens to."
        "Either the prompt names the wrong button, or a line `on press` is missing."
        wrong "machine fox
state sitting
sitting on press wave stay
prompt greet press west when fox is sitting"
        right "machine fox
state sitting
sitting on press wave stay
prompt greet press wave when fox is sitting";
}
