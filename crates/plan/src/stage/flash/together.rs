//! Everything together: how often light may change in any second within one field of view, whoever presses when.
//!
//! How often each figure, spot and digits can change is counted in the rules ([`super::counts`]); what each of them adds is
//! weighed by the share of the field that it can change ([`super::field`]).

use super::counts::Effort;
use super::field::{self, Field, Light, changes_together};
use crate::note::{Also, finding, value, working};
use crate::{FieldShare, FlashField, Flashes};
use finding::{Finding, Origin, Severity};
use reckoning::flash::{CHANGES_ALLOWED, FIELD_DEGREES, MOST_FLASHES, MOST_SR};
use serde::Serialize;

/// Something that is lit, as far as flashing goes.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Lit {
    pub(crate) name: String,
    pub(crate) of: Flashes,
    pub(crate) light: Light,
}

/// What is lit, and from where it is seen.
#[derive(Serialize)]
pub(crate) struct Sight {
    pub(crate) lit: Vec<Lit>,
    pub(crate) nearest_mm: f64,
    pub(crate) farthest_mm: f64,
}

/// Everything that can be seen at once.
pub(crate) fn fields(sight: &Sight) -> Vec<Field> {
    let lights: Vec<Light> = sight.lit.iter().map(|lit| lit.light.clone()).collect();
    field::fields(&lights, sight.nearest_mm, sight.farthest_mm)
}

/// How often something can change in a second, found out with so much effort; none where it cannot be told.
pub(crate) type Most<'m> = &'m mut dyn FnMut(&Lit, Effort) -> Option<u32>;

/// What it comes to together.
#[derive(Clone, Debug, Default)]
pub(crate) struct Together {
    /// The fields of view that the program has to keep an eye on.
    pub(crate) fields: Vec<FlashField>,
    pub(crate) finding: Option<Finding>,
}

/// A flash is a pair of opposing changes.
const CHANGES: f64 = 2.0;
/// Fields that a controller can keep an eye on.
const MOST_FIELDS: usize = 12;
/// A share is told to the program in so many parts.
const PARTS: f64 = 64.0;

/// `tick_ms`: of the rules, which `most` counts in.
pub(crate) fn together(lit: &[Lit], fields: &[Field], tick_ms: u32, most: Most<'_>) -> Together {
    let counts = Counts::of(lit, fields, tick_ms, most);
    let worst = fields
        .iter()
        .map(|field| (counts.together(field), field))
        .max_by(|a, b| a.0.cmp(&b.0).then(total(a.1).total_cmp(&total(b.1))));
    Together {
        fields: watched(lit, fields),
        finding: worst.and_then(|(changes, field)| {
            let alike: Vec<&Field> = fields.iter().filter(|one| counts.together(one) == changes).collect();
            told(lit, &counts, (field, &alike), changes)
        }),
    }
}

/// The lights that are seen in a field.
fn seen(field: &Field) -> Vec<usize> {
    (0..field.shares.len()).filter(|at| field.shares[*at] > 0.0).collect()
}

/// What is seen together in any of these fields, where it is not seen with less in another.
fn groups(fields: &[&Field]) -> Vec<Vec<usize>> {
    let all: Vec<Vec<usize>> = fields.iter().map(|field| seen(field)).collect();
    let holds = |one: &[usize], other: &[usize]| other.iter().all(|at| one.contains(at));
    let mut least: Vec<Vec<usize>> = all
        .iter()
        .filter(|one| !all.iter().any(|other| other.len() < one.len() && holds(one, other)))
        .cloned()
        .collect();
    least.sort();
    least.dedup();
    least
}

fn total(field: &Field) -> f64 {
    field.shares.iter().sum()
}

/// How often each light can change, as far as it had to be found out.
struct Counts {
    most: Vec<u32>,
    /// Whether no count could be given, so that it may change in every tick.
    unknown: Vec<bool>,
}

impl Counts {
    /// Counts roughly at first; more closely what matters in the worst field, until that is within the limit or no closer
    /// count is to be had.
    fn of(lit: &[Lit], fields: &[Field], tick_ms: u32, most: Most<'_>) -> Self {
        let often = 1000_u32.div_ceil(tick_ms.max(1));
        let enough = CHANGES_ALLOWED;
        let efforts = [Effort::Alone, Effort::Beside(enough), Effort::Together(enough)];
        let mut spent = vec![0; lit.len()];
        let mut counts = Self { most: vec![0; lit.len()], unknown: vec![false; lit.len()] };
        for (at, one) in lit.iter().enumerate() {
            counts.note(at, most(one, efforts[0]), often);
        }
        while let Some(field) = fields.iter().max_by_key(|field| counts.together(field)) {
            if counts.together(field) <= enough {
                break;
            }
            let closer = |at: &usize| spent[*at] + 1 < efforts.len() && field.shares[*at] > 0.0;
            let adds = |at: usize| f64::from(counts.most[at]) * field.shares[at];
            let Some(at) = (0..lit.len()).filter(closer).max_by(|a, b| adds(*a).total_cmp(&adds(*b))) else {
                break;
            };
            spent[at] += 1;
            counts.note(at, most(&lit[at], efforts[spent[at]]), often);
        }
        counts
    }

    fn note(&mut self, at: usize, most: Option<u32>, often: u32) {
        self.unknown[at] = most.is_none();
        self.most[at] = most.unwrap_or(often).min(often);
    }

    fn together(&self, field: &Field) -> u32 {
        changes_together(&self.most, &field.shares)
    }
}

/// The fields in which lights that each keep to three flashes could make more of them together, fewest and largest.
fn watched(lit: &[Lit], fields: &[Field]) -> Vec<FlashField> {
    let six = MOST_FLASHES * CHANGES;
    let rounded = |field: &Field| -> Field {
        let shares = field.shares.iter().map(|share| libm::ceil(share * PARTS - 1e-9) / PARTS).collect();
        Field { distance_mm: field.distance_mm, shares }
    };
    let mut kept: Vec<Field> = Vec::new();
    for field in fields.iter().map(rounded).filter(|field| total(field) * six >= six + 1.0) {
        let holds = |one: &Field, other: &Field| one.shares.iter().zip(&other.shares).all(|(a, b)| a >= b);
        if !kept.iter().any(|known| holds(known, &field)) {
            kept.retain(|known| !holds(&field, known));
            kept.push(field);
        }
    }
    // Where there are too many, the two that differ least become one that holds both.
    while kept.len() > MOST_FIELDS {
        let gap = |one: &Field, other: &Field| -> f64 {
            one.shares.iter().zip(&other.shares).map(|(a, b)| (a - b).abs()).sum()
        };
        let pairs = (0..kept.len()).flat_map(|a| (a + 1..kept.len()).map(move |b| (a, b)));
        let Some((a, b)) =
            pairs.min_by(|x, y| gap(&kept[x.0], &kept[x.1]).total_cmp(&gap(&kept[y.0], &kept[y.1])))
        else {
            break;
        };
        let other = kept.remove(b);
        for (share, more) in kept[a].shares.iter_mut().zip(other.shares) {
            *share = share.max(more);
        }
    }
    let share = |(lit, share): (&Lit, &f64)| FieldShare { of: lit.of, share: *share };
    let told = |field: &Field| FlashField {
        distance_mm: field.distance_mm,
        shares: lit.iter().zip(&field.shares).filter(|(_, share)| **share > 0.0).map(share).collect(),
    };
    kept.iter().map(told).collect()
}

/// What the fields of view come to.
fn told(lit: &[Lit], counts: &Counts, (field, alike): (&Field, &[&Field]), changes: u32) -> Option<Finding> {
    let groups = groups(alike);
    let name = |at: &usize| lit[*at].name.as_str();
    let said: Vec<String> =
        groups.iter().map(|group| group.iter().map(name).collect::<Vec<_>>().join(" with ")).collect();
    let said = said.join(" or ");
    let mut names: Vec<&str> = groups.iter().flatten().map(name).collect();
    names.sort_unstable();
    names.dedup();
    let seen = seen(field);
    if changes < 2 || names.is_empty() {
        return None;
    }
    let within = changes <= CHANGES_ALLOWED;
    let flashes = changes / 2;
    let unknown: Vec<&str> =
        seen.iter().filter(|at| counts.unknown[**at]).map(|at| lit[*at].name.as_str()).collect();
    let looked = "Figures, hung lights, lamps and digits were looked at, each weighed by its lit area; brightness, saturated red and lights that the rules do not drive were not";
    let verdict = if within {
        format!(
            "Whoever presses when, at most {flashes} {} in any second within one field of view, by {said}. {looked}",
            if flashes == 1 { "flash" } else { "flashes" },
        )
    } else {
        let bound = if unknown.is_empty() {
            String::new()
        } else {
            format!(" How often {} can change is not told by the rules' states", unknown.join(", ")) + "."
        };
        format!(
            "The rules alone do not keep {said} under four flashes a second: up to {flashes} were every press and condition at the worst moment. The program's limits hold them back then, and the picture lags.{bound} {looked}"
        )
    };
    let mut values = vec![
        value(
            "distance",
            format!("{:.1} m", field.distance_mm / 1000.0),
            Origin::Default("from where most of it fills one field"),
        ),
        value(
            "changes that fill what counts",
            changes.to_string(),
            Origin::Default("the greatest number for which the lights below have changes enough"),
        ),
    ];
    for at in seen {
        values.push(value(
            &lit[at].name,
            format!(
                "{} changes a second, {:.0} % of what counts each",
                counts.most[at],
                field.shares[at] * 100.0
            ),
            Origin::Default(
                "its states, timers and the presses they share; lines and lamps as wide as they are apart",
            ),
        ));
    }
    let severity = if within { Severity::Note } else { Severity::Caution };
    let found = finding("flash/all-together", severity, "program", &names, verdict).working(working(
        "flashing-area",
        values,
        format!("{flashes} flashes/s"),
        Some((
            format!("{MOST_FLASHES} flashes/s over more than {MOST_SR} sr of a {FIELD_DEGREES} degree field"),
            "WCAG 2.3.1, general flash threshold, written for screens".into(),
        )),
        None,
    ));
    if within {
        return Some(found);
    }
    Some(
        found
            .cure("Let every picture stay 200 ms or longer, also before a way that a press opens", None)
            .cure("Let less of it change, or stand the viewers farther away", None),
    )
}
