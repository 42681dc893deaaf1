// The dark yard: sky, ground, sheets, posts, rope, hangers, unlit lamps and quiet dimensions.

import { BAR, LAMP } from "./layout.js";
import { length } from "./units.js";

const COLOURS = {
  night: "#0c1220", low: "#121b30", earth: "#0f1628", ground: "#2f3b57", rope: "#53617f", dimension: "#9aa8c7", unlit: "#3a4560",
};
const FONT = '"Atkinson Hyperlegible Next", sans-serif';

/** Draws everything that no frame changes. @returns {HTMLCanvasElement} */
export function drawStill(plan, layout, view, lights, chosen) {
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [Math.max(Math.round(view.width * view.density), 1), Math.max(Math.round(view.height * view.density), 1)];
  const pen = canvas.getContext("2d", { alpha: false });
  pen.scale(view.density, view.density);
  pen.lineCap = "round";
  pen.lineJoin = "round";
  skyAndGround(pen, view);
  // A panel stands before a post, so that nothing stands before its lamps.
  for (const at of layout.posts) post(pen, view, at);
  for (const at of layout.panels) sheet(pen, view, at);
  if (!plan.withheld?.includes("put-up")) for (const at of layout.panels) guys(pen, view, at, plan.stands ?? []);
  for (const span of layout.spans) rope(pen, view, span);
  for (const at of layout.digits) board(pen, view, at);
  for (const at of layout.buttons) standOf(pen, view, at);
  unlit(pen, view, lights);
  if (chosen) ring(pen, view, lights.filter((light) => light.channel === chosen.channel && (!chosen.light || light.light === chosen.light)));
  if (!view.away) dimensions(pen, view, plan, layout);
  return canvas;
}

function line(pen, points) {
  pen.beginPath();
  points.forEach(([x, y], k) => (k === 0 ? pen.moveTo(x, y) : pen.lineTo(x, y)));
  pen.stroke();
}

function skyAndGround(pen, view) {
  const { width, height, ground } = view;
  const edge = view.away ? view.horizon() : ground;
  const sky = pen.createLinearGradient(0, 0, 0, Math.max(edge, 1));
  sky.addColorStop(0, COLOURS.night);
  sky.addColorStop(0.55, COLOURS.night);
  sky.addColorStop(1, COLOURS.low);
  pen.fillStyle = sky;
  pen.fillRect(0, 0, width, height);
  if (edge < height) {
    const earth = pen.createLinearGradient(0, edge, 0, height);
    earth.addColorStop(0, COLOURS.earth);
    earth.addColorStop(1, COLOURS.night);
    pen.fillStyle = earth;
    pen.fillRect(0, edge, width, height - edge);
  }
  pen.strokeStyle = COLOURS.ground;
  pen.lineWidth = 2;
  line(pen, [[0, ground + 1], [width, ground + 1]]);
}

/** A sheet's faint edge and the joints of its pieces. */
function sheet(pen, view, { panel, x, y, depth }) {
  const pieces = panel.pieces?.length ? panel.pieces : [{ x_mm: 0, y_mm: 0, width_mm: panel.width_mm, height_mm: panel.height_mm }];
  pen.lineWidth = 1;
  for (const piece of pieces) {
    const [left, right] = [view.x(x + piece.x_mm, depth), view.x(x + piece.x_mm + piece.width_mm, depth)];
    const [top, bottom] = [view.y(y + piece.y_mm + piece.height_mm, depth), view.y(y + piece.y_mm, depth)];
    pen.fillStyle = "#0e1526";
    pen.fillRect(left, top, right - left, bottom - top);
    pen.strokeStyle = "#1d2740";
    pen.strokeRect(left + 0.5, top + 0.5, right - left - 1, bottom - top - 1);
  }
}

/**
 * The guys of a panel, half of them to the front and half to the back, at its edges: upright for whoever looks straight at it, slanting
 * for whoever stands near. A stake behind the eye is not seen.
 */
function guys(pen, view, { panel, x, depth }, stands) {
  const held = stands.find((stand) => stand.panel === panel.name)?.guys ?? [];
  const aSide = held.length / 2;
  held.forEach((guy, k) => {
    const [front, of] = [k < aSide, aSide > 1 ? (k % aSide) / (aSide - 1) : 0.5];
    const [at, staked] = [x + of * panel.width_mm, depth + (front ? -1 : 1) * guy.stake_mm];
    if (view.away && staked < -0.7 * view.away) return;
    pen.strokeStyle = COLOURS.rope;
    pen.lineWidth = Math.max(1, 7 * view.s * view.near(depth));
    const foot = [view.x(at, staked), view.y(0, staked)];
    line(pen, [[view.x(at, depth), view.y(guy.tie_mm, depth)], foot]);
    pen.lineWidth = Math.max(2.5, 30 * view.s * view.near(staked));
    line(pen, [foot, [foot[0], view.y(110, staked)]]);
  });
}

function post(pen, view, { post: each, x, depth }) {
  pen.strokeStyle = COLOURS.ground;
  pen.lineWidth = Math.max(3, 90 * view.s * view.near(depth));
  pen.lineCap = "butt";
  line(pen, [[view.x(x, depth), view.y(0, depth)], [view.x(x, depth), view.y(each.tie_mm + 110, depth)]]);
  pen.lineCap = "round";
}

function rope(pen, view, span) {
  const at = ([x, y]) => [view.x(x), view.y(y)];
  pen.strokeStyle = COLOURS.rope;
  pen.lineWidth = Math.max(1.4, 8 * view.s);
  line(pen, span.shape_mm.map(at));
  pen.lineWidth = 1;
  for (const hung of span.hung) {
    pen.strokeStyle = "#3d4966";
    for (const hanger of hung.hangers) line(pen, [at(hanger.top_mm), at(hanger.bottom_mm)]);
    pen.strokeStyle = COLOURS.ground;
    for (const outline of hung.lines_mm) line(pen, outline.map(([x, y]) => at([hung.at_mm[0] + x, hung.at_mm[1] + y])));
  }
}

/** The board behind digits. */
function board(pen, view, { digits, x, y, depth }) {
  const margin = 55;
  const wide = (digits.count - 1) * digits.pitch_mm + digits.width_mm;
  const [left, right] = [view.x(x - margin, depth), view.x(x + wide + margin, depth)];
  const [top, bottom] = [view.y(y + digits.height_mm + margin, depth), view.y(y - margin, depth)];
  pen.beginPath();
  pen.roundRect(left, top, right - left, bottom - top, Math.max(2, 25 * view.s));
  pen.fillStyle = "#111a2e";
  pen.fill();
  pen.strokeStyle = COLOURS.ground;
  pen.lineWidth = 1.2;
  pen.stroke();
}

function standOf(pen, view, at) {
  const x = view.x(at.x, at.depth);
  pen.strokeStyle = COLOURS.ground;
  pen.lineCap = "butt";
  pen.lineWidth = Math.max(3, 50 * view.s * view.near(at.depth));
  line(pen, [[x, view.y(0, at.depth)], [x, view.y(at.y, at.depth)]]);
  pen.lineCap = "round";
}

function unlit(pen, view, lights) {
  for (const light of lights) {
    const k = view.near(light.depth);
    pen.fillStyle = COLOURS.unlit;
    const r = Math.max(0.75, LAMP * 0.75 * view.s * k);
    pen.beginPath();
    for (const [x, y] of light.points) {
      pen.moveTo(x + r, y);
      pen.arc(x, y, r, 0, 2 * Math.PI);
    }
    pen.fill();
    pen.strokeStyle = "#222d47";
    pen.lineCap = "butt";
    pen.lineWidth = Math.max(1.6, 2 * BAR * view.s * k);
    for (const [x1, y1, x2, y2] of light.bars) line(pen, [[x1, y1], [x2, y2]]);
    pen.lineCap = "round";
  }
}

/** A line around the lamps whose way back is shown, however near each other they are. */
function ring(pen, view, lights) {
  const round = document.createElement("canvas");
  [round.width, round.height] = [pen.canvas.width, pen.canvas.height];
  const own = round.getContext("2d");
  own.scale(view.density, view.density);
  own.strokeStyle = own.fillStyle = COLOURS.dimension;
  own.lineCap = "round";
  const r = Math.max(4.5, 19 * view.s);
  // Everything within r and a little more, less everything within r.
  for (const [operation, reach] of [["source-over", r + 1.4], ["destination-out", r]]) {
    own.globalCompositeOperation = operation;
    for (const { points, bars } of lights) {
      own.lineWidth = 2 * reach;
      for (const [x1, y1, x2, y2] of bars) line(own, [[x1, y1], [x2, y2]]);
      own.beginPath();
      for (const [x, y] of points) {
        own.moveTo(x + reach, y);
        own.arc(x, y, reach, 0, 2 * Math.PI);
      }
      own.fill();
    }
  }
  pen.drawImage(round, 0, 0, view.width, view.height);
}

/** A dimension line with its measure; upright ones are read from the right. */
function dimension(pen, [x1, y1], [x2, y2], said, { beside = 1 } = {}) {
  pen.strokeStyle = COLOURS.rope;
  pen.fillStyle = COLOURS.dimension;
  pen.lineWidth = 1;
  line(pen, [[x1, y1], [x2, y2]]);
  const flat = y1 === y2;
  for (const [x, y] of [[x1, y1], [x2, y2]]) line(pen, flat ? [[x, y - 5], [x, y + 5]] : [[x - 5, y], [x + 5, y]]);
  pen.textAlign = "center";
  pen.font = `14px ${FONT}`;
  if (flat) {
    pen.textBaseline = "top";
    pen.fillText(said, (x1 + x2) / 2, y1 + 6);
    return;
  }
  pen.save();
  pen.translate(x1 - 6 * beside, (y1 + y2) / 2);
  pen.rotate(-Math.PI / 2);
  pen.textBaseline = beside > 0 ? "bottom" : "top";
  pen.fillText(said, 0, 0);
  pen.restore();
}

function dimensions(pen, view, plan, layout) {
  const say = (mm) => length(mm, plan.units);
  const below = view.ground + 16;
  const first = layout.panels[0];
  if (layout.posts.length > 1) {
    const xs = layout.posts.map(({ x }) => x);
    const [left, right] = [Math.min(...xs), Math.max(...xs)];
    dimension(pen, [view.x(left), below], [view.x(right), below], say(right - left));
  } else if (first) {
    dimension(pen, [view.x(first.x), below], [view.x(first.x + first.panel.width_mm), below], say(first.panel.width_mm));
  }
  if (first && view.width >= 700) {
    // Beside the panel on the left, or on the right where a post stands in the way.
    const taken = layout.posts.some(({ x }) => Math.abs(view.x(x) - view.x(first.x)) < 44) || view.x(first.x) < 40;
    const at = taken ? view.x(first.x + first.panel.width_mm) + 14 : view.x(first.x) - 16;
    dimension(pen, [at, view.y(first.y + first.panel.height_mm)], [at, view.y(first.y)], say(first.panel.height_mm), { beside: taken ? -1 : 1 });
  }
  for (const span of layout.spans) headroom(pen, view, span, say);
}

/** The way under the lowest thing that hangs, and the lowest point of the rope. */
function headroom(pen, view, span, say) {
  const lowest = span.shape_mm.reduce((low, point) => (point[1] < low[1] ? point : low), span.shape_mm[0] ?? [0, 0]);
  pen.fillStyle = COLOURS.dimension;
  pen.font = `14px ${FONT}`;
  pen.textAlign = "center";
  pen.textBaseline = "bottom";
  if (view.width >= 700) pen.fillText(`rope at its lowest ${say(lowest[1])}`, view.x(lowest[0]), view.y(lowest[1]) - 8);
  const bottomOf = (hung) => hung.at_mm[1] + Math.min(0, ...hung.lines_mm.flat().map(([, y]) => y));
  const low = span.hung.reduce((best, hung) => (!best || bottomOf(hung) <= bottomOf(best) + 1 ? hung : best), null);
  if (!low || view.width < 700) return;
  // The lowest on the right, away from the height of the first panel.
  const right = view.x(low.at_mm[0] + Math.min(0, ...low.lines_mm.flat().map(([x]) => x))) - 12;
  dimension(pen, [right, view.y(span.headroom_mm)], [right, view.ground], say(span.headroom_mm));
}
