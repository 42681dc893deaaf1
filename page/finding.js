// A finding as a note: the verdict, the working on a slip of paper, and the cures.

import { html, nothing } from "./vendor/lit-html.js";
import { keyPath, originWords } from "./origin.js";

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

/** A cure: words alone, a button that makes the edit, or, where nothing stands there yet, what to write where. */
function cure({ words, edit, stands }, first, make) {
  if (!edit) return html`<p class="cure-words">${words}</p>`;
  const [where, what] = edit;
  if (!stands || !make) {
    return html`<details class=${first ? "cure first" : "cure"}><summary>${words}</summary>
      <p>Write <code>${what}</code> at <code>${keyPath(where)}</code> and save; this page follows.</p></details>`;
  }
  const change = { file: stands.file, path: where, expected: stands.text, new: what };
  return html`<div class=${first ? "cure first" : "cure"}>
    <button type="button" class="make" @click=${() => make(change)}>${words}</button>
    <p class="quiet">${stands.file}, line ${stands.line}: <span class="key">${keyPath(where)}</span>
      <del>${stands.text}</del> becomes <ins>${what}</ins></p></div>`;
}

const WORDS = {
  danger: "Danger: somebody may be hurt", fault: "It cannot work as it stands", caution: "Look at this before you go on",
  note: "Worth knowing",
};

/** One finding. `make` makes a change of the description; without it a cure says what to write. */
export function finding(one, make) {
  const firstEdit = one.cures.findIndex((each) => each.edit);
  return html`<section class="note ${one.severity}">
    <p class="severity">${WORDS[one.severity] ?? one.severity}${
      one.concerns.length ? html` <span class="concerns">${one.concerns.join(", ")}</span>` : nothing}</p>
    <h3>${one.verdict}</h3>
    ${one.working ? slip(one.working) : nothing}
    ${one.cures.length ? html`<div class="cures">${one.cures.map((each, k) => cure(each, k === firstEdit, make))}</div>` : nothing}
  </section>`;
}

/**
 * Findings, the like of one another under the first: fourteen times the same caution is one thing to read and a list of
 * names. Whatever is dangerous or cannot work stands in full.
 */
export function findings(all, make) {
  const groups = new Map();
  all.forEach((one, k) => {
    const alone = one.severity === "danger" || one.severity === "fault";
    const key = alone ? k : `${one.severity} ${one.code}`;
    groups.set(key, [...(groups.get(key) ?? []), one]);
  });
  return [...groups.values()].map(([first, ...more]) => {
    if (more.length < 2) return [first, ...more].map((one) => finding(one, make));
    return [finding(first, make), html`<details class="more"><summary>${more.length} more like it: ${
      more.map((one) => one.concerns.join(", ")).join("; ")}</summary>${more.map((one) => finding(one, make))}</details>`];
  });
}
