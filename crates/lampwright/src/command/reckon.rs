//! `lampwright reckon`: one registered formula alone, with its working as it stands on paper.

use crate::ending::{Ending, Stop};
use crate::report;
use crate::value::{key, number, read};
use clap::Args;
use finding::suggestion;
use reckoning::{Example, Formula, formula, formulas};
use serde_json::{Value, json};

const AFTER_HELP: &str = "\
Examples:
  lampwright reckon                                       every formula, a line each
  lampwright reckon pair-drop                             what it needs
  lampwright reckon pair-drop gauge='16 AWG' length-one-way='75 ft' current-out='2 A' current-back='2 A'
  lampwright reckon label-current power=24W voltage=120V

A value without a unit counts in the formula's own. Ends with 2 when a name is not known, a value is missing or
cannot be taken. Where it touches mains, height, wind or flashing: local codes and licensed practice decide.";

/// Works out one formula of the trade: its words, each value, the result, where it was read, an example.
#[derive(Debug, Args)]
#[command(after_help = AFTER_HELP)]
pub(crate) struct Arguments {
    /// The formula's name; without one, all are listed.
    name: Option<String>,
    /// A value: the name the formula gives it, `=`, a quantity. Spaces in a name are written `-`.
    #[arg(value_name = "KEY=VALUE")]
    values: Vec<String>,
}

/// Runs the command.
pub(crate) fn run(arguments: &Arguments, as_json: bool) -> Result<Ending, Stop> {
    let Some(name) = &arguments.name else {
        if as_json {
            report::json(&listed_json())?;
        } else {
            report::print(&listed())?;
        }
        return Ok(Ending::Nothing);
    };
    let formula = formula(name).ok_or_else(|| unknown_formula(name))?;
    let values = values(formula, &arguments.values)?;
    let result = (formula.work)(&values);
    if !result.is_finite() {
        return Err(Stop::Faults(format!("{}: these values give no number", formula.name)));
    }
    if as_json {
        report::json(&worked_json(formula, &values, result))?;
    } else {
        report::print(&worked(formula, &values, result))?;
    }
    Ok(Ending::Nothing)
}

fn unknown_formula(name: &str) -> Stop {
    let near = finding::nearest(name, formulas().map(|formula| formula.name));
    let hint =
        near.map_or("`lampwright reckon` lists them".to_owned(), |near| format!("did you mean `{near}`?"));
    Stop::Faults(format!("there is no formula `{name}`; {hint}"))
}

/// The values in the order and units of the inputs; every fault at once.
fn values(formula: &Formula, written: &[String]) -> Result<Vec<f64>, Stop> {
    let keys: Vec<String> = formula.inputs.iter().map(|input| key(input.name)).collect();
    let mut taken: Vec<Option<f64>> = vec![None; keys.len()];
    let mut faults = Vec::new();
    for written in written {
        let Some((name, value)) = written.split_once('=') else {
            faults.push(format!("`{written}` is no value: write KEY=VALUE"));
            continue;
        };
        let Some(at) = keys.iter().position(|known| *known == key(name)) else {
            let near = suggestion(&key(name), keys.iter().map(String::as_str)).unwrap_or_default();
            faults.push(format!("{} takes no `{name}`; {near}", formula.name));
            continue;
        };
        if taken[at].is_some() {
            faults.push(format!("`{name}` is given twice"));
        }
        match read(value, formula.inputs[at].unit) {
            Ok(value) => taken[at] = Some(value),
            Err(why) => faults.push(format!("`{written}`: {why}")),
        }
    }
    if faults.is_empty() {
        let missing = keys.iter().zip(&taken).filter(|(_, value)| value.is_none());
        faults.extend(missing.map(|(key, _)| format!("`{key}` is missing")));
        if !faults.is_empty() {
            faults.push(needs(formula));
        }
    }
    if faults.is_empty() {
        Ok(taken.into_iter().flatten().collect())
    } else {
        Err(Stop::Faults(faults.join("\n")))
    }
}

/// What a formula needs, as a command that runs: its first worked example.
fn needs(formula: &Formula) -> String {
    let given = formula.examples.first().map_or(&[][..], |example| example.given);
    let values: Vec<String> = formula
        .inputs
        .iter()
        .zip(given)
        .map(|(input, value)| format!(" {}='{}'", key(input.name), with_unit(*value, input.unit)))
        .collect();
    format!("{}\nfor example: lampwright reckon {}{}", formula.written, formula.name, values.concat())
}

fn with_unit(value: f64, unit: &str) -> String {
    let number = number(value);
    if unit.is_empty() { number } else { format!("{number} {unit}") }
}

/// What the result is called: the words before the formula's sign.
fn result_name(formula: &Formula) -> &str {
    formula.written.split_once(" = ").map_or("result", |(name, _)| name)
}

/// The working as it stands on paper.
fn worked(formula: &Formula, values: &[f64], result: f64) -> String {
    let mut rows: Vec<(&str, String)> = formula
        .inputs
        .iter()
        .zip(values)
        .map(|(input, value)| (input.name, with_unit(*value, input.unit)))
        .collect();
    rows.push((result_name(formula), with_unit(result, formula.unit)));
    let wide = rows.iter().map(|(name, _)| name.chars().count()).max().unwrap_or(0);
    let long = rows.iter().map(|(_, shown)| shown.chars().count()).max().unwrap_or(0);
    let mut page = format!("{}\n\n  {}\n\n", formula.name, formula.written);
    for (at, (name, shown)) in rows.iter().enumerate() {
        if at + 1 == rows.len() {
            page.push_str(&format!("  {}\n", "-".repeat(wide + 2 + long)));
        }
        page.push_str(&format!("  {name:wide$}  {shown}\n"));
    }
    page.push_str(&format!("\n  source: {}\n", formula.source));
    if let Some(example) = formula.examples.first() {
        page.push_str(&format!("  example: {}\n", example_words(formula, example)));
    }
    page
}

fn example_words(formula: &Formula, example: &Example) -> String {
    let given: Vec<String> = formula
        .inputs
        .iter()
        .zip(example.given)
        .map(|(input, value)| format!("{} {}", input.name, with_unit(*value, input.unit)))
        .collect();
    format!(
        "{} make {}\n           ({})",
        given.join(", "),
        with_unit(example.result, formula.unit),
        example.source
    )
}

/// Every formula, a line each.
fn listed() -> String {
    let mut all: Vec<&Formula> = formulas().collect();
    all.sort_unstable_by_key(|formula| formula.name);
    let wide = all.iter().map(|formula| formula.name.len()).max().unwrap_or(0);
    let lines = all.iter().map(|formula| format!("{:wide$}  {}\n", formula.name, formula.written));
    lines.collect::<String>() + "\nWork one out: lampwright reckon NAME KEY=VALUE ...\n"
}

fn listed_json() -> Value {
    let mut all: Vec<&Formula> = formulas().collect();
    all.sort_unstable_by_key(|formula| formula.name);
    let of = |formula: &&Formula| {
        let inputs = formula.inputs.iter().map(|input| json!({ "key": key(input.name), "unit": input.unit }));
        json!({
            "name": formula.name, "written": formula.written, "unit": formula.unit, "source": formula.source,
            "inputs": inputs.collect::<Vec<_>>(),
        })
    };
    json!({
        "format": "lampwright-formulas", "version": 1, "ending": Ending::Nothing.word(),
        "formulas": all.iter().map(of).collect::<Vec<_>>(),
    })
}

fn worked_json(formula: &Formula, values: &[f64], result: f64) -> Value {
    let values = formula
        .inputs
        .iter()
        .zip(values)
        .map(|(input, value)| json!({ "key": key(input.name), "value": value, "unit": input.unit }));
    let examples = formula.examples.iter().map(|example| {
        json!({ "given": example.given, "result": example.result, "within": example.within, "source": example.source })
    });
    json!({
        "format": "lampwright-working", "version": 1, "ending": Ending::Nothing.word(),
        "formula": formula.name, "written": formula.written, "values": values.collect::<Vec<_>>(),
        "result": { "value": result, "unit": formula.unit }, "source": formula.source,
        "examples": examples.collect::<Vec<_>>(),
    })
}
