//! `reckon` as somebody uses it, with values from printed tables.
#![allow(clippy::disallowed_methods, reason = "tests run the program on real files")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests stand outside the test functions")]

mod support;

use std::process::Output;
use support::{code, json, program, said};

fn reckon(arguments: &[&str]) -> Output {
    program().arg("reckon").args(arguments).output().unwrap()
}

fn printed(output: &Output) -> String {
    assert_eq!(code(output), 0, "{}", said(output));
    String::from_utf8(output.stdout.clone()).unwrap()
}

/// NEC chapter 9 table 8: 18 AWG stranded copper has 7.95 ohm in 1000 ft; 100 ft out and back at 10 A lose 15.9 V.
#[test]
fn a_drop_is_worked_out_as_on_paper() {
    let given =
        ["pair-drop", "gauge=18 AWG", "length-one-way=100 ft", "current-out=10 A", "current-back=10 A"];
    let page = printed(&reckon(&given));
    for words in [
        "voltage lost = ",
        "18 AWG",
        "100 ft",
        "10 A",
        "15.9 V",
        "source: ",
        "NEC chapter 9 table 8",
        "example: ",
    ] {
        assert!(page.contains(words), "{words} in\n{page}");
    }
    // The same in other units and another order.
    let other =
        ["pair-drop", "current_back=10000 mA", "gauge=18", "length-one-way=30.48 m", "current-out=10"];
    let working = json(&reckon(&[&other[..], &["--json"]].concat()));
    let result = working["result"]["value"].as_f64().unwrap();
    assert!((result - 15.9).abs() < 1e-6, "{result}");
    assert_eq!(working["result"]["unit"], "V");
}

#[test]
fn bare_it_lists_every_formula_on_a_line() {
    let listed = printed(&reckon(&[]));
    for formula in reckoning::formulas() {
        let line = listed.lines().find(|line| line.split_whitespace().next() == Some(formula.name));
        assert!(line.is_some_and(|line| line.contains(formula.written)), "{} in\n{listed}", formula.name);
    }
    let all = json(&reckon(&["--json"]));
    assert_eq!(all["formulas"].as_array().unwrap().len(), reckoning::formulas().count());
}

/// The example that a formula shows when values are missing is a command that runs.
#[test]
fn the_example_of_every_formula_runs_and_gives_its_result() {
    for formula in reckoning::formulas() {
        let example = &formula.examples[0];
        let values: Vec<String> = formula
            .inputs
            .iter()
            .zip(example.given)
            .map(|(input, value)| format!("{}={value} {}", input.name.replace(' ', "-"), input.unit))
            .collect();
        let mut arguments = vec![formula.name, "--json"];
        arguments.extend(values.iter().map(String::as_str));
        let result = json(&reckon(&arguments))["result"]["value"].as_f64().unwrap();
        assert!((result - example.result).abs() <= example.within, "{}: {result}", formula.name);
    }
}

#[test]
fn what_cannot_be_taken_ends_with_2_and_says_what_would_do() {
    for (arguments, words) in [
        (&["pair-dorp"][..], "did you mean `pair-drop`?"),
        (&["label-current", "powr=24 W", "voltage=120 V"], "did you mean `power`?"),
        (&["label-current", "power=24 W", "voltage=120 A"], "`voltage=120 A`"),
        (&["label-current", "power=24 W"], "`voltage` is missing"),
        (&["label-current", "power=24 W", "power=25 W", "voltage=1 V"], "given twice"),
        (&["label-current", "power"], "write KEY=VALUE"),
        (&["label-current", "power=24 W", "voltage=0 V"], "give no number"),
        (&["label-current", "power=inf", "voltage=nan"], "no number"),
    ] {
        let output = reckon(arguments);
        assert_eq!(code(&output), 2, "{arguments:?}");
        assert!(said(&output).contains(words), "{arguments:?}: {}", said(&output));
        assert!(output.stdout.is_empty());
    }
}

#[test]
fn faults_of_use_are_json_too() {
    let output = reckon(&["pair-dorp", "--json"]);
    assert_eq!(code(&output), 2);
    let report = json(&output);
    assert_eq!(report["ending"], "faults");
    assert!(report["message"].as_str().unwrap().contains("pair-drop"));
}

#[test]
fn the_games_are_listed_and_a_slip_is_told() {
    let new = |arguments: &[&str]| program().arg("new").args(arguments).output().unwrap();
    assert!(printed(&new(&["--list"])).lines().any(|line| {
        let (name, words) = line.split_once(' ').unwrap_or_default();
        name == "waving-fox" && words.trim_start().starts_with("A fox")
    }));
    assert!(
        json(&new(&["--list", "--json"]))["games"]
            .as_array()
            .unwrap()
            .iter()
            .any(|it| it["name"] == "waving-fox")
    );
    let outer = tempfile::tempdir().unwrap();
    let folder = outer.path().join("mine");
    let slip = new(&[folder.to_str().unwrap(), "--game", "waving-fix"]);
    assert_eq!(code(&slip), 2);
    assert!(said(&slip).contains("did you mean `waving-fox`?"));
    assert!(!folder.exists());
    assert_eq!(code(&new(&[])), 1, "a folder must be named");
    let made = json(&new(&[folder.to_str().unwrap(), "--json"]));
    assert_eq!(made["game"], "waving-fox");
    assert!(
        made["files"].as_array().unwrap().iter().all(|file| folder.join(file.as_str().unwrap()).exists())
    );
}
