// The page's player and conditioner against published values and against the project's vectors.

import assert from "node:assert/strict";
import path from "node:path";
import test from "node:test";
import { Conditioner } from "../../page/conditioner.js";
import * as player from "../../page/player.js";
import { replay, vectorFiles, vectorsIn } from "./vectors.mjs";

// FNV-1a 32: RFC 9923, appendix with test values.
test("the hash gives the published values of FNV-1a", () => {
  const of = (text) => player.fnv(new TextEncoder().encode(text));
  assert.deepEqual([of(""), of("a"), of("foobar")], [0x811c9dc5, 0xe40c292c, 0xbf9cf968]);
});

// G. Marsaglia, "Xorshift RNGs", Journal of Statistical Software 8(14), 2003: the example start 2463534242. The words
// are from memory of published listings of that generator.
test("the stream gives the published words of xorshift32", () => {
  const words = [2463534242];
  for (let k = 0; k < 3; k += 1) words.push(player.nextWord(words[k]));
  assert.deepEqual(words.slice(1), [723471715, 2497366906, 2064144800]);
});

// Held against whole-number arithmetic without limit.
test("a pick is the exact high half of the product", () => {
  let word = 1;
  for (let k = 0; k < 20000; k += 1) {
    word = player.nextWord(word);
    const hi = word % 65536;
    const exact = Number((BigInt(word) * BigInt(hi + 1)) >> 32n);
    assert.equal(player.within(word, -7, hi - 7), exact - 7);
  }
  assert.equal(player.within(4294967295, 0, 65535), 65535);
  assert.equal(player.within(0, -3, 3), -3);
});

/** A form with one machine that stores one expression at tick 0 and shows it on digits. */
function storing(to, numbers = []) {
  const number = { name: "n", min: -2147483648, max: 2147483647, start: 0, shown_on: 0, kept: false };
  const state = {
    name: "only", dwells: [], entry: [{ do: "set", number: 0, to }], exit: [], pose: null, lights: [], writes: [],
    transitions: [],
  };
  return {
    format: "lampwright-form", version: 2, tick_ms: 10, seed: 1, sides: [], sliders: [], settings: [], claims: [], sounds: [], buttons: [], figures: [], spots: [],
    digits: [{ name: "d", count: 9 }], messages: [], pick_sites: 0,
    machines: [{ name: "m", numbers: [number, ...numbers], timers: [], remembers: [], ties: null, states: [state] }],
  };
}

// Held against BigInt, which cuts quotients off toward zero (ECMA-262, BigInt::divide) and wraps by asIntN.
test("arithmetic is exact on 32 bits", () => {
  const edges = [0, 1, -1, 2, -2, 7, -7, 65535, -65536, 46341, -46341, 2147483647, -2147483648];
  const exact = {
    add: (a, b) => a + b, sub: (a, b) => a - b, mul: (a, b) => a * b,
    div: (a, b) => (b === 0n || (a === -2147483648n && b === -1n) ? 0n : a / b),
    rem: (a, b) => (b === 0n ? 0n : a % b),
  };
  let seen = 0;
  for (const [f, of] of Object.entries(exact)) {
    for (const a of edges) {
      for (const b of edges) {
        const form = storing({ w: 32, op: "two", f, a: { w: 32, op: "const", v: a }, b: { w: 32, op: "const", v: b } });
        const shown = player.frame(form, player.begin(form).situation).digits[0];
        assert.equal(shown, Number(BigInt.asIntN(32, of(BigInt(a), BigInt(b)))), `${a} ${f} ${b}`);
        seen += 1;
      }
    }
  }
  assert.equal(seen, 5 * edges.length ** 2);
});

/** Plays a picture of levels (`#` down, `.` up) and draws what the rules see (`P` edge, `h` held, `.` up). */
function seen(levels) {
  const button = new Conditioner(10);
  return [...levels].map((level) => {
    const { pressed, held } = button.tick(level === "#");
    return pressed ? "P" : held ? "h" : ".";
  }).join("");
}

// The same pictures as in crates/rules/src/conditioner.rs.
test("a button is conditioned as on the controller", () => {
  assert.equal(seen("..######...."), "..Phhhhh....");
  assert.equal(seen("..#.#.####......"), "..Phhhhhhh......");
  assert.equal(seen(".#......."), ".Phhh....");
  assert.equal(seen(".#......#"), ".Phhh....");
  assert.equal(seen(".#.......#"), ".Phhh....P");
  assert.equal(seen("####..##"), "......Ph");
  assert.equal(seen("#########"), ".........");
});

test("a replay notices a wrong bit in frame, fingerprint and picks", () => {
  const [file] = vectorFiles();
  assert.ok(file, "no vectors found: this test would show nothing");
  const [vector] = vectorsIn(file);
  const last = vector.expect.length - 1;
  const spoilt = [{ x: vector.expect[last].x ^ 1 }, { f: `${vector.expect[last].f}00` }, { k: [[99, 1]] }];
  for (const change of spoilt) {
    const expect = vector.expect.map((each, n) => (n === last ? { ...each, ...change } : each));
    assert.match(replay(player, { ...vector, expect }).difference, new RegExp(`^tick ${last}:`));
  }
});

test("every vector is replayed tick by tick", async (t) => {
  const files = vectorFiles();
  assert.ok(files.length > 0, "no vectors found: this test would show nothing");
  for (const file of files) {
    for (const vector of vectorsIn(file)) {
      await t.test(`${path.basename(file)}: ${vector.name}`, () => {
        const { ticks, difference } = replay(player, vector);
        assert.equal(difference, null);
        assert.ok(ticks > 0);
      });
    }
  }
});
