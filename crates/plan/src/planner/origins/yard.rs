//! Origins of what stands and hangs: what the stages of spans, stands and seasons did not tell themselves.

use super::{at, written};
use crate::{Origins, Plan};
use display::Display;

pub(super) fn note(plan: &Plan, display: &Display, origins: &mut Origins) {
    for (index, stand) in plan.stands.iter().enumerate() {
        let own = format!("/stands/{index}");
        let known = origins.of(&format!("{own}/lay_flat_m_s")).is_some();
        let mut at = at(origins, own);
        if !known {
            at.worked(&["lay_flat_m_s"], "take-down-gust", &["mass", "base", "guys"]);
        }
        at.are(&["panel"], &written(&format!("panel.{}.stands", stand.panel)));
    }
    for (index, post) in plan.posts.iter().enumerate() {
        let Some(asked) = display.posts.iter().find(|asked| asked.name == post.name) else { continue };
        let tie = display
            .spans
            .iter()
            .flat_map(|span| [&span.from, &span.to])
            .find(|tie| display.posts.get(tie.post).is_some_and(|tied| tied.name == post.name));
        let mut at = at(origins, format!("/posts/{index}"));
        at.known("place/x_mm", &asked.at.x);
        at.known("place/depth_mm", &asked.at.depth);
        at.default(&["place/y_mm"], "on the ground");
        at.known("tie_mm", tie.map_or(&asked.height, |tie| &tie.height));
        at.worked(
            &["pull_n", "pull_deg", "moment_nm"],
            "loaded-rope-tension",
            &["what hangs", "sag", "width of the span"],
        );
    }
    for (index, span) in plan.spans.iter().enumerate() {
        let Some(asked) = display.spans.iter().find(|asked| asked.name == span.name) else { continue };
        let object = &display.objects[asked.hangs.object];
        let mut at = at(origins, format!("/spans/{index}"));
        at.known("rope", &asked.rope);
        for hung in 0..span.hung.len() {
            let own = format!("hung/{hung}");
            at.order(&[&format!("{own}/channel"), &format!("{own}/spot")]);
            at.known(&format!("{own}/strand"), &object.strand);
            at.part(&format!("{own}/colour"), &object.strand.value.name, "colour");
            at.known(&format!("{own}/lines_mm"), &object.size[0]);
            at.part(&format!("{own}/lamps_mm"), &object.strand.value.name, "lamps");
        }
    }
    for (index, field) in plan.flashing.iter().enumerate() {
        let mut at = at(origins, format!("/flashing/{index}"));
        at.default(&["distance_mm"], "a step between the nearest and the farthest viewer");
        for share in 0..field.shares.len() {
            at.worked(&[&format!("shares/{share}/share")], "flashing-area", &["area", "distance"]);
            at.order(&[&format!("shares/{share}/of")]);
        }
    }
    buttons(plan, display, origins);
}

fn buttons(plan: &Plan, display: &Display, origins: &mut Origins) {
    for (index, button) in plan.buttons.iter().enumerate() {
        let Some(asked) = display.buttons.iter().find(|asked| asked.name == button.name) else { continue };
        let mut at = at(origins, format!("/buttons/{index}"));
        at.order(&["lamp", "pin", "port"]);
        at.known("place/y_mm", &asked.lifted);
        match &asked.at {
            Some(spot) => {
                at.known("place/x_mm", &spot.x);
                at.known("place/depth_mm", &spot.depth);
            }
            None => at.default(
                &["place/x_mm", "place/depth_mm"],
                "in a row in front of the panels, until it says where it stands",
            ),
        }
    }
}
