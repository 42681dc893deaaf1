// A finding as a note: the verdict, the working on a slip of paper, and the cures.

import { html, nothing } from "./vendor/lit-html.js";

/** A path of keys and positions as it is written: `panel.west.at[1]`. */
export function keyPath(steps) {
  return steps.map((step, k) => (typeof step === "number" ? `[${step}]` : k === 0 ? step : `.${step}`)).join("");
}

/** Where a value came from, in words. */
export function originWords(origin) {
  if (origin.written) return `${origin.written.file}, ${keyPath(origin.written.path)}`;
  if (origin.default !== undefined) return `default: ${origin.default}`;
  if (origin.catalogue) return `${origin.catalogue.part}, ${origin.catalogue.field}`;
  if (origin.worked) return `worked out: ${origin.worked.formula}`;
  return "";
}

/** The calculation as it stands on paper. */
function slip(working) {
  const held = [working.limit && `limit ${working.limit}`, working.margin].filter(Boolean).join("; ");
  return html`<div class="slip">
    <p class="formula">${working.written}</p>
    <ul>${working.values.map((value) => html`<li><span class="value">${value.name} = ${value.shown}</span>
      <span class="quiet">${originWords(value.origin)}</span></li>`)}</ul>
    <p class="result"><b>= ${working.result}</b>${held ? html`, ${held}` : nothing}</p>
    <p class="quiet">Read in: ${working.source}</p>
  </div>`;
}

/** A cure: words alone, or a button that shows what to write where. */
function cure({ words, edit }, first) {
  if (!edit) return html`<p class="cure-words">${words}</p>`;
  const [where, what] = edit;
  return html`<details class=${first ? "cure first" : "cure"}>
    <summary>${words}</summary>
    <p>Write <code>${what}</code> at <code>${keyPath(where)}</code> and save; this page follows.</p>
  </details>`;
}

const WORDS = {
  danger: "Danger: somebody may be hurt", fault: "It cannot work as it stands", caution: "It may disappoint",
  note: "Worth knowing",
};

/** One finding. */
export function finding(one) {
  const firstEdit = one.cures.findIndex((each) => each.edit);
  return html`<section class="note ${one.severity}">
    <p class="severity">${WORDS[one.severity] ?? one.severity}${
      one.concerns.length ? html` <span class="concerns">${one.concerns.join(", ")}</span>` : nothing}</p>
    <h3>${one.verdict}</h3>
    ${one.working ? slip(one.working) : nothing}
    ${one.cures.length ? html`<div class="cures">${one.cures.map((each, k) => cure(each, k === firstEdit))}</div>` : nothing}
  </section>`;
}
