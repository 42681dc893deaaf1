// The chosen stop: sentences first, then what is wrong, then the small table and the drawing.

import { html, nothing } from "./vendor/lit-html.js";
import { findings } from "./finding.js";
import { digitDrawing, spanDrawing } from "./drawings.js";
import { keyName } from "./game.js";
import { findingsOf, title, withheldAt } from "./path.js";
import { signalList, signalPath } from "./signal.js";
import { spoken, tables } from "./tables.js";
import { holes, poses, threading } from "./threading.js";

const SHEETS = {
  panel: "The panel sheets", threading: "The threading sheets", templates: "The templates", wiring: "The wiring sheets", hanging: "The hanging sheet", "put-up": "The put-up card",
  firmware: "The program",
};

/** What stands in place of withheld sheets. */
export function withheld(sheets) {
  if (sheets.length === 0) return nothing;
  const names = sheets.map((sheet) => SHEETS[sheet] ?? sheet).join(", ");
  return html`<p class="withheld-sheets"><b>${names}: withheld</b> until the danger found is cleared.</p>`;
}

/** The drawing beside the words. */
function drawing(stop, plan, strand, href) {
  if (stop.name === "draw") return plan.panels.map(poses);
  if (stop.name === "drill") return plan.panels.map((panel) => holes(panel, plan.units));
  if (stop.name === "digits") return (plan.digits ?? []).map((digits) => digitDrawing(digits, plan.units));
  if (stop.name === "string") {
    const panel = plan.panels.find((each) => each.strands.some((run) => run.label === strand)) ?? plan.panels[0];
    return panel ? threading(panel, strand, href) : nothing;
  }
  return nothing;
}

/** A drawing that needs the whole width. */
function broad(stop, plan) {
  return stop.name === "hang" ? (plan.spans ?? []).map((span) => spanDrawing(span, plan.posts ?? [], plan.units)) : nothing;
}

/** Where somebody could be hurt, and no check of ours can see the site. */
const CARE = new Set(["hang", "switch", "wire", "power", "shelter", "program", "try", "put up", "run", "take down"]);

function care(stop) {
  if (!CARE.has(spoken(stop.name))) return nothing;
  return html`<p class="care">Local codes and licensed practice decide. These checks see the description, never the site.</p>`;
}

const AHEAD = {
  pending: "This stop is not reached yet.",
  blocked: "This stop waits until what blocks it is cured.",
  partial: "Worked out for a part of the display.",
};

function nothingFound(stop, found, sheets) {
  if (found.length > 0 || sheets.length > 0) return nothing;
  return html`<p class="quiet">${AHEAD[stop.state.is] ?? "This check found nothing."}${
    stop.state.is === "blocked" ? ` (${stop.state.by.join(", ")})` : nothing}</p>`;
}

/** How to play while looking, and buttons for whoever has no keys. */
function playing(play) {
  if (!play) return nothing;
  // Where there is nothing but a finger, keys are of no use.
  const keys = play.order.map((b) => play.keys && keyName(play.keys[b])).filter(Boolean);
  const said = keys.length === 1 ? html`the <b>${keys[0]}</b>` : keys.map((key, k) => html`${k ? " or " : ""}<b>${key}</b>`);
  const how = keys.length ? html`Press ${said} to play while you look, or touch the yard.` : "Touch the yard, or press here, to play while you look.";
  return html`<div class="playing"><p>${how}</p>
    ${play.order.map((b) => html`<button type="button" class="press" data-button=${b}
      @pointerdown=${(event) => play.down(b, event)} @click=${(event) => play.click(b, event)}>Press ${play.names[b]}</button>`)}</div>`;
}

/**
 * The chosen stop.
 * @param {{plan: any, form: any, rules: any, stop: any, number: number, strand: string, href: (strand: string) => string, play: any, make: any,
 *   signal: {chosen: any, choose: (light: string) => void, closing: string}}} all
 */
export function stop({ plan, form, rules, stop: chosen, number, strand, href, play, make, signal }) {
  const found = findingsOf(plan, chosen);
  const sheets = withheldAt(plan, chosen);
  const drawn = sheets.length > 0 ? nothing : drawing(chosen, plan, strand, href);
  const beside = drawn !== nothing && (!Array.isArray(drawn) || drawn.length > 0);
  return html`<article class=${beside ? "stop drawn" : "stop"} aria-labelledby="stop-name">
    <div class="told">
      <h2 id="stop-name">${number} ${title(chosen.name)}</h2>
      <p class="lead">${chosen.sentence}</p>
      ${signalPath(plan, signal.chosen, signal.closing)}
      ${withheld(sheets)}
      ${findings(found.filter((one) => one.severity !== "note"), make)}
      ${nothingFound(chosen, found, sheets)}
      ${rules === nothing ? nothing : [playing(play), rules]}
      ${sheets.length > 0 ? nothing : [broad(chosen, plan), tables(chosen.name, plan, strand, href)]}
      ${findings(found.filter((one) => one.severity === "note"), make)}
      ${care(chosen)}
      ${rules === nothing ? playing(play) : nothing}
      ${signalList(plan, signal.chosen, signal.choose)}
    </div>
    ${beside ? html`<div class="drawings">${drawn}</div>` : nothing}
  </article>`;
}
