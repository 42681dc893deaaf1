// The layout of the yard: what stands in the yard and where, in millimetres, and every lamp with the channel that lights it.

import { WARM } from "./lamp.js";

/** Lengths of the drawing that a plan may leave open: they are ours, and only of the drawing. */
const GAP = 420;
const POST = 950;
/** A lamp's own radius, and a segment's half thickness. */
export const LAMP = 5;
export const BAR = 9;

/**
 * @typedef {{x: number, y: number, depth: number}} Spot
 * @typedef {{channel: number, colour: string, depth: number, points: [number, number][], bars: [number, number, number, number][],
 *   light: string}} Light light that switches together, in the yard's millimetres
 */

/** Places everything. @returns {any} the layout */
export function layOut(plan) {
  const panels = placePanels(plan);
  const buttons = placeButtons(plan, panels);
  const layout = {
    panels, buttons,
    posts: (plan.posts ?? []).map((post) => ({ post, ...placed(post.place) })),
    spans: plan.spans ?? [],
    digits: (plan.digits ?? []).map((digits) => ({ digits, ...placed(digits.place) })),
  };
  layout.lights = [...panels.flatMap((at) => panelLights(plan, at)), ...layout.spans.flatMap(spanLights), ...layout.digits.flatMap(digitLights)];
  layout.bounds = boundsOf(layout);
  return layout;
}

function placed(place) {
  return { x: place?.x_mm ?? 0, y: place?.y_mm ?? 0, depth: place?.depth_mm ?? 0 };
}

/** Panels that say no place of their own stand side by side. */
function placePanels(plan) {
  const open = plan.panels.some((panel) => !panel.place)
    || new Set(plan.panels.map((panel) => `${panel.place.x_mm} ${panel.place.y_mm}`)).size < plan.panels.length;
  let x = 0;
  return plan.panels.map((panel) => {
    const at = { panel, ...(open ? { x, y: 0, depth: 0 } : placed(panel.place)) };
    x += panel.width_mm + GAP;
    return at;
  });
}

/** Buttons that have no place, or one inside a panel, stand in a row to the right of the panels. */
function placeButtons(plan, panels) {
  const inside = ({ x, depth }) => depth === 0 && panels.some((at) => at.depth === 0 && x >= at.x && x <= at.x + at.panel.width_mm);
  const open = plan.buttons.some((button) => !button.place || inside(placed(button.place)));
  const right = Math.max(0, ...panels.map((at) => at.x + at.panel.width_mm));
  return plan.buttons.map((button, b) => {
    const at = open ? { x: right + GAP * (b + 1), y: POST, depth: 0 } : placed(button.place);
    return { button, ...at, y: at.y > 0 ? at.y : POST };
  });
}

/** The lamps of each bunch of a panel. */
function panelLights(plan, { panel, x, y, depth }) {
  const strandOf = new Map(panel.strands.flatMap((run) => panel.holes.slice(run.first_hole - 1, run.last_hole).map((hole) => [hole.number, run])));
  // Where the holes are withheld, the lines of the drawing light up instead.
  if (panel.holes.length === 0) return panel.bunches.map((bunch) => lines(panel, bunch, { x, y, depth }));
  const lights = new Map();
  for (const hole of panel.holes) {
    const run = strandOf.get(hole.number) ?? panel.strands.find((each) => each.bunch === hole.bunch);
    const bunch = panel.bunches[hole.bunch];
    const key = `${run?.label ?? ""} ${bunch?.channel}`;
    if (!lights.has(key)) {
      lights.set(key, { light: run?.label ?? panel.name, channel: bunch?.channel ?? -1, colour: run?.colour ?? WARM, depth, points: [], bars: [] });
    }
    lights.get(key).points.push([x + hole.x_mm, y + hole.y_mm]);
  }
  return [...lights.values()];
}

/** A bunch as the lines it is drawn with. */
function lines(panel, bunch, { x, y, depth }) {
  const strand = panel.strands.find((run) => panel.bunches[run.bunch] === bunch);
  const bars = bunch.lines_mm.flatMap((line) => line.slice(1).map(([x2, y2], k) => [x + line[k][0], y + line[k][1], x + x2, y + y2]));
  return { light: panel.name, channel: bunch.channel, colour: strand?.colour ?? WARM, depth, points: [], bars };
}

function spanLights(span) {
  return span.hung.map((hung) => ({
    light: hung.name, channel: hung.channel, colour: hung.colour ?? WARM, depth: 0, bars: [],
    points: hung.lamps_mm.map(([x, y]) => [hung.at_mm[0] + x, hung.at_mm[1] + y]),
  }));
}

function digitLights({ digits, x, y, depth }) {
  return digits.channels.flatMap((segments, d) => segments.map((channel, s) => {
    const [x1, y1, x2, y2] = digits.segments_mm[s];
    const left = x + d * digits.pitch_mm;
    return {
      light: "", channel, colour: digits.colour ?? WARM, depth, points: [],
      bars: [[left + x1, y + y1, left + x2, y + y2]],
    };
  }));
}

function boundsOf(layout) {
  const xs = [];
  const ys = [0];
  const take = (x, y) => { xs.push(x); ys.push(y); };
  for (const { panel, x, y } of layout.panels) [take(x, y), take(x + panel.width_mm, y + panel.height_mm)];
  for (const { x, y } of layout.buttons) [take(x - 60, y + 60), take(x + 60, y)];
  for (const { post, x } of layout.posts) take(x, post.tie_mm + 120);
  for (const { digits, x, y } of layout.digits) [take(x, y), take(x + digits.count * digits.pitch_mm, y + digits.height_mm)];
  for (const [x, y] of layout.spans.flatMap((span) => span.shape_mm)) take(x, y);
  if (xs.length === 0) xs.push(0, 1000);
  return { left: Math.min(...xs), right: Math.max(...xs), top: Math.max(...ys), bottom: Math.min(...ys) };
}
