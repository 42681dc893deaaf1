// The real program: its workbench plays the displays of the project, and its edits reach the file.

import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { startChromium } from "./chromium.mjs";
import { picture, watch } from "./open.mjs";

const here = path.dirname(fileURLToPath(import.meta.url));
let browser;
before(async () => { browser = await startChromium(); });
after(() => browser.close());

// LAMPWRIGHT_BINARY names another program and must then exist.
const binary = process.env.LAMPWRIGHT_BINARY ?? path.resolve(here, "../../target/debug/lampwright");
const built = Boolean(process.env.LAMPWRIGHT_BINARY) || existsSync(binary);
const skip = (name) => (!built ? "the program is not built" : existsSync(path.resolve(here, `../../displays/${name}/display.toml`)) ? false : `there is no ${name}`);

/** Runs the workbench on a copy of a display, opens its page, and lets a test work on it. */
async function onProgram(name, work, viewport = { width: 1200, height: 1300 }) {
  const folder = mkdtempSync(path.join(tmpdir(), "lampwright-"));
  cpSync(path.resolve(here, `../../displays/${name}`), folder, { recursive: true });
  const program = spawn(binary, ["workbench", folder, "--port", "0"], { stdio: ["ignore", "pipe", "pipe"] });
  const context = await browser.newContext({ viewport });
  try {
    const address = await printedAddress(program);
    const page = await context.newPage();
    const errors = watch(page);
    await page.goto(address);
    await page.waitForSelector("article h2");
    assert.ok(!page.url().includes("token"), "the address loses the token");
    await work(page, folder);
    assert.deepEqual(errors, []);
  } finally {
    await context.close();
    program.kill();
    rmSync(folder, { recursive: true, force: true });
  }
}

/** The address that the program prints on starting. */
function printedAddress(program) {
  return new Promise((resolve, reject) => {
    let said = "";
    const hear = (bytes) => {
      said += bytes;
      const address = /http:\/\/\S+token=[0-9A-Za-z]+/.exec(said);
      if (address) resolve(address[0]);
    };
    program.stdout.on("data", hear);
    program.stderr.on("data", hear);
    program.on("exit", (code) => reject(new Error(`it ended with ${code}: ${said}`)));
    setTimeout(() => reject(new Error(`no address within 20 s: ${said}`)), 20000).unref();
  });
}

async function everyStop(page, name) {
  for (const link of await page.locator(".path a").all()) {
    await link.click();
    await page.waitForFunction((href) => location.hash === href, await link.getAttribute("href"));
    const stop = await page.locator(".path [aria-current] .name").innerText();
    assert.match(await page.locator("h2").innerText(), new RegExp(`${stop}$`));
    await picture(page, `${name}-${stop.toLowerCase().replaceAll(" ", "-")}`);
  }
}

const changed = (page, was) => page.waitForFunction((before) => document.getElementById("yard").dataset.pose !== before, was, { timeout: 5000 });

test("the workbench of the program plays the waving fox", { skip: skip("waving-fox") }, () => onProgram("waving-fox", async (page) => {
  const first = await page.waitForFunction(() => document.getElementById("yard").dataset.pose);
  const resting = await first.jsonValue();
  await page.keyboard.down(" ");
  await changed(page, resting);
  await page.keyboard.up(" ");
  await everyStop(page, "fox");
}));

test("an edit from the page reaches the file, and the page follows", { skip: skip("waving-fox") }, () => onProgram("waving-fox", async (page, folder) => {
  const file = path.join(folder, "display.toml");
  const before = readFileSync(file, "utf8");
  const send = (change) => page.evaluate(async (body) => {
    const answer = await fetch("./edit", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });
    return answer.status;
  }, change);
  const change = { file: "display.toml", path: ["title"], expected: "\"Waving fox\"", new: "\"Waving vixen\"" };
  assert.equal(await send(change), 200);
  await page.waitForSelector("h1:has-text('Waving vixen')");
  assert.equal(readFileSync(file, "utf8"), before.replace("\"Waving fox\"", "\"Waving vixen\""), "every other byte stays");
  assert.equal(await send({ ...change, expected: change.new, new: change.expected }), 200);
  await page.waitForSelector("h1:has-text('Waving fox')");
  assert.equal(readFileSync(file, "utf8"), before);
}));

test("the workbench of the program plays club passing", { skip: skip("club-passing") }, () => onProgram("club-passing", async (page) => {
  const first = await page.waitForFunction(() => document.getElementById("yard").dataset.pose);
  const waiting = await first.jsonValue();
  await page.keyboard.press("a");
  await changed(page, waiting);
  await picture(page, "club-passing");
  await everyStop(page, "club");
}));
