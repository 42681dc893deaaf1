//! Every code that reading values and parts can give.

use finding::Explained;

/// How display.toml and parts.toml are written.
pub const WRITTEN: &[&Explained] = &[
    &Explained::new(
        "toml/syntax",
        "The file cannot be read as TOML.",
        "TOML is `key = value`, a line each, below headers in brackets. Words and quantities stand in quotation marks: `\"4 ft\"`.",
    )
    .example("height  = 4 ft", "height  = \"4 ft\""),
    &Explained::new(
        "key/unknown",
        "There is no such key here.",
        "The key may belong to another table, or its name has a slip in it. What is not known is not used, so it is never \
         passed over in silence.",
    )
    .example("heigth  = \"4 ft\"", "height  = \"4 ft\""),
    &Explained::new(
        "key/missing",
        "A key that is needed is missing.",
        "Nothing sensible could be taken in its place. Add it where the header of its table stands.",
    )
    .example("[figure.fox]", "[figure.fox]\ndrawing = \"art/fox.svg\""),
    &Explained::new(
        "name/not-allowed",
        "Something cannot have this name.",
        "Names are used in the rules, in the names of files and on sheets: letters, digits, `-` and `_`.",
    )
    .example("[button.\"wave!\"]", "[button.wave]"),
    &Explained::new(
        "value/wrong-kind",
        "A value of another kind stands where this one belongs.",
        "A number where words belong, one value where a list belongs, or words where it is yes or no: `true` and `false` stand \
         without quotation marks.",
    )
    .example("lamp  = \"yes\"", "lamp  = true"),
    &Explained::new(
        "value/empty",
        "Nothing is written where words belong.",
        "The value is there, but empty. Write it, or leave the key out where it may be left out.",
    )
    .example("title = \"\"", "title = \"Waving fox\""),
    &Explained::new(
        "value/words",
        "Words are too long, or have a character in them that cannot be printed.",
        "They are printed on sheets and labels, on one line.",
    )
    .example("title = \"Waving\\tfox\"", "title = \"Waving fox\""),
    &Explained::new(
        "value/choice",
        "A word is not one of those that are possible here.",
        "Only a few words mean something here; the nearest one is offered.",
    )
    .example("units = \"inches\"", "units = \"in\""),
    &Explained::new(
        "value/out-of-range",
        "A number, or how many values a list has, is not possible here.",
        "What is possible stands beside the place. A place on the ground, for instance, has two values: right, and back.",
    )
    .example("count  = 0", "count  = 2"),
    &Explained::new(
        "value/time",
        "This is not a time of day.",
        "Times are written with 24 hours, as `21:30`; lights may also go on at `dusk`.",
    )
    .example("off = \"9 pm\"", "off = \"21:30\""),
    &Explained::new(
        "quantity/bare-number",
        "A number has no unit.",
        "A bare 4 could be feet, inches or metres; panels have been cut from less. Every quantity is written with its unit, in \
         quotation marks.",
    )
    .example("height  = 4", "height  = \"4 ft\""),
    &Explained::new(
        "quantity/unknown-unit",
        "This unit is not known.",
        "Lengths take ft, in, mm, cm and m, and other quantities the units of their kind. The nearest one is offered.",
    )
    .example("height  = \"4 fort\"", "height  = \"4 ft\""),
    &Explained::new(
        "quantity/wrong-kind",
        "The unit belongs to another kind of quantity.",
        "A height in amperes cannot be meant.",
    )
    .example("height  = \"4 A\"", "height  = \"4 ft\""),
    &Explained::new(
        "quantity/not-a-number",
        "What should be a number is none.",
        "Numbers are written with a point, or as a fraction: `1.5 in`, `3/4 in`, `5 ft 6 in`.",
    )
    .example("height  = \"4.. ft\"", "height  = \"4 ft\""),
    &Explained::new(
        "quantity/comma",
        "There is a comma in a number.",
        "1,500 is fifteen hundred to one reader and one and a half to another. Write 1500 or 1.5.",
    )
    .example("height  = \"4,0 ft\"", "height  = \"4 ft\""),
    &Explained::new(
        "quantity/negative",
        "A quantity is less than nothing.",
        "Lengths, currents and masses here are never negative; only a place on the ground may be.",
    )
    .example("height  = \"-4 ft\"", "height  = \"4 ft\""),
    &Explained::new(
        "quantity/zero",
        "A quantity of nothing makes no sense here.",
        "Leave the key out where it may be left out.",
    )
    .example("height  = \"0 ft\"", "height  = \"4 ft\""),
    &Explained::new(
        "quantity/too-large",
        "A quantity is larger than anything in a display.",
        "Mostly a slip in the number or in its unit.",
    )
    .example("height  = \"400000000 ft\"", "height  = \"4 ft\""),
    &Explained::new(
        "quantity/too-long",
        "More is written than any quantity needs.",
        "A quantity is a number and a unit, or feet and inches. Remarks stand behind `#`.",
    ),
    &Explained::new(
        "quantity/empty",
        "Nothing is written where a quantity belongs.",
        "Write a number with its unit.",
    )
    .example("height  = \"\"", "height  = \"4 ft\""),
    &Explained::new(
        "quantity/parts",
        "Several parts stand here that do not make one quantity.",
        "Only units of one family go together, the larger one first: `5 ft 6 in`.",
    )
    .example("height  = \"4 ft 2 ft\"", "height  = \"4 ft\""),
];

/// The parts themselves, in parts.toml and the catalogue.
pub const PARTS_CODES: &[&Explained] = &[
    &Explained::new(
        "part/unknown",
        "No part has this name.",
        "A part is in the catalogue, or on the shelf in parts.toml under its kind: `[strand.NAME]`.",
    )
    .example("part = \"class2-12v-5b\"", "part = \"class2-12v-5a\""),
    &Explained::new(
        "part/both-ratings",
        "A strand has both a current and a power.",
        "One follows from the other, and two values could disagree. Write the one that stands on the label.",
    )
    .example(
        "[strand.led-50-3in-12v]\ncurrent = \"0.33 A\"\npower = \"4 W\"\nhave = 4",
        "[strand.led-50-3in-12v]\nhave = 4",
    ),
    &Explained::new(
        "part/colour",
        "This is not a colour that can be drawn.",
        "Colours are written as `#ffd9a0`: red, green and blue with two digits each, from 00 to ff.",
    )
    .example("[strand.led-50-3in-12v]\ncolour = \"warm\"\nhave = 4", "[strand.led-50-3in-12v]\nhave = 4"),
    &Explained::new(
        "part/label-twice",
        "Two outputs of a board have one label.",
        "Sheets tell wires apart by these labels.",
    ),
    &Explained::new(
        "part/board-current",
        "One output may carry more than the whole board.",
        "Either the limits are exchanged, or one of them was read off another line of the data sheet.",
    ),
    &Explained::new(
        "part/triac-unsaid",
        "A switch box with triacs does not say what keeps it on and what it lets through.",
        "A triac needs a least current to stay on, and leaks a little when it is off, enough to make LEDs glow. Both stand on its \
         data sheet.",
    ),
    &Explained::new(
        "part/pin",
        "This is not a pin of a controller.",
        "A pin is its label on the board, then port and bit: `D2 PD2`.",
    ),
];
