//! Switch: how often the contacts of a box switch in a season, against how often they may.
//!
//! The rules are played for a while, once left alone and once with every button pressed steadily; the busier of the two
//! stands for every minute of the season. That is an estimate, and the finding says so.

pub(crate) mod play;

use crate::note::{Also, finding, rating, used, value, working};
use finding::{Finding, Origin, Severity};
use play::{Count, MINUTES};
use reckoning::switching::contact_cycles;
use serde::Serialize;

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
    /// The channels that the contacts switch.
    pub(crate) contacts: Vec<&'a str>,
    /// What the plays came to for each contact.
    pub(crate) counts: &'a [Count],
    pub(crate) tick_ms: u32,
}

pub(crate) fn work(input: &Input<'_>) -> Vec<Finding> {
    let counted = input.contacts.iter().zip(input.counts);
    let Some((name, count)) = counted.max_by_key(|(_, count)| count.closed) else { return Vec::new() };
    if count.closed == 0 {
        return Vec::new();
    }
    vec![told(input, name, *count)]
}

fn told(input: &Input<'_>, name: &str, count: Count) -> Finding {
    let a_minute = f64::from(count.closed) / MINUTES;
    let season = contact_cycles(input.hours, a_minute);
    let shortest = count.shortest.map_or(String::new(), |ticks| {
        format!(", at the shortest {} ms apart", u64::from(ticks) * u64::from(input.tick_ms))
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
    use crate::LitBy;
    use rules::form::Form;
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
        let counts = play::work(&play::Input { contacts: vec![&lit_by], form: &form });
        let input = Input {
            part: "box",
            source: "its sheet",
            cycles,
            hours,
            contacts: vec!["arm up"],
            counts: &counts,
            tick_ms: form.tick_ms,
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
