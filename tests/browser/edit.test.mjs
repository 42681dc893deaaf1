// Cures as buttons: the change that is sent, what is told, and the way back.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { startChromium } from "./chromium.mjs";
import { clubs, onPage } from "./open.mjs";

let browser;
before(async () => { browser = await startChromium(); });
after(() => browser.close());

const HEIGHT = { file: "display.toml", path: ["span", "clubs", "from", "height"] };

test("a cure sends exactly its change, shows it, and is taken back", async () => {
  const asked = [];
  await onPage(browser, async (page) => {
    await page.getByRole("button", { name: "Tie the rope at 14 ft 6 in" }).click();
    await page.waitForSelector(".changed");
    assert.deepEqual(asked, [{ ...HEIGHT, expected: "\"14 ft\"", new: "\"14 ft 6 in\"" }]);
    assert.match((await page.locator(".changed").innerText()).replaceAll(/\s+/g, " "), /Changed in display\.toml: span\.clubs\.from\.height "14 ft" became "14 ft 6 in"/);
    await page.getByRole("button", { name: "Undo span.clubs.from.height" }).click();
    await page.waitForSelector(".changed b:text('Taken back')");
    assert.deepEqual(asked[1], { ...HEIGHT, expected: "\"14 ft 6 in\"", new: "\"14 ft\"" });
    assert.equal(await page.getByRole("button", { name: /Undo/ }).count(), 0);
  }, { all: clubs(), hash: "hang", edit: (change) => { asked.push(change); } });
});

test("a cure that is refused says why and changes nothing", () => onPage(browser, async (page) => {
  await page.getByRole("button", { name: "Sag less: 4 % of the span" }).click();
  await page.waitForSelector(".changed");
  assert.equal(await page.locator(".changed").innerText(), "Nothing was changed: it now says <b>6 %</b>.");
  assert.equal(await page.locator(".changed b").count(), 1, "what the server says is text, never markup");
  assert.equal(await page.getByRole("button", { name: /Undo/ }).count(), 0);
}, { all: clubs(), hash: "hang", edit: () => "it now says <b>6 %</b>" }));

test("a cure without an edit is words, and one button says what it would write and where", () => onPage(browser, async (page) => {
  assert.equal(await page.locator(".cure-words").innerText(), "Or move the path of the public away from under it.");
  assert.equal(await page.locator(".make").count(), 2);
  assert.match(await page.locator(".cure.first").innerText(), /display\.toml, line 31: span\.clubs\.from\.height\s+"14 ft" becomes "14 ft 6 in"/);
}, { all: clubs(), hash: "hang" }));
