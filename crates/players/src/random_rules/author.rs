//! Writes random rules, statement by statement. Whether they can be read is seen afterwards.

use super::{Dice, SIDES};

/// Ranges with their ends where types and widths change.
const RANGES: [&str; 11] = [
    "0..1",
    "0..9",
    "0..255",
    "0..256",
    "-128..127",
    "-129..128",
    "0..65535",
    "-40000..40000",
    "-32768..32767",
    "-few..twice",
    "-3..300 = 12",
];
/// The states of every machine.
pub(super) const STATES: [&str; 4] = ["s0", "s1", "s2", "s3"];

/// Writes one text.
pub(super) struct Author<'a> {
    pub(super) dice: &'a mut Dice,
    /// The machine being written: `a` and `b`, which answer all sides, `c`, which exists once a side, or `d`, which only
    /// looks on.
    pub(super) own: &'static str,
    /// How many sides there are.
    pub(super) sides: usize,
    /// Length of a tick in milliseconds.
    pub(super) tick: i32,
}

impl<'a> Author<'a> {
    pub(super) fn new(dice: &'a mut Dice) -> Self {
        let sides = if dice.chance(25) { 3 } else { 2 };
        let tick = dice.one(&["10", "10", "10", "5", "1", "20", "7", "100"]).parse().unwrap_or(10);
        Self { dice, own: "a", sides, tick }
    }

    pub(super) fn text(mut self, seed: u32) -> String {
        let mut text = self.head(seed);
        for own in ["a", "b", "c"] {
            self.own = own;
            text.push_str(&self.machine());
        }
        if self.dice.chance(50) {
            self.own = "d";
            text.push_str(&self.onlooker());
        }
        text
    }

    /// What stands before the machines.
    fn head(&mut self, seed: u32) -> String {
        let tick = self.tick;
        let (few, pace, span) = (self.dice.pick(1, 5), tick * self.dice.pick(1, 40), self.time(1, 60));
        let (wide, far, near) = (self.dice.one(&RANGES), self.dice.pick(-9, 300), self.side());
        let sides = SIDES[..self.sides].join(", ");
        let foreign = if self.sides == 2 { "other" } else { "north" };
        let tick =
            if tick == 10 && self.dice.chance(50) { String::new() } else { format!("tick {tick} ms\n") };
        let (least, most) = (self.tick, 60 * self.tick);
        format!(
            "sides {sides}   # in turn\n{tick}seed {seed}\nconstant few = {few} from 0 to 9\n\
             constant pace = {pace} ms from {least} ms to {most} ms\nconstant twice = few * 2 + 1\n\
             constant pause = min(2 * pace, {span})\nsetting speed 1..3 = 2\nsetting wide {wide}\n\
             condition calm = a.n0 > b.n1 or c.{near} is s1\n\
             condition mine = not calm and c.side.n0 < {far} or c.{foreign} is not s2\n\
             condition late = mine and b.t1 is running\n\
             claim rare never a is s3 and calm\nclaim fair always a.n0 >= 0\n\
             claim soon on press west if calm leads to b is s1 within {span}\n\
             claim told on message hello-c from c.east leads to a is not s2 within pace\n\
             claim then when calm leads to c.{near} is s1 within pause\n\
             prompt swing per side press button when c.side is s1 seen coming while c.side is s0\n\
             prompt begin press start when calm\nbout while a is s1 or b is s2\n"
        )
    }

    /// What a machine keeps besides numbers and timers.
    fn besides(&mut self) -> String {
        let mut text = String::new();
        let buttons: &[&str] = if self.own == "c" { &["button", "start"] } else { &SIDES };
        if self.own != "c" {
            let ties = self.dice.one(&["west", "east", "alternately", "at random"]);
            text.push_str(&format!("  ties {ties}\n"));
        }
        for button in buttons {
            if self.dice.chance(35) {
                let ticks = self.dice.one(&["1", "5", "20", "300"]).parse().unwrap_or(1);
                let time = if self.dice.chance(20) { "pace".to_owned() } else { self.time(ticks, ticks) };
                text.push_str(&format!("  remember {button} for {time}\n"));
            }
        }
        let (lo, more) = (self.dice.pick(-9, 9), self.dice.one(&["0", "1", "4", "7", "8", "15", "16", "29"]));
        let hi = lo + more.parse::<i32>().unwrap_or(0);
        text.push_str(&format!("  bag few_of of {lo}..{hi}\n"));
        text
    }

    fn numbers(&mut self) -> String {
        let mut text = String::new();
        for n in 0..3 {
            let range = match (self.own, n) {
                ("a", 0) => "0..99 = 7 shown on rally",
                ("b", 0) => self.dice.one(&["0..65535 shown on extra", "0..12000 = few", "0..9"]),
                _ => self.dice.one(&RANGES),
            };
            let kept = if self.dice.chance(25) { " kept" } else { "" };
            text.push_str(&format!("  number n{n} {range}{kept}\n"));
        }
        text
    }

    fn machine(&mut self) -> String {
        let own = self.own;
        let sided = if own == "c" { " per side" } else { "" };
        let mut text = format!("\nmachine {own}{sided}\n{}  timer t0\n  timer t1\n", self.numbers());
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
        // The machine that exists once a side is compiled once for each.
        for _ in 0..if own == "c" { self.dice.pick(3, 5) } else { self.dice.pick(4, 8) } {
            let way = self.way();
            text.push_str(&format!("  {way}\n"));
        }
        // Last of all, so that nothing stands still for ever.
        for (from, to) in [("s0", "s1"), ("s1", "s2"), ("s2", "s3"), ("s3", "s0")] {
            let time = if self.dice.chance(10) { "pause".to_owned() } else { self.time(2, 25) };
            text.push_str(&format!("  {from} after {time} go {to}\n"));
        }
        text
    }

    /// A machine that never leaves its only state: what it shows depends on the others.
    fn onlooker(&mut self) -> String {
        let numbers = self.numbers();
        format!("\nmachine d\n{numbers}  timer t0\n  timer t1\n  state only{}\n", self.clauses())
    }

    fn states(&mut self) -> &'static str {
        self.dice.one(&["s0", "s1", "s2", "s3", "s0, s2", "s1, s3", "s1, s2, s3", "any"])
    }

    fn clauses(&mut self) -> String {
        let mut text = String::new();
        if self.dice.chance(85) {
            text.push_str(match (self.own, self.dice.pick(0, 2)) {
                ("a", 0) => " shows fox-low",
                ("a", 1) => " shows fox fox-high",
                ("a", _) => " shows fox.fox-low",
                ("c", 0) => " shows low",
                ("c", _) => " shows side high",
                _ => "",
            });
        }
        if self.dice.chance(75) {
            let (at, level) = (self.sum(1), self.sum(1));
            let at = self.held(at, 1, 7);
            let level = self.held(level, 0, 255);
            text.push_str(&format!(" lights club[{at}]"));
            text.push_str(&if self.dice.chance(80) { format!(" at {level}") } else { String::new() });
        }
        if self.dice.chance(40) {
            let spots = ["lamp", "glow", "glow at 77", "club[3] at 9", "lamp at 0", "east", "west.button"];
            let spot = self.dice.one(if self.own == "c" { &["button", "side", "lamp"] } else { &spots });
            let when = self.truth(1, false);
            text.push_str(&format!(" lights {spot} when {when}"));
        }
        self.rows_and_fades(&mut text);
        self.writings(&mut text);
        text
    }

    /// A value held to a range by the rules themselves, or left to be held by the players.
    fn held(&mut self, value: String, least: i32, most: i32) -> String {
        if self.dice.chance(60) { format!("min(max({value}, {least}), {most})") } else { value }
    }

    fn writings(&mut self, text: &mut String) {
        for (digits, most) in [("rally", 99), ("extra", 99_999)] {
            if self.dice.chance(25) {
                let value = self.sum(1);
                let time = match self.own {
                    "a" => "time left b.t0",
                    "c" => "time left t1",
                    _ => "time left a.t1 + time left c.east.t0",
                };
                let value = if self.dice.chance(30) { time.to_owned() } else { format!("max({value}, 0)") };
                let zeros = self.dice.one(&["", " with zeros"]);
                let flashing = self.dice.one(&["", " flashing"]);
                text.push_str(&format!(" writes min({value}, {most}) on {digits}{zeros}{flashing}"));
            }
        }
    }

    fn rows_and_fades(&mut self, text: &mut String) {
        if self.dice.chance(25) {
            let (level, factor) = (self.sum(1), self.dice.one(&["9", "-300", "few"]));
            let level = self.held(format!("{level} + spot * {factor}"), 0, 255);
            text.push_str(&format!(" lights each club at {level}"));
            if self.dice.chance(50) {
                let level = self.sum(1);
                text.push_str(&format!(" when spot {} {level}", self.dice.one(&["<", "=", ">="])));
            }
        }
        if self.dice.chance(35) {
            let lights = self.dice.one(&["glow", "glow", "each club", "club[spot-of]"]);
            let lights = lights.replace("spot-of", self.dice.one(&["4", "min(max(n1, 1), 7)", "n2"]));
            let (from, to) =
                (self.dice.one(&["0", "255", "7"]), self.dice.one(&["255", "0", "min(max(n1, 0), 200)"]));
            let ticks = self.dice.one(&["1", "5", "13", "90", "500"]).parse().unwrap_or(1);
            let over = if self.dice.chance(20) { "pause".to_owned() } else { self.time(ticks, ticks) };
            text.push_str(&format!(" lights {lights} fading {from} to {to} over {over}"));
        }
    }

    fn cue(&mut self) -> String {
        let sided = self.side();
        match self.dice.pick(0, 11) {
            0..=2 => format!("on press {}", self.button()),
            3 => format!("on timer {}", self.dice.one(&["t0", "t0", "t1"])),
            4 => "on timer t1".to_owned(),
            5 => "on message hello-a".to_owned(),
            6 => "on message hello-b from b".to_owned(),
            7 => "on message hello-c from c".to_owned(),
            8 => format!("on message hello-c from c.{sided}"),
            9 => "when".to_owned(),
            _ if self.dice.chance(10) => "after pace".to_owned(),
            _ => format!("after {}", self.time(1, 12)),
        }
    }

    fn way(&mut self) -> String {
        let (states, cue) = (self.states(), self.cue());
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
                let hi = lo + self.dice.one(&["0", "5", "300", "65535"]).parse().unwrap_or(0);
                format!("{number} = pick {lo}..{hi}")
            }
            5 => format!("start {timer} for {}", self.time(1, 400)),
            6 => format!("start {timer} for pick {}..{}", self.time(1, 1), self.time(1, 30)),
            7 => format!("stop {timer}"),
            8 => format!("send hello-{}", self.own),
            9 => format!("play {}", self.dice.one(&["splash", "ring"])),
            10 => format!("{number} = draw few_of"),
            11 => {
                let times = ["pace", "speed * pace", "max(wide, 1)", number, "n0 + 3", "7000 s", "20 min"];
                format!("start {timer} for {}", self.dice.one(&times))
            }
            _ => format!("press {}", self.button()),
        }
    }
}
