//! Reading all files of a display at once.

use crate::build::{Building, Offering, mains};
use crate::fetch::{MISSING, fetch};
use crate::keys::{DISPLAY, UNITS_RULE};
use crate::model::Display;
use crate::trouble::troubles;
use finding::{Fault, Origin};
use parts::reader::{self, Entry, Values};
use rules::form::Form;
use rules::interface::Interface;
use source::{Files, Text};

/// The name of the description.
pub const DESCRIPTION: &str = "display.toml";
/// The name of the builder's shelf, which need not be there.
pub const SHELF: &str = "parts.toml";

/// Reads a display: as much of it as can be read, every fault of every file, and the texts that places point into. There is
/// none only where the description itself cannot be had or has slips in its spelling.
pub fn read(files: &dyn Files) -> (Option<Display>, Vec<Fault>, Vec<Text>) {
    let description = match fetch(files, DESCRIPTION, None) {
        Ok(text) => text,
        Err(fault) => return (None, vec![*fault], Vec::new()),
    };
    let (values, mut faults) = reader::read(&description, &DISPLAY, |_| false);
    let mut texts = vec![description];
    let own = own_parts(files, &mut faults);
    let (shelf, shelf_faults) = parts::shelf(own.as_ref());
    texts.extend(own);

    let mut building = Building::new(files, shelf, texts);
    let figures = building.figures(&values);
    let panels = building.panels(&values, &figures);
    let posts = building.posts(&values);
    let objects = building.objects(&values);
    let spans = building.spans(&values, &posts, &objects);
    let digits = building.digits(&values);
    let buttons = building.buttons(&values);
    let site = building.site(&values);
    let circuits = mains::circuits(&values);
    let (switch_box, register_board) = building.switching(&values);
    let supply_circuit = building.feeds(&values, &circuits, &panels);
    let (nearest, farthest) = building.viewers(&values);
    let (supply, driver_board, controller) = building.electrics(&values);
    let first_boards = building.first_boards(&values);
    let offering = Offering { buttons: &buttons, spans: &spans, objects: &objects, digits: &digits };
    let mut interface = building.interface(&values, &offering);
    faults.append(&mut building.faults);
    faults.sort_by_key(|fault| fault.place.as_ref().map(|place| place.start));
    faults.extend(shelf_faults);
    faults.append(&mut building.drawing_faults);

    interface.whole &= !faults.iter().any(may_hide_names);
    let mut texts = building.texts;
    let (form, rules) = read_rules(files, &values, &interface, &mut texts, &mut faults);
    if faults.iter().any(|fault| fault.code == "toml/syntax" && of_description(fault)) {
        return (None, faults, texts);
    }
    let display = Display {
        title: values.words("title").map(|title| title.value).unwrap_or_default(),
        units: building.units,
        units_origin: values.entry("units").map_or(Origin::Default(UNITS_RULE), Entry::origin),
        nearest,
        farthest,
        figures: figures.into_iter().flatten().collect(),
        panels,
        posts,
        spans,
        objects,
        digits,
        buttons,
        site,
        mains: mains::mains(&values),
        circuits,
        switch_box,
        register_board,
        supply_circuit,
        supply,
        driver_board,
        first_boards,
        controller,
        form,
        interface: interface.names,
        shelf: building.shelf,
        troubles: troubles(&values, &faults, rules.as_deref()),
    };
    (Some(display), faults, texts)
}

/// The builder's own parts, if there are any.
fn own_parts(files: &dyn Files, faults: &mut Vec<Fault>) -> Option<Text> {
    match fetch(files, SHELF, None) {
        Ok(text) => Some(text),
        Err(fault) if fault.code == MISSING => None,
        Err(fault) => {
            faults.push(*fault);
            None
        }
    }
}

/// What the rules may name, and whether something is missing from it because it could not be read.
pub(crate) struct Offered {
    /// The names.
    pub(crate) names: Interface,
    /// Whether all of them are known.
    pub(crate) whole: bool,
}

/// The rules and their file. Where the description has faults itself, only what is wrong whatever the names are is reported.
/// Rules that cannot be had leave a form without machines.
fn read_rules(
    files: &dyn Files,
    values: &Values,
    offered: &Offered,
    texts: &mut Vec<Text>,
    faults: &mut Vec<Fault>,
) -> (Form, Option<String>) {
    let none = || rules::read(&Text::new("", ""), &offered.names).0;
    let Some(entry) = values.entry("rules") else { return (none(), None) };
    let path = entry.words().unwrap_or_default();
    let text = match fetch(files, path, Some(&entry.place)) {
        Ok(text) => text,
        Err(fault) => {
            faults.push(*fault);
            return (none(), None);
        }
    };
    let (form, found) = rules::read(&text, &offered.names);
    faults.extend(found.into_iter().filter(|fault| offered.whole || !about_names(fault)));
    texts.push(text);
    (form, Some(path.to_owned()))
}

/// Whether a fault stands in the description.
fn of_description(fault: &Fault) -> bool {
    fault.place.as_ref().is_some_and(|place| place.file == DESCRIPTION)
}

/// Whether a fault of the description may leave out a figure, a button or a lamp; a wrong height or part cannot.
fn may_hide_names(fault: &Fault) -> bool {
    of_description(fault) && !fault.code.starts_with("quantity/") && !fault.code.starts_with("part/")
}

/// Whether a fault of the rules may come from a name that the description lacks only because of its own faults.
fn about_names(fault: &Fault) -> bool {
    !fault.stops() || fault.code.starts_with("rules/unknown-") || fault.code.starts_with("rules/which-")
}
