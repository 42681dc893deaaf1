// Deliberate mistakes of the page's player: the committed vectors must find every one of them.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import path from "node:path";
import test from "node:test";
import { fileURLToPath } from "node:url";
import { replay, vectorFiles, vectorsIn } from "./vectors.mjs";

const here = path.dirname(fileURLToPath(import.meta.url));
const PLAYER = readFileSync(path.resolve(here, "../../page/player.js"), "utf8");

/** What is mistaken, the words that are changed (they stand once in the player), and what they are changed to. */
const MISTAKES = [
  // Tick 0.
  ["kept values are not taken", "if (value !== null) machines[m]", "if (value === undefined) machines[m]"],
  ["kept values are not held to range", "= clamp(value, min, max);\n  });", "= value;\n  });"],
  ["settings are not taken", "start.settings?.[i] ?? usual", "usual"],
  ["settings are not held to range", "clamp(start.settings?.[i] ?? usual, min, max)", "start.settings?.[i] ?? usual"],
  ["tick 0 enters no state", "tick.enter(m, 0);", ""],
  ["every stream has the same start", "fnv(new TextEncoder().encode(machine), fnv(littleEndian(seed, 4)))", "fnv(littleEndian(seed, 4))"],
  ["the seed does not matter", "fnv(littleEndian(seed, 4))", "fnv([])"],
  // Inputs.
  ["simulated presses are not heard", "before.simulated[b] || ", ""],
  ["simulated presses never vanish", "    this.after.simulated.fill(false);\n", ""],
  ["simulated presses count as held", "Boolean(this.input.held?.[expr.b])", "Boolean(this.input.held?.[expr.b] || this.pressed[expr.b])"],
  ["`pressed` asks for real presses only", "Number(this.pressed[expr.b])", "Number(Boolean(this.input.pressed?.[expr.b]))"],
  ["messages never vanish", "    this.after.sent.fill(false);\n", ""],
  ["messages are heard in their own tick", "this.snapshot.sent[message]", "this.after.sent[message]"],
  ["messages are heard from their first sender only", "trigger.any.some((message) => this.snapshot.sent[message])", "this.snapshot.sent[trigger.any[0]]"],
  // Timers.
  ["a timer is due one tick late", "if (left > 1) return left - 1;", "if (left > 0) return left - 1;"],
  ["a due timer runs out", "if (left < 0) return left;", "if (left < 0) return OFF;"],
  ["flashing ends after one round", "timers[i].cycle ? timers[i].max : DUE", "DUE"],
  ["firing does not take due away", 'if (transition.trigger.on === "timer") being.timers[transition.trigger.timer] = OFF;', ""],
  ["leaving does not stop dwell timers", "for (const dwell of left.dwells) being.timers[dwell.timer] = OFF;", ""],
  ["entering does not start dwell timers", "for (const dwell of entered.dwells) being.timers[dwell.timer] = dwell.ticks;", ""],
  ["a stopped timer is due", 'case "stop": being.timers[action.timer] = OFF;', 'case "stop": being.timers[action.timer] = DUE;'],
  ["a timer may run for no tick", "clamp(this.stored(m, action.ticks), 1, longest)", "Math.min(this.stored(m, action.ticks), longest)"],
  ["a due timer runs", "Number(being(expr.m).timers[expr.i] >= 0)", "Number(being(expr.m).timers[expr.i] !== OFF)"],
  ["a timer that is off is due", "Number(being(expr.m).timers[expr.i] === DUE)", "Number(being(expr.m).timers[expr.i] < 0)"],
  ["less than nothing is left of a due timer", "Math.max(being(expr.m).timers[expr.i], 0)", "being(expr.m).timers[expr.i]"],
  // Ways.
  ["the last way that can go is taken", "able.find((way) => !isOut(way))", "able.findLast((way) => !isOut(way))"],
  ["conditions do not matter", "return present() && (!condition || this.value(m, condition) !== 0);", "return present();"],
  ["causes do not matter", "return present() && (", "return (trigger.on !== 'always' || present()) && ("],
  ["foreign values are seen as written so far", "(of === m ? this.after : this.snapshot).machines[of]", "this.after.machines[of]"],
  ["own values are seen as frozen", "(of === m ? this.after : this.snapshot).machines[of]", "this.snapshot.machines[of]"],
  ["exit actions are left out", "this.perform(m, left.exit);", ""],
  ["entry actions are left out", "this.perform(m, entered.entry);", ""],
  ["the way's actions come before exit", /( {4}if \(goes\) \{\n {6}const left.*?\n {4}\}\n)( {4}this\.perform\(m, transition\.actions\);\n)/s, "$2$1"],
  ["entry comes before the way's actions", /( {4}this\.perform\(m, transition\.actions\);\n)( {4}if \(goes\) this\.enter\(m, transition\.go\);\n)/, "$2$1"],
  ["staying is going to the same state", "this.perform(m, transition.actions);\n    if (goes) this.enter(m, transition.go);", "this.perform(m, transition.actions);\n    this.enter(m, transition.go ?? being.state);"],
  ["going to the same state is staying", "const goes = transition.go !== null", "const goes = transition.go !== being.state && transition.go !== null"],
  // Ties and remembered presses.
  ["in a tie all ways can go", "favoured !== null && isSide(side)", "favoured === undefined && isSide(side)"],
  ["ways of no side are out in a tie", "favoured !== null && isSide(side) && side !== favoured", "favoured !== null && side !== favoured"],
  ["the first side is always favoured", "from = ties.side;", "from = 0;"],
  ["turns never change", 'if (ties.how === "alternately") this.after.machines[m].numbers[ties.turn] = (from + 1) % count;', ""],
  ["a turn lasts until its side ties", "numbers[ties.turn] = (from + 1) % count;", "numbers[ties.turn] = (this.snapshot.machines[m].numbers[ties.turn] + 1) % count;"],
  ["a picked side is counted from 0", "this.pick(m, ties.site, 1, count) - 1", "this.pick(m, ties.site, 0, count - 1)"],
  ["the side before is next in turn", "while (!tied.has(from)) from = (from + 1) % count;", "while (!tied.has(from)) from = (from + count - 1) % count;"],
  ["one side alone is a tie", "tied.size < 2", "tied.size < 1"],
  ["a press lost in a tie stays remembered", "if (used || vanished.includes(button))", "if (used)"],
  ["a remembered press is never used up", "if (used || vanished.includes(button))", "if (vanished.includes(button))"],
  ["remembered presses are not heard", " || this.remembered(m, trigger.button)", ""],
  ["remembered presses are heard one tick less", "timers[timer] = ticks;", "timers[timer] = ticks - 1 || DUE;"],
  ["another press does not begin anew", "else if (this.pressed[button]) timers[timer] = ticks;", "else if (this.pressed[button] && timers[timer] < 0) timers[timer] = ticks;"],
  ["remembered presses are never forgotten", "else if (timers[timer] === DUE) timers[timer] = OFF;", ""],
  // Values.
  ["numbers are not held to range", "clamp(this.stored(m, action.to), min, max)", "this.stored(m, action.to)"],
  ["numbers are held from above only", "clamp(this.stored(m, action.to), min, max)", "Math.min(this.stored(m, action.to), max)"],
  ["picks by remainder", "Math.floor((word * values) / 4294967296)", "word % values"],
  ["picks are one value short", "Math.max(hi, lo) - lo + 1", "Math.max(hi - lo, 1)"],
  ["a stream with other shifts", "word ^= word >>> 17;", "word ^= word >>> 15;"],
  ["a stream that keeps its sign", "word ^= word >>> 17;", "word ^= word >> 17;"],
  ["a given pick is not held to range", "clamp(given[1], lo, hi)", "given[1]"],
  ["a given pick leaves the stream as it is", "const own = within(this.word(m), lo, hi);\n    const value = this.given(site, lo, hi) ?? own;", "const value = this.given(site, lo, hi) ?? within(this.word(m), lo, hi);"],
  ["drawn values stay in their bag", "numbers[bag] = left & ~(1 << bit);", ""],
  ["a given draw is not looked for in the bag", "[...all.slice(from), ...all.slice(0, from)].find(isIn)", "from"],
  ["a given draw is looked for from the least on", "[...all.slice(from), ...all.slice(0, from)].find(isIn)", "(isIn(from) ? from : all.find(isIn))"],
  ["a draw counts the values that are out, too", "still[within(this.word(m), 0, still.length - 1)]", "within(this.word(m), 0, still.length - 1)"],
  ["quotients are cut off downward", "(a / b) | 0", "Math.floor(a / b)"],
  ["the quotient for the remainder", "(a % b) | 0", "(a / b) | 0"],
  ["the greater for the lesser", "Math.min(a, b)", "Math.max(a, b)"],
  ["the lesser for the greater", 'case "max": return Math.max(a, b)', 'case "max": return Math.min(a, b)'],
  ["the difference the other way round", "(a - b) | 0", "(b - a) | 0"],
  ["a sum for a product", "Math.imul(a, b)", "(a + b)"],
  ["`<` for `<=`", "Number(a <= b)", "Number(a < b)"],
  ["`<=` for `<`", "Number(a < b)", "Number(a <= b)"],
  ["`>` for `>=`", "Number(a >= b)", "Number(a > b)"],
  ["`>=` for `>`", "Number(a > b)", "Number(a >= b)"],
  ["everything is equal", "Number(a === b)", "1"],
  ["equal for not equal", "Number(a !== b)", "Number(a === b)"],
  ["either for both", "Number(a !== 0 && b !== 0)", "Number(a !== 0 || b !== 0)"],
  ["both for either", "Number(a !== 0 || b !== 0)", "Number(a !== 0 && b !== 0)"],
  ["`not` is left out", "Number(this.value(m, expr.a) === 0)", "this.value(m, expr.a)"],
  ["the sign is left out", "-this.value(m, expr.a) | 0", "this.value(m, expr.a)"],
  // What is shown.
  ["sounds never end", "    this.after.playing.fill(false);\n", ""],
  ["poses are not shown", "if (state.pose)", "if (state.pose === undefined)"],
  ["a row's index is counted from 0", "const at = light.first + this.spot - 1;", "const at = light.first + this.spot;"],
  ["a row's index is not held to its ends", "clamp(light.index ? this.value(m, light.index) : 1, 1, light.count)", "(light.index ? this.value(m, light.index) : 1)"],
  ["a row's last spot is left out", "light.each ? [1, light.count]", "light.each ? [1, light.count - 1]"],
  ["every spot of a row is the first", 'case "spot": return this.spot;', 'case "spot": return 1;'],
  ["a light's condition does not matter", "if (light.when && this.value(m, light.when) === 0) continue;", ""],
  ["the last light wins, not the brightest", "Math.max(shown.spots[at], clamp(this.value(m, light.level), 0, 255))", "clamp(this.value(m, light.level), 0, 255)"],
  ["levels are not held to range", "clamp(this.value(m, light.level), 0, 255)", "(this.value(m, light.level) & 255)"],
  ["numbers are not shown on digits", "shown.digits[number.shown_on] = ", "void "],
  ["the last machine's writing is seen", "if (written.has(digits)) continue;", ""],
  ["zeros are never lit", "shown.zeros[digits] = zeros && !dark;", ""],
  ["zeros are lit while dark", "zeros && !dark", "zeros"],
  ["flashing begins dark", "timers[flash.timer] <= flash.dark", "timers[flash.timer] > flash.dark"],
  ["flashing is dark one tick less", "timers[flash.timer] <= flash.dark", "timers[flash.timer] < flash.dark"],
  ["sounds are not in the frame", "sounds: [...situation.playing],", "sounds: situation.playing.map(() => false),"],
];

/** The player with a mistake in it. */
async function mistaken([name, words, others]) {
  const places = PLAYER.split(words).length - 1;
  assert.ok(typeof words !== "string" || places === 1, `${name}: its words stand ${places} times in the player`);
  const text = PLAYER.replace(words, typeof words === "string" ? () => others : others);
  assert.notEqual(text, PLAYER, `${name}: nothing is changed`);
  return import(`data:text/javascript,${encodeURIComponent(text)}`);
}

test("every deliberate mistake of the page's player is found by a committed vector", async (t) => {
  const vectors = vectorFiles().flatMap(vectorsIn);
  const right = await mistaken(["none", "// The rules at play", "// The rules at play, unchanged"]);
  assert.deepEqual(vectors.filter((vector) => replay(right, vector).difference !== null).map(({ name }) => name), []);
  assert.ok(MISTAKES.length >= 40 && new Set(MISTAKES.map(([name]) => name)).size === MISTAKES.length);
  for (const mistake of MISTAKES) {
    await t.test(mistake[0], async () => {
      const player = await mistaken(mistake);
      assert.ok(vectors.some((vector) => replay(player, vector).difference !== null), "no vector shows it");
    });
  }
});
