//! Random rules as text, and random people pressing buttons.

use rules::form::Form;
use rules::interface::{DigitsName, FigureName, Interface, SpotName};
use rules::step::Start;
use rules::vectors::TickIn;
use source::Text;

/// A stream of random whole numbers from a seed.
#[derive(Clone, Debug)]
pub struct Dice(u32);

impl Dice {
    /// A stream of its own for each seed.
    pub fn new(seed: u32) -> Self {
        Self(rules::random::seed(seed, "dice"))
    }

    /// A whole number from `lo` to `hi`.
    pub fn pick(&mut self, lo: i32, hi: i32) -> i32 {
        self.0 = rules::random::next(self.0);
        rules::random::within(self.0, lo, hi)
    }

    fn one<'a>(&mut self, of: &[&'a str]) -> &'a str {
        let last = i32::try_from(of.len()).unwrap_or(1) - 1;
        usize::try_from(self.pick(0, last)).ok().and_then(|at| of.get(at)).copied().unwrap_or_default()
    }

    fn chance(&mut self, percent: i32) -> bool {
        self.pick(1, 100) <= percent
    }
}

/// What the random displays offer.
pub fn interface() -> Interface {
    let figure = |name: &str| FigureName {
        name: name.to_owned(),
        poses: ["low", "high"]
            .map(|pose| if name == "fox" { format!("fox-{pose}") } else { pose.to_owned() })
            .into(),
    };
    let spot = |name: &str, count, dims| SpotName { name: name.to_owned(), count, dims };
    Interface {
        figures: ["fox", "west", "east"].map(figure).into(),
        buttons: ["west", "east", "start"].map(str::to_owned).into(),
        spots: vec![spot("club", 7, true), spot("lamp", 1, false), spot("glow", 1, true)],
        digits: [("rally", 2), ("extra", 5)]
            .map(|(name, count)| DigitsName { name: name.to_owned(), count })
            .into(),
        sounds: ["splash", "ring"].map(str::to_owned).into(),
    }
}

/// Ranges with their ends where types and widths change.
const RANGES: [&str; 9] = [
    "0..1",
    "0..9",
    "0..255",
    "0..256",
    "-128..127",
    "-129..128",
    "0..65535",
    "-40000..40000",
    "-32768..32767",
];
const STATES: [&str; 4] = ["s0", "s1", "s2", "s3"];

/// Rules that read without a fault, and their form: the first of the texts that a seed gives.
pub fn rules(seed: u32) -> (String, Form) {
    let mut dice = Dice::new(seed);
    loop {
        let text = Author { dice: &mut dice, own: "a" }.text(seed);
        let (form, faults) = rules::read(&Text::new("random.rules", text.clone()), &interface());
        if !faults.iter().any(finding::Fault::stops) && firmware::rules_c(&form).is_ok() {
            return (text, form);
        }
    }
}

struct Author<'a> {
    dice: &'a mut Dice,
    /// The machine being written: `a`, `b`, or `c`, which exists once a side.
    own: &'static str,
}

impl Author<'_> {
    fn text(&mut self, seed: u32) -> String {
        let mut text = self.head(seed);
        for own in ["a", "b", "c"] {
            self.own = own;
            text.push_str(&self.machine());
        }
        text
    }

    /// What stands before the machines.
    fn head(&mut self, seed: u32) -> String {
        let (few, pace, tick) =
            (self.dice.pick(1, 5), 10 * self.dice.pick(1, 40), self.dice.one(&["10", "10", "5"]));
        let wide = self.dice.one(&RANGES);
        let (far, near) = (self.dice.pick(-9, 300), self.dice.one(&["west", "east"]));
        format!(
            "sides west, east\ntick {tick} ms\nseed {seed}\nconstant few = {few} from 0 to 9\n\
             constant pace = {pace} ms from 10 ms to 900 ms\nsetting speed 1..3 = 2\nsetting wide {wide}\n\
             condition calm = a.n0 > b.n1 or c.{near} is s1\n\
             condition mine = not calm and c.side.n0 < {far} or c.other is not s2\n\
             claim rare never a is s3 and calm\nclaim fair always a.n0 >= 0\n\
             claim soon on press west if calm leads to b is s1 within 500 ms\n"
        )
    }

    /// What a machine keeps besides numbers and timers.
    fn besides(&mut self) -> String {
        let mut text = String::new();
        if self.own != "c" {
            let ties = self.dice.one(&["west", "east", "alternately", "at random"]);
            text.push_str(&format!("  ties {ties}\n"));
        }
        for button in ["west", "east"] {
            if self.dice.chance(35) {
                let ms = self.dice.one(&["10", "50", "200", "3000"]);
                text.push_str(&format!("  remember {button} for {ms} ms\n"));
            }
        }
        let (lo, more) = (self.dice.pick(-9, 9), self.dice.one(&["0", "1", "4", "7", "8", "15", "16", "29"]));
        let hi = lo + more.parse::<i32>().unwrap_or(0);
        text.push_str(&format!("  bag few-of of {lo}..{hi}\n"));
        text
    }

    fn machine(&mut self) -> String {
        let own = self.own;
        let sided = if own == "c" { " per side" } else { "" };
        let mut text = format!("\nmachine {own}{sided}\n");
        for n in 0..3 {
            let shown =
                if own == "a" && n == 0 { "0..99 = 7 shown on rally" } else { self.dice.one(&RANGES) };
            let kept = if self.dice.chance(25) { " kept" } else { "" };
            text.push_str(&format!("  number n{n} {shown}{kept}\n"));
        }
        text.push_str("  timer t0\n  timer t1\n");
        text.push_str(&self.besides());
        for state in STATES {
            text.push_str(&format!("  state {state}{}\n", self.clauses()));
        }
        text.push_str(&format!("  enter s1 do send hello-{own}\n"));
        for hook in ["enter", "leave"] {
            if self.dice.chance(70) {
                let (state, deeds) = (self.states(), self.deeds());
                text.push_str(&format!("  {hook} {state} do {deeds}\n"));
            }
        }
        for _ in 0..self.dice.pick(5, 9) {
            let way = self.way();
            text.push_str(&format!("  {way}\n"));
        }
        // Last of all, so that nothing stands still for ever.
        for (from, to) in [("s0", "s1"), ("s1", "s2"), ("s2", "s3"), ("s3", "s0")] {
            let ms = 10 * self.dice.pick(2, 25);
            text.push_str(&format!("  {from} after {ms} ms go {to}\n"));
        }
        text
    }

    fn states(&mut self) -> &'static str {
        self.dice.one(&["s0", "s1", "s2", "s3", "s0, s2", "s1, s3", "s1, s2, s3", "any"])
    }

    fn clauses(&mut self) -> String {
        let mut text = String::new();
        if self.dice.chance(85) {
            text.push_str(match (self.own, self.dice.chance(50)) {
                ("a", true) => " shows fox-low",
                ("a", false) => " shows fox fox-high",
                ("c", true) => " shows low",
                ("c", false) => " shows side high",
                _ => "",
            });
        }
        if self.dice.chance(75) {
            let (at, level) = (self.sum(1), self.sum(1));
            text.push_str(&format!(" lights club[min(max({at}, 1), 7)] at min(max({level}, 0), 255)"));
        }
        if self.dice.chance(40) {
            let spot = self.dice.one(&["lamp", "glow", "glow at 77"]);
            let when = self.truth(1, false);
            text.push_str(&format!(" lights {spot} when {when}"));
        }
        self.more_clauses(&mut text);
        text
    }

    fn more_clauses(&mut self, text: &mut String) {
        for (digits, most) in [("rally", 99), ("extra", 99_999)] {
            if self.dice.chance(25) {
                let value = self.sum(1);
                let time = if self.own == "a" { "time left b.t0" } else { "time left t1" };
                let value = if self.dice.chance(30) { time.to_owned() } else { format!("max({value}, 0)") };
                let (zeros, flashing) =
                    (self.dice.one(&["", " with zeros"]), self.dice.one(&["", " flashing"]));
                text.push_str(&format!(" writes min({value}, {most}) on {digits}{zeros}{flashing}"));
            }
        }
        if self.dice.chance(25) {
            let (level, factor) = (self.sum(1), self.dice.one(&["9", "-300", "few"]));
            text.push_str(&format!(" lights each club at min(max({level} + spot * {factor}, 0), 255)"));
            if self.dice.chance(50) {
                let level = self.sum(1);
                text.push_str(&format!(" when spot {} {level}", self.dice.one(&["<", "=", ">="])));
            }
        }
        if self.dice.chance(30) {
            let (from, to) =
                (self.dice.one(&["0", "255", "7"]), self.dice.one(&["255", "0", "min(max(n1, 0), 200)"]));
            let ms = self.dice.one(&["10", "50", "130", "900", "5000"]);
            text.push_str(&format!(" lights glow fading {from} to {to} over {ms} ms"));
        }
    }

    fn way(&mut self) -> String {
        let states = self.states();
        let ms = 10 * self.dice.pick(1, 12);
        let after = format!("after {ms} ms");
        let cue = self.dice.one(&[
            "on press west",
            "on press start",
            "on press east",
            "on timer t0",
            "on timer t1",
            "on message hello-a",
            "on message hello-b from b",
            "on message hello-c from c",
            "on message hello-c from c.west",
            "when",
            &after,
            &after,
        ]);
        let mut text = format!("{states} {cue}");
        if cue == "when" || self.dice.chance(40) {
            let truth = self.truth(2, true);
            text.push_str(&if cue == "when" { format!(" {truth}") } else { format!(" if {truth}") });
        }
        if self.dice.chance(75) {
            text.push_str(&format!(" do {}", self.deeds()));
        }
        let end = self.dice.one(&["stay", "go s0", "go s1", "go s2", "go s3"]);
        format!("{text} {end}")
    }

    fn deeds(&mut self) -> String {
        let count = self.dice.pick(1, 3);
        (0..count).map(|_| self.deed()).collect::<Vec<_>>().join(", ")
    }

    fn deed(&mut self) -> String {
        let (number, timer) = (self.dice.one(&["n0", "n1", "n2"]), self.dice.one(&["t0", "t1"]));
        match self.dice.pick(0, 12) {
            0..=3 => format!("{number} = {}", self.sum(2)),
            4 => {
                let lo = self.dice.pick(-50, 50);
                format!(
                    "{number} = pick {lo}..{}",
                    lo + self.dice.one(&["0", "5", "300", "65535"]).parse().unwrap_or(0)
                )
            }
            5 => format!("start {timer} for {} ms", 10 * self.dice.pick(1, 400)),
            6 => format!("start {timer} for pick 10 ms..{} ms", 10 * self.dice.pick(1, 30)),
            7 => format!("stop {timer}"),
            8 => format!("send hello-{}", self.own),
            9 => format!("play {}", self.dice.one(&["splash", "ring"])),
            10 => format!("{number} = draw few-of"),
            11 => format!("start {timer} for {}", self.dice.one(&["pace", "speed * pace", "max(wide, 1)"])),
            _ => format!("press {}", self.dice.one(&["west", "east", "start"])),
        }
    }

    /// A number of some machine, or a constant.
    fn leaf(&mut self) -> String {
        let number = self.dice.one(&["n0", "n1", "n2"]);
        match self.dice.pick(0, 7) {
            7 => self.dice.one(&["speed", "wide"]).to_owned(),
            0..=2 => number.to_owned(),
            3 => format!("{}.{number}", if self.own == "a" { "b" } else { "a" }),
            4 if self.own == "c" => format!("c.{}.{number}", self.dice.one(&["other", "side", "west"])),
            4 => format!("c.{}.{number}", self.dice.one(&["west", "east"])),
            5 => "few".to_owned(),
            _ => self
                .dice
                .one(&["0", "1", "2", "7", "127", "128", "255", "32767", "32768", "-1", "-40000"])
                .to_owned(),
        }
    }

    fn sum(&mut self, depth: i32) -> String {
        if depth == 0 {
            return self.leaf();
        }
        let (a, b) = (self.sum(depth - 1), self.sum(depth - 1));
        match self.dice.pick(0, 10) {
            0 | 1 => format!("({a} + {b})"),
            2 | 3 => format!("({a} - {b})"),
            4 | 5 => format!("{} * {}", self.leaf(), self.dice.one(&["2", "3", "-7", "250", "few"])),
            6 => format!("({a}) / {}", self.dice.one(&["2", "3", "-7", "250", "few"])),
            7 => format!("max({a}, 0) % {}", self.dice.one(&["2", "7", "300"])),
            8 => format!("{}({a}, {b})", self.dice.one(&["min", "max"])),
            9 => format!("-({a})"),
            _ => a,
        }
    }

    fn truth(&mut self, depth: i32, buttons: bool) -> String {
        if depth > 0 && self.dice.chance(50) {
            let (a, b) = (self.truth(depth - 1, buttons), self.truth(depth - 1, buttons));
            return match self.dice.pick(0, 2) {
                0 => format!("({a} and {b})"),
                1 => format!("({a} or {b})"),
                _ => format!("not ({a})"),
            };
        }
        let machine = self.dice.one(&["a", "b", "c.west", "c.east"]);
        let not = self.dice.one(&["", "not "]);
        match self.dice.pick(0, 7) {
            0 if buttons => format!("held {}", self.dice.one(&["west", "east", "start"])),
            1 if buttons => format!("pressed {}", self.dice.one(&["west", "east", "start"])),
            2 => format!("{machine} is {not}{}", self.dice.one(&STATES)),
            3 => format!("{machine}.t0 is {not}{}", self.dice.one(&["running", "due", "off"])),
            7 if self.own == "c" => format!("{not}mine"),
            7 => format!("{not}calm"),
            4 => format!("t1 is {not}{}", self.dice.one(&["running", "due", "off"])),
            _ => {
                let (a, sign, b) =
                    (self.sum(1), self.dice.one(&["=", "!=", "<", "<=", ">", ">="]), self.sum(1));
                format!("{a} {sign} {b}")
            }
        }
    }
}

/// Kept values and settings, in range and out of it; some are missing.
pub fn start(form: &Form, seed: u32) -> Start {
    let mut dice = Dice::new(seed ^ 0x0DD5);
    let mut some = |count: usize| {
        let mut one = || if dice.chance(60) { Some(dice.pick(-70, 300) * dice.pick(1, 200)) } else { None };
        (0..count).map(|_| one()).collect::<Vec<Option<i32>>>()
    };
    Start { kept: some(form.kept().len()), settings: some(form.settings.len()) }
}

/// What people do in so many ticks; now and then picks are given.
pub fn people(form: &Form, seed: u32, ticks: usize) -> Vec<TickIn> {
    let mut dice = Dice::new(seed ^ 0x5EED);
    let buttons = form.buttons.len();
    let mut held = vec![false; buttons];
    let mut all = Vec::with_capacity(ticks);
    for _ in 0..ticks {
        let mut tick = TickIn::default();
        for (b, held) in held.iter_mut().enumerate() {
            if dice.chance(12) {
                *held = !*held;
                if *held {
                    tick.pressed.push(b);
                }
            }
            if *held {
                tick.held.push(b);
            }
        }
        for site in 0..form.pick_sites {
            if dice.chance(10) {
                tick.picks.push((site, dice.pick(-70_000, 70_000)));
            }
        }
        all.push(tick);
    }
    all
}
