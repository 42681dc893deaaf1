//! Numbers, ranges and times that cannot be.

super::codes! {
    in VALUES;

    KIND "kind":
        "A number stands where something true or false is wanted, or the other way round."
        "`if`, `when` and `and` want something that is true or false, such as `n > 0` or `fox is sitting`; sums and stores \
         want numbers. Neither turns into the other by itself."
        wrong "machine fox
number n 0..9
state sitting
sitting when n stay"
        right "machine fox
number n 0..9
state sitting
sitting when n > 0 stay";

    CONSTANT_NEEDED "constant-needed":
        "Something that can change during play stands where a fixed value is needed."
        "Ranges, the bounds of picks, `after` and the length of fades are fixed while the rules are read. A time that varies is \
         given to a timer: `start rest for n`."
        wrong "machine fox
number n 1..9
state sitting
state waving
sitting after n go waving"
        right "machine fox
number n 1..9
timer rest
state sitting
state waving
enter sitting do start rest for n
sitting on timer rest go waving";

    UNIT_MISSING "unit-missing":
        "A duration has no unit."
        "A bare 25 could be ticks, milliseconds or seconds, so a time is always written with `ms`, `s` or `min`. Numbers that \
         hold ticks may be used as they are."
        wrong "machine fox
state sitting
state waving
sitting after 25 go waving"
        right "machine fox
state sitting
state waving
sitting after 25 s go waving";

    WHOLE_TICKS "whole-ticks":
        "A time is no whole number of ticks."
        "The game moves in ticks, 10 ms unless the rules say otherwise, and nothing happens between them. Take one of the times \
         that are offered, or a finer `tick`."
        wrong "machine fox
state sitting
state waving
sitting after 25 ms go waving"
        right "machine fox
state sitting
state waving
sitting after 30 ms go waving";

    TOO_SHORT "too-short":
        "A time is shorter than a tick."
        "Whatever waits, waits for a tick at least. What should happen at once belongs on the line before."
        wrong "machine fox
state sitting
state waving
sitting after 0 ms go waving"
        right "machine fox
state sitting
state waving
sitting after 10 ms go waving";

    OVERFLOW "overflow":
        "A value can become too large, or too far below zero, for the players."
        "Every player reckons in 32 bits: from -2147483648 to 2147483647. From the ranges of the numbers it follows how far a sum \
         or product can reach; narrow a range, or divide before you multiply."
        wrong "machine fox
number n 0..99999
state sitting
sitting when n * n > 5 stay"
        right "machine fox
number n 0..9999
state sitting
sitting when n * n > 5 stay";

    ZERO_DIVISOR "zero-divisor":
        "A divisor can be 0."
        "Nothing can be divided by 0, and the ranges do not rule it out here. Let the range begin with 1, or keep the divisor \
         above 0 with `max(1, ...)`."
        wrong "machine fox
number n 0..9
state sitting
sitting when 9 / n > 3 stay"
        right "machine fox
number n 0..9
state sitting
sitting when 9 / max(1, n) > 3 stay";

    NEGATIVE_REMAINDER "negative-remainder":
        "A remainder is taken of something that can be negative."
        "What remains of a negative number is a matter of taste, and languages differ. Add enough before you take the remainder."
        wrong "machine fox
number n -3..3
state sitting
sitting when n % 3 = 1 stay"
        right "machine fox
number n -3..3
state sitting
sitting when (n + 3) % 3 = 1 stay";

    EMPTY_RANGE "empty-range":
        "A range has nothing in it."
        "The lesser bound comes first: `0..9`, `from 0 to 9`."
        wrong "machine fox
number n 9..0
state sitting"
        right "machine fox
number n 0..9
state sitting";

    START_OUTSIDE "start-outside":
        "A value starts outside its own range."
        "Without `= START`, a number starts with the least value of its range."
        wrong "machine fox
number n 1..9 = 0
state sitting"
        right "machine fox
number n 0..9 = 0
state sitting";

    LIMITS "limits":
        "A constant lies beyond its own limits."
        "The limits behind `from` and `to` say how far it may be tuned by hand. Its value as written has to lie within them."
        wrong "constant pace = 1 s from 100 ms to 900 ms
machine fox
state sitting"
        right "constant pace = 1 s from 100 ms to 1500 ms
machine fox
state sitting";

    LIMIT_UNIT "limit-unit":
        "A constant and its limits are not of one kind."
        "A time has limits that are times, a plain number has plain limits."
        wrong "constant pace = 300 ms from 100 to 900 ms
machine fox
state sitting"
        right "constant pace = 300 ms from 100 ms to 900 ms
machine fox
state sitting";

    PICK_RANGE "pick-range":
        "A pick has too many values to choose from."
        "Every player can pick from 65536 values at most. Pick from fewer, and multiply."
        wrong "machine fox
number n 0..99999
state sitting
sitting on press wave do n = pick 0..99999 stay"
        right "machine fox
number n 0..99999
state sitting
sitting on press wave do n = pick 0..9999 stay";

    BAG_RANGE "bag-range":
        "A bag holds too many values."
        "It remembers with a bit for each value what has been drawn, and has room for 30."
        wrong "machine fox
bag trick of 1..40
state sitting"
        right "machine fox
bag trick of 1..30
state sitting";
}
