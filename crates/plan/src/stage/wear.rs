//! Switch: how often the contacts of a box switch in a season, against how often they may.
//!
//! The rules are played for a while, once left alone and once with every button pressed steadily; the busier of the two
//! stands for every minute of the season. That is an estimate, and the finding says so.

use crate::LitBy;
use crate::note::{Also, finding, rating, used, value, working};
use finding::{Finding, Origin, Severity};
use reckoning::switching::contact_cycles;
use rules::form::Form;
use rules::step::{Input as Presses, begin, frame, step};
use serde::Serialize;

/// Minutes that are played.
const MINUTES: f64 = 2.0;

/// Presses of each button in a minute of the second play: a throw every three seconds.
const PRESSES_A_MINUTE: f64 = 20.0;

/// What the stage takes.
#[derive(Serialize)]
pub(crate) struct Input<'a> {
    /// The box.
    pub(crate) part: &'a str,
    pub(crate) source: &'a str,
    /// How often one of its contacts may switch; none where that is not known.
    pub(crate) cycles: Option<u32>,
    /// Hours of the season.
    pub(crate) hours: f64,
    /// What the contacts switch: the name of the channel and what lights it.
    pub(crate) contacts: Vec<(&'a str, &'a LitBy)>,
    pub(crate) form: &'a Form,
}

/// What one play came to for one contact.
#[derive(Clone, Copy, Debug, Default)]
struct Count {
    /// How often it closed.
    closed: u32,
    /// The fewest ticks between two changes.
    shortest: Option<u32>,
}

pub(crate) fn work(input: &Input<'_>) -> Vec<Finding> {
    if input.form.machines.is_empty() || input.form.tick_ms == 0 {
        return Vec::new();
    }
    let alone = play(input, None);
    let pressed = play(input, Some(PRESSES_A_MINUTE));
    let busier = alone.iter().zip(&pressed).map(|(one, other)| Count {
        closed: one.closed.max(other.closed),
        shortest: one.shortest.into_iter().chain(other.shortest).min(),
    });
    let counted: Vec<(&str, Count)> = input.contacts.iter().map(|(name, _)| *name).zip(busier).collect();
    let Some((name, count)) = counted.iter().max_by_key(|(_, count)| count.closed) else { return Vec::new() };
    if count.closed == 0 {
        return Vec::new();
    }
    vec![told(input, name, *count)]
}

/// Plays the rules and counts every contact.
fn play(input: &Input<'_>, presses_a_minute: Option<f64>) -> Vec<Count> {
    let form = input.form;
    let tick_s = f64::from(form.tick_ms) / 1000.0;
    let mut situation = begin(form, &[]).situation;
    let mut counts = vec![Count::default(); input.contacts.len()];
    let mut lit: Vec<bool> = on(input, &frame(form, &situation));
    let mut changed = vec![0_u32; input.contacts.len()];
    let mut tick = 0_u32;
    while f64::from(tick) * tick_s < MINUTES * 60.0 {
        tick += 1;
        let pressed = presses(form, tick, tick_s, presses_a_minute);
        situation = step(form, &situation, &pressed).situation;
        let now = on(input, &frame(form, &situation));
        for contact in 0..now.len() {
            if now[contact] == lit[contact] {
                continue;
            }
            let lasted = tick - changed[contact];
            if changed[contact] > 0 {
                counts[contact].shortest =
                    Some(counts[contact].shortest.map_or(lasted, |least| least.min(lasted)));
            }
            changed[contact] = tick;
            counts[contact].closed += u32::from(now[contact]);
        }
        lit = now;
    }
    counts
}

/// Every button in turn, evenly: none is pressed together with another.
fn presses(form: &Form, tick: u32, tick_s: f64, presses_a_minute: Option<f64>) -> Presses {
    let Some(rate) = presses_a_minute else { return Presses::default() };
    let buttons = u32::try_from(form.buttons.len()).unwrap_or(1).max(1);
    let apart = libm::round(60.0 / rate / tick_s / f64::from(buttons)).max(1.0);
    let number = libm::floor(f64::from(tick) / apart);
    let at_once = f64::from(tick) - number * apart < 0.5;
    let turn = number - libm::floor(number / f64::from(buttons)) * f64::from(buttons);
    let pressed: Vec<bool> =
        (0..buttons).map(|button| at_once && (f64::from(button) - turn).abs() < 0.5).collect();
    Presses { held: pressed.clone(), pressed, picks: Vec::new() }
}

/// Which contacts are closed.
fn on(input: &Input<'_>, frame: &rules::step::Frame) -> Vec<bool> {
    let closed = |lit_by: &LitBy| match lit_by {
        LitBy::Poses { figure, poses } => {
            frame.poses.get(*figure).copied().flatten().is_some_and(|pose| poses.contains(&pose))
        }
        LitBy::Spot { spot } => frame.spots.get(*spot).is_some_and(|level| *level > 127),
        LitBy::Segment { .. } => false,
    };
    input.contacts.iter().map(|(_, lit_by)| closed(lit_by)).collect()
}

fn told(input: &Input<'_>, name: &str, count: Count) -> Finding {
    let a_minute = f64::from(count.closed) / MINUTES;
    let season = contact_cycles(input.hours, a_minute);
    let shortest = count.shortest.map_or(String::new(), |ticks| {
        format!(", at the shortest {} ms apart", u64::from(ticks) * u64::from(input.form.tick_ms))
    });
    let thousands = |count: f64| format!("{:.0} 000", libm::ceil(count / 1000.0));
    let about =
        format!("The contact of {name} closes about {} times in the season{shortest}", thousands(season));
    let (severity, verdict) = match input.cycles.map(f64::from) {
        Some(most) if season > most => (
            Severity::Caution,
            format!(
                "{about}; {} is rated for {}: it may stick or fail before the end",
                input.part,
                thousands(most)
            ),
        ),
        Some(most) => (
            Severity::Note,
            format!(
                "{about}; {} is rated for {}, {:.1} such seasons",
                input.part,
                thousands(most),
                most / season
            ),
        ),
        None => (Severity::Note, format!("{about}; how often {} may switch is not known", input.part)),
    };
    let limit = input.cycles.map(|most| (thousands(f64::from(most)), input.source.to_owned()));
    let margin = input.cycles.map(|most| used(season, f64::from(most)));
    let found = finding("drive/contact-wear", severity, "switch", &[name, input.part], verdict).working(working(
        "contact-cycles",
        vec![
            value("hours", format!("{:.0}", input.hours), Origin::Default("all nights of the season")),
            value(
                "switchings a minute",
                format!("{a_minute:.1}"),
                Origin::Default(
                    "the busiest contact in two minutes of play: left alone, or each button pressed 20 times a minute",
                ),
            ),
            value("rated", limit.as_ref().map_or("not known".into(), |limit| limit.0.clone()), rating(input.part, "cycles")),
        ],
        thousands(season),
        limit,
        margin,
    ));
    if severity == Severity::Note && input.cycles.is_some() {
        return found;
    }
    found
        .cure(
            "Read the sheet of its relays for so small a load, and write `cycles` down: it is often far more",
            None,
        )
        .cure("Light what moves with 12 V strands, which no contact switches", None)
        .cure("Or let the game go dark or stand still while nobody plays, and keep a whole spare box", None)
}

#[cfg(test)]
mod tests {
    use super::*;
    use rules::interface::{FigureName, Interface};

    /// A blinker: half a second each way, all by itself, so sixty closings a minute.
    fn form() -> Form {
        let names = Interface {
            figures: vec![FigureName { name: "arm".into(), poses: vec!["up".into(), "down".into()] }],
            ..Interface::default()
        };
        let rules = "machine arm\n  state up shows up\n  state down shows down\n  up after 500 ms go down\n  down after 500 ms go up\n";
        let (form, faults) = rules::read(&source::Text::new("arm.rules", rules), &names);
        assert_eq!(faults, []);
        form
    }

    fn found(hours: f64, cycles: Option<u32>) -> Finding {
        let form = form();
        let lit_by = LitBy::Poses { figure: 0, poses: vec![0] };
        let input = Input {
            part: "box",
            source: "its sheet",
            cycles,
            hours,
            contacts: vec![("arm up", &lit_by)],
            form: &form,
        };
        work(&input).remove(0)
    }

    /// 60 closings a minute are 3600 an hour: 100 000 are passed in 28 h, not in 27.
    #[test]
    fn a_blinking_contact_wears_out_and_a_shorter_season_cures_it() {
        let worn = found(28.0, Some(100_000));
        assert_eq!(worn.severity, Severity::Caution);
        assert!(
            worn.verdict.contains("101 000 times") && worn.verdict.contains("500 ms apart"),
            "{}",
            worn.verdict
        );
        assert!(!worn.cures.is_empty() && worn.working.is_some());
        assert_eq!(found(27.0, Some(100_000)).severity, Severity::Note);
        assert_eq!(found(28.0, Some(1_000_000)).severity, Severity::Note);
        assert!(found(28.0, None).verdict.contains("not known"));
    }
}
