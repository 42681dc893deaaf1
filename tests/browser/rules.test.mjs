// The stop of the rules: sliders, time, statecharts, settings and kept numbers, plays told and replayed, sounds.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { after, before, test } from "node:test";
import { startChromium } from "./chromium.mjs";
import { clubs, fox, onPage, picture } from "./open.mjs";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

let browser;
before(async () => { browser = await startChromium(); });
after(() => browser.close());

/** A form with everything of this stop: one button; a machine with a sound, a kept number and a setting. */
async function counting(slow = 500) {
  const { plan, form } = await fox();
  const number = (v) => ({ w: 8, op: "number", m: 0, i: v });
  const state = (name, more) => ({ name, dwells: [], entry: [], exit: [], pose: null, lights: [], writes: [], transitions: [], ...more });
  const way = (more) => ({ priority: 0, trigger: { on: "press", button: 0 }, condition: null, side: null, actions: [], go: null, ...more });
  const add = { do: "set", number: 0, to: { w: 8, op: "two", f: "add", a: number(0), b: { w: 8, op: "setting", i: 0 } } };
  return {
    plan: { ...plan }, faults: [], beside: {
      constants: [{ name: "slow", path: ["constant", "slow"], file: "fox.rules", line: 3, text: `${slow} ms` }],
    },
    form: {
      ...form, buttons: ["wave"], sliders: [{ name: "slow", value: slow, min: 200, max: 900, unit: "ms" }], settings: [{ name: "by", min: 1, max: 5, start: 1 }], sounds: ["chirp"],
      claims: [{ name: "below-nine", claim: { says: "always", what: { w: 8, op: "two", f: "lt", a: number(0), b: { w: 8, op: "const", v: 9 } } } }],
      machines: [{
        name: "counter", numbers: [{ name: "best", min: 0, max: 99, start: 0, shown_on: null, kept: true }],
        timers: [{ name: "far+1", dwell: true, cycle: false, max: slow / form.tick_ms }], remembers: [], ties: null,
        states: [
          state("near", { transitions: [way({ actions: [add, { do: "play", sound: 0 }], go: 1 })] }),
          state("far", {
            dwells: [{ timer: 0, ticks: slow / form.tick_ms }],
            transitions: [way({ trigger: { on: "timer", timer: 0 }, go: 0 }), way({ priority: 1, condition: { w: 8, op: "two", f: "gt", a: number(0), b: { w: 8, op: "const", v: 3 } } })],
          }),
        ],
      }],
    },
  };
}

const text = (page, selector) => page.locator(selector).first().innerText();
const press = async (page, words) => page.getByRole("button", { name: words, exact: true }).click();
const until = (page, of, wanted) => page.waitForFunction(([selector, words]) => document.querySelector(selector)?.textContent.includes(words), [of, wanted], { timeout: 5000 });

test("held time moves by single ticks and by ten, and runs slower when asked", async () => onPage(browser, async (page) => {
  await press(page, "hold it");
  const tick = async () => Number(await text(page, '[data-clock="tick"]'));
  const shown = async (wanted) => until(page, '[data-clock="tick"]', String(wanted));
  const from = Number(await page.locator("#yard").getAttribute("data-tick"));
  await shown(from);
  await press(page, "one tick");
  await shown(from + 1);
  await press(page, "ten ticks");
  await shown(from + 11);
  assert.equal(await text(page, '[data-clock="time"]'), `${((from + 11) / 100).toFixed(2)} s`);
  assert.equal(await tick(), from + 11, "it stands still");
  // Paces are measured on the page's own clock, against a clock that the test turns.
  const ran = await page.evaluate(async () => {
    const { Game } = await import("/game.js");
    const form = await (await fetch("/form.json")).json();
    return [1, 0.5, 0.25, 0.1].map((pace) => {
      const game = new Game(form);
      game.pace = pace;
      for (let ms = 0; ms <= 2000; ms += 20) game.advance(ms);
      return game.ticks;
    });
  });
  assert.deepEqual(ran, [200, 100, 50, 20]);
}, { all: await fox(), hash: "idea" }));

test("the statechart says the rules' words, and marks the state and the way just taken", async () => onPage(browser, async (page) => {
  const chart = page.locator("svg[data-machine]");
  for (const words of ["near", "far", "on press wave", "/ best = best + by", "after 500 ms", "if best > 3"]) {
    assert.ok((await chart.textContent()).includes(words), words);
  }
  await until(page, ".chart .now .state-name", "near");
  await press(page, "hold it");
  await page.locator("#yard").click({ position: { x: 600, y: 400 } });
  await press(page, "ten ticks");
  await until(page, ".chart .now .state-name", "far");
  assert.equal(await page.locator(".way.taken").getAttribute("data-way"), "0/0");
  const weight = (selector) => page.locator(selector).first().evaluate((each) => parseFloat(getComputedStyle(each).strokeWidth));
  assert.ok(await weight(".now rect") > 2 * await weight(".state:not(.now) rect"), "marked by weight");
  assert.equal(await page.locator(".now .pointer").evaluate((each) => getComputedStyle(each).visibility), "visible");
  assert.match(await text(page, ".now-words"), /^counter is far; it came by: near on press wave do best = best \+ by, play chirp\.$/);
}, { all: await counting(), hash: "idea" }));

test("no box lies over another, and machines and sides can be chosen", async () => onPage(browser, async (page) => {
  const names = await page.locator(".machines .choice").first().locator("button").allInnerTexts();
  assert.ok(names.length > 1);
  for (const name of names) {
    await press(page, name);
    const boxes = await page.locator(".chart .state rect").evaluateAll((all) => all.map((each) => ["x", "y", "width", "height"].map((key) => Number(each.getAttribute(key)))));
    boxes.forEach(([x, y, w, h], k) => boxes.slice(k + 1).forEach(([x2, y2, w2, h2]) => {
      assert.ok(x + w <= x2 || x2 + w2 <= x || y + h <= y2 || y2 + h2 <= y, `${name}: ${[x, y, x2, y2]}`);
    }));
  }
  const sides = page.locator(".machines .choice").nth(1).locator("button");
  if (await sides.count()) {
    await sides.last().click();
    assert.equal(await sides.last().getAttribute("aria-pressed"), "true");
  }
}, { all: clubs(), hash: "idea" }));

test("a chart larger than its window begins with the state that the machine is in", async () => {
  const all = await counting();
  const [machine] = all.form.machines;
  const [near, far] = machine.states;
  // Six ways side by side: the first state stands far to the right.
  const ends = Array.from({ length: 6 }, (_, k) => ({ ...far, name: `far-${k}`, dwells: [], transitions: [] }));
  machine.states = [{ ...near, transitions: ends.map((_, k) => ({ ...near.transitions[0], priority: k, actions: [], go: k + 1 })) }, ...ends];
  await onPage(browser, async (page) => {
    await until(page, ".chart .now .state-name", "near");
    const [now, chart, scrolled] = await page.locator(".chart").evaluate((chart) => [
      chart.querySelector(".now rect").getBoundingClientRect().toJSON(), chart.getBoundingClientRect().toJSON(), chart.scrollLeft,
    ]);
    assert.ok(now.left - chart.left + scrolled > chart.width, "at first it is out of sight");
    assert.ok(now.left >= chart.left && now.right <= chart.right, `${now.left} to ${now.right} in ${chart.left} to ${chart.right}`);
    // From then on it stays where it is put.
    await page.locator(".chart").evaluate((each) => { each.scrollLeft = 0; });
    const tick = Number(await page.locator("#yard").getAttribute("data-tick"));
    await page.locator("#yard").click({ position: { x: 200, y: 150 } });
    await until(page, ".chart .now .state-name", "far-0");
    await page.waitForFunction((before) => Number(document.getElementById("yard").dataset.tick) > before + 5, tick);
    assert.equal(await page.locator(".chart").evaluate((each) => each.scrollLeft), 0);
  }, { all, hash: "idea", width: 400, height: 800 });
});

test("a slider is tried at once, plays on, is kept by an exact change, and goes back", async () => {
  const asked = [];
  const all = await counting();
  const tuned = (await counting(620)).form;
  // The server reads the written rules again: its slider still says what is written.
  await onPage(browser, async (page, { swap }) => {
    const slider = page.getByRole("slider", { name: "slow" });
    assert.equal(await slider.getAttribute("step"), "10");
    await page.keyboard.press(" ");
    await until(page, ".chart .now .state-name", "far");
    const before = Number(await page.locator("#yard").getAttribute("data-tick"));
    await slider.focus();
    for (let k = 0; k < 12; k += 1) await page.keyboard.press("ArrowRight");
    await until(page, ".tuning output", "620 ms");
    await until(page, "svg[data-machine]", "after 620 ms");
    assert.ok(Number(await page.locator("#yard").getAttribute("data-tick")) >= before, "it plays on");
    await picture(page, "rules-tuned");
    await press(page, "As it was");
    await until(page, "svg[data-machine]", "after 500 ms");
    await slider.fill("620");
    await until(page, "svg[data-machine]", "after 620 ms");
    await press(page, "Keep it");
    await until(page, ".changed", "became");
    assert.deepEqual(asked, [{ file: "fox.rules", path: ["constant", "slow"], expected: "500 ms", new: "620 ms" }]);
    swap(await counting(620));
    await until(page, ".slider .quiet", "as written");
    assert.equal(await text(page, ".tuning output"), "620 ms");
  }, {
    all, hash: "idea", edit: (change) => { asked.push(change); },
    tried: ({ slow }) => ({ faults: [], form: { ...(slow === "620 ms" ? tuned : all.form), sliders: [{ ...tuned.sliders[0], value: parseInt(slow, 10) }] } }),
  });
});

test("what the rules refuse is said, and the game stays", async () => onPage(browser, async (page) => {
  await page.getByRole("slider", { name: "slow" }).fill("900");
  await until(page, ".tuning .refused", "this is refused");
}, { all: await counting(), hash: "idea", tried: () => ({ form: null, faults: [{ severity: "fault", message: "this is refused" }] }) }));

test("settings are set before play, kept numbers outlast a reload and can be forgotten", async () => onPage(browser, async (page) => {
  await page.getByLabel("by", { exact: true }).fill("4");
  await page.getByLabel("by", { exact: true }).press("Tab");
  await page.locator("#yard").click({ position: { x: 600, y: 400 } });
  await until(page, '[data-kept="0"]', "4");
  await page.reload();
  await until(page, '[data-kept="0"]', "4");
  assert.equal(await page.getByLabel("by", { exact: true }).inputValue(), "4");
  await press(page, "Forget them and begin anew");
  await until(page, '[data-kept="0"]', "0");
}, { all: await counting(), hash: "idea" }));

test("a sound is a word in the yard, and a tone once it is switched on", async () => onPage(browser, async (page) => {
  const tones = () => page.evaluate(() => window.tones ?? 0);
  await page.locator("#yard").click({ position: { x: 600, y: 400 } });
  await until(page, "#heard", "chirp");
  assert.equal(await tones(), 0, "silent until asked");
  await press(page, "let them be heard");
  await until(page, ".chart .now .state-name", "near");
  await page.locator("#yard").click({ position: { x: 600, y: 400 } });
  await page.waitForFunction(() => window.tones === 1);
}, {
  all: await counting(), hash: "idea", init: () => {
    const start = OscillatorNode.prototype.start;
    OscillatorNode.prototype.start = function counted(...all) {
      window.tones = (window.tones ?? 0) + 1;
      return start.apply(this, all);
    };
  },
}));

const TOLD = [{ tick: 0, words: "at first counter is idle" }, { tick: 5, words: "somebody presses wave; chance makes `nap` 1.95 s" },
  { tick: 20, words: "somebody presses wave" }, { tick: 29, words: "here the claim is broken: `best` is 9" }];
const TICKS = Array.from({ length: 30 }, (_, k) => ({ p: k === 5 || k === 20 ? [0] : [], h: k >= 5 && k < 8 ? [0] : [], k: [] }));

test("a play is told in sentences and replayed step by step, from the folder, from an answer and from a file", async () => {
  const all = await counting();
  const trace = { kept: [8], settings: [null], ticks: TICKS, again_from: null };
  all.beside.traces = [{ file: "nine.trace.json", trace: { ...trace, told: TOLD } }];
  all.beside.answers = [{ claim: "below-nine", words: "`below-nine` fails 0.290 s after the start, with 2 presses", verdict: { is: "refuted", trace }, told: TOLD }];
  await onPage(browser, async (page) => {
    assert.match(await text(page, ".claim-list"), /below nine always counter\.best < 9/);
    assert.match(await text(page, ".claim-list .answer"), /fails 0.290 s after the start/);
    await press(page, "Replay it in the yard");
    const said = await page.locator(".moments li").allInnerTexts();
    assert.deepEqual(said, ["0.00 s at first counter is idle", "0.05 s somebody presses wave; chance makes nap 1.95 s", "0.20 s somebody presses wave", "0.29 s here the claim is broken: best is 9"]);
    assert.deepEqual(await page.locator(".moments code").allInnerTexts(), ["nap", "best"]);
    assert.equal(await text(page, ".replay h3"), "A play against below-nine");
    assert.doesNotMatch(await text(page, ".replay"), /`/);
    await press(page, "From the start");
    await press(page, "hold it");
    const at = Number(await page.locator("#yard").getAttribute("data-tick"));
    await press(page, "To the next press");
    const next = at < 5 ? 5 : at < 20 ? 20 : 29;
    await until(page, '[data-clock="tick"]', String(next));
    await page.waitForFunction((tick) => document.querySelector(".moments [aria-current]")?.dataset.moment === String(tick), next);
    await page.locator("#yard").click({ position: { x: 600, y: 400 } });
    await press(page, "Back to playing");
    assert.equal(await page.locator(".replay").count(), 0);
    await press(page, "Replay nine.trace.json");
    assert.equal(await text(page, ".replay h3"), "nine.trace.json");
    assert.equal((await page.locator(".moments li").allInnerTexts()).length, TOLD.length);
    await press(page, "Back to playing");
    const give = (name, content) => page.getByLabel("Replay a play from a file").setInputFiles({ name, mimeType: "application/json", buffer: Buffer.from(content) });
    await give("broken.json", "{ no");
    await until(page, ".claims .refused", "broken.json is no play");
    await give("other.json", JSON.stringify({ ticks: [{ p: [7], h: [], k: [] }] }));
    await until(page, ".claims .refused", "other.json is no play");
    await give("untold.json", JSON.stringify({ ...trace, told: [{ tick: 1 }] }));
    await until(page, ".claims .refused", "untold.json is no play");
    await give("mine.json", JSON.stringify({ ...trace, form: all.form }));
    await until(page, ".replay h3", "mine.json");
    await picture(page, "rules-replay");
    await page.waitForFunction(() => document.getElementById("yard").dataset.tick === "29");
  }, { all, hash: "idea" });
});

test("claims stand as they are written, answers with their names, and what was not asked with how to ask it", async () => {
  const all = await counting();
  all.beside.claims = [{ name: "below-nine", says: "always low" }];
  all.beside.answers = [{ claim: ".flash", words: "Proved: no more than three flashes (`.flash`)", verdict: { is: "proved" } }];
  all.beside.unasked = [{ claim: "below-nine", words: "`below-nine`" }, { claim: ".held wave", words: "with button wave stuck down, play comes home (`.held wave`)" }];
  all.beside.ask = "lampwright prove my-fox";
  await onPage(browser, async (page, { swap }) => {
    assert.deepEqual(await page.locator(".claim-list li").allInnerTexts(), ["below nine always low\nNot asked yet", "flash\nProved: no more than three flashes (.flash)"]);
    assert.equal(await page.locator(".undecided-words").count(), 0);
    assert.deepEqual(await page.locator(".unasked li").allInnerTexts(), ["what the rules claim: below nine", "with button wave stuck down, play comes home (.held wave)"]);
    assert.deepEqual(await page.locator(".unasked > p code").allInnerTexts(), ["lampwright prove my-fox", "--claim '.held wave'"]);
    assert.ok(!(await text(page, ".claims")).includes("not with the values that are tried"));
    await page.getByRole("slider", { name: "slow" }).fill("620");
    await until(page, ".claims", "not with the values that are tried above");
    await press(page, "As it was");
    // Faults came: what has faults is not proved.
    swap({ ...all, beside: { ...all.beside, ask: null } });
    await until(page, ".unasked", "once the faults above are mended");
    swap({ ...all, beside: { ...all.beside, unasked: [] } });
    await page.waitForFunction(() => !document.querySelector(".unasked"));
    // What is refuted or undecided is told apart by its edge, not by its words alone.
    const answers = ["proved", "refuted", "undecided"].map((is) => ({ claim: `.${is}`, words: `${is}: so`, verdict: { is } }));
    swap({ ...all, beside: { ...all.beside, answers } });
    await until(page, ".undecided-words", "lampwright prove my-fox with a higher --limit");
    const edges = await page.locator(".claim-list li").evaluateAll((all) => all.map((each) => getComputedStyle(each).borderLeftStyle));
    assert.deepEqual(edges, ["none", "none", "solid", "dashed"]);
  }, { all, hash: "idea", tried: () => ({ faults: [], form: all.form }) });
});

/** A rehearsal's rows, made by hand: two sorts of people, one constant. */
function rehearsed() {
  const spread = (value) => ({ count: 9, mean: { value, low: value - 1, high: value + 1 }, median: { value, low: value - 1, high: value + 2 }, tenth: 0, ninetieth: 9, counts: [] });
  const share = (value) => ({ value, low: value - 0.1, high: value + 0.05 });
  const part = { count: 0, of: 9, value: 0, low: 0, high: 0.1 };
  const bouts = (score, hit) => ({ count: 9, scores: [spread(score)], hit: share(hit), empty: share(0.3), length_s: { value: 40, low: 38, high: 43 }, together: share(0), broken_off: part });
  const hour = { value: 60, low: 55, high: 66 };
  const party = (key, who, first, fifth, hit) => ({ key, who, first: bouts(first, hit), fifth: fifth && bouts(fifth, hit), first_success_s: spread(6), within_seven: part, without_success: part, free_again_s: null, games_an_hour: hour });
  const tried = (key, hit) => ({ key, score: spread(3).median, mean_score: spread(3).mean, hit: share(hit), empty: share(0.3), games_an_hour: hour, first_success_s: spread(6).median });
  return {
    format: "lampwright-rehearsal", version: 2, seed: 1, games: 9, scores: ["best"], bouts: true,
    parties: [party("five", "five-year-olds", 4, 9, 0.6), party("adult", "adults", 30, null, 0.95)],
    constants: [{ name: "slow", unit: "ms", value: 500, points: [[200, 0.5, 0.9], [500, 0.6, 0.95], [900, 0.9, 1]].map(([value, a, b]) => ({ value, parties: [tried("five", a), tried("adult", b)] })) }],
    verdict: [{ about: "constant", wants_change: true, words: "It becomes easier with `slow` at 900 ms" }, { about: "waiting", wants_change: false, words: "A bout lasts 40 s" }],
    grounds: ["means are published"],
  };
}

test("a rehearsal is begun with the constants as set, is waited for, says its verdict first and its numbers when asked", async () => {
  const all = await counting();
  all.form.prompts = [{ name: "go", side: null, button: 0, when: { w: 8, op: "in", m: 0, s: 0 } }];
  const asked = [];
  let state = { is: "none" };
  const rehearsal = { begin: (constants) => { asked.push(constants); state = { is: "running", over: 3, all: 36 }; }, state: () => state };
  const tuned = (await counting(620)).form;
  const tried = ({ slow }) => ({ faults: [], form: { ...(slow === "620 ms" ? tuned : all.form), prompts: all.form.prompts, sliders: [{ ...tuned.sliders[0], value: parseInt(slow, 10) }] } });
  await onPage(browser, async (page) => {
    await page.getByRole("slider", { name: "slow" }).fill("620");
    await until(page, "svg[data-machine]", "after 620 ms");
    await press(page, "Let them play");
    await until(page, ".rehearsal [role=status]", "3 of 36 parties");
    assert.equal(await page.locator(".rehearsal progress").evaluate((each) => each.position), 3 / 36);
    assert.ok(await page.getByRole("button", { name: "Let them play" }).isDisabled());
    assert.deepEqual(asked, [{ slow: "620 ms" }]);
    state = { is: "done", rehearsal: rehearsed(), constants: { slow: "620 ms" }, form: { ...tried({ slow: "620 ms" }).form } };
    await until(page, ".verdict", "It becomes easier with “slow” at 900 ms");
    assert.deepEqual(await page.locator(".verdict li").allInnerTexts(), ["To change: It becomes easier with “slow” at 900 ms", "A bout lasts 40 s"]);
    await until(page, ".rehearsal", "Played with slow at 620 ms");
    assert.equal(await page.getByRole("table").filter({ hasText: "times to press met" }).isVisible(), false, "numbers only when asked");
    await page.getByText("The numbers, with intervals of 95 in 100").click();
    assert.match(await page.locator(".rehearsal tbody tr").first().innerText(), /five-year-olds\s+4\s+\(3 to 6\)\s+9\s+\(8 to 11\)\s+60\.0\s+\(50\.0 to 65\.0\).*60\.0\s+\(55\.0 to 66\.0\)$/s);
    // Dots stand in the order of what they say, and each within its bar.
    const places = await page.locator("[data-party]").evaluateAll((rows) => rows.map((row) => {
      const [, from, to] = /M([\d.]+) [\d.]+ H([\d.]+)/.exec(row.querySelector(".bar").getAttribute("d")).map(Number);
      return [from, Number(row.querySelector(".dot").getAttribute("cx")), to];
    }));
    assert.equal(places.length, 2);
    for (const [from, at, to] of places) assert.ok(from < at && at < to, `${[from, at, to]}`);
    assert.ok(places[0][1] < places[1][1]);
    // Upright bars: the higher the value, the less far down.
    const uprights = await page.locator("[data-tried=five] .bar").evaluateAll((bars) => bars.map((bar) => {
      const [, low, high] = /M[\d.]+ ([\d.]+) V([\d.]+)/.exec(bar.getAttribute("d")).map(Number);
      return [low, Number(bar.nextElementSibling.getAttribute("cy")), high];
    }));
    assert.equal(uprights.length, 3);
    for (const [low, at, high] of uprights) assert.ok(low > at && at > high, `${[low, at, high]}`);
    assert.equal(await page.getByRole("group", { name: "Numbers of slow" }).isVisible(), false, "the table of a constant only when asked");
    await page.getByText("The numbers of slow").click();
    const values = await page.getByRole("group", { name: "Numbers of slow" }).locator("tbody tr").allInnerTexts();
    assert.equal(values.length, 6);
    assert.match(values[2], /500 ms, as written\s+five-year-olds\s+60\.0\s+\(50\.0 to 65\.0\)\s+30\.0\s+\(20\.0 to 35\.0\)\s+3\s+\(2 to 5\)\s+6\.0\s+\(5\.0 to 8\.0\)\s+60\.0\s+\(55\.0 to 66\.0\)$/);
    await page.evaluate(axe);
    const found = await page.evaluate(async () => (await window.axe.run(".rehearsal")).violations.map(({ id }) => id));
    assert.deepEqual(found, []);
    await page.locator(".rehearsal").scrollIntoViewIfNeeded();
    await picture(page, "rules-rehearsal");
    // Other rules than those that were played.
    await press(page, "As it was");
    await until(page, ".rehearsal .refused", "The rules have changed since");
  }, { all, hash: "idea", tried, rehearsal });
});

test("rules without prompts say what would make a rehearsal possible", async () => onPage(browser, async (page) => {
  await until(page, ".rehearsal", "prompt catch press button when hand is open");
  assert.equal(await page.getByRole("button", { name: "Let them play" }).count(), 0);
}, { all: await counting(), hash: "idea" }));

// The vectors are the referee's; the page's replay must come to the same frames.
test("a replayed vector ends with the frame that the referee saw", async () => {
  const { Game } = await import("../../page/game.js");
  const { frameBytes } = await import("../../page/player.js");
  let seen = 0;
  for (const name of ["settings", "kept-values", "picks-given", "remembered-press", "messages"]) {
    const read = JSON.parse(readFileSync(new URL(`../../vectors/${name}.json`, import.meta.url), "utf8"));
    for (const vector of Array.isArray(read) ? read : read.vectors ?? [read]) {
      const game = new Game(vector.form, { kept: vector.kept, settings: vector.settings }, vector.ticks);
      vector.expect.forEach(({ f }, tick) => {
        if (tick > 0) game.go(1);
        assert.equal(Buffer.from(frameBytes(vector.form, game.frame)).toString("hex"), f, `${name}, tick ${tick}`);
        seen += 1;
      });
    }
  }
  assert.ok(seen > 50, `${seen}`);
});

for (const [width, height] of [[1200, 1300], [400, 800]]) {
  test(`at ${width} by ${height} nothing runs over the edge, and axe finds nothing`, async () => onPage(browser, async (page) => {
    assert.ok(await page.evaluate(() => document.documentElement.scrollWidth) <= width);
    await page.evaluate(axe);
    const found = await page.evaluate(async () => (await window.axe.run()).violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(" ")}`));
    assert.deepEqual(found, []);
    await picture(page, `rules-${width}`);
  }, { all: await counting(), hash: "idea", width, height }));
}
