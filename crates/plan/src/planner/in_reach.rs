//! Mains strands within people's reach: said, since nothing in a description tells of a fence; and refused where a button
//! brings people there.

use crate::note::{Also, finding, value, working};
use crate::{Button, Channel, Hole, LitBy, Panel, Plan};
use display::Display;
use finding::{Finding, Origin, Severity, Sheet};
use quantity::{Length, Show};
use reckoning::supply::MAINS_FROM_V;
use uom::si::length::millimeter;

/// How high somebody standing reaches, mm: arm's reach of BS 7671 part 2 (from memory).
const REACH_MM: f64 = 2500.0;

/// How far somebody standing reaches to the side, mm: arm's reach of BS 7671 part 2 (from memory).
const ARM_MM: f64 = 1250.0;

/// What there is to be said of all panels whose mains lamps can be reached.
pub(super) fn judge(plan: &Plan) -> Vec<Finding> {
    // The lowest of each panel.
    let lowest: Vec<(&Panel, f64)> = plan
        .panels
        .iter()
        .filter_map(|panel| {
            let heights = on_mains(panel, &plan.channels).map(|hole| panel.place.y_mm + hole.y_mm);
            Some((panel, heights.reduce(f64::min)?))
        })
        .filter(|(_, height)| *height < REACH_MM)
        .collect();
    let Some(least) = lowest.iter().map(|(_, height)| *height).reduce(f64::min) else { return Vec::new() };
    let names: Vec<&str> = lowest.iter().map(|(panel, _)| panel.name.as_str()).collect();
    let shown = |mm: f64| Length::new::<millimeter>(mm).show(plan.units);
    let nearest = plan.buttons.iter().filter_map(|button| Some((from_mains(plan, button)?, button)));
    let nearest = nearest.min_by(|a, b| a.0.total_cmp(&b.0));
    let presses = nearest.filter(|(mm, _)| *mm < plan.nearest_mm).map_or(String::new(), |(mm, button)| {
        format!(", and whoever presses {} stands {} from them", button.name, shown(mm))
    });
    let mut found = vec![
        finding(
            "panel/mains-in-reach",
            Severity::Caution,
            "shelter",
            &names,
            format!(
                "Lamps on mains hang {} above the ground, within reach (up to {}, BS 7671 part 2, from memory); nothing here knows of a fence. The nearest viewer is planned at {}{presses}: let a fence keep it so",
                shown(least),
                shown(REACH_MM),
                shown(plan.nearest_mm)
            ),
        )
        .cure("Fence it off an arm's length and more in front of it, or light it with 12 V strands", None),
    ];
    found.extend(plan.buttons.iter().filter_map(|button| too_near(plan, button)));
    found
}

/// A button from which mains lamps can be touched.
fn too_near(plan: &Plan, button: &Button) -> Option<Finding> {
    let mm = from_mains(plan, button).filter(|mm| *mm < ARM_MM)?;
    let shown = |mm: f64| Length::new::<millimeter>(mm).show(plan.units);
    let place = Origin::Default("the place of the button and of the holes in the yard, seen from above");
    Some(
        finding(
            "button/mains-in-reach",
            Severity::Danger,
            "put up",
            &[&button.name],
            format!(
                "Whoever presses {} stands {} from lamps on mains and can touch them: no mains within a child's reach of a button",
                button.name,
                shown(mm)
            ),
        )
        .working(working(
            "reach",
            vec![value("from the button to the nearest mains lamp", shown(mm), place)],
            shown(mm),
            Some((
                format!("more than {}", shown(ARM_MM)),
                "arm's reach, BS 7671 part 2 (from memory); local codes decide".into(),
            )),
            None,
        ))
        .cure("Put the button farther from the panel, and a fence between them", None)
        .cure("Or light the panel with 12 V strands", None)
        .withholds(&[Sheet::PutUp]),
    )
}

/// How far a button is from the nearest mains lamp within reach of the ground, seen from above.
fn from_mains(plan: &Plan, button: &Button) -> Option<f64> {
    let holes = plan.panels.iter().flat_map(|panel| {
        let low = on_mains(panel, &plan.channels).filter(|hole| panel.place.y_mm + hole.y_mm < REACH_MM);
        low.map(move |hole| [panel.place.x_mm + hole.x_mm, panel.place.depth_mm])
    });
    holes.map(|at| across([button.place.x_mm, button.place.depth_mm], at)).reduce(f64::min)
}

fn across(one: [f64; 2], other: [f64; 2]) -> f64 {
    libm::hypot(one[0] - other[0], one[1] - other[1])
}

/// The holes of a panel whose lamps are on mains.
fn on_mains<'p>(panel: &'p Panel, channels: &'p [Channel]) -> impl Iterator<Item = &'p Hole> {
    panel.holes.iter().filter(|hole| {
        let channel = panel.bunches.get(hole.bunch).and_then(|bunch| channels.get(bunch.channel));
        channel.is_some_and(|channel| {
            channel.voltage_v >= MAINS_FROM_V && matches!(channel.lit_by, LitBy::Poses { .. })
        })
    })
}

/// The least distance from which panels are seen: of the nearest viewer, or of a button nearer than that.
pub(super) fn nearest_mm(display: &Display, panels: &[Panel]) -> f64 {
    let viewers = display.nearest.value.get::<millimeter>();
    let places = display
        .buttons
        .iter()
        .enumerate()
        .map(|(index, button)| super::electrics::button_place(button, index));
    let from_panels = places.flat_map(|place| {
        let holes = panels.iter().flat_map(|panel| {
            panel.holes.iter().map(|hole| [panel.place.x_mm + hole.x_mm, panel.place.depth_mm])
        });
        holes.map(move |at| across([place.x_mm, place.depth_mm], at))
    });
    // Nobody looks at anything from nearer than an arm's length.
    from_panels.fold(viewers, f64::min).max(ARM_MM / 2.0).min(viewers)
}
