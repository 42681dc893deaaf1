//! From checked values to the description's plain data.

pub(crate) mod mains;
mod yard;

use crate::fetch::fetch;
use crate::keys::{
    BOARD, BOARD_RULE, BUTTON_HEIGHT, BUTTON_RULE, CABLE, CABLE_RULE, CONTROLLER, CONTROLLER_RULE,
    DARK_BUTTON, FARTHEST, LIT_BUTTON, MIRRORED_RULE, NEAREST, PUSH_BUTTON_RULE, VIEWERS_RULE,
};
use crate::model::{Button, Digits, Figure, Object, Panel, Span};
use crate::read::Offered;
use drawing::Drawing;
use finding::{Fault, Known, Origin, suggestion};
use parts::reader::{Entry, Values};
use parts::{Controller, DriverBoard, Shelf, Supply};
use quantity::{Length, Units};
use rules::interface::{DigitsName, FigureName, Interface, SpotName};
use source::{Files, Text};
use std::collections::BTreeMap;

/// A description on its way from values to plain data.
pub(crate) struct Building<'a> {
    files: &'a dyn Files,
    /// All parts there are.
    pub(crate) shelf: Shelf,
    /// All texts read so far.
    pub(crate) texts: Vec<Text>,
    /// What is wrong in the description.
    pub(crate) faults: Vec<Fault>,
    /// What is wrong in the drawings.
    pub(crate) drawing_faults: Vec<Fault>,
    /// What reports print.
    pub(crate) units: Units,
    drawings: BTreeMap<String, Drawing>,
    figures_offered: Vec<FigureName>,
    whole: bool,
}

/// A length that the builder wrote, or the default with its rule: also where what is written cannot be read, which is a
/// fault already, so that the rest can be planned meanwhile.
fn length_or(values: Option<&Values>, key: &str, default: &str, rule: &'static str) -> Known<Length> {
    let written = values.and_then(|values| values.length(key));
    written
        .unwrap_or_else(|| Known::new(quantity::length(default).unwrap_or_default(), Origin::Default(rule)))
}

/// The part that an entry names, or a fault with the nearest name.
fn part<P: Clone>(
    known: &BTreeMap<String, P>,
    entry: &Entry,
    what: &str,
    faults: &mut Vec<Fault>,
) -> Option<Known<P>> {
    let name = entry.words()?;
    if let Some(part) = known.get(name) {
        return Some(Known::new(part.clone(), entry.origin()));
    }
    let message = format!("no {what} is called `{name}`, on the shelf or in the catalogue");
    let fault = Fault::new("part/unknown", Some(entry.place.clone()), message);
    faults.push(fault.maybe_hint(suggestion(name, known.keys().map(String::as_str))));
    None
}

/// A part that may be left out.
fn part_or<P: Clone>(
    known: &BTreeMap<String, P>,
    entry: Option<&Entry>,
    default: &str,
    rule: &'static str,
    what: &str,
    faults: &mut Vec<Fault>,
) -> Option<Known<P>> {
    match entry {
        Some(entry) => part(known, entry, what, faults),
        None => known.get(default).map(|part| Known::new(part.clone(), Origin::Default(rule))),
    }
}

impl<'a> Building<'a> {
    /// Nothing built yet.
    pub(crate) fn new(files: &'a dyn Files, shelf: Shelf, texts: Vec<Text>) -> Self {
        Self {
            files,
            shelf,
            texts,
            faults: Vec::new(),
            drawing_faults: Vec::new(),
            units: Units::default(),
            drawings: BTreeMap::new(),
            figures_offered: Vec::new(),
            whole: true,
        }
    }

    /// The figures in the order of the text; none in the place of one that cannot be drawn.
    pub(crate) fn figures(&mut self, values: &Values) -> Vec<Option<Figure>> {
        if values.words("units").is_some_and(|units| units.value == "mm") {
            self.units = Units::Millimetres;
        }
        values.named("figure").map(|(name, _, values)| self.figure(name, values)).collect()
    }

    /// One figure. It can be drawn as soon as drawing and height are known.
    fn figure(&mut self, name: &str, values: &Values) -> Option<Figure> {
        let drawing = values.entry("drawing").and_then(|entry| self.drawing(entry));
        let listed = values.list("strands").iter();
        let strands: Vec<_> =
            listed.filter_map(|entry| part(&self.shelf.strands, entry, "strand", &mut self.faults)).collect();
        let sheet = values
            .entry("sheet")
            .and_then(|entry| part(&self.shelf.sheets, entry, "sheet", &mut self.faults));
        let drawing = drawing.filter(|drawing| !drawing.poses.is_empty())?;
        Some(Figure { name: name.to_owned(), drawing, height: values.length("height")?, strands, sheet })
    }

    /// The drawing that an entry names; read once even when several figures use it.
    fn drawing(&mut self, entry: &Entry) -> Option<Drawing> {
        let path = entry.words()?;
        if let Some(drawing) = self.drawings.get(path) {
            return Some(drawing.clone());
        }
        let text = match fetch(self.files, path, Some(&entry.place)) {
            Ok(text) => text,
            Err(fault) => {
                self.faults.push(*fault);
                return None;
            }
        };
        let (drawing, mut faults) = drawing::read_svg(&text);
        if drawing.poses.is_empty() && faults.is_empty() {
            let message = format!("{path} shows no pose");
            let fault = Fault::new("figure/no-poses", Some(entry.place.clone()), message);
            self.faults.push(fault.hint("a drawing needs one named group for each pose"));
        }
        self.drawing_faults.append(&mut faults);
        self.texts.push(text);
        self.drawings.insert(path.to_owned(), drawing.clone());
        Some(drawing)
    }

    /// The panels in the order of the text, then one for each figure that no panel names. A panel whose figure cannot be
    /// drawn is left out; the rules may name it all the same.
    pub(crate) fn panels(&mut self, values: &Values, figures: &[Option<Figure>]) -> Vec<Panel> {
        let names: Vec<&str> = values.named("figure").map(|(name, _, _)| name).collect();
        let mut asked: Vec<(&str, usize, Option<&Values>)> = Vec::new();
        for (name, entry, table) in values.named("panel") {
            asked
                .extend(self.figure_of(name, entry, table, &names).map(|figure| (name, figure, Some(table))));
        }
        for (position, &name) in names.iter().enumerate() {
            if !asked.iter().any(|&(_, figure, _)| figure == position) {
                if asked.iter().any(|&(panel, _, _)| panel == name) {
                    self.name_taken(name, values);
                }
                asked.push((name, position, None));
            }
        }
        for &(name, figure, _) in &asked {
            self.offer(name, values, names.get(figure).copied());
        }
        self.whole &= figures.iter().all(Option::is_some) && !names.is_empty();
        // Positions among the figures that can be drawn.
        let drawn = |figure: usize| figures[..figure].iter().flatten().count();
        let whole = asked.into_iter().filter(|&(_, figure, _)| figures[figure].is_some());
        whole.map(|(name, figure, table)| panel(name, drawn(figure), table)).collect()
    }

    /// A figure without a panel of its own, whose name another figure's panel bears.
    fn name_taken(&mut self, name: &str, values: &Values) {
        let place =
            values.table("panel").and_then(|panels| panels.entry(name)).map(|entry| entry.key.clone());
        let message = format!("panel `{name}` carries another figure, so figure `{name}` has no panel");
        self.faults.push(Fault::new("panel/name-taken", place, message).hint("give this panel another name"));
    }

    /// The figure that stands on a panel, by position.
    fn figure_of(&mut self, name: &str, panel: &Entry, values: &Values, names: &[&str]) -> Option<usize> {
        let written = values.entry("figure");
        let wanted = written.and_then(Entry::words).unwrap_or(name);
        let found = names.iter().position(|name| *name == wanted);
        if found.is_none() {
            self.whole = false;
            let place = written.map_or(&panel.key, |entry| &entry.place).clone();
            let fault = Fault::new("figure/unknown", Some(place), format!("no figure is called `{wanted}`"));
            self.faults.push(fault.maybe_hint(suggestion(wanted, names.iter().copied())));
        }
        found
    }

    /// Offers a panel's figure to the rules, under the panel's name.
    fn offer(&mut self, panel: &str, values: &Values, figure: Option<&str>) {
        let path = figure
            .and_then(|figure| values.table("figure")?.entry(figure)?.table()?.entry("drawing")?.words())
            .and_then(|path| self.drawings.get(path));
        let poses: Vec<String> = path
            .map_or_else(Vec::new, |drawing| drawing.poses.iter().map(|pose| pose.name.clone()).collect());
        self.whole &= !poses.is_empty();
        self.figures_offered.push(FigureName { name: panel.to_owned(), poses });
    }

    /// The buttons.
    pub(crate) fn buttons(&mut self, values: &Values) -> Vec<Button> {
        values.named("button").map(|(name, _, values)| self.button(name, values)).collect()
    }

    fn button(&mut self, name: &str, values: &Values) -> Button {
        let lamp = values.flag("lamp").is_some_and(|lamp| lamp.value);
        let usual = if lamp { LIT_BUTTON } else { DARK_BUTTON };
        let (known, entry) = (&self.shelf.push_buttons, values.entry("part"));
        let part = part_or(known, entry, usual, PUSH_BUTTON_RULE, "push-button", &mut self.faults);
        if let (Some(entry), Some(part)) = (entry, &part)
            && lamp
            && part.value.lamp_voltage.is_none()
        {
            let message = format!("{} has no lamp", part.value.name);
            let fault = Fault::new("button/no-lamp", Some(entry.place.clone()), message);
            self.faults.push(fault.hint("take one with a lamp, or write `lamp = false`"));
        }
        Button {
            name: name.to_owned(),
            lamp,
            part,
            at: yard::spot(values),
            lifted: length_or(Some(values), "lifted", BUTTON_HEIGHT, BUTTON_RULE),
            cable: length_or(Some(values), "cable", CABLE, CABLE_RULE),
        }
    }

    /// The nearest and the farthest viewer.
    pub(crate) fn viewers(&mut self, values: &Values) -> (Known<Length>, Known<Length>) {
        let viewers = values.table("place").and_then(|place| place.table("viewers"));
        let nearest = length_or(viewers, "nearest", NEAREST, VIEWERS_RULE);
        let farthest = length_or(viewers, "farthest", FARTHEST, VIEWERS_RULE);
        if nearest.value > farthest.value {
            let entry =
                viewers.and_then(|viewers| viewers.entry("farthest").or_else(|| viewers.entry("nearest")));
            let message = "the farthest viewer stands nearer than the nearest";
            self.faults.push(Fault::new("place/viewers", entry.map(|entry| entry.place.clone()), message));
        }
        (nearest, farthest)
    }

    /// Supply, driver board and controller.
    #[expect(
        clippy::type_complexity,
        reason = "three parts that are looked up together and taken apart at once"
    )]
    pub(crate) fn electrics(
        &mut self,
        values: &Values,
    ) -> (Option<Known<Supply>>, Option<Known<DriverBoard>>, Option<Known<Controller>>) {
        let named = |table: &str| values.table(table).and_then(|table| table.entry("part"));
        let (shelf, faults) = (&self.shelf, &mut self.faults);
        let supply = named("supply").and_then(|entry| part(&shelf.supplies, entry, "supply", faults));
        let board =
            part_or(&shelf.driver_boards, named("driver-board"), BOARD, BOARD_RULE, "driver board", faults);
        let controller = part_or(
            &shelf.controllers,
            named("controller"),
            CONTROLLER,
            CONTROLLER_RULE,
            "controller",
            faults,
        );
        (supply, board, controller)
    }

    /// Boards that come before all others in the chain.
    pub(crate) fn first_boards(&mut self, values: &Values) -> Vec<Known<DriverBoard>> {
        let named = values.table("driver-board").map_or(&[][..], |table| table.list("first"));
        let (shelf, faults) = (&self.shelf, &mut self.faults);
        let boards =
            named.iter().filter_map(|entry| part(&shelf.driver_boards, entry, "driver board", faults));
        boards.collect()
    }

    /// What the rules may name.
    pub(crate) fn interface(&mut self, values: &Values, offering: &Offering<'_>) -> Offered {
        let lamps = offering.buttons.iter().filter(|button| button.lamp);
        let mut spots = self.hung_spots(values, offering);
        spots.extend(lamps.map(|button| SpotName { name: button.name.clone(), count: 1, dims: false }));
        let digits = offering.digits.iter();
        let names = Interface {
            figures: self.figures_offered.clone(),
            buttons: offering.buttons.iter().map(|button| button.name.clone()).collect(),
            spots,
            digits: digits
                .map(|digits| DigitsName { name: digits.name.clone(), count: digits.count.value })
                .collect(),
            sounds: Vec::new(),
        };
        let all = [("button", offering.buttons.len()), ("span", offering.spans.len())];
        let all = all.into_iter().chain([("digits", offering.digits.len())]);
        let every = all.into_iter().all(|(key, read)| values.named(key).count() == read);
        Offered { names, whole: self.whole && every }
    }

    /// The spots that spans offer: one row for each span, under the name of its object.
    fn hung_spots(&mut self, values: &Values, offering: &Offering<'_>) -> Vec<SpotName> {
        let mut spots: Vec<SpotName> = Vec::new();
        for span in offering.spans {
            let Some(object) = offering.objects.get(span.hangs.object) else { continue };
            let lit = offering.buttons.iter().any(|button| button.lamp && button.name == object.name);
            if lit || spots.iter().any(|spot| spot.name == object.name) {
                let hangs = values.table("span").and_then(|spans| spans.table(&span.name)?.table("hangs"));
                let place = hangs.and_then(|hangs| hangs.entry("object")).map(|entry| entry.place.clone());
                let message = format!("`{}` is the name of other lit places already", object.name);
                self.faults.push(Fault::new("object/name-taken", place, message).hint(
                    "the rules name the lights of a span after its object: give this one a name of its own",
                ));
                continue;
            }
            spots.push(SpotName { name: object.name.clone(), count: span.hangs.count.value, dims: false });
        }
        spots
    }
}

/// What the description offers to the rules besides its figures.
pub(crate) struct Offering<'a> {
    /// The buttons.
    pub(crate) buttons: &'a [Button],
    /// The spans.
    pub(crate) spans: &'a [Span],
    /// The objects that hang from them.
    pub(crate) objects: &'a [Object],
    /// The digits.
    pub(crate) digits: &'a [Digits],
}

/// A panel of a name.
fn panel(name: &str, figure: usize, values: Option<&Values>) -> Panel {
    let mirrored = values.and_then(|values| values.flag("mirrored"));
    Panel {
        name: name.to_owned(),
        figure,
        mirrored: mirrored.unwrap_or(Known::new(false, Origin::Default(MIRRORED_RULE))),
        stands: values.and_then(|values| values.table("stands")).and_then(yard::stands),
        circuit: values.and_then(|values| values.words("circuit")),
        cable: length_or(values, "cable", CABLE, CABLE_RULE),
    }
}
