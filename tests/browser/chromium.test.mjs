// The page's player in a browser, against the same vectors.

import assert from "node:assert/strict";
import path from "node:path";
import test from "node:test";
import { startChromium } from "./chromium.mjs";
import { servePage } from "./serve.mjs";
import { replay, vectorFiles, vectorsIn } from "./vectors.mjs";

test("every vector is replayed in Chromium", async (t) => {
  const files = vectorFiles();
  assert.ok(files.length > 0, "no vectors found: this test would show nothing");
  const over = {
    "/bare.html": "<!doctype html><title>vectors</title>",
    "/replay.js": `${replay.toString()}\nexport { replay };\n`,
  };
  const server = await servePage(over);
  const browser = await startChromium();
  try {
    const page = await browser.newPage();
    await page.goto(`${server.address}bare.html`);
    for (const file of files) {
      for (const vector of vectorsIn(file)) {
        await t.test(`${path.basename(file)}: ${vector.name}`, async () => {
          over["/vector.json"] = JSON.stringify(vector);
          const { ticks, difference } = await page.evaluate(async () => {
            const [player, { replay }] = await Promise.all([import("/player.js"), import("/replay.js")]);
            return replay(player, await (await fetch("/vector.json")).json());
          });
          assert.equal(difference, null);
          assert.equal(ticks, vector.ticks.length);
        });
      }
    }
  } finally {
    await browser.close();
    await server.close();
  }
});
