//! The plan as data without what a danger withholds: what is refused on paper is refused to scripts and to the page too.
//!
//! Shapes stay, so that whoever reads a plan reads this one: lists are empty, numbers and names that would be followed are
//! null or empty. What only explains (verdicts, workings, what was written) stays, and so does what a game needs to be
//! played on the page.

use finding::Sheet;
use plan::Plan;
use serde_json::{Map, Value, json};

/// The plan as JSON, as far as it may be followed.
pub(crate) fn followable(plan: &Plan) -> Result<Value, serde_json::Error> {
    let mut value = serde_json::to_value(plan)?;
    for (sheet, blank) in BLANKS {
        if plan.withholds(*sheet) {
            blank(&mut value);
        }
    }
    Ok(value)
}

/// Takes out of a plan what must not be followed.
type Blank = fn(&mut Value);

/// What goes with each sheet.
const BLANKS: &[(Sheet, Blank)] = &[
    (Sheet::Panel, drilled),
    (Sheet::Templates, drilled),
    (Sheet::Threading, threaded),
    (Sheet::Hanging, hung),
    (Sheet::PutUp, stood),
    (Sheet::Wiring, wired),
];

/// Everything below a place; `*` is each of a list.
fn each(value: &mut Value, way: &[&str], change: &mut dyn FnMut(&mut Map<String, Value>)) {
    match (way.split_first(), value) {
        (None, Value::Object(fields)) => change(fields),
        (Some((&"*", rest)), Value::Array(all)) => all.iter_mut().for_each(|one| each(one, rest, change)),
        (Some((key, rest)), Value::Object(fields)) => {
            if let Some(inner) = fields.get_mut(*key) {
                each(inner, rest, change);
            }
        }
        _ => {}
    }
}

/// Makes fields of every object at a place nothing: lists empty, words empty, everything else null.
fn empty(value: &mut Value, way: &[&str], keys: &[&str]) {
    each(value, way, &mut |fields| {
        for key in keys {
            if let Some(field) = fields.get_mut(*key) {
                *field = match field {
                    Value::Array(_) => json!([]),
                    Value::String(_) => json!(""),
                    _ => Value::Null,
                };
            }
        }
    });
}

/// Where to drill. Bunches keep their lines: they are the drawing.
fn drilled(plan: &mut Value) {
    empty(plan, &["panels", "*"], &["holes", "pieces"]);
}

/// In which order to thread. Strands keep name, kind and colour: that is what is bought.
fn threaded(plan: &mut Value) {
    let order = ["hops", "first_hole", "last_hole", "spare", "longest_hop_mm", "reach_mm"];
    empty(plan, &["panels", "*", "strands", "*"], &order);
}

/// What to cut and where to tie.
fn hung(plan: &mut Value) {
    empty(plan, &["spans", "*"], &["cut_mm", "rope_mm", "sag_mm"]);
    empty(plan, &["spans", "*", "hung", "*"], &["hangers"]);
}

/// How to put it up, and when to take it down again.
fn stood(plan: &mut Value) {
    empty(plan, &[], &["put_up"]);
    empty(plan, &["stands", "*"], &["guys", "ballast_kg", "lay_flat_m_s"]);
}

/// What to join with what, and what to plug in where.
fn wired(plan: &mut Value) {
    empty(plan, &[], &["cables", "circuits", "switch_boxes", "signal_paths", "rig", "trials", "watch"]);
    empty(plan, &["controller"], &["pins"]);
    empty(plan, &["buttons", "*"], &["pin", "port"]);
    empty(plan, &["channels", "*"], &["outlet"]);
    empty(plan, &["digits", "*"], &["resistor_ohm", "leds_in_series", "rows"]);
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

    use super::*;
    use source::MemoryFiles;

    /// The club passing, which has something on every sheet.
    fn clubs() -> Plan {
        let files = MemoryFiles::default()
            .with("display.toml", include_str!("../../../displays/club-passing/display.toml"))
            .with("parts.toml", include_str!("../../../displays/club-passing/parts.toml"))
            .with("club-passing.rules", include_str!("../../../displays/club-passing/club-passing.rules"))
            .with("art/juggler.svg", include_str!("../../../displays/club-passing/art/juggler.svg"))
            .with("art/club.svg", include_str!("../../../displays/club-passing/art/club.svg"));
        plan::plan(&display::read(&files).0.unwrap())
    }

    /// Whether there is nothing at a place: no list with something in it, no number, no word.
    fn nothing(value: &Value, way: &str) -> bool {
        let blank = |value: &Value| match value {
            Value::Array(all) => all.is_empty(),
            Value::String(words) => words.is_empty(),
            other => other.is_null(),
        };
        let mut here = vec![value];
        for key in way.split('/') {
            here = here
                .into_iter()
                .flat_map(|value| match key {
                    "*" => value.as_array().unwrap().iter().collect(),
                    _ => vec![value.get(key).unwrap_or_else(|| std::panic::panic_any(key.to_owned()))],
                })
                .collect();
        }
        assert!(!here.is_empty() || way.contains('*'), "{way}");
        here.into_iter().all(blank)
    }

    /// What stands on each sheet of the book, by its place in the plan.
    const ON_SHEETS: &[(Sheet, &[&str])] = &[
        (Sheet::Panel, &["panels/*/holes"]),
        (Sheet::Templates, &["panels/*/holes"]),
        (Sheet::Threading, &["panels/*/strands/*/hops", "panels/*/strands/*/first_hole"]),
        (Sheet::Hanging, &["spans/*/cut_mm", "spans/*/rope_mm", "spans/*/hung/*/hangers"]),
        (Sheet::PutUp, &["put_up", "stands/*/guys", "stands/*/lay_flat_m_s", "stands/*/ballast_kg"]),
        (
            Sheet::Wiring,
            &[
                "cables",
                "watch",
                "controller/pins",
                "circuits",
                "switch_boxes",
                "signal_paths",
                "rig",
                "trials",
                "buttons/*/pin",
                "channels/*/outlet",
            ],
        ),
    ];

    #[test]
    fn what_a_danger_withholds_is_not_in_the_data_and_nothing_else_is_missing() {
        let whole = clubs();
        assert_eq!(whole.withheld, []);
        assert_eq!(followable(&whole).unwrap(), serde_json::to_value(&whole).unwrap());
        for (sheet, places) in ON_SHEETS {
            let mut plan = whole.clone();
            plan.withheld = vec![*sheet];
            let said = followable(&plan).unwrap();
            for (other, ways) in ON_SHEETS {
                for way in *ways {
                    let gone = places.contains(way);
                    assert_eq!(nothing(&said, way), gone, "{way} of {other:?}, withheld: {sheet:?}");
                }
            }
        }
    }

    #[test]
    fn every_sheet_that_has_data_is_looked_after() {
        let sheets: Vec<Sheet> = BLANKS.iter().map(|(sheet, _)| *sheet).collect();
        // The program is no data of the plan: its files are not written.
        let all =
            [Sheet::Panel, Sheet::Threading, Sheet::Templates, Sheet::Hanging, Sheet::PutUp, Sheet::Wiring];
        assert!(all.iter().all(|sheet| sheets.contains(sheet)));
    }
}
