//! The one view of the plan that the book's sources read: everything already worked out and put in words.

mod figures;
mod formulas;
mod outdoors;
mod power;
mod results;
mod wiring;
mod work;

use crate::{Beside, drawing, play, say};
use finding::Sheet;
use plan::Plan;
use quantity::Units;
use rules::form::Form;
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// What every page says that somebody may be hurt by.
const DECIDE: &str = "Local codes and licensed practice decide; where they differ from this page, they win.";

/// Room for drawings across, between the margins of the narrower paper (A4).
const ACROSS_MM: f64 = 176.0;

/// The same on a page laid on its side, of the shorter paper (letter).
const LYING_MM: f64 = 243.0;

/// The view for `book.typ`.
pub(crate) fn book(plan: &Plan, form: &Form, beside: &Beside) -> Value {
    json!({
        "title": plan.title,
        "paper": if plan.units == Units::Inches { "us-letter" } else { "a4" },
        "decide": DECIDE,
        "say": plan::cautions::ALL.iter().copied().collect::<BTreeMap<_, _>>(),
        "yard": drawing::yard(plan, [ACROSS_MM, 105.0], 10.0),
        "from_above": drawing::from_above(plan, [ACROSS_MM, 90.0], 14.0),
        "seen": format!(
            "to be read from {} to {} away",
            say::length(plan.nearest_mm, plan.units),
            say::length(plan.farthest_mm, plan.units)
        ),
        "stops": plan.stops.iter().map(|stop| results::stop(plan, stop)).collect::<Vec<_>>(),
        "mains": plan.channels.iter().any(|channel| channel.voltage_v >= reckoning::supply::MAINS_FROM_V) || !plan.circuits.is_empty(),
        "panel": or_withheld(plan, Sheet::Panel, || figures::panels(plan)),
        "threading": or_withheld(plan, Sheet::Threading, || figures::threads(plan)),
        "templates": or_withheld(plan, Sheet::Templates, || json!(null)),
        "hanging": or_withheld(plan, Sheet::Hanging, || outdoors::hanging(plan)),
        "digits": or_withheld(plan, Sheet::Wiring, || power::digits(plan)),
        "wiring": or_withheld(plan, Sheet::Wiring, || wiring::view(plan, form)),
        "power": or_withheld(plan, Sheet::Wiring, || power::circuits(plan)),
        "firmware": or_withheld(plan, Sheet::Firmware, || json!(null)),
        "shelter": work::shelter(plan),
        "try": or_withheld(plan, Sheet::Wiring, || work::tried(plan)),
        "by_hand": or_withheld(plan, Sheet::Firmware, || play::by_hand(form, beside)),
        "play": play::view(form, beside),
        "put_up": or_withheld(plan, Sheet::PutUp, || outdoors::put_up(plan)),
        "season": outdoors::season(plan),
        "parts": work::parts(plan),
        "checks": results::by_stage(plan),
        "findings": results::findings(plan),
        "formulas": formulas::relied_on(plan),
    })
}

/// A part of the book, or why it is withheld.
fn or_withheld(plan: &Plan, sheet: Sheet, shown: impl FnOnce() -> Value) -> Value {
    if plan.withholds(sheet) {
        json!({ "withheld": results::why(plan, sheet), "name": sheet.title(), "shown": null })
    } else {
        json!({ "withheld": null, "name": sheet.title(), "shown": shown() })
    }
}
