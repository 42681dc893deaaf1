// The page in a browser: the path and its stops, faults, origins, small screens, paper, and who cannot see or use a mouse.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import path from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { startChromium } from "./chromium.mjs";
import { clubs, fox, onPage, picture, pose } from "./open.mjs";
import { fixture } from "./serve.mjs";

const here = path.dirname(fileURLToPath(import.meta.url));
let browser;
before(async () => { browser = await startChromium(); });
after(() => browser.close());

const leadIs = (page, sentence) => page.waitForFunction((wanted) => document.querySelector("article .lead").textContent === wanted, sentence);
const goTo = async (page, stop) => {
  await page.evaluate((name) => { location.hash = encodeURIComponent(name); }, stop.name);
  await leadIs(page, stop.sentence);
};

test("a stop is reached by keyboard and kept when the plan changes", async () => onPage(browser, async (page, { all, swap }) => {
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
}, { all: await fox() }));

test("every stop of a whole display has its sentence, and its table where the plan holds one", () => onPage(browser, async (page, { all }) => {
  for (const stop of all.plan.stops) {
    await goTo(page, stop);
    const tables = await page.locator("article table, article .steps, article .facts, article .card").count();
    const bare = ["put up", "take down", "hand on"].includes(stop.name);
    assert.ok(bare ? tables === 0 : tables > 0, stop.name);
    if (process.env.LAMPWRIGHT_PICTURES) await picture(page, `clubs-${stop.name.replace(" ", "-")}`);
  }
}, { all: clubs() }));

test("findings that are like one another are listed under the first, dangers never", async () => {
  const all = clubs();
  const [danger, caution] = all.plan.findings;
  const like = (one, names) => names.map((name) => ({ ...one, stage: "switch", concerns: [name] }));
  all.plan.findings = [...like(danger, ["one", "two", "three", "four"]), ...like(caution, ["a", "b", "c", "d"]), ...like({ ...caution, severity: "note", code: "x/y" }, ["n"])];
  all.plan.withheld = [];
  await onPage(browser, async (page) => {
    assert.equal(await page.locator(".told > .note.danger").count(), 4);
    assert.equal(await page.locator(".told > .note.caution").count(), 1);
    assert.equal(await page.locator(".more summary").innerText(), "3 more like it: b; c; d");
    await page.locator(".more summary").click();
    assert.equal(await page.locator(".more .note").count(), 3);
    // What is only worth knowing comes after the table.
    const order = await page.locator(".told > .table, .told > section.note.note:not(.danger, .caution)").evaluateAll((all) => all.map((each) => each.className));
    assert.deepEqual(order, ["table askable", "table askable", "note note"]);
  }, { all, hash: "switch" });
});

test("what may be tuned in the rules is listed with its limits", () => onPage(browser, async (page) => {
  const row = page.locator(".slider", { hasText: "flight" });
  assert.equal(await row.locator("output").innerText(), "150 ms");
  assert.match(await row.locator("p").first().innerText(), /^from 80 ms to 400 ms; as written/);
}, { all: clubs(), hash: "idea" }));

test("every state has its shape, and every stop its news", () => onPage(browser, async (page, { all }) => {
  const shapes = await page.locator(".path a").evaluateAll((links) => links.map((link) => link.className));
  const plain = Array(17).fill("plain");
  const others = { 4: "withheld", 6: "mend", 13: "withheld", 15: "withheld", 16: "ahead" };
  assert.deepEqual(shapes, Object.assign(plain, others));
  assert.equal(await page.locator(".path .ahead circle.dashed").count(), 1);
  assert.equal(await page.locator(".path .mend path.stone").count(), 1);
  assert.equal(await page.locator(".path .withheld rect.dark").count(), 3);
  // A stop without news says its state in words.
  assert.deepEqual(await page.locator(".path .news").allInnerTexts(), all.plan.stops.map((stop) => stop.news || "a sheet is withheld"));
}, { all: clubs() }));

test("partial and pending stops are dashed rings", () => onPage(browser, async (page) => {
  const shapes = await page.locator(".path a").evaluateAll((links) => links.map((link) => link.className));
  assert.deepEqual(shapes.slice(0, 4), ["ahead", "ahead", "ahead", "plain"]);
}, {
  all: (() => {
    const all = clubs();
    ["partial", "pending", "blocked"].forEach((is, k) => { all.plan.stops[k].state = { is, by: ["x/y"] }; });
    return all;
  })(),
}));

test("an address that names nothing leads to the first stop", async () => onPage(browser, async (page, { all }) => {
  await leadIs(page, all.plan.stops[0].sentence);
  assert.equal(await page.locator(".seen [aria-current]").innerText(), "close");
}, { all: await fox(), hash: "nowhere~%E0%A4%A~<b>~<i>" }));

test("a danger withholds the drawing and the table", async () => {
  const all = await fox();
  all.plan.findings = [{ ...all.plan.findings[0], severity: "danger", withholds: ["threading"] }];
  all.plan.withheld = ["threading"];
  await onPage(browser, async (page) => {
    assert.match(await page.locator(".withheld-sheets").innerText(), /threading sheets.*withheld/i);
    assert.equal(await page.locator(".drawing").count(), 0);
    assert.equal(await page.locator("article table").count(), 0);
    assert.equal(await page.locator(".path a.withheld rect.dark").count(), 1);
    // Nothing is known of what stands there: the cure says what to write.
    await page.locator("summary").first().click();
    assert.match(await page.locator(".cure.first").innerText(), /figure\.fox\.height/);
  }, { all, hash: "string" });
});

test("each withheld sheet leaves its stops with a note in place of tables and drawings", async () => {
  const at = {
    panel: ["drill"], templates: ["drill"], threading: ["string"], hanging: ["hang"], "put-up": ["put up", "take down"],
    wiring: ["digits", "switch", "wire", "power", "program", "try"], firmware: ["program"],
  };
  for (const [sheet, names] of Object.entries(at)) {
    const all = clubs();
    all.plan.findings = [];
    all.plan.withheld = [sheet];
    await onPage(browser, async (page) => {
      for (const name of names) {
        await goTo(page, all.plan.stops.find((stop) => stop.name === name));
        assert.match(await page.locator(".withheld-sheets").first().innerText(), /withheld/, `${sheet} at ${name}`);
        assert.equal(await page.locator("article table, article .steps, article .drawing, article .facts").count(), 0, `${sheet} at ${name}`);
      }
      assert.equal(await page.locator("#follow").count(), sheet === "wiring" ? 0 : 1, sheet);
      if (sheet === "put-up") {
        await goTo(page, all.plan.stops.find((stop) => stop.name === "hang"));
        assert.match(await page.locator(".withheld-sheets").innerText(), /How the panels are held: withheld/);
        assert.equal(await page.locator("caption", { hasText: /Guys|How the panels/ }).count(), 0);
      }
    }, { all });
  }
});

test("a plan without what is withheld still plays: figures light up as the lines they are drawn with", async () => {
  // As the program sends it: no holes, no order, no hangers, no guys, no wiring.
  const all = clubs();
  all.plan.withheld = ["panel", "threading", "templates", "hanging", "put-up", "wiring"];
  all.plan.panels = all.plan.panels.map((panel) => ({ ...panel, holes: [], pieces: [], strands: panel.strands.map((run) => ({ ...run, hops: [], first_hole: null, last_hole: null })) }));
  all.plan.spans = all.plan.spans.map((span) => ({ ...span, cut_mm: null, rope_mm: null, sag_mm: null, hung: span.hung.map((hung) => ({ ...hung, hangers: [] })) }));
  all.plan.stands = all.plan.stands.map((stand) => ({ ...stand, guys: [], ballast_kg: null, lay_flat_m_s: null }));
  Object.assign(all.plan, { put_up: [], cables: [], circuits: [], switch_boxes: [], signal_paths: [], rig: [], trials: [] });
  all.plan.controller.pins = [];
  await onPage(browser, async (page) => {
    for (const stop of all.plan.stops) await goTo(page, stop);
    assert.ok(Number(await page.locator("#yard").getAttribute("data-pictures")) > 1, "nothing is lit");
  }, { all });
});

test("a value of a table tells where it came from, to mouse, keyboard and finger", () => onPage(browser, async (page) => {
  const slip = page.locator("#origin");
  assert.equal(await slip.isVisible(), false);
  const rope = page.locator(".known", { hasText: "polyester-6mm" });
  await rope.hover();
  assert.equal(await slip.innerText(), "You wrote it: display.toml, span.clubs.rope.");
  await page.mouse.move(5, 900);
  await page.waitForFunction(() => document.getElementById("origin").hidden);
  // A hanger has no origin of its own: that of the span, the nearest place above it, holds.
  await page.locator('[data-at="/spans/0/hung/0/hangers/0/cut_mm"]').hover();
  assert.equal(await slip.innerText(), "Worked out: loaded-rope, from span.clubs.sag, weights.");
  // By keyboard a table is one stop; arrows lead on inside it.
  await page.locator(".facts .known").first().focus();
  await page.waitForFunction(() => document.getElementById("origin").textContent.includes("span.clubs.rope"));
  await page.keyboard.press("ArrowDown");
  assert.equal(await page.evaluate(() => document.activeElement.dataset.at), "/spans/0/cut_mm");
  assert.equal(await page.locator(".facts.askable").first().locator('.known[tabindex="0"]').count(), 1);
  await page.keyboard.press("Escape");
  assert.equal(await slip.isVisible(), false);
}, { all: clubs(), hash: "hang" }));

test("an origin that the catalogue, a default or the description gives is said in words", () => onPage(browser, async (page) => {
  const told = async (at) => {
    await page.locator(`[data-at="${at}"]`).focus();
    return page.locator("#origin").innerText();
  };
  assert.equal(await told("/supply/rated_a"), "It stands in the catalogue or on your shelf: class2-12v-5a, rated.");
  assert.equal(await told("/circuits/0/breaker_a"), "You wrote it: display.toml, circuit.porch.breaker.");
  assert.equal(await told("/supply/needed_a"), "Nobody wrote it. Default: not noted.");
}, { all: clubs(), hash: "power" }));

test("the threading is drawn from the back", async () => onPage(browser, async (page, { all }) => {
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
}, { all: await fox(), hash: "string" }));

test("a broken description shows its line, and the yard keeps the last good display", async () => onPage(browser, async (page, { swap }) => {
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
}, { all: await fox() }));

test("on a small screen the yard stays on top and nothing runs over the edge", () => onPage(browser, async (page, { all }) => {
  for (const stop of all.plan.stops) {
    await goTo(page, stop);
    assert.ok(await page.evaluate(() => document.documentElement.scrollWidth) <= 390, stop.name);
  }
  await goTo(page, all.plan.stops[3]);
  const stones = await page.locator(".path a").evaluateAll((links) => links.map((link) => link.getBoundingClientRect().top));
  assert.equal(new Set(stones).size, 1, "the stones stand in one line");
  await picture(page, "clubs-small");
  await page.mouse.wheel(0, 700);
  await page.waitForFunction(() => window.scrollY > 300);
  assert.equal((await page.locator(".yard").boundingBox()).y, 0);
  // Everything that is pressed is large enough for a thumb (WCAG 2.2, 2.5.8: 24 CSS pixels).
  const small = await page.locator("button.press, .path a, .turning a, select").evaluateAll((all) =>
    all.map((each) => each.getBoundingClientRect()).filter((box) => box.width < 24 || box.height < 24).length);
  assert.equal(small, 0);
}, { all: clubs(), width: 390, height: 800, touch: true }));

test("on paper there is no yard, no path and no button, and no dark ground", () => onPage(browser, async (page, { all }) => {
  await page.emulateMedia({ media: "print" });
  for (const name of ["hang", "switch"]) {
    await goTo(page, all.plan.stops.find((stop) => stop.name === name));
    for (const gone of [".yard", ".path", ".playing", ".follow"]) assert.equal(await page.locator(gone).isVisible(), false, gone);
    assert.ok(await page.locator("article h2").isVisible() && await page.locator("article table").first().isVisible());
    const dark = await page.locator("article *").evaluateAll((all) => all.filter((each) => {
      const [r, g, b, alpha] = getComputedStyle(each).backgroundColor.match(/[\d.]+/g).map(Number);
      return alpha !== 0 && (r + g + b) / 3 < 128 && each.getClientRects().length > 0;
    }).map((each) => each.className));
    assert.deepEqual(dark, []);
  }
  assert.ok((await page.pdf()).length > 5000);
}, { all: clubs() }));

// axe-core, the reference checker for WCAG 2.1 A and AA of the tools that browsers carry.
for (const [width, height, touch] of [[1200, 1300, false], [390, 800, true]]) {
  test(`the checker of accessibility finds nothing at ${width} pixels`, () => onPage(browser, async (page, { all }) => {
    const axe = await readFile(path.resolve(here, "../../node_modules/axe-core/axe.min.js"), "utf8");
    await page.evaluate(axe);
    for (const stop of all.plan.stops) {
      await goTo(page, stop);
      const { violations, passes } = await page.evaluate(() => window.axe.run());
      assert.ok(passes.length > 10);
      const said = violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html).join(" ; ").slice(0, 300)}`);
      assert.deepEqual(said, [], stop.name);
    }
    await page.evaluate(() => { location.hash = "wire~child~~club.3"; });
    await page.waitForSelector("#signal-name");
    const { violations } = await page.evaluate(() => window.axe.run());
    assert.deepEqual(violations.map(({ id, nodes }) => `${id}: ${nodes[0].html}`), []);
  }, { all: clubs(), width, height, touch }));
}
