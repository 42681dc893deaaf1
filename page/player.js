// The rules at play: a plain interpreter of the machine form, with the meaning of `crates/rules/src/step.rs`.
//
// No page, no clock and no evaluation of text: the same form, inputs and picks give the same situation, frame and
// fingerprint as every other player, tick by tick. All arithmetic is on 32-bit whole numbers.

/**
 * @typedef {{w: number, op: string, v?: number, m?: number, i?: number, s?: number, b?: any, a?: any, f?: string,
 *   site?: number, lo?: number, hi?: number}} Expr
 * @typedef {{state: number, numbers: number[], timers: number[], stream: number}} Being one machine at one moment;
 *   a timer is the ticks left, or OFF, or DUE
 * @typedef {{machines: Being[], sent: boolean[], simulated: boolean[], playing: boolean[], settings: number[]}} Situation
 * @typedef {[number, number]} Pick a picking place and its value
 * @typedef {{pressed?: boolean[], held?: boolean[], picks?: Pick[]}} Input
 * @typedef {{kept?: (number|null)[], settings?: (number|null)[]}} Start what tick 0 starts from besides the rules
 * @typedef {{poses: (number|null)[], spots: number[], digits: (number|null)[], zeros: boolean[], sounds: boolean[]}} Frame
 *   digits that are null are blank; zeros says whether leading zeros are lit; sounds which begin in this tick
 * @typedef {{situation: Situation, picked: Pick[], ways: (string|null)[]}} Outcome
 *   ways says for each machine which way it took in this tick, as `state/position`
 */

/** A timer that is neither running nor due. */
export const OFF = -1;
/** A timer that has run down and is not yet answered. */
export const DUE = -2;

const I32_MIN = -2147483648;
const I32_MAX = 2147483647;

const clamp = (value, least, most) => Math.min(Math.max(value, least), most);

/**
 * FNV-1a with 32 bits over bytes, going on from an earlier hash.
 * @param {Iterable<number>} bytes
 * @param {number} [hash]
 * @returns {number} u32
 */
export function fnv(bytes, hash = 0x811c9dc5) {
  for (const byte of bytes) hash = Math.imul(hash ^ byte, 0x01000193);
  return hash >>> 0;
}

/** The lowest `count` bytes of a whole number, least first. */
function littleEndian(value, count) {
  const bytes = [];
  for (let k = 0; k < count; k += 1) bytes.push((value >>> (8 * k)) & 255);
  return bytes;
}

/**
 * The start of a machine's stream: a hash of the seed and the machine's name, never 0.
 * @param {number} seed
 * @param {string} machine
 */
export function streamOf(seed, machine) {
  return fnv(new TextEncoder().encode(machine), fnv(littleEndian(seed, 4))) || 1;
}

/** The next word of a stream: Marsaglia's xorshift with the triple 13, 17, 5. */
export function nextWord(word) {
  word ^= word << 13;
  word ^= word >>> 17;
  word ^= word << 5;
  return word >>> 0;
}

/** A word as a whole number from `lo` to `hi`: the high half of a product below 2^48, which a double holds exactly. */
export function within(word, lo, hi) {
  const values = Math.max(hi, lo) - lo + 1;
  const above = Math.floor((word * values) / 4294967296);
  return clamp(lo + (above > I32_MAX ? 0 : above), I32_MIN, I32_MAX);
}

/** @param {Situation} situation @returns {Situation} */
function copy(situation) {
  return {
    machines: situation.machines.map((being) => ({
      state: being.state, numbers: [...being.numbers], timers: [...being.timers], stream: being.stream,
    })),
    sent: [...situation.sent],
    simulated: [...situation.simulated],
    playing: [...situation.playing],
    settings: situation.settings,
  };
}

/** The kept numbers, by machine and number, in the order in which they are given to tick 0 and kept after a tick. */
function keptNumbers(form) {
  return form.machines.flatMap((machine, m) =>
    machine.numbers.flatMap((number, i) => (number.kept ? [[m, i]] : [])));
}

/**
 * The kept values after a tick: what is worth storing until next time.
 * @param {any} form
 * @param {Situation} situation
 * @returns {number[]}
 */
export function kept(form, situation) {
  return keptNumbers(form).map(([m, i]) => situation.machines[m].numbers[i]);
}

/**
 * Tick 0: the initial states are entered; whatever is pressed counts for nothing.
 * @param {any} form
 * @param {Pick[]} [picks]
 * @param {Start} [start] values kept from last time and settings; what is missing is as the rules say
 * @returns {Outcome}
 */
export function begin(form, picks = [], start = {}) {
  const machines = form.machines.map((machine) => ({
    state: 0,
    numbers: machine.numbers.map((number) => number.start),
    timers: machine.timers.map(() => OFF),
    stream: streamOf(form.seed, machine.name),
  }));
  keptNumbers(form).forEach(([m, i], k) => {
    const { min, max } = form.machines[m].numbers[i];
    const value = start.kept?.[k] ?? null;
    if (value !== null) machines[m].numbers[i] = clamp(value, min, max);
  });
  const off = (all) => all.map(() => false);
  const blank = {
    machines,
    sent: off(form.messages),
    simulated: off(form.buttons),
    playing: off(form.sounds),
    settings: form.settings.map(({ min, max, start: usual }, i) => clamp(start.settings?.[i] ?? usual, min, max)),
  };
  const tick = new Tick(form, blank, blank.simulated, { picks });
  for (let m = 0; m < form.machines.length; m += 1) tick.enter(m, 0);
  return tick.outcome();
}

/**
 * Tick n, from the situation after tick n-1.
 * @param {any} form
 * @param {Situation} before
 * @param {Input} [input]
 * @returns {Outcome}
 */
export function step(form, before, input = {}) {
  // 1. Inputs: conditioned edges, and what the rules pressed in the last tick.
  const pressed = form.buttons.map((_, b) => before.simulated[b] || Boolean(input.pressed?.[b]));
  // 2. Running timers lose one.
  const snapshot = copy(before);
  snapshot.machines.forEach((being, m) => {
    const { timers } = form.machines[m];
    being.timers = being.timers.map((left, i) => {
      if (left < 0) return left;
      if (left > 1) return left - 1;
      return timers[i].cycle ? timers[i].max : DUE;
    });
  });
  // 3. The snapshot is frozen: from here on it is only read.
  const tick = new Tick(form, snapshot, pressed, input);
  for (let m = 0; m < form.machines.length; m += 1) {
    // 4. The first written transition whose trigger is present and whose condition is true.
    const { taken, vanished } = tick.choose(m);
    tick.remember(m, taken, vanished);
    // 5. Exit, transition, entry.
    if (taken) tick.take(m, taken);
  }
  // 6. All is committed at once.
  return tick.outcome();
}

/**
 * Frame n: a function of the situation after tick n.
 * @param {any} form
 * @param {Situation} situation
 * @returns {Frame}
 */
export function frame(form, situation) {
  const shown = {
    poses: form.figures.map(() => null),
    spots: form.spots.map(() => 0),
    digits: form.digits.map(() => null),
    zeros: form.digits.map(() => false),
    sounds: [...situation.playing],
  };
  const lit = new Tick(form, situation, situation.simulated, {});
  form.machines.forEach((machine, m) => {
    machine.numbers.forEach((number, i) => {
      if (number.shown_on !== null && number.shown_on !== undefined) {
        shown.digits[number.shown_on] = situation.machines[m].numbers[i];
      }
    });
  });
  const written = new Set();
  for (let m = 0; m < form.machines.length; m += 1) {
    lit.show(m, shown);
    lit.write(m, written, shown);
  }
  return shown;
}

/** A tick at work: the frozen snapshot, and what has been written so far. */
class Tick {
  constructor(form, snapshot, pressed, input) {
    this.form = form;
    this.snapshot = snapshot;
    this.pressed = pressed;
    this.input = input;
    this.after = copy(snapshot);
    this.after.sent.fill(false);
    this.after.simulated.fill(false);
    this.after.playing.fill(false);
    // The spot of a row that is being lit, counted from 1.
    this.spot = 1;
    this.picked = [];
    this.ways = form.machines.map(() => null);
  }

  /** @returns {Outcome} */
  outcome() {
    return { situation: this.after, picked: this.picked, ways: this.ways };
  }

  choose(m) {
    const { state } = this.snapshot.machines[m];
    const able = this.form.machines[m].states[state].transitions.filter((way) => this.canGo(m, way));
    const favoured = this.favoured(m, able);
    const isOut = ({ side }) => favoured !== null && isSide(side) && side !== favoured;
    const gone = able.filter((way) => isOut(way) && way.trigger.on === "press");
    return { taken: able.find((way) => !isOut(way)) ?? null, vanished: gone.map(({ trigger }) => trigger.button) };
  }

  canGo(m, { trigger, condition }) {
    const present = () => {
      switch (trigger.on) {
        case "always": return true;
        case "press": return this.pressed[trigger.button] || this.remembered(m, trigger.button);
        case "message": return trigger.any.some((message) => this.snapshot.sent[message]);
        case "timer": return this.snapshot.machines[m].timers[trigger.timer] === DUE;
        default: throw new Error(`unknown trigger ${trigger.on}`);
      }
    };
    return present() && (!condition || this.value(m, condition) !== 0);
  }

  remembered(m, button) {
    const { timers } = this.snapshot.machines[m];
    return this.form.machines[m].remembers.some((one) => one.button === button && timers[one.timer] !== OFF);
  }

  /** The side that a tie is settled for; null where ways of fewer than two sides can go. */
  favoured(m, able) {
    const { ties } = this.form.machines[m];
    const tied = new Set(able.map(({ side }) => side).filter(isSide));
    if (!ties || tied.size < 2) return null;
    const count = this.form.sides.length;
    let from = 0;
    if (ties.how === "first") from = ties.side;
    else if (ties.how === "alternately") from = this.snapshot.machines[m].numbers[ties.turn];
    else from = this.pick(m, ties.site, 1, count) - 1;
    while (!tied.has(from)) from = (from + 1) % count;
    if (ties.how === "alternately") this.after.machines[m].numbers[ties.turn] = (from + 1) % count;
    return from;
  }

  /** A press that is used, or vanishes in a tie, is forgotten; another one is remembered from now on; an old one fades. */
  remember(m, taken, vanished) {
    const { timers } = this.after.machines[m];
    for (const { button, timer, ticks } of this.form.machines[m].remembers) {
      const used = taken !== null && taken.trigger.on === "press" && taken.trigger.button === button;
      if (used || vanished.includes(button)) timers[timer] = OFF;
      else if (this.pressed[button]) timers[timer] = ticks;
      else if (timers[timer] === DUE) timers[timer] = OFF;
    }
  }

  take(m, transition) {
    const being = this.after.machines[m];
    this.ways[m] = `${being.state}/${this.form.machines[m].states[being.state].transitions.indexOf(transition)}`;
    const goes = transition.go !== null && transition.go !== undefined;
    if (transition.trigger.on === "timer") being.timers[transition.trigger.timer] = OFF;
    if (goes) {
      const left = this.form.machines[m].states[being.state];
      this.perform(m, left.exit);
      for (const dwell of left.dwells) being.timers[dwell.timer] = OFF;
    }
    this.perform(m, transition.actions);
    if (goes) this.enter(m, transition.go);
  }

  enter(m, state) {
    const being = this.after.machines[m];
    const entered = this.form.machines[m].states[state];
    being.state = state;
    for (const dwell of entered.dwells) being.timers[dwell.timer] = dwell.ticks;
    this.perform(m, entered.entry);
  }

  perform(m, actions) {
    const machine = this.form.machines[m];
    const being = this.after.machines[m];
    for (const action of actions) {
      switch (action.do) {
        case "set": {
          const { min, max } = machine.numbers[action.number];
          being.numbers[action.number] = clamp(this.stored(m, action.to), min, max);
          break;
        }
        case "start": {
          const longest = Math.min(machine.timers[action.timer].max, I32_MAX);
          being.timers[action.timer] = clamp(this.stored(m, action.ticks), 1, longest);
          break;
        }
        case "stop": being.timers[action.timer] = OFF; break;
        case "send": this.after.sent[action.message] = true; break;
        case "press": this.after.simulated[action.button] = true; break;
        case "play": this.after.playing[action.sound] = true; break;
        default: throw new Error(`unknown action ${action.do}`);
      }
    }
  }

  /** A value about to be stored: the only place where a pick or a draw may stand. */
  stored(m, expr) {
    if (expr.op === "pick") return this.pick(m, expr.site, expr.lo, expr.hi);
    if (expr.op === "draw") return this.draw(m, expr);
    return this.value(m, expr);
  }

  pick(m, site, lo, hi) {
    const own = within(this.word(m), lo, hi);
    const value = this.given(site, lo, hi) ?? own;
    this.picked.push([site, value]);
    return value;
  }

  /** The next word of the machine's stream. */
  word(m) {
    const being = this.after.machines[m];
    being.stream = nextWord(being.stream);
    return being.stream;
  }

  given(site, lo, hi) {
    const given = (this.input.picks ?? []).find(([place]) => place === site);
    return given ? clamp(given[1], lo, hi) : null;
  }

  /** A value out of a bag: the pick says which of those still in it, counted from the least. */
  draw(m, { site, bag, lo, hi }) {
    const { numbers } = this.after.machines[m];
    const count = hi - lo + 1;
    const left = numbers[bag] || 2 ** count - 1;
    const all = Array.from({ length: count }, (_, bit) => bit);
    const isIn = (bit) => (left & (1 << bit)) !== 0;
    const still = all.filter(isIn);
    const own = still[within(this.word(m), 0, still.length - 1)];
    const given = this.given(site, lo, hi);
    const from = given === null ? 0 : given - lo;
    const bit = given === null ? own : [...all.slice(from), ...all.slice(0, from)].find(isIn);
    numbers[bag] = left & ~(1 << bit);
    this.picked.push([site, lo + bit]);
    return lo + bit;
  }

  /** The pose and the spots of a machine's state. */
  show(m, shown) {
    const state = this.form.machines[m].states[this.snapshot.machines[m].state];
    if (state.pose) shown.poses[state.pose.figure] = state.pose.pose;
    for (const light of state.lights) {
      const index = clamp(light.index ? this.value(m, light.index) : 1, 1, light.count);
      const [first, last] = light.each ? [1, light.count] : [index, index];
      for (this.spot = first; this.spot <= last; this.spot += 1) {
        if (light.when && this.value(m, light.when) === 0) continue;
        const at = light.first + this.spot - 1;
        shown.spots[at] = Math.max(shown.spots[at], clamp(this.value(m, light.level), 0, 255));
      }
    }
  }

  /** What a machine's state writes on digits that no machine before it writes on. */
  write(m, written, shown) {
    const { state, timers } = this.snapshot.machines[m];
    for (const { digits, value, zeros, flash } of this.form.machines[m].states[state].writes) {
      if (written.has(digits)) continue;
      written.add(digits);
      const dark = Boolean(flash) && timers[flash.timer] <= flash.dark;
      shown.digits[digits] = dark ? null : this.value(m, value);
      shown.zeros[digits] = zeros && !dark;
    }
  }

  /** What an expression comes to for machine `m`: its own values as written so far, everything foreign as frozen. */
  value(m, expr) {
    const being = (of) => (of === m ? this.after : this.snapshot).machines[of];
    switch (expr.op) {
      case "const": return expr.v;
      case "number": return being(expr.m).numbers[expr.i];
      case "in": return Number(being(expr.m).state === expr.s);
      case "running": return Number(being(expr.m).timers[expr.i] >= 0);
      case "due": return Number(being(expr.m).timers[expr.i] === DUE);
      case "held": return Number(Boolean(this.input.held?.[expr.b]));
      case "pressed": return Number(this.pressed[expr.b]);
      case "setting": return this.snapshot.settings[expr.i];
      case "left": return Math.max(being(expr.m).timers[expr.i], 0);
      case "spot": return this.spot;
      // The reader lets a pick or a draw stand only where `stored` meets it first.
      case "pick": case "draw": return expr.lo;
      case "not": return Number(this.value(m, expr.a) === 0);
      case "neg": return -this.value(m, expr.a) | 0;
      case "two": return two(expr.f, this.value(m, expr.a), this.value(m, expr.b));
      default: throw new Error(`unknown expression ${expr.op}`);
    }
  }
}

/** Whether a way out answers one side; without, it is null. */
function isSide(side) {
  return side !== null && side !== undefined;
}

/** Two operands, both 32-bit whole numbers. Quotients are cut off toward zero; what has no value is 0. */
function two(f, a, b) {
  switch (f) {
    case "add": return (a + b) | 0;
    case "sub": return (a - b) | 0;
    case "mul": return Math.imul(a, b);
    case "div": return b === 0 || (a === I32_MIN && b === -1) ? 0 : (a / b) | 0;
    case "rem": return b === 0 ? 0 : (a % b) | 0;
    case "min": return Math.min(a, b);
    case "max": return Math.max(a, b);
    case "eq": return Number(a === b);
    case "ne": return Number(a !== b);
    case "lt": return Number(a < b);
    case "le": return Number(a <= b);
    case "gt": return Number(a > b);
    case "ge": return Number(a >= b);
    case "and": return Number(a !== 0 && b !== 0);
    case "or": return Number(a !== 0 || b !== 0);
    default: throw new Error(`unknown operation ${f}`);
  }
}

/**
 * The fingerprint of a whole situation, byte by byte as `crates/rules/src/hash.rs` defines it.
 * @param {Situation} situation
 * @returns {number} u32
 */
export function fingerprint(situation) {
  let hash = 0x811c9dc5;
  const take = (value, count) => { hash = fnv(littleEndian(value, count), hash); };
  for (const being of situation.machines) {
    take(Math.min(being.state, 65535), 2);
    for (const number of being.numbers) take(number, 4);
    for (const left of being.timers) {
      take(Math.max(left, 0), 4);
      take(left === OFF ? 0 : left === DUE ? 2 : 1, 1);
    }
    take(being.stream, 4);
  }
  for (const flag of [...situation.sent, ...situation.simulated, ...situation.playing]) take(Number(flag), 1);
  for (const setting of situation.settings) take(setting, 4);
  return hash;
}

/**
 * A frame as bytes: each figure's pose plus one (0 is dark), each spot's level, each digits' number in 4 bytes, then
 * for each digits whether leading zeros are lit and for each sound whether it begins.
 * @param {any} form
 * @param {Frame} shown
 * @returns {Uint8Array}
 */
export function frameBytes(form, shown) {
  const poses = form.figures.map((_, f) => (shown.poses[f] === null ? 0 : Math.min(shown.poses[f] + 1, 255)));
  const digits = form.digits.flatMap((_, d) => littleEndian(shown.digits[d] ?? -1, 4));
  return Uint8Array.from([...poses, ...shown.spots, ...digits, ...[...shown.zeros, ...shown.sounds].map(Number)]);
}
