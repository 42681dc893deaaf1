// What came of a rehearsal with simulated people: a line from low to high for each person and measure, with the middle marked.

import { html, nothing, svg } from "./vendor/lit-html.js";

const WIDE = 300;

/** Rows with the same measure share one scale that begins at 0. */
function scales(rows) {
  const most = new Map();
  for (const { measure, high } of rows) most.set(measure, Math.max(most.get(measure) ?? 0, high));
  return most;
}

/**
 * The chart.
 * @param {{person: string, measure: string, low: number, middle: number, high: number}[]|undefined} rows
 */
export function rehearsal(rows) {
  const whole = (rows ?? []).filter(({ low, middle, high }) => [low, middle, high].every(Number.isFinite));
  if (whole.length === 0) return nothing;
  const most = scales(whole);
  const line = ({ measure, low, middle, high }) => {
    const at = (value) => 8 + (Math.max(value, 0) / (most.get(measure) || 1)) * (WIDE - 16);
    return html`<svg class="spread" viewBox="0 0 ${WIDE} 26" width=${WIDE} height="26" aria-hidden="true">${svg`<path class="scale" d="M8 13 H${WIDE - 8}"/>
      <path class="reach" d="M${at(low)} 13 H${at(high)}"/><path class="ends" d="M${at(low)} 7 v12 M${at(high)} 7 v12"/>
      <path class="middle" d="M${at(middle)} 5 l7 8 l-7 8 l-7 -8 Z"/>`}</svg>`;
  };
  return html`<section class="rehearsed" aria-label="Rehearsal"><h3>Rehearsed with simulated people</h3>
    <div class="table askable" role="group" aria-label="What came of it"><table><caption>A diamond is the middle; nine in ten fall on the line</caption>
      <thead><tr><th scope="col">who</th><th scope="col">what</th><th scope="col">from low to high</th><th scope="col" class="number">low</th>
        <th scope="col" class="number">middle</th><th scope="col" class="number">high</th></tr></thead>
      <tbody>${whole.map((row) => html`<tr><td data-label="who">${row.person}</td><td data-label="what">${row.measure}</td><td class="drawn-cell">${line(row)}</td>
        <td class="number" data-label="low">${row.low}</td><td class="number" data-label="middle"><b>${row.middle}</b></td><td class="number" data-label="high">${row.high}</td></tr>`)}</tbody></table></div></section>`;
}
