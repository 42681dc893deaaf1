// A small server for tests: the page with the project's fonts, and whatever JSON a test lays over it.

import { createServer } from "node:http";
import { readFile } from "node:fs/promises";
import path from "node:path";
import { fileURLToPath } from "node:url";

const root = path.resolve(path.dirname(fileURLToPath(import.meta.url)), "../..");
const KINDS = { ".html": "text/html", ".css": "text/css", ".js": "text/javascript", ".mjs": "text/javascript", ".ttf": "font/ttf", ".json": "application/json" };
const POLICY = "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; connect-src 'self'; img-src 'self' data:";

/** The text of a fixture. */
export function fixture(name) {
  return readFile(path.join(root, "tests/browser/fixture", name), "utf8");
}

/** Answers as the program does: what was changed, or why not. */
async function answerEdit(request, response, edit) {
  let body = "";
  for await (const part of request) body += part;
  const change = JSON.parse(body);
  const why = await edit(change);
  response.writeHead(why ? 409 : 200, { "Content-Type": "application/json", ...(why ? { "x-provoked": "yes" } : {}) });
  response.end(JSON.stringify(why ? { why } : change));
}

/**
 * Serves the page on the loopback interface. `over` maps a path to text that is answered in place of a file; it may be
 * changed while the server runs. `swap()` tells the page that something changed.
 * @param {Record<string, string>} over
 * @param {((change: any) => any)|null} edit answers a change that the page asks for: nothing, or why it is refused
 * @param {((constants: any) => any)|null} tried answers constants that the page tries: form and faults
 * @param {{begin: (constants: any) => void, state: () => any}|null} rehearsal lets nobody play, but says how it stands
 */
export async function servePage(over, edit = null, tried = null, rehearsal = null) {
  const listeners = new Set();
  let generation = 0;
  const server = createServer(async (request, response) => {
    const name = new URL(request.url, "http://localhost").pathname;
    response.setHeader("Content-Security-Policy", POLICY);
    response.setHeader("Cache-Control", "no-store");
    if (name === "/changes") {
      response.writeHead(200, { "Content-Type": "text/event-stream" });
      response.write(`data: ${generation}\n\n`);
      listeners.add(response);
      request.on("close", () => listeners.delete(response));
      return;
    }
    if (name === "/edit" && request.method === "POST" && edit) {
      await answerEdit(request, response, edit);
      return;
    }
    if (name === "/tried" && request.method === "POST" && tried) {
      let body = "";
      for await (const part of request) body += part;
      response.writeHead(200, { "Content-Type": "application/json" });
      response.end(JSON.stringify(tried(JSON.parse(body))));
      return;
    }
    if (name === "/rehearsal.json") {
      const begun = request.method === "POST";
      let body = "";
      for await (const part of request) body += part;
      if (begun) rehearsal?.begin(JSON.parse(body));
      response.writeHead(begun ? 202 : 200, { "Content-Type": "application/json" }).end(JSON.stringify(rehearsal?.state() ?? { is: "none" }));
      return;
    }
    if (name === "/beside.json" && !Object.hasOwn(over, name)) {
      response.writeHead(200, { "Content-Type": "application/json" }).end("{}");
      return;
    }
    const file = name === "/" ? "/index.html" : name;
    const folder = file.startsWith("/fonts/") ? "assets" : "page";
    try {
      const content = Object.hasOwn(over, file) ? over[file] : await readFile(path.join(root, folder, path.normalize(file)));
      response.writeHead(200, { "Content-Type": KINDS[path.extname(file)] ?? "text/plain" });
      response.end(content);
    } catch {
      response.writeHead(404).end("There is nothing here.");
    }
  });
  await new Promise((resolve) => server.listen(0, "127.0.0.1", resolve));
  return {
    address: `http://127.0.0.1:${server.address().port}/`,
    swap: () => {
      generation += 1;
      for (const response of listeners) response.write(`data: ${generation}\n\n`);
    },
    close: () => {
      server.closeAllConnections();
      return new Promise((resolve) => server.close(resolve));
    },
  };
}
