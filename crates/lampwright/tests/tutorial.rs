//! `docs/TUTORIAL.md`, done step by step: what each step writes is read without fault, and what it promises happens.
//! What is promised was derived by hand from the meaning of a tick (`ARCHITECTURE.md`).
#![allow(clippy::disallowed_methods, reason = "tests run the program on real files")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests stand outside the test functions")]

mod support;

use finding::Fault;
use rules::form::Form;
use rules::step::{Frame, Input, begin, frame, step};
use source::{FileFault, Files};
use std::fs;
use std::path::{Path, PathBuf};
use support::{code, program};

/// A block between fences: its words behind the fence, and its text.
struct Block {
    kind: String,
    text: String,
}

/// The blocks of each step.
fn steps() -> Vec<Vec<Block>> {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/TUTORIAL.md");
    let page = fs::read_to_string(page).unwrap();
    page.split("\n## Step ").skip(1).map(blocks).collect()
}

fn blocks(step: &str) -> Vec<Block> {
    let mut pieces = step.split("```");
    pieces.next();
    let mut blocks = Vec::new();
    while let Some(piece) = pieces.next() {
        let (kind, text) = piece.split_once('\n').unwrap();
        blocks.push(Block { kind: kind.to_owned(), text: text.to_owned() });
        pieces.next().unwrap();
    }
    blocks
}

/// The display that the reader of the page makes.
struct Own {
    _outer: tempfile::TempDir,
    folder: PathBuf,
}

impl Files for Own {
    fn read(&self, path: &str) -> Result<Vec<u8>, FileFault> {
        fs::read(self.folder.join(path)).map_err(|_| FileFault::Missing)
    }

    fn names(&self) -> Vec<String> {
        Vec::new()
    }
}

impl Own {
    fn new() -> Self {
        let outer = tempfile::tempdir().unwrap();
        let folder = outer.path().join("my-fox");
        let made = program().arg("new").arg(&folder).output().unwrap();
        assert_eq!(code(&made), 0, "{made:?}");
        Self { _outer: outer, folder }
    }

    fn text(&self, file: &str) -> String {
        fs::read_to_string(self.folder.join(file)).unwrap()
    }

    fn write(&self, file: &str, text: &str) {
        fs::write(self.folder.join(file), text).unwrap();
    }

    /// Puts a text in the place of another, which must stand there once, in whole lines.
    fn put(&self, find: &str, put: &str) {
        let text = format!("\n{}", self.text(RULES));
        let find = format!("\n{find}");
        assert_eq!(text.matches(&find).count(), 1, "{find}\nis not found once in\n{text}");
        self.write(RULES, &text.replace(&find, &format!("\n{put}"))[1..]);
    }

    /// Runs a command and holds its ending and words against what the page tells.
    fn told(&self, words: &str, lines: &str) {
        let (command, ending) = words.split_once(' ').unwrap();
        let output = program().arg(command).arg(&self.folder).output().unwrap();
        let said = String::from_utf8([output.stdout.clone(), output.stderr.clone()].concat()).unwrap();
        assert_eq!(code(&output).to_string(), ending, "{said}");
        for line in lines.lines() {
            assert!(said.contains(line), "{line:?} is not in\n{said}");
        }
    }

    fn form(&self) -> Form {
        let (display, faults, _) = display::read(self);
        assert!(!faults.iter().any(Fault::stops), "{faults:#?}");
        display.unwrap().form
    }

    /// Does everything that a step says.
    fn follow(&self, blocks: &[Block]) {
        let (mut find, mut slip) = (None, None);
        let mut last = String::new();
        for Block { kind, text } in blocks {
            match kind.as_str() {
                "rules find" => {
                    find = Some(text);
                    last.clone_from(text);
                }
                "rules put" => {
                    self.put(find.take().unwrap(), text);
                    last.clone_from(text);
                }
                "rules whole" => self.write(RULES, text),
                "rules add" => {
                    self.write(RULES, &(self.text(RULES) + text));
                    last.clone_from(text);
                }
                "toml add" => self.write(DESCRIPTION, &(self.text(DESCRIPTION) + "\n" + text)),
                // In the place of what was found or written last, until it is told what is wrong with it.
                "rules slip" => {
                    find = None;
                    self.put(&last, text);
                    slip = Some(text);
                }
                kind if kind.starts_with("told ") => {
                    self.told(&kind["told ".len()..], text);
                    if let Some(slip) = slip.take() {
                        self.put(slip, &last);
                    }
                }
                "" | "try" => {}
                other => panic!("nobody knows what to do with a block of {other:?}"),
            }
        }
        assert!(find.is_none() && slip.is_none(), "found and not replaced, or never put right");
    }
}

const RULES: &str = "waving-fox.rules";
const DESCRIPTION: &str = "display.toml";

/// A line of what to try: from when to when (in ticks), and what is done or seen.
struct Moment {
    from: usize,
    to: usize,
    words: String,
}

fn moments(text: &str) -> Vec<Moment> {
    let ticks = |seconds: &str| {
        let seconds: f64 = seconds.trim().parse().unwrap();
        format!("{:.0}", seconds * 100.0).parse::<usize>().unwrap()
    };
    text.lines()
        .map(|line| {
            let (when, words) = line.split_once(" s ").unwrap();
            let (from, to) = when.split_once(" to ").unwrap_or((when, when));
            Moment { from: ticks(from), to: ticks(to), words: words.trim().to_owned() }
        })
        .collect()
}

/// Whether a frame shows what is said.
fn seen(form: &Form, frame: &Frame, words: &str) -> bool {
    let fox = |pose: &str| {
        let pose = form.figures[0].poses.iter().position(|known| known == pose).unwrap();
        frame.poses[0] == Some(pose)
    };
    let lamp = || frame.spots[form.spots.iter().position(|spot| spot == "wave").unwrap()] > 0;
    let score = || frame.digits.first().copied().flatten();
    match words {
        "the lamp is lit" => lamp(),
        "the lamp is dark" => !lamp(),
        "the score is blank" => score().is_none(),
        _ => match (words.strip_prefix("the fox shows "), words.strip_prefix("the score is ")) {
            (Some(pose), None) => fox(pose),
            (None, Some(number)) => score() == Some(number.parse().unwrap()),
            _ => panic!("nobody knows how to look for {words:?}"),
        },
    }
}

/// Plays as a step says; the lines that do not come true.
fn unmet(form: &Form, text: &str) -> Vec<String> {
    let moments = moments(text);
    let mut open: Vec<bool> = vec![true; moments.len()];
    let mut situation = begin(form, &[]).situation;
    let mut pressing = vec![false; moments.len()];
    let last = moments.iter().map(|moment| moment.to).max().unwrap();
    for tick in 0..=last {
        if tick > 0 {
            let pressed = pressing.iter().any(|now| *now)
                || moments.iter().any(|moment| moment.words == "press" && moment.from == tick);
            let input = Input { pressed: vec![pressed], held: vec![pressed], picks: Vec::new() };
            situation = step(form, &situation, &input).situation;
        }
        let now = frame(form, &situation);
        for (at, moment) in moments.iter().enumerate() {
            pressing[at] = false;
            if !open[at] || !(moment.from..=moment.to).contains(&tick) {
                continue;
            }
            match moment.words.strip_prefix("press when ") {
                Some(what) => pressing[at] = seen(form, &now, what),
                None if moment.words == "press" => {}
                None => open[at] = !seen(form, &now, &moment.words),
            }
            if pressing[at] || moment.words == "press" {
                open[at] = false;
            }
        }
    }
    moments.iter().zip(open).filter(|(_, open)| *open).map(|(moment, _)| moment.words.clone()).collect()
}

/// Steps whose promise the step before keeps too: the first, the one about chance, and those about claims and people.
const SAME_AS_BEFORE: [usize; 4] = [1, 6, 9, 10];

#[test]
fn what_each_step_promises_happens_and_did_not_before() {
    let own = Own::new();
    let mut before: Option<Form> = None;
    let steps = steps();
    assert_eq!(steps.len(), 10);
    for (number, blocks) in (1..).zip(&steps) {
        own.follow(blocks);
        let check = program().arg("check").arg(&own.folder).output().unwrap();
        assert_eq!(code(&check), 0, "step {number}: {}", String::from_utf8_lossy(&check.stderr));
        let form = own.form();
        let promised: Vec<&Block> = blocks.iter().filter(|block| block.kind == "try").collect();
        assert_eq!(promised.len(), 1, "step {number} promises one play");
        let missing = unmet(&form, &promised[0].text);
        assert!(missing.is_empty(), "step {number}: {missing:?}");
        if let Some(before) = before.filter(|_| !SAME_AS_BEFORE.contains(&number)) {
            assert!(!unmet(&before, &promised[0].text).is_empty(), "step {number} changes nothing");
        }
        before = Some(form);
    }
    // Nothing is left that the page has not spoken of.
    let (_, faults, _) = display::read(&own);
    let lost = faults.iter().find(|fault| fault.code == "rules/press-lost");
    assert!(lost.is_none(), "{lost:?}");
}

/// How long the fox waits each time, in ticks, when nobody presses.
fn waits(form: &Form) -> Vec<usize> {
    let mut situation = begin(form, &[]).situation;
    let (mut waits, mut since) = (Vec::new(), Some(0));
    for tick in 1..12_000 {
        situation =
            step(form, &situation, &Input { pressed: vec![false], held: vec![false], picks: Vec::new() })
                .situation;
        let out = seen(form, &frame(form, &situation), "the fox shows right");
        match (out, since) {
            (true, Some(from)) => {
                waits.push(tick - from);
                since = None;
            }
            (false, None) => since = Some(tick),
            _ => {}
        }
    }
    waits
}

#[test]
fn chance_decides_how_long_the_fox_waits() {
    let own = Own::new();
    for blocks in &steps()[..6] {
        own.follow(blocks);
    }
    let mut waits = waits(&own.form());
    assert!(waits.len() > 20 && waits.iter().all(|wait| (100..=400).contains(wait)), "{waits:?}");
    waits.sort_unstable();
    waits.dedup();
    assert!(waits.len() > 10, "{waits:?}");
}

#[test]
fn people_can_play_what_is_made_and_it_can_be_built() {
    let own = Own::new();
    for blocks in &steps() {
        own.follow(blocks);
    }
    let rehearsed = program().arg("rehearse").arg(&own.folder).output().unwrap();
    assert_eq!(code(&rehearsed), 0);
    let words = String::from_utf8(rehearsed.stdout).unwrap();
    assert!(words.contains("Five-year-olds") && !words.contains("to change: Five-year-olds"), "{words}");
    own.told("build 0", "");
    let form = own.form();
    own.told("tidy 0", "");
    assert_eq!(own.form(), form);
}
