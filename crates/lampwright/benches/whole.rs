//! How long things take and how much memory they need, each beside a named reference of the same run. Run by hand:
//!
//! `cargo bench --bench whole` measures the waving fox; `cargo bench --bench whole -- club-passing` another display.
//!
//! The yardstick is SHA-256 over 64 MiB, which says how fast the machine is: ratios to it can be compared between machines
//! and between busy and idle hours, times cannot.
#![allow(clippy::disallowed_methods, reason = "a bench reads files, clock and arguments")]
#![allow(clippy::print_stdout, reason = "a bench reports on the terminal")]
#![allow(clippy::unwrap_used, reason = "a bench ends where something is missing")]

use display::Display;
use kurbo::{BezPath, PathEl, Shape as _, Vec2};
use plan::Planner;
use rules::hash::fingerprint;
use rules::step::{Input, begin, frame, step};
use sha2::{Digest, Sha256};
use source::MemoryFiles;
use std::fs;
use std::hint::black_box;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// Each thing is measured so often; the least counts, since whatever else the machine does only adds.
const TIMES: usize = 7;
/// Ticks measured at once.
const TICKS: usize = 100_000;
/// The length of the yardstick.
const YARDSTICK_BYTES: usize = 64 * 1024 * 1024;

fn main() {
    let name = std::env::args().skip(1).find(|argument| !argument.starts_with('-'));
    let name = name.unwrap_or_else(|| "waving-fox".to_owned());
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../displays").join(&name);
    let files = files(&folder);
    let display = read(&files);
    let plan = plan::plan(&display);
    println!("{name}: {TIMES} times each, the least of them\n");

    let yard = vec![0x5A_u8; YARDSTICK_BYTES];
    let yardstick = least(|| timed(|| Sha256::digest(black_box(&yard))));
    line("yardstick: SHA-256 over 64 MiB", yardstick, yardstick, "itself");

    let reading = least(|| timed(|| read(&files)));
    line("reading", reading, yardstick, "yardstick");
    let planning = least(|| timed(|| plan::plan(&display)));
    line("plan", planning, yardstick, "yardstick");
    again(&display, planning);
    let firmware = least(|| timed(|| firmware::project(&plan, &display.form)));
    line("firmware", firmware, yardstick, "yardstick");
    let book = least(|| {
        // What the typesetter remembers of an earlier book: a build begins without.
        comemo::evict(0);
        timed(|| book::recipe(&plan, &display.form).unwrap())
    });
    line("book, templates, tables", book, yardstick, "yardstick");
    let reset = least(|| timed(|| book::recipe(&plan, &display.form).unwrap()));
    line("again: the same book", reset, book, "book");
    ticks(&display, yardstick);
    whole(&folder, reading + planning + firmware + book);
    println!("\nThe first compile, on two idle processors, beside the yardstick of the same hour:");
    println!("  CARGO_TARGET_DIR=$(mktemp -d) cargo build --release --locked --timings");
}

/// Planning again after one edit, through the stages that the workbench remembers, beside planning from nothing.
fn again(display: &Display, planning: Duration) {
    let mut planner = Planner::new();
    planner.plan(display);
    for (what, edit) in EDITS {
        let mut edited = display.clone();
        edit(&mut edited);
        let lasted = least(|| {
            let mut planner = planner.clone();
            timed(|| planner.plan(&edited))
        });
        line(&format!("again: {what}"), lasted, planning, "plan");
    }
}

/// What an edit does to a display that has been read.
type Edit = fn(&mut Display);

/// Edits as the workbench sees them: one thing is another.
const EDITS: [(&str, Edit); 6] = [
    ("nothing changed", |_| {}),
    ("another title", |display| display.title.push('!')),
    ("a strand's amps", |display| {
        for strand in display.figures.iter_mut().flat_map(|figure| &mut figure.strands).take(1) {
            strand.value.current *= 1.02;
        }
    }),
    ("a panel dragged", |display| {
        for stands in display.panels.iter_mut().filter_map(|panel| panel.stands.as_mut()).take(1) {
            stands.at.x.value -= stands.lifted.value;
        }
    }),
    ("a point of a line dragged", |display| {
        for figure in display.figures.iter_mut().take(1) {
            if let Some(line) = figure.drawing.poses.last_mut().and_then(|pose| pose.lines.last_mut()) {
                drag(line);
            }
        }
    }),
    ("a figure 1 % taller", |display| {
        for figure in display.figures.iter_mut().take(1) {
            figure.height.value *= 1.01;
        }
    }),
];

/// Moves the middle one of a line's points by a hundredth of the line's height.
fn drag(line: &mut BezPath) {
    let by = Vec2::new(line.bounding_box().height() / 100.0, 0.0);
    let count = line.elements().len();
    if let Some(PathEl::LineTo(point) | PathEl::QuadTo(_, point) | PathEl::CurveTo(_, _, point)) =
        line.elements_mut().get_mut(count / 2)
    {
        *point += by;
    }
}

/// Ticks of the rules with one press now and then, beside the fingerprint that trials take of every tick.
fn ticks(display: &Display, yardstick: Duration) {
    let form = &display.form;
    let input = |n: usize| {
        let down = n % 97 < 9;
        Input {
            pressed: form.buttons.iter().map(|_| n.is_multiple_of(97)).collect(),
            held: form.buttons.iter().map(|_| down).collect(),
            picks: Vec::new(),
        }
    };
    let inputs: Vec<Input> = (0..97).map(input).collect();
    let bare = least(|| {
        timed(|| {
            let mut now = begin(form, &[]).situation;
            for n in 1..=TICKS {
                now = step(form, &now, &inputs[n % inputs.len()]).situation;
                black_box(frame(form, &now));
            }
        })
    });
    let now = begin(form, &[]).situation;
    let prints =
        least(|| timed(|| (0..TICKS).map(|_| fingerprint(black_box(&now))).fold(0, u32::wrapping_add)));
    line("100000 ticks with their frames", bare, yardstick, "yardstick");
    line("100000 fingerprints", prints, bare, "ticks");
    let count = f64::from(u32::try_from(TICKS).unwrap());
    println!("{:36} {:>12.0} a second", "ticks", count / bare.as_secs_f64());
}

/// The program itself, from its start to its end, beside the sum of what it does.
fn whole(folder: &Path, parts: Duration) {
    let out = tempfile::tempdir().unwrap();
    let mut most = 0;
    let lasted = least(|| {
        let begun = Instant::now();
        let mut build = Command::new(env!("CARGO_BIN_EXE_lampwright"))
            .arg("build")
            .arg(folder)
            .arg("--out")
            .arg(out.path())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        while build.try_wait().unwrap().is_none() {
            most = most.max(peak_kib(build.id()));
            std::thread::sleep(Duration::from_millis(1));
        }
        begun.elapsed()
    });
    line("build, written to the disk", lasted, parts, "its parts");
    let written: u64 = walk(out.path()).iter().map(|path| fs::metadata(path).unwrap().len()).sum();
    let written_kib = written.div_ceil(1024);
    println!("{:36} {:>9} KiB", "recipe", written_kib);
    println!(
        "{:36} {:>9} KiB   {:.1} x recipe",
        "build: most memory",
        most,
        f64::from(u32::try_from(most).unwrap()) / f64::from(u32::try_from(written_kib).unwrap())
    );
}

/// The most memory a process has had (`VmHWM` of proc(5)), in KiB; 0 where the system does not say.
fn peak_kib(process: u32) -> u64 {
    let status = fs::read_to_string(format!("/proc/{process}/status")).unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    line.and_then(|words| words.split_whitespace().next()?.parse().ok()).unwrap_or(0)
}

fn read(files: &MemoryFiles) -> Display {
    display::read(files).0.unwrap()
}

/// The files of a display, in memory.
fn files(folder: &Path) -> MemoryFiles {
    let mut files = MemoryFiles::default();
    for path in walk(folder) {
        let inside = path.strip_prefix(folder).unwrap();
        if !inside.starts_with("recipe") {
            files = files.with(inside.to_str().unwrap(), fs::read(&path).unwrap());
        }
    }
    files
}

fn walk(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    entries.flat_map(|path| if path.is_dir() { walk(&path) } else { vec![path] }).collect()
}

fn timed<T>(work: impl FnOnce() -> T) -> Duration {
    let begun = Instant::now();
    black_box(work());
    begun.elapsed()
}

fn least(measure: impl FnMut() -> Duration) -> Duration {
    std::iter::repeat_with(measure).take(TIMES).min().unwrap()
}

fn line(what: &str, lasted: Duration, reference: Duration, named: &str) {
    let ratio = lasted.as_secs_f64() / reference.as_secs_f64();
    println!("{what:36} {:>9.3} ms   {ratio:.4} x {named}", lasted.as_secs_f64() * 1e3);
}
