// What is wrong with the texts: file, line, and the words underlined, as an editor would show them.

import { html, nothing } from "./vendor/lit-html.js";

function stops(fault) {
  return fault.severity === "fault" || fault.severity === "danger";
}

function fault(one) {
  const { at } = one;
  const where = at ? `${at.file}, line ${at.line}` : one.file;
  return html`<section class="note ${one.severity}">
    <p class="severity">${one.severity}${where ? html` <span class="concerns">${where}</span>` : nothing}</p>
    <h3>${one.message}</h3>
    ${at ? html`<pre class="slip line"><span class="quiet">${at.line} | </span>${at.before}<mark>${
      at.marked || " "}</mark>${at.after}</pre>` : nothing}
    ${one.expected ? html`<p>${one.expected}</p>` : nothing}
    ${(one.hints ?? []).map((hint) => html`<p>${hint}</p>`)}
  </section>`;
}

/** The faults above everything else, or nothing. */
export function faults(all, hasPlan) {
  if (all.length === 0) return nothing;
  const broken = all.some(stops);
  const kept = hasPlan ? " The yard shows what could be read of it." : "";
  return html`<div class="faults" role="status">
    <p class="lead">${broken ? `The description cannot be read as it stands.${kept}` : "Worth a look in the description:"}</p>
    ${all.map(fault)}
  </div>`;
}
