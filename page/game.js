// The game at play: ticks of fixed length, however unevenly the screen asks for pictures. It can be slowed and held, it can
// go on with constants tuned meanwhile, and it can replay what a proof wrote down; a tick is the same tick in all of them.

import { Conditioner } from "./conditioner.js";
import { begin, frame, kept, step } from "./player.js";

/** No more than this is caught up after a pause, in milliseconds. */
const CATCH_UP_MS = 250;

/** One display at play. */
export class Game {
  /**
   * @param {any} form the machine form
   * @param {{kept?: (number|null)[], settings?: (number|null)[]}} [start] what tick 0 starts from besides the rules
   * @param {{p: number[], h: number[], k: [number, number][]}[]|null} [replay] the inputs of every tick, in place of whoever plays
   */
  constructor(form, start = {}, replay = null) {
    this.form = form;
    this.replay = replay;
    this.buttons = form.buttons.map(() => ({ down: new Set(), latched: false, conditioner: new Conditioner(form.tick_ms) }));
    const outcome = begin(form, replay?.[0]?.k ?? [], start);
    this.situation = outcome.situation;
    /** The way each machine took last. */
    this.ways = outcome.ways;
    this.buttons.forEach((button) => button.conditioner.tick(false));
    this.frame = frame(form, this.situation);
    this.ticks = 0;
    this.owed = 0;
    this.last = null;
    this.pace = 1;
    this.held = false;
    /** The sounds begun since somebody last listened, by position. */
    this.begun = [];
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
    if (this.replay) return Boolean(this.replay[this.ticks] && this.ticks > 0 && (this.replay[this.ticks].h.includes(b) || this.replay[this.ticks].p.includes(b)));
    return this.buttons[b]?.down.size > 0;
  }

  /** Whether a replay has come to its end. */
  get over() {
    return this.replay !== null && this.ticks >= this.replay.length - 1;
  }

  /** The kept numbers as they are now. */
  get keeps() {
    return kept(this.form, this.situation);
  }

  /** Plays the ticks that are due at this time in milliseconds. @returns {boolean} whether there were any */
  advance(now) {
    const passed = this.last === null || this.held ? 0 : (now - this.last) * this.pace;
    this.owed = this.held ? 0 : Math.min(this.owed + passed, CATCH_UP_MS);
    this.last = now;
    const before = this.ticks;
    for (; this.owed >= this.form.tick_ms; this.owed -= this.form.tick_ms) this.tick();
    if (this.ticks !== before) this.frame = frame(this.form, this.situation);
    return this.ticks !== before;
  }

  /** Plays so many ticks at once, whatever the clock says. */
  go(count) {
    for (let k = 0; k < count; k += 1) this.tick();
    this.frame = frame(this.form, this.situation);
  }

  /** Goes on under a form that differs in its constants alone: what is outside of the new limits is held to them. */
  playOn(form) {
    if (!sameShape(form, this.form)) return false;
    form.machines.forEach((machine, m) => {
      const being = this.situation.machines[m];
      being.numbers = being.numbers.map((value, i) => Math.min(Math.max(value, machine.numbers[i].min), machine.numbers[i].max));
      being.timers = being.timers.map((left, i) => Math.min(left, machine.timers[i].max));
    });
    this.form = form;
    this.frame = frame(form, this.situation);
    return true;
  }

  tick() {
    if (this.over) return;
    const heard = this.buttons.map((button) => {
      const level = button.down.size > 0 || button.latched;
      button.latched = false;
      return button.conditioner.tick(level);
    });
    const input = this.replay ? this.given(this.replay[this.ticks + 1])
      : { pressed: heard.map((one) => one.pressed), held: heard.map((one) => one.held) };
    const { situation, ways } = step(this.form, this.situation, input);
    this.situation = situation;
    this.ways = ways.map((way, m) => way ?? this.ways[m]);
    this.ticks += 1;
    situation.playing.forEach((plays, s) => plays && this.begun.push(s));
  }

  /** The inputs of a tick of a replay. */
  given({ p, h, k }) {
    return { pressed: this.form.buttons.map((_, b) => p.includes(b)), held: this.form.buttons.map((_, b) => h.includes(b)), picks: k };
  }
}

/** Whether two forms have the same machines, states, numbers, timers, ways and names to show. */
function sameShape(a, b) {
  const shape = ({ machines, buttons, messages, sounds, settings, figures, spots, digits }) => JSON.stringify([
    machines.map(({ name, numbers, timers, states }) => [
      name, numbers.map((number) => number.name), timers.map((timer) => timer.name), states.map((state) => [state.name, state.transitions.length])]),
    buttons, messages, sounds, settings.map((setting) => setting.name), figures, spots, digits]);
  return shape(a) === shape(b);
}

/** The keys that press a number of buttons: the space bar for one, outer letter keys for more. */
export function keysFor(count) {
  return count === 1 ? [" "] : ["a", "l", "d", "j", "g"].slice(0, count);
}

/** A key as a builder would call it. */
export function keyName(key) {
  return key === " " ? "space bar" : key.toUpperCase();
}
