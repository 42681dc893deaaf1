//! What holds things up: ropes and lines, stakes, ballast, the wood behind panels. Posts stand on the site and are not bought here.

use super::{Also, LINE_SPARE, List, up, whole};
use crate::Plan;
use crate::stage::stand;
use parts::Rope;
use reckoning::rope::KNOT_LEAVES;
use uom::si::force::newton;
use uom::si::length::millimeter;

/// Of what is left at its knot, a guy carries a fifth. Common practice for lines that nobody stands under.
const GUY_FACTOR: f64 = 5.0;

/// Sheets are screwed to their battens this far apart. Common practice.
const SCREW_EVERY_MM: f64 = 200.0;

pub(super) fn add(plan: &Plan, also: &Also<'_>, list: &mut List<'_>) {
    hanging(plan, also, list);
    guys(plan, also, list);
    panels(plan, list);
    for digits in &plan.digits {
        list.add("digits-board", "board for digits, painted dark", u32::from(digits.count > 0), 0, "piece");
    }
}

fn have_mm(also: &Also<'_>, part: &str) -> f64 {
    also.shelf.ropes.get(part).map_or(0.0, |rope| rope.have.get::<millimeter>())
}

fn hanging(plan: &Plan, also: &Also<'_>, list: &mut List<'_>) {
    for span in &plan.spans {
        let spare = span.cut_mm / f64::from(LINE_SPARE);
        list.length(plan, &span.rope, "rope of a span", (span.cut_mm, spare), have_mm(also, &span.rope));
        let hangers = span.hung.iter().flat_map(|hung| &hung.hangers);
        let cut_mm: f64 = hangers.map(|hanger| hanger.cut_mm).sum();
        let part = if also.hanger.is_empty() { &span.rope } else { also.hanger };
        let spare = cut_mm / f64::from(LINE_SPARE);
        list.length(plan, part, "thin line for hangers", (cut_mm, spare), have_mm(also, part));
    }
    if !plan.spans.is_empty() {
        list.add("tape", "tape that marks the rope", 1, 0, "roll");
    }
}

/// The thinnest rope whose knotted fifth is more than the pull.
fn guy_rope<'a>(also: &Also<'a>, pull_n: f64) -> Option<&'a Rope> {
    let bears = |rope: &&Rope| rope.breaking.get::<newton>() * KNOT_LEAVES / GUY_FACTOR >= pull_n;
    let ropes = also.shelf.ropes.values().filter(bears);
    ropes.min_by(|a, b| {
        a.diameter.value.total_cmp(&b.diameter.value).then(a.stretch.value.total_cmp(&b.stretch.value))
    })
}

fn guys(plan: &Plan, also: &Also<'_>, list: &mut List<'_>) {
    let guys = || plan.stands.iter().flat_map(|stand| &stand.guys);
    let cut_mm: f64 = guys().map(|guy| guy.cut_mm).sum();
    let pull_n = guys().map(|guy| guy.tension_n).fold(0.0, f64::max);
    let spare = cut_mm / f64::from(LINE_SPARE);
    let needs_n = pull_n * GUY_FACTOR / KNOT_LEAVES;
    match guy_rope(also, pull_n) {
        Some(rope) => {
            let have = rope.have.get::<millimeter>();
            list.length(plan, &rope.name, "line for guys", (cut_mm, spare), have);
        }
        None => {
            let what = format!("line for guys that breaks at {:.1} kN or more", needs_n / 1000.0);
            list.length(plan, "guy line", &what, (cut_mm, spare), 0.0);
        }
    }
    list.add("stake", "ground stake, pull-tested", whole(guys().count()), 1, "piece");
}

/// Base, ballast and battens of the panels that stand by themselves.
fn panels(plan: &Plan, list: &mut List<'_>) {
    let mut battens_mm = 0.0;
    for stand in &plan.stands {
        list.add("base", "base of a panel: two feet with braces, home-made", 1, 0, "piece");
        let bags = up(stand.ballast_kg / stand::BAG_KG);
        list.add("ballast-bag", &format!("bag of ballast, {:.0} kg", stand::BAG_KG), bags, 0, "piece");
        let Some(panel) = plan.panels.iter().find(|panel| panel.name == stand.panel) else { continue };
        battens_mm += stand::battens_mm(panel.width_mm, panel.height_mm);
        // Where pieces meet, a strip runs behind the joint.
        let edges: f64 = panel.pieces.iter().map(|piece| piece.width_mm + piece.height_mm).sum();
        battens_mm += edges - panel.width_mm - panel.height_mm;
    }
    let spare = battens_mm / f64::from(LINE_SPARE);
    list.length(plan, "batten", "batten behind a panel", (battens_mm, spare), 0.0);
    let screws = up(battens_mm / SCREW_EVERY_MM);
    list.add("screw", "outdoor screw, sheet to batten", screws, screws.div_ceil(LINE_SPARE), "piece");
}
