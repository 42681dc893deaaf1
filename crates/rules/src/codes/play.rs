//! Sides, messages, claims and prompts that do not fit together.

super::codes! {
    in PLAY;

    NO_SIDES "no-sides":
        "Something is `per side`, but no sides are named."
        "A line `sides west, east` above says which there are; then the machine or prompt is there once for each of them."
        wrong "machine paw per side
state down"
        right "sides west, east
machine paw per side
state down";

    NO_STATE "no-state":
        "A machine has no state."
        "A machine is always in one of its states; the first one written is where it begins."
        wrong "machine fox"
        right "machine fox
state sitting";

    TIE "tie":
        "Both sides could act in the same tick, and only the order of lines would decide."
        "Nobody notices that west always wins until a child in the east cries. Say who is favoured: `ties west`, `ties \
         alternately`, or `ties at random`. Lines whose conditions exclude each other, or that do the same, tie nothing."
        wrong "sides west, east
machine turn
state open
state west-first
state east-first
open on press west go west-first
open on press east go east-first
west-first, east-first after 2 s go open"
        right "sides west, east
machine turn
ties at random
state open
state west-first
state east-first
open on press west go west-first
open on press east go east-first
west-first, east-first after 2 s go open";

    TIES_ALONE "ties-alone":
        "A line about ties stands where there is nothing to tie."
        "Only one machine that answers several sides can have a tie. A `per side` machine answers its own side, and without two \
         sides nobody can be robbed."
        wrong "sides west, east
machine paw per side
ties west
state down"
        right "sides west, east
machine paw per side
state down";

    MESSAGE_UNSENT "message-unsent":
        "Nobody sends this message."
        "A line waits for a message that no `send` in any machine gives. Mind the spelling on both sides."
        wrong "machine fox
state sitting
sitting on press wave do send waved stay
machine owl
state awake
awake on message wavd stay"
        right "machine fox
state sitting
sitting on press wave do send waved stay
machine owl
state awake
awake on message waved stay";

    MESSAGE_SENDER "message-sender":
        "The machine behind `from` never sends this message."
        "Without `from`, a message is heard from every machine that sends it."
        wrong "machine fox
state sitting
sitting on press wave do send waved stay
machine owl
state awake
awake on message waved from owl stay"
        right "machine fox
state sitting
sitting on press wave do send waved stay
machine owl
state awake
awake on message waved from fox stay";

    CLAIM_CAUSE "claim-cause":
        "A claim begins with a timer."
        "A claim is about what can be seen from outside: a press, a message, or that something becomes true. Ask for the timer's \
         end with `when`."
        wrong "machine fox
timer rest
state sitting
sitting on timer rest do start rest for 1 s stay
claim wakes on timer rest leads to fox is sitting within 1 s"
        right "machine fox
timer rest
state sitting
sitting on timer rest do start rest for 1 s stay
claim wakes when fox.rest is due leads to fox.rest is running within 1 s";

    BUTTON_IN_CLAIM "button-in-claim":
        "What is claimed asks for a button."
        "A claim is looked at after each tick, and speaks of states, numbers and timers. A press is what it may begin with: \
         `on press wave leads to ...`."
        wrong "machine fox
state sitting
state waving
sitting on press wave go waving
waving after 1 s go sitting
claim answered always not held wave"
        right "machine fox
state sitting
state waving
sitting on press wave go waving
waving after 1 s go sitting
claim answered on press wave leads to fox is waving within 10 ms";

    BUTTON_IN_PROMPT "button-in-prompt":
        "What a person waits for asks for a button."
        "People go by what they see. The condition of a prompt or a bout speaks of states, numbers and timers only."
        wrong "machine fox
state sitting
sitting on press wave stay
prompt again press wave when not held wave"
        right "machine fox
state sitting
sitting on press wave stay
prompt again press wave when fox is sitting";
}
