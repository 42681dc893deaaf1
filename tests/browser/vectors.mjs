// Finds the vectors and replays one with the page's player.
//
// A vector is `{name, form, kept, settings, ticks: [{p, h, k}], expect: [{f, x, k}]}`: per tick the buttons pressed and held (positions)
// and the picks given; then the frame's bytes in hexadecimal, the fingerprint and the picks made.

import { readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { fileURLToPath } from "node:url";

const here = path.dirname(fileURLToPath(import.meta.url));

/** The project's vectors, and those in the folder that LAMPWRIGHT_VECTORS names. */
export function vectorFiles() {
  const folders = [path.resolve(here, "../../vectors")];
  const extra = process.env.LAMPWRIGHT_VECTORS;
  if (extra) folders.push(path.resolve(extra));
  const files = folders.flatMap((folder, k) => {
    try {
      const names = readdirSync(folder).filter((name) => name.endsWith(".json")).sort();
      if (k > 0 && names.length === 0) throw new Error(`no vectors in ${folder}`);
      return names.map((name) => path.join(folder, name));
    } catch (error) {
      if (k === 0 && error.code === "ENOENT") return [];
      throw error;
    }
  });
  return files;
}

/** One file's vectors: a file holds one or a list of them. */
export function vectorsIn(file) {
  const content = JSON.parse(readFileSync(file, "utf8"));
  return Array.isArray(content) ? content : [content];
}

/**
 * Replays a vector. Stands alone, because it is also sent into the browser as text.
 * @returns {{ticks: number, difference: string|null}} how many ticks agreed and the first that did not
 */
export function replay(player, vector) {
  const { form, kept, settings, ticks, expect } = vector;
  if (ticks.length === 0 || ticks.length !== expect.length) {
    return { ticks: 0, difference: `${ticks.length} ticks but ${expect.length} expectations` };
  }
  const flags = (positions) => form.buttons.map((_, b) => (positions ?? []).includes(b));
  let situation = null;
  for (let n = 0; n < ticks.length; n += 1) {
    const { p, h, k } = ticks[n];
    const outcome = n === 0
      ? player.begin(form, k ?? [], { kept, settings })
      : player.step(form, situation, { pressed: flags(p), held: flags(h), picks: k ?? [] });
    situation = outcome.situation;
    const bytes = player.frameBytes(form, player.frame(form, situation));
    const seen = JSON.stringify({
      f: [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join(""),
      x: player.fingerprint(situation),
      k: outcome.picked,
    });
    const wanted = JSON.stringify({ f: expect[n].f.toLowerCase(), x: expect[n].x, k: expect[n].k ?? [] });
    if (seen !== wanted) return { ticks: n, difference: `tick ${n}: ${seen} instead of ${wanted}` };
  }
  return { ticks: ticks.length, difference: null };
}
