//! Words and lines that cannot be read.

super::codes! {
    in WORDS;

    CHARACTER "character":
        "A character stands here that means nothing in rules."
        "Rules are made of words, whole numbers and a few signs such as `=` and `..`. A quotation mark, a semicolon or a degree \
         sign often comes along when a line is copied from elsewhere. Take it out; a remark of your own begins with `#`."
        wrong "machine fox
state sitting;"
        right "machine fox
state sitting";

    SYNTAX "syntax":
        "A word, number or sign stands where something else must stand."
        "Under the underline it says what could stand there. The line is left out and everything else still plays. Often a word \
         is missing just before the place, such as `do` before an action or `go` before a state."
        wrong "machine fox
state sitting
state waving
sitting on press wave waving"
        right "machine fox
state sitting
state waving
sitting on press wave go waving";

    STATEMENT "statement":
        "No statement begins with this word."
        "A line begins with a word of the language, such as `state`, or with the name of a state and then `on`, `after` or \
         `when`. A slip of the finger in the first word is the usual cause."
        wrong "machine fox
stat sitting"
        right "machine fox
state sitting";

    OUTSIDE_MACHINE "outside-machine":
        "A statement about a machine stands before any machine."
        "States, numbers, timers and ways belong to the last `machine` line above them, so one has to come first."
        wrong "state sitting
machine fox
state waving"
        right "machine fox
state sitting
state waving";

    RESERVED "reserved":
        "A word of the language cannot be a name of your own."
        "A line could not be told apart from another one if a state were called `go` or a number `max`. Choose another word, or \
         join two: `go-home` is a name."
        wrong "machine fox
state other"
        right "machine fox
state other-paw";

    CHAINED "chained":
        "Comparisons cannot be chained."
        "`1 < n < 5` reads well on paper, but what `1 < n` gives is true or false and cannot be compared with 5. Write both \
         comparisons with `and` between them."
        wrong "machine fox
number n 0..9
state sitting
sitting when 1 < n < 5 stay"
        right "machine fox
number n 0..9
state sitting
sitting when 1 < n and n < 5 stay";

    PICK_PLACE "pick-place":
        "A pick must be the whole of what is stored."
        "If picks could stand within a sum, their order would matter and every player would have to keep it. Store the pick in \
         a number first and reckon with that number."
        wrong "machine fox
number n 0..9
state sitting
sitting on press wave do n = 1 + pick 1..6 stay"
        right "machine fox
number n 0..9
state sitting
sitting on press wave do n = pick 2..7 stay";

    TOO_DEEP "too-deep":
        "An expression is nested more than 64 deep."
        "Brackets, `not` and every further `+` or `and` add a level, and so do the named conditions within it. Nobody can read \
         that, and a small controller has to hold it in its memory. Keep a part of it in a number of its own."
        wrong "machine fox
number n 0..9
state sitting
sitting when n+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1+1 > 70 stay"
        right "machine fox
number n 0..9
state sitting
sitting when n + 64 > 70 stay";

    TOO_MANY "too-many":
        "There is more of something than can be played."
        "Every machine, state, way out and part of an expression takes a place in the controller. The limits stand at the end \
         of docs/GRAMMAR.md; they are far beyond any display we know of. A `per side` machine counts once for each side.";

    DUPLICATE "duplicate":
        "Something is written a second time that can be there only once."
        "Names must tell things apart: the numbers, timers and bags of a machine, and constants, settings and conditions, share \
         one set of names; machines have one, and so have the states of a machine. `tick`, `seed`, `sides` and `bout` stand \
         once in a text. The second one is left out."
        wrong "machine fox
state sitting
state sitting"
        right "machine fox
state sitting
state waving";

    TICK "tick":
        "A tick cannot have this length."
        "A tick is the step in which the game moves on: a time from 1 ms to 100 ms, with its unit. Longer ones would be felt \
         as lag. Without a line for it, a tick is 10 ms."
        wrong "tick 500 ms
machine fox
state sitting"
        right "tick 20 ms
machine fox
state sitting";

    SEED "seed":
        "This cannot be a seed."
        "The seed is a plain whole number from which all random picks follow. Another seed gives other luck; the same seed \
         gives the same play again."
        wrong "seed 3 s
machine fox
state sitting"
        right "seed 3
machine fox
state sitting";
}
