// The yard in a browser: two people at one keyboard and at one screen, light where the frame says, what a frame costs,
// who it is seen as, and the way from a lamp back to its pin.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { startChromium } from "./chromium.mjs";
import { brightness, clubs, digits, fox, onPage, picture, pose } from "./open.mjs";

let browser;
before(async () => { browser = await startChromium(); });
after(() => browser.close());

const play = (page, key, shown) => page.keyboard.press(key).then(() => digits(page, shown));
/** Waits until a spot of the form is lit, as the frame says. */
const due = (page, which) => page.waitForFunction((wanted) => document.getElementById("yard").dataset.pose.split(" ")[wanted] === "reaching", which, { timeout: 8000 });

test("two people at one keyboard keep the club in the air, and the digits count", () => onPage(browser, async (page, { all }) => {
  await pose(page, "ready ready");
  assert.equal(await page.locator("#yard").getAttribute("data-digits"), "0");
  await page.keyboard.down("a");
  await pose(page, "throwing ready");
  await page.keyboard.up("a");
  await due(page, 1);
  await play(page, "l", "1");
  await pose(page, "ready throwing").catch(() => pose(page, "ready ready"));
  await due(page, 0);
  await play(page, "A", "2");
  await due(page, 1);
  await play(page, "l", "3");
  assert.equal(await page.locator("#count").innerText(), "rally 3");
  const bright = await brightness(page);
  const segment = (digit, letter) => bright[all.plan.digits[0].channels[digit]["abcdefg".indexOf(letter)]];
  // A 3 lights all but e and f; the digit to its left is a leading zero and stays dark.
  for (const letter of "abcdg") assert.ok(segment(1, letter) > 110, `${letter} of 3: ${segment(1, letter)}`);
  for (const letter of "ef") assert.ok(segment(1, letter) < 80, `${letter} of 3: ${segment(1, letter)}`);
  for (const letter of "abcdefg") assert.ok(segment(0, letter) < 80, `left ${letter}: ${segment(0, letter)}`);
  await picture(page, "clubs");
}, { all: clubs() }));

test("only what the frame lights is bright", () => onPage(browser, async (page, { all }) => {
  await pose(page, "ready ready");
  const bright = await brightness(page);
  all.plan.channels.forEach((channel, c) => {
    if (channel.lit_by.by === "segment" || all.plan.buttons.some((button) => button.lamp === c)) return;
    // The club waits on the first hanger; both jugglers are ready.
    const lit = channel.lit_by.by === "spot" ? channel.lit_by.spot === 0 : channel.lit_by.poses.includes(0);
    if (lit) assert.ok(bright[c] > 120, `${channel.name} is lit: ${bright[c]}`);
    else assert.ok(bright[c] < 75, `${channel.name} is dark: ${bright[c]}`);
  });
}, { all: clubs() }));

test("two fingers press both buttons at once", () => onPage(browser, async (page) => {
  await pose(page, "ready ready");
  const box = await page.locator("#yard").boundingBox();
  const touch = await page.context().newCDPSession(page);
  const point = (id, share) => ({ id, x: box.x + box.width * share, y: box.y + box.height * 0.55 });
  await touch.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: [point(1, 0.35), point(2, 0.65)] });
  await pose(page, "throwing throwing");
  await touch.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
  await pose(page, "ready ready").catch(() => pose(page, "ready reaching"));
  // One finger stays, the other comes and goes: each presses its own.
  await page.waitForTimeout(400);
  await touch.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: [point(1, 0.3)] });
  await page.waitForFunction(() => document.getElementById("yard").dataset.pose.startsWith("throwing"));
  await touch.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: [point(1, 0.3), point(3, 0.7)] });
  await page.waitForFunction(() => document.getElementById("yard").dataset.pose.endsWith("throwing"));
  await touch.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
}, { all: clubs(), touch: true, width: 800, height: 900 }));

test("a press is answered in the next frame", () => onPage(browser, async (page) => {
  await pose(page, "ready ready");
  const frames = await page.evaluate(() => new Promise((resolve) => {
    const canvas = document.getElementById("yard");
    let since = -1;
    const look = () => {
      if (since >= 0) since += 1;
      if (since > 0 && canvas.dataset.pose.startsWith("throwing")) return resolve(since);
      if (since > 20) return resolve(since);
      requestAnimationFrame(look);
      if (since < 0) {
        since = 0;
        window.dispatchEvent(new KeyboardEvent("keydown", { key: "a", code: "KeyA", bubbles: true }));
      }
      return undefined;
    };
    requestAnimationFrame(look);
  }));
  // Ours may be called before the page's own in the frame that answers; then it is seen one later.
  assert.ok(frames <= 2, `${frames} frames`);
}, { all: clubs() }));

/** Counts what is drawn on the yard in each frame; runs in the page before anything else. */
function countDrawing() {
  window.drawing = { now: { pictures: 0, pixels: 0, strokes: 0 }, frames: [] };
  const { drawing } = window;
  const pen = CanvasRenderingContext2D.prototype;
  const own = { drawImage: pen.drawImage, fill: pen.fill, stroke: pen.stroke };
  pen.drawImage = function draw(image, ...rest) {
    if (this.canvas.id === "yard") [drawing.now.pictures, drawing.now.pixels] = [drawing.now.pictures + 1, drawing.now.pixels + image.width * image.height];
    return own.drawImage.call(this, image, ...rest);
  };
  for (const name of ["fill", "stroke"]) {
    pen[name] = function mark(...rest) {
      if (this.canvas.id === "yard") drawing.now.strokes += 1;
      return own[name].apply(this, rest);
    };
  }
  const turn = () => {
    if (drawing.now.pictures > 0) drawing.frames.push({ ...drawing.now });
    drawing.now = { pictures: 0, pixels: 0, strokes: 0 };
    requestAnimationFrame(turn);
  };
  requestAnimationFrame(turn);
}

test("a frame of 1200 lamps costs no more pictures than one of 500", async () => {
  const costs = [];
  for (const pitch of [60, 18]) {
    const all = clubs({ pitch });
    const lamps = all.plan.panels.reduce((sum, panel) => sum + panel.holes.length, 0) + all.plan.spans[0].hung.reduce((sum, hung) => sum + hung.lamps_mm.length, 0);
    await onPage(browser, async (page) => {
      await pose(page, "ready ready");
      await page.evaluate(() => { window.drawing.frames = []; });
      await page.keyboard.press("a");
      await due(page, 1);
      await play(page, "l", "1");
      const frames = await page.evaluate(() => window.drawing.frames);
      assert.ok(frames.length >= 5, `${frames.length} frames`);
      const canvas = await page.evaluate(() => document.getElementById("yard").width * document.getElementById("yard").height);
      const most = (of) => Math.max(...frames.map((frame) => frame[of]));
      costs.push({ lamps, pictures: most("pictures"), share: most("pixels") / canvas, strokes: most("strokes") });
    }, { all, init: countDrawing });
  }
  const [few, many] = costs;
  assert.ok(few.lamps < 600 && many.lamps >= 1200, JSON.stringify(costs));
  assert.equal(many.pictures, few.pictures);
  assert.equal(many.strokes, few.strokes);
  // The dark yard, two bunches of two figures, a club, one digit's seven segments, two buttons.
  assert.ok(many.pictures <= 15, `${many.pictures} pictures`);
  assert.ok(many.strokes <= 4, `${many.strokes} strokes`);
  assert.ok(many.share <= 1.7, `${many.share} of the canvas`);
});

test("breathing draws at most 21 times a second, and not at all with movement reduced", async () => {
  const drawn = (page) => page.locator("#yard").getAttribute("data-drawn").then(Number);
  const inASecond = async (page) => {
    await pose(page, "resting");
    await page.waitForTimeout(300);
    const before = await drawn(page);
    await page.waitForTimeout(1000);
    return await drawn(page) - before;
  };
  await onPage(browser, async (page) => {
    const count = await inASecond(page);
    assert.ok(count > 3 && count <= 24, `${count} times`);
  }, { all: await fox() });
  await onPage(browser, async (page) => {
    assert.equal(await inASecond(page), 0);
    await page.keyboard.down(" ");
    await pose(page, "waving");
    await page.keyboard.up(" ");
  }, { all: await fox(), reduced: true });
});

test("the space bar makes the fox wave, and letting go lets it rest", async () => onPage(browser, async (page) => {
  await pose(page, "resting");
  const [always, resting, waving] = await brightness(page);
  assert.ok(always > 120 && resting > 120 && waving < 80, `at rest: ${[always, resting, waving]}`);
  await page.keyboard.down(" ");
  await pose(page, "waving");
  const up = await brightness(page);
  assert.ok(up[0] > 120 && up[1] < 80 && up[2] > 120, `waving: ${up}`);
  await pose(page, "resting");
  await pose(page, "waving");
  await page.keyboard.up(" ");
  await pose(page, "resting");
  await page.waitForTimeout(900);
  assert.equal(await page.locator("#yard").getAttribute("data-pose"), "resting");
}, { all: await fox() }));

test("a tap that is gone before the next tick still counts", async () => onPage(browser, async (page) => {
  await pose(page, "resting");
  await page.waitForTimeout(100);
  await page.evaluate(() => {
    for (const type of ["keydown", "keyup"]) document.body.dispatchEvent(new KeyboardEvent(type, { key: " ", code: "Space", bubbles: true }));
  });
  await pose(page, "waving");
}, { all: await fox() }));

test("the mouse in the yard and the button on the page press, also with movement reduced", async () => onPage(browser, async (page) => {
  await pose(page, "resting");
  const box = await page.locator("#yard").boundingBox();
  await page.mouse.move(box.x + 30, box.y + box.height * 0.5);
  await page.mouse.down();
  await pose(page, "waving");
  await page.mouse.up();
  await pose(page, "resting");
  await page.waitForTimeout(600);
  await page.locator("button.press").focus();
  await page.keyboard.press("Enter");
  await pose(page, "waving");
}, { all: await fox(), reduced: true }));

// Geometry: a thing of height h at distance d fills the angle whose tangent is h / d; on a screen 600 mm away that is
// 600 * h / d millimetres, with 96 pixels to 25.4 of them (CSS Values and Units, absolute lengths).
test("the figure is seen under its true angle", () => onPage(browser, async (page, { all }) => {
  const { nearest_mm: near, farthest_mm: far } = all.plan;
  for (const [sight, away] of [["child", near], ["walker", (near + far) / 2], ["driver", far]]) {
    const seen = await page.evaluate(async (key) => {
      const { scaleOf, sightOf } = await import("/sight.js");
      return scaleOf(sightOf(key), await (await fetch("/plan.json")).json());
    }, sight);
    const height = all.plan.panels[0].height_mm;
    const exact = 600 * Math.tan(Math.atan(height / away)) * (96 / 25.4);
    assert.ok(Math.abs(seen * height - exact) < 0.01, `${sight}: ${seen * height} instead of ${exact}`);
    await page.locator(".seen a", { hasText: sight }).click();
    await page.waitForFunction((key) => document.getElementById("yard").dataset.sight === key, sight);
    assert.equal(await page.locator(".seen [aria-current]").count(), 1);
    await picture(page, `clubs-${sight}`);
  }
  assert.match(await page.locator(".said").innerText(), /60 ft away, eyes 43 in up: true angle on a screen of 96 pixels to the inch, 2 ft away/);
}, { all: clubs() }));

// Perspective: what is at the height of the eye stays on the horizon at every distance; what is half as far is twice as
// large. A minute of arc is 1/60 of a degree; on a screen 600 mm away that is 600 * tan(1/60 deg) = 0.1745 mm.
test("nearer things are larger, the horizon is as high as the eye, and a minute of arc is blurred", () => onPage(browser, async (page) => {
  const seen = await page.evaluate(async () => {
    const [{ View }, { MINUTE_PX }] = await Promise.all([import("/view.js"), import("/sight.js")]);
    const bounds = { left: 0, right: 10000, top: 4000, bottom: 0 };
    const view = new View(bounds, { width: 1200, height: 500, density: 1 }, { scale: 0.1, away: 10000, eye: 1100, look: [0, 0], from: null, aim: null });
    return {
      horizons: [0, -5000, 20000].map((depth) => view.y(1100, depth)),
      heights: [0, -5000].map((depth) => view.y(0, depth) - view.y(1000, depth)),
      MINUTE_PX,
    };
  });
  assert.ok(Math.max(...seen.horizons) - Math.min(...seen.horizons) < 1e-9);
  assert.ok(Math.abs(seen.heights[1] / seen.heights[0] - 2) < 1e-9);
  assert.ok(Math.abs(seen.MINUTE_PX * (25.4 / 96) - 0.1745) < 0.0001);
}, { all: clubs() }));

test("whoever cannot see all of the yard can look around", () => onPage(browser, async (page) => {
  const look = () => page.evaluate(() => document.getElementById("yard").toDataURL().length);
  const before = await look();
  await page.locator(".looking button", { hasText: "right" }).click();
  await page.waitForTimeout(200);
  assert.notEqual(await look(), before);
  await page.locator(".seen a", { hasText: "close" }).click();
  await page.waitForFunction(() => document.querySelectorAll(".looking").length === 0);
}, { all: clubs(), hash: "idea~child" }));

test("a lamp that is clicked tells its way back, one label after the other", () => onPage(browser, async (page, { all }) => {
  await pose(page, "ready ready");
  const hung = all.plan.spans[0].hung[2];
  const at = await page.evaluate(async ([x, y]) => {
    const [{ layOut }, { View }] = await Promise.all([import("/layout.js"), import("/view.js")]);
    const canvas = document.getElementById("yard");
    const { bounds } = layOut(await (await fetch("/plan.json")).json());
    const view = new View(bounds, { width: canvas.clientWidth, height: canvas.clientHeight, density: 1 }, { scale: null, away: null, eye: null, look: [0, 0] });
    return [view.x(x), view.y(y)];
  }, [hung.at_mm[0] + hung.lamps_mm[0][0], hung.at_mm[1] + hung.lamps_mm[0][1]]);
  await page.mouse.click(...at);
  await page.waitForSelector("#signal-name");
  assert.match(await page.locator("#signal-name").innerText(), /^From club\.3 back/);
  assert.deepEqual(await page.locator(".labels .tag").allInnerTexts(), all.plan.signal_paths.find((each) => each.light === "club.3").by);
  assert.equal(await page.locator("#yard").getAttribute("data-pose"), "ready ready", "pointing at a lamp presses nothing");
  await picture(page, "clubs-signal");
  await page.getByText("Put the slip away").click();
  await page.waitForFunction(() => !document.querySelector("#signal-name"));
  // In a game the same place is a press.
  await page.keyboard.press("a");
  await page.mouse.click(...at);
  await page.waitForTimeout(150);
  assert.equal(await page.locator("#signal-name").count(), 0);
}, { all: clubs(), hash: "wire" }));

test("the way back is found from the list by keyboard", () => onPage(browser, async (page, { all }) => {
  const list = page.getByLabel(/A lamp stays dark/);
  await list.focus();
  assert.equal(await list.locator("option").count(), all.plan.signal_paths.length + 1);
  await list.selectOption("west button lamp");
  await page.waitForSelector("#signal-name");
  assert.deepEqual(await page.locator(".labels .tag").allInnerTexts(), all.plan.signal_paths.find((each) => each.light === "west button lamp").by);
}, { all: clubs(), hash: "wire" }));
