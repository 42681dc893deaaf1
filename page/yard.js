// The yard on its canvas. What never moves is drawn once, and so is the light of every channel; a frame then costs one
// picture for the dark yard and one for each lit channel, however many lamps there are.

import { drawStill } from "./still.js";
import { coreSprite, glowSprite, WARM } from "./lamp.js";
import { litChannels } from "./lit.js";
import { BAR, LAMP } from "./layout.js";
import { MINUTE_PX } from "./sight.js";
import { View } from "./view.js";

/** How far a lamp's glow reaches, and how near its neighbour usually is, in millimetres. */
const GLOW = 66;
const NEIGHBOUR = 57;
const FONT = '"Atkinson Hyperlegible Next", sans-serif';

export class Yard {
  /** @param {HTMLCanvasElement} canvas */
  constructor(canvas) {
    this.canvas = canvas;
    this.pen = canvas.getContext("2d", { alpha: false });
    this.view = null;
    this.layout = null;
    /** How many pictures the last frame took, and of how many pixels: what a frame costs, whatever the machine. */
    this.work = { pictures: 0, pixels: 0 };
  }

  /**
   * Fits the bitmap to the canvas as laid out and draws everything that stays.
   * @param {any} plan
   * @param {any} layout
   * @param {any} from `scale`, `away`, `eye`, `look`
   * @param {string[]} words what stands on each button
   * @param {{channel: number, light: string|null}|null} chosen the light whose lamps are ringed
   */
  place(plan, layout, from, words, chosen = null) {
    const { clientWidth: width, clientHeight: height } = this.canvas;
    const density = Math.min(window.devicePixelRatio || 1, 2);
    const [w, h] = [Math.max(Math.round(width * density), 1), Math.max(Math.round(height * density), 1)];
    if (this.canvas.width !== w || this.canvas.height !== h) [this.canvas.width, this.canvas.height] = [w, h];
    this.view = new View(layout.bounds, { width, height, density }, from);
    Object.assign(this, { plan, layout, words });
    this.lights = layout.lights.map((light) => ({
      ...light,
      points: light.points.map(([x, y]) => [this.view.x(x, light.depth), this.view.y(y, light.depth)]),
      bars: light.bars.map(([x1, y1, x2, y2]) => [
        this.view.x(x1, light.depth), this.view.y(y1, light.depth), this.view.x(x2, light.depth), this.view.y(y2, light.depth)]),
    }));
    this.still = drawStill(plan, layout, this.view, this.lights, chosen);
    this.glows = plan.channels.map((_, c) => this.glowOf(this.lights.filter((light) => light.channel === c)));
    return this.view;
  }

  /** The light of one channel as a picture, cut to what the window shows of it; null where that is nothing. */
  glowOf(lights) {
    const { width, height, density, s } = this.view;
    const reach = Math.max(5, GLOW * s);
    const box = [Infinity, Infinity, -Infinity, -Infinity];
    for (const light of lights) {
      for (const [x, y] of [...light.points, ...light.bars.flatMap(([x1, y1, x2, y2]) => [[x1, y1], [x2, y2]])]) {
        [box[0], box[1]] = [Math.min(box[0], x), Math.min(box[1], y)];
        [box[2], box[3]] = [Math.max(box[2], x), Math.max(box[3], y)];
      }
    }
    const [left, top] = [Math.max(Math.floor(box[0] - reach - 2), 0), Math.max(Math.floor(box[1] - reach - 2), 0)];
    const [right, bottom] = [Math.min(Math.ceil(box[2] + reach + 2), width), Math.min(Math.ceil(box[3] + reach + 2), height)];
    if (!(right > left && bottom > top)) return null;
    const picture = document.createElement("canvas");
    [picture.width, picture.height] = [Math.ceil((right - left) * density), Math.ceil((bottom - top) * density)];
    const pen = picture.getContext("2d");
    for (const light of lights) {
      this.shine(pen, light, left, top, reach);
      for (const bar of light.bars) this.bar(pen, light, bar, left, top);
    }
    return { picture, left, top, right, bottom };
  }

  /** Glows lie over each other and add up; the lamps on top keep their colour. */
  shine(pen, light, left, top, reach) {
    const { density, s } = this.view;
    const k = this.view.near(light.depth);
    const strength = Math.min(1, (s * k * NEIGHBOUR) / (0.62 * reach));
    const glow = glowSprite(light.colour, reach * k * density, strength);
    const core = coreSprite(light.colour, Math.max(0.85, LAMP * s * k) * density, (MINUTE_PX / 2) * density);
    for (const [sprite, operation] of [[glow, "lighter"], [core, "source-over"]]) {
      pen.globalCompositeOperation = operation;
      const half = sprite.width / 2;
      for (const [x, y] of light.points) pen.drawImage(sprite, (x - left) * density - half, (y - top) * density - half);
    }
  }

  bar(pen, light, [x1, y1, x2, y2], left, top) {
    const { density, s } = this.view;
    Object.assign(pen, {
      strokeStyle: light.colour, lineWidth: Math.max(1.8, 2 * BAR * s) * density, lineCap: "butt",
      shadowColor: light.colour, shadowBlur: Math.max(4, 60 * s) * density, globalCompositeOperation: "source-over",
    });
    pen.beginPath();
    pen.moveTo((x1 - left) * density, (y1 - top) * density);
    pen.lineTo((x2 - left) * density, (y2 - top) * density);
    pen.stroke();
    pen.shadowBlur = 0;
  }

  /** Draws one frame. `breath` is 1 for a still glow. */
  draw(frame, breath, isDown) {
    const { pen, view, plan } = this;
    if (!view) return;
    const lit = litChannels(plan, frame);
    this.work = { pictures: 1, pixels: this.still.width * this.still.height };
    pen.setTransform(1, 0, 0, 1, 0, 0);
    pen.globalCompositeOperation = "copy";
    pen.globalAlpha = 1;
    pen.drawImage(this.still, 0, 0);
    pen.globalCompositeOperation = "lighter";
    pen.globalAlpha = breath;
    this.glows.forEach((glow, c) => {
      if (!lit[c] || !glow) return;
      pen.drawImage(glow.picture, glow.left * view.density, glow.top * view.density);
      this.work.pictures += 1;
      this.work.pixels += glow.picture.width * glow.picture.height;
    });
    pen.globalAlpha = 1;
    pen.globalCompositeOperation = "source-over";
    pen.setTransform(view.density, 0, 0, view.density, 0, 0);
    this.layout.buttons.forEach((at, b) => this.button(at, lit[at.button.lamp] ?? false, isDown(b), this.words[b] ?? ""));
  }

  /** The head of a button on its post, with its lamp and the word that presses it. */
  button(at, lit, down, word) {
    const { pen, view } = this;
    const k = view.near(at.depth);
    const [x, y] = [view.x(at.x, at.depth), view.y(at.y, at.depth)];
    const r = Math.max(7, 55 * view.s * k);
    if (lit) {
      const reach = Math.max(26, 4.5 * r);
      const sprite = glowSprite(WARM, reach * view.density, 1);
      pen.globalCompositeOperation = "lighter";
      pen.drawImage(sprite, x - sprite.width / 2 / view.density, y - sprite.height / 2 / view.density, sprite.width / view.density, sprite.height / view.density);
      pen.globalCompositeOperation = "source-over";
      this.work.pictures += 1;
      this.work.pixels += sprite.width * sprite.height;
    }
    pen.fillStyle = lit ? WARM : down ? "#53617f" : "#2f3b57";
    pen.beginPath();
    pen.arc(x, y, down ? r * 0.82 : r, 0, 2 * Math.PI);
    pen.fill();
    pen.strokeStyle = lit ? "#fff6e0" : "#9aa8c7";
    pen.lineWidth = down ? 2.5 : 1.4;
    pen.stroke();
    pen.textAlign = "center";
    pen.textBaseline = "bottom";
    pen.fillStyle = "#9aa8c7";
    pen.font = `700 15px ${FONT}`;
    // At the edge of a narrow window the word stays whole.
    const half = pen.measureText(word).width / 2 + 3;
    const within = x < 0 || x > view.width ? x : Math.min(Math.max(x, half), view.width - half);
    pen.fillText(word, within, y - r - 10);
  }

  /** The button nearest to a place across the canvas, by position; -1 when there is none. */
  nearest(px) {
    const { buttons } = this.layout;
    let best = -1;
    buttons.forEach((at, b) => {
      const off = (each) => Math.abs(this.view.x(each.x, each.depth) - px);
      if (best < 0 || off(at) < off(buttons[best])) best = b;
    });
    return best;
  }

  /** The button whose post or head is here, by position; -1 when there is none. */
  buttonAt(px, py) {
    return this.layout.buttons.findIndex((at) => {
      const [x, y] = [this.view.x(at.x, at.depth), this.view.y(at.y, at.depth)];
      return Math.abs(px - x) < 40 && py > y - 48;
    });
  }

  /** The light whose lamp is here, within so many pixels; null when there is none. */
  lightAt(px, py, reach) {
    let [best, off] = [null, reach];
    for (const light of this.lights ?? []) {
      const middles = light.bars.map(([x1, y1, x2, y2]) => [(x1 + x2) / 2, (y1 + y2) / 2]);
      for (const [x, y] of [...light.points, ...middles]) {
        const here = Math.hypot(x - px, y - py);
        if (here < off) [best, off] = [light, here];
      }
    }
    return best;
  }
}
