//! The yard: in front elevation and from above, to scale, as a builder would draw it.

use super::person::person;
use super::window::{Bounds, Window, around};
use crate::plate::{INK, PALE, Plate, Word, pen};
use crate::say;
use plan::{Panel, Plan};
use serde_json::{Value, json};

/// A grown person and a child to compare with. From memory: about the middle of what people measure.
const GROWN_MM: f64 = 1700.0;
const CHILD_MM: f64 = 1100.0;

/// A post's width where none is told: drawing only.
const POST_MM: f64 = 100.0;

/// Room for dimensions on paper: left, below, right, above.
const EDGE_MM: [f64; 4] = [13.0, 21.0, 15.0, 6.0];

/// Everything that stands or hangs, as points.
fn extent(plan: &Plan) -> Option<Bounds> {
    let mut points = Vec::new();
    for panel in &plan.panels {
        let (x, y) = (panel.place.x_mm, panel.place.y_mm);
        points.push([x, 0.0]);
        points.push([x + panel.width_mm, y + panel.height_mm]);
    }
    for post in &plan.posts {
        points.push([post.place.x_mm - POST_MM, 0.0]);
        points.push([post.place.x_mm + POST_MM, post.tie_mm + 200.0]);
    }
    for span in &plan.spans {
        points.extend(&span.shape_mm);
    }
    for digits in &plan.digits {
        points.push([digits.place.x_mm, 0.0]);
        points.push([digits.place.x_mm + across(digits), digits.place.y_mm + digits.height_mm]);
    }
    for button in &plan.buttons {
        points.push([button.place.x_mm, button.place.y_mm]);
    }
    if points.is_empty() {
        return None;
    }
    points.push(person_foot(plan));
    points.push([person_foot(plan)[0] + 350.0, GROWN_MM]);
    around(points, 150.0).map(|b| [b[0], 0.0, b[2], b[3]])
}

/// From the left edge of the leftmost digit to the right edge of the rightmost.
fn across(digits: &plan::DigitsUse) -> f64 {
    f64::from(digits.count.max(1) - 1) * digits.pitch_mm + digits.width_mm
}

/// Where the person stands: an arm's length from the last button, else to the right of everything.
fn person_foot(plan: &Plan) -> [f64; 2] {
    let apart = plan.buttons.iter().any(|button| button.place.x_mm > 0.0);
    if let Some(button) = plan.buttons.last().filter(|_| apart) {
        return [button.place.x_mm + 650.0, 0.0];
    }
    let right = plan.panels.iter().map(|panel| panel.place.x_mm + panel.width_mm).fold(0.0, f64::max);
    [right + 500.0, 0.0]
}

/// The yard in front elevation, as the viewers see it.
pub(crate) fn yard(plan: &Plan, room: [f64; 2], pt: f64) -> Option<Value> {
    let bounds = extent(plan)?;
    let inner = [room[0] - EDGE_MM[0] - EDGE_MM[2], room[1] - EDGE_MM[1] - EDGE_MM[3]];
    let window = Window::fit(bounds, inner, false);
    let [w, h] = window.size();
    let size = [w + EDGE_MM[0] + EDGE_MM[2], h + EDGE_MM[1] + EDGE_MM[3]];
    let mut plate = Plate::new(size, "The yard in front elevation, to scale");
    let to = |point: [f64; 2]| {
        let [x, y] = window.on_paper(point);
        [x + EDGE_MM[0], y + EDGE_MM[3]]
    };
    ground(&mut plate, to([bounds[0], 0.0]), to([bounds[2], 0.0]));
    person(&mut plate, &to, person_foot(plan), GROWN_MM);
    if let Some(button) = plan.buttons.first().filter(|_| plan.buttons.len() > 1) {
        person(&mut plate, &to, [button.place.x_mm - 450.0, 0.0], CHILD_MM);
    }
    posts(plan, &mut plate, &to);
    for panel in &plan.panels {
        figure(panel, &mut plate, &to);
    }
    hung(plan, &mut plate, &to);
    digits(plan, &mut plate, &to);
    buttons(plan, &mut plate, &to);
    measures(plan, &mut plate, &to, pt, size);
    Some(json!({ "drawing": plate.done(), "scale": window.words() }))
}

fn ground(plate: &mut Plate, from: [f64; 2], to: [f64; 2]) {
    plate.line(&[from, to], pen(0.6));
    let mut x = from[0];
    while x < to[0] {
        plate.line(&[[x, from[1] + 2.0], [x + 2.0, from[1]]], pen(0.15).faint());
        x += 3.0;
    }
}

fn posts(plan: &Plan, plate: &mut Plate, to: &dyn Fn([f64; 2]) -> [f64; 2]) {
    for post in &plan.posts {
        let (x, top) = (post.place.x_mm, post.tie_mm + 150.0);
        let half = POST_MM / 2.0;
        let corners = [[x - half, 0.0], [x + half, 0.0], [x + half, top], [x - half, top], [x - half, 0.0]];
        let corners: Vec<[f64; 2]> = corners.iter().map(|point| to(*point)).collect();
        plate.fill(&corners, PALE);
        plate.line(&corners, pen(0.3));
    }
}

fn figure(panel: &Panel, plate: &mut Plate, to: &dyn Fn([f64; 2]) -> [f64; 2]) {
    let (x, y) = (panel.place.x_mm, panel.place.y_mm);
    let corner = to([x, y + panel.height_mm]);
    let low = to([x + panel.width_mm, y]);
    plate.rectangle(corner, [low[0] - corner[0], low[1] - corner[1]], pen(0.25));
    let first = panel.poses.first().map_or(&[][..], |pose| pose.bunches.as_slice());
    for (k, bunch) in panel.bunches.iter().enumerate() {
        let lines: Vec<Vec<[f64; 2]>> = bunch
            .lines_mm
            .iter()
            .map(|line| line.iter().map(|point| to([x + point[0], y + point[1]])).collect())
            .collect();
        let pen = if first.contains(&k) { pen(0.45) } else { pen(0.2).faint() };
        plate.lines(lines.iter().map(Vec::as_slice), pen);
    }
}

fn hung(plan: &Plan, plate: &mut Plate, to: &dyn Fn([f64; 2]) -> [f64; 2]) {
    for span in &plan.spans {
        let rope: Vec<[f64; 2]> = span.shape_mm.iter().map(|point| to(*point)).collect();
        plate.line(&rope, pen(0.4));
        for hung in &span.hung {
            for hanger in &hung.hangers {
                plate.line(&[to(hanger.top_mm), to(hanger.bottom_mm)], pen(0.15));
            }
            super::span::outline(hung, plate, to, 0.35);
        }
    }
}

fn digits(plan: &Plan, plate: &mut Plate, to: &dyn Fn([f64; 2]) -> [f64; 2]) {
    for digits in &plan.digits {
        let (x, y) = (digits.place.x_mm, digits.place.y_mm);
        let pad = 0.12 * digits.height_mm;
        let corner = to([x - pad, y + digits.height_mm + pad]);
        let low = to([x + across(digits) + pad, y - pad]);
        plate.rectangle(corner, [low[0] - corner[0], low[1] - corner[1]], pen(0.25));
        let legs = [x + 0.25 * across(digits), x + 0.75 * across(digits)];
        for leg in legs.into_iter().filter(|_| y - pad > 0.0) {
            plate.line(&[to([leg, y - pad]), to([leg, 0.0])], pen(0.25));
        }
        for k in 0..digits.count {
            let left = x + f64::from(k) * digits.pitch_mm;
            for [x1, y1, x2, y2] in &digits.segments_mm {
                plate.line(&[to([left + x1, y + y1]), to([left + x2, y + y2])], pen(0.6));
            }
        }
    }
}

fn buttons(plan: &Plan, plate: &mut Plate, to: &dyn Fn([f64; 2]) -> [f64; 2]) {
    for button in plan.buttons.iter().filter(|button| button.place.y_mm > 0.0) {
        let place = button.place;
        plate.line(&[to([place.x_mm, 0.0]), to([place.x_mm, place.y_mm])], pen(0.5));
        plate.rounds(&[to([place.x_mm, place.y_mm])], 1.4, "white", Some(pen(0.4)));
    }
}

/// The dimensions a builder wants: between posts, tie heights, headroom, panels, digits, buttons.
fn measures(plan: &Plan, plate: &mut Plate, to: &dyn Fn([f64; 2]) -> [f64; 2], pt: f64, size: [f64; 2]) {
    let length = |mm: f64| say::length(mm, plan.units);
    let ground = to([0.0, 0.0])[1];
    if let (Some(first), Some(last)) =
        (plan.posts.first(), plan.posts.last().filter(|_| plan.posts.len() > 1))
    {
        let (from, till) = (first.place.x_mm, last.place.x_mm);
        plate.across(
            ground + 15.0,
            [to([from, 0.0])[0], to([till, 0.0])[0]],
            &length((till - from).abs()),
            pt,
        );
        plate.upright(5.0, [to([0.0, first.tie_mm])[1], ground], &length(first.tie_mm), pt);
    }
    for span in &plan.spans {
        let lowest = span.hung.iter().min_by(|a, b| a.at_mm[1].total_cmp(&b.at_mm[1]));
        if let (Some(lowest), Some(free)) = (lowest, free_place(plan, span)) {
            let x = to([free, 0.0])[0];
            let low = to([0.0, span.headroom_mm])[1];
            plate.line(&[[x, low], [to(lowest.at_mm)[0], low]], pen(0.15).faint().dashed());
            plate.upright(x, [low, ground], &length(span.headroom_mm), pt);
        }
    }
    for panel in &plan.panels {
        let (left, right) = (panel.place.x_mm, panel.place.x_mm + panel.width_mm);
        let ends = [to([left, 0.0])[0], to([right, 0.0])[0]];
        plate.across(ground + 7.0, ends, &length(panel.width_mm), pt);
        let top = to([0.0, panel.place.y_mm + panel.height_mm])[1];
        plate.word(Word::new([(ends[0] + ends[1]) / 2.0, top - 2.5], &panel.name, pt).bold().bare());
    }
    if let Some(panel) = plan.panels.last() {
        let heights = [to([0.0, panel.place.y_mm + panel.height_mm])[1], to([0.0, panel.place.y_mm])[1]];
        plate.upright(size[0] - 9.0, heights, &length(panel.height_mm), pt);
    }
    for digits in &plan.digits {
        let middle = digits.place.x_mm + across(digits) / 2.0;
        let at = to([middle, digits.place.y_mm + 1.12 * digits.height_mm]);
        plate.word(Word::new([at[0], at[1] - 2.5], &digits.name, pt).bare());
    }
    for button in plan.buttons.iter().filter(|button| button.place.y_mm > 0.0) {
        let at = to([button.place.x_mm, button.place.y_mm]);
        let words = format!("{}, {} up", button.name, length(button.place.y_mm));
        plate.word(Word::new([at[0], at[1] - 4.0], words, pt).bare());
    }
    if plan.posts.is_empty() {
        let foot = to(person_foot(plan));
        plate.word(Word::new([foot[0], foot[1] + 4.5], length(GROWN_MM), pt).bare());
    }
}

/// The place under a span that is farthest from everything that stands there, for the measure of its headroom.
fn free_place(plan: &Plan, span: &plan::Span) -> Option<f64> {
    let mut taken: Vec<f64> = plan.posts.iter().map(|post| post.place.x_mm).collect();
    for panel in &plan.panels {
        taken.extend([0.0, 0.5, 1.0].map(|part| panel.place.x_mm + part * panel.width_mm));
    }
    for button in &plan.buttons {
        // The button, its name, and the person beside it.
        taken.extend([-700.0, 0.0, 700.0].map(|aside| button.place.x_mm + aside));
    }
    taken.extend(plan.digits.iter().flat_map(|one| [one.place.x_mm, one.place.x_mm + across(one)]));
    let (first, last) = (span.shape_mm.first()?[0], span.shape_mm.last()?[0]);
    let room = |x: f64| taken.iter().map(|other| (other - x).abs()).fold(f64::INFINITY, f64::min);
    (1..60)
        .map(|k| first + (last - first) * f64::from(k) / 60.0)
        .reduce(|best, x| if room(x) > room(best) { x } else { best })
}

/// The yard from above: what stands where, to be paced out.
pub(crate) fn from_above(plan: &Plan, room: [f64; 2], pt: f64) -> Option<Value> {
    let mut spots: Vec<(String, [f64; 2])> = Vec::new();
    spots.extend(
        plan.posts.iter().map(|post| (format!("post {}", post.name), [post.place.x_mm, post.place.depth_mm])),
    );
    spots.extend(
        plan.buttons
            .iter()
            .filter(|button| button.place.y_mm > 0.0)
            .map(|button| (format!("button {}", button.name), [button.place.x_mm, button.place.depth_mm])),
    );
    if plan.posts.is_empty() || spots.len() < 3 {
        return None;
    }
    let mut points: Vec<[f64; 2]> = spots.iter().map(|(_, at)| *at).collect();
    for panel in &plan.panels {
        let base = stand_of(plan, panel).map_or(300.0, |stand| stand.base_mm);
        points.push([panel.place.x_mm, panel.place.depth_mm + base]);
        points.push([panel.place.x_mm + panel.width_mm, panel.place.depth_mm]);
    }
    let bounds = around(points, 400.0)?;
    let window = Window::fit(bounds, [room[0], room[1] - 10.0], false);
    let mut plate = Plate::new([window.size()[0], window.size()[1] + 10.0], "The yard from above, to scale");
    above(plan, &window, &mut plate, &spots, pt);
    Some(json!({ "drawing": plate.done(), "scale": window.words() }))
}

/// How a panel is held up.
fn stand_of<'a>(plan: &'a Plan, panel: &Panel) -> Option<&'a plan::Stand> {
    plan.stands.iter().find(|stand| stand.panel == panel.name)
}

fn above(plan: &Plan, window: &Window, plate: &mut Plate, spots: &[(String, [f64; 2])], pt: f64) {
    let to = |point: [f64; 2]| window.on_paper(point);
    for panel in &plan.panels {
        let place = panel.place;
        let ends = [[place.x_mm, place.depth_mm], [place.x_mm + panel.width_mm, place.depth_mm]];
        plate.line(&[to(ends[0]), to(ends[1])], pen(0.9));
        let base = stand_of(plan, panel).map_or(0.0, |stand| stand.base_mm);
        for end in ends.iter().filter(|_| base > 0.0) {
            plate.line(&[to(*end), to([end[0], end[1] + base])], pen(0.3));
        }
        let middle = to([place.x_mm + panel.width_mm / 2.0, place.depth_mm]);
        plate.word(Word::new([middle[0], middle[1] + 3.5], format!("panel {}", panel.name), pt).bare());
    }
    for span in &plan.spans {
        let foot = |name: &str| plan.posts.iter().find(|post| post.name == name).map(|post| post.place);
        if let (Some(from), Some(till)) = (foot(&span.from), foot(&span.to)) {
            let line = [to([from.x_mm, from.depth_mm]), to([till.x_mm, till.depth_mm])];
            plate.line(&line, pen(0.25).dashed());
        }
    }
    for (name, at) in spots {
        let paper = to(*at);
        plate.rounds(&[paper], 1.1, INK, None);
        plate.word(Word::new([paper[0], paper[1] - 4.0], name, pt).bare());
    }
    let low = window.size()[1] + 5.0;
    plate.word(Word::new([window.size()[0] / 2.0, low], "viewers on this side", pt).bare());
    plate.line(&[[0.0, low - 4.0], [window.size()[0], low - 4.0]], pen(0.2).faint());
}
