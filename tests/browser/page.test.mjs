// The page in a browser: the game in the yard, the path, faults, small screens, and who cannot see or use a mouse.
//
// Any script error or console error fails the test it happens in. Pictures are kept when LAMPWRIGHT_PICTURES names a folder.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import path from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { startChromium } from "./chromium.mjs";
import { displayFolder, notBuilt, startWorkbench } from "./program.mjs";
import { fixture, servePage } from "./serve.mjs";

const here = path.dirname(fileURLToPath(import.meta.url));
let browser;
before(async () => { browser = await startChromium(); });
after(() => browser.close());

/** Opens the page on the fixture, with a changed plan where given, and lets a test work on it. */
async function onPage(work, { hash = "", width = 1200, height = 1300, change = (all) => all, reduced = false } = {}) {
  const all = change({
    plan: JSON.parse(await fixture("plan.json")), form: JSON.parse(await fixture("form.json")), faults: [],
  });
  const over = {};
  const lay = (next) => {
    for (const [name, value] of Object.entries(next)) over[`/${name}.json`] = JSON.stringify(value);
  };
  lay(all);
  const server = await servePage(over);
  const context = await browser.newContext({ viewport: { width, height }, reducedMotion: reduced ? "reduce" : "no-preference" });
  try {
    const page = await context.newPage();
    const errors = [];
    page.on("pageerror", (error) => errors.push(error.message));
    page.on("console", (message) => { if (["error", "warning"].includes(message.type())) errors.push(message.text()); });
    page.on("response", (response) => { if (response.status() >= 400) errors.push(`${response.status()} ${response.url()}`); });
    await page.goto(server.address + (hash ? `#${hash}` : ""));
    await page.waitForSelector("#workshop article, #workshop .faults");
    await work(page, { all, swap: (next) => { lay(next); server.swap(); } });
    assert.deepEqual(errors, []);
  } finally {
    await context.close();
    await server.close();
  }
}

const pose = (page, name) => page.waitForFunction((wanted) => document.getElementById("yard").dataset.pose === wanted, name, { timeout: 3000 });

async function picture(page, name) {
  const folder = process.env.LAMPWRIGHT_PICTURES;
  if (!folder) return;
  await page.evaluate(() => document.fonts.ready);
  // The first picture of a page takes long; the fox may have lowered its arm by then.
  const shown = await page.locator("#yard").getAttribute("data-pose");
  await page.screenshot();
  if (await page.locator("#yard").getAttribute("data-pose") !== shown) await pose(page, shown);
  await page.screenshot({ path: path.join(folder, `${name}.png`) });
}

/** The mean brightness of the canvas at the holes of each bunch. */
function brightness(page) {
  return page.evaluate(async () => {
    const { layOut, Yard } = await import("/yard.js");
    const plan = await (await fetch("/plan.json")).json();
    const yard = new Yard(document.getElementById("yard"));
    const scene = layOut(plan);
    const view = yard.place(scene, null);
    await new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn)));
    const copy = document.createElement("canvas");
    [copy.width, copy.height] = [yard.canvas.width, yard.canvas.height];
    const pen = copy.getContext("2d", { willReadFrequently: true });
    pen.drawImage(yard.canvas, 0, 0);
    return plan.panels[0].bunches.map((_, b) => {
      const holes = plan.panels[0].holes.filter((hole) => hole.bunch === b);
      const sum = holes.reduce((all, hole) => {
        const at = [yard.x(hole.x_mm) * view.density, yard.y(hole.y_mm) * view.density].map(Math.round);
        const [r, g, blue] = pen.getImageData(at[0], at[1], 1, 1).data;
        return all + (r + g + blue) / 3;
      }, 0);
      return sum / holes.length;
    });
  });
}

test("the space bar makes the fox wave, and letting go lets it rest", () => onPage(async (page) => {
  await pose(page, "resting");
  const [always, resting, waving] = await brightness(page);
  assert.ok(always > 180 && resting > 120 && waving < 100, `at rest: ${[always, resting, waving]}`);
  await page.keyboard.down(" ");
  await pose(page, "waving");
  const up = await brightness(page);
  assert.ok(up[0] > 180 && up[1] < 100 && up[2] > 120, `waving: ${up}`);
  await pose(page, "resting");
  await pose(page, "waving");
  await picture(page, "workbench-waving");
  await page.keyboard.up(" ");
  await pose(page, "resting");
  await page.waitForTimeout(900);
  assert.equal(await page.locator("#yard").getAttribute("data-pose"), "resting");
}));

test("a tap that is gone before the next tick still counts", () => onPage(async (page) => {
  await pose(page, "resting");
  await page.waitForTimeout(100);
  await page.evaluate(() => {
    for (const type of ["keydown", "keyup"]) document.body.dispatchEvent(new KeyboardEvent(type, { key: " ", code: "Space", bubbles: true }));
  });
  await pose(page, "waving");
}));

test("the button in the yard and the button on the page press, also with movement reduced", () => onPage(async (page) => {
  await pose(page, "resting");
  const box = await page.locator("#yard").boundingBox();
  await page.mouse.move(box.x + box.width * 0.6, box.y + box.height * 0.5);
  await page.mouse.down();
  await pose(page, "waving");
  await page.mouse.up();
  await pose(page, "resting");
  await page.waitForTimeout(600);
  await page.locator("button.press").focus();
  await page.keyboard.press("Enter");
  await pose(page, "waving");
}, { reduced: true }));

test("a stop is reached by keyboard and kept when the plan changes", () => onPage(async (page, { all, swap }) => {
  const link = page.locator(".path a", { hasText: "String" });
  await link.focus();
  await page.keyboard.press("Enter");
  await page.waitForSelector("h2:text('4 String')");
  assert.equal(await link.getAttribute("aria-current"), "step");
  assert.equal(await page.locator(".path [aria-current]").count(), 1);
  const ticks = Number(await page.locator("#yard").getAttribute("data-tick"));
  swap({ plan: { ...all.plan, title: "Waving <i>vixen</i>" } });
  await page.waitForSelector("h1:text('Waving <i>vixen</i>')");
  assert.equal(await page.locator("h1 i").count(), 0, "what the builder wrote is text, never markup");
  assert.equal(await page.locator("h2").innerText(), "4 String");
  assert.ok(Number(await page.locator("#yard").getAttribute("data-tick")) >= ticks, "the game goes on when only the plan changed");
}));

test("every stop shows its sentence and every state has its shape", () => onPage(async (page, { all }) => {
  for (const [k, stop] of all.plan.stops.entries()) {
    await page.locator(".path a").nth(k).click();
    await page.waitForFunction((wanted) => document.querySelector("h2").textContent.trim().startsWith(wanted), String(k + 1));
    assert.equal(await page.locator("article .lead").innerText(), stop.sentence);
    assert.ok(await page.locator("article table").count() > 0, stop.name);
  }
  const shapes = await page.locator(".path a").evaluateAll((links) => links.map((link) => link.className));
  assert.deepEqual(shapes, ["plain", "plain", "plain", "mend", "plain", "plain", "plain", "plain", "ahead"]);
  assert.equal(await page.locator(".path .ahead circle.dashed").count(), 1);
  assert.equal(await page.locator(".path .mend path.stone").count(), 1);
}));

test("an address that names nothing leads to the first stop", () => onPage(async (page, { all }) => {
  assert.equal(await page.locator("article .lead").innerText(), all.plan.stops[0].sentence);
  assert.equal(await page.locator(".seen [aria-current]").innerText(), "close up");
}, { hash: "nowhere~%E0%A4%A~<b>" }));

test("a danger withholds the drawing and the table", () => onPage(async (page) => {
  assert.match(await page.locator(".withheld-sheets").innerText(), /threading sheets.*withheld/i);
  assert.equal(await page.locator(".drawing").count(), 0);
  assert.equal(await page.locator("article table").count(), 0);
  assert.equal(await page.locator(".path a.withheld rect.dark").count(), 1);
  await page.locator("summary").first().click();
  assert.match(await page.locator(".cure.first").innerText(), /figure\.fox\.height/);
}, {
  hash: "string",
  change: (all) => {
    const finding = { ...all.plan.findings[0], severity: "danger", withholds: ["threading"] };
    return { ...all, plan: { ...all.plan, findings: [finding], withheld: ["threading"] } };
  },
}));

test("the threading is drawn from the back", () => onPage(async (page, { all }) => {
  const panel = all.plan.panels[0];
  const run = panel.strands.find((each) => each.hops.some((hop) => hop.parked > 0));
  await page.locator("td a", { hasText: run.label }).click();
  await page.waitForSelector(`figcaption:has-text("strand ${run.label}")`);
  assert.match(await page.locator("figcaption").innerText(), /from the BACK/);
  assert.equal(await page.locator(".hop").count(), run.hops.length);
  assert.equal(await page.locator(".hop.over").count(), run.hops.filter((hop) => hop.parked > 0).length);
  const edge = Number(await page.locator(".drawing .edge").getAttribute("width"));
  const drawn = Number(await page.locator(".hop").first().getAttribute("x1"));
  const hole = panel.holes[run.first_hole - 1];
  assert.ok(Math.abs(drawn / edge - (1 - hole.x_mm / panel.width_mm)) < 1e-6, "mirrored");
  const tens = panel.holes.slice(run.first_hole - 1, run.last_hole).map(({ number }) => number).filter((number) => number % 10 === 0);
  const discs = await page.locator(".disc-number").allTextContents();
  for (const number of tens) assert.ok(discs.includes(String(number)), `${number} has no disc`);
}, { hash: "string" }));

test("a broken description shows its line, and the yard keeps the last good display", () => onPage(async (page, { swap }) => {
  await pose(page, "resting");
  swap({ plan: null, form: null, faults: JSON.parse(await fixture("faults.json")) });
  await page.waitForSelector(".faults");
  assert.match(await page.locator(".faults").innerText(), /display\.toml, line 12/);
  assert.equal(await page.locator("mark").innerText(), "4");
  assert.match(await page.locator("pre.line").innerText(), /height {3}= 4 {3}# <b>not bold<\/b>/);
  assert.equal(await page.locator("pre b").count(), 0);
  await picture(page, "workbench-fault");
  await page.keyboard.down(" ");
  await pose(page, "waving");
}));

// Geometry: a thing of height h at distance d fills the angle whose tangent is h / d; on a screen 600 mm away that is
// 600 * h / d millimetres, with 96 pixels to 25.4 of them (CSS Values and Units, absolute lengths).
test("the figure is seen under its true angle", () => onPage(async (page, { all }) => {
  for (const [sight, away] of [["child", 3048], ["walker", 9144], ["driver", 15240]]) {
    const seen = await page.evaluate(async (key) => {
      const { scaleOf, sightOf } = await import("/sight.js");
      return scaleOf(sightOf(key), await (await fetch("/plan.json")).json());
    }, sight);
    const height = all.plan.panels[0].height_mm;
    const exact = 600 * Math.tan(Math.atan(height / away)) * (96 / 25.4);
    assert.ok(Math.abs(seen * height - exact) < 0.01, `${sight}: ${seen * height} instead of ${exact}`);
  }
  await page.locator(".seen a", { hasText: "driver" }).click();
  await page.waitForFunction(() => document.getElementById("yard").dataset.sight === "driver");
  assert.match(await page.locator(".said").innerText(), /50 ft away.*true angle.*screen seen from 2 ft/);
  assert.equal(await page.locator(".seen [aria-current]").innerText(), "a driver across the road");
}));

test("on a small screen the yard stays on top and nothing runs over the edge", () => onPage(async (page, { all }) => {
  for (const stop of all.plan.stops) {
    await page.evaluate((name) => { location.hash = name; }, stop.name);
    await page.waitForFunction((sentence) => document.querySelector("article .lead").textContent === sentence, stop.sentence);
    assert.ok(await page.evaluate(() => document.documentElement.scrollWidth) <= 390, stop.name);
  }
  await page.evaluate(() => { location.hash = "string"; });
  await page.waitForSelector("h2:text('4 String')");
  const stones = await page.locator(".path a").evaluateAll((links) => links.map((link) => link.getBoundingClientRect().top));
  assert.equal(new Set(stones).size, 1, "the stones stand in one line");
  await picture(page, "workbench-small");
  await page.mouse.wheel(0, 700);
  await page.waitForFunction(() => window.scrollY > 300);
  assert.equal((await page.locator(".yard").boundingBox()).y, 0);
}, { width: 390, height: 844 }));

// axe-core, the reference checker for WCAG 2.1 A and AA of the tools that browsers carry.
test("the checker of accessibility finds nothing", () => onPage(async (page, { all }) => {
  const axe = await readFile(path.resolve(here, "../../node_modules/axe-core/axe.min.js"), "utf8");
  await page.evaluate(axe);
  for (const stop of all.plan.stops) {
    await page.evaluate((name) => { location.hash = name; }, stop.name);
    await page.waitForFunction((sentence) => document.querySelector("article .lead").textContent === sentence, stop.sentence);
    const { violations, passes } = await page.evaluate(() => window.axe.run());
    assert.ok(passes.length > 10);
    const said = violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html).join(" ; ").slice(0, 300)}`);
    assert.deepEqual(said, [], stop.name);
  }
}));

// The real program on a real display.
test("the workbench of the program plays the waving fox", { skip: notBuilt }, async () => {
  const workbench = await startWorkbench(displayFolder("waving-fox"));
  const context = await browser.newContext({ viewport: { width: 1200, height: 1300 } });
  try {
    const page = await context.newPage();
    const errors = [];
    page.on("pageerror", (error) => errors.push(error.message));
    page.on("console", (message) => { if (message.type() === "error") errors.push(message.text()); });
    await page.goto(workbench.address);
    await page.waitForSelector("article h2");
    assert.ok(!page.url().includes("token"), "the address loses the token");
    const first = await page.waitForFunction(() => document.getElementById("yard").dataset.pose);
    const resting = await first.jsonValue();
    await page.keyboard.down(" ");
    await page.waitForFunction((was) => document.getElementById("yard").dataset.pose !== was, resting, { timeout: 3000 });
    await picture(page, "workbench");
    await page.keyboard.up(" ");
    await pose(page, resting);
    for (const link of await page.locator(".path a").all()) {
      await link.click();
      await page.waitForFunction((href) => location.hash === href, await link.getAttribute("href"));
      const name = await page.locator(".path [aria-current] .name").innerText();
      assert.match(await page.locator("h2").innerText(), new RegExp(`${name}$`));
      await picture(page, `stop-${name.toLowerCase()}`);
    }
    assert.deepEqual(errors, []);
  } finally {
    await context.close();
    workbench.stop();
  }
});
