//! What is done outdoors: hanging, putting up, taking down, and the season's nights.

use super::LYING_MM;
use crate::{drawing, say};
use plan::{Hung, Plan, Post, Span, Stand, Step};
use serde_json::{Value, json};

/// Every span: its drawing, what pulls, and the cut list.
pub(super) fn hanging(plan: &Plan) -> Value {
    plan.spans.iter().map(|span| span_view(plan, span)).collect()
}

fn span_view(plan: &Plan, span: &Span) -> Value {
    let units = plan.units;
    let cuts: Vec<Value> = drawing::hangers(span)
        .enumerate()
        .map(|(k, hanger)| {
            json!({
                "number": k + 1, "label": hanger.label, "along": say::both(hanger.along_mm, units),
                "cut": say::both(hanger.cut_mm, units), "tied": say::both(hanger.length_mm, units),
            })
        })
        .collect();
    let hung: Vec<Value> = span
        .hung
        .iter()
        .map(|hung| {
            let channel = plan.channels.get(hung.channel).map_or("", |channel| channel.label.as_str());
            json!({
                "name": hung.name, "object": hung.object, "strand": hung.strand, "channel": channel,
                "tilt": format!("{:.0}°", hung.tilt_deg), "mass": say::mass(hung.mass_kg, units),
                "up": say::length(hung.at_mm[1], units),
            })
        })
        .collect();
    let pull = span.tension_n[0].max(span.tension_n[1]);
    json!({
        "name": span.name, "rope": span.rope, "from": span.from, "to": span.to,
        "rope_length": say::both(span.rope_mm, units), "rope_cut": say::both(span.cut_mm, units),
        "sag": say::both(span.sag_mm, units), "headroom": say::both(span.headroom_mm, units),
        "tension": span.tension_n.map(|n| say::force(n, units)), "greatest": say::force(pull, units),
        "working_load": say::force(span.working_load_n, units),
        "posts": plan.posts.iter().filter(|post| post.name == span.from || post.name == span.to)
            .map(|post| post_view(plan, post)).collect::<Vec<_>>(),
        "cuts": cuts, "hung": hung, "objects": objects(plan, span),
        "page": drawing::span(span, [LYING_MM, 96.0], units),
    })
}

/// What is hung, each kind once, upright as it is made.
fn objects(plan: &Plan, span: &Span) -> Vec<Value> {
    let units = plan.units;
    let mut kinds: Vec<(&Hung, drawing::Upright, Vec<&str>)> = Vec::new();
    for hung in &span.hung {
        let Some(made) = drawing::Upright::of(hung) else { continue };
        match kinds.iter_mut().find(|(known, like, _)| known.object == hung.object && like.is_like(&made)) {
            Some((_, _, names)) => names.push(&hung.name),
            None => kinds.push((hung, made, vec![&hung.name])),
        }
    }
    let place = |[x, y]: [f64; 2]| [say::both(x, units), say::both(y, units)];
    kinds
        .into_iter()
        .map(|(hung, made, names)| {
            let ties = made.ties.iter().enumerate().map(|(at, tie)| (drawing::letter(at), place(*tie)));
            let lamps =
                made.lamps.iter().enumerate().map(|(at, lamp)| (at + 1, lamp.map(|mm| format!("{mm:.0}"))));
            json!({
                "name": hung.object, "count": names.len(), "names": names.join(", "), "strand": hung.strand,
                "mass": say::mass(hung.mass_kg, units), "tilt": format!("{:.0}°", hung.tilt_deg),
                "square": say::length(drawing::square_mm(units), units),
                "ties": ties.collect::<Vec<_>>(), "lamps": lamps.collect::<Vec<_>>(),
                "bar": made.ties.len() == 2,
                "page": drawing::object(&hung.object, &made, [100.0, 150.0], units),
            })
        })
        .collect()
}

fn post_view(plan: &Plan, post: &Post) -> Value {
    let way = if post.pull_deg < 0.0 { "below" } else { "above" };
    json!({
        "name": post.name, "tie": say::both(post.tie_mm, plan.units), "pull": say::force(post.pull_n, plan.units),
        "direction": format!("{:.0}° {way} level", post.pull_deg.abs()),
        "moment": format!("{:.0} N m", post.moment_nm),
    })
}

/// The put-up card, its reverse, and what the stands bear.
pub(super) fn put_up(plan: &Plan) -> Value {
    let down: Vec<Value> = plan.put_up.iter().rev().map(|step| step_view(step, &step.down)).collect();
    json!({
        "up": plan.put_up.iter().map(|step| step_view(step, &step.up)).collect::<Vec<_>>(),
        "down": down,
        "needs": needs(&plan.put_up),
        "people": plan.put_up.iter().map(|step| step.people).max().unwrap_or(2).max(2),
        "stands": plan.stands.iter().map(|stand| stand_view(plan, stand)).collect::<Vec<_>>(),
        "lay_flat": plan.stands.iter().map(|stand| stand.lay_flat_m_s).reduce(f64::min)
            .map(|speed| say::speed(speed, plan.units)),
    })
}

fn step_view(step: &Step, words: &str) -> Value {
    json!({ "words": words, "people": step.people, "needs": step.needs, "caution": step.caution })
}

/// Everything that some step needs, once, in the order of need.
fn needs(steps: &[Step]) -> Vec<&str> {
    let mut all: Vec<&str> = Vec::new();
    for need in steps.iter().flat_map(|step| &step.needs) {
        if !all.contains(&need.as_str()) {
            all.push(need);
        }
    }
    all
}

fn stand_view(plan: &Plan, stand: &Stand) -> Value {
    let units = plan.units;
    let guys: Vec<Value> = stand
        .guys
        .iter()
        .map(|guy| {
            json!({
                "label": guy.label, "tie": say::both(guy.tie_mm, units), "stake": say::both(guy.stake_mm, units),
                "cut": say::both(guy.cut_mm, units), "tension": say::force(guy.tension_n, units),
                "pull_test": say::force(guy.pull_test_n, units),
            })
        })
        .collect();
    json!({
        "panel": stand.panel, "base": say::both(stand.base_mm, units), "mass": say::mass(stand.mass_kg, units),
        "gust": say::speed(stand.gust_m_s, units), "force": say::force(stand.force_n, units),
        "ballast": say::mass(stand.ballast_kg, units), "lay_flat": say::speed(stand.lay_flat_m_s, units),
        "guys": guys,
    })
}

/// The season's nights.
pub(super) fn season(plan: &Plan) -> Value {
    plan.season.as_ref().map_or(Value::Null, |season| {
        json!({
            "nights": season.nights.iter().map(|night| json!({
                "date": night.date, "sunset": night.sunset, "on": night.on, "off": night.off,
            })).collect::<Vec<_>>(),
            "count": season.count, "hours": format!("{:.0}", season.hours), "energy": say::energy(season.energy_kwh),
        })
    })
}
