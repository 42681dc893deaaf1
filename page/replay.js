// Claims with their answers, and plays that a proof or somebody wrote down: told as sentences and replayed in the yard.

import { html, nothing } from "./vendor/lit-html.js";
import { claimSaid, moment } from "./words.js";

/** Whether something read from a file is a play that this form can be given. */
export function playable(form, trace) {
  const list = (value, of) => Array.isArray(value) && value.every(of);
  const place = (b) => Number.isInteger(b) && b >= 0;
  const pick = (pair) => list(pair, Number.isInteger) && pair.length === 2;
  if (!trace || !list(trace.ticks, (tick) => tick && list(tick.p, place) && list(tick.h, place) && list(tick.k, pick))) return false;
  const most = (trace.form ?? form)?.buttons?.length ?? 0;
  const said = ({ tick, words } = {}) => place(tick) && typeof words === "string";
  if (trace.told !== undefined && !list(trace.told, said)) return false;
  return trace.ticks.length > 0 && trace.ticks.every(({ p, h }) => [...p, ...h].every((b) => b < most));
}

/** Words with the names of the rules in backticks, as a page sets them. */
function worded(words) {
  return words.split("`").map((part, k) => (k % 2 ? html`<code>${part}</code>` : part));
}

/** The play in the yard now. */
export function replayed(replay, game, to) {
  const { ticks, told = [] } = replay.trace;
  const last = ticks.length - 1;
  const after = () => ticks.findIndex(({ p }, tick) => p.length > 0 && tick > game.ticks);
  const next = () => (after() < 0 ? last : after());
  const all = told.length ? told : [{ tick: last, words: "here the play ends; nobody has told it" }];
  const step = () => to.step(next() - game.ticks);
  return html`<section class="replay" aria-label="A play told"><h3>${worded(replay.name)}</h3>
    <p>This is replayed in the yard; your own presses wait. ${worded(replay.words)}</p>
    <ol class="moments" tabindex="0" aria-label="What happens, moment by moment">${all.map(({ tick, words }) => html`<li data-moment=${tick}><span class="when">${moment(game.form, tick)}</span> ${worded(words)}</li>`)}</ol>
    <p class="doing"><button type="button" class="make" @click=${step}>To the next press</button>
      <button type="button" class="undo" @click=${to.again}>From the start</button>
      <button type="button" class="undo" @click=${to.leave}>Back to playing</button></p></section>`;
}

/** Marks the sentence that was true last. */
export function tellMoment(root, game) {
  const all = [...root.querySelectorAll("[data-moment]")];
  if (all.length === 0) return;
  const at = all.findLastIndex((each) => Number(each.dataset.moment) <= game.ticks);
  all.forEach((each, k) => {
    if (k === at) each.setAttribute("aria-current", "step");
    else if (each.hasAttribute("aria-current")) each.removeAttribute("aria-current");
  });
}

/** The claims, and the plays that can be opened. */
export function claims(form, beside, open, why) {
  const { answers = [], traces } = beside;
  const of = (name) => answers.find(({ claim }) => claim === name);
  const rest = answers.filter(({ claim }) => !form.claims.some(({ name }) => name === claim));
  const line = (name, words, answer) => html`<li><b>${name.replaceAll("-", " ")}</b> ${words ? html`<span class="claimed">${words}</span>` : nothing}
    <span class="answer">${answer ? worded(answer.words) : html`not asked of these rules yet: <code>lampwright prove FOLDER</code>`}</span>
    ${answer?.verdict?.trace ? html`<button type="button" class="undo" @click=${() => open(`A play against \`${answer.claim}\``, { ...answer.verdict.trace, told: answer.told }, answer.words)}>Replay it in the yard</button>` : nothing}</li>`;
  const chosen = async (event) => {
    const file = event.target.files[0];
    if (!file) return;
    const text = await file.text();
    event.target.value = "";
    open(file.name, parsed(text));
  };
  return html`<section class="claims" aria-label="Claims"><h3>What is claimed</h3>
    ${form.claims.length + rest.length === 0 ? html`<p class="quiet">The rules claim nothing of their own yet.</p>` : html`<ul class="claim-list">
      ${form.claims.map((claim) => line(claim.name, claimSaid(form, claim), of(claim.name)))}
      ${rest.map((answer) => line(answer.claim.replace(/^\./, ""), "", answer))}</ul>`}
    ${why ? html`<p class="refused" role="status"><b>Not replayed:</b> ${why}.</p>` : nothing}
    <p class="doing">${(traces ?? []).map(({ file, trace }) => html`<button type="button" class="undo" @click=${() => open(file, trace)}>Replay ${file}</button>`)}
      <label class="file">Replay a play from a file <input type="file" accept=".json,application/json" @change=${chosen}></label></p></section>`;
}

function parsed(text) {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
