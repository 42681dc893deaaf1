//! The project's own displays, and scripted people who press their buttons.

use plan::{LitBy, Plan};
use rules::conditioner::Conditioner;
use rules::form::Form;
use rules::step::{Frame, Input, begin, frame, step};
use source::MemoryFiles;
use std::path::Path;

/// For every tick, tick 0 included, which buttons are down.
pub type Script = Vec<Vec<bool>>;

/// Reads one of the project's displays; `edit` may change a file's text first.
///
/// # Panics
/// Where the display cannot be read.
#[allow(clippy::panic, reason = "a test cannot go on without its display")]
#[allow(clippy::disallowed_methods, reason = "tests read the project's own files")]
pub fn display(folder: &str, names: &[&str], edit: impl Fn(&str, String) -> String) -> (Plan, Form) {
    let own = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../displays").join(folder);
    let mut files = MemoryFiles::default();
    for name in names {
        let text = std::fs::read_to_string(own.join(name)).unwrap_or_else(|why| panic!("{name}: {why}"));
        files = files.with(*name, edit(name, text).into_bytes());
    }
    let (display, faults, _) = display::read(&files);
    let display = display.unwrap_or_else(|| panic!("{folder} does not read: {faults:?}"));
    (plan::plan(&display), display.form)
}

/// The waving fox.
pub fn fox() -> (Plan, Form) {
    display("waving-fox", &["display.toml", "parts.toml", "waving-fox.rules", "art/fox.svg"], |_, text| text)
}

/// The files of the flagship.
pub const CLUB: [&str; 5] =
    ["display.toml", "parts.toml", "club-passing.rules", "art/juggler.svg", "art/club.svg"];

/// The flagship.
pub fn club() -> (Plan, Form) {
    display("club-passing", &CLUB, |_, text| text)
}

/// One person at one button: taps, holds, chatter and long waits.
pub fn taps(ticks: usize) -> Script {
    let down = |n: usize| {
        matches!(n, 20..=28 | 200..=201 | 203 | 205..=240 | 900..=1100 | 2700..=2705)
            || (3000..3400).contains(&n) && n % 37 < 9
    };
    (0..=ticks).map(|n| vec![n > 0 && down(n)]).collect()
}

/// Which channels are lit for a frame.
pub fn lit(plan: &Plan, frame: &Frame) -> Vec<bool> {
    let lit = |lit_by: &LitBy| match lit_by {
        LitBy::Poses { figure, poses } => frame.poses[*figure].is_some_and(|pose| poses.contains(&pose)),
        LitBy::Spot { spot } => frame.spots[*spot] > 127,
        LitBy::Segment { digits, place, segment } => {
            let number = frame.digits[*digits];
            number.is_some_and(|number| segments(number, frame.zeros[*digits], *place).contains(*segment))
        }
    };
    plan.channels.iter().map(|channel| lit(&channel.lit_by)).collect()
}

/// The segments of one place of a number, as letters drawn by hand: which of a to g a digit lights is common knowledge
/// (seven-segment truth tables), 6 and 9 with their tails.
struct Letters(&'static str);

impl Letters {
    fn contains(&self, segment: u32) -> bool {
        self.0.bytes().any(|letter| u32::from(letter - b'a') == segment)
    }
}

/// What is lit at a place, 0 for the rightmost.
fn segments(number: i32, zeros: bool, place: u32) -> Letters {
    let written = number.to_string();
    let digit = written.bytes().rev().nth(place as usize).or(zeros.then_some(b'0'));
    Letters(match digit {
        Some(b'0') => "abcdef",
        Some(b'1') => "bc",
        Some(b'2') => "abged",
        Some(b'3') => "abgcd",
        Some(b'4') => "fgbc",
        Some(b'5') => "afgcd",
        Some(b'6') => "afgedc",
        Some(b'7') => "abc",
        Some(b'8') => "abcdefg",
        Some(b'9') => "abcdfg",
        _ => "",
    })
}

/// The bytes as they go out: the last board first, the highest output first.
pub fn bytes(plan: &Plan, lit: &[bool]) -> Vec<u8> {
    let mut boards: Vec<Vec<u8>> =
        plan.boards.iter().map(|board| vec![0; (board.outputs as usize).div_ceil(8)]).collect();
    for (channel, lit) in plan.channels.iter().zip(lit) {
        let output = channel.output as usize;
        boards[channel.board][output / 8] |= u8::from(*lit) << (output % 8);
    }
    boards.into_iter().flatten().rev().collect()
}

/// A small source of chance: xorshift 13, 17, 5 (Marsaglia, "Xorshift RNGs").
#[derive(Clone, Debug)]
pub struct Chance(u32);

impl Chance {
    /// A source from a seed that is not 0.
    pub fn new(seed: u32) -> Self {
        Self(seed.max(1))
    }

    /// A number below a limit.
    pub fn below(&mut self, limit: u32) -> u32 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 17;
        self.0 ^= self.0 << 5;
        self.0 % limit.max(1)
    }
}

/// How people play.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Play {
    /// Each presses some while after the own button has begun to shine, and seldom misses.
    Well,
    /// The same, but every second press comes too late.
    Badly,
    /// Presses and releases at random, several a second.
    Wildly,
}

/// What every button's own lamp has been doing.
struct Person {
    spot: Option<usize>,
    shone: u32,
    reaction: u32,
    down_for: u32,
}

impl Person {
    fn next(&mut self, frame: &Frame, play: Play, chance: &mut Chance) -> bool {
        let shines = self.spot.is_some_and(|spot| frame.spots[spot] > 127);
        self.shone = if shines { self.shone + 1 } else { 0 };
        self.down_for = self.down_for.saturating_sub(1);
        let presses = match play {
            Play::Well | Play::Badly => self.shone == self.reaction,
            Play::Wildly => chance.below(12) == 0,
        };
        if presses {
            self.down_for = if play == Play::Wildly { 1 + chance.below(10) } else { 8 };
        }
        if !shines {
            // 1.3 s are too late, however patient the rules are.
            let late = if play == Play::Badly { 2 } else { 12 };
            self.reaction = if chance.below(late) == 0 { 130 } else { 12 + chance.below(10) };
        }
        self.down_for > 0
    }
}

/// People at all buttons, watching the picture of the referee as they go; for the last quarter they have left.
pub fn people(form: &Form, play: Play, ticks: usize, seed: u32) -> Script {
    let mut chance = Chance::new(seed);
    let mut conditioners = vec![Conditioner::new(form.tick_ms); form.buttons.len()];
    let person = |name: &String| Person {
        spot: form.spots.iter().position(|spot| spot == name),
        shone: 0,
        reaction: 15,
        down_for: 0,
    };
    let mut people: Vec<Person> = form.buttons.iter().map(person).collect();
    let mut now = begin(form, &[]).situation;
    let mut script = vec![vec![false; people.len()]];
    for conditioner in &mut conditioners {
        conditioner.tick(false);
    }
    for n in 1..=ticks {
        let seen = frame(form, &now);
        let down: Vec<bool> = people
            .iter_mut()
            .map(|person| person.next(&seen, play, &mut chance) && n < ticks - ticks / 4)
            .collect();
        let heard: Vec<_> =
            conditioners.iter_mut().zip(&down).map(|(button, down)| button.tick(*down)).collect();
        let input = Input {
            pressed: heard.iter().map(|heard| heard.pressed).collect(),
            held: heard.iter().map(|heard| heard.held).collect(),
            picks: Vec::new(),
        };
        now = step(form, &now, &input).situation;
        script.push(down);
    }
    script
}
