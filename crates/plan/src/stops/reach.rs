//! How far each stop has come: whether anything was worked out for it, and the codes of faults that left something out.

use crate::Plan;
use display::Display;

/// How far a stop has come.
pub(super) struct Reach {
    /// Whether anything is worked out.
    pub(super) done: bool,
    /// The codes of the faults that left something out.
    pub(super) left_out: Vec<String>,
}

/// How far this stop has come.
pub(super) fn reach(plan: &Plan, display: &Display, name: &str) -> Reach {
    let done = match name {
        "idea" | "try" | "program" => !display.form.machines.is_empty() && !plan.channels.is_empty(),
        "draw" => plan.panels.iter().any(|panel| !panel.bunches.is_empty()),
        "drill" | "string" => plan.panels.iter().any(|panel| !panel.holes.is_empty()),
        "hang" => !plan.spans.is_empty(),
        "digits" => !plan.digits.is_empty(),
        "switch" => display.driver_board.is_some() && !plan.channels.is_empty(),
        "wire" => display.controller.is_some() && !plan.channels.is_empty(),
        "power" => display.supply.is_some() && !plan.channels.is_empty(),
        "shelter" => !plan.enclosures.is_empty(),
        "buy" => !plan.parts.is_empty() && !plan.channels.is_empty(),
        "put up" | "take down" => !plan.put_up.is_empty(),
        "run" => plan.season.is_some(),
        _ => false,
    };
    let done = done || (name == "idea" && !display.form.machines.is_empty());
    Reach { done, left_out: troubles(display, name) }
}

/// The codes of the faults in what a stop is worked out from.
pub(crate) fn troubles(display: &Display, name: &str) -> Vec<String> {
    let mut codes: Vec<String> =
        needs(name).iter().flat_map(|key| display.trouble_with(key)).map(str::to_owned).collect();
    codes.sort_unstable();
    codes.dedup();
    codes
}

/// What a stop is worked out from, by the keys of the description.
fn needs(name: &str) -> &'static [&'static str] {
    match name {
        "idea" => &["display", "rules"],
        "draw" => &["display", "figure", "panel", "place"],
        "drill" | "string" => &["display", "figure", "panel", "place", "shelf"],
        "hang" => &["display", "span", "post", "object", "shelf"],
        "digits" => &["display", "digits", "shelf"],
        "run" => &["display", "place"],
        "put up" | "take down" => {
            &["display", "figure", "panel", "span", "post", "object", "digits", "place"]
        }
        "program" | "try" => &[
            "display",
            "rules",
            "figure",
            "panel",
            "span",
            "post",
            "object",
            "digits",
            "button",
            "controller",
        ],
        _ => &[
            "display",
            "figure",
            "panel",
            "span",
            "post",
            "object",
            "digits",
            "button",
            "circuit",
            "supply",
            "switch-box",
            "driver-board",
            "register-board",
            "controller",
            "shelf",
        ],
    }
}
