// The path: the stops as stepping stones on a winding line. State by shape, with words for who cannot see it.

import { html, nothing, svg } from "./vendor/lit-html.js";

const ROW = 54;
const AXIS = 34;

/** Where a withheld part of the recipe belongs. */
const WITHHELD_AT = {
  panel: ["drill"], threading: ["string"], templates: ["drill"], hanging: ["hang"], "put-up": ["put up", "take down"],
  wiring: ["digits", "switch", "wire", "power", "program", "try"], firmware: ["program"],
};

/** The findings of a stop. */
export function findingsOf(plan, stop) {
  return plan.findings.filter((finding) => finding.stage === stop.name);
}

/** The parts of the recipe that are withheld at a stop. */
export function withheldAt(plan, stop) {
  return plan.withheld.filter((sheet) => (WITHHELD_AT[sheet] ?? []).includes(stop.name));
}

/** How a stop is drawn: `withheld`, `mend`, `ahead` or `plain`. */
export function shapeOf(plan, stop) {
  const severities = findingsOf(plan, stop).map((finding) => finding.severity);
  if (severities.includes("danger") || withheldAt(plan, stop).length > 0) return "withheld";
  if (severities.some((severity) => severity === "fault" || severity === "caution")) return "mend";
  return stop.state.is === "ready" ? "plain" : "ahead";
}

const SAID = { plain: "this check found nothing", mend: "something to mend", withheld: "a sheet is withheld", ahead: "not reached yet" };

/** The news in few words; a plan may have none. */
function news(plan, stop, shape) {
  return stop.news || SAID[shape];
}

/** A name as a heading. */
export function title(name) {
  return name.charAt(0).toUpperCase() + name.slice(1).replaceAll("-", " ");
}

/** How far a stone lies from the axis of the path. */
function sway(k) {
  return 13 * Math.sin(k * 0.9 - 0.4);
}

const STONES = {
  plain: svg`<circle class="stone" r="13"/>`,
  mend: svg`<path class="stone" d="M0 -17 L16 12 L-16 12 Z"/>`,
  withheld: svg`<rect class="stone dark" x="-13" y="-13" width="26" height="26"/>`,
  ahead: svg`<circle class="stone dashed" r="13"/>`,
};

function stone(shape, k, last) {
  const x = AXIS + sway(k);
  const above = (x + AXIS + sway(k - 1)) / 2;
  const below = (x + AXIS + sway(k + 1)) / 2;
  const lean = (below - above) / 2;
  const from = k === 0 ? `M${x} ${ROW / 2}` : `M${above} -0.5 Q${x - lean / 2} ${ROW / 4} ${x} ${ROW / 2}`;
  const to = k === last ? "" : `Q${x + lean / 2} ${(3 * ROW) / 4} ${below} ${ROW + 0.5}`;
  return html`<svg class="step" width="68" height=${ROW} viewBox="0 0 68 ${ROW}" aria-hidden="true">
    <path class="way" d="${from} ${to}"/>
    <g class="at" transform="translate(${x} ${ROW / 2})">
      ${STONES[shape]}<text y=${shape === "mend" ? 8 : 4.5}>${k + 1}</text>
    </g></svg>`;
}

/**
 * The path down the left, or one line of stones on a small screen.
 * @param {any} plan
 * @param {string} chosen the chosen stop's name
 * @param {(name: string) => string} href where a stop leads
 */
export function path(plan, chosen, href) {
  const last = plan.stops.length - 1;
  return html`<nav class="path" aria-label="The path"><ol>
    ${plan.stops.map((stop, k) => {
      const shape = shapeOf(plan, stop);
      return html`<li><a class=${shape} href=${href(stop.name)} aria-current=${stop.name === chosen ? "step" : nothing}>
        ${stone(shape, k, last)}
        <span class="words"><span class="name">${title(stop.name)}</span>
          <span class="news">${news(plan, stop, shape)}</span><span class="unseen">, ${SAID[shape]}</span></span></a></li>`;
    })}</ol>
    <ul class="shapes" aria-hidden="true">${Object.entries(SAID).map(([shape, words]) => html`<li>
      <svg class="step" width="26" height="26" viewBox="-19 -19 38 38">${STONES[shape]}</svg>${words}</li>`)}</ul></nav>`;
}
