//! Every code that a finding of the plan can have. Limits, workings and sources stand in the findings themselves.

use finding::{CodeGroup, Explained};

/// The codes, by what they are about.
pub const GROUPS: &[CodeGroup] = &[
    CodeGroup { title: "the plan: drawn, drilled, strung, seen", codes: MADE },
    CodeGroup { title: "the plan: channels, boards and boxes", codes: SWITCHED },
    CodeGroup { title: "the plan: supplies, circuits and cords", codes: POWERED },
    CodeGroup { title: "the plan: cables, pins and the watch", codes: WIRED },
    CodeGroup { title: "the plan: what stands and hangs", codes: STANDING },
    CodeGroup { title: "the plan: season and program", codes: RUN },
];

/// What is drawn, drilled, strung and seen.
const MADE: &[&Explained] = &[
    &Explained::new(
        "draw/poses-alike",
        "Two poses light the same lines.",
        "Nobody could tell them apart. Draw them further apart, or leave one out.",
    ),
    &Explained::new(
        "drill/sheet-not-wood",
        "The sheet is not wood-based.",
        "LED strands are planned on wood-based sheets only, such as hardboard or plywood: holes, screws and weights \
         are reckoned for those.",
    ),
    &Explained::new(
        "drill/sheet-too-small",
        "The panel needs more than four of the chosen sheets along a side.",
        "A panel of so many pieces would no longer be stiff, and nothing here reckons with its frame. Make the figure \
         smaller, or take a larger sheet.",
    ),
    &Explained::new(
        "drill/joint",
        "The panel is larger than one sheet and is made of several pieces.",
        "They are joined over strips behind them before anything is drilled, so that holes meet. No hole is planned \
         near a joint.",
    ),
    &Explained::new(
        "drill/no-strand-fits",
        "None of the strands that were named fits a bunch of lines.",
        "Its lamps are too many, too few or too far apart for the length of the lines, or there is no room for the \
         holes. Name another strand, or draw the lines longer, shorter or farther from the others.",
    ),
    &Explained::new(
        "drill/wide-spacing",
        "The holes are so far apart that they read as dots.",
        "Lamps that are five to ten minutes of arc apart read as a line. From the farthest viewer these are wider. A \
         strand with a shorter pitch draws a closer line.",
    ),
    &Explained::new(
        "string/lead-short",
        "The plug of a strand hangs behind the panel instead of below it.",
        "The first hole is higher up than the strand's lead reaches. Plan a place for the plug there, off the ground \
         and dry.",
    ),
    &Explained::new(
        "sight/digits-small",
        "Digits are too small to be read from where people stand.",
        "How tall something looks is told in minutes of arc. Take taller digits, or bring them nearer.",
    ),
    &Explained::new(
        "sight/poses-close",
        "Two poses differ so little that a change flickers instead of moving.",
        "From the nearest viewer no part of the figure moves far enough to be followed. Draw the poses farther apart.",
    ),
    &Explained::new(
        "digits/current",
        "The current of a row of LEDs is off what it should be.",
        "It follows from the supply, its tolerance, the LEDs in a row and the resistor. With little voltage across \
         the resistor it swings widely.",
    ),
    &Explained::new(
        "digits/led-voltage",
        "The supply has too little voltage for the LEDs in a row.",
        "Something must be left for a resistor, which is what holds the current. Take a supply of higher voltage, or \
         another LED.",
    ),
    &Explained::new(
        "digits/resistor-heat",
        "The resistors would take more heat than any on the shelf bears.",
        "A resistor that is too hot burns its neighbours. Take one with a higher rating, or more LEDs in a row.",
    ),
];

/// Channels, boards and boxes.
const SWITCHED: &[&Explained] = &[
    &Explained::new(
        "drive/over-current",
        "A channel would draw more than one output carries.",
        "The output would overheat. Give the lamps another channel, or take a board with stronger outputs.",
    ),
    &Explained::new(
        "drive/wrong-voltage",
        "A strand is not made for the voltage of the supply.",
        "It would be dim, or overheat. The voltage stands on its label.",
    ),
    &Explained::new(
        "drive/board-voltage",
        "A board is not made for the voltage of the supply.",
        "Its data sheet says how much it stands.",
    ),
    &Explained::new(
        "drive/board-over-current",
        "A board would carry more than it may with all its channels lit.",
        "Rules may light everything at once, so that is what is reckoned with. Spread the channels over more boards.",
    ),
    &Explained::new(
        "drive/package-heat",
        "A driver chip would grow too hot with all its outputs on.",
        "Its outputs share one piece of silicon. Spread the load, or cool it.",
    ),
    &Explained::new(
        "drive/wrong-mains",
        "A strand is not made for the mains of the house.",
        "Never plug it in. The voltage stands on its label.",
    ),
    &Explained::new(
        "drive/strand-not-listed",
        "A strand on mains bears no listing.",
        "A listing by a testing laboratory is printed on the tag of the strand. Without it nobody has looked at its \
         insulation.",
    ),
    &Explained::new(
        "drive/half-wave",
        "A strand uses one half wave of the mains.",
        "It goes dark fifty or sixty times a second, which is seen as flashing where lights or eyes move.",
    ),
    &Explained::new(
        "drive/wave-unknown",
        "It is not known whether a strand uses both half waves.",
        "Sweep your eyes past it in the dark: half waves break into dots. Then write down which it is.",
    ),
    &Explained::new(
        "drive/outlet-over-current",
        "A strand would draw more than one outlet of the switch box carries.",
        "Part the lamps over several outlets, or take a box that carries more.",
    ),
    &Explained::new(
        "drive/inrush",
        "Cold filaments draw more at first than an outlet bears.",
        "A cold filament has a fraction of its hot resistance. Take a box with a higher rating, fewer lamps on an \
         outlet, or LEDs.",
    ),
    &Explained::new(
        "drive/drops-out",
        "A strand draws too little for a triac to stay on.",
        "It may flicker or go out. A box with contacts has no such limit.",
    ),
    &Explained::new(
        "drive/glows",
        "A strand glows when it should be dark.",
        "What a box leaks when it is off is enough for LEDs to be seen. Contacts with nothing across them leak \
         nothing.",
    ),
    &Explained::new(
        "drive/no-switch-box",
        "There are strands on mains and no switch box.",
        "Mains is switched only by a complete, listed box that nobody opens. Name one in display.toml, or use strands \
         of low voltage.",
    ),
    &Explained::new(
        "drive/box-not-listed",
        "The switch box bears no listing as a complete, enclosed device.",
        "It switches mains. Use a box that is bought whole, closed, with its listing printed on it; nothing on its \
         mains side is ever built or opened.",
    ),
    &Explained::new(
        "drive/box-not-isolated",
        "Nothing says that the inputs of the switch box are isolated from the mains.",
        "People touch buttons, and these are wired to its inputs. Its sheet must state reinforced or double \
         insulation.",
    ),
    &Explained::new(
        "drive/box-wrong-mains",
        "The switch box is made for another mains voltage.",
        "Use a box made for the mains of the house.",
    ),
    &Explained::new(
        "drive/control-over-current",
        "An input of the switch box takes more than an output of the board gives.",
        "It would switch unreliably, or harm the output.",
    ),
    &Explained::new(
        "drive/control-voltage",
        "The inputs of the switch box want another voltage than the board gives.",
        "They could fail to switch, or be destroyed together with what isolates them.",
    ),
    &Explained::new(
        "drive/contact-wear",
        "How long the contacts of a switch box last.",
        "A contact bears so many switchings, and a busy game uses them up. What its sheet says is held against the \
         season.",
    ),
];

/// Supplies, circuits and cords. Local codes and licensed practice decide.
const POWERED: &[&Explained] = &[
    &Explained::new(
        "power/supply-not-listed",
        "The supply is not listed as current-limited and isolated.",
        "People touch what it feeds. Such a listing (class 2, or a limited power source) is printed on the supply.",
    ),
    &Explained::new(
        "power/supply-overloaded",
        "With everything lit the display draws more than the supply gives.",
        "It would shut down or overheat. Take a larger one, or part the display over two.",
    ),
    &Explained::new(
        "power/beyond-class-2",
        "A supply is written down as listed in a class that ends below what it gives.",
        "One of the two is misread. What is printed on the supply counts.",
    ),
    &Explained::new(
        "power/no-circuit",
        "No circuit is written for what hangs on mains.",
        "Its breaker, cord and ground-fault device cannot be looked at. Write down the circuit that feeds it.",
    ),
    &Explained::new(
        "power/circuit-overloaded",
        "With everything lit a circuit carries more than it may for hours.",
        "A load that lasts for hours may take only part of what the breaker is marked with. Move something to another \
         circuit.",
    ),
    &Explained::new(
        "power/no-ground-fault",
        "A circuit that feeds the display outdoors has no ground-fault device.",
        "It is what opens when current goes through a person or wet ground. Use an outlet that has one, or plug a \
         listed portable one in ahead of everything; press its test button first.",
    ),
    &Explained::new(
        "power/leakage",
        "What leaks all the time comes near to what opens the ground-fault device.",
        "It may open on a wet night though nothing is broken. Part the display over two circuits.",
    ),
    &Explained::new(
        "power/cord-overloaded",
        "A cord would carry more than it may.",
        "It would grow hot where nobody looks. Take a thicker one.",
    ),
    &Explained::new(
        "power/cord-thin",
        "A cord is thinner than 16 AWG.",
        "A breaker protects it only as a listed cord set, within what its own label says.",
    ),
    &Explained::new(
        "power/cord-unprotected",
        "The breaker does not protect the cord.",
        "A fault would heat the cord while the breaker stays closed. Use a cord that fits the breaker, or, where \
         plugs have fuses, look at the fuse.",
    ),
    &Explained::new(
        "power/cord-drop",
        "A cord loses so much voltage that the lights are dimmer.",
        "Loss grows with length and current. Take a thicker or a shorter cord.",
    ),
    &Explained::new(
        "button/mains-in-reach",
        "Whoever presses a button can touch lamps on mains.",
        "A button brings people, and children, to where it stands. Put it farther from the panel with a fence between, \
         or light the panel with strands of low voltage.",
    ),
    &Explained::new(
        "panel/mains-in-reach",
        "Lamps on mains hang within reach.",
        "Nothing here knows of a fence. Let one keep people at the planned distance, hang the panel higher, or use \
         strands of low voltage.",
    ),
    &Explained::new(
        "shelter/never-drilled",
        "A box that may not be drilled would need cables through its wall.",
        "Drilling ends its listing, or its tightness. Use the openings that it has, or another box.",
    ),
];

/// Cables, pins and the watch.
const WIRED: &[&Explained] = &[
    &Explained::new(
        "wire/drop",
        "A cable loses so much voltage that the far lamps are dim.",
        "Take a thicker cable where one is offered, or bring the board nearer.",
    ),
    &Explained::new(
        "wire/ground-shift",
        "A control cable is too long, or its return lifts the ground of the switch box.",
        "Plain 5 V lines are planned over short ways only. Bring the box nearer to the board, or use a thicker \
         return.",
    ),
    &Explained::new(
        "wire/button-network",
        "What stands between each button and its pin.",
        "The resistors and the capacitor keep a long line from pressing by itself; the program ignores a contact that \
         chatters. Nothing is wrong.",
    ),
    &Explained::new(
        "wire/no-pin-left",
        "The controller has no pin left for a button.",
        "Take fewer buttons, or another controller.",
    ),
    &Explained::new(
        "wire/heartbeat",
        "How the watch makes everything dark when the program stops.",
        "The controller gives a beat, and a small circuit lets go of every output when the beat stays out. Nothing is \
         wrong.",
    ),
    &Explained::new(
        "wire/beat-too-slow",
        "The watch may let go between two beats of the program.",
        "Everything would flash. Write shorter ticks into the rules; 10 ms is the usual length.",
    ),
    &Explained::new(
        "wire/watch-too-long",
        "After the last beat the watch may hold everything on for too long.",
        "Whatever hangs must be dark within 200 ms. Use a smaller resistor or capacitor.",
    ),
    &Explained::new(
        "wire/enable-load",
        "One gate of the watch would have to hold the enable lines of too many boards.",
        "The last boards may stay dark. Spread them over more gates.",
    ),
];

/// What stands and hangs. Above what is reckoned here an engineer decides.
const STANDING: &[&Explained] = &[
    &Explained::new(
        "stand/no-gust",
        "Nobody has said what gust a panel must stand through.",
        "Nothing says what holds it until `gust` is written under `[place]`. A weather service, or the local code, \
         tells what to expect.",
    ),
    &Explained::new(
        "stand/falls",
        "A panel needs more ballast than can be called ballast.",
        "Guys hold more than weight does; a smaller panel needs less.",
    ),
    &Explained::new(
        "stand/anchor-pull",
        "A stake is pulled harder than this plan may decide.",
        "Above that an engineer decides; the ground is not looked at here. More guys, or a smaller panel, pull less.",
    ),
    &Explained::new(
        "stand/turns",
        "A gust may turn a panel about its foot.",
        "Wind pushes off centre at times. Two guys on each side hold it.",
    ),
    &Explained::new(
        "stand/two-lift",
        "A panel is so heavy that two people lift it.",
        "Nobody should try alone.",
    ),
    &Explained::new(
        "stand/lay-flat",
        "Before which gusts a panel is laid flat.",
        "Watch the forecast. Stakes count only once they are pull-tested.",
    ),
    &Explained::new(
        "span/no-shape",
        "The rope cannot hang as it is written.",
        "Sag, posts and path do not go together. Write a sag between 3 and 20 %, and let the span run from the left \
         post to the right one.",
    ),
    &Explained::new(
        "span/over-load",
        "A rope is pulled with more than it may carry, knotted and over people.",
        "Take a stronger rope, or hang fewer or lighter things. A deeper sag pulls less.",
    ),
    &Explained::new(
        "span/hanger-over-load",
        "A hanger bears more than it may when it holds alone.",
        "Each must hold what hangs from it even when the other one fails. Take a stronger line.",
    ),
    &Explained::new(
        "span/anchor-pull",
        "A rope pulls a post harder than this plan may decide.",
        "Above that an engineer decides. A deeper sag pulls less.",
    ),
    &Explained::new(
        "span/headroom",
        "Too little room is left under something that hangs.",
        "People walk there with children on their shoulders, and rope grows with load and wet. Hang it higher.",
    ),
    &Explained::new(
        "span/above-the-rope",
        "Something would have to hang above the loaded rope.",
        "The path that is wanted is higher than the rope sags. Tie the rope higher, lower the path, or let it sag \
         less.",
    ),
    &Explained::new(
        "span/tilt-not-held",
        "Two hangers do not hold an object at this tilt.",
        "One of them would go slack and the object would swing. Tilt it more or less, or hang it from one line.",
    ),
    &Explained::new(
        "span/mains-overhead",
        "A strand on mains would hang over people.",
        "Only low voltage hangs there. Take a strand of low voltage.",
    ),
    &Explained::new(
        "span/one-line",
        "Something hangs over people from one line.",
        "When its knot slips, nothing else holds it. A second line is common practice overhead.",
    ),
    &Explained::new(
        "span/swing",
        "In a gust hung things lean so far that neighbours meet.",
        "Make them heavier or fewer, or tie a line from each to the next.",
    ),
    &Explained::new(
        "span/over-people",
        "A span hangs over people.",
        "Have an engineer look at posts, rope and ties; local codes decide. The lines bear what hangs, never a strand \
         or its cable.",
    ),
    &Explained::new(
        "span/take-in",
        "Before which gusts a span is taken in.",
        "Wind adds to the pull of the rope. Watch the forecast, and look at every knot and strap each week.",
    ),
];

/// The season and the program.
const RUN: &[&Explained] = &[
    &Explained::new(
        "season/dates",
        "The season does not begin and end on days that follow each other within ten years.",
        "Write both dates with their years.",
    ),
    &Explained::new(
        "season/no-place",
        "The display goes on at dusk, but nobody has said where on the globe it stands.",
        "Write latitude, longitude and time zone under `[place]`, or a time of day.",
    ),
    &Explained::new(
        "season/no-such-zone",
        "There is no time zone of this name.",
        "Zones are named after cities, such as `America/Detroit`.",
    ),
    &Explained::new(
        "season/no-dusk",
        "On some day of the season the sun does not set, or its place is not known.",
        "Far north or south there are days without dusk. Write a time of day.",
    ),
    &Explained::new(
        "season/over-90-days",
        "The season lasts longer than decorative lighting may stay up.",
        "The limit is read from a code for wiring; yours may say otherwise, and decides.",
    ),
    &Explained::new(
        "season/late",
        "The display stays on late.",
        "Ask the neighbours, and look for a by-law.",
    ),
    &Explained::new(
        "flash/fast-step",
        "A picture changes so soon after the last change that going to and fro would flash.",
        "More than three flashes a second can bring on seizures. Let each picture stay for 200 ms or more.",
    ),
    &Explained::new(
        "flash/all-together",
        "Everything in one field of view together may flash more often than it should.",
        "More than three flashes a second over a large part of the view can bring on seizures. The program holds \
         everything together to that where it must; better rules need no holding.",
    ),
];
