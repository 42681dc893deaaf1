// The workbench of the real program follows edits of each file, shows the faults of a broken one and comes back from them.

import assert from "node:assert/strict";
import { cp, mkdtemp, readFile, rename, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { test } from "node:test";
import { startChromium } from "./chromium.mjs";
import { displayFolder, notBuilt, startWorkbench } from "./program.mjs";

/** A page that follows a copy of the waving fox, and a way to edit the copy. */
async function following(work) {
  const outer = await mkdtemp(path.join(tmpdir(), "lampwright-edits-"));
  const folder = path.join(outer, "fox");
  await cp(displayFolder("waving-fox"), folder, { recursive: true });
  const [browser, workbench] = [await startChromium(), await startWorkbench(folder)];
  try {
    const page = await browser.newPage({ viewport: { width: 1200, height: 1300 } });
    const errors = [];
    page.on("pageerror", (error) => errors.push(error.message));
    page.on("console", (message) => { if (message.type() === "error") errors.push(message.text()); });
    await page.goto(workbench.address);
    await page.waitForSelector("article h2");
    await work(page, (name, from, to) => edit(path.join(folder, name), from, to));
    assert.deepEqual(errors, []);
  } finally {
    workbench.stop();
    await browser.close();
    await rm(outer, { recursive: true, force: true });
  }
}

/** Replaces words that stand there once, as editors do: a new file takes the place of the old one. */
async function edit(file, from, to) {
  const text = await readFile(file, "utf8");
  assert.equal(text.split(from).length, 2, `${from} in ${file}`);
  await writeFile(`${file}~`, text.replace(from, () => to));
  await rename(`${file}~`, file);
}

const title = (page, words) => page.waitForFunction((wanted) => document.querySelector("h1").textContent === wanted, words, { timeout: 20000 });
const pose = (page, name) => page.waitForFunction((wanted) => document.getElementById("yard").dataset.pose === wanted, name, { timeout: 20000 });
const holes = (page) => page.evaluate(async () => (await (await fetch("./plan.json")).json()).panels[0].holes.length);

async function broken(page, file, words) {
  await page.waitForSelector(".faults", { timeout: 20000 });
  const said = await page.locator(".faults").innerText();
  assert.ok(said.includes(`${file}, line `) && words.test(said), said);
}

const whole = (page) => page.waitForFunction(() => !document.querySelector(".faults"), null, { timeout: 20000 });

test("an edit of the description shows, a broken one shows its fault, and mending it brings the page back", { skip: notBuilt }, () => following(async (page, change) => {
  await title(page, "Waving fox");
  await change("display.toml", 'title = "Waving fox"', 'title = "Waving <vixen>"');
  await title(page, "Waving <vixen>");
  await change("display.toml", 'height  = "4 ft"', "height  = 4 # bare");
  await broken(page, "display.toml", /unit/);
  assert.equal(await page.locator("h1").innerText(), "Waving <vixen>", "the last good display stays");
  await change("display.toml", "height  = 4 # bare", 'height  = "4 ft"');
  await whole(page);
  await title(page, "Waving <vixen>");
}));

test("an edit of the drawing changes the panel, also on the page", { skip: notBuilt }, () => following(async (page, change) => {
  await page.evaluate(() => { location.hash = "drill"; });
  await page.waitForFunction(() => document.querySelector("h2").textContent.trim().endsWith("Drill"));
  const [before, shown] = [await holes(page), await page.locator("article").innerText()];
  assert.ok(shown.includes(String(before)), `${before} holes in ${shown}`);
  const eye = '<path d="M-148 328 L-97 370"/>';
  await change("art/fox.svg", eye, "");
  await page.waitForFunction((was) => document.querySelector("article").innerText !== was, shown, { timeout: 20000 });
  const after = await holes(page);
  assert.ok(after !== before, `${after} holes as before`);
  assert.ok((await page.locator("article").innerText()).includes(String(after)));
  await change("art/fox.svg", '<path d="M148 328 L97 370"/>', '<path d="M148 zebra"/>');
  await broken(page, "art/fox.svg", /zebra|path/);
  await change("art/fox.svg", '<path d="M148 zebra"/>', '<path d="M148 328 L97 370"/>');
  await whole(page);
  assert.equal(await holes(page), after);
}));

test("an edit of the rules changes the game", { skip: notBuilt }, () => following(async (page, change) => {
  await pose(page, "left");
  await change("waving-fox.rules", "state sitting  shows left ", "state sitting  shows right");
  await pose(page, "right");
  await change("waving-fox.rules", "sitting on press wave", "sitting on press wvae");
  await broken(page, "waving-fox.rules", /wvae/);
  await page.keyboard.down(" ");
  await pose(page, "left");
  await page.keyboard.up(" ");
  await change("waving-fox.rules", "sitting on press wvae", "sitting on press wave");
  await whole(page);
  await pose(page, "right");
}));
