//! The claims of random small rules, answered by another model checker: SPIN (Debian's package `spin`), from the models that
//! `prove::promela` writes. It shares neither the tick nor the search with ours. Verdicts are compared with both engines, and
//! where a claim holds, the number of states with the number of situations.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a test that cannot read its own rules must stop; it says how much it compared"
)]
#![allow(clippy::disallowed_methods, reason = "the reference is a program of its own")]

mod common;

use common::rules;
use prove::promela::{Presses, model, process};
use prove::{Answer, Engine, Limits, Verdict, prove_some};
use rules::form::Form;
use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Rule sets that are compared. `LAMPWRIGHT_SPIN` in the environment asks for another number.
const RULES: u32 = 200;
/// Rule sets in one checker: most of its time is compiling.
const BUNDLE: usize = 25;
/// States of the checker that are no situations: before the process is chosen, and before its first tick.
const OTHERS: u64 = 2;

/// What one claim comes to.
struct Asked {
    seed: u32,
    text: String,
    plain: Answer,
    sets: Answer,
    /// Its place among the claims of its bundle.
    which: usize,
}

struct Bundle {
    folder: PathBuf,
    asked: Vec<Asked>,
}

#[derive(Default)]
struct Compared {
    rule_sets: u32,
    proved: u32,
    refuted: u32,
    counted: u32,
    states: u64,
}

fn ran(command: &mut Command, what: &str) -> String {
    let ran = command.output().unwrap_or_else(|fault| panic!("{what} is installed by the checks: {fault}"));
    let said = String::from_utf8_lossy(&ran.stdout).into_owned();
    let complained = String::from_utf8_lossy(&ran.stderr);
    assert!(ran.status.success(), "{what}: {said}{complained}");
    said
}

/// One checker for several rule sets; which claim it looks at, it reads from the environment.
fn checker(forms: &[(u32, String, Form)], folder: &Path) {
    let mut model = String::from("c_decl { \\#include <stdlib.h> }\nint which;\n");
    let mut ways = String::new();
    let mut which = 0;
    for (seed, text, form) in forms {
        let claims: Vec<&str> = form.claims.iter().map(|claim| claim.name.as_str()).collect();
        let name = format!("play{seed}");
        model += &process(form, &claims, (&name, Presses::Any))
            .unwrap_or_else(|unsaid| panic!("{unsaid}\n{text}"));
        for claim in 0..claims.len() {
            writeln!(ways, ":: which == {which} -> run {name}({claim})").unwrap();
            which += 1;
        }
    }
    let read = "c_code { now.which = atoi(getenv(\"WHICH\")); }";
    write!(model, "init {{ atomic {{ {read}; if\n{ways}fi }} }}\n").unwrap();
    compile(&model, folder);
}

fn compile(model: &str, folder: &Path) {
    std::fs::create_dir_all(folder).unwrap();
    std::fs::write(folder.join("model.pml"), model).unwrap();
    ran(Command::new("spin").args(["-a", "model.pml"]).current_dir(folder), "spin");
    let options = ["-w", "-O0", "-DSAFETY", "-DNOREDUCE", "-DVECTORSZ=2048", "-o", "pan", "pan.c"];
    ran(Command::new("gcc").args(options).current_dir(folder), "gcc");
}

/// Whether the checker finds the claim broken, and how many states it stored.
fn check(folder: &Path, which: usize) -> (bool, u64, String) {
    // The longest way that it may go; clearing room for a long one takes longer than most answers.
    let within = |most: &str| {
        let mut pan = Command::new(folder.join("pan"));
        pan.args(["-n", "-w16", most]).env("WHICH", which.to_string()).current_dir(folder);
        ran(&mut pan, "pan")
    };
    let too_long = |said: &str| said.contains("too small");
    let mut said = within("-m20000");
    if too_long(&said) {
        said = within("-m4000000");
    }
    assert!(!too_long(&said), "{said}");
    let number = |behind: bool, mark: &str| -> u64 {
        let line = said.lines().find(|line| line.contains(mark)).unwrap_or_else(|| panic!("{said}"));
        let (before, after) = line.split_once(mark).unwrap();
        let word = if behind { after.split_whitespace().next() } else { before.split_whitespace().last() };
        word.unwrap().parse().unwrap()
    };
    let (errors, states) = (number(true, "errors:"), number(false, "states, stored"));
    let broken = said.contains("assertion violated");
    assert_eq!(errors > 0, broken, "{said}");
    (broken, states, said)
}

fn answers(form: &Form, engine: Engine) -> Vec<Answer> {
    let limits = Limits { situations: 15_000, sets: 15_000, steps: 200_000, ..Limits::default() };
    prove_some(form, &limits, engine, &|name| !name.starts_with('.'), &mut |_| {})
}

fn bundle(seeds: &[u32]) -> Bundle {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("spin").join(format!("from{}", seeds[0]));
    let mut forms = Vec::new();
    let mut asked = Vec::new();
    for seed in seeds {
        let (text, form) = rules(*seed);
        let (plain, sets) = (answers(&form, Engine::Plain), answers(&form, Engine::Sets));
        assert_eq!(plain.len(), form.claims.len());
        for (plain, sets) in plain.into_iter().zip(sets) {
            asked.push(Asked { seed: *seed, text: text.clone(), plain, sets, which: asked.len() });
        }
        forms.push((*seed, text, form));
    }
    checker(&forms, &folder);
    Bundle { folder, asked }
}

fn compare(bundle: &Bundle) -> Compared {
    let mut compared = Compared::default();
    let mut last = 0;
    for Asked { seed, text, plain, sets, which } in &bundle.asked {
        if matches!(plain.verdict, Verdict::Undecided { .. }) {
            // More situations than the searches were allowed.
            continue;
        }
        let (broken, states, said) = check(&bundle.folder, *which);
        let about = || format!("seed {seed}: {}\n{}\n{said}\n{text}", plain.words, sets.words);
        assert_eq!(broken, !plain.proved(), "{}", about());
        if !matches!(sets.verdict, Verdict::Undecided { .. }) {
            assert_eq!(broken, !sets.proved(), "{}", about());
        }
        if let Verdict::Proved { covered } = &plain.verdict {
            assert_eq!(covered.situations + OTHERS, states, "{}", about());
            compared.counted += 1;
            compared.states += states;
        }
        compared.rule_sets += u32::from(last != *seed);
        last = *seed;
        compared.proved += u32::from(!broken);
        compared.refuted += u32::from(broken);
    }
    compared
}

#[test]
fn spin_answers_as_both_searches_do() {
    let count = std::env::var("LAMPWRIGHT_SPIN").ok().and_then(|count| count.parse().ok()).unwrap_or(RULES);
    let seeds: Vec<u32> = (1..=count).collect();
    let bundles: Vec<&[u32]> = seeds.chunks(BUNDLE).collect();
    let next = std::sync::atomic::AtomicUsize::new(0);
    let work = || {
        let mut all = Vec::new();
        while let Some(seeds) = bundles.get(next.fetch_add(1, std::sync::atomic::Ordering::Relaxed)) {
            all.push(compare(&bundle(seeds)));
        }
        all
    };
    let all: Vec<Compared> = std::thread::scope(|scope| {
        let other = scope.spawn(work);
        let mut all = work();
        all.extend(other.join().unwrap());
        all
    });
    let sum = all.into_iter().fold(Compared::default(), |sum, one| Compared {
        rule_sets: sum.rule_sets + one.rule_sets,
        proved: sum.proved + one.proved,
        refuted: sum.refuted + one.refuted,
        counted: sum.counted + one.counted,
        states: sum.states + one.states,
    });
    println!(
        "{} rule sets of {count}: {} claims hold and {} are broken by all; the same number of states for {} of them, {} states in all",
        sum.rule_sets, sum.proved, sum.refuted, sum.counted, sum.states
    );
    assert!(sum.rule_sets * 20 >= count * 19 && sum.proved > count && sum.refuted > count);
}

fn read(text: &str) -> Form {
    let (form, faults) = rules::read(&source::Text::new("one.rules", text.to_owned()), &common::interface());
    assert!(!faults.iter().any(finding::Fault::stops), "{faults:?}");
    form
}

/// What the random rules have none of: a setting, numbers below 0, flashing, quotients, and presses that are tried only where
/// somebody listens.
#[test]
fn a_model_of_one_claim_stands_alone() {
    let form = read(
        "tick 50 ms
setting most 1..3 = 2
machine a
  number depth -3..3
  number half -2..1
  state calm
  state busy writes 1 on board flashing
  calm on press west if depth > 0 - most do depth = depth - 1, half = depth / 2 go busy
  calm on press east do depth = max((depth + 3) % 2 * 3, 0 - 3) stay
  busy after 1200 ms go calm
claim deep never a.depth < -2 and a.half = -1 and most < 3
claim deeper never a.depth < -2 and a.half = -1
",
    );
    // Worked out by hand: a press leads down to `0 - most`, and -3 / 2 is -1.
    for (claim, holds) in [("deep", true), ("deeper", false)] {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("spin").join(claim);
        compile(&model(&form, claim, Presses::Heard).unwrap(), &folder);
        let (broken, states, said) = check(&folder, 0);
        let plain = answers(&form, Engine::Plain).into_iter().find(|answer| answer.claim == claim).unwrap();
        assert_eq!((!broken, plain.proved()), (holds, holds), "{}\n{said}", plain.words);
        // Before its first tick the checker has one state of its own.
        if let Verdict::Proved { covered } = plain.verdict {
            assert_eq!(covered.situations + 1, states, "{said}");
        }
    }
}

#[test]
fn what_has_no_words_in_a_model_is_refused() {
    let nested = (0..14).fold("a.n".to_owned(), |inner, k| format!("min({inner}, {})", 3 + k));
    let form = read(&format!("machine a\n  number n 0..3\n  state s\nclaim long never {nested} > 3\n"));
    let unsaid = |claim: &str| model(&form, claim, Presses::Any).unwrap_err().to_string();
    assert_eq!(unsaid("other"), "the rules make no claim `other`");
    assert_eq!(unsaid("long"), "an expression would have more than 50000 letters in the model");
}
