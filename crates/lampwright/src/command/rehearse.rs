//! `lampwright rehearse`: what becomes of a display's game when people play it.

use crate::ending::{Ending, Stop};
use crate::rehearsing::{GAMES, SEED, variants};
use crate::showing::Reading;
use crate::{report, showing};
use clap::Args;
use display::Display;
use rehearse::rehearsal::{Bouts, Estimate, Party, Rehearsal, Share, Spread, Tried};
use rehearse::{Cast, Order, Ready, rehearse};
use std::path::PathBuf;

const AFTER_HELP: &str = "\
Examples:
  lampwright rehearse my-game
  lampwright rehearse my-game --people five+adult --games 2000 --numbers
  lampwright rehearse my-game --seed 7 --json

People: five (a five-year-old), ten, adult, older (an older adult); two together as five+adult.
Each party plays up to five bouts, so that the first can be held against the fifth.

The rules say what people wait for, in lines such as
  prompt catch press button when hand is open
and how long a bout lasts, in
  bout while score is playing

Ends with 0 whatever is said, 1 when --people asks for nobody known, 2 when the description has faults
or its rules have no prompts.

The people are simulated: their means are published, their spread is from memory of studies, and
their habits are assumed. Try the game with real ones.";

/// Lets simulated people play the rules, some thousand games, and says in plain words what comes of it.
#[derive(Debug, Args)]
#[command(after_help = AFTER_HELP)]
pub(crate) struct Arguments {
    /// The display's folder, with display.toml in it.
    folder: PathBuf,
    /// How many parties of each sort come to play.
    #[arg(long, default_value_t = GAMES, value_parser = clap::value_parser!(u64).range(1..=1_000_000))]
    games: u64,
    /// Of all chance: the same seed gives the same games.
    #[arg(long, default_value_t = SEED)]
    seed: u64,
    /// Who comes, with commas between: five, ten, adult, older, or two of them joined by `+`. All of them if left out.
    #[arg(long, value_delimiter = ',')]
    people: Vec<String>,
    /// Numbers behind the words, each with the interval in which it lies with 95 in 100 certainty.
    #[arg(long)]
    numbers: bool,
    /// Leaves out what each constant with limits does.
    #[arg(long)]
    quick: bool,
}

/// Runs the command.
pub(crate) fn run(arguments: &Arguments, as_json: bool) -> Result<Ending, Stop> {
    let reading = showing::read(&arguments.folder)?;
    let Some(display) = reading.sound() else { return reading.refuse(as_json) };
    let rehearsal = rehearsed(arguments, &reading, display)?;
    if as_json {
        report::json(&serde_json::json!({
            "format": "lampwright-report", "version": 1, "ending": Ending::Nothing.word(), "rehearsal": rehearsal,
        }))?;
        return Ok(Ending::Nothing);
    }
    for sentence in &rehearsal.verdict {
        let mark = if sentence.wants_change { "to change: " } else { "" };
        report::print(&format!("{mark}{}\n", sentence.words))?;
    }
    if arguments.numbers {
        report::print(&numbers(&rehearsal))?;
    }
    report::print("\nSimulated people; what they stand on:\n")?;
    for ground in &rehearsal.grounds {
        report::print(&format!("  {ground}\n"))?;
    }
    Ok(Ending::Nothing)
}

fn rehearsed(arguments: &Arguments, reading: &Reading, display: &Display) -> Result<Rehearsal, Stop> {
    let unfit = |why: rehearse::quick::Unfit| Stop::Faults(why.to_string());
    let places = Ready::new(&display.form).map_err(unfit)?.places();
    let casts = match arguments.people.as_slice() {
        [] => Cast::usual(places),
        words => {
            // Who comes is asked for on the command line, so nobody to be found there is not a fault of the description.
            let unknown = |why: rehearse::quick::Unfit| Stop::System(why.to_string());
            words.iter().map(|words| Cast::read(words, places)).collect::<Result<_, _>>().map_err(unknown)?
        }
    };
    let variants = if arguments.quick { Vec::new() } else { variants(display, &reading.texts) };
    let order = Order {
        form: &display.form,
        variants: &variants,
        casts: &casts,
        games: arguments.games,
        seed: arguments.seed,
    };
    let bar = indicatif::ProgressBar::new(0);
    bar.set_style(style());
    let done = rehearse(&order, &|over, all| {
        bar.set_length(all);
        bar.set_position(over);
    });
    bar.finish_and_clear();
    done.map_err(unfit)
}

fn style() -> indicatif::ProgressStyle {
    indicatif::ProgressStyle::with_template("{wide_bar} {pos} of {len} parties, {eta} left")
        .unwrap_or_else(|_| indicatif::ProgressStyle::default_bar())
}

/// Everything with its interval, a table for each sort of party and for each constant.
fn numbers(rehearsal: &Rehearsal) -> String {
    let mut out = String::new();
    for party in &rehearsal.parties {
        out.push_str(&party_numbers(rehearsal, party));
    }
    for constant in &rehearsal.constants {
        let unit = if constant.unit.is_empty() { String::new() } else { format!(" {}", constant.unit) };
        out.push_str(&format!("\n`{}`, written as {}{unit}; first bouts\n", constant.name, constant.value));
        for point in &constant.points {
            for tried in &point.parties {
                out.push_str(&format!("  at {}{unit}, {}\n", point.value, tried.key));
                out.push_str(&tried_numbers(rehearsal, tried));
            }
        }
    }
    out
}

fn party_numbers(rehearsal: &Rehearsal, party: &Party) -> String {
    let mut out = format!("\n{}: {} parties\n", party.who, rehearsal.games);
    let mut line = |what: &str, value: String| out.push_str(&format!("  {what:<34}{value}\n"));
    for (when, bouts) in
        std::iter::once(("first", &party.first)).chain(party.fifth.iter().map(|fifth| ("fifth", fifth)))
    {
        bouts_numbers(rehearsal, when, bouts, &mut line);
    }
    line("first bouts an hour", estimate(&party.games_an_hour));
    line("first success, s", spread(&party.first_success_s));
    line("first success within 7 s", share(&party.within_seven));
    line("left without any success", share(&party.without_success));
    if let Some(free) = &party.free_again_s {
        line("free again after walking away, s", spread(free));
    }
    out
}

fn tried_numbers(rehearsal: &Rehearsal, tried: &Tried) -> String {
    let mut out = String::new();
    let mut line =
        |what: &str, value: &Estimate| out.push_str(&format!("    {what:<32}{}\n", estimate(value)));
    if let Some(score) = rehearsal.scores.first() {
        line(&format!("{score}, middle"), &tried.score);
        line(&format!("{score}, mean"), &tried.mean_score);
    }
    line("times to press met", &tried.hit);
    line("empty presses", &tried.empty);
    line("bouts an hour", &tried.games_an_hour);
    line("first success, s, middle", &tried.first_success_s);
    out
}

fn bouts_numbers(rehearsal: &Rehearsal, when: &str, bouts: &Bouts, line: &mut dyn FnMut(&str, String)) {
    for (name, score) in rehearsal.scores.iter().zip(&bouts.scores) {
        line(&format!("{when} bout, {name}"), spread(score));
    }
    line(&format!("{when} bout, times to press met"), estimate(&bouts.hit));
    line(&format!("{when} bout, empty presses"), estimate(&bouts.empty));
    line(&format!("{when} bout, s"), estimate(&bouts.length_s));
    if bouts.together.value > 0.0 {
        line(&format!("{when} bout, hits in the same tick"), estimate(&bouts.together));
    }
    if bouts.broken_off.count > 0 {
        line(&format!("{when} bout, broken off"), share(&bouts.broken_off));
    }
}

fn estimate(estimate: &Estimate) -> String {
    format!("{:.2} ({:.2} to {:.2})", estimate.value, estimate.low, estimate.high)
}

fn share(share: &Share) -> String {
    format!("{} of {}: {:.2} ({:.2} to {:.2})", share.count, share.of, share.value, share.low, share.high)
}

fn spread(spread: &Spread) -> String {
    format!(
        "middle {}, mean {}, tenth {:.1}, ninetieth {:.1}",
        estimate(&spread.median),
        estimate(&spread.mean),
        spread.tenth,
        spread.ninetieth
    )
}
