// The yard: the display's front at night, to scale, with the lamps of the frame lit.

const COLOURS = {
  night: "#0c1220", ground: "#2f3b57", rope: "#53617f", dimension: "#9aa8c7", unlit: "#3a4560", warm: "#ffe2a8",
};
const FONT = '"Atkinson Hyperlegible Next", sans-serif';

/** Lengths of the drawing that the plan does not hold, in millimetres: they are ours, and only of the drawing. */
const GAP = 420;
const POST = 950;
const LAMP = 5;
const GLOW = 64;

/** Places the panels side by side on the ground and the posts of the buttons after them. */
export function layOut(plan) {
  let x = 0;
  const panels = plan.panels.map((panel) => {
    const at = { panel, x, lamps: lampsOf(panel) };
    x += panel.width_mm + GAP;
    return at;
  });
  const posts = plan.buttons.map((button) => {
    const at = { button, x };
    x += GAP;
    return at;
  });
  const height = Math.max(POST + 80, ...plan.panels.map((panel) => panel.height_mm));
  return { panels, posts, width: Math.max(x - GAP, 1) + 80, height };
}

/** Every hole with the colour of the strand that fills it and the channel that lights it. */
function lampsOf(panel) {
  return panel.holes.map((hole) => {
    const strand = panel.strands.find((run) => hole.number >= run.first_hole && hole.number <= run.last_hole);
    const bunch = panel.bunches[hole.bunch];
    return { x: hole.x_mm, y: hole.y_mm, colour: strand?.colour ?? COLOURS.warm, channel: bunch?.channel };
  });
}

/** Which channels a frame lights. */
export function litChannels(plan, frame) {
  return plan.channels.map(({ lit_by: by }) =>
    by.by === "spot" ? (frame.spots[by.spot] ?? 0) > 127 : by.poses.includes(frame.poses[by.figure]));
}

const glows = new Map();

/** A lamp's glow as a picture, drawn once for each colour. */
function glowOf(colour) {
  if (glows.has(colour)) return glows.get(colour);
  const size = 96;
  const canvas = document.createElement("canvas");
  canvas.width = size;
  canvas.height = size;
  const pen = canvas.getContext("2d");
  pen.fillStyle = COLOURS.warm;
  pen.fillStyle = colour;
  const hex = pen.fillStyle.startsWith("#") ? pen.fillStyle : COLOURS.warm;
  const [r, g, b] = [1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16));
  const shade = pen.createRadialGradient(size / 2, size / 2, 0, size / 2, size / 2, size / 2);
  for (const [stop, alpha] of [[0, 0.6], [0.1, 0.38], [0.25, 0.17], [0.55, 0.05], [1, 0]]) {
    shade.addColorStop(stop, `rgba(${r}, ${g}, ${b}, ${alpha})`);
  }
  pen.fillStyle = shade;
  pen.fillRect(0, 0, size, size);
  const core = [r, g, b].map((part) => Math.round(part + (255 - part) * 0.25));
  const glow = { canvas, core: `rgb(${core.join(", ")})` };
  glows.set(colour, glow);
  return glow;
}

/** The yard on its canvas. */
export class Yard {
  /** @param {HTMLCanvasElement} canvas */
  constructor(canvas) {
    this.canvas = canvas;
    this.pen = canvas.getContext("2d");
    this.view = null;
  }

  /** Fits the bitmap to the canvas as laid out, and the drawing into it. `scale` is null to fit. */
  place(scene, scale) {
    const { clientWidth: width, clientHeight: height } = this.canvas;
    const density = Math.min(window.devicePixelRatio || 1, 2);
    if (this.canvas.width !== Math.round(width * density) || this.canvas.height !== Math.round(height * density)) {
      this.canvas.width = Math.round(width * density);
      this.canvas.height = Math.round(height * density);
    }
    const small = width < 700;
    const [top, bottom, sides] = small ? [62, 42, 54] : [64, 56, 90];
    const fit = Math.min((width - 2 * sides) / scene.width, (height - top - bottom) / scene.height);
    const s = scale ?? Math.max(fit, 0.001);
    const larger = scene.height * s > height - top - bottom + 1;
    // Of a scene that is higher than the window the upper half is looked at: the face and the hands, not the feet.
    const ground = larger ? height / 2 + 0.7 * scene.height * s : height - bottom;
    const first = scene.panels[0];
    const wide = scene.width * s > width;
    const centre = wide && first ? first.x + first.panel.width_mm / 2 : (scene.width - 80) / 2;
    this.view = { width, height, density, s, ground, left: width / 2 - centre * s, larger: larger || wide };
    return this.view;
  }

  /** Draws one frame. `breath` is 1 for a still glow. */
  draw(plan, scene, frame, breath, isDown) {
    const { pen, view } = this;
    if (!view) return;
    const lit = litChannels(plan, frame);
    pen.setTransform(view.density, 0, 0, view.density, 0, 0);
    pen.globalCompositeOperation = "source-over";
    pen.globalAlpha = 1;
    pen.fillStyle = COLOURS.night;
    pen.fillRect(0, 0, view.width, view.height);
    this.ground();
    for (const at of scene.panels) this.panel(at, plan.units);
    scene.posts.forEach((at, b) => this.post(at, lit[at.button.lamp], isDown(b)));
    for (const at of scene.panels) this.lamps(at, lit, breath);
  }

  x(mm) { return this.view.left + mm * this.view.s; }

  y(mm) { return this.view.ground - mm * this.view.s; }

  ground() {
    const { pen, view } = this;
    if (view.ground > view.height) return;
    pen.strokeStyle = COLOURS.ground;
    pen.lineWidth = 2;
    this.line(0, view.ground + 1, view.width, view.ground + 1);
  }

  line(x1, y1, x2, y2) {
    const { pen } = this;
    pen.beginPath();
    pen.moveTo(x1, y1);
    pen.lineTo(x2, y2);
    pen.stroke();
  }

  /** The sheet's faint edge, its unlit lamps and its dimensions. */
  panel({ panel, x, lamps, said }, _units) {
    const { pen, view } = this;
    const [left, right] = [this.x(x), this.x(x + panel.width_mm)];
    const top = this.y(panel.height_mm);
    pen.strokeStyle = COLOURS.ground;
    pen.lineWidth = 1;
    pen.strokeRect(left, top, right - left, view.ground - top);
    pen.fillStyle = COLOURS.unlit;
    const r = Math.max(0.9, LAMP * 0.8 * view.s);
    for (const lamp of lamps) this.dot(this.x(x + lamp.x), this.y(lamp.y), r);
    if (!said) return;
    pen.strokeStyle = COLOURS.rope;
    pen.fillStyle = COLOURS.dimension;
    const small = right - left < 90;
    pen.font = `${small ? 12 : 14}px ${FONT}`;
    const below = view.ground + 16;
    this.line(left, below, right, below);
    for (const end of [left, right]) this.line(end, below - 5, end, below + 5);
    pen.textAlign = "center";
    pen.textBaseline = "top";
    pen.fillText(said.width, (left + right) / 2, below + 6);
    const beside = left - 16;
    this.line(beside, top, beside, view.ground);
    for (const end of [top, view.ground]) this.line(beside - 5, end, beside + 5, end);
    pen.save();
    pen.translate(beside - 6, (top + view.ground) / 2);
    pen.rotate(-Math.PI / 2);
    pen.textBaseline = "bottom";
    pen.fillText(said.height, 0, 0);
    pen.restore();
  }

  dot(x, y, r) {
    const { pen } = this;
    pen.beginPath();
    pen.arc(x, y, r, 0, 2 * Math.PI);
    pen.fill();
  }

  lamps({ x, lamps }, lit, breath) {
    const { pen, view } = this;
    pen.globalCompositeOperation = "lighter";
    const reach = Math.max(5, GLOW * view.s);
    const r = Math.max(1.1, LAMP * view.s);
    for (const lamp of lamps) {
      if (!lit[lamp.channel]) continue;
      const glow = glowOf(lamp.colour);
      const [px, py] = [this.x(x + lamp.x), this.y(lamp.y)];
      pen.globalAlpha = breath;
      pen.drawImage(glow.canvas, px - reach, py - reach, 2 * reach, 2 * reach);
      pen.globalAlpha = 1;
      pen.fillStyle = glow.core;
      this.dot(px, py, r);
    }
    pen.globalCompositeOperation = "source-over";
  }

  /** A button on its post, with its lamp. */
  post({ button, x }, lit, down) {
    const { pen, view } = this;
    const [px, top] = [this.x(x), this.y(POST)];
    const r = Math.max(5, 42 * view.s);
    pen.strokeStyle = COLOURS.ground;
    pen.lineWidth = Math.max(2, 36 * view.s);
    this.line(px, view.ground, px, top);
    if (lit) {
      pen.globalCompositeOperation = "lighter";
      pen.drawImage(glowOf(COLOURS.warm).canvas, px - 4 * r, top - 4 * r, 8 * r, 8 * r);
      pen.globalCompositeOperation = "source-over";
    }
    pen.fillStyle = lit ? COLOURS.warm : COLOURS.ground;
    this.dot(px, top, r * (down ? 0.8 : 1));
    pen.strokeStyle = COLOURS.rope;
    pen.lineWidth = 1.5;
    pen.beginPath();
    pen.arc(px, top, r, 0, 2 * Math.PI);
    pen.stroke();
    pen.fillStyle = COLOURS.dimension;
    pen.font = `14px ${FONT}`;
    pen.textAlign = "center";
    pen.textBaseline = "bottom";
    pen.fillText(button.name, px, top - r - 10);
  }

  /** The button nearest to a point of the canvas, by position; -1 when there is none. */
  nearest(scene, px) {
    let best = -1;
    scene.posts.forEach((at, b) => {
      if (best < 0 || Math.abs(this.x(at.x) - px) < Math.abs(this.x(scene.posts[best].x) - px)) best = b;
    });
    return best;
  }
}
