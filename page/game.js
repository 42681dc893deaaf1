// The game at play: ticks of fixed length, however unevenly the screen asks for pictures.

import { Conditioner } from "./conditioner.js";
import { begin, frame, step } from "./player.js";

/** No more than this is caught up after a pause, in milliseconds. */
const CATCH_UP_MS = 250;

/** One display at play. */
export class Game {
  /** @param {any} form the machine form */
  constructor(form) {
    this.form = form;
    this.buttons = form.buttons.map(() => ({ down: new Set(), latched: false, conditioner: new Conditioner(form.tick_ms) }));
    this.situation = begin(form).situation;
    this.buttons.forEach((button) => button.conditioner.tick(false));
    this.frame = frame(form, this.situation);
    this.ticks = 0;
    this.owed = 0;
    this.last = null;
  }

  /** A finger, pointer or key, told apart by `by`, goes down on button `b`. It counts even if it leaves before the tick. */
  down(b, by) {
    const button = this.buttons[b];
    if (!button || button.down.has(by)) return;
    button.down.add(by);
    button.latched = true;
  }

  /** It leaves whatever it was on. */
  up(by) {
    for (const button of this.buttons) button.down.delete(by);
  }

  /** Everything is let go, as when the window is left. */
  release() {
    for (const button of this.buttons) button.down.clear();
  }

  /** Whether button `b` is down, for drawing. */
  isDown(b) {
    return this.buttons[b]?.down.size > 0;
  }

  /** Plays the ticks that are due at this time in milliseconds. @returns {boolean} whether there were any */
  advance(now) {
    this.owed = Math.min(this.owed + (this.last === null ? 0 : now - this.last), CATCH_UP_MS);
    this.last = now;
    const before = this.ticks;
    for (; this.owed >= this.form.tick_ms; this.owed -= this.form.tick_ms) this.tick();
    if (this.ticks !== before) this.frame = frame(this.form, this.situation);
    return this.ticks !== before;
  }

  tick() {
    const heard = this.buttons.map((button) => {
      const level = button.down.size > 0 || button.latched;
      button.latched = false;
      return button.conditioner.tick(level);
    });
    const input = { pressed: heard.map((one) => one.pressed), held: heard.map((one) => one.held) };
    this.situation = step(this.form, this.situation, input).situation;
    this.ticks += 1;
  }
}

/** The keys that press a number of buttons: the space bar for one, outer letter keys for more. */
export function keysFor(count) {
  return count === 1 ? [" "] : ["a", "l", "d", "j", "g"].slice(0, count);
}

/** A key as a builder would call it. */
export function keyName(key) {
  return key === " " ? "space bar" : key.toUpperCase();
}
