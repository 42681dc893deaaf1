//! Random expressions: numbers, and what is true or false.

use super::author::{Author, STATES};

/// Signs that compare.
const SIGNS: [&str; 6] = ["=", "!=", "<", "<=", ">", ">="];

impl Author<'_> {
    /// A number of some machine, a setting, a constant.
    pub(super) fn leaf(&mut self) -> String {
        let number = self.dice.one(&["n0", "n1", "n2"]);
        match self.dice.pick(0, 8) {
            0..=2 => number.to_owned(),
            3 => format!("{}.{number}", if self.own == "a" { "b" } else { "a" }),
            4 => format!("{}.{number}", self.sided()),
            5 => self.dice.one(&["few", "twice"]).to_owned(),
            6 => self.dice.one(&["speed", "wide"]).to_owned(),
            7 => self.time(1, 30),
            _ => self
                .dice
                .one(&["0", "1", "2", "7", "127", "128", "255", "32767", "32768", "-1", "-40000"])
                .to_owned(),
        }
    }

    pub(super) fn sum(&mut self, depth: i32) -> String {
        if depth == 0 {
            return self.leaf();
        }
        let (a, b) = (self.sum(depth - 1), self.sum(depth - 1));
        match self.dice.pick(0, 11) {
            0 | 1 => format!("({a} + {b})"),
            2 | 3 => format!("({a} - {b})"),
            4 | 5 => format!("{} * {}", self.leaf(), self.dice.one(&["2", "3", "-7", "250", "few", "speed"])),
            6 => format!("({a}) / {}", self.dice.one(&["2", "3", "-7", "250", "few", "speed", "max(n0, 1)"])),
            7 => {
                format!(
                    "max({a}, 0) % {}",
                    self.dice.one(&["2", "7", "300", "(few + 1)", "speed", "max(n1, 2)"])
                )
            }
            8 | 9 => format!("{}({a}, {b})", self.dice.one(&["min", "max"])),
            10 => format!("-({a})"),
            _ => a,
        }
    }

    /// Something true or false; in what is lit, no button is asked.
    pub(super) fn truth(&mut self, depth: i32, buttons: bool) -> String {
        if depth > 0 && self.dice.chance(50) {
            let (a, b) = (self.truth(depth - 1, buttons), self.truth(depth - 1, buttons));
            return match self.dice.pick(0, 2) {
                0 => format!("({a} and {b})"),
                1 => format!("({a} or {b})"),
                _ => format!("not ({a})"),
            };
        }
        let not = self.dice.one(&["", "not "]);
        match self.dice.pick(0, 7) {
            0 if buttons => format!("held {}", self.button()),
            1 if buttons => format!("pressed {}", self.button()),
            2 => format!("{} is {not}{}", self.machine_name(), self.dice.one(&STATES)),
            3 => format!("{}.t0 is {not}{}", self.machine_name(), self.clock()),
            4 => format!("t1 is {not}{}", self.clock()),
            5 if self.own == "c" => format!("{not}{}", self.dice.one(&["mine", "late"])),
            5 => format!("{not}calm"),
            _ => {
                let (a, sign, b) = (self.sum(1), self.dice.one(&SIGNS), self.sum(1));
                format!("{a} {sign} {b}")
            }
        }
    }

    fn clock(&mut self) -> &'static str {
        self.dice.one(&["running", "due", "off"])
    }

    /// One of the machines.
    fn machine_name(&mut self) -> String {
        match self.dice.pick(0, 3) {
            0 => "a".to_owned(),
            1 => "b".to_owned(),
            _ => self.sided(),
        }
    }

    /// The machine that exists once a side, on one of them.
    pub(super) fn sided(&mut self) -> String {
        let side = if self.own == "c" && self.dice.chance(60) {
            self.dice.one(if self.sides == 2 { &["side", "other"] } else { &["side"] })
        } else {
            self.side()
        };
        format!("c.{side}")
    }

    /// One of the sides.
    pub(super) fn side(&mut self) -> &'static str {
        let sides = &super::SIDES[..self.sides];
        self.dice.one(sides)
    }

    /// One of the buttons, by one of its names.
    pub(super) fn button(&mut self) -> &'static str {
        match (self.own, self.sides) {
            ("c", 2) => {
                self.dice.one(&["button", "button", "side", "other", "other.button", "start", "west"])
            }
            ("c", _) => self.dice.one(&["button", "button", "side.button", "start", "west", "north.button"]),
            _ => self.dice.one(&["west", "east", "east", "start", "west.button", "north"]),
        }
    }

    /// So many ticks or so, as a time.
    pub(super) fn time(&mut self, least: i32, most: i32) -> String {
        let ms = self.tick * self.dice.pick(least, most);
        match (ms % 60_000, ms % 1000) {
            (0, _) => format!("{} min", ms / 60_000),
            (_, 0) => format!("{} s", ms / 1000),
            _ => format!("{ms} ms"),
        }
    }
}
