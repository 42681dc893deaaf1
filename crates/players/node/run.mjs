// Plays every recording of a folder with the page's player and prints the first tick in which it differs.
// Usage: node run.mjs PLAYER.js FOLDER

import { readFileSync, readdirSync } from "node:fs";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [, , playerPath, folder] = process.argv;
const player = await import(pathToFileURL(resolve(playerPath)));

const hex = (bytes) => Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");

function set(form, positions) {
  return form.buttons.map((_, position) => positions.includes(position));
}

// Picks may be pairs or records of site and value.
function pair(pick) {
  return Array.isArray(pick) ? pick : [pick.site, pick.value];
}

function firstDifference({ form, kept, settings, ticks, expect }) {
  let situation = null;
  for (const [n, tick] of ticks.entries()) {
    const outcome =
      n === 0
        ? player.begin(form, tick.k, { kept, settings })
        : player.step(form, situation, { pressed: set(form, tick.p), held: set(form, tick.h), picks: tick.k });
    situation = outcome.situation;
    const got = JSON.stringify({
      f: hex(player.frameBytes(form, player.frame(form, situation))),
      x: player.fingerprint(situation) >>> 0,
      k: outcome.picked.map(pair),
    });
    const wanted = JSON.stringify({ f: expect[n].f, x: expect[n].x, k: expect[n].k });
    if (got !== wanted) {
      return `tick ${n}: expected ${wanted}, got ${got}`;
    }
  }
  return null;
}

for (const file of readdirSync(folder).filter((name) => name.endsWith(".json")).sort()) {
  const recording = JSON.parse(readFileSync(join(folder, file), "utf8"));
  const difference = firstDifference(recording);
  if (difference !== null) {
    console.log(`differs ${recording.name}: ${difference}`);
  }
  console.log(`played ${recording.name}`);
}
