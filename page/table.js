// The small table and the small list of facts; every value in them can be asked where it came from.

import { html, nothing } from "./vendor/lit-html.js";
import { known } from "./origin.js";

/**
 * A table with a heading line.
 * @template T
 * @param {{plan: any, caption: string, base?: string}} about `base` is the JSON pointer to the rows
 * @param {T[]} rows
 * @param {[string, (row: T, k: number) => unknown, string?, string?][]} columns heading, cell, `number` where it is one, and
 *   the field (below the row) whose origin is told
 */
export function table({ plan, caption, base }, rows, columns) {
  if (!rows || rows.length === 0) return nothing;
  const cell = ([, make, , field], row, k) => (base && field ? known(plan, `${base}/${k}/${field}`, make(row, k)) : make(row, k));
  return html`<div class="table askable" role="group" aria-label=${caption}><table><caption>${caption}</caption>
    <thead><tr>${columns.map(([name, , kind]) => html`<th scope="col" class=${kind ?? ""}>${name}</th>`)}</tr></thead>
    <tbody>${rows.map((row, k) => html`<tr>${columns.map((column) =>
      html`<td class=${column[2] ?? ""}>${cell(column, row, k)}</td>`)}</tr>`)}</tbody></table></div>`;
}

/**
 * Facts, one to a line.
 * @param {any} plan
 * @param {string} base the JSON pointer to what the facts are of
 * @param {([string, unknown, string?]|null)[]} all name, value, and the field whose origin is told
 */
export function facts(plan, base, all) {
  const told = all.filter((fact) => fact && fact[1] !== nothing && fact[1] !== "" && fact[1] !== null && fact[1] !== undefined);
  if (told.length === 0) return nothing;
  return html`<dl class="facts askable">${told.map(([name, value, field]) =>
    html`<div><dt>${name}</dt><dd>${field ? known(plan, `${base}/${field}`, value) : value}</dd></div>`)}</dl>`;
}
