//! Reading all files of a display at once.

use crate::build::{Building, Offering, mains};
use crate::fetch::{MISSING, fetch};
use crate::keys::DISPLAY;
use crate::model::Display;
use finding::Fault;
use parts::reader::{self, Values};
use rules::form::Form;
use rules::interface::Interface;
use source::{Files, Text};

/// The name of the description.
pub const DESCRIPTION: &str = "display.toml";
/// The name of the builder's shelf, which need not be there.
pub const SHELF: &str = "parts.toml";

/// Reads a display: the display if nothing stops it, every fault of every file, and the texts that places point into.
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
    let supply_circuit = building.feeds(&values, &circuits, &panels);
    let (nearest, farthest) = building.viewers(&values);
    let (supply, driver_board, controller) = building.electrics(&values);
    let offering = Offering { buttons: &buttons, spans: &spans, objects: &objects, digits: &digits };
    let mut interface = building.interface(&values, &offering);
    faults.append(&mut building.faults);
    faults.sort_by_key(|fault| fault.place.as_ref().map(|place| place.start));
    faults.extend(shelf_faults);
    faults.append(&mut building.drawing_faults);

    interface.whole &= !faults.iter().any(may_hide_names);
    let mut texts = building.texts;
    let form = read_rules(files, &values, &interface, &mut texts, &mut faults);
    if faults.iter().any(Fault::stops) {
        return (None, faults, texts);
    }
    let display = (|| {
        Some(Display {
            title: values.words("title")?.value,
            units: building.units,
            nearest: nearest?,
            farthest: farthest?,
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
            switch_box: mains::part_of(&values, "switch-box"),
            register_board: mains::registers(&values),
            supply_circuit,
            supply: supply?,
            driver_board: driver_board?,
            controller: controller?,
            form: form?,
            interface: interface.names,
        })
    })();
    (display, faults, texts)
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

/// The rules. Where the description has faults itself, only what is wrong whatever the names are is reported.
fn read_rules(
    files: &dyn Files,
    values: &Values,
    offered: &Offered,
    texts: &mut Vec<Text>,
    faults: &mut Vec<Fault>,
) -> Option<Form> {
    let entry = values.entry("rules")?;
    let path = entry.words()?;
    let text = match fetch(files, path, Some(&entry.place)) {
        Ok(text) => text,
        Err(fault) => {
            faults.push(*fault);
            return None;
        }
    };
    let (form, found) = rules::read(&text, &offered.names);
    faults.extend(found.into_iter().filter(|fault| offered.whole || !about_names(fault)));
    texts.push(text);
    Some(form)
}

/// Whether a fault of the description may leave out a figure, a button or a lamp; a wrong height or part cannot.
fn may_hide_names(fault: &Fault) -> bool {
    let of_description = fault.place.as_ref().is_some_and(|place| place.file == DESCRIPTION);
    of_description && !fault.code.starts_with("quantity/") && !fault.code.starts_with("part/")
}

/// Whether a fault of the rules may come from a name that the description lacks only because of its own faults.
fn about_names(fault: &Fault) -> bool {
    !fault.stops() || fault.code.starts_with("rules/unknown-") || fault.code.starts_with("rules/which-")
}
