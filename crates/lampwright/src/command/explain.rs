//! `lampwright explain`: what a code means, why that matters, an example and the same put right.

use crate::ending::{Ending, Stop};
use crate::{explained, report};
use clap::Args;
use finding::{Example, Explained, Style, render};
use prove::{Engine, Limits};
use rules::form::Form;
use serde_json::{Value, json};
use source::Text;
use std::io;

const AFTER_HELP: &str = "\
Examples:
  lampwright explain                        every code, a line each
  lampwright explain rules/whole-ticks      what it means, an example, the same put right
  lampwright explain .held west             what `prove` claims without being asked, and a play against it
  lampwright explain rules/tie --json

`check` shows the codes in brackets. Ends with 1 when a code is not known.";

/// Says what a code of `check` or a claim of `prove` means: in plain words, with an example and the same put right.
#[derive(Debug, Args)]
#[command(after_help = AFTER_HELP)]
pub(crate) struct Arguments {
    /// The code, as `check` shows it in brackets, or the claim, as `prove` does; without one, all are listed.
    code: Vec<String>,
}

/// The name that the text of an example goes by.
const EXAMPLE: &str = "example.rules";

/// Runs the command.
pub(crate) fn run(arguments: &Arguments, as_json: bool) -> Result<Ending, Stop> {
    if arguments.code.is_empty() {
        if as_json {
            report::json(&listed_json())?;
        } else {
            report::print(&listed())?;
        }
        return Ok(Ending::Nothing);
    }
    let code = arguments.code.join(" ");
    let known = explained::find(&code).ok_or_else(|| unknown(&code))?;
    if as_json {
        report::json(&told_json(known))?;
    } else {
        report::print(&told(known))?;
    }
    Ok(Ending::Nothing)
}

fn unknown(code: &str) -> Stop {
    let near = explained::near(code);
    let hint = if near.is_empty() {
        "`lampwright explain` lists them".to_owned()
    } else {
        format!("did you mean {}?", near.join(", "))
    };
    Stop::System(format!("there is no code `{}`; {hint}", code.escape_debug()))
}

/// Everything about one code.
fn told(known: &Explained) -> String {
    let mut page = format!("{}\n\n", known.code);
    for words in [known.meaning, known.more] {
        page.push_str(&report::for_the_width(words));
        page.push_str("\n\n");
    }
    let Some(example) = known.example else { return page };
    page.push_str(&format!("For example:\n\n{}\n", indented(example.wrong)));
    if let Some(shown) = shown(known.code, example, report::style(&io::stdout())) {
        page.push_str(&format!("{shown}\n\n"));
    }
    page.push_str(&format!("Put right:\n\n{}", indented(example.right)));
    page
}

/// An example as `check` would show it, or `prove`. Only rules can be read alone; other examples are a line out of a whole.
fn shown(code: &str, example: Example, style: Style) -> Option<String> {
    if !code.starts_with("rules/") && !code.starts_with('.') {
        return None;
    }
    let text = Text::new(EXAMPLE, example.wrong);
    let (form, faults) = rules::read(&text, &rules::codes::example_display());
    if code.starts_with('.') {
        return refuted(code, &form);
    }
    let fault = faults.iter().find(|fault| fault.code == code)?;
    Some(render(fault, &[text], style))
}

/// What `prove` says of a form that breaks a claim.
fn refuted(code: &str, form: &Form) -> Option<String> {
    let wanted = |claim: &str| prove::codes::kind(claim) == code;
    let answers = prove::prove_some(form, &Limits::default(), Engine::Both, &wanted, &mut |_| {});
    let answer = answers.into_iter().find(|answer| answer.trace().is_some())?;
    let lines: Vec<String> =
        [answer.words.clone()].into_iter().chain(super::prove::moments(form, &answer)).collect();
    Some(lines.join("\n"))
}

fn indented(text: &str) -> String {
    text.lines().map(|line| format!("    {line}\n")).collect()
}

/// Every code, a line each.
fn listed() -> String {
    let groups = explained::groups();
    let codes = groups.iter().flat_map(|group| group.codes);
    let wide = codes.map(|known| known.code.len()).max().unwrap_or(0);
    let mut page = String::new();
    for group in groups {
        page.push_str(&format!("{}\n", group.title));
        for known in group.codes {
            page.push_str(&format!("  {:wide$}  {}\n", known.code, known.meaning));
        }
        page.push('\n');
    }
    page + "More about one: lampwright explain CODE\n"
}

fn listed_json() -> Value {
    let of = |known: &&Explained| json!({ "code": known.code, "meaning": known.meaning });
    let groups = explained::groups();
    let groups = groups.iter().map(
        |group| json!({ "title": group.title, "codes": group.codes.iter().map(of).collect::<Vec<_>>() }),
    );
    json!({
        "format": "lampwright-codes", "version": 1, "ending": Ending::Nothing.word(),
        "groups": groups.collect::<Vec<_>>(),
    })
}

fn told_json(known: &Explained) -> Value {
    let example = known.example.map(|example| {
        let shown = shown(known.code, example, Style::Plain);
        json!({ "wrong": example.wrong, "right": example.right, "shown": shown })
    });
    json!({
        "format": "lampwright-explanation", "version": 1, "ending": Ending::Nothing.word(),
        "code": known.code, "meaning": known.meaning, "more": known.more, "example": example,
    })
}
