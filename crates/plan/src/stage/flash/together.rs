//! All figures together: how often the picture may change in any second within one field of view, whoever presses when.
//!
//! The bound is static: every way out of a state is taken as soon as its timer allows, presses and messages at once. It is
//! held against three flashes a second where the light that changes fills more of a ten-degree field than 0.006 sr.

use super::ticks;
use crate::note::{Also, finding, value, working};
use finding::{Finding, Origin, Severity};
use reckoning::flash::{FIELD_DEGREES, MOST_FLASHES, MOST_SR, solid_angle};
use rules::form::{Form, Machine};
use serde::Serialize;

/// A figure on its panel, as far as flashing goes.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Figure {
    pub(crate) name: String,
    /// By position in the machine form.
    pub(crate) figure: usize,
    /// Its left and right edge in the yard.
    pub(crate) across_mm: [f64; 2],
    /// The most light that changes between two of its poses: lines as wide as their holes are apart.
    pub(crate) changes_mm2: f64,
}

/// What the stage takes.
#[derive(Serialize)]
pub(crate) struct Input<'a> {
    pub(crate) form: &'a Form,
    pub(crate) figures: Vec<Figure>,
    pub(crate) nearest_mm: f64,
    pub(crate) farthest_mm: f64,
}

/// Distances from nearest to farthest that are looked from.
const DISTANCES: u32 = 24;

/// What is seen at once.
struct Field<'a> {
    distance_mm: f64,
    sr: f64,
    changes: u32,
    figures: Vec<&'a str>,
}

pub(crate) fn work(input: &Input<'_>) -> Option<Finding> {
    let counted: Vec<(&Figure, u32)> =
        input.figures.iter().map(|figure| (figure, changes(input.form, figure.figure))).collect();
    let fields = fields(input, &counted);
    let worst = fields.iter().max_by(|a, b| a.changes.cmp(&b.changes).then(a.sr.total_cmp(&b.sr)))?;
    if worst.changes < 2 {
        return None;
    }
    // Twins far apart are alike: each is told, once.
    let mut groups: Vec<&Vec<&str>> = Vec::new();
    for field in fields.iter().filter(|field| field.changes == worst.changes) {
        if !groups.contains(&&field.figures) {
            groups.push(&field.figures);
        }
    }
    Some(told(worst, &groups))
}

/// Every field of view, from every distance and with every figure at its edge, in which the changing light counts.
fn fields<'a>(input: &Input<'_>, counted: &[(&'a Figure, u32)]) -> Vec<Field<'a>> {
    let mut fields = Vec::new();
    for number in 0..=DISTANCES {
        let share = f64::from(number) / f64::from(DISTANCES);
        let distance_mm = input.nearest_mm + share * (input.farthest_mm - input.nearest_mm);
        let width_mm = 2.0 * distance_mm * libm::tan((FIELD_DEGREES / 2.0).to_radians());
        for (first, _) in counted {
            let from = first.across_mm[1];
            let seen: Vec<&(&Figure, u32)> = counted
                .iter()
                .filter(|(figure, _)| figure.across_mm[1] >= from && figure.across_mm[0] <= from + width_mm)
                .collect();
            let area: f64 = seen.iter().map(|(figure, _)| figure.changes_mm2).sum();
            let sr = solid_angle(area, distance_mm);
            if sr > MOST_SR {
                fields.push(Field {
                    distance_mm,
                    sr,
                    changes: seen.iter().map(|(_, changes)| changes).sum(),
                    figures: seen.iter().map(|(figure, _)| figure.name.as_str()).collect(),
                });
            }
        }
    }
    fields
}

/// The most changes of a figure's picture in any second, both ends counted: of all machines that show it, together.
fn changes(form: &Form, figure: usize) -> u32 {
    let second = 1000_u32.checked_div(form.tick_ms).unwrap_or(1);
    form.machines.iter().map(|machine| most(machine, figure, second)).sum()
}

/// The most changes that one machine makes in so many ticks.
fn most(machine: &Machine, figure: usize, second: u32) -> u32 {
    let picture = |state: usize| {
        let shows = machine.states.get(state)?.pose.as_ref()?;
        (shows.figure == figure).then_some(shows.pose)
    };
    // `left[t][s]`: the most changes from having just entered s, with t ticks left.
    let mut left: Vec<Vec<u32>> = Vec::new();
    let ways: Vec<Vec<(usize, usize)>> = machine
        .states
        .iter()
        .map(|state| {
            let ways = state.transitions.iter();
            ways.filter_map(|way| Some((way.go?, usize::try_from(ticks(state, way)).ok()?.max(1)))).collect()
        })
        .collect();
    for ticks in 0..=usize::try_from(second).unwrap_or(0) {
        let row = (0..machine.states.len())
            .map(|state| {
                let after = ways[state].iter().filter(|(_, cost)| *cost <= ticks).map(|(to, cost)| {
                    let further = left.get(ticks - cost).and_then(|row| row.get(*to)).copied().unwrap_or(0);
                    further + u32::from(picture(state) != picture(*to))
                });
                after.max().unwrap_or(0)
            })
            .collect();
        left.push(row);
    }
    // The second begins with a change, whatever came before it.
    let last = left.last();
    let begin =
        ways.iter().enumerate().flat_map(|(state, ways)| ways.iter().map(move |(to, _)| (state, *to)));
    begin
        .filter(|(state, to)| picture(*state) != picture(*to))
        .map(|(_, to)| 1 + last.and_then(|row| row.get(to)).copied().unwrap_or(0))
        .max()
        .unwrap_or(0)
}

fn told(field: &Field<'_>, groups: &[&Vec<&str>]) -> Finding {
    let flashes = field.changes / 2;
    let within = f64::from(flashes) <= MOST_FLASHES;
    let names = groups.iter().map(|names| names.join(" with ")).collect::<Vec<_>>().join(" or ");
    let mut concerns: Vec<&str> = Vec::new();
    for name in groups.iter().flat_map(|names| names.iter()) {
        if !concerns.contains(name) {
            concerns.push(name);
        }
    }
    let counts = format!(
        "{} changes, {flashes} {}, in any second within one field of view",
        field.changes,
        if flashes == 1 { "flash" } else { "flashes" }
    );
    let unseen = "Brightness, red light, hung lights, digits and lamps were not looked at";
    let (severity, verdict) = if within {
        (Severity::Note, format!("Whoever presses when, {names} makes at most {counts}. {unseen}"))
    } else {
        (
            Severity::Caution,
            format!(
                "Its timers alone do not keep {names} under three flashes a second: were every press and condition at the worst moment, {counts}. {unseen}"
            ),
        )
    };
    let found = finding("flash/all-together", severity, "program", &concerns, verdict).working(working(
        "flashing-area",
        vec![
            value(
                "changes in a second",
                field.changes.to_string(),
                Origin::Default("the shortest time of every state; presses and messages at once"),
            ),
            value(
                "distance",
                format!("{:.1} m", field.distance_mm / 1000.0),
                Origin::Default("from where most of it fills one field"),
            ),
            value(
                "area",
                format!("{:.4} sr", field.sr),
                Origin::Default("lines that change, as wide as their holes are apart"),
            ),
        ],
        format!("{flashes} flashes/s over {:.4} sr", field.sr),
        Some((
            format!("{MOST_FLASHES} flashes/s over more than {MOST_SR} sr of a {FIELD_DEGREES} degree field"),
            "WCAG 2.3.1, written for screens".into(),
        )),
        None,
    ));
    if within {
        return found;
    }
    found
        .cure("Let every picture stay 200 ms or longer, also before a way that a press opens", None)
        .cure("Let less of the figure change, or stand the viewers farther away", None)
}

#[cfg(test)]
mod tests {
    use super::*;
    use rules::interface::{FigureName, Interface};

    fn form(rules: &str) -> Form {
        let poses = vec!["up".to_owned(), "down".to_owned()];
        let names = Interface {
            figures: ["a", "b"].map(|name| FigureName { name: name.into(), poses: poses.clone() }).into(),
            buttons: vec!["button".into()],
            ..Interface::default()
        };
        let (form, faults) = rules::read(&source::Text::new("a.rules", rules), &names);
        assert_eq!(faults.iter().filter(|fault| fault.stops()).count(), 0, "{faults:?}");
        form
    }

    fn blinks(figure: &str, ms: u32) -> String {
        format!(
            "machine {figure}\n  state up shows {figure} up\n  state down shows {figure} down\n  up after {ms} ms go down\n  down after {ms} ms go up\n\n"
        )
    }

    fn figure(name: &str, figure: usize, at_mm: f64) -> Figure {
        Figure { name: name.into(), figure, across_mm: [at_mm, at_mm + 500.0], changes_mm2: 1e6 }
    }

    fn found(rules: &str, apart_mm: f64) -> Finding {
        let form = form(rules);
        let figures = vec![figure("a", 0, 0.0), figure("b", 1, 500.0 + apart_mm)];
        #[expect(clippy::expect_used, reason = "a test may fail")]
        work(&Input { form: &form, figures, nearest_mm: 3000.0, farthest_mm: 10_000.0 })
            .expect("something is told")
    }

    /// A change every 250 ms is a 2 Hz square wave: five changes in a closed second, two whole flashes. Two such figures
    /// beside each other make ten changes, five flashes, more than the three of WCAG 2.3.1.
    #[test]
    fn two_slow_figures_in_one_field_are_counted_together_and_far_apart_alone() {
        let rules = format!("{}{}", blinks("a", 250), blinks("b", 250));
        let beside = found(&rules, 100.0);
        assert_eq!(beside.severity, Severity::Caution);
        assert!(beside.verdict.contains("10 changes, 5 flashes"), "{}", beside.verdict);
        assert_eq!(beside.concerns, ["a", "b"]);
        // Ten degrees at 10 m are 1.75 m: 20 m apart nobody has both in one field.
        let apart = found(&rules, 20_000.0);
        assert_eq!(apart.severity, Severity::Note);
        assert!(apart.verdict.contains("5 changes, 2 flashes"), "{}", apart.verdict);
    }

    #[test]
    fn presses_count_as_if_they_came_at_once_and_a_pause_cures() {
        let free = "machine a\n  state up shows a up\n  state down shows a down\n  up on press button go down\n  down on press button go up\n";
        assert_eq!(found(free, 20_000.0).severity, Severity::Caution);
        let paused = "machine a\n  state up shows a up\n  state down shows a down\n  up on press button go down\n  down after 400 ms go up\n";
        assert_eq!(found(paused, 20_000.0).severity, Severity::Note);
    }

    /// WCAG 2.x: under 0.006 sr it does not count, however fast.
    #[test]
    fn what_is_small_does_not_count() {
        let form = form(&blinks("a", 20));
        let mut small = figure("a", 0, 0.0);
        small.changes_mm2 = 0.005 * 3000.0 * 3000.0;
        let input = Input { form: &form, figures: vec![small], nearest_mm: 3000.0, farthest_mm: 9000.0 };
        assert!(work(&input).is_none());
    }
}
