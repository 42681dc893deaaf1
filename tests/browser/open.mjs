// Opens the page on a fixture and lets a test work on it. Any script error or console error fails the test.

import assert from "node:assert/strict";
import path from "node:path";
import * as club from "./fixture/club-passing.mjs";
import { form as clubForm } from "./fixture/club-rules.mjs";
import { fixture, servePage } from "./serve.mjs";

/** The fox: one figure, one button, two poses. */
export async function fox() {
  return { plan: JSON.parse(await fixture("plan.json")), form: JSON.parse(await fixture("form.json")), faults: [] };
}

/** The clubs: two players, two mirrored figures, a span, digits. */
export function clubs(options) {
  return { plan: club.plan(options), form: clubForm(), faults: [] };
}

/**
 * Opens the page.
 * @param {any} browser
 * @param {(page: any, more: any) => Promise<void>} work
 * @param {any} options `all` is what is shown; `edit` answers a change; `init` runs in the page before anything else
 */
export async function onPage(browser, work, { all, hash = "", width = 1200, height = 1300, reduced = false, touch = false, edit = null, tried = null, rehearsal = null, init = null } = {}) {
  const over = {};
  const lay = (next) => {
    for (const [name, value] of Object.entries(next)) over[`/${name}.json`] = JSON.stringify(value);
  };
  lay(all);
  const server = await servePage(over, edit, tried, rehearsal);
  const context = await browser.newContext({ viewport: { width, height }, hasTouch: touch, reducedMotion: reduced ? "reduce" : "no-preference" });
  try {
    const page = await context.newPage();
    if (init) await page.addInitScript(init);
    const errors = watch(page);
    await page.goto(server.address + (hash ? `#${hash}` : ""));
    await page.waitForSelector("#workshop article, #workshop .faults");
    await work(page, { all, swap: (next) => { lay(next); server.swap(); } });
    assert.deepEqual(errors, []);
  } finally {
    await context.close();
    await server.close();
  }
}

/** Gathers what goes wrong in a page. An answer that a test provokes on purpose is told by `x-provoked`. */
export function watch(page) {
  const errors = [];
  page.on("pageerror", (error) => errors.push(error.message));
  page.on("console", (message) => {
    // The browser itself reports a refused request; what counts is told by the answers below.
    if (["error", "warning"].includes(message.type()) && !/^Failed to load resource/.test(message.text())) errors.push(message.text());
  });
  page.on("response", (response) => {
    if (response.status() >= 400 && !response.headers()["x-provoked"]) errors.push(`${response.status()} ${response.url()}`);
  });
  page.on("requestfailed", (request) => {
    if (!request.url().endsWith("/changes")) errors.push(`failed: ${request.url()}`);
  });
  return errors;
}

/** Waits until the figures show these poses. */
export function pose(page, name) {
  return page.waitForFunction((wanted) => document.getElementById("yard").dataset.pose === wanted, name, { timeout: 5000 });
}

/** Waits until the digits show this. */
export function digits(page, shown) {
  return page.waitForFunction((wanted) => document.getElementById("yard").dataset.digits === wanted, shown, { timeout: 8000 });
}

/** Keeps a picture when LAMPWRIGHT_PICTURES names a folder. */
export async function picture(page, name) {
  const folder = process.env.LAMPWRIGHT_PICTURES;
  if (!folder) return;
  await page.evaluate(() => document.fonts.ready);
  await page.screenshot({ path: path.join(folder, `${name}.png`) });
}

/** The middle one of the brightnesses of the canvas at the lamps of each channel: a dark line may cross a lit one. */
export function brightness(page) {
  return page.evaluate(async () => {
    const [{ layOut }, { View }] = await Promise.all([import("/layout.js"), import("/view.js")]);
    const plan = await (await fetch("/plan.json")).json();
    const canvas = document.getElementById("yard");
    const layout = layOut(plan);
    const density = Math.min(window.devicePixelRatio, 2);
    const view = new View(layout.bounds, { width: canvas.clientWidth, height: canvas.clientHeight, density }, { scale: null, away: null, eye: null, look: [0, 0] });
    await new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn)));
    const copy = document.createElement("canvas");
    [copy.width, copy.height] = [canvas.width, canvas.height];
    const pen = copy.getContext("2d", { willReadFrequently: true });
    pen.drawImage(canvas, 0, 0);
    const at = (x, y) => {
      const [r, g, b] = pen.getImageData(Math.floor(view.x(x) * density), Math.floor(view.y(y) * density), 1, 1).data;
      return (r + g + b) / 3;
    };
    return plan.channels.map((_, c) => {
      const lights = layout.lights.filter((light) => light.channel === c);
      const all = lights.flatMap((light) => [...light.points, ...light.bars.map(([x1, y1, x2, y2]) => [(x1 + x2) / 2, (y1 + y2) / 2])]);
      const seen = all.map(([x, y]) => at(x, y)).sort((a, b) => a - b);
      return seen[Math.floor(seen.length / 2)] ?? 0;
    });
  });
}
