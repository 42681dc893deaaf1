// The page's player in a browser, against the same vectors as everywhere, and against those of the random rules.

import assert from "node:assert/strict";
import { readdirSync } from "node:fs";
import path from "node:path";
import test from "node:test";
import { fileURLToPath } from "node:url";
import { startChromium } from "./chromium.mjs";
import { servePage } from "./serve.mjs";
import { replay, vectorFiles, vectorsIn } from "./vectors.mjs";

const here = path.dirname(fileURLToPath(import.meta.url));
/** Where the test of the random rules leaves its vectors. */
const RANDOM = process.env.LAMPWRIGHT_RANDOM_VECTORS ?? path.resolve(here, "../../target/random-vectors");
const RANDOM_SETS = 500;
const RANDOM_TICKS = 150;

/** Starts a browser and lets `work` replay vectors in it, one after the other. */
async function inChromium(work) {
  const over = {
    "/bare.html": "<!doctype html><title>vectors</title>",
    "/replay.js": `${replay.toString()}\nexport { replay };\n`,
  };
  const server = await servePage(over);
  const browser = await startChromium();
  try {
    const page = await browser.newPage();
    await page.goto(`${server.address}bare.html`);
    await work((vector) => {
      over["/vector.json"] = JSON.stringify(vector);
      return page.evaluate(async () => {
        const [player, { replay }] = await Promise.all([import("/player.js"), import("/replay.js")]);
        return replay(player, await (await fetch("/vector.json")).json());
      });
    });
  } finally {
    await browser.close();
    await server.close();
  }
}

test("every vector is replayed in Chromium", async (t) => {
  const files = vectorFiles();
  assert.ok(files.length > 0, "no vectors found: this test would show nothing");
  await inChromium(async (play) => {
    for (const file of files) {
      for (const vector of vectorsIn(file)) {
        await t.test(`${path.basename(file)}: ${vector.name}`, async () => {
          const { ticks, difference } = await play(vector);
          assert.equal(difference, null);
          assert.equal(ticks, vector.ticks.length);
        });
      }
    }
  });
});

test("the random rules play in Chromium as the referee says, tick by tick", async () => {
  const files = readdirSync(RANDOM).filter((name) => name.endsWith(".json")).sort();
  assert.ok(files.length >= RANDOM_SETS, `${RANDOM} holds ${files.length} vectors: cargo test --test random writes ${RANDOM_SETS}`);
  const wrong = [];
  await inChromium(async (play) => {
    for (const file of files) {
      for (const vector of vectorsIn(path.join(RANDOM, file))) {
        const { ticks, difference } = await play(vector);
        if (difference !== null) wrong.push(`${vector.name}: ${difference}`);
        else assert.ok(ticks >= RANDOM_TICKS, `${vector.name} has only ${ticks} ticks`);
      }
    }
  });
  assert.deepEqual(wrong, []);
});
