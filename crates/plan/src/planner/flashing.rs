//! What flashes: everything that the rules light, where its lamps are and how much light each stands for.

use super::Planner;
use super::electrics::button_place;
use super::in_reach;
use super::yard::mm;
use crate::memory::Printed;
use crate::stage::flash::counts::Counter;
use crate::stage::flash::field::{Lamps, Light};
use crate::stage::flash::together::{self, Lit, Sight, Together};
use crate::{DigitsUse, Flashes, Hung, Panel, Span};
use display::Display;
use rules::form::{Form, Machine};

/// Diameter of a lit push-button. Common practice: the 60 mm kind.
const BUTTON_MM: f64 = 60.0;

impl Planner {
    /// How often everything together may change within one field of view.
    pub(super) fn flash_together(
        &mut self,
        display: &Display,
        panels: &[Panel],
        spans: &[Span],
        digits: &[DigitsUse],
    ) -> Together {
        let form = &display.form;
        let mut lit: Vec<Lit> = panels.iter().filter_map(|panel| figure(form, panel)).collect();
        lit.extend(spans.iter().flat_map(|span| &span.hung).map(|hung| hung_object(display, hung)));
        lit.extend(
            display.buttons.iter().enumerate().filter_map(|(index, button)| lamp(display, button, index)),
        );
        lit.extend(digits.iter().map(numerals));
        let sight = Sight {
            lit,
            nearest_mm: in_reach::nearest_mm(display, panels),
            farthest_mm: mm(&display.farthest),
        };
        let fields = self.memory.stage("flash-fields", "lights", &sight, together::fields);
        // How often things can change follows from the rules alone, wherever they stand.
        let rules = Printed::new(form);
        let mut counter = None;
        let memory = &mut self.memory;
        together::together(&sight.lit, &fields, form.tick_ms, &mut |lit, effort| {
            let entity = format!("{}, {effort:?}", lit.name);
            *memory.stage("flash-counts", &entity, &(&rules, lit.of, effort), |_| {
                counter.get_or_insert_with(|| Counter::new(form)).most(lit.of.into(), effort)
            })
        })
    }
}

/// A figure: its holes by bunches, and the bunches that go on and off wherever one picture follows another.
fn figure(form: &Form, panel: &Panel) -> Option<Lit> {
    let figure = form.figures.iter().position(|figure| figure.name == panel.name)?;
    let lamps = |bunch: usize| {
        let here = panel.holes.iter().filter(|hole| hole.bunch == bunch);
        let at_mm: Vec<[f64; 2]> =
            here.map(|hole| [panel.place.x_mm + hole.x_mm, panel.place.y_mm + hole.y_mm]).collect();
        // Lines as wide as their holes are apart.
        let lines = panel.bunches[bunch].length_mm * panel.bunches[bunch].spacing_mm;
        Lamps { each_mm2: lines / f64::from(u32::try_from(at_mm.len().max(1)).unwrap_or(1)), at_mm }
    };
    let lit = |pose: Option<usize>| -> &[usize] {
        pose.and_then(|pose| panel.poses.get(pose)).map_or(&[], |pose| &pose.bunches)
    };
    let only = |one: &[usize], other: &[usize]| -> Vec<usize> {
        one.iter().copied().filter(|bunch| !other.contains(bunch)).collect()
    };
    let changes = following(form, figure).into_iter().map(|[from, to]| {
        let (from, to) = (lit(from), lit(to));
        [only(to, from), only(from, to)]
    });
    let light = Light {
        lamps: (0..panel.bunches.len()).map(lamps).collect(),
        changes: changes.collect(),
        nearer_mm: -panel.place.depth_mm,
        least_mm: 0.0,
    };
    Some(Lit { name: panel.name.clone(), of: Flashes::Figure { figure }, light })
}

/// Every two pictures of a figure, dark among them, that follow each other in some machine of the rules.
fn following(form: &Form, figure: usize) -> Vec<[Option<usize>; 2]> {
    let shown = |machine: &Machine, state: usize| {
        let shows = machine.states.get(state)?.pose.as_ref()?;
        (shows.figure == figure).then_some(shows.pose)
    };
    let mut pairs = Vec::new();
    for machine in &form.machines {
        for (index, state) in machine.states.iter().enumerate() {
            let to = state.transitions.iter().filter_map(|transition| transition.go);
            pairs.extend(to.map(|to| [shown(machine, index), shown(machine, to)]));
        }
    }
    pairs.retain(|[from, to]| from != to);
    pairs.sort_unstable();
    pairs.dedup();
    pairs
}

/// All of its lamps at once.
fn whole(name: &str, of: Flashes, lamps: Lamps, nearer_mm: f64) -> Lit {
    let light = Light { lamps: vec![lamps], changes: vec![[vec![0], Vec::new()]], nearer_mm, least_mm: 0.0 };
    Lit { name: name.to_owned(), of, light }
}

/// A hung object counts as a box of its size.
fn hung_object(display: &Display, hung: &Hung) -> Lit {
    let size = display.objects.iter().find(|object| object.name == hung.object).map(|object| &object.size);
    let area = size.map_or(0.0, |[width, height]| mm(width) * mm(height));
    let at_mm: Vec<[f64; 2]> =
        hung.lamps_mm.iter().map(|lamp| [hung.at_mm[0] + lamp[0], hung.at_mm[1] + lamp[1]]).collect();
    let each_mm2 = area / f64::from(u32::try_from(at_mm.len().max(1)).unwrap_or(1));
    whole(&hung.name, Flashes::Spot { spot: hung.spot }, Lamps { at_mm, each_mm2 }, 0.0)
}

fn lamp(display: &Display, button: &display::Button, index: usize) -> Option<Lit> {
    let spot = display.form.spots.iter().position(|spot| *spot == button.name).filter(|_| button.lamp)?;
    let place = button_place(button, index);
    let each_mm2 = core::f64::consts::PI * BUTTON_MM * BUTTON_MM / 4.0;
    let lamps = Lamps { at_mm: vec![[place.x_mm, place.y_mm]], each_mm2 };
    let mut lit = whole(&format!("lamp of {}", button.name), Flashes::Spot { spot }, lamps, -place.depth_mm);
    // Whoever presses looks at the display, over the lamp under the hand.
    lit.light.least_mm = mm(&display.nearest);
    Some(lit)
}

/// Digits with every segment changing: lines as wide as their LEDs are apart.
fn numerals(digits: &DigitsUse) -> Lit {
    let leds = digits.leds_in_series * digits.rows;
    let mut at_mm = Vec::new();
    let mut area = 0.0;
    for place in 0..digits.count {
        let left = digits.place.x_mm + f64::from(place) * digits.pitch_mm;
        for [x1, y1, x2, y2] in &digits.segments_mm {
            let length = libm::hypot(x2 - x1, y2 - y1);
            area += length * length / f64::from(leds.max(1));
            at_mm.extend((0..leds).map(|led| {
                let share = (f64::from(led) + 0.5) / f64::from(leds);
                [left + x1 + (x2 - x1) * share, digits.place.y_mm + y1 + (y2 - y1) * share]
            }));
        }
    }
    let each_mm2 = area / f64::from(u32::try_from(at_mm.len().max(1)).unwrap_or(1));
    let lamps = Lamps { at_mm, each_mm2 };
    let of = Flashes::Digits { digits: digits.digits };
    whole(&digits.name, of, lamps, -digits.place.depth_mm)
}
