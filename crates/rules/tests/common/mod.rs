//! Reads the suite's rule texts: interface, inputs and hand-derived expectations stand in their `#:` lines.

use rules::form::Form;
use rules::interface::{DigitsName, FigureName, Interface, SpotName};
use rules::step::Start;
use rules::vectors::TickIn;
use std::path::PathBuf;

/// One text of the suite.
pub struct Case {
    /// File name without its ending.
    pub name: String,
    /// The whole text.
    pub text: String,
    /// What it is played on.
    pub interface: Interface,
    /// Number of the last tick.
    pub last: usize,
    /// Words after `#: expect`: what, and stretches of ticks with values.
    pub expect: Vec<(String, Vec<String>)>,
    /// What tick 0 starts from.
    pub start: Start,
    script: Vec<(String, usize, String)>,
}

/// Every text of the suite, by name.
#[allow(clippy::disallowed_methods, reason = "tests read their own files")]
pub fn cases() -> Vec<Case> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("suite");
    let mut paths: Vec<PathBuf> =
        std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    paths
        .into_iter()
        .map(|path| {
            case(path.file_stem().unwrap().to_str().unwrap(), std::fs::read_to_string(&path).unwrap())
        })
        .collect()
}

fn counted(item: &str) -> (String, u32) {
    item.split_once('*')
        .map_or((item.to_owned(), 1), |(name, count)| (name.to_owned(), count.parse().unwrap()))
}

fn case(name: &str, text: String) -> Case {
    let mut interface = Interface::default();
    let mut start = Start::default();
    let value = |word: &str| if word == "-" { None } else { Some(word.parse().unwrap()) };
    let (mut last, mut expect, mut script) = (0, Vec::new(), Vec::new());
    for line in text.lines().filter_map(|line| line.strip_prefix("#: ")) {
        let (key, rest) = line.split_once(' ').unwrap();
        let items = || rest.split(", ").map(str::trim);
        match key {
            "buttons" => interface.buttons = items().map(str::to_owned).collect(),
            "figures" => {
                interface.figures = rest
                    .split_terminator(')')
                    .map(|item| {
                        let (name, poses) = item.trim_start_matches(", ").split_once('(').unwrap();
                        FigureName {
                            name: name.to_owned(),
                            poses: poses.split(',').map(str::to_owned).collect(),
                        }
                    })
                    .collect();
            }
            "spots" => {
                interface.spots = items()
                    .map(|item| {
                        let (name, count) = counted(item.trim_end_matches(" dims"));
                        SpotName { name, count, dims: item.ends_with(" dims") }
                    })
                    .collect();
            }
            "digits" => {
                interface.digits =
                    items().map(counted).map(|(name, count)| DigitsName { name, count }).collect();
            }
            "sounds" => interface.sounds = items().map(str::to_owned).collect(),
            "kept" => start.kept = rest.split(' ').map(value).collect(),
            "set" => start.settings = rest.split(' ').map(value).collect(),
            "ticks" => last = rest.parse().unwrap(),
            "expect" => {
                let mut words = rest.split_whitespace().map(str::to_owned);
                expect.push((words.next().unwrap(), words.collect()));
            }
            "press" | "give" | "hold" => {
                script.extend(rest.split_whitespace().flat_map(|word| scripted(key, word)));
            }
            _ => panic!("{name}: unknown line `{line}`"),
        }
    }
    Case { name: name.to_owned(), text, interface, last, expect, start, script }
}

/// `3-5:wave` as three entries.
fn scripted(key: &str, word: &str) -> Vec<(String, usize, String)> {
    let (when, what) = word.split_once(':').unwrap();
    let (from, to) = when.split_once('-').unwrap_or((when, when));
    (from.parse().unwrap()..=to.parse().unwrap())
        .map(|tick| (key.to_owned(), tick, what.to_owned()))
        .collect()
}

impl Case {
    /// The inputs of every tick, for the form's buttons.
    pub fn inputs(&self, form: &Form) -> Vec<TickIn> {
        let mut ticks = vec![TickIn::default(); self.last + 1];
        for (key, tick, what) in &self.script {
            let button = || form.buttons.iter().position(|button| button == what).unwrap();
            match key.as_str() {
                "press" => ticks[*tick].pressed.push(button()),
                "hold" => ticks[*tick].held.push(button()),
                _ => {
                    let (site, value) = what.split_once('=').unwrap();
                    ticks[*tick].picks.push((site.parse().unwrap(), value.parse().unwrap()));
                }
            }
        }
        ticks
    }
}
